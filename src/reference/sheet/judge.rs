//! Whether a quadrilateral is a sheet: each side is walked along, with a look to the inside and to the outside.

use ndarray::{Array2, ArrayView1};

use super::field::Field;
use super::line::{Point, between, distance, minus};
use super::quads::Quad;
use crate::reference::mask::{Piece, pieces};
use crate::units::Confidence;

/// Pixels from place to place along a side.
const STEP: f64 = 3.0;

/// Places whose middle value stands for the paper around one: its light changes slowly along a side.
const AROUND: usize = 15;

/// Paper keeps within this of the middle of the places around it, in the logarithm of stored values.
const PAPER: f32 = 0.06;

/// Inside and outside differ at least this much.
const STEP_LEAST: f32 = 0.05;

/// Inside and outside close to the edge differ by at least this part of what they do farther off: a shadow's soft
/// edge is no side.
const SHARP: f32 = 0.4;

/// Where it is looked from the edge, in pixels: inside, outside near and far.
const INSIDE: [f64; 3] = [3.0, 5.0, 7.0];
const NEAR: f64 = 3.0;
const FAR: f64 = 8.0;

/// What a walk along a side saw.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Walked {
    /// Places in the picture.
    pub seen: usize,
    /// Of them, where paper ends with a sharp step.
    pub good: usize,
    /// The middle of the paper's light along it.
    pub paper: [f32; 3],
    /// The middle step to what lies outside.
    pub step: [f32; 3],
}

impl Walked {
    /// Share of what is in the picture.
    pub fn share(self) -> f64 {
        self.good as f64 / self.seen.max(1) as f64
    }
}

/// One place of a side.
struct Place {
    inside: [f32; 3],
    near: [f32; 3],
    far: [f32; 3],
    /// How much the inside changes away from the edge.
    slope: f32,
}

/// Walks along the side between two corners; `centre` lies inside.
pub(super) fn walk(field: &Field, (from, to): (Point, Point), centre: Point) -> Walked {
    let length = distance(from, to);
    let along = minus(to, from);
    let mut inwards = (-along.1 / length, along.0 / length);
    let middle = between(from, to, 0.5);
    if (centre.0 - middle.0) * inwards.0 + (centre.1 - middle.1) * inwards.1 < 0.0 {
        inwards = (-inwards.0, -inwards.1);
    }
    let whole = (length / STEP) as usize;
    let places: Vec<Place> = (0..=whole)
        .filter_map(|step| place_at(field, between(from, to, step as f64 / whole.max(1) as f64), inwards))
        .collect();
    if places.len() < AROUND {
        return Walked::default();
    }
    let paper = running(&places, |place| place.inside);
    let is_paper = |i: usize| (0..3).all(|c| (places[i].inside[c] - paper[i][c]).abs() < PAPER);
    let step = running(&places, |place| std::array::from_fn(|c| place.far[c] - place.inside[c]));
    let near = running(&places, |place| std::array::from_fn(|c| place.near[c] - place.inside[c]));
    let good = (0..places.len()).filter(|&i| {
        let far = largest(step[i]);
        let is_calm = places[i].slope < 0.5 * far;
        is_paper(i) && far >= STEP_LEAST && largest(near[i]) >= SHARP * far && is_calm
    });
    Walked { seen: places.len(), good: good.count(), paper: middle_of(&paper), step: middle_of(&step) }
}

fn place_at(field: &Field, edge: Point, inwards: Point) -> Option<Place> {
    let at = |off: f64| field.at((edge.0 + off * inwards.0, edge.1 + off * inwards.1));
    let [a, b, c] = INSIDE.map(at);
    let (a, b, c) = (a?, b?, c?);
    let near = at(-NEAR)?;
    let far = at(-FAR).unwrap_or(near);
    let inside = std::array::from_fn(|i| (a[i] + b[i] + c[i]) / 3.0);
    Some(Place { inside, near, far, slope: (0..3).map(|i| (a[i] - c[i]).abs()).fold(0.0, f32::max) })
}

/// The middle value among the places around each, channel by channel; the same for a few in a row.
fn running(places: &[Place], value: impl Fn(&Place) -> [f32; 3]) -> Vec<[f32; 3]> {
    /// This many, for the middle of fifteen moves slowly.
    const ROW: usize = 5;
    let values: Vec<[f32; 3]> = places.iter().map(value).collect();
    let around = |row: usize| {
        let first = (row * ROW + ROW / 2).saturating_sub(AROUND / 2).min(values.len() - AROUND);
        middle_of(&values[first..first + AROUND])
    };
    let rows = (0..values.len().div_ceil(ROW)).map(around);
    rows.flat_map(|middle| std::iter::repeat_n(middle, ROW)).take(values.len()).collect()
}

fn middle_of(values: &[[f32; 3]]) -> [f32; 3] {
    // Ordered as whole numbers: quicker to compare, and back they are what they were.
    let ordered = |bits: i32| bits ^ (((bits >> 31) as u32) >> 1) as i32;
    let mut channel = Vec::with_capacity(values.len());
    std::array::from_fn(|c| {
        channel.clear();
        channel.extend(values.iter().map(|v| ordered(v[c].to_bits() as i32)));
        let at = channel.len() / 2;
        f32::from_bits(ordered(*channel.select_nth_unstable(at).1) as u32)
    })
}

fn largest(step: [f32; 3]) -> f32 {
    step.iter().fold(0.0, |most, v| most.max(v.abs()))
}

/// What speaks for a quadrilateral.
#[derive(Clone, Copy, Debug)]
pub(super) struct Judged {
    pub quad: Quad,
    /// Good places of all seen on real sides, and of the worst real side.
    pub share: f64,
    pub least: f64,
    /// The part of all sides' length that is in the picture and the sheet's own.
    pub in_view: f64,
    /// How far the sides' paper differs in colour.
    pub tint: f32,
    pub paper: [f32; 3],
    pub inside: Inside,
    pub walked: [Walked; 4],
}

pub(super) fn judge(field: &Field, quad: &Quad) -> Judged {
    let corners = quad.corners;
    let centre = corners.iter().fold((0.0, 0.0), |c, p| (c.0 + p.0 / 4.0, c.1 + p.1 / 4.0));
    let walked: [Walked; 4] = std::array::from_fn(|i| {
        if quad.framed[i] {
            Walked::default()
        } else {
            walk(field, (corners[i], corners[(i + 1) % 4]), centre)
        }
    });
    let real: Vec<&Walked> = (0..4).filter(|&i| !quad.framed[i]).map(|i| &walked[i]).collect();
    let (good, seen) = real.iter().fold((0, 0), |(g, s), w| (g + w.good, s + w.seen));
    let length: f64 = (0..4).map(|i| distance(corners[i], corners[(i + 1) % 4])).sum();
    let tint = |c: usize| {
        let of = |w: &&&Walked| w.seen > 0;
        let values = real.iter().filter(of).map(|w| w.paper[c] - w.paper[1]);
        let (low, high) = values.fold((f32::MAX, f32::MIN), |(l, h), v| (l.min(v), h.max(v)));
        (high - low).max(0.0)
    };
    let counted = real.iter().filter(|w| w.seen > 0).count().max(1) as f32;
    let paper = std::array::from_fn(|c| {
        real.iter().filter(|w| w.seen > 0).map(|w| w.paper[c]).sum::<f32>() / counted
    });
    Judged {
        quad: *quad,
        share: good as f64 / seen.max(1) as f64,
        least: real.iter().map(|w| w.share()).fold(1.0, f64::min),
        in_view: seen as f64 * STEP / length,
        tint: tint(0).max(tint(2)),
        paper,
        inside: Inside::of(field, quad, paper),
        walked,
    }
}

impl Judged {
    /// Whether it is taken for a sheet at all.
    pub fn is_sheet(&self) -> bool {
        /// Paper ends sharply along most of what is seen of its sides, and along no side hardly at all.
        const SHARE: f64 = 0.6;
        const LEAST: f64 = 0.45;
        /// At least this much of its outline is in view and its own.
        const IN_VIEW: f64 = 0.17;
        /// Light from two sides may tint paper by this much; two kinds of ground differ by more.
        const TINT: f32 = 0.045;
        self.share >= SHARE
            && self.least >= LEAST
            && self.in_view >= IN_VIEW
            && self.tint <= TINT
            && self.may_be_paper()
            && self.worth() >= self.least_worth()
            && !self.is_shadow()
            && !self.is_mixed()
    }

    /// Whether what is within it may be paper with something drawn on it.
    pub fn may_be_paper(&self) -> bool {
        (LEAST_BARE..=self.most_bare()).contains(&self.inside.bare)
            && self.inside.lights <= MOST_LIGHTS
            && self.inside.drawn >= LEAST_DRAWN
            && is_pale(self.paper)
    }

    /// What is worth less is as often a shadow's edge, a board or a coat; with two sides of the frame, more often.
    fn least_worth(&self) -> f64 {
        const WHOLE: f64 = 0.6;
        const CUT_ONCE: f64 = 0.66;
        const CUT: f64 = 0.72;
        /// Nearly all paper is lighter than what it lies on.
        const DARKER: f64 = 0.85;
        const LIGHTER: f32 = 0.03;
        match self.framed() {
            _ if self.steps().any(|(light, _)| light > LIGHTER) => DARKER,
            0 => WHOLE,
            1 => CUT_ONCE,
            _ => CUT,
        }
    }

    /// A sheet has something drawn on it: a bare wall or a door has not. Cut by the frame, it has more.
    fn most_bare(&self) -> f64 {
        const WHOLE: f64 = 0.96;
        const CUT: f64 = 0.9;
        if self.framed() == 0 { WHOLE } else { CUT }
    }

    fn framed(&self) -> usize {
        self.quad.framed.iter().filter(|framed| **framed).count()
    }

    /// The middle steps to the outside along its own sides, each as light and as the most by which a channel differs.
    fn steps(&self) -> impl Iterator<Item = (f32, f32)> {
        self.walked.iter().filter(|walked| walked.seen > 0).map(|walked| {
            let [r, g, b] = walked.step;
            ((r + g + b) / 3.0, (r - g).abs().max((b - g).abs()))
        })
    }

    /// Whether all about it is lighter in the same colour: then it is no sheet but a shadow on the table.
    fn is_shadow(&self) -> bool {
        const LIGHTER: f32 = 0.1;
        const COLOUR: f32 = 0.06;
        self.steps().all(|(light, colour)| light >= LIGHTER && colour <= COLOUR)
    }

    /// Whether it is darker than what is beside it here and lighter there, or not entirely in view: a tile, a pane or a
    /// wall between others.
    fn is_mixed(&self) -> bool {
        /// A white table may be a little lighter than paper, and paper in the light a little darker than its shadow.
        const LIGHTER: f32 = 0.12;
        const DARKER: f32 = -0.05;
        let is_lighter = self.steps().any(|(light, _)| light > LIGHTER);
        is_lighter && (self.framed() > 0 || self.steps().any(|(light, _)| light < DARKER))
    }

    /// How much speaks for it, 0 to about 1.
    pub fn worth(&self) -> f64 {
        let view = self.in_view.min(1.0);
        /// A side of the frame says less than a side of paper.
        const FRAMED: f64 = 0.015;
        let own = 1.0 - FRAMED * self.framed() as f64;
        self.share * (0.6 + 0.4 * self.least) * (0.8 + 0.2 * view) * (1.0 - f64::from(self.tint)) * own
    }

    pub fn confidence(&self) -> Confidence {
        Confidence::new(self.worth())
    }
}

/// At least this much of a sheet is bare paper between the figures.
const LEAST_BARE: f64 = 0.57;

/// And at least this much is drawn on.
const LEAST_DRAWN: f64 = 0.02;

/// Bare paper lies in two lights, one of them a shadow's, not in those of many tiles or checks: this many changes from
/// one to another on each way across or down.
const MOST_LIGHTS: f64 = 1.5;

/// Whether the middle light along the sides may be paper's: light or dimly lit, and no stronger in colour than white
/// paper under a filament lamp.
fn is_pale([r, g, b]: [f32; 3]) -> bool {
    /// About a quarter of full on the screen's scale.
    const DARKEST: f32 = -1.4;
    /// The lamp leaves blue this much less than red.
    const WARMEST: f32 = 0.75;
    /// Nothing lends paper more green or violet than this.
    const GREENEST: f32 = 0.2;
    g >= DARKEST && (r - b).abs() <= WARMEST && (g - (r + b) / 2.0).abs() <= GREENEST
}

/// What is seen within a quadrilateral.
#[derive(Clone, Copy, Debug)]
pub(super) struct Inside {
    /// The share that has the colour of the paper along its sides, in whatever light.
    pub bare: f64,
    /// How often bare paper goes on in another light, on the way across or down.
    pub lights: f64,
    /// The share that something drawn has: of another colour or much darker, and not from side to side.
    pub drawn: f64,
}

impl Inside {
    fn of(field: &Field, quad: &Quad, paper: [f32; 3]) -> Self {
        /// Looks each way.
        const LOOKS: usize = 24;
        /// How far the colour of paper strays, in the logarithm of stored values.
        const STRAY: f32 = 0.06;
        /// And how much it changes from pixel to pixel.
        const CALM: f32 = 0.03;
        /// Light that differs this much from a look to the next passed an edge.
        const OTHER: f32 = 0.1;
        /// Ink and paint are darker than paper by more than most shadows.
        const INK: f32 = 0.45;
        let corners = &quad.corners;
        let look = |i: usize, k: usize| {
            let share = |at: usize| (at as f64 + 0.5) / LOOKS as f64;
            let (left, right) =
                (between(corners[0], corners[3], share(i)), between(corners[1], corners[2], share(i)));
            let pixel = field.pixel(between(left, right, share(k)))?;
            let light = field.light[pixel];
            let tint = |c: usize| ((light[c] - light[1]) - (paper[c] - paper[1])).abs();
            let is_tinted = tint(0) > STRAY || tint(2) > STRAY;
            Some(match () {
                () if is_tinted || light[1] < paper[1] - INK => Look::Drawn,
                () if field.change[pixel] > CALM => Look::Edge,
                () => Look::Bare(light[1]),
            })
        };
        let looks = Array2::from_shape_fn((LOOKS, LOOKS), |(i, k)| look(i, k));
        let seen = looks.iter().flatten().count().max(1);
        let bare = looks.iter().filter(|look| matches!(look, Some(Look::Bare(_)))).count();
        let changes = |line: ArrayView1<Option<Look>>| {
            let light =
                |look: &Option<Look>| if let Some(Look::Bare(light)) = look { Some(*light) } else { None };
            let lights: Vec<f32> = line.iter().filter_map(light).collect();
            lights.windows(2).filter(|pair| (pair[0] - pair[1]).abs() > OTHER).count()
        };
        let lines = looks.rows().into_iter().chain(looks.columns());
        let lights = lines.map(changes).sum::<usize>() as f64 / (2 * LOOKS) as f64;
        let drawn = pieces(&looks.map(|look| matches!(look, Some(Look::Drawn))));
        let drawn = drawn
            .iter()
            .filter(|piece| !is_across(piece, LOOKS - 1, quad.framed))
            .map(Vec::len)
            .sum::<usize>();
        Self { bare: bare as f64 / seen as f64, lights, drawn: drawn as f64 / seen as f64 }
    }
}

/// What one look within a quadrilateral shows.
#[derive(Clone, Copy)]
enum Look {
    Drawn,
    /// An outline, or the edge of a shadow.
    Edge,
    /// Bare paper in this light.
    Bare(f32),
}

/// Whether a piece of looks reaches two sides, one of them the sheet's own: a bar or a frame does, a figure does not,
/// but the picture's own frame may well cut it.
fn is_across(piece: &Piece, last: usize, framed: [bool; 4]) -> bool {
    let reaches = |is: fn(&(usize, usize), usize) -> bool| piece.iter().any(|look| is(look, last));
    // In the order of the sides: from the first corner to the second, and on around.
    let sides = [
        reaches(|look, _| look.0 == 0),
        reaches(|look, last| look.1 == last),
        reaches(|look, last| look.0 == last),
        reaches(|look, _| look.1 == 0),
    ];
    let reaches_own = sides.iter().zip(framed).any(|(reaches, framed)| *reaches && !framed);
    reaches_own && sides.iter().filter(|reaches| **reaches).count() >= 2
}

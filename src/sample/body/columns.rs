//! Which stretch of each row of the drawing becomes which bead.
//!
//! The widths are the plan's (common practice, no source): a head and a torso five beads wide, arms of one bead
//! beside it, legs of two with a gap of one between them, feet that turn out by a bead.

use super::beside::Beside;
use super::landmarks::Landmarks;
use super::legs::{self, Legs};
use super::silhouette::{Silhouette, Span, nearest};
use super::stride;
use crate::plan::{Build, Landmark, Measured, Zone, ZoneRows};
use crate::reference::middle::median;
use ndarray::Array2;

/// One bead's stretch of a row; column 0 stands on the body's axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stretch {
    pub column: i32,
    pub span: Span,
    /// Whether the plan has a bead here whatever the outline says.
    pub core: bool,
}

impl Stretch {
    /// The same beyond what the plan has.
    pub fn beyond(self) -> Self {
        Self { core: false, ..self }
    }
}

/// Columns of every row.
pub(super) struct Columns {
    pub rows: Vec<Vec<Stretch>>,
    /// Whether the figure stands on two legs that are seen.
    pub legs_seen: bool,
    /// The widths seen, and the build they were brought to.
    pub measured: Measured,
}

/// What is narrower than this, in beads, is none.
pub(super) const LEAST: f64 = 0.22;

pub(super) struct Layer<'a> {
    outline: &'a Silhouette,
    lines: &'a [f64],
    pub pitch: f64,
    head: Span,
    pub neck: Span,
    /// Both legs, or what stands in their place, where the body is broadest below the waist.
    pub hips: Span,
    pub legs: Option<Legs>,
    /// Whether the legs are trousers up to the hip: the same colour goes on above the place where they part.
    trousers: bool,
    /// Whether the legs walk, run, kneel or squat.
    pub strides: bool,
    pub build: Build,
    measured: Measured,
}

/// Lays the columns over a body, brought to the build that its widths show or to the one supposed.
pub(super) fn lay(
    plane: &Array2<u8>,
    outline: &Silhouette,
    landmarks: &Landmarks,
    zones: &ZoneRows,
    lines: &[f64],
    supposed: Option<Build>,
) -> Columns {
    let layer = Layer::new(plane, outline, landmarks, zones, lines, supposed);
    let rows = (0..zones.total()).filter_map(|row| Some((row, zones.at(row)?)));
    let mut rows: Vec<Vec<Stretch>> = rows
        .map(|(row, (zone, rows))| layer.row(zone, row, (row - rows.start) as f64 + 0.5, rows.len()))
        .collect();
    // Of two that meet in one place the body's own stays.
    for row in &mut rows {
        row.sort_by_key(|s| (s.column, !s.core));
        row.dedup_by_key(|s| s.column);
    }
    Columns { rows, legs_seen: layer.legs.is_some(), measured: layer.measured }
}

impl<'a> Layer<'a> {
    fn new(
        plane: &Array2<u8>,
        outline: &'a Silhouette,
        landmarks: &Landmarks,
        zones: &ZoneRows,
        lines: &'a [f64],
        supposed: Option<Build>,
    ) -> Self {
        let pitch = outline.pitch;
        let head = head_span(outline, landmarks);
        let neck_at = f64::midpoint(landmarks.get(Landmark::Chin), landmarks.get(Landmark::Shoulder));
        let neck = outline.span_on(neck_at, outline.upright_at(neck_at)).unwrap_or(head);
        let legs = landmarks.crotch.and_then(|y| legs::below(outline, landmarks, y));
        /// Half of the height over which the hips are looked at, in beads.
        const BAND: f64 = 0.3;
        let at = landmarks.crotch.unwrap_or(landmarks.get(Landmark::Hip));
        let whole = outline.spans_between(at - BAND * pitch, at + BAND * pitch, LEAST * pitch);
        let everyday = centred(outline.axis, f64::from(Build::HEAD) * pitch);
        let hips = legs.map(Legs::both).or(nearest(&whole, outline.axis)).unwrap_or(everyday);
        let leg = legs.map(|legs| f64::midpoint(legs.left.width(), legs.right.width()) / pitch);
        let across = hips.width() / pitch;
        let build = supposed.unwrap_or_else(|| Build::seen(zones, across, leg));
        let measured = Measured { build, hips: across, leg };
        let trousers =
            legs.zip(landmarks.crotch).is_some_and(|(legs, y)| legs::go_on_above(plane, legs, y, pitch));
        let mut layer =
            Self { outline, lines, pitch, head, neck, hips, legs, trousers, strides: false, build, measured };
        layer.strides = layer.is_striding(zones);
        layer
    }

    /// Whether the lower half of the legs is not where the plan has legs.
    fn is_striding(&self, zones: &ZoneRows) -> bool {
        let legs = zones.rows_of(Zone::Legs);
        let low = if legs.is_empty() { zones.total() } else { legs.start + legs.len() / 2 };
        let rows = (low..zones.total()).map(|row| {
            let legs =
                self.outline.spans_between(self.lines[row], self.lines[row + 1], legs::LEG * self.pitch);
            stride::Row { is_pair: self.two_in(&legs).is_some(), legs }
        });
        stride::is_seen(&rows.collect::<Vec<_>>(), self.axis(), self.pitch)
    }

    fn row(&self, zone: Zone, row: usize, within: f64, rows: usize) -> Vec<Stretch> {
        let (above, below) = (self.lines[row], self.lines[row + 1]);
        if self.strides && zone >= Zone::Legs {
            let around = self.outline.spans_between(above, below, LEAST * self.pitch);
            /// Above this part of the legs hands hang beside them.
            const HANDS: f64 = 0.3;
            let is_low = zone == Zone::Feet || within > HANDS * rows as f64;
            let leg = if is_low { self.build.leg.min(2) } else { 1 };
            return stride::row(&around, self.axis(), self.pitch, leg);
        }
        let beyond = self.outline.spans_between(above, below, LEAST * self.pitch);
        let (mut stretches, pitch) = match zone {
            Zone::Headwear | Zone::Head | Zone::Neck => self.head_row(zone),
            Zone::Torso => self.torso_row(within / rows as f64),
            Zone::Legs | Zone::Feet => (self.leg_row(zone, &beyond, within), self.pitch),
        };
        let hangs = matches!(zone, Zone::Torso | Zone::Legs);
        let (Some(&first), Some(&last)) = (stretches.first(), stretches.last()) else { return stretches };
        let (from, to) = (first.span.from, last.span.to);
        let right = beyond.iter().map(|s| Span { from: s.from.max(to), to: s.to });
        let beside = Beside { pitch, hangs, axis: self.axis(), even: self.pitch };
        stretches.extend(beside.lay(right.collect(), to, last.column + 1));
        // To the left the same, seen in a mirror.
        let left = beyond.iter().rev().map(|s| Span { from: -s.to.min(from), to: -s.from });
        let mirrored = Beside { axis: -self.axis(), ..beside }.lay(left.collect(), -from, 1 - first.column);
        stretches.extend(mirrored.into_iter().map(|s| Stretch {
            column: -s.column,
            span: Span { from: -s.span.to, to: -s.span.from },
            core: false,
        }));
        stretches.sort_by_key(|s| s.column);
        stretches
    }

    /// The row's beads, and how wide those beside it are; so of every kind of row.
    fn head_row(&self, zone: Zone) -> (Vec<Stretch>, f64) {
        /// What lies beside a small head is still laid in beads at least so large a part of the mean height of a row.
        const LEAST_BEAD: f64 = 0.7;
        let pitch = (self.head.width() / f64::from(Build::HEAD)).max(LEAST_BEAD * self.pitch);
        let middle = if zone == Zone::Neck { self.neck.middle() } else { self.head.middle() };
        (even(Build::HEAD / 2, centred(middle, self.head.width())), pitch)
    }

    /// `down` goes from 0 at the shoulders to 1 at the hips.
    fn torso_row(&self, down: f64) -> (Vec<Stretch>, f64) {
        let planned = self.planned_trunk(down);
        let pitch = (planned.width() / f64::from(self.build.torso)).max(0.9 * self.pitch);
        (even(self.build.torso / 2, planned), pitch)
    }

    pub fn planned_trunk(&self, down: f64) -> Span {
        let legs = self.build.between_outsides();
        /// A torso under a skirt is at most so much wider than its beads; the skirt tells no more of it.
        const WIDER: f64 = 1.1;
        // The smallest have a torso narrower than both legs together.
        let width = self.hips.width() * f64::from(self.build.torso) / f64::from(legs.max(self.build.torso));
        let width = match self.legs {
            Some(_) => width,
            None => width.min(WIDER * f64::from(self.build.torso) * self.pitch),
        };
        let middle = self.neck.middle() + (self.axis() - self.neck.middle()) * down;
        centred(middle, width)
    }

    fn leg_row(&self, zone: Zone, around: &[Span], within: f64) -> Vec<Stretch> {
        let leg = self.build.leg;
        match self.two_in(around) {
            Some(feet) if zone == Zone::Feet => {
                return feet.beads(self.foot(feet.left), self.foot(feet.right));
            }
            Some(two) => return two.beads(leg, leg),
            None => {}
        }
        let Some(legs) = self.legs else { return self.skirt_row(zone, around) };
        let (both, middle) = (legs.both(), legs.gap().middle());
        // A hand or a bag that touches the leg is not the leg.
        const WIDER: f64 = 0.5;
        let body = nearest(around, middle).unwrap_or(both).within(both.wider(WIDER * self.pitch));
        let body = if body.width() > 0.0 { body } else { both };
        // Legs pressed together are still two, a row below the hip.
        if self.trousers && within > 1.0 {
            let gap = middle.clamp(body.from, body.to);
            Legs { left: Span { to: gap, ..body }, right: Span { from: gap, ..body } }.beads(leg, leg)
        } else {
            even(leg, body)
        }
    }

    /// Beads a foot is wide: one more than its leg, for feet turn out; the smallest children's as they are drawn.
    fn foot(&self, foot: Span) -> i32 {
        const TURNED_OUT: f64 = 0.35;
        let leg = self.build.leg;
        leg + i32::from(
            self.build.torso > Build::LEAST_TORSO || foot.width() / self.pitch >= f64::from(leg) + TURNED_OUT,
        )
    }

    /// The two stretches that are the legs here.
    pub fn two_in(&self, around: &[Span]) -> Option<Legs> {
        /// The gap is at most so wide and its middle so far from the hips', in beads: legs may walk.
        const GAP: f64 = 3.5;
        const OFF: f64 = 1.3;
        let pair = legs::pair_about(around, self.axis(), GAP * self.pitch);
        pair.filter(|(_, off)| *off <= OFF * self.pitch).map(|(legs, _)| legs)
    }
}

/// The head without bunches, brims and ears: its upper third is no wider than its middle by much.
fn head_span(outline: &Silhouette, landmarks: &Landmarks) -> Span {
    /// The part of the head looked at, from its top.
    const PART: (f64, f64) = (0.15, 0.95);
    const WIDER: f64 = 1.25;
    /// What is wider, in beads, and has its middle so far from the face's, is a head with a sack beside it.
    const WIDE: f64 = 6.5;
    const OFF: f64 = 0.9;
    let (top, chin) = (landmarks.head_top, landmarks.get(Landmark::Chin));
    let rows = (top + PART.0 * (chin - top)) as usize..(top + PART.1 * (chin - top)).max(top + 1.0) as usize;
    let spans: Vec<Span> =
        rows.filter_map(|y| outline.span_on(y as f64, outline.upright_at(y as f64))).collect();
    let median = |of: fn(Span) -> f64, spans: &[Span]| {
        (!spans.is_empty()).then(|| median(spans.iter().map(|span| of(*span)).collect()))
    };
    let everyday = f64::from(Build::HEAD) * outline.pitch;
    let all = median(Span::width, &spans).unwrap_or(everyday);
    let upper = median(Span::width, &spans[..spans.len() / 3]).unwrap_or(all);
    let middle = median(Span::middle, &spans).unwrap_or(outline.upright_at(top));
    if let Some(face) = landmarks.face
        && all > WIDE * outline.pitch
        && (middle - face.middle()).abs() > OFF * outline.pitch
    {
        return face;
    }
    centred(middle, all.min(WIDER * upper).max(1.0))
}

pub(super) fn centred(middle: f64, width: f64) -> Span {
    Span { from: middle - width / 2.0, to: middle + width / 2.0 }
}

/// So many beads of the body's own, of one width over a stretch, from a column on.
pub(super) fn beads(first: i32, count: i32, over: Span) -> impl Iterator<Item = Stretch> {
    let width = over.width() / f64::from(count);
    (0..count).map(move |i| {
        let from = over.from + width * f64::from(i);
        Stretch { column: first + i, span: Span { from, to: from + width }, core: true }
    })
}

/// 2 x `half` + 1 beads of one width over a stretch, about column 0.
pub(super) fn even(half: i32, over: Span) -> Vec<Stretch> {
    beads(-half, 2 * half + 1, over).collect()
}

//! What lies on a page and is no part of the figure: stains, folds, rubbed-out lines, writing, holes, other drawings.

use std::fmt;

use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::ground::Ground;
use crate::reference::mask::{Piece, beside, edge_of, grown, outside_of, pieces, spans, worn};
use crate::reference::subject::{Cover, OnGround, extent};

/// Something that was left out of the figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LeftOut {
    /// A word or a line of writing.
    Writing(Side),
    /// Another drawing.
    Drawing(Side),
    /// A punched hole.
    Hole,
    /// A pale blotch.
    Stain,
    /// A fold of the paper.
    Fold,
    /// Strokes that were rubbed out.
    RubbedOut,
}

/// Where something lies beside the figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Over its top.
    Above,
    /// Under its soles.
    Below,
    /// Beside it on the viewer's left.
    Left,
    /// The same at its right.
    Right,
}

impl LeftOut {
    /// A short plain name, stable for scripts.
    pub fn name(self) -> &'static str {
        match self {
            Self::Writing(_) => "writing",
            Self::Drawing(_) => "drawing",
            Self::Hole => "hole",
            Self::Stain => "stain",
            Self::Fold => "fold",
            Self::RubbedOut => "rubbed-out",
        }
    }
}

impl fmt::Display for LeftOut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Writing(side) => write!(f, "writing {side}"),
            Self::Drawing(side) => write!(f, "a drawing {side}"),
            Self::Hole => write!(f, "a punched hole"),
            Self::Stain => write!(f, "a stain"),
            Self::Fold => write!(f, "a fold"),
            Self::RubbedOut => write!(f, "rubbed-out lines"),
        }
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Above => "above it",
            Self::Below => "below it",
            Self::Left => "on its left",
            Self::Right => "on its right",
        })
    }
}

/// The first list, and what of the second it does not have.
pub(super) fn together(mut first: Vec<LeftOut>, second: &[LeftOut]) -> Vec<LeftOut> {
    let more: Vec<LeftOut> = second.iter().filter(|thing| !first.contains(thing)).copied().collect();
    first.extend(more);
    first.sort_unstable();
    // A page is spoken of in words: of marks of one kind and side one is enough, but holes are counted.
    first.dedup_by(|a, b| a == b && *a != LeftOut::Hole);
    first
}

/// Things in words, holes counted: `writing below it, 2 punched holes and a stain`; nothing for none.
pub fn in_words(things: &[LeftOut]) -> Option<String> {
    let holes = things.iter().filter(|thing| **thing == LeftOut::Hole).count();
    let mut words: Vec<String> = Vec::new();
    for thing in things {
        let word = match thing {
            LeftOut::Hole if holes > 1 => format!("{holes} punched holes"),
            _ => thing.to_string(),
        };
        if words.last() != Some(&word) {
            words.push(word);
        }
    }
    let last = words.pop()?;
    Some(if words.is_empty() { last } else { format!("{} and {last}", words.join(", ")) })
}

/// Names what lies on the page beside the figure; nothing where there are other people, who are not left out.
pub(super) fn beside_the_figure(
    told: &OnGround,
    colours: &Array2<Lab>,
    rows: usize,
    lets: &dyn Fn(&Piece) -> bool,
) -> Vec<LeftOut> {
    /// Strokes and letters nearer than this to one another are one thing, in beads.
    const ONE_THING: f64 = 0.8;
    let Some((top, bottom, left, right)) = extent(&told.cover) else { return Vec::new() };
    let bead = (bottom - top) as f64 / rows as f64;
    let mut rest = told.differs.clone();
    rest.zip_mut_with(&told.cover, |rest, cover| *rest &= *cover == Cover::Ground);
    let reach = ((0.5 * ONE_THING * bead).round() as usize).max(1);
    let thin = worn(&rest, ((0.2 * bead).round() as usize).max(1));
    let page = colours.dim();
    let named = |cloud: Piece| {
        let ink: Piece = cloud.into_iter().filter(|&p| rest[p]).collect();
        if ink.is_empty() || !lets(&ink) {
            return None;
        }
        let solid = ink.iter().filter(|&&p| thin[p]).count();
        let thing = Thing::of(&ink, solid, bead);
        thing.named((top, bottom, left, right), page)
    };
    pieces(&grown(&rest, reach)).into_iter().filter_map(named).collect()
}

/// Something beside the figure, its measures in beads.
struct Thing {
    /// First and past the last row, first and past the last column, in pixels.
    at: (usize, usize, usize, usize),
    bead: f64,
    high: f64,
    wide: f64,
    /// Its pixels, in beads' areas, and the share of them that is no thin stroke.
    ink: f64,
    solid: f64,
}

impl Thing {
    fn of(ink: &Piece, solid: usize, bead: f64) -> Self {
        let (rows, columns) = spans(ink);
        let at = (rows.start, rows.end, columns.start, columns.end);
        Self {
            at,
            bead,
            high: (at.1 - at.0) as f64 / bead,
            wide: (at.3 - at.2) as f64 / bead,
            ink: ink.len() as f64 / bead / bead,
            solid: solid as f64 / ink.len() as f64,
        }
    }

    /// What it is; nothing for a dot.
    fn named(&self, figure: (usize, usize, usize, usize), page: (usize, usize)) -> Option<LeftOut> {
        /// The smallest and the largest hole.
        const HOLE: std::ops::Range<f64> = 0.4..2.0;
        /// A disc fills 0.79 of its box, and its box is square.
        const ROUND: f64 = 0.62;
        const SQUARE: f64 = 1.35;
        /// How far from the page's edge holes are punched.
        const FROM_EDGE: f64 = 3.0;
        /// Letters are at most this high and a word is this much longer than high; of its ink little is solid.
        const LETTERS: f64 = 2.2;
        const LONG: f64 = 1.6;
        const SOLID: f64 = 0.25;
        /// Less than this is a dot.
        const DRAWING: f64 = 1.5;
        let (top, bottom, left, right) = self.at;
        let edge = FROM_EDGE * self.bead;
        let at_edge = (left as f64) < edge || (page.1 - right) as f64 <= edge || (top as f64) < edge;
        let is_square = self.high < SQUARE * self.wide && self.wide < SQUARE * self.high;
        if at_edge && is_square && HOLE.contains(&self.high) && self.ink >= ROUND * self.high * self.wide {
            return Some(LeftOut::Hole);
        }
        let side = if top >= figure.1 {
            Side::Below
        } else if bottom <= figure.0 {
            Side::Above
        } else if left + right < figure.2 + figure.3 {
            Side::Left
        } else {
            Side::Right
        };
        if self.high <= LETTERS && self.wide >= LONG * self.high && self.wide >= 1.0 && self.solid <= SOLID {
            return Some(LeftOut::Writing(side));
        }
        (self.high.max(self.wide) >= DRAWING).then_some(LeftOut::Drawing(side))
    }
}

/// Faint things differ from their paper by at most this much, in Lab units; ink and marker differ by more.
const FAINT: f64 = 22.0;

/// Their hue differs by this much at most: a pale yellow string is no pencil.
const HUELESS: f64 = 14.0;

/// Pixels beside a stroke of ink that are its own soft edge.
const SOFT_EDGE: usize = 2;

/// Marks fainter than anything a pen leaves, and which pixels they cover.
pub(super) struct Faint {
    pub mask: Array2<bool>,
    pub found: Vec<LeftOut>,
}

/// Finds stains, folds and rubbed-out lines on paper: faint, hueless, and bordered by bare paper rather than by the
/// figure's outline. Nothing where the figure itself is drawn without dark outlines: it may be as faint.
pub(super) fn faint_marks(
    (colours, ground): (&Array2<Lab>, &Ground),
    distances: &Array2<f64>,
    differs: &Array2<bool>,
    rows: usize,
) -> Option<Faint> {
    /// Smaller marks, in beads, are left to the other rules.
    const LEAST: f64 = 0.12;
    /// This much of a mark's rim is bare paper; cloth has a line all around.
    const OPEN: f64 = 0.35;
    /// Half the breadth of a stroke, in beads, at most.
    const STROKE: f64 = 0.4;
    /// The figure is the largest dark piece, and has this share of all of them.
    const WHOLE: f64 = 0.4;
    /// Paper is pale and has next to no hue.
    const PALE: f64 = 75.0;
    const GREY: f64 = 14.0;
    let (page_rows, page_columns) = differs.dim();
    let Lab { l, a, b } = ground.at((page_rows / 2, page_columns / 2));
    if l < PALE || a.hypot(b) > GREY {
        return None;
    }
    let strong = Array2::from_shape_fn(differs.dim(), |p| differs[p] && distances[p] > FAINT);
    let main = pieces(&strong).into_iter().max_by_key(Vec::len)?;
    // Wax lies in crumbs: which of them are faint marks cannot be told.
    if (main.len() as f64) < WHOLE * strong.iter().filter(|set| **set).count() as f64 {
        return None;
    }
    let bead = spans(&main).0.len() as f64 / rows as f64;
    let by_strong = grown(&strong, SOFT_EDGE);
    let faint = Array2::from_shape_fn(differs.dim(), |p| differs[p] && !by_strong[p]);
    let mut marks = pieces(&faint);
    marks.retain(|piece| {
        piece.len() as f64 >= LEAST * bead * bead && hue_off(piece, colours, ground) <= HUELESS
    });
    // Most drawings have none: what costs more is asked later.
    if marks.is_empty() {
        return None;
    }
    let outside = outside_of(differs);
    marks.retain(|piece| open_share(piece, &outside, &faint) >= OPEN);
    if marks.is_empty() || !is_outlined(&main, (colours, ground), bead) {
        return None;
    }
    let broad = worn(&faint, ((STROKE * bead) as usize).max(1));
    let mut mask = Array2::from_elem(differs.dim(), false);
    let mut found = Vec::new();
    for piece in marks {
        piece.iter().for_each(|&p| mask[p] = true);
        let is_broad = piece.iter().any(|&p| broad[p]);
        found.push(match (is_broad, is_fold(&piece, differs.dim())) {
            (true, _) => LeftOut::Stain,
            (false, true) => LeftOut::Fold,
            (false, false) => LeftOut::RubbedOut,
        });
    }
    Some(Faint { mask, found })
}

/// Whether a faint stroke runs straight in from the edge of what is seen, level or upright: the figure may hide where it
/// goes on.
fn is_fold(piece: &Piece, (rows, columns): (usize, usize)) -> bool {
    /// This many times as long as it is broad, its lean counted as breadth.
    const LONG: usize = 6;
    let (down, across) = spans(piece);
    let (high, wide) = (down.len(), across.len());
    let level = wide >= LONG * high && (across.start == 0 || across.end == columns);
    level || high >= LONG * wide && (down.start == 0 || down.end == rows)
}

/// Whether a drawing is outlined: something far darker than the paper runs nearly all around, and along much of that it
/// is a line with a paler fill behind it, no dark coat or skin.
fn is_outlined(piece: &Piece, (colours, ground): (&Array2<Lab>, &Ground), bead: f64) -> bool {
    /// This much darker, in L*, within this many pixels of the rim, along this much of it.
    const DARKER: f64 = 35.0;
    const REACH: usize = 3;
    const AROUND: f64 = 0.9;
    /// A line is at most this broad, in beads, and this much of the rim has one.
    const LINE: f64 = 0.3;
    const LINED: f64 = 0.14;
    let mut mask = Array2::from_elem(colours.dim(), false);
    piece.iter().for_each(|&p| mask[p] = true);
    let dark = Array2::from_shape_fn(colours.dim(), |p| mask[p] && ground.at(p).l - colours[p].l >= DARKER);
    let by_dark = grown(&dark, REACH);
    // What is broader than a line survives being worn down and grown again.
    let half = ((0.5 * LINE * bead).ceil() as usize).max(1);
    let broad = grown(&worn(&dark, half), half + 1);
    let by_line = grown(&Array2::from_shape_fn(dark.dim(), |p| dark[p] && !broad[p]), REACH);
    let rim = edge_of(&mask, true);
    let share = |of: &Array2<bool>| rim.iter().filter(|p| of[**p]).count() as f64 / rim.len() as f64;
    share(&by_dark) >= AROUND && share(&by_line) >= LINED
}

/// How much of a piece's rim has the open paper beyond it, not paper that the figure shuts in.
fn open_share(piece: &Piece, outside: &Array2<bool>, faint: &Array2<bool>) -> f64 {
    let beyond = piece.iter().flat_map(|&p| beside(p, outside.dim())).filter(|&p| !faint[p]);
    let (rim, open) =
        beyond.fold((0_usize, 0_usize), |(rim, open), p| (rim + 1, open + usize::from(outside[p])));
    // Faint pixels beside one another are of one piece: whatever else lies beside is beyond it.
    open as f64 / rim.max(1) as f64
}

/// How far a piece's colour lies from the paper's in hue and chroma, on the mean.
fn hue_off(piece: &Piece, colours: &Array2<Lab>, ground: &Ground) -> f64 {
    let count = piece.len().max(1) as f64;
    let (a, b) = piece.iter().fold((0.0, 0.0), |(a, b), &p| {
        let (seen, there) = (colours[p], ground.at(p));
        (a + (seen.a - there.a) / count, b + (seen.b - there.b) / count)
    });
    a.hypot(b)
}

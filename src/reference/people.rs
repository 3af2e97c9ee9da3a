//! Several people on one page: which pieces belong to whom, and how tall each is drawn.

use std::ops::Range;

use ndarray::Array2;

use crate::colour::Lab;
use crate::plan::{HeightClass, MOST_ROWS};
use crate::reference::mask::{Piece, beside, grown, outside_of, pieces, spans};
use crate::reference::shrink::Area;

/// One of the people on a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Person {
    /// The part of the upright picture that holds this one, with some ground around it: a crop for it alone.
    pub area: Area,
    /// How tall this one is drawn, from its top to its soles. On a straightened sheet in heights of the sheet, so
    /// that the camera's tilt counts for nothing; elsewhere in pixels of the picture. Only the ratio of two heights
    /// of one page says anything.
    pub height: f64,
}

/// Fewer rows are no person: the smallest child of a cast has about a dozen.
const LEAST_ROWS: f64 = 8.0;

impl Person {
    /// The rows this one has where one `guide` tall has `rows`: never fewer than a person needs, nor more than a figure
    /// may have.
    pub fn rows_beside(&self, guide: f64, rows: usize) -> usize {
        (self.height / guide * rows as f64).round().clamp(LEAST_ROWS, MOST_ROWS as f64) as usize
    }

    /// The crop in whole pixels: x, y, width, height.
    pub fn crop(&self) -> [u32; 4] {
        let Area { x, y, width, height } = self.area;
        let (left, top) = (x.ceil(), y.ceil());
        let size = |end: f64, start: f64| (end.floor() - start).max(1.0) as u32;
        [left as u32, top as u32, size(x + width, left), size(y + height, top)]
    }
}

/// Pieces that belong together, what they shut in filled: a body with what it holds.
#[derive(Clone, Debug)]
pub(super) struct Group {
    pub pixels: Piece,
    pub rows: Range<usize>,
    pub columns: Range<usize>,
}

impl Group {
    fn of(pixels: Piece) -> Self {
        let (rows, columns) = spans(&pixels);
        Self { rows, columns, pixels }
    }

    fn area(&self) -> f64 {
        self.pixels.len() as f64
    }

    fn height(&self) -> f64 {
        self.rows.len() as f64
    }

    fn join(&mut self, other: Self) {
        let around = |a: &Range<usize>, b: &Range<usize>| a.start.min(b.start)..a.end.max(b.end);
        self.rows = around(&self.rows, &other.rows);
        self.columns = around(&self.columns, &other.columns);
        self.pixels.extend(other.pixels);
    }

    fn mask(&self, dim: (usize, usize)) -> Array2<bool> {
        let mut mask = Array2::from_elem(dim, false);
        self.pixels.iter().for_each(|&p| mask[p] = true);
        mask
    }

    /// Whether another is far smaller and lies for the most part in this one's box, or close beside it and off the ground.
    fn has_part(&self, other: &Self) -> bool {
        /// A child beside a grown-up is at least this tall.
        const TALL: f64 = 0.45;
        /// Two people's boxes overlap by less of the smaller.
        const WITHIN: f64 = 0.4;
        /// What is held lies this near, and this far above the soles, as parts of the height.
        const NEAR: f64 = 0.06;
        const RAISED: f64 = 0.15;
        let both = |a: &Range<usize>, b: &Range<usize>| a.end.min(b.end).saturating_sub(a.start.max(b.start));
        let gap =
            |a: &Range<usize>, b: &Range<usize>| a.start.max(b.start).saturating_sub(a.end.min(b.end)) as f64;
        let shared = both(&self.rows, &other.rows) * both(&self.columns, &other.columns);
        let whole = other.rows.len() * other.columns.len();
        let height = self.height();
        let is_near = gap(&self.columns, &other.columns).max(gap(&self.rows, &other.rows)) <= NEAR * height;
        let is_raised = other.rows.end as f64 + RAISED * height <= self.rows.end as f64;
        other.height() < TALL * height && (shared as f64 >= WITHIN * whole as f64 || (is_near && is_raised))
    }

    /// Whether another lies above or below this one, as a head does on a neck as pale as the paper.
    fn is_stacked_with(&self, other: &Self) -> bool {
        /// Of the narrower, this much lies over or under the other; of the shorter, this little beside it.
        const OVER: f64 = 0.5;
        const BESIDE: f64 = 0.25;
        let both = |a: &Range<usize>, b: &Range<usize>| {
            a.end.min(b.end).saturating_sub(a.start.max(b.start)) as f64 / a.len().min(b.len()).max(1) as f64
        };
        both(&self.columns, &other.columns) >= OVER && both(&self.rows, &other.rows) <= BESIDE
    }
}

/// The people on a page seen from afar, in reading order, and the larger things that belong to none of them.
#[derive(Clone, Debug, Default)]
pub(super) struct People {
    /// None at all unless there are two or more.
    pub people: Vec<Group>,
    pub things: Vec<Group>,
}

/// Smaller pieces than this share of the largest are dots and dust.
const DUST: f64 = 0.004;

/// More large pieces than this are no people but a pattern.
const MOST_PIECES: usize = 60;

/// What a piece must have to be a person, beside the page's tallest and largest.
mod least {
    /// A toddler beside a tall figure that holds up an oar.
    pub const HEIGHT: f64 = 0.3;
    pub const AREA: f64 = 0.08;
    /// A body is this wide on the mean, in its own heights; a pole leaning on nothing is thinner.
    pub const WIDTH: f64 = 0.12;
    /// Hair, skin, cloth: fewer colours are a sun, a tree, a star.
    pub const COLOURS: usize = 3;
}

/// Nobody is wider than this many heights, arms out.
const WIDEST: f64 = 1.3;

/// The people, each with what seemed to be another but is a part of it: a head whose shoulders are as pale as the paper,
/// or a thing held at arm's length.
fn with_their_parts(mut people: Vec<Group>) -> Vec<Group> {
    people.sort_by_key(|person| std::cmp::Reverse(person.rows.len()));
    let mut kept: Vec<Group> = Vec::new();
    for person in people {
        match kept.iter_mut().find(|taller| taller.has_part(&person)) {
            Some(taller) => taller.join(person),
            None => kept.push(person),
        }
    }
    kept
}

/// Finds the people among what differs from the ground.
pub(super) fn people_of(differs: &Array2<bool>, colours: &Array2<Lab>) -> People {
    let solid = outside_of(differs).map(|out| !out);
    let mut lumps: Vec<Group> = pieces(&solid).into_iter().map(Group::of).collect();
    lumps.sort_by_key(|lump| std::cmp::Reverse(lump.pixels.len()));
    let most = lumps.first().map_or(0.0, Group::area);
    lumps.retain(|lump| lump.area() >= DUST * most);
    let scale = Scale::of(&lumps);
    // Most pages show one: nothing more is looked at.
    if lumps.len() > MOST_PIECES || lumps.iter().filter(|lump| scale.is_body(lump)).count() < 2 {
        return People::default();
    }
    let page = Page { colours, solid: &solid, scale, least: least::COLOURS };
    let page = Page { least: page.colours_of(&lumps[0]).min(least::COLOURS), ..page };
    let groups = page.joined(lumps);
    let scale = Scale::of(&groups);
    let page = Page { scale, ..page };
    let (people, things): (Vec<Group>, Vec<Group>) =
        groups.into_iter().partition(|group| page.is_person(group));
    let people = with_their_parts(people);
    if people.len() < 2 {
        return People::default();
    }
    People { people: in_reading_order(people), things }
}

/// Left to right; on a page with one row of people under another, row by row.
fn in_reading_order(mut people: Vec<Group>) -> Vec<Group> {
    people.sort_by_key(|person| (person.rows.start, person.columns.start));
    let mut lines: Vec<(Range<usize>, Vec<Group>)> = Vec::new();
    for person in people {
        let middle = (person.rows.start + person.rows.end) / 2;
        match lines.iter_mut().find(|(rows, _)| rows.contains(&middle)) {
            Some((rows, line)) => {
                rows.end = rows.end.max(person.rows.end);
                line.push(person);
            }
            None => lines.push((person.rows.clone(), vec![person])),
        }
    }
    lines.iter_mut().for_each(|(_, line)| line.sort_by_key(|p| p.columns.start + p.columns.end));
    lines.into_iter().flat_map(|(_, line)| line).collect()
}

/// The tallest and the largest of a page.
#[derive(Clone, Copy)]
struct Scale {
    tallest: f64,
    largest: f64,
}

impl Scale {
    fn of(groups: &[Group]) -> Self {
        let largest = groups.iter().map(Group::area).fold(0.0, f64::max);
        // A long thin stroke is not the tallest person.
        let bodies = groups.iter().filter(|g| g.area() >= least::AREA * largest && is_broad(g));
        Self { tallest: bodies.map(Group::height).fold(1.0, f64::max), largest }
    }

    /// Whether something is as large as a person could be.
    fn is_body(&self, group: &Group) -> bool {
        group.area() >= least::AREA * self.largest
            && group.height() >= least::HEIGHT * self.tallest
            && is_broad(group)
            && group.columns.len() as f64 <= WIDEST * group.height()
    }
}

fn is_broad(group: &Group) -> bool {
    group.area() >= least::WIDTH * group.height() * group.height()
}

/// A page on which people are looked for.
struct Page<'a> {
    colours: &'a Array2<Lab>,
    solid: &'a Array2<bool>,
    scale: Scale,
    /// Fewest colours of a person of this page: a drawing in ink alone has one.
    least: usize,
}

impl Page<'_> {
    fn is_person(&self, group: &Group) -> bool {
        self.scale.is_body(group) && self.colours_of(group) >= self.least
    }

    /// Large pieces with those that belong to them; `lumps` are the largest first.
    fn joined(&self, lumps: Vec<Group>) -> Vec<Group> {
        /// How far a part may lie from the rest, in beads of an adult.
        const NEAR: f64 = 1.1;
        /// Or how much of it has the rest to its left and right.
        const WITHIN: f64 = 0.1;
        let bead = self.scale.tallest / HeightClass::GUIDE.rows.total() as f64;
        let reach = (NEAR * bead).round() as usize;
        let mut groups: Vec<(Group, Array2<bool>)> = Vec::new();
        for lump in lumps {
            let is_person = self.is_person(&lump);
            let belongs = |(group, close): &(Group, Array2<bool>)| {
                let is_near = lump.pixels.iter().any(|&p| close[p]);
                if is_near && (!is_person || group.is_stacked_with(&lump)) {
                    return true;
                }
                !is_person && self.within(group, &lump) >= WITHIN
            };
            match groups.iter().position(belongs) {
                Some(at) => {
                    let (group, close) = &mut groups[at];
                    let near = grown(&lump.mask(self.solid.dim()), reach);
                    close.zip_mut_with(&near, |close, near| *close |= near);
                    group.join(lump);
                }
                None => {
                    let close = grown(&lump.mask(self.solid.dim()), reach);
                    groups.push((lump, close));
                }
            }
        }
        groups.into_iter().map(|(group, _)| group).collect()
    }

    /// How much of a piece has a group to its left and right.
    fn within(&self, group: &Group, piece: &Group) -> f64 {
        let mut spans: Vec<Option<(usize, usize)>> = vec![None; self.solid.nrows()];
        for &(y, x) in &group.pixels {
            let (first, last) = spans[y].unwrap_or((x, x));
            spans[y] = Some((first.min(x), last.max(x)));
        }
        let is_inside =
            |(y, x): &&(usize, usize)| spans[*y].is_some_and(|(first, last)| first <= *x && *x <= last);
        let inside = piece.pixels.iter().filter(is_inside).count();
        inside as f64 / piece.area()
    }

    /// How many colours a group's flat places have, what is as pale as the paper among them.
    fn colours_of(&self, group: &Group) -> usize {
        /// Neighbours on a flat place differ by less than this, and one colour's pixels by less than that, in Lab
        /// units; a colour has at least such a share of the flat places.
        const FLAT: f64 = 8.0;
        const ALIKE: f64 = 14.0;
        const SHARE: f64 = 0.03;
        let is_flat = |&&p: &&(usize, usize)| {
            beside(p, self.solid.dim()).all(|near| {
                self.solid[near] && self.colours[p].distance_squared(self.colours[near]) <= FLAT * FLAT
            })
        };
        let mut found: Vec<(Lab, usize)> = Vec::new();
        let mut flat = 0;
        for &place in group.pixels.iter().filter(is_flat) {
            flat += 1;
            let colour = self.colours[place];
            match found.iter_mut().find(|(known, _)| known.distance_squared(colour) <= ALIKE * ALIKE) {
                Some((_, count)) => *count += 1,
                None => found.push((colour, 1)),
            }
        }
        found.iter().filter(|(_, count)| *count as f64 >= SHARE * f64::from(flat)).count()
    }
}

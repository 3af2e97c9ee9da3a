//! One page of a notebook that lies open.

use super::field::Field;
use super::judge::Judged;
use super::line::{Line, Point, area_of, between, distance, minus};

/// The page that is drawn on, where what was taken for one sheet is both pages of an open notebook: three of its sides
/// are the notebook's, and along the fourth runs the row of holes or rings that binds the two.
pub(super) fn page<'a>(field: &Field, notebook: &Judged, judged: &'a [Judged]) -> Option<&'a Judged> {
    let pages = judged.iter().filter(|page| is_page(field, page, notebook));
    pages.max_by(|a, b| a.worth().total_cmp(&b.worth()))
}

fn is_page(field: &Field, page: &Judged, notebook: &Judged) -> bool {
    /// Paper ends along most of the sides that are the notebook's own.
    const SHARE: f64 = 0.8;
    /// A page has this much of what is seen of a notebook.
    const OF_NOTEBOOK: std::ops::Range<f64> = 0.35..0.92;
    /// Of all that is drawn, wire and holes among it, this much is on the page.
    const DRAWN: f64 = 0.4;
    let Some(spine) = spine_of(page, notebook) else { return false };
    let drawn = |judged: &Judged| judged.inside.drawn * area_of(&judged.quad.corners);
    let is_own = |side: usize| side == spine || page.quad.framed[side] || page.walked[side].share() >= SHARE;
    (0..4).all(is_own)
        && OF_NOTEBOOK.contains(&(area_of(&page.quad.corners) / area_of(&notebook.quad.corners)))
        && drawn(page) >= DRAWN * drawn(notebook)
        && page.may_be_paper()
        && is_bound(field, page, spine)
}

/// The side that crosses the notebook, if the three others lie on its sides.
fn spine_of(page: &Judged, notebook: &Judged) -> Option<usize> {
    /// How far a page's side may lie off the notebook's, and how far the spine lies within it, as shares of the
    /// notebook's longest side.
    const OFF: f64 = 0.02;
    const WITHIN: f64 = 0.08;
    let sides = |corners: [Point; 4]| (0..4).map(move |i| (corners[i], corners[(i + 1) % 4]));
    let longest = sides(notebook.quad.corners).map(|(a, b)| distance(a, b)).fold(0.0, f64::max);
    let lines: Vec<Line> = sides(notebook.quad.corners).filter_map(|(a, b)| Line::through(a, b)).collect();
    let off = |(a, b): (Point, Point), line: &Line| line.off(a).abs().max(line.off(b).abs());
    let lies_on = |side| lines.iter().any(|line| off(side, line) <= OFF * longest);
    let mut within = sides(page.quad.corners).enumerate().filter(|(_, side)| !lies_on(*side));
    let (spine, (from, to)) = within.next()?;
    let (middle, centre) = (between(from, to, 0.5), centre_of(&notebook.quad.corners));
    let is_within = lines.iter().all(|line| {
        let off = line.off(middle) * line.off(centre).signum();
        off >= WITHIN * longest
    });
    (is_within && within.next().is_none() && !page.quad.framed[spine]).then_some(spine)
}

/// Whether holes or rings follow one another evenly along a side: dark and light take turns all along it.
fn is_bound(field: &Field, page: &Judged, side: usize) -> bool {
    /// What is looked at beside the paper's edge, in pixels outwards.
    const BESIDE: std::ops::RangeInclusive<i32> = -4..=8;
    /// A hole or a ring is darker than paper by this much, in the logarithm of stored values.
    const DARK: f32 = 0.12;
    /// From one to the next it is at most so far, in pixels: 12 mm of a page that fills the look.
    const APART: usize = 20;
    /// All along except for this much, where a hand or a shadow's edge lies over it.
    const MOST: f64 = 0.75;
    let corners = page.quad.corners;
    let (from, to) = (corners[side], corners[(side + 1) % 4]);
    let length = distance(from, to);
    let centre = centre_of(&corners);
    let along = minus(to, from);
    let mut outwards = (along.1 / length, -along.0 / length);
    let middle = between(from, to, 0.5);
    if (centre.0 - middle.0) * outwards.0 + (centre.1 - middle.1) * outwards.1 > 0.0 {
        outwards = (-outwards.0, -outwards.1);
    }
    let turns = |off: i32| {
        let place = |step: usize| {
            let (x, y) = between(from, to, step as f64 / length);
            (x + f64::from(off) * outwards.0, y + f64::from(off) * outwards.1)
        };
        let seen: Vec<Option<f32>> =
            (0..=length as usize).map(|step| field.at(place(step)).map(|light| light[1])).collect();
        // Each place beside the lightest around it, which is paper between two holes.
        let is_dark = |at: usize| {
            let around = &seen[at.saturating_sub(APART)..(at + APART + 1).min(seen.len())];
            let paper = around.iter().flatten().fold(f32::MIN, |most, &light| most.max(light));
            seen[at].is_some_and(|light| light < paper - DARK)
        };
        let dark: Vec<bool> = (0..seen.len()).map(is_dark).collect();
        let turns: Vec<usize> = (1..dark.len()).filter(|&at| dark[at] != dark[at - 1]).collect();
        let steady =
            turns.windows(2).map(|pair| pair[1] - pair[0]).filter(|gap| *gap <= APART).sum::<usize>();
        steady as f64 / seen.iter().flatten().count().max(1) as f64
    };
    BESIDE.map(turns).fold(0.0, f64::max) >= MOST
}

fn centre_of(corners: &[Point; 4]) -> Point {
    corners.iter().fold((0.0, 0.0), |c, p| (c.0 + p.0 / 4.0, c.1 + p.1 / 4.0))
}

//! A drawing photographed on its sheet: where the sheet is.
//!
//! One bright sheet before a darker surface: wholly in view, running out of it, or filling it.

use image::{GrayImage, Luma};
use imageproc::contours::{BorderType, find_contours_with_threshold};
use imageproc::geometry::{approximate_polygon_dp, arc_length, contour_area, convex_hull};
use imageproc::point::Point;
use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::ground::{Ground, median};

/// A sheet covers at least this share of the photograph.
const LEAST_SHARE: f64 = 0.25;

/// A quadrilateral nearer than this to the frame on all sides is the frame itself (share of a side).
const FRAME: f64 = 0.01;

/// How much of the outline's length its simplified form may be off (Douglas-Peucker's epsilon), finest
/// first; the first with few enough points serves.
const SLACKS: [f64; 4] = [0.004, 0.008, 0.016, 0.03];

/// Most points of a simplified outline among which the four corners are sought.
const MOST_POINTS: usize = 16;

/// Four corners of a sheet in pixels: top left, top right, bottom right, bottom left.
pub(crate) type Corners = [(f64, f64); 4];

/// What a photograph shows of its paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Sheet {
    /// All four corners.
    Whole(Corners),
    /// A sheet that runs out of the picture: the largest upright rectangle that is paper (left, top, right,
    /// bottom, in pixels).
    Part([usize; 4]),
    /// Paper from edge to edge, in uneven or coloured light.
    FillsFrame,
}

/// Otsu's level lies between paper and table; a hand's shadow on the paper may fall below it, so lower levels
/// are tried as well.
const LEVELS: [f64; 3] = [1.0, 0.8, 0.6];

/// Finds the paper in a photograph, or nothing where there is none.
pub(crate) fn find_sheet(colours: &Array2<Lab>) -> Option<Sheet> {
    let (rows, columns) = colours.dim();
    // Paper in shadow can be as dark as a lit table; it is hardly ever as coloured.
    let whiteness = GrayImage::from_fn(columns as u32, rows as u32, |x, y| {
        let colour = colours[(y as usize, x as usize)];
        Luma([((colour.l - colour.chroma()) * 2.55).clamp(0.0, 255.0) as u8])
    });
    let otsu = f64::from(imageproc::contrast::otsu_level(&whiteness));
    let mut bright_before = None;
    let mut outlines: Vec<Vec<Point<i32>>> = Vec::new();
    for level in LEVELS {
        let level = (otsu * level) as u8;
        let bright = whiteness.iter().filter(|&&v| v > level).count();
        // No more pixels than at the level above: the same outline.
        if bright_before.replace(bright) != Some(bright) {
            outlines.extend(bright_outline(&whiteness, level));
        }
    }
    let whole = outlines.iter().find_map(|outline| whole_sheet(colours, outline)).map(Sheet::Whole);
    let part = || outlines.first().and_then(|outline| part_of_sheet(colours, outline)).map(Sheet::Part);
    let fills = || fills_frame(colours).then_some(Sheet::FillsFrame);
    whole.or_else(part).or_else(fills)
}

/// The outline of the largest bright area, if it is large enough for a sheet.
fn bright_outline(whiteness: &GrayImage, level: u8) -> Option<Vec<Point<i32>>> {
    let mask = imageproc::contrast::threshold(whiteness, level, imageproc::contrast::ThresholdType::Binary);
    let outline = find_contours_with_threshold::<i32>(&mask, 127)
        .into_iter()
        .filter(|c| c.border_type == BorderType::Outer && c.points.len() >= 4)
        .max_by(|a, b| contour_area(&a.points).total_cmp(&contour_area(&b.points)))?
        .points;
    let (width, height) = whiteness.dimensions();
    (contour_area(&outline) >= LEAST_SHARE * f64::from(width) * f64::from(height)).then_some(outline)
}

fn whole_sheet(colours: &Array2<Lab>, outline: &[Point<i32>]) -> Option<Corners> {
    let (rows, columns) = colours.dim();
    // The hull closes what the drawing or a thumb cuts out of the sheet's edge.
    let hull = convex_hull(outline);
    let corners = largest_quad(&simplified(&hull))?;
    let filled = contour_area(outline) / quad_area(&corners);
    let (width, height) = (columns as f64, rows as f64);
    let on_frame = corners
        .iter()
        .all(|&(x, y)| x.min(width - 1.0 - x) <= FRAME * width && y.min(height - 1.0 - y) <= FRAME * height);
    /// The sheet fills its quadrilateral; a figure's silhouette does not.
    const FILLED: std::ops::RangeInclusive<f64> = 0.93..=1.07;
    let is_sheet = FILLED.contains(&filled)
        && !on_frame
        && is_straight(outline, &corners, width.max(height))
        && is_lit_paper(colours, &corners);
    is_sheet.then(|| straight_part(corners, (width, height)))
}

/// The part of a sheet that the frame's own edges do not slant: a side that runs along the frame is none of
/// the paper's, so it is laid parallel to the side it faces, through its inner end.
fn straight_part(corners: Corners, (width, height): (f64, f64)) -> Corners {
    let near = |v: f64, edge: f64, size: f64| (v - edge).abs() <= FRAME * size;
    let on_edges = |(x, y): (f64, f64)| {
        [
            near(x, 0.0, width),
            near(x, width - 1.0, width),
            near(y, 0.0, height),
            near(y, height - 1.0, height),
        ]
    };
    let along_frame = |i: usize| {
        let (a, b) = (on_edges(corners[i]), on_edges(corners[(i + 1) % 4]));
        (0..4).any(|edge| a[edge] && b[edge])
    };
    // A side as a point of it and its direction.
    let side = |i: usize| (corners[i], minus(corners[(i + 1) % 4], corners[i]));
    let sides: [_; 4] = std::array::from_fn(|i| {
        let facing = (i + 2) % 4;
        if !along_frame(i) || along_frame(facing) {
            return side(i);
        }
        let (start, along) = side(facing);
        let away = |p: (f64, f64)| cross(along, minus(p, start)).abs();
        let (a, b) = (corners[i], corners[(i + 1) % 4]);
        (if away(a) <= away(b) { a } else { b }, along)
    });
    std::array::from_fn(|i| meeting(sides[(i + 3) % 4], sides[i]).unwrap_or(corners[i]))
}

fn minus(a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
    (a.0 - b.0, a.1 - b.1)
}

fn cross(a: (f64, f64), b: (f64, f64)) -> f64 {
    a.0 * b.1 - a.1 * b.0
}

/// Where two lines meet, each a point and a direction; nowhere if they are parallel.
fn meeting(
    (a, along): ((f64, f64), (f64, f64)),
    (b, across): ((f64, f64), (f64, f64)),
) -> Option<(f64, f64)> {
    let turn = cross(along, across);
    let t = cross(minus(b, a), across) / turn;
    t.is_finite().then_some((a.0 + t * along.0, a.1 + t * along.1))
}

/// Whether the outline keeps to the quadrilateral's sides: paper is cut straight, a coat is not.
fn is_straight(outline: &[Point<i32>], corners: &Corners, side: f64) -> bool {
    /// Mean distance, as a share of the picture's longer side; a thumb or the drawing may touch the edge.
    const STRAY: f64 = 0.006;
    /// Points so near to a corner are let off: paper's corners are round or dog-eared.
    const CORNER: f64 = 0.04;
    let by_corner = |x: f64, y: f64| corners.iter().any(|c| (c.0 - x).hypot(c.1 - y) < CORNER * side);
    let to_side = |x: f64, y: f64| {
        let distance = |i: usize| {
            let ((x0, y0), (x1, y1)) = (corners[i], corners[(i + 1) % 4]);
            ((x1 - x0) * (y0 - y) - (x0 - x) * (y1 - y0)).abs() / (x1 - x0).hypot(y1 - y0).max(1e-9)
        };
        (0..4).map(distance).fold(f64::INFINITY, f64::min)
    };
    let points = outline.iter().map(|p| (f64::from(p.x), f64::from(p.y))).filter(|&(x, y)| !by_corner(x, y));
    let distances: Vec<f64> = points.map(|(x, y)| to_side(x, y)).collect();
    distances.iter().sum::<f64>() <= STRAY * side * distances.len() as f64
}

/// The largest upright rectangle of paper, where the sheet runs out of the picture.
fn part_of_sheet(colours: &Array2<Lab>, outline: &[Point<i32>]) -> Option<[usize; 4]> {
    let (rows, columns) = colours.dim();
    let hull = convex_hull(outline);
    /// A sheet is bounded by few straight sides, its own and the picture's, and fills them.
    const MOST_SIDES: usize = 7;
    const FILLED: f64 = 0.9;
    const LEAST_PART: f64 = 0.3;
    let sides = approximate_polygon_dp(&hull, 0.012 * arc_length(&hull, true), true);
    let outside = 1.0 - contour_area(&hull) / (rows * columns) as f64;
    /// So much of the picture must show something else, or the paper fills the frame.
    const TABLE: f64 = 0.04;
    let touches =
        |p: &Point<i32>| p.x <= 1 || p.y <= 1 || p.x >= columns as i32 - 2 || p.y >= rows as i32 - 2;
    if sides.len() > MOST_SIDES
        || contour_area(outline) < FILLED * contour_area(&hull)
        || outside < TABLE
        || !hull.iter().any(touches)
    {
        return None;
    }
    let found = largest_rectangle(&inside_of(&hull, rows, columns))?;
    let [left, top, right, bottom] = found;
    let corners =
        [(left, top), (right, top), (right, bottom), (left, bottom)].map(|(x, y)| (x as f64, y as f64));
    let large = (right - left) * (bottom - top) >= (LEAST_PART * (rows * columns) as f64) as usize;
    (large && is_lit_paper(colours, &corners)).then_some(found)
}

/// Which pixels lie inside a convex outline.
fn inside_of(hull: &[Point<i32>], rows: usize, columns: usize) -> Array2<bool> {
    let turns = |x: i32, y: i32| {
        (0..hull.len()).map(move |i| {
            let (a, b) = (hull[i], hull[(i + 1) % hull.len()]);
            (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x)
        })
    };
    Array2::from_shape_fn((rows, columns), |(y, x)| {
        let (x, y) = (x as i32, y as i32);
        turns(x, y).all(|turn| turn >= 0) || turns(x, y).all(|turn| turn <= 0)
    })
}

/// The largest rectangle of set pixels: left, top, right, bottom. The heights of set columns above each row
/// are kept, and from each the widest run at least as high is looked for.
fn largest_rectangle(mask: &Array2<bool>) -> Option<[usize; 4]> {
    let (rows, columns) = mask.dim();
    let mut heights = vec![0_usize; columns];
    let mut best: Option<(usize, [usize; 4])> = None;
    for y in 0..rows {
        for (x, height) in heights.iter_mut().enumerate() {
            *height = if mask[(y, x)] { *height + 1 } else { 0 };
        }
        let mut open: Vec<usize> = Vec::new();
        for x in 0..=columns {
            let height = heights.get(x).copied().unwrap_or(0);
            while open.last().is_some_and(|&last| heights[last] >= height) {
                // The loop's condition holds the last one.
                let high = open.pop().map_or(0, |last| heights[last]);
                let left = open.last().map_or(0, |last| last + 1);
                let area = high * (x - left);
                if area > best.map_or(0, |b| b.0) {
                    best = Some((area, [left, y + 1 - high, x, y + 1]));
                }
            }
            open.push(x);
        }
    }
    best.map(|b| b.1)
}

/// Whether the whole frame is paper under a lamp: its border is light and hardly coloured, and its light
/// changes from side to side and is grainy, as no flat digital ground's does.
fn fills_frame(colours: &Array2<Lab>) -> bool {
    const LEAST_LIGHTNESS: f64 = 50.0;
    const MOST_CHROMA: f64 = 28.0;
    /// Lightness changes at least so much along the border, in L*; and is at least so grainy.
    const CHANGES: f64 = 4.0;
    const GRAINY: f64 = 0.25;
    let ground = Ground::of_border(colours);
    let (rows, columns) = colours.dim();
    let places =
        [(0, 0), (0, columns - 1), (rows - 1, 0), (rows - 1, columns - 1), (rows / 2, 0), (0, columns / 2)];
    let seen = places.map(|p| ground.at(p));
    let (low, high) = seen.iter().fold((f64::MAX, f64::MIN), |(l, h), c| (l.min(c.l), h.max(c.l)));
    const ONE_GROUND: f64 = 0.6;
    ground.agreement > ONE_GROUND
        && seen.iter().all(|c| c.l >= LEAST_LIGHTNESS && c.chroma() <= MOST_CHROMA)
        && high - low >= CHANGES
        && grain_of_border(colours) >= GRAINY
}

/// The middle difference of neighbouring pixels along the border, in L*.
pub(crate) fn grain_of_border(colours: &Array2<Lab>) -> f64 {
    let (rows, columns) = colours.dim();
    let along = |y: usize| (1..columns).map(move |x| (colours[(y, x)].l - colours[(y, x - 1)].l).abs());
    let down = |x: usize| (1..rows).map(move |y| (colours[(y, x)].l - colours[(y - 1, x)].l).abs());
    median(along(0).chain(along(rows - 1)).chain(down(0)).chain(down(columns - 1)).collect())
}

/// Paper is light, hardly coloured, and the same nearly all along its inner edge: a figure's coat is not.
fn is_lit_paper(colours: &Array2<Lab>, corners: &Corners) -> bool {
    /// Warm lamp light on white paper reaches chroma 25; cloth is stronger or darker.
    const MOST_CHROMA: f64 = 30.0;
    const LEAST_LIGHTNESS: f64 = 40.0;
    let centre = corners.iter().fold((0.0, 0.0), |c, p| (c.0 + p.0 / 4.0, c.1 + p.1 / 4.0));
    let along = (0..4).flat_map(|i| {
        let (from, to) = (corners[i], corners[(i + 1) % 4]);
        (0..=20).map(move |t| {
            let t = f64::from(t) / 20.0;
            (from.0 + (to.0 - from.0) * t, from.1 + (to.1 - from.1) * t)
        })
    });
    let inside: Vec<Lab> = along
        .map(|(x, y)| (x + (centre.0 - x) * 0.06, y + (centre.1 - y) * 0.06))
        .filter_map(|(x, y)| colours.get((y.max(0.0) as usize, x.max(0.0) as usize)).copied())
        .collect();
    let paper = |c: &&Lab| c.l >= LEAST_LIGHTNESS && c.chroma() <= MOST_CHROMA;
    inside.iter().filter(paper).count() as f64 >= 0.95 * inside.len() as f64
}

/// The outline with few points, clockwise. Its four outermost points towards the frame's corners are always
/// among them: simplifying a closed line may lose the point it begins at.
fn simplified(hull: &[Point<i32>]) -> Vec<Point<i32>> {
    let length = arc_length(hull, true);
    let mut points = SLACKS
        .iter()
        .map(|slack| approximate_polygon_dp(hull, slack * length, true))
        .find(|polygon| polygon.len() <= MOST_POINTS)
        .unwrap_or_default();
    for (across, down) in [(-1, -1), (1, -1), (1, 1), (-1, 1)] {
        points.extend(hull.iter().max_by_key(|p| across * p.x + down * p.y));
    }
    let count = points.len().max(1) as f64;
    let centre =
        points.iter().fold((0.0, 0.0), |c, p| (c.0 + f64::from(p.x) / count, c.1 + f64::from(p.y) / count));
    let angle = |p: &Point<i32>| (f64::from(p.y) - centre.1).atan2(f64::from(p.x) - centre.0);
    points.sort_by(|a, b| angle(a).total_cmp(&angle(b)));
    points.dedup();
    points
}

/// The four points of an outline that span the largest area, clockwise from the top left: of a sheet
/// with a soft or nicked edge these are its corners.
fn largest_quad(outline: &[Point<i32>]) -> Option<Corners> {
    let points: Vec<(f64, f64)> = outline.iter().map(|p| (f64::from(p.x), f64::from(p.y))).collect();
    let n = points.len();
    let mut best: Option<(f64, Corners)> = None;
    for a in 0..n {
        for b in a + 1..n {
            for c in b + 1..n {
                for d in c + 1..n {
                    let quad = [points[a], points[b], points[c], points[d]];
                    let area = quad_area(&quad);
                    if best.is_none_or(|(most, _)| area > most) {
                        best = Some((area, quad));
                    }
                }
            }
        }
    }
    best.map(|(_, quad)| clockwise(quad))
}

/// Corners clockwise on the screen, from the top left.
fn clockwise(mut corners: Corners) -> Corners {
    let centre = corners.iter().fold((0.0, 0.0), |c, p| (c.0 + p.0 / 4.0, c.1 + p.1 / 4.0));
    let angle = |p: &(f64, f64)| (p.1 - centre.1).atan2(p.0 - centre.0);
    // Angles run from -180 degrees (left) over -90 (up): the first is the top left one.
    corners.sort_by(|a, b| angle(a).total_cmp(&angle(b)));
    corners
}

fn quad_area(c: &Corners) -> f64 {
    (0..4).map(|i| c[i].0 * c[(i + 1) % 4].1 - c[(i + 1) % 4].0 * c[i].1).sum::<f64>().abs() / 2.0
}

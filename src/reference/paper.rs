//! A drawing photographed on its sheet: the sheet found, straightened, its light evened.
//!
//! A plain first version: one bright sheet, wholly in view, before a darker surface.

use image::{GrayImage, Luma};
use imageproc::contours::{BorderType, find_contours_with_threshold};
use imageproc::geometry::{approximate_polygon_dp, arc_length, contour_area, convex_hull};
use imageproc::point::Point;
use ndarray::Array2;

use crate::colour::{Lab, Srgb};
use crate::reference::ground::{least_squares, median};
use crate::reference::shrink::{Light, colour_of};

/// A sheet covers at least this share of the photograph.
const LEAST_SHARE: f64 = 0.2;

/// A quadrilateral nearer than this to the frame on all sides is the frame itself (share of a side).
const FRAME: f64 = 0.01;

/// How much of the outline's length its simplified form may be off (Douglas-Peucker's epsilon), finest
/// first; the first with few enough points serves.
const SLACKS: [f64; 4] = [0.004, 0.008, 0.016, 0.03];

/// Most points of a simplified outline among which the four corners are sought.
const MOST_POINTS: usize = 16;

/// What white paper becomes when its light is evened: the white of office paper under D65, a little
/// below the screen's own white so that chalk-white marks on it may still stand out.
const PAPER_WHITE: Srgb = Srgb::new(251, 251, 250);

/// Four corners of a sheet in pixels: top left, top right, bottom right, bottom left.
pub(crate) type Corners = [(f64, f64); 4];

/// Finds the sheet in a photograph, or nothing where there is none.
pub(crate) fn find_sheet(colours: &Array2<Lab>) -> Option<Corners> {
    let (rows, columns) = colours.dim();
    // Paper in shadow can be as dark as a lit table; it is hardly ever as coloured.
    let whiteness = GrayImage::from_fn(columns as u32, rows as u32, |x, y| {
        let colour = colours[(y as usize, x as usize)];
        Luma([((colour.l - colour.chroma()) * 2.55).clamp(0.0, 255.0) as u8])
    });
    let level = imageproc::contrast::otsu_level(&whiteness);
    let mask = imageproc::contrast::threshold(&whiteness, level, imageproc::contrast::ThresholdType::Binary);
    let contours = find_contours_with_threshold::<i32>(&mask, 127);
    let outline = contours
        .into_iter()
        .filter(|c| c.border_type == BorderType::Outer && c.points.len() >= 4)
        .max_by(|a, b| contour_area(&a.points).total_cmp(&contour_area(&b.points)))?
        .points;
    let area = contour_area(&outline);
    if area < LEAST_SHARE * (rows * columns) as f64 {
        return None;
    }
    // The hull closes what the drawing or a thumb cuts out of the sheet's edge.
    let hull = convex_hull(outline.as_slice());
    let corners = largest_quad(&simplified(&hull))?;
    let filled = area / quad_area(&corners);
    let (width, height) = (columns as f64, rows as f64);
    let on_frame = corners
        .iter()
        .all(|&(x, y)| x.min(width - 1.0 - x) <= FRAME * width && y.min(height - 1.0 - y) <= FRAME * height);
    /// The sheet fills its quadrilateral; a figure's silhouette does not.
    const FILLED: std::ops::RangeInclusive<f64> = 0.93..=1.07;
    (FILLED.contains(&filled) && !on_frame && is_lit_paper(colours, &corners)).then_some(corners)
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

/// The outline with few points.
fn simplified(hull: &[Point<i32>]) -> Vec<Point<i32>> {
    let length = arc_length(hull, true);
    SLACKS
        .iter()
        .map(|slack| approximate_polygon_dp(hull, slack * length, true))
        .find(|polygon| polygon.len() <= MOST_POINTS)
        .unwrap_or_default()
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

/// Terms of the light's surface: all products of x and y up to the third degree.
const TERMS: usize = 10;

/// The light that falls on a sheet, as the linear colour of its bare paper from place to place.
#[derive(Clone, Debug)]
pub(crate) struct PaperLight {
    surface: [[f64; TERMS]; 3],
}

impl PaperLight {
    /// Learns the light from a straightened sheet: starts from its brighter half and keeps what
    /// lies near the surface, so that drawing and shadow-less ink drop out.
    pub fn learn(sheet: &Array2<Light>) -> Option<Self> {
        let (rows, columns) = sheet.dim();
        let places: Vec<((usize, usize), [f64; 3])> = sheet
            .indexed_iter()
            .map(|(p, &light)| (p, colour_of(light)))
            .map(|(p, c)| (p, [c.r, c.g, c.b].map(|v| v.max(1e-4).ln())))
            .collect();
        let basis = |p: (usize, usize)| basis(p.1 as f64 / columns as f64, p.0 as f64 / rows as f64);
        let middle = median(places.iter().map(|(_, c)| c[1]).collect());
        let mut kept: Vec<_> = places.iter().filter(|(_, c)| c[1] >= middle - 0.35).collect();
        let mut fitted = None;
        for bound in [0.3, 0.15, 0.1, 0.08, 0.06] {
            let mut surface = [[0.0; TERMS]; 3];
            for (channel, surface) in surface.iter_mut().enumerate() {
                *surface = least_squares(kept.iter().map(|(p, c)| (basis(*p), c[channel])), TERMS)?;
            }
            kept = places
                .iter()
                .filter(|(p, c)| {
                    let basis = basis(*p);
                    (0..3).all(|i| (c[i] - product(&basis, &surface[i])).abs() <= bound)
                })
                .collect();
            fitted = Some(Self { surface });
        }
        fitted
    }

    /// A pixel as it would look under even white light; `u` and `v` are its place on the sheet, 0 to 1.
    pub fn evened(&self, light: Light, u: f64, v: f64) -> Light {
        let basis = basis(u, v);
        let white = PAPER_WHITE.linear();
        let mut out = light;
        for (channel, white) in [white.r, white.g, white.b].into_iter().enumerate() {
            let paper = product(&basis, &self.surface[channel]).exp();
            out[channel] = (f64::from(light[channel]) * white / paper).min(f64::from(light[3])) as f32;
        }
        out
    }
}

fn basis(u: f64, v: f64) -> [f64; TERMS] {
    let (x, y) = (2.0 * u - 1.0, 2.0 * v - 1.0);
    [1.0, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y]
}

fn product(basis: &[f64; TERMS], surface: &[f64; TERMS]) -> f64 {
    basis.iter().zip(surface).map(|(b, s)| b * s).sum()
}

//! A sheet of paper as it would lie before the eye, with what lies on it and the light on the bare paper, for reading
//! colours that are compared with the paper beside them.

use imageproc::geometric_transformations::Projection;
use ndarray::Array2;

use super::gains::Span;
use super::paper_light::PaperLight;
use super::shrink::{Area, Light, Overview, straight};
use super::sight::{Sight, View, size_within};
use super::{Corners, Picture, Sheet, SheetReading};
use crate::error::{Error, Result};

/// Longer side of the straightened sheet in pixels, at most: on a sheet of A4 a bead of 5 mm is then 37 across.
const LONGEST: f64 = 2200.0;

/// A sheet of paper straightened, or the whole photograph where paper fills it; never empty.
#[derive(Clone, Debug)]
pub struct FlatSheet {
    light: Array2<Light>,
    paper: Array2<[f32; 3]>,
    view: View,
    sheet: Option<Sheet>,
}

impl FlatSheet {
    /// The likeliest sheet of a photograph, or the one whose corners are given. `file` names it in errors.
    ///
    /// # Errors
    /// [`Error::NoSubject`] where no light can be learnt from paper.
    pub fn of(file: &str, picture: &Picture, corners: Option<Corners>) -> Result<Self> {
        let whole = picture.whole();
        let overview = Overview::of(picture, whole);
        let coarse = match corners {
            Some(corners) => Sight::on_given(&overview, whole, corners),
            None => Sight::coarse(&overview, whole, Some(SheetReading::Likeliest)),
        };
        let coarse = match coarse.view {
            View::Sheet { .. } => coarse,
            // No side of the paper is seen: it goes on beyond the frame.
            View::Straight { .. } => Sight::unstraightened(&overview, whole),
        };
        let known = (coarse.view, coarse.paper);
        let (View::Sheet { sheet: way, .. }, Some(paper)) = known else {
            let why = "no bare paper is seen around what lies there".into();
            return Err(Error::NoSubject { file: file.into(), why });
        };
        Ok(Self::seen(&overview, way, (&paper, coarse.bounds), coarse.sheet))
    }

    fn seen(
        overview: &Overview,
        way: Projection,
        (paper, bounds): (&PaperLight, Area),
        sheet: Option<Sheet>,
    ) -> Self {
        let longest = longest_side(way, bounds);
        let (rows, columns) = size_within(bounds, longest.clamp(1.0, LONGEST));
        let finer = overview.closer(longest / rows.max(columns) as f64);
        let overview = finer.as_ref().unwrap_or(overview);
        let near = Sight::through(overview, way, bounds, rows, columns);
        let across = Span::of(0.0, bounds.width, bounds.width, columns);
        let down = Span::of(0.0, bounds.height, bounds.height, rows);
        let paper = paper.on_paper((rows, columns), across, down);
        Self { light: near.light, paper, view: near.view, sheet }
    }

    /// Rows and columns of pixels.
    pub fn dim(&self) -> (usize, usize) {
        self.light.dim()
    }

    /// The linear colour seen at a pixel (row, column); nothing where the frame cut the sheet off.
    pub fn seen_at(&self, place: (usize, usize)) -> Option<[f32; 3]> {
        let light = *self.light.get(place)?;
        (light[3] > 0.5).then(|| straight(light))
    }

    /// The linear colour that bare paper would have at a pixel (row, column).
    pub fn paper_at(&self, place: (usize, usize)) -> [f32; 3] {
        self.paper[place]
    }

    /// Where a place of the flat sheet (x, y) lies in the upright photograph.
    pub fn picture_place(&self, place: (f64, f64)) -> (f64, f64) {
        self.view.to_picture(place)
    }

    /// The sheet in the photograph; none where paper fills the frame.
    pub fn sheet(&self) -> Option<Sheet> {
        self.sheet
    }
}

/// The longer side of a part of a sheet in pixels of the photograph.
fn longest_side(way: Projection, part: Area) -> f64 {
    let view = View::Sheet { sheet: way, area: part, columns: 1.0, rows: 1.0 };
    let [a, b, c] = [(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)].map(|corner| view.to_picture(corner));
    (b.0 - a.0).hypot(b.1 - a.1).max((c.0 - a.0).hypot(c.1 - a.1))
}

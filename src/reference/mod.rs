//! From a picture file to an upright sRGB picture whose subject is known.

pub(crate) mod ground;
pub mod open;
mod paper;
mod shrink;
pub(crate) mod subject;

pub use open::{Limits, Picture};
pub use shrink::{Area, Light, colour_of, resample};
pub use subject::Cover;

use image::{Rgba, RgbaImage};
use imageproc::geometric_transformations::Projection;
use ndarray::Array2;

use crate::colour::{Lab, Linear};
use crate::error::{Error, Result, Warning};
use crate::plan::MOST_COLUMNS;
use ground::Ground;
use paper::{Corners, PaperLight};

/// Working pixels to one bead: enough for an ink line a fifth of a bead wide to have a middle.
pub const PIXELS_PER_BEAD: f64 = 16.0;

/// Longer side of the coarse view in which sheet and subject are looked for, in pixels.
const COARSE: f64 = 480.0;

/// Ground kept around the subject in the working picture, in beads.
const MARGIN: f64 = 2.0;

/// Pixels of the picture file to a bead below which the maker is told that it is small.
const FEW_PIXELS: f64 = 6.0;

/// What is asked of a reference.
#[derive(Clone, Copy, Debug)]
pub struct ReferenceOptions {
    /// The part of the upright picture to use, in its pixels.
    pub crop: Option<Area>,
    /// Bead rows the subject will have: sets the working size.
    pub rows: usize,
}

/// What was done to a picture before it was sampled, for the maker to know.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// The subject was taken from the picture's transparency.
    CutOut,
    /// The subject was told from a plain ground.
    PlainGround,
    /// A sheet of paper was found, straightened, and its light evened.
    Sheet,
}

impl Step {
    /// What was done, as a phrase.
    pub fn describe(self) -> &'static str {
        match self {
            Self::CutOut => "took the figure from the picture's transparency",
            Self::PlainGround => "told the figure from its plain ground",
            Self::Sheet => "found the sheet of paper, straightened it and evened its light",
        }
    }
}

/// A working picture of the subject: upright, evened, about [`PIXELS_PER_BEAD`] pixels a bead, never
/// empty, with what each pixel shows.
#[derive(Clone, Debug)]
pub struct Reference {
    colours: Array2<Lab>,
    cover: Array2<Cover>,
    softness: f64,
    view: View,
    used: Area,
    step: Step,
    warnings: Vec<Warning>,
}

impl Reference {
    /// Finds the subject of a picture and brings it to working size. `file` is its name in errors.
    ///
    /// # Errors
    /// [`Error::NoSubject`]; [`Error::BadValue`] for a crop outside the picture.
    pub fn new(file: &str, picture: &Picture, options: &ReferenceOptions) -> Result<Self> {
        let whole = Area::whole(&picture.pixels);
        let area = options.crop.map_or(Ok(whole), |crop| inside("--crop", crop, whole))?;
        let coarse = Sight::coarse(&picture.pixels, area);
        let subject = coarse.subject(file, options.rows)?;
        let columns = subject.width / subject.height * options.rows as f64;
        if columns > MOST_COLUMNS as f64 {
            let why = format!("what was found is {columns:.0} beads wide at {} rows", options.rows);
            return Err(Error::NoSubject { file: file.into(), why });
        }
        let fine = coarse.closer(&picture.pixels, subject, options.rows);
        fine.into_reference(file, options.rows, &picture.pixels)
    }

    /// Colours by row and column of the working picture.
    pub fn colours(&self) -> &Array2<Lab> {
        &self.colours
    }

    /// What each pixel of the working picture shows.
    pub fn cover(&self) -> &Array2<Cover> {
        &self.cover
    }

    /// The part of the upright picture that holds the subject, in whole pixels: x, y, width, height.
    pub fn used(&self) -> [u32; 4] {
        let Area { x, y, width, height } = self.used;
        let (left, top) = (x.floor(), y.floor());
        let size = |end: f64, start: f64| (end.ceil() - start).max(1.0) as u32;
        [left as u32, top as u32, size(x + width, left), size(y + height, top)]
    }

    /// Working pixels to one pixel of the picture file; above 1 the picture was stretched, and every edge
    /// in it is about that wide.
    pub fn softness(&self) -> f64 {
        self.softness
    }

    /// What was done to the picture.
    pub fn step(&self) -> Step {
        self.step
    }

    /// What the maker should know about the picture.
    pub fn warnings(&self) -> &[Warning] {
        &self.warnings
    }

    /// The pixel row of the upright picture of a row of the working picture, along the subject's middle.
    pub fn picture_row(&self, working_row: f64) -> f64 {
        let (_, columns) = self.colours.dim();
        self.view.to_picture((columns as f64 / 2.0, working_row)).1
    }

    /// The working picture's row of a pixel row of the upright picture; for a straightened sheet along
    /// the subject's middle.
    pub fn working_row(&self, picture_row: f64) -> f64 {
        let middle = (self.used.x + self.used.width / 2.0, picture_row);
        self.view.working_place(middle).1
    }

    /// Where a place of the working picture (x, y) lies in the upright picture.
    pub fn picture_place(&self, x: f64, y: f64) -> (f64, f64) {
        self.view.to_picture((x, y))
    }

    /// First row, past the last row, first column and past the last column of the subject.
    pub fn extent(&self) -> (usize, usize, usize, usize) {
        // A reference without a subject is refused when it is made.
        subject::extent(&self.cover).unwrap_or((0, 1, 0, 1))
    }

    /// The working picture as it would be shown; what a cut-out leaves clear is clear.
    pub fn shown(&self) -> RgbaImage {
        let (rows, columns) = self.colours.dim();
        RgbaImage::from_fn(columns as u32, rows as u32, |x, y| {
            let place = (y as usize, x as usize);
            let colour = self.colours[place].srgb();
            let clear = self.step == Step::CutOut && self.cover[place] != Cover::Subject;
            Rgba([colour.r, colour.g, colour.b, if clear { 0 } else { 255 }])
        })
    }
}

/// The area, if it lies inside the picture; `option` is what the maker typed it after.
fn inside(option: &'static str, area: Area, whole: Area) -> Result<Area> {
    let fits = area.x >= 0.0
        && area.y >= 0.0
        && area.width >= 1.0
        && area.height >= 1.0
        && area.x + area.width <= whole.width
        && area.y + area.height <= whole.height;
    if fits {
        return Ok(area);
    }
    Err(Error::BadValue {
        option,
        value: format!("{},{},{},{}", area.x, area.y, area.width, area.height),
        why: format!("this is not inside the picture, which has {} x {} pixels", whole.width, whole.height),
        right: "give x, y, width and height in pixels of the upright picture".into(),
    })
}

/// The way between working pixels and pixels of the upright picture.
#[derive(Clone, Copy, Debug)]
enum View {
    /// An upright part of the picture: its area, and the working picture's columns and rows.
    Straight { area: Area, columns: f64, rows: f64 },
    /// A part of a straightened sheet; the projection goes from the unit sheet to the picture.
    Sheet { sheet: Projection, area: Area, columns: f64, rows: f64 },
}

impl View {
    fn to_picture(self, (x, y): (f64, f64)) -> (f64, f64) {
        match self {
            Self::Straight { area, columns, rows } => {
                (area.x + x / columns * area.width, area.y + y / rows * area.height)
            }
            Self::Sheet { sheet, area, columns, rows } => {
                let (u, v) = (area.x + x / columns * area.width, area.y + y / rows * area.height);
                let (px, py) = sheet * (u as f32, v as f32);
                (f64::from(px), f64::from(py))
            }
        }
    }

    fn working_place(self, (x, y): (f64, f64)) -> (f64, f64) {
        match self {
            Self::Straight { area, columns, rows } => {
                ((x - area.x) / area.width * columns, (y - area.y) / area.height * rows)
            }
            Self::Sheet { sheet, area, columns, rows } => {
                let (u, v) = sheet.invert() * (x as f32, y as f32);
                ((f64::from(u) - area.x) / area.width * columns, (f64::from(v) - area.y) / area.height * rows)
            }
        }
    }
}

/// A look at the picture at some scale.
struct Sight {
    light: Array2<Light>,
    /// Pixels of this look to one of the picture file; above 1 the picture was stretched.
    softness: f64,
    /// The picture's own transparency cuts the figure out; decided once, from afar.
    cut_out: bool,
    view: View,
    paper: Option<PaperLight>,
    bounds: Area,
}

impl Sight {
    /// The whole area at coarse scale, its sheet straightened if there is one.
    fn coarse(pixels: &RgbaImage, area: Area) -> Self {
        let (rows, columns) = size_within(area, COARSE);
        let light = resample(pixels, area, rows, columns);
        let view = View::Straight { area, columns: columns as f64, rows: rows as f64 };
        let softness = columns as f64 / area.width;
        let mut plain = Self { light, softness, cut_out: false, view, paper: None, bounds: area };
        plain.cut_out = subject::is_cut_out(&plain.alpha());
        if plain.cut_out {
            return plain;
        }
        match paper::find_sheet(&plain.colours()) {
            Some(corners) => plain.straightened(pixels, corners),
            None => plain,
        }
    }

    fn straightened(self, pixels: &RgbaImage, corners: Corners) -> Self {
        let in_picture = corners.map(|c| self.view.to_picture(c));
        let length = |a: usize, b: usize| {
            let ((x1, y1), (x2, y2)) = (in_picture[a], in_picture[b]);
            (x1 - x2).hypot(y1 - y2)
        };
        let (width, height) = (length(0, 1).max(length(3, 2)), length(0, 3).max(length(1, 2)));
        // The unit sheet is as wide as the paper is in heights, so that beads stay square.
        let aspect = (width / height) as f32;
        let unit = [(0.0, 0.0), (aspect, 0.0), (aspect, 1.0), (0.0, 1.0)];
        let Some(sheet) =
            Projection::from_control_points(unit, in_picture.map(|(x, y)| (x as f32, y as f32)))
        else {
            return self;
        };
        // The paper's own edge and its shadow stay outside.
        const EDGE: f64 = 0.015;
        let bounds =
            Area { x: EDGE, y: EDGE, width: f64::from(aspect) - 2.0 * EDGE, height: 1.0 - 2.0 * EDGE };
        let (rows, columns) = size_within(bounds, COARSE);
        let mut seen = Self::through(pixels, sheet, bounds, rows, columns);
        seen.paper = PaperLight::learn(&seen.light);
        seen.bounds = bounds;
        seen.even();
        seen
    }

    /// Looks at a part of a sheet: shrinks the part of the picture it lies in, then straightens that.
    fn through(pixels: &RgbaImage, sheet: Projection, area: Area, rows: usize, columns: usize) -> Self {
        let view = View::Sheet { sheet, area, columns: columns as f64, rows: rows as f64 };
        let corner = |x: f64, y: f64| view.to_picture((x * columns as f64, y * rows as f64));
        let corners = [corner(0.0, 0.0), corner(1.0, 0.0), corner(1.0, 1.0), corner(0.0, 1.0)];
        let span = |values: [f64; 4]| {
            values.iter().fold((f64::MAX, f64::MIN), |(low, high), &v| (low.min(v), high.max(v)))
        };
        let ((left, right), (top, bottom)) = (span(corners.map(|c| c.0)), span(corners.map(|c| c.1)));
        let box_ = Area { x: left, y: top, width: (right - left).max(1.0), height: (bottom - top).max(1.0) };
        /// Finer than the target, so that straightening blurs little.
        const FINER: f64 = 1.5;
        let scale = (FINER * columns as f64 / box_.width).min(1.0);
        let near = resample(
            pixels,
            box_,
            ((box_.height * scale) as usize).max(1),
            ((box_.width * scale) as usize).max(1),
        );
        let light = Array2::from_shape_fn((rows, columns), |(y, x)| {
            let (px, py) = view.to_picture((x as f64 + 0.5, y as f64 + 0.5));
            between(&near, (px - left) * scale - 0.5, (py - top) * scale - 0.5)
        });
        Self { light, softness: scale, cut_out: false, view, paper: None, bounds: area }
    }

    fn even(&mut self) {
        let (rows, columns) = self.light.dim();
        let (Some(paper), View::Sheet { area, .. }) = (&self.paper, self.view) else { return };
        let bounds = self.bounds;
        for ((y, x), light) in self.light.indexed_iter_mut() {
            let u = (area.x + (x as f64 + 0.5) / columns as f64 * area.width - bounds.x) / bounds.width;
            let v = (area.y + (y as f64 + 0.5) / rows as f64 * area.height - bounds.y) / bounds.height;
            *light = paper.evened(*light, u, v);
        }
    }

    /// The colours; what is clear without cutting the figure out shows white paper.
    fn colours(&self) -> Array2<Lab> {
        self.light.map(|&light| if self.cut_out { colour_of(light) } else { on_white(light) }.lab())
    }

    fn alpha(&self) -> Array2<f32> {
        self.light.map(|light| light[3])
    }

    fn cover(&self, colours: &Array2<Lab>, bead: f64) -> (Array2<Cover>, Step, f64) {
        if self.cut_out {
            return (subject::by_alpha(&self.alpha()), Step::CutOut, 1.0);
        }
        let ground = Ground::of_border(colours);
        let step = if self.paper.is_some() { Step::Sheet } else { Step::PlainGround };
        (subject::on_ground(colours, &ground, bead, self.softness), step, ground.agreement)
    }

    /// Where the subject lies, in the coordinates of the view's area.
    fn subject(&self, file: &str, rows: usize) -> Result<Area> {
        let colours = self.colours();
        let bead = self.light.nrows() as f64 / rows as f64;
        let (cover, _, agreement) = self.cover(&colours, bead.min(PIXELS_PER_BEAD));
        let none = |why: &str| Error::NoSubject { file: file.into(), why: why.into() };
        let (top, bottom, left, right) = subject::extent(&cover)
            .filter(|_| subject::is_plausible(&cover))
            .ok_or_else(|| none("nothing stands out from the ground"))?;
        /// Least share of the border that must look like one ground.
        const ONE_GROUND: f64 = 0.35;
        if agreement < ONE_GROUND {
            return Err(none("the border shows no plain ground to tell it from"));
        }
        let (View::Straight { area, columns, rows } | View::Sheet { area, columns, rows, .. }) = self.view;
        let (dx, dy) = (area.width / columns, area.height / rows);
        Ok(Area {
            x: area.x + left as f64 * dx,
            y: area.y + top as f64 * dy,
            width: (right - left) as f64 * dx,
            height: (bottom - top) as f64 * dy,
        })
    }

    /// The subject at working size.
    fn closer(self, pixels: &RgbaImage, subject: Area, rows: usize) -> Self {
        let bead = subject.height / rows as f64;
        let area = subject.grown_within(MARGIN * bead, self.bounds);
        let scale = PIXELS_PER_BEAD / bead;
        let size = |length: f64| ((length * scale).round() as usize).clamp(1, MOST_WORKING);
        let (rows, columns) = (size(area.height), size(area.width));
        match self.view {
            View::Straight { .. } => Self {
                light: resample(pixels, area, rows, columns),
                softness: columns as f64 / area.width,
                view: View::Straight { area, columns: columns as f64, rows: rows as f64 },
                ..self
            },
            View::Sheet { sheet, .. } => {
                let near = Self::through(pixels, sheet, area, rows, columns);
                let mut near = Self { paper: self.paper, bounds: self.bounds, ..near };
                near.even();
                near
            }
        }
    }

    /// The box in the upright picture around a box of this look: left, top, right, bottom.
    fn box_in_picture(&self, [left, top, right, bottom]: [f64; 4], pixels: &RgbaImage) -> Area {
        let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
        let corners = corners.map(|corner| self.view.to_picture(corner));
        let span = |of: fn(&(f64, f64)) -> f64, most: u32| {
            let values = corners.iter().map(of).map(|v| v.clamp(0.0, f64::from(most)));
            values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
        };
        let ((x0, x1), (y0, y1)) = (span(|c| c.0, pixels.width()), span(|c| c.1, pixels.height()));
        Area { x: x0, y: y0, width: (x1 - x0).max(1.0), height: (y1 - y0).max(1.0) }
    }

    fn into_reference(self, file: &str, rows: usize, pixels: &RgbaImage) -> Result<Reference> {
        let mut colours = self.colours();
        let (cover, step, _) = self.cover(&colours, PIXELS_PER_BEAD);
        if step == Step::CutOut {
            // Clear pixels have no colour; as white paper they are never taken for a line of ink.
            let clear = colours.iter_mut().zip(&cover).filter(|(_, cover)| **cover != Cover::Subject);
            clear.for_each(|(colour, _)| *colour = WHITE);
        }
        let (top, bottom, left, right) = subject::extent(&cover).ok_or_else(|| Error::NoSubject {
            file: file.into(),
            why: "nothing stands out from the ground".into(),
        })?;
        let used = self.box_in_picture([left, top, right, bottom].map(|v| v as f64), pixels);
        let mut warnings = Vec::new();
        let per_bead = (bottom - top) as f64 / self.softness / rows as f64;
        if per_bead < 1.0 {
            let why =
                format!("it is only {:.0} pixels high, too few for {rows} rows", per_bead * rows as f64);
            return Err(Error::NoSubject { file: file.into(), why });
        }
        if per_bead < FEW_PIXELS {
            warnings.push(Warning::FewPixels { per_bead });
        }
        let (last_row, last_column) = colours.dim();
        if top == 0 || left == 0 || bottom == last_row || right == last_column {
            warnings.push(Warning::TouchesEdge);
        }
        if subject::has_several_pieces(&cover) {
            warnings.push(Warning::SeveralPieces);
        }
        Ok(Reference { colours, cover, softness: self.softness, view: self.view, used, step, warnings })
    }
}

/// A pixel of light laid over white.
fn on_white([r, g, b, alpha]: Light) -> Linear {
    let over = |v: f32| f64::from(v + 1.0 - alpha);
    Linear { r: over(r), g: over(g), b: over(b) }
}

/// The screen's own white.
const WHITE: Lab = Lab::new(100.0, 0.0, 0.0);

/// Most working pixels each way: wide scenes are not figures, and memory is bounded.
const MOST_WORKING: usize = 4000;

/// Rows and columns of an area whose longer side has at most `longest` pixels.
fn size_within(area: Area, longest: f64) -> (usize, usize) {
    let scale = longest / area.width.max(area.height);
    let size = |length: f64| ((length * scale).round() as usize).max(1);
    (size(area.height), size(area.width))
}

/// The light between four pixels, edges repeated.
fn between(light: &Array2<Light>, x: f64, y: f64) -> Light {
    let (rows, columns) = light.dim();
    let at = |v: f64, most: usize| (v.max(0.0) as usize).min(most - 1);
    let (x0, y0) = (at(x.floor(), columns), at(y.floor(), rows));
    let (x1, y1) = (at(x.floor() + 1.0, columns), at(y.floor() + 1.0, rows));
    let (fx, fy) = ((x - x.floor()) as f32, (y - y.floor()) as f32);
    std::array::from_fn(|c| {
        let top = light[(y0, x0)][c] * (1.0 - fx) + light[(y0, x1)][c] * fx;
        let bottom = light[(y1, x0)][c] * (1.0 - fx) + light[(y1, x1)][c] * fx;
        top * (1.0 - fy) + bottom * fy
    })
}

/// The colours a picture shows in an area of it, in no more than some ten thousand samples; those of a
/// photographed sheet as they look under even light. Clear pixels have none.
///
/// # Errors
/// [`Error::BadValue`] for an area outside the picture.
pub fn colours_in(picture: &Picture, area: Area) -> Result<Vec<Lab>> {
    let whole = Area::whole(&picture.pixels);
    let area = inside("--area", area, whole)?;
    /// Longer side of the samples' grid.
    const SAMPLES: f64 = 100.0;
    let (rows, columns) = size_within(area, SAMPLES.min(area.width.max(area.height)));
    let sight = Sight::coarse(&picture.pixels, whole);
    let view = View::Straight { area, columns: columns as f64, rows: rows as f64 };
    let light = resample(&picture.pixels, area, rows, columns);
    let mut near = Sight { light, softness: 1.0, cut_out: sight.cut_out, view, paper: None, bounds: area };
    if let (View::Sheet { sheet, .. }, Some(paper)) = (sight.view, sight.paper) {
        near.even_on(sheet, &paper, sight.bounds);
    }
    Ok(near.solid_colours())
}

impl Sight {
    /// Evens the light of what lies on a sheet, in a look at the unstraightened picture.
    fn even_on(&mut self, sheet: Projection, paper: &PaperLight, bounds: Area) {
        let (view, back) = (self.view, sheet.invert());
        for ((y, x), light) in self.light.indexed_iter_mut() {
            let (px, py) = view.to_picture((x as f64 + 0.5, y as f64 + 0.5));
            let (u, v) = back * (px as f32, py as f32);
            let (u, v) =
                ((f64::from(u) - bounds.x) / bounds.width, (f64::from(v) - bounds.y) / bounds.height);
            // Off the sheet nothing is known of the light.
            if (0.0..=1.0).contains(&u) && (0.0..=1.0).contains(&v) {
                *light = paper.evened(*light, u, v);
            }
        }
    }

    fn solid_colours(&self) -> Vec<Lab> {
        let solid = self.light.iter().filter(|light| light[3] >= 0.5);
        solid.map(|&light| colour_of(light).lab()).collect()
    }
}

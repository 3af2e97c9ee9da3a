//! Looks at a picture: from afar for the sheet and the subject, then close up; and the way back to the
//! picture's own pixels.

use std::ops::Range;

use imageproc::geometric_transformations::Projection;
use ndarray::Array2;

use super::afar::Afar;
use super::clutter::{self, LeftOut};
use super::gains::Span;
use super::ground::Ground;
use super::mask::Piece;
use super::paper::fills_frame;
use super::paper_light::PaperLight;
use super::photograph::Photograph;
use super::said::Named;
use super::sheet::{self, Lens};
use super::shrink::{Area, Light, Overview, colour_of, labs_of, straight};
use super::subject::{self, Enclosed, Known, OnGround};
use super::{Answer, Corners, PIXELS_PER_BEAD, Sheet, SheetReading, Step};
use crate::colour::Lab;
use crate::error::{Error, Result};
use crate::units::Confidence;

/// Longer side of the coarse view in which sheet and subject are looked for, in pixels.
pub(super) const COARSE: f64 = 480.0;

/// Ground kept around the subject in the working picture, in beads.
const MARGIN: f64 = 2.0;

/// The way between working pixels and pixels of the upright picture.
#[derive(Clone, Copy, Debug)]
pub(super) enum View {
    /// An upright part of the picture: its area, and the working picture's columns and rows.
    Straight { area: Area, columns: f64, rows: f64 },
    /// A part of a straightened sheet; the projection goes from the unit sheet to the picture.
    Sheet { sheet: Projection, area: Area, columns: f64, rows: f64 },
}

impl View {
    pub(super) fn to_picture(self, (x, y): (f64, f64)) -> (f64, f64) {
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

    /// The pixel of the upright picture, x and y, that a working pixel's middle lies in.
    pub(super) fn pixel_of(self, (y, x): (usize, usize)) -> (u32, u32) {
        let (x, y) = self.to_picture((x as f64 + 0.5, y as f64 + 0.5));
        (x.max(0.0) as u32, y.max(0.0) as u32)
    }

    pub(super) fn working_place(self, (x, y): (f64, f64)) -> (f64, f64) {
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

/// What a look finds.
pub(super) struct Found {
    pub(super) told: OnGround,
    pub(super) step: Step,
    /// Share of the border that looks like one ground, 0 to 1.
    pub(super) agreement: f64,
}

/// A look at the picture at some scale.
#[derive(Clone)]
pub(super) struct Sight {
    pub(super) light: Array2<Light>,
    /// Pixels of this look to one of the picture file; above 1 the picture was stretched.
    pub(super) softness: f64,
    /// The picture's own transparency cuts the figure out; decided once, from afar.
    pub(super) cut_out: bool,
    /// Whether the page is ruled, once that is known.
    pub(super) ruled: Option<bool>,
    /// What was done where there is paper.
    pub(super) on_paper: Step,
    /// Whether another figure was left out.
    pub(super) several: bool,
    /// What was found on the page that is no part of the figure.
    pub(super) left_out: Vec<LeftOut>,
    /// What was seen from afar; nothing before.
    pub(super) afar: Option<Afar>,
    pub(super) view: View,
    pub(super) paper: Option<PaperLight>,
    /// What the light is known of: the whole view, or the sheet.
    pub(super) bounds: Area,
    /// Where the figure may lie: all of that, or the maker's part of it.
    pub(super) within: Area,
    /// The sheet it lies on, where its corners are known.
    pub(super) sheet: Option<Sheet>,
    /// Whether another sheet is nearly as likely.
    pub(super) other_sheet: bool,
    /// What the sheet lies in; there where a sheet is.
    pub(super) photograph: Option<Photograph>,
}

impl Sight {
    /// A look of which nothing is known yet.
    pub(super) fn new(light: Array2<Light>, softness: f64, view: View, bounds: Area) -> Self {
        Self {
            light,
            softness,
            cut_out: false,
            ruled: None,
            on_paper: Step::Sheet,
            several: false,
            left_out: Vec::new(),
            afar: None,
            view,
            paper: None,
            bounds,
            within: bounds,
            sheet: None,
            other_sheet: false,
            photograph: None,
        }
    }

    /// An area at coarse scale, as it was taken.
    fn plain(overview: &Overview, area: Area) -> Self {
        let (rows, columns) = size_within(area, COARSE);
        let light = overview.resample(area, rows, columns);
        let view = View::Straight { area, columns: columns as f64, rows: rows as f64 };
        Self::new(light, columns as f64 / area.width, view, area)
    }

    /// The sheet whose corners the maker gave, at coarse scale.
    pub(super) fn on_given(overview: &Overview, whole: Area, corners: Corners) -> Self {
        let sheet = Sheet { corners, confidence: Confidence::FULL };
        let on_sheet = Self::plain(overview, whole).straightened(overview, sheet);
        Self { on_paper: Step::SheetGiven, ..on_sheet }
    }

    /// The whole area at coarse scale, its sheet straightened if there is one; left as taken
    /// where no sheet is to be sought.
    pub(super) fn coarse(overview: &Overview, area: Area, reading: Option<SheetReading>) -> Self {
        let mut plain = Self::plain(overview, area);
        plain.cut_out = subject::is_cut_out(&plain.alpha());
        let Some(reading) = reading.filter(|_| !plain.cut_out) else { return plain };
        let lens = Lens::of(overview.size(), (area.x, area.y), plain.softness);
        let mut sheets = sheet::find(&plain.light, lens);
        let in_picture = |found: &sheet::Found| found.corners.map(|place| plain.view.to_picture(place));
        // What a figure file could not hold is no sheet.
        sheets.retain(|found| Corners::of(in_picture(found)).is_ok());
        let which = usize::from(reading == SheetReading::Second).min(sheets.len().saturating_sub(1));
        match sheets.get(which) {
            Some(found) => {
                let corners = Corners::clockwise(in_picture(found));
                let sheet = Sheet { corners, confidence: found.confidence };
                Self { other_sheet: sheets.len() > 1, ..plain.straightened(overview, sheet) }
            }
            None if fills_frame(&plain.colours()) => Self::unstraightened(overview, area),
            None => plain,
        }
    }

    /// Paper whose corners are not in view: its light evened, its shape left.
    pub(super) fn unstraightened(overview: &Overview, area: Area) -> Self {
        let unit = [(0.0, 0.0), (area.width / area.height, 0.0), (area.width / area.height, 1.0), (0.0, 1.0)];
        let (right, bottom) = (area.x + area.width, area.y + area.height);
        let corners = [(area.x, area.y), (right, area.y), (right, bottom), (area.x, bottom)];
        let as_f32 = |points: [(f64, f64); 4]| points.map(|(x, y)| (x as f32, y as f32));
        // Four corners of a rectangle are never on one line.
        let sheet = Projection::from_control_points(as_f32(unit), as_f32(corners))
            .unwrap_or_else(|| Projection::scale(1.0, 1.0));
        Self { on_paper: Step::Paper, ..Self::on_sheet(overview, sheet, area.width / area.height) }
    }

    /// The sheet as it would lie before the eye; the look as it is where no sheet can be laid through its corners.
    fn straightened(self, overview: &Overview, sheet: Sheet) -> Self {
        let corners = sheet.corners.points();
        // The unit sheet is as wide as the paper is in heights, so that beads stay square.
        let aspect = Lens::of(overview.size(), (0.0, 0.0), 1.0).aspect(corners) as f32;
        let unit = [(0.0, 0.0), (aspect, 0.0), (aspect, 1.0), (0.0, 1.0)];
        let Some(way) = Projection::from_control_points(unit, corners.map(|(x, y)| (x as f32, y as f32)))
        else {
            return self;
        };
        let photograph = Some(Photograph::of(self.light, self.bounds));
        Self { sheet: Some(sheet), photograph, ..Self::on_sheet(overview, way, f64::from(aspect)) }
    }

    /// The coarse look at a sheet; `aspect` is how wide it is in heights.
    fn on_sheet(overview: &Overview, sheet: Projection, aspect: f64) -> Self {
        // Paper size's own edge and its shadow stay outside, as a part of its shorter side at most.
        const EDGE: f64 = 0.015;
        let edge = EDGE * aspect.min(1.0);
        let bounds = Area { x: edge, y: edge, width: aspect - 2.0 * edge, height: 1.0 - 2.0 * edge };
        let (rows, columns) = size_within(bounds, COARSE);
        let mut seen = Self::through(overview, sheet, bounds, rows, columns);
        seen.paper = PaperLight::learn(&seen.light);
        seen.even();
        seen
    }

    fn even(&mut self) {
        let (rows, columns) = self.light.dim();
        let (Some(paper), View::Sheet { area, .. }) = (&self.paper, self.view) else { return };
        let bounds = self.bounds;
        let across = Span::of(area.x - bounds.x, area.width, bounds.width, columns);
        let down = Span::of(area.y - bounds.y, area.height, bounds.height, rows);
        paper.even(&mut self.light, across, down);
    }

    /// The colours; what is clear without cutting the figure out shows white paper.
    pub(super) fn colours(&self) -> Array2<Lab> {
        let shown = if self.cut_out { straight } else { on_white };
        labs_of(&self.light, shown)
    }

    pub(super) fn alpha(&self) -> Array2<f32> {
        self.light.map(|light| light[3])
    }

    pub(super) fn cover(&self, colours: &Array2<Lab>, rows: usize, answers: &[Answer]) -> Found {
        let lets = |piece: &Piece| self.lets(piece);
        if self.cut_out {
            let alpha = self.alpha();
            let told = OnGround {
                cover: subject::by_alpha(&alpha, &lets),
                ruled: false,
                likely: Vec::new(),
                several: false,
                unmet: (0..answers.len()).map(|at| (at, Named::Outside)).collect(),
                said: Vec::new(),
                left_out: Vec::new(),
                differs: subject::solid(&alpha),
            };
            return Found { told, step: Step::CutOut, agreement: 1.0 };
        }
        let ground = Ground::of_border(colours);
        let step = if self.paper.is_some() { self.on_paper } else { Step::PlainGround };
        let answers: Vec<((usize, usize), Enclosed)> = answers
            .iter()
            .map(|answer| {
                let (x, y) = self.view.working_place((answer.at.0 + 0.5, answer.at.1 + 0.5));
                ((y.max(0.0) as usize, x.max(0.0) as usize), answer.is)
            })
            .collect();
        let known =
            Known { rows, softness: self.softness, ruled: self.ruled, answers: &answers, lets: &lets };
        let told = subject::on_ground(colours, &ground, &known);
        Found { told, step, agreement: ground.agreement }
    }

    /// Whether a piece may belong to the figure, as far as the look from afar tells.
    fn lets(&self, piece: &Piece) -> bool {
        self.afar.as_ref().is_none_or(|afar| afar.lets(self.view, piece))
    }

    /// Where the subject lies, in the coordinates of the view's area.
    pub(super) fn subject(&mut self, file: &str, rows: usize, person: Option<usize>) -> Result<Area> {
        let colours = self.colours();
        let mut found = self.cover(&colours, rows, &[]);
        if self.look_around(file, (&found.told, &colours), person)? {
            found = self.cover(&colours, rows, &[]);
        }
        if !self.cut_out {
            let beside = clutter::beside_the_figure(&found.told, &colours, rows, &|piece| self.lets(piece));
            self.left_out = clutter::together(found.told.left_out.clone(), &beside);
        }
        let Found { told: OnGround { cover, ruled, several, .. }, agreement, .. } = found;
        // Pale rules may show only close up.
        self.ruled = ruled.then_some(true);
        self.several = several;
        let none = |why: &str| Error::NoSubject { file: file.into(), why: why.into() };
        let (top, bottom, left, right) = subject::extent(&cover)
            .filter(|_| subject::is_plausible(&cover))
            .ok_or_else(|| none("nothing stands out from the background"))?;
        /// Least share of the border that must look like one ground.
        const ONE_GROUND: f64 = 0.35;
        if agreement < ONE_GROUND {
            return Err(none("the border shows no plain background to separate it from"));
        }
        Ok(self.area_of_box(top..bottom, left..right))
    }

    /// Where some rows and columns of this look lie, in the coordinates of the view's area.
    pub(super) fn area_of_box(&self, down: Range<usize>, across: Range<usize>) -> Area {
        let (View::Straight { area, columns, rows } | View::Sheet { area, columns, rows, .. }) = self.view;
        let (dx, dy) = (area.width / columns, area.height / rows);
        Area {
            x: area.x + across.start as f64 * dx,
            y: area.y + down.start as f64 * dy,
            width: across.len() as f64 * dx,
            height: down.len() as f64 * dy,
        }
    }

    /// The subject at working size.
    pub(super) fn closer(self, overview: &Overview, subject: Area, rows: usize) -> Self {
        let bead = subject.height / rows as f64;
        let area = subject.grown_within(MARGIN * bead, self.within);
        let scale = PIXELS_PER_BEAD / bead;
        let size = |length: f64| ((length * scale).round() as usize).clamp(1, MOST_WORKING);
        let (rows, columns) = (size(area.height), size(area.width));
        match self.view {
            View::Straight { .. } => {
                let finer = overview.closer(area.height / rows as f64);
                Self {
                    light: finer.as_ref().unwrap_or(overview).resample(area, rows, columns),
                    softness: columns as f64 / area.width,
                    view: View::Straight { area, columns: columns as f64, rows: rows as f64 },
                    ..self
                }
            }
            View::Sheet { sheet, .. } => self.near(overview, sheet, area, (rows, columns)),
        }
    }

    /// Another look at a part of the same sheet.
    pub(super) fn near(
        self,
        overview: &Overview,
        sheet: Projection,
        area: Area,
        (rows, columns): (usize, usize),
    ) -> Self {
        let finer = overview.closer(step(sheet, area, rows));
        let near = Self::through(finer.as_ref().unwrap_or(overview), sheet, area, rows, columns);
        let mut near = Self {
            paper: self.paper,
            bounds: self.bounds,
            within: self.within,
            ruled: self.ruled,
            on_paper: self.on_paper,
            several: self.several,
            left_out: self.left_out,
            afar: self.afar,
            sheet: self.sheet,
            other_sheet: self.other_sheet,
            photograph: self.photograph,
            ..near
        };
        near.even();
        near
    }

    /// The box in the upright picture around a box of this look: left, top, right, bottom.
    pub(super) fn box_in_picture(&self, [left, top, right, bottom]: [f64; 4], size: (u32, u32)) -> Area {
        let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
        let corners = corners.map(|corner| self.view.to_picture(corner));
        let span = |of: fn(&(f64, f64)) -> f64, most: u32| {
            let values = corners.iter().map(of).map(|v| v.clamp(0.0, f64::from(most)));
            values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
        };
        let ((x0, x1), (y0, y1)) = (span(|c| c.0, size.0), span(|c| c.1, size.1));
        Area { x: x0, y: y0, width: (x1 - x0).max(1.0), height: (y1 - y0).max(1.0) }
    }

    /// Evens the light of what lies on a sheet, in a look at the unstraightened picture.
    pub(super) fn even_on(&mut self, sheet: Projection, paper: &PaperLight, bounds: Area) {
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

    pub(super) fn solid_colours(&self) -> Vec<Lab> {
        let solid = self.light.iter().filter(|light| light[3] >= 0.5);
        solid.map(|&light| colour_of(light).lab()).collect()
    }
}

/// How many of the picture's pixels, down the middle of a part of a sheet, become one of its rows.
fn step(sheet: Projection, part: Area, rows: usize) -> f64 {
    let view = View::Sheet { sheet, area: part, columns: 1.0, rows: 1.0 };
    let (top, bottom) = (view.to_picture((0.5, 0.0)), view.to_picture((0.5, 1.0)));
    (bottom.0 - top.0).hypot(bottom.1 - top.1) / rows as f64
}

/// A pixel of light laid over white.
fn on_white([r, g, b, alpha]: Light) -> [f32; 3] {
    [r, g, b].map(|v| v + 1.0 - alpha)
}

/// Most working pixels each way: wide scenes are not figures, and memory is bounded.
const MOST_WORKING: usize = 4000;

/// Rows and columns of an area whose longer side has at most `longest` pixels.
pub(super) fn size_within(area: Area, longest: f64) -> (usize, usize) {
    let scale = longest / area.width.max(area.height);
    let size = |length: f64| ((length * scale).round() as usize).max(1);
    (size(area.height), size(area.width))
}

//! From a picture file to an upright sRGB picture whose subject is known.

mod afar;
mod clutter;
mod corners;
mod flat;
mod frames;
mod gains;
pub(crate) mod ground;
mod hard_shadow;
mod kept;
pub(crate) mod mask;
pub(crate) mod middle;
mod most;
mod narrowed;
pub mod open;
mod options;
mod pale_lines;
mod paper;
mod paper_light;
mod people;
mod photograph;
mod refusal;
mod rules;
mod said;
mod sheet;
mod shrink;
mod sight;
mod straighten;
pub(crate) mod subject;
mod tally;

pub use clutter::{LeftOut, Side, in_words};
pub use corners::{Corners, NoSheet, Sheet};
pub use flat::FlatSheet;
pub use open::{Limits, Picture};
pub use options::{Answer, ReferenceOptions, SheetReading, Step};
pub use people::Person;
pub use photograph::Photograph;
pub use shrink::{Area, Light, colour_of, resample};
pub use subject::{Cover, Enclosed};

use std::collections::BTreeSet;

use image::{Rgba, RgbaImage};
use ndarray::Array2;

use crate::colour::Lab;
use crate::error::{Error, Result, Warning};
use crate::plan::MOST_COLUMNS;
use mask::Piece;
use refusal::What;
use shrink::Overview;
use sight::{Found, Sight, View, size_within};
use subject::OnGround;

/// Working pixels to one bead: enough for an ink line a fifth of a bead wide to have a middle.
pub const PIXELS_PER_BEAD: f64 = 16.0;

/// The screen's own white.
const WHITE: Lab = Lab::new(100.0, 0.0, 0.0);

/// Pixels of the picture file to a bead below which the maker is told that it is small.
const FEW_PIXELS: f64 = 6.0;

/// A working picture of the subject: upright, evened, about [`PIXELS_PER_BEAD`] pixels a bead, never
/// empty, with what each pixel shows.
#[derive(Clone, Debug)]
pub struct Reference {
    colours: Array2<Lab>,
    cover: Array2<Cover>,
    softness: f64,
    view: View,
    used: Area,
    sheet: Option<Sheet>,
    other_sheet: bool,
    people: Vec<Person>,
    /// What the sheet lies in; there where a sheet is.
    photograph: Option<Photograph>,
    step: Step,
    on_paper: bool,
    ruled: bool,
    left_out: Vec<LeftOut>,
    /// A pixel of each area that was asked about.
    likely: Vec<(usize, usize)>,
    said: Vec<(Piece, Enclosed)>,
    warnings: Vec<Warning>,
}

impl Reference {
    /// Finds the subject of a picture and brings it to working size. `file` is its name in errors.
    ///
    /// # Errors
    /// [`Error::NoSubject`]; [`Error::BadValue`] for a crop outside the picture, or an answer for a place that no
    /// outline shuts in.
    pub fn new(file: &str, picture: &Picture, options: &ReferenceOptions) -> Result<Self> {
        let whole = picture.whole();
        let crop = options.crop.map(|crop| inside("--crop", crop, whole)).transpose()?;
        // A sheet may be larger than the crop: its light is learnt from all of it.
        let area = crop.filter(|_| options.corners.is_none()).unwrap_or(whole);
        let overview = Overview::of(picture, area);
        let (coarse, subject) = match options.corners {
            Some(corners) => {
                on_sheet(file, Sight::on_given(&overview, whole, corners), &overview, crop, options)?
            }
            None => {
                let mut coarse = Sight::coarse(&overview, area, (!options.as_taken).then_some(options.sheet));
                let mut subject = coarse.subject(file, options.rows, options.person);
                if subject.is_err() && crop.is_some() && matches!(coarse.view, View::Sheet { .. }) {
                    // The maker named what looks like a bare sheet: then that is what is meant.
                    coarse = Sight::coarse(&overview, area, None);
                    subject = coarse.subject(file, options.rows, options.person);
                }
                (coarse, subject?)
            }
        };
        let columns = subject.width / subject.height * options.rows as f64;
        if columns > MOST_COLUMNS as f64 {
            let why = format!("what was found is {columns:.0} beads wide at {} rows", options.rows);
            return Err(Error::NoSubject { file: file.into(), why });
        }
        let people = if options.person.is_none() { coarse.people(&overview) } else { Vec::new() };
        let fine = coarse.closer(&overview, subject, options.rows);
        Self::of_sight((fine, people), file, options, picture.size())
    }

    /// The finished reference of a close look.
    fn of_sight(
        (sight, people): (Sight, Vec<Person>),
        file: &str,
        options: &ReferenceOptions,
        size: (u32, u32),
    ) -> Result<Self> {
        let rows = options.rows;
        let mut colours = sight.colours();
        let several = sight.several;
        let Found { told, step, .. } = sight.cover(&colours, rows, &options.answers);
        let step = if options.as_taken && step == Step::PlainGround { Step::AsTaken } else { step };
        if let Some((at, named)) = told.unmet.first() {
            return Err(options.answers[*at].unmet(named, &sight.view));
        }
        let OnGround { cover, likely, said, ruled, left_out: mut close_by, .. } = told;
        // A stroke that the close look cuts off is no fold: folds are seen from afar.
        close_by.retain(|thing| *thing != LeftOut::Fold);
        let left_out = clutter::together(sight.left_out.clone(), &close_by);
        if step == Step::CutOut {
            // Clear pixels have no colour; as white paper they are never taken for a line of ink.
            let clear = colours.iter_mut().zip(&cover).filter(|(_, cover)| **cover != Cover::Subject);
            clear.for_each(|(colour, _)| *colour = WHITE);
        }
        let (top, bottom, left, right) = subject::extent(&cover).ok_or_else(|| Error::NoSubject {
            file: file.into(),
            why: "nothing stands out from the background".into(),
        })?;
        let used = sight.box_in_picture([left, top, right, bottom].map(|v| v as f64), size);
        let per_bead = (bottom - top) as f64 / sight.softness / rows as f64;
        if per_bead < 1.0 {
            let high = (per_bead * rows as f64).round().max(1.0);
            let plural = if high == 1.0 { "pixel" } else { "pixels" };
            let why = format!("it is only {high:.0} {plural} high, too few for {rows} rows");
            return Err(Error::NoSubject { file: file.into(), why });
        }
        let found = What {
            colours: &colours,
            cover: &cover,
            bead: (bottom - top) as f64 / rows as f64,
            softness: sight.softness,
            reaches: sight.reaches([top, bottom, left, right]),
            is_named: options.crop.is_some() || options.corners.is_some(),
            is_cut_out: step == Step::CutOut,
        };
        if found.is_only_paper() {
            return Err(Error::OnlyPaper { file: file.into() });
        }
        let mut warnings = found.warnings(sight.edge(options.crop.is_some()));
        if per_bead < FEW_PIXELS {
            warnings.insert(0, Warning::FewPixels { per_bead });
        }
        for &(y, x) in &likely {
            let (x_in_picture, y_in_picture) = sight.view.pixel_of((y, x));
            let cloth = cover[(y, x)] == Cover::Subject;
            warnings.push(Warning::OnlyLikely { x: x_in_picture, y: y_in_picture, cloth });
        }
        let people = if people.is_empty() {
            let (View::Straight { area, .. } | View::Sheet { area, .. }) = sight.view;
            let height = (bottom - top) as f64 / colours.nrows() as f64 * area.height;
            vec![Person { area: used, height }]
        } else {
            people
        };
        if people.len() > 1 {
            warnings.push(Warning::SeveralPeople { crops: people.iter().map(Person::crop).collect() });
        } else if options.person.is_none() && (several || kept::has_several_pieces(&cover)) {
            warnings.push(Warning::SeveralPieces);
        }
        let on_paper = paper::is_drawn_on(&colours, step);
        let Sight { softness, view, sheet, other_sheet, photograph, .. } = sight;
        Ok(Self {
            colours,
            cover,
            softness,
            view,
            used,
            sheet,
            other_sheet,
            photograph,
            people,
            on_paper,
            step,
            ruled,
            left_out,
            likely,
            said,
            warnings,
        })
    }

    /// Colours by row and column of the working picture.
    pub fn colours(&self) -> &Array2<Lab> {
        &self.colours
    }

    /// What each pixel of the working picture shows.
    pub fn cover(&self) -> &Array2<Cover> {
        &self.cover
    }

    /// The middle colour of the ground; black where none is seen.
    pub(crate) fn ground_colour(&self) -> Lab {
        let ground = self.colours.iter().zip(&self.cover).filter(|(_, cover)| **cover != Cover::Subject);
        middle::middle_colour(&ground.map(|(colour, _)| *colour).collect::<Vec<_>>())
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

    /// Whether it is drawn on paper, whose grain shows or whose corners do, and not made by a computer.
    pub(crate) fn is_on_paper(&self) -> bool {
        self.on_paper
    }

    /// The sheet of paper the drawing lies on, where one was found or given.
    pub fn sheet(&self) -> Option<Sheet> {
        self.sheet
    }

    /// The people on the page, in reading order; where one of them was asked for, that one alone. Never empty.
    pub fn people(&self) -> &[Person] {
        &self.people
    }

    /// Whether the photograph may show another sheet, nearly as likely as this.
    pub fn has_other_sheet(&self) -> bool {
        self.other_sheet
    }

    /// The photograph that the sheet lies in; none where no sheet is known.
    pub fn photograph(&self) -> Option<&Photograph> {
        self.photograph.as_ref()
    }

    /// Whether printed rules were taken out of the page.
    pub fn is_ruled(&self) -> bool {
        self.ruled
    }

    /// What was found on the page and left out, because it is no part of the figure.
    pub fn left_out(&self) -> &[LeftOut] {
        &self.left_out
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

    /// The area of one colour around a place (x, y) of the upright picture, as a box in its pixels: what a
    /// question about that place is about.
    pub fn area_around(&self, place: (f64, f64)) -> Area {
        /// Soft shading within an area stays below this in Lab units; the line around it does not.
        const ONE_COLOUR: f64 = 8.0;
        let (x, y) = self.view.working_place(place);
        let (rows, columns) = self.colours.dim();
        let start = ((y.max(0.0) as usize).min(rows - 1), (x.max(0.0) as usize).min(columns - 1));
        let colour = self.colours[start];
        let apart = |p: (usize, usize)| {
            let Lab { l, a, b } = self.colours[p];
            (l - colour.l).hypot(a - colour.a).hypot(b - colour.b)
        };
        let alike = Array2::from_shape_fn((rows, columns), |p| {
            self.cover[p] == self.cover[start] && apart(p) <= ONE_COLOUR
        });
        let own = mask::pieces(&alike).into_iter().find(|piece| piece.contains(&start));
        let (down, across) = mask::spans(&own.unwrap_or_else(|| vec![start]));
        let ends = [down.start, down.end].map(|y| [(across.start, y), (across.end, y)]);
        let corners = ends.into_iter().flatten();
        Area::around(corners.map(|(x, y)| self.picture_place(x as f64, y as f64)))
    }

    /// What the maker said of an area of the working picture.
    pub(crate) fn said_of(&self, area: &[(usize, usize)]) -> Option<Enclosed> {
        if self.said.is_empty() {
            return None;
        }
        let area: BTreeSet<_> = area.iter().collect();
        let meets = |said: &Piece| said.iter().any(|place| area.contains(place));
        self.said.iter().find(|(said, _)| meets(said)).map(|(_, is)| *is)
    }

    /// The pixel of an area of the working picture that a question about it names: the one it was asked by already.
    pub(crate) fn named_pixel(&self, area: &[(usize, usize)]) -> (u32, u32) {
        let asked = self.likely.iter().find(|place| area.contains(place));
        let (y, x) = asked.copied().unwrap_or(area[area.len() / 2]);
        self.view.pixel_of((y, x))
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

/// The subject on a sheet whose corners are known. What lies within the crop anyway is found as without one; else
/// it is sought there alone.
fn on_sheet(
    file: &str,
    mut coarse: Sight,
    overview: &Overview,
    crop: Option<Area>,
    options: &ReferenceOptions,
) -> Result<(Sight, Area)> {
    let Some(crop) = crop else {
        let subject = coarse.subject(file, options.rows, options.person)?;
        return Ok((coarse, subject));
    };
    let found = coarse.subject(file, options.rows, None);
    // Of several people only those that the crop holds are counted.
    let is_alone = !coarse.shows_several() && options.person.unwrap_or(0) == 0;
    if let Some(subject) = found.ok().filter(|&subject| is_alone && coarse.is_held(subject, crop)) {
        coarse.several = false;
        return Ok((coarse, subject));
    }
    let mut near = coarse.narrowed(overview, crop).ok_or_else(|| Error::BadValue {
        option: "--crop",
        value: format!("{},{},{},{}", crop.x, crop.y, crop.width, crop.height),
        why: "this is not on the sheet whose corners were given".into(),
        right: "keep the crop on the sheet, or leave one of the two out".into(),
    })?;
    let subject = near.subject(file, options.rows, options.person)?;
    Ok((near, subject))
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

/// The colours a picture shows in an area of it, in no more than some ten thousand samples; those of a
/// photographed sheet as they look under even light. Clear pixels have none.
///
/// # Errors
/// [`Error::BadValue`] for an area outside the picture.
pub fn colours_in(picture: &Picture, area: Area) -> Result<Vec<Lab>> {
    let whole = picture.whole();
    let area = inside("--area", area, whole)?;
    /// Longer side of the samples' grid.
    const SAMPLES: f64 = 100.0;
    let (rows, columns) = size_within(area, SAMPLES.min(area.width.max(area.height)));
    let overview = Overview::of(picture, whole);
    let sight = Sight::coarse(&overview, whole, Some(SheetReading::Likeliest));
    let view = View::Straight { area, columns: columns as f64, rows: rows as f64 };
    let finer = overview.closer(area.height / rows as f64);
    let light = finer.as_ref().unwrap_or(&overview).resample(area, rows, columns);
    let mut near = Sight { cut_out: sight.cut_out, ..Sight::new(light, 1.0, view, area) };
    if let (View::Sheet { sheet, .. }, Some(paper)) = (sight.view, sight.paper) {
        near.even_on(sheet, &paper, sight.bounds);
    }
    Ok(near.solid_colours())
}

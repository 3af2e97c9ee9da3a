//! The whole line, from an opened picture to a draft figure.
//!
//! A program that drafts every picture of a folder and saves the figures beside them, all or none:
//!
//! ```
//! use std::path::{Path, PathBuf};
//!
//! use smallcast::draft::{DraftOptions, draft};
//! use smallcast::error::Result;
//! use smallcast::reference::{Limits, open};
//! use smallcast::{figure, saving, tray::Tray};
//!
//! fn draft_folder(folder: &Path, tray: &Tray, options: &DraftOptions) -> Result<usize> {
//!     let entries = folder.read_dir().into_iter().flatten().flatten();
//!     let mut pictures: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
//!     pictures.retain(|file| file.extension().is_some_and(|ending| ending == "png"));
//!     pictures.sort();
//!     let mut drafted = Vec::new();
//!     for file in &pictures {
//!         let name = file.file_stem().unwrap_or_default().to_string_lossy();
//!         let picture = open::open(file, &Limits::default())?;
//!         let found = draft(&name, &picture, options, tray)?;
//!         found.warnings.iter().for_each(|warning| eprintln!("{name}: {warning}"));
//!         let figure = found.figure(&name, &format!("{name}.png"), options, tray)?;
//!         drafted.push((file.with_extension("figure.toml"), figure::write(&figure).into_bytes()));
//!     }
//!     let files: Vec<(&Path, Vec<u8>)> =
//!         drafted.iter().map(|(file, text)| (file.as_path(), text.clone())).collect();
//!     saving::save_all(&files, false)?;
//!     Ok(files.len())
//! }
//!
//! # let folder = tempfile::tempdir().expect("room for a folder");
//! # std::fs::copy("demo/early-street/baker.png", folder.path().join("baker.png")).expect("it is shipped");
//! # let sketches = folder.path();
//! assert_eq!(draft_folder(sketches, &Tray::embedded(), &DraftOptions::default())?, 1);
//! assert!(sketches.join("baker.figure.toml").is_file());
//! # Ok::<(), smallcast::error::Error>(())
//! ```

mod again;
mod apart;
mod choices;
mod decisions;
mod each;
mod laid;
mod legend;
mod mark;
mod on;
mod several;
mod traded;
mod whereabouts;

pub use again::{draft_again, options_of};
pub use choices::{Choice, Difference, choices, choices_of};
pub use each::{Member, PeopleDrafted, draft_each};
pub use laid::best_shift;
pub use legend::LegendLine;
pub use mark::colours_of_mark;
pub use on::{LaidOn, OLDER, draft_on};
pub use several::{Disagreement, ReferenceUse, Several, Used, draft_of_several};
pub use traded::Traded;

use crate::error::{Error, Result, Warning};
use crate::figure::{
    ChosenBy, Description, Figure, Instead, LegendEntry, Mark, Part, Placed, Second, Source, Step, Sure,
};
use crate::matching::{FAR, MatchedGrid, Wishes};
use crate::plan::{Classes, Guide, HeightClass, Landmark, Marks, Zone, ZoneRows};
use crate::reference::{Answer, Area, Corners, Picture, Reference, ReferenceOptions, SheetReading};
use crate::sample::{Asked, Layout, Proportions, Raised, SampleGrid, Supposed};
use crate::tray::{BeadId, Tray};
use crate::units::{Centimetres, Column, Confidence, Row};
use std::collections::{BTreeMap, BTreeSet};

/// The seed of every random choice unless the maker gives another.
pub const DEFAULT_SEED: u64 = 7;

/// How tall the figure is to be, in rows.
#[derive(Clone, Debug, PartialEq)]
pub enum Size {
    /// This many rows; the drawing keeps its own proportions.
    Rows(usize),
    /// A height class of the cast.
    Class(HeightClass),
    /// This tall beside the guide.
    Stands(Centimetres),
    /// Rows zone by zone.
    Zones(ZoneRows),
}

/// What the maker may ask of a draft.
#[derive(Clone, Debug)]
pub struct DraftOptions {
    /// The part of the upright picture to use, in its pixels.
    pub crop: Option<Area>,
    /// The corners of the sheet it is drawn on, where the maker gave them.
    pub corners: Option<Corners>,
    /// Which of the people on the page is meant, counted from 0 in reading order; the largest without it.
    pub person: Option<usize>,
    /// How tall; the guide's class unless said otherwise.
    pub size: Size,
    /// The classes that rows are known by.
    pub classes: Classes,
    /// What standing heights are measured against.
    pub guide: Guide,
    /// Landmarks the maker pointed at.
    pub marks: Option<Marks>,
    /// Keep the drawing's own proportions whatever the size.
    pub as_drawn: bool,
    /// Leave photographed paper as it was taken.
    pub as_taken: bool,
    /// Read each bead's place as it is: no body plan, face, small marks or flat garments for a sketch, and
    /// the nearest bead for every colour, whatever it touches.
    pub plain: bool,
    /// What the maker said of pale areas that may be cloth or ground.
    pub answers: Vec<Answer>,
    /// What this reading supposes where the picture allows several; nothing is the ordinary reading.
    pub supposed: Supposed,
    /// Starts every random choice.
    pub seed: u64,
}

impl Default for DraftOptions {
    fn default() -> Self {
        Self {
            crop: None,
            corners: None,
            person: None,
            size: Size::Class(HeightClass::GUIDE),
            classes: Classes::trade(),
            guide: Guide::TRADE,
            marks: None,
            as_drawn: false,
            as_taken: false,
            plain: false,
            answers: Vec::new(),
            supposed: Supposed::default(),
            seed: DEFAULT_SEED,
        }
    }
}

impl DraftOptions {
    /// The zones the figure is brought to, unless its own proportions are kept.
    pub fn zones(&self) -> Option<ZoneRows> {
        let zones = match self.size {
            Size::Rows(_) => None,
            Size::Class(ref class) => Some(class.rows),
            Size::Stands(stature) => Some(self.guide.zones_for(self.guide.rows_for(stature))),
            Size::Zones(zones) => Some(zones),
        };
        zones.filter(|_| !self.as_drawn)
    }

    /// The rows of the figure, 1 or more.
    pub fn rows(&self) -> usize {
        match self.size {
            Size::Rows(rows) => rows.max(1),
            Size::Class(ref class) => class.rows.total(),
            Size::Stands(stature) => self.guide.rows_for(stature),
            Size::Zones(zones) => zones.total(),
        }
    }
}

/// A draft with everything that led to it.
#[derive(Clone, Debug)]
pub struct Draft {
    /// The picture as it was read.
    pub reference: Reference,
    /// What each window shows.
    pub samples: SampleGrid,
    /// The beads, with confidence and runners-up.
    pub matched: MatchedGrid,
    /// The beads it uses, each with its mark, most used first.
    pub legend: Vec<LegendLine>,
    /// The zones it was brought to; none when drafted as drawn.
    pub zones: Option<ZoneRows>,
    /// What the maker should know.
    pub warnings: Vec<Warning>,
}

impl Draft {
    /// The pixel rows of the picture at which the zones begin and end, as `--marks` takes them; none when
    /// drafted as drawn.
    pub fn marks(&self) -> Option<Marks> {
        let zones = self.zones.as_ref()?;
        let lattice = self.samples.lattice();
        let at = |row: usize| self.reference.picture_row(lattice.row_line(row)).max(0.0).round();
        let mut marks: Vec<(Landmark, f64)> =
            zones.spans().map(|(zone, first, _)| (Landmark::above(zone), at(first))).collect();
        let last = zones.spans().last().map_or(Zone::Feet, |(zone, ..)| zone);
        marks.push((Landmark::below(last), at(zones.total())));
        Some(Marks::of(&marks))
    }

    /// How sure its beads are on average, 0 to 1.
    fn sureness(&self) -> f64 {
        let sure: Vec<f64> = self
            .matched
            .beads()
            .iter()
            .filter_map(|(.., bead)| Some(bead.as_ref()?.confidence.get()))
            .collect();
        sure.iter().sum::<f64>() / sure.len().max(1) as f64
    }

    /// The landmarks a sketch was brought to the plan by: pixel row of the picture and how sure the place is; none
    /// where the drawing shows a lattice of its own.
    pub fn landmarks(&self) -> Vec<(Landmark, f64, Confidence)> {
        let row = |at: f64| self.reference.picture_row(at).max(0.0).round();
        self.samples.landmarks().iter().map(|seen| (seen.landmark, row(seen.at), seen.confidence)).collect()
    }

    /// The detectors that set beads of it, each with a mark of its own.
    fn detectors(&self) -> BTreeMap<&'static str, Mark> {
        let lies = self.matched.beads().iter().filter(|(.., bead)| bead.is_some());
        let names: BTreeSet<&'static str> =
            lies.filter_map(|(row, column, _)| self.samples.beads()[(row, column)].set_by).collect();
        let mut taken = BTreeSet::new();
        let mut marked = BTreeMap::new();
        for name in names {
            let mark = Mark::free_for(name, &taken);
            taken.insert(mark);
            marked.insert(name, mark);
        }
        marked
    }

    /// The class it was brought to: the one asked for, if its rows were kept, else the one of those rows.
    fn class(&self, options: &DraftOptions) -> Option<String> {
        let zones = self.zones.as_ref()?;
        let asked = match &options.size {
            Size::Class(class) => Classes::of(class.clone()).with_rows(zones).cloned(),
            _ => None,
        };
        let class = asked.or_else(|| options.classes.with_rows(zones).cloned())?;
        Some(class.name.into_owned())
    }

    /// The figure to save: in the parts of the body where it was brought to zones, else in one; every bead as sure as it
    /// was found. `name` is the figure's, `picture` where its reference is found from beside the figure file.
    ///
    /// # Errors
    /// [`crate::error::Error::FigureFile`] if it does not fit together, which a draft does.
    pub fn figure(&self, name: &str, picture: &str, options: &DraftOptions, tray: &Tray) -> Result<Figure> {
        let mark_of = |bead: BeadId| {
            let line = self.legend.iter().find(|line| line.bead == bead);
            line.map_or(Mark::first(), |line| line.mark)
        };
        let (used, detectors) = (self.used(), self.detectors());
        let beads = self.matched.beads().map(|row, column, bead| {
            let bead = bead.as_ref()?;
            let or = decisions::instead(bead, &used).map(|instead| match instead {
                Instead::Bead(other) => Second::Bead(mark_of(other)),
                Instead::Empty => Second::Empty,
                Instead::Unknown => Second::Itself,
            });
            let or = or.or(Some(Second::Itself));
            let why =
                self.samples.beads()[(row, column)].set_by.and_then(|name| detectors.get(name).copied());
            Some(Placed {
                mark: mark_of(bead.bead),
                sure: Some(Sure::Likely(Step::of(bead.confidence))),
                why,
                or,
            })
        });
        let legend = self.legend.iter().map(|line| LegendEntry {
            mark: line.mark,
            bead: tray.bead(line.bead).name.clone(),
            aim: Some(line.aim),
            confidence: Some(line.confidence),
            by: ChosenBy::Match,
        });
        let class = self.class(options);
        let stature = match options.size {
            Size::Stands(stature) => Some(stature),
            _ => None,
        };
        let body =
            Part { name: "body".into(), from: None, at: (Row(0), Column(0)), beads, bare: BTreeSet::new() };
        let source = Source {
            picture: picture.into(),
            crop: Some(self.reference.used()),
            corners: self.reference.sheet().map(|sheet| sheet.corners),
        };
        let description = Description {
            name: name.into(),
            stature,
            class,
            source: Some(source),
            rows: self.zones,
            legend: legend.collect(),
            why: detectors.into_iter().map(|(name, mark)| (mark, name.to_owned())).collect(),
            parts: vec![body],
            meant: Vec::new(),
        };
        let figure = Figure::new(name, description)?;
        // What was read as it is says nothing of a body.
        if self.zones.is_some() && !options.plain { figure.in_body_parts() } else { Ok(figure) }
    }
}

/// Drafts a figure from a picture. `file` is the picture's name in errors.
///
/// # Errors
/// [`crate::error::Error::NoSubject`], and [`crate::error::Error::BadValue`] for a crop or marks that
/// do not fit the picture.
pub fn draft(file: &str, picture: &Picture, options: &DraftOptions, tray: &Tray) -> Result<Draft> {
    if let (Some(marks), Some(zones)) = (&options.marks, options.zones()) {
        marks.check_against(&zones, picture.size().1)?;
    }
    let on = |sheet| {
        let reference = reference_on(file, picture, options, sheet)?;
        let samples = samples_of(&reference, options);
        matched(file, (picture, reference, samples), options, &Wishes::default(), tray)
    };
    let first = on(SheetReading::Likeliest)?;
    // One of several people is sought where they were found: on the likeliest sheet.
    if options.person.is_some() || !first.reference.has_other_sheet() {
        return Ok(first);
    }
    Ok(on(SheetReading::Second).ok().filter(|other| other.sureness() > first.sureness()).unwrap_or(first))
}

/// The picture as these options have it read.
fn reference_of(file: &str, picture: &Picture, options: &DraftOptions) -> Result<Reference> {
    reference_on(file, picture, options, SheetReading::Likeliest)
}

fn reference_on(
    file: &str,
    picture: &Picture,
    options: &DraftOptions,
    sheet: SheetReading,
) -> Result<Reference> {
    let options = ReferenceOptions {
        crop: options.crop,
        rows: options.rows(),
        as_taken: options.as_taken,
        sheet,
        corners: options.corners,
        answers: options.answers.clone(),
        person: options.person,
    };
    Reference::new(file, picture, &options)
}

fn samples_of(reference: &Reference, options: &DraftOptions) -> SampleGrid {
    let zones = options.zones();
    let raised = match options.size {
        Size::Class(_) | Size::Stands(_) | Size::Zones(_) => Raised::GetsRows,
        Size::Rows(_) => Raised::LeftOut,
    };
    let layout = match &zones {
        Some(zones) if options.plain => Layout::Stretched(zones, options.marks.as_ref()),
        Some(zones) => Layout::Plan(zones, options.marks.as_ref(), raised),
        None => Layout::AsDrawn(options.rows()),
    };
    SampleGrid::read_supposing(reference, layout, &options.supposed, options.seed)
}

/// The draft of what was sampled.
fn matched(
    file: &str,
    (picture, reference, samples): (&Picture, Reference, SampleGrid),
    options: &DraftOptions,
    wishes: &Wishes,
    tray: &Tray,
) -> Result<Draft> {
    let wishes = Wishes { nearest: options.plain, ..wishes.clone() };
    let matched = MatchedGrid::wishing(&samples, tray, &wishes);
    if matched.beads().iter().all(|(_, _, bead)| bead.is_none()) {
        let why = format!("at {} rows nothing in it is large enough for a bead", options.rows());
        return Err(Error::NoSubject { file: file.into(), why });
    }
    let mut warnings = picture.warnings.clone();
    warnings.extend_from_slice(reference.warnings());
    samples.asked().iter().for_each(|asked| ask(&mut warnings, *asked));
    warnings.extend(apart::warnings(matched.beads(), &samples, &reference));
    warnings.extend_from_slice(matched.warnings());
    /// Below this certainty rows and columns may be off, and the maker is told.
    const CLEAR_ENOUGH: f64 = 0.15;
    let lattice = samples.lattice();
    if lattice.proportions() == Proportions::AsDrawn && lattice.certainty() < CLEAR_ENOUGH {
        warnings.push(Warning::LatticeUnsure);
    }
    let legend = legend::legend(&matched, tray);
    warnings.extend(tray_warnings(&legend, tray));
    let zones = samples.plan().or(options.zones());
    Ok(Draft { reference, samples, matched, legend, zones, warnings })
}

/// Asks about a pale area, in place of what was asked of it before.
fn ask(warnings: &mut Vec<Warning>, Asked { pixel, cloth }: Asked) {
    let is_older =
        |warning: &Warning| matches!(warning, Warning::OnlyLikely { x, y, .. } if (*x, *y) == pixel);
    warnings.retain(|warning| !is_older(warning));
    warnings.push(Warning::OnlyLikely { x: pixel.0, y: pixel.1, cloth });
}

/// Beads far from what was asked for, and beads there are too few of.
fn tray_warnings(legend: &[LegendLine], tray: &Tray) -> Vec<Warning> {
    let name = |line: &LegendLine| tray.bead(line.bead).name.clone();
    let far = legend
        .iter()
        .filter(|line| line.difference > FAR)
        .map(|line| Warning::FarBead { bead: name(line), difference: line.difference });
    let short = legend.iter().filter_map(|line| {
        let owned = tray.bead(line.bead).count?;
        let needed = line.count;
        (needed > owned as usize).then(|| Warning::TooFew { bead: name(line), needed, owned })
    });
    far.chain(short).collect()
}

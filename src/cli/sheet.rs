//! `smallcast sheet`: the page a maker pegs from.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap::ValueEnum;
use image::RgbaImage;
use smallcast::error::{Error, Result, Warning};
use smallcast::plan::{Board, parse_pitch};
use smallcast::scene::Scene;
use smallcast::sheet::{
    PRINT_RESOLUTION, Paper, PrinterScale, Sheet, SheetOptions, Steps, Subject, build_scene_sheet,
    build_sheet, pdf, png_page, svg, test_page,
};

use super::figures::{self, Opened, READING};
use super::home::Home;
use super::progress::Progress;
use super::references::{pictures_of, reference_of};
use super::{first_to_last, left_behind, output, report, save_all, saved_in, scene};

/// The paper, as it is typed.
#[derive(Clone, Copy, Debug, Default, ValueEnum)]
pub enum PaperName {
    #[default]
    A4,
    Letter,
}

impl From<PaperName> for Paper {
    fn from(name: PaperName) -> Self {
        match name {
            PaperName::A4 => Self::A4,
            PaperName::Letter => Self::Letter,
        }
    }
}

/// The order of pegging, as it is typed.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum StepsName {
    #[value(alias = "color")]
    Colour,
    Row,
}

impl From<StepsName> for Steps {
    fn from(name: StepsName) -> Self {
        match name {
            StepsName::Colour => Self::Colour,
            StepsName::Row => Self::Row,
        }
    }
}

/// The printer's scale as long as the maker has not measured it.
pub const UNMEASURED: &str = "1";

/// Lay out a sheet to peg from: true size, marks, runs of each row, legend; PDF, SVG or PNG
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Figure files; a folder stands for every figure in it, by name; or a scene, a page a board
    #[arg(value_name = "FIGURE|FOLDER|SCENE", required_unless_present = "test_page")]
    figures: Vec<PathBuf>,
    /// Save the sheet: F.pdf, F.svg or F.png; several pages of SVG or PNG become F-1, F-2, ...
    #[arg(long, value_name = "FILE")]
    save: PathBuf,
    /// Tray file of the beads you own; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// From bead to bead: 5mm for regular beads, 2.6mm for small ones, or your own measure; without it, the
    /// cast's pitch, else 5mm
    #[arg(long, value_name = "LENGTH", help_heading = "On the page")]
    pitch: Option<String>,
    /// Pegs of your board, across and down; without it, the cast's board, else 29x29
    #[arg(long, value_name = "COLUMNSxROWS", help_heading = "On the page")]
    board: Option<String>,
    /// Paper size
    #[arg(long, value_enum, ignore_case = true, default_value_t, help_heading = "On the page")]
    paper: PaperName,
    /// Print the reference picture beside the finished look
    #[arg(long, conflicts_with = "test_page", help_heading = "On the page")]
    reference: bool,
    /// Give each figure its own board, with the runs of its rows beside it; without it, figures that fit
    /// share one
    #[arg(long, conflicts_with = "test_page", help_heading = "On the page")]
    apart: bool,
    /// Print the order of pegging step by step, by colour or by row
    #[arg(
        long,
        value_name = "ORDER",
        value_enum,
        conflicts_with = "test_page",
        help_heading = "On the page"
    )]
    steps: Option<StepsName>,
    /// Make a page to measure your printer with, instead of figures
    #[arg(long, conflicts_with = "figures", help_heading = "Your printer")]
    test_page: bool,
    /// What your printer makes of 1 mm, measured on the test page: such as 0.985, or across,down
    #[arg(long, value_name = "SCALE", default_value = UNMEASURED, help_heading = "Your printer")]
    printer_scale: String,
    /// Overwrite existing files
    #[arg(long)]
    replace: bool,
}

/// A sheet, and what was noticed of the reference pictures beside it.
type LaidOut = (Sheet, Vec<Warning>);

/// The format a file's name asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Format {
    Pdf,
    Svg,
    Png,
}

impl Arguments {
    /// Lays the sheet out and saves it.
    pub fn execute(&self) -> Result<()> {
        let format = self.format()?;
        let home = Home::of_figures(&self.figures, self.tray.as_deref())?;
        let options = self.options(&home)?;
        let progress = Progress::start(READING);
        let (read, (sheet, warnings)) = self.laid_out(&home, &options, &progress)?;
        let read: Vec<&Path> = read.iter().map(PathBuf::as_path).collect();
        progress.next("writing the sheet");
        let (names, bytes): (Vec<PathBuf>, Vec<Vec<u8>>) =
            self.files(&sheet, format, &read)?.into_iter().unzip();
        let files: Vec<(&Path, Vec<u8>)> = names.iter().map(PathBuf::as_path).zip(bytes).collect();
        let older = if self.replace && format != Format::Pdf { self.older(names.len()) } else { Vec::new() };
        save_all(&files, self.replace)?;
        progress.done();
        output::print(&saved_in(&names, Some(sheet.pages.len())))?;
        home.warn();
        warnings.iter().chain(&sheet.warnings).for_each(report::warning);
        if !older.is_empty() {
            let are = if older.len() == 1 { "is" } else { "are" };
            report::warning_in_words(&format!("{} {are} of an older sheet", first_to_last(&older)));
        }
        if self.test_page {
            report::next("smallcast sheet FIGURE --save FILE.pdf --printer-scale SCALE");
        } else if self.printer_scale == UNMEASURED {
            report::next("smallcast sheet --test-page --save test-page.pdf");
        }
        Ok(())
    }

    /// Pages that an older sheet of the name left beyond those of this one.
    fn older(&self, files: usize) -> Vec<PathBuf> {
        left_behind(&self.save, if files == 1 { 0 } else { files })
    }

    /// Refuses what a scene settles itself, or has none of.
    fn check_scene(&self) -> Result<()> {
        let refused = |option, value: &str, why: &str, right: &str| {
            Err(Error::BadValue { option, value: value.into(), why: why.into(), right: right.into() })
        };
        let scene = self.figures.first().map(|file| file.display().to_string()).unwrap_or_default();
        if let Some(board) = &self.board {
            let right = "leave it out, or change pegs under boards in the scene file";
            return refused("--board", board, "a scene has boards of its own", right);
        }
        if self.apart {
            let why = "a scene is printed board by board, each on its own page";
            return refused("--apart", &scene, why, "leave --apart out, or name the figures");
        }
        if self.reference {
            let why = "a scene has no reference picture";
            return refused("--reference", &scene, why, "leave --reference out, or name the figures");
        }
        Ok(())
    }

    /// The files that were read, and the sheet of figures or of a scene.
    fn laid_out(
        &self,
        home: &Home,
        options: &SheetOptions,
        progress: &Progress,
    ) -> Result<(Vec<PathBuf>, LaidOut)> {
        let served = home.read();
        let check = |read: &[PathBuf]| {
            let read: Vec<&Path> = read.iter().map(PathBuf::as_path).collect();
            super::check_target("--save", &self.save, "", &read, self.replace)
        };
        if let Some(file) = scene::alone(&self.figures)? {
            self.check_scene()?;
            let opened = Scene::open(file, progress.counts(READING))?;
            let own = std::iter::once(file.to_owned()).chain(opened.figures.into_values());
            let read: Vec<PathBuf> = own.chain(served).collect();
            check(&read)?;
            let sheet = build_scene_sheet(&opened.scene, &home.tray, options)?;
            return Ok((read, (sheet, Vec::new())));
        }
        let opened = figures::open_without_guide(&self.figures, home, progress.counts(READING))?;
        let own = figures::files(&opened).map(Path::to_owned);
        let read: Vec<PathBuf> = own.chain(served).chain(pictures_of(&opened)).collect();
        check(&read)?;
        Ok((read, self.sheet(&opened, home, options)?))
    }

    fn options(&self, home: &Home) -> Result<SheetOptions> {
        let usual = SheetOptions::default();
        let pitch = self.pitch.as_deref().map(parse_pitch).transpose()?;
        let board = self.board.as_deref().map(Board::parse).transpose()?;
        Ok(SheetOptions {
            paper: self.paper.into(),
            pitch: pitch.or(home.pitch()).unwrap_or(usual.pitch),
            printer: PrinterScale::parse(&self.printer_scale)?,
            board: board.or(home.board()).unwrap_or(usual.board),
            steps: self.steps.map(Into::into),
            together: !self.apart,
        })
    }

    fn format(&self) -> Result<Format> {
        let ending = self.save.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        match ending.as_deref() {
            Some("pdf") => Ok(Format::Pdf),
            Some("svg") => Ok(Format::Svg),
            Some("png") => Ok(Format::Png),
            _ if self.figures.contains(&self.save) => Err(Error::BadValue {
                option: "--save",
                value: self.save.display().to_string(),
                why: "this is the figure itself, which is never overwritten".into(),
                right: "choose another name for the sheet, ending in .pdf, .svg or .png".into(),
            }),
            _ => Err(Error::BadValue {
                option: "--save",
                value: self.save.display().to_string(),
                why: "the name does not say what kind of file it will be".into(),
                right: "end the name in .pdf, .svg or .png".into(),
            }),
        }
    }

    fn sheet(&self, opened: &[Opened], home: &Home, options: &SheetOptions) -> Result<LaidOut> {
        let mut warnings = Vec::new();
        if self.test_page {
            return Ok((test_page(options), warnings));
        }
        let mut subjects = Vec::new();
        for opened in opened {
            let picture: Option<RgbaImage> = match self.reference {
                true => reference_of(opened, &mut warnings)?,
                false => None,
            };
            subjects.push(Subject { figure: &opened.figure, reference: picture.map(Arc::new) });
        }
        Ok((build_sheet(&subjects, &home.tray, options), warnings))
    }

    /// Names and bytes of what is saved.
    fn files(&self, sheet: &Sheet, format: Format, read: &[&Path]) -> Result<Vec<(PathBuf, Vec<u8>)>> {
        let page = |page| match format {
            Format::Png => png_page(sheet, page, PRINT_RESOLUTION),
            _ => svg(sheet, page).into_bytes(),
        };
        match (format, sheet.pages.as_slice()) {
            (Format::Pdf, _) => Ok(vec![(self.save.clone(), pdf(sheet))]),
            (_, [only]) => Ok(vec![(self.save.clone(), page(only))]),
            (_, pages) => {
                let names: Vec<PathBuf> = (1..=pages.len()).map(|n| super::numbered(&self.save, n)).collect();
                for name in &names {
                    super::check_target("--save", name, "", read, self.replace)?;
                }
                Ok(names.into_iter().zip(pages.iter().map(page)).collect())
            }
        }
    }
}

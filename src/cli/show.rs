//! `smallcast show`: figures as pictures to show.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use image::RgbaImage;
use smallcast::colour::Srgb;
use smallcast::draft::{DEFAULT_SEED, draft_again};
use smallcast::error::{Error, Result, Warning};
use smallcast::reference::{Limits, open};
use smallcast::sheet::{
    Ground, Page, Sheet, ShowOptions, Subject, gif, png, raster, show_figures, show_steps, side_by_side, svg,
};

use super::figure_text::of_figure;
use super::figures::{self, Opened, READING};
use super::home::Home;
use super::output::{self, Paint};
use super::progress::Progress;
use super::references::{own_picture, pictures_of, reference_of};
use super::{report, save_all};

/// Show figures in the terminal, or as a picture: pegged or fused, beside their references, or step by step
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Figure files; a folder stands for every figure in it, by name
    #[arg(value_name = "FIGURE|FOLDER", required = true)]
    figures: Vec<PathBuf>,
    /// Save the picture: F.png, F.svg or F.gif; without it the figures are printed, rows and columns numbered
    #[arg(long, value_name = "FILE")]
    save: Option<PathBuf>,
    /// Tray file of the beads you own; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// Show them as ironed instead of as pegged
    #[arg(long, conflicts_with = "steps", requires = "save", help_heading = "What to see")]
    fused: bool,
    /// Show the board's pegs
    #[arg(long, conflicts_with = "steps", requires = "save", help_heading = "What to see")]
    board: bool,
    /// Show each figure beside its reference
    #[arg(long, conflicts_with = "steps", requires = "save", help_heading = "What to see")]
    beside: bool,
    /// Show the steps from picture to beads: F-1.png, F-2.png, ..., and F.gif as a film or F.png as a strip
    #[arg(long, requires = "save", help_heading = "What to see")]
    steps: bool,
    /// Pixels from bead to bead; without it, chosen by the figures' height
    #[arg(long, value_name = "PIXELS", requires = "save", help_heading = "What to see")]
    bead: Option<u32>,
    /// Background: light, dark, dusk, clear, or a colour such as '#d0e0f0'; without it, one they stand out from
    #[arg(long, alias = "ground", value_name = "COLOUR", requires = "save", help_heading = "What to see")]
    background: Option<String>,
    /// Overwrite existing files
    #[arg(long, requires = "save")]
    replace: bool,
}

/// The format a file's name asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Format {
    Png,
    Svg,
    Gif,
}

impl Arguments {
    /// Prints the figures, or draws the picture and saves it.
    pub fn execute(&self) -> Result<()> {
        match &self.save {
            Some(target) => self.draw(target),
            None => self.print(),
        }
    }

    fn print(&self) -> Result<()> {
        let home = Home::of_figures(&self.figures, self.tray.as_deref())?;
        let progress = Progress::start(READING);
        let opened = figures::open_without_guide(&self.figures, &home, progress.counts(READING))?;
        progress.done();
        let (paint, width) = (Paint::for_stdout(), output::width());
        let one = |opened: &Opened| of_figure(&opened.figure, &home.tray, paint, width);
        output::print(&opened.iter().map(one).collect::<Vec<_>>().join("\n"))?;
        home.warn();
        let figures = self.typed();
        let tray = home.tray_option();
        report::next(&format!(
            "smallcast show {figures}{tray} --save F.png, or smallcast edit FIGURE --do CHANGE"
        ));
        Ok(())
    }

    /// The figures as they were typed.
    fn typed(&self) -> String {
        self.figures.iter().map(|file| report::typed(file)).collect::<Vec<_>>().join(" ")
    }

    fn draw(&self, target: &Path) -> Result<()> {
        let (format, options) = (self.format(target)?, self.options()?);
        let progress = Progress::start(READING);
        let home = Home::of_figures(&self.figures, self.tray.as_deref())?;
        let opened = figures::open_without_guide(&self.figures, &home, progress.counts(READING))?;
        let pictures = pictures_of(&opened);
        let served = home.read();
        let beside = served.iter().chain(&pictures).map(PathBuf::as_path);
        let read: Vec<&Path> = figures::files(&opened).chain(beside).collect();
        super::check_target("--save", target, "", &read, self.replace)?;
        let mut warnings = Vec::new();
        let (names, bytes): (Vec<PathBuf>, Vec<Vec<u8>>) = if self.steps {
            progress.next("reading the picture again");
            let sheet = self.steps_of(&opened, &home.tray, &options)?;
            progress.next("drawing");
            self.step_files(target, &sheet, format)
        } else {
            let subjects = self.subjects(&opened, &mut warnings)?;
            let sheet = show_figures(&subjects, &home.tray, &options)?;
            progress.next("drawing");
            warnings.extend(sheet.warnings.iter().cloned());
            vec![(target.to_owned(), written(&sheet, &sheet.pages[0], format))]
        }
        .into_iter()
        .unzip();
        for name in &names {
            super::check_target("--save", name, "", &read, self.replace)?;
        }
        let files: Vec<(&Path, Vec<u8>)> = names.iter().map(PathBuf::as_path).zip(bytes).collect();
        save_all(&files, self.replace)?;
        progress.done();
        output::print(&saved_in(&names))?;
        home.warn();
        warnings.iter().for_each(report::warning);
        report::next(&format!("smallcast sheet {}{} --save sheet.pdf", self.typed(), home.tray_option()));
        Ok(())
    }

    fn format(&self, target: &Path) -> Result<Format> {
        let refused = |why: &str, right: &str| {
            let value = target.display().to_string();
            Err(Error::BadValue { option: "--save", value, why: why.into(), right: right.into() })
        };
        let ending = target.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        match ending.as_deref() {
            Some("png") => Ok(Format::Png),
            Some("gif") => Ok(Format::Gif),
            Some("svg") if self.steps => refused("steps are saved as pixels", "end the name in .gif or .png"),
            Some("svg") => Ok(Format::Svg),
            _ => refused(
                "the name does not say what kind of file it will be",
                "end the name in .png, .svg or .gif",
            ),
        }
    }

    fn options(&self) -> Result<ShowOptions> {
        let own = |text: &str| match text.parse::<Srgb>() {
            Ok(colour) => Ok(Some(Ground::Own(colour))),
            Err(_) => Err(Error::BadValue {
                option: "--background",
                value: text.into(),
                why: "unknown background".into(),
                right: "write light, dark, dusk, clear, or a colour such as '#d0e0f0'".into(),
            }),
        };
        let ground = match self.background.as_deref() {
            None | Some("clear") => None,
            Some("light") => Some(Ground::Light),
            Some("dark") => Some(Ground::Dark),
            Some("dusk") => Some(Ground::Dusk),
            Some(colour) => own(colour)?,
        };
        let clear = self.background.as_deref() == Some("clear");
        Ok(ShowOptions { bead: self.bead, fused: self.fused, board: self.board, ground, clear })
    }

    fn subjects<'a>(&self, opened: &'a [Opened], warnings: &mut Vec<Warning>) -> Result<Vec<Subject<'a>>> {
        let one = |opened: &'a Opened| {
            let picture = match self.beside {
                true => reference_of(opened, warnings)?,
                false => None,
            };
            Ok(Subject { figure: &opened.figure, reference: picture.map(Arc::new) })
        };
        opened.iter().map(one).collect()
    }

    fn steps_of(
        &self,
        opened: &[Opened],
        tray: &smallcast::tray::Tray,
        options: &ShowOptions,
    ) -> Result<Sheet> {
        let [one] = opened else {
            return Err(Error::BadValue {
                option: "--steps",
                value: format!("{} figures", opened.len()),
                why: "steps are shown of one figure at a time".into(),
                right: "name one figure".into(),
            });
        };
        let file = own_picture(&one.figure, &one.file)?;
        let picture = open::open(&file, &Limits::default())?;
        let draft = draft_again(&file.display().to_string(), &picture, &one.figure, DEFAULT_SEED, tray)?;
        show_steps(&one.figure, &draft, tray, options)
    }

    /// The steps one by one as PNG, and all of them as asked for.
    fn step_files(&self, target: &Path, sheet: &Sheet, format: Format) -> Vec<(PathBuf, Vec<u8>)> {
        let pictures: Vec<RgbaImage> = sheet.pages.iter().map(|page| raster(sheet, page, 1.0)).collect();
        let whole = match format {
            Format::Gif => gif(&pictures),
            _ => png(&side_by_side(&pictures)),
        };
        let base = target.with_extension("png");
        let each =
            pictures.iter().enumerate().map(|(i, picture)| (super::numbered(&base, i + 1), png(picture)));
        std::iter::once((target.to_owned(), whole)).chain(each).collect()
    }
}

/// The whole, and the steps one by one where they were saved.
fn saved_in(names: &[PathBuf]) -> String {
    match names {
        [whole, steps @ ..] if !steps.is_empty() => {
            format!("Saved in {} and {}.\n", whole.display(), super::first_to_last(steps))
        }
        _ => super::saved_in(names, None),
    }
}

fn written(sheet: &Sheet, page: &Page, format: Format) -> Vec<u8> {
    match format {
        Format::Svg => svg(sheet, page).into_bytes(),
        Format::Png => png(&raster(sheet, page, 1.0)),
        Format::Gif => gif(&[raster(sheet, page, 1.0)]),
    }
}

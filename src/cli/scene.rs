//! `smallcast scene`: figures over boards, who hides whom, what it takes, and a page a board to peg from.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use smallcast::count::{Batch, Counted, Spare, count};
use smallcast::error::{Error, Result};
use smallcast::plan::parse_pitch;
use smallcast::scene::{self, Crossing, ENDING, LoosePiece, Overlap, Scene};
use smallcast::sheet::{
    PrinterScale, SceneLook, Sheet, SheetOptions, build_scene_sheet, pdf, png_page, scene_picture,
};

use super::figures::READING;
use super::home::Home;
use super::output::{self, Paint};
use super::progress::Progress;
use super::sheet::{PaperName, StepsName, UNMEASURED};
use super::{report, save_all, scene_json, scene_text};

/// Exit code where `check` finds something.
const FOUND: u8 = 1;

/// A picture counts pixels, which have no size on paper.
const ONE_TO_ONE: f64 = 1.0;

/// Lay figures over several boards: who hides whom, what lies over a seam, what holds together, what it takes
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The scene file, NAME.scene.toml
    #[arg(value_name = "SCENE.toml")]
    scene: PathBuf,
    /// Save a picture of the scene on its boards
    #[arg(long, value_name = "FILE.png")]
    picture: Option<PathBuf>,
    /// Save the sheet to peg from: a map of the boards, then a page a board at true size
    #[arg(long, value_name = "FILE.pdf")]
    sheet: Option<PathBuf>,
    /// Tray file of the beads you own; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// Pixels from bead to bead
    #[arg(long, value_name = "PIXELS", requires = "picture", help_heading = "In the picture")]
    bead: Option<u32>,
    /// Show it as ironed instead of as pegged
    #[arg(long, requires = "picture", help_heading = "In the picture")]
    fused: bool,
    /// From bead to bead: 5mm for regular beads, 2.6mm for small ones, or your own measure; without it, the
    /// cast's pitch, else 5mm
    #[arg(long, value_name = "LENGTH", help_heading = "On the sheet")]
    pitch: Option<String>,
    /// Paper size
    #[arg(long, value_enum, default_value_t, help_heading = "On the sheet")]
    paper: PaperName,
    /// Print the order of pegging step by step, by colour or by row
    #[arg(long, value_name = "ORDER", value_enum, requires = "sheet", help_heading = "On the sheet")]
    steps: Option<StepsName>,
    /// What your printer makes of 1 mm, measured on the test page: such as 0.985, or across,down
    #[arg(long, value_name = "SCALE", default_value = UNMEASURED, help_heading = "On the sheet")]
    printer_scale: String,
    /// Overwrite existing files
    #[arg(long)]
    replace: bool,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

/// A scene and all that is said of it.
pub struct Looked {
    /// The file, as the maker named it.
    pub file: PathBuf,
    pub opened: scene::Opened,
    pub counted: Counted,
    pub overlaps: Vec<Overlap>,
    pub crossings: Vec<Crossing>,
    /// Into how many pieces it would fuse, and those that are not the largest.
    pub pieces: (usize, Vec<LoosePiece>),
}

impl Looked {
    /// Reads a scene and looks it over.
    pub fn at(file: &Path, home: &Home, progress: &Progress) -> Result<Self> {
        let opened = Scene::open(file, progress.counts(READING))?;
        progress.next("looking the scene over");
        let boards = opened.scene.by_board()?;
        let batches: Vec<Batch> = boards.iter().map(|figure| Batch { figure, times: 1 }).collect();
        let counted = count(&batches, &home.tray, Spare::NONE);
        let (overlaps, crossings, pieces) =
            (opened.scene.overlaps(), opened.scene.crossings(), opened.scene.pieces());
        Ok(Self { file: file.into(), opened, counted, overlaps, crossings, pieces })
    }

    /// The scene.
    pub fn scene(&self) -> &Scene {
        &self.opened.scene
    }

    /// Whether it does not hold together, or cannot be made of the beads there are.
    fn is_lacking(&self) -> bool {
        !self.pieces.1.is_empty() || self.counted.needs.iter().any(|need| need.short() > 0)
    }

    /// Every file that was read for it.
    pub fn read(&self, home: &Home) -> Vec<PathBuf> {
        let own = std::iter::once(self.file.clone()).chain(self.opened.figures.values().cloned());
        own.chain(home.read()).collect()
    }
}

/// Refuses a folder, with a scene of it where there is one.
fn not_a_folder(path: &Path) -> Result<()> {
    if !path.is_dir() {
        return Ok(());
    }
    let files = path.read_dir().into_iter().flatten().flatten().map(|entry| entry.path());
    let example = files.filter(|file| is_scene(file)).min();
    Err(Error::BadValue {
        option: "SCENE",
        value: path.display().to_string(),
        why: "this is a folder, and a scene is one file".into(),
        right: match example {
            Some(file) => format!("smallcast scene {}", report::typed(&file)),
            None => format!(
                "name a scene file, which ends in {ENDING}; smallcast help scenes says how one is written"
            ),
        },
    })
}

/// Whether a path is a scene's.
pub fn is_scene(path: &Path) -> bool {
    path.to_string_lossy().ends_with(ENDING)
}

/// The scene among the paths of a command; it must stand alone.
///
/// # Errors
/// [`Error::BadValue`] where other figures are named with it.
pub fn alone(paths: &[PathBuf]) -> Result<Option<&Path>> {
    match (paths.iter().find(|path| is_scene(path)), paths) {
        (None, _) => Ok(None),
        (Some(scene), [_]) => Ok(Some(scene)),
        (Some(scene), _) => Err(Error::BadValue {
            option: "FIGURE",
            value: scene.display().to_string(),
            why: "a scene cannot be combined with figures here".into(),
            right: "name the scene alone, or the figures without it".into(),
        }),
    }
}

/// What `smallcast check` says of a scene; exit code 1 where it does not hold, or beads are short.
///
/// # Errors
/// As [`Looked::at`].
pub fn check(file: &Path, tray: Option<&Path>, json: bool) -> Result<ExitCode> {
    let progress = Progress::start(READING);
    let home = Home::of_figures(&[file], tray)?;
    let looked = Looked::at(file, &home, &progress)?;
    progress.done();
    show(&looked, &home, json)?;
    if !json {
        report::next(&format!(
            "smallcast sheet {}{} --save scene.pdf",
            report::typed(file),
            home.tray_option()
        ));
    }
    Ok(if looked.is_lacking() { ExitCode::from(FOUND) } else { ExitCode::SUCCESS })
}

fn show(looked: &Looked, home: &Home, json: bool) -> Result<()> {
    home.warn();
    if json {
        return output::print_json(&scene_json::document(looked, home.tray_name()));
    }
    let view = scene_text::View {
        looked,
        tray: &home.tray,
        pitch: home.pitch().unwrap_or(SheetOptions::default().pitch),
        paint: Paint::for_stdout(),
        width: output::width(),
    };
    output::print(&view.report())
}

impl Arguments {
    /// Lays the scene, saves and shows.
    pub fn execute(&self) -> Result<()> {
        not_a_folder(&self.scene)?;
        let progress = Progress::start(READING);
        let home = Home::of_figures(&[&self.scene], self.tray.as_deref())?;
        let options = self.options(&home)?;
        let looked = Looked::at(&self.scene, &home, &progress)?;
        let read = looked.read(&home);
        let read: Vec<&Path> = read.iter().map(PathBuf::as_path).collect();
        let targets = [("--picture", &self.picture, ".png"), ("--sheet", &self.sheet, ".pdf")];
        for (option, target, ending) in targets {
            target
                .iter()
                .try_for_each(|target| super::check_target(option, target, ending, &read, self.replace))?;
        }
        let mut files: Vec<(&Path, Vec<u8>)> = Vec::new();
        let mut sheets: Vec<Sheet> = Vec::new();
        if let Some(target) = &self.picture {
            progress.next("drawing the scene");
            let look = SceneLook { bead: self.bead, fused: self.fused };
            let sheet = scene_picture(looked.scene(), &home.tray, &look)?;
            // A picture has one page.
            files.extend(
                sheet.pages.iter().map(|page| (target.as_path(), png_page(&sheet, page, ONE_TO_ONE))),
            );
            sheets.push(sheet);
        }
        if let Some(target) = &self.sheet {
            progress.next("laying out the sheet");
            let sheet = build_scene_sheet(looked.scene(), &home.tray, &options)?;
            files.push((target.as_path(), pdf(&sheet)));
            sheets.push(sheet);
        }
        save_all(&files, self.replace)?;
        progress.done();
        let mut said = Vec::new();
        for warning in sheets.iter().flat_map(|sheet| &sheet.warnings) {
            if !said.contains(&warning) {
                report::warning(warning);
                said.push(warning);
            }
        }
        show(&looked, &home, self.json)?;
        if !self.json {
            output::print(&super::save::saved_in_words(output::width()))?;
            self.name_next(&home);
        }
        Ok(())
    }

    fn options(&self, home: &Home) -> Result<SheetOptions> {
        let usual = SheetOptions::default();
        let pitch = self.pitch.as_deref().map(parse_pitch).transpose()?;
        Ok(SheetOptions {
            paper: self.paper.into(),
            pitch: pitch.or(home.pitch()).unwrap_or(usual.pitch),
            printer: PrinterScale::parse(&self.printer_scale)?,
            steps: self.steps.map(Into::into),
            ..usual
        })
    }

    fn name_next(&self, home: &Home) {
        let (scene, tray) = (report::typed(&self.scene), home.tray_option());
        match (&self.picture, &self.sheet) {
            (None, _) => report::next(&format!("smallcast scene {scene}{tray} --picture scene.png")),
            (_, None) => report::next(&format!("smallcast scene {scene}{tray} --sheet scene.pdf")),
            _ => report::next(&format!("smallcast count {scene}{tray}")),
        }
    }
}

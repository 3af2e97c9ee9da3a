//! `smallcast reuse`: a new figure from older ones.

mod json;
mod like;
mod like_json;
mod like_text;
mod older;
mod text;

use std::path::{Path, PathBuf};

use clap::builder::{PathBufValueParser, TypedValueParser};
use smallcast::cast::{Height, Reused, Wish, apart, beginning, reuse};
use smallcast::error::{Error, Result, Warning};
use smallcast::figure::{AtHand, Edit, Edited, Figure, Workbench};
use smallcast::plan::{BuildKind, ZoneRows, parse_stature};
use smallcast::sheet::{ShowOptions, Subject, png, raster, show_figures};
use smallcast::tray::Tray;

use older::Older;

use super::home::Home;
use super::output::{self, Paint};
use super::{check_target, figures, report, save};

/// Make a new figure from older ones, or find the best one to start from for a picture
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The figure to begin with, then others to take parts from; with --like a folder, or figures
    #[arg(value_name = "OLD.figure.toml|FOLDER", required = true, value_parser = PathBufValueParser::new().map(figures::by_name))]
    older: Vec<PathBuf>,
    /// Save the new figure: NEW.figure.toml; the older ones stay as they are
    #[arg(long, value_name = "FILE", required_unless_present = "like", help_heading = "The new figure")]
    save: Option<PathBuf>,
    /// The new figure's name; without it, its file's name
    #[arg(long, value_name = "NAME", help_heading = "The new figure")]
    name: Option<String>,
    /// Height class: very-tall, taller, guide, shorter, older-child, child, small-child, or one of the cast's own
    #[arg(long, value_name = "NAME", conflicts_with_all = ["stands", "zones"], help_heading = "The new figure")]
    class: Option<String>,
    /// Standing height beside the guide (24 rows, 176.85 cm), such as 165cm or 5ft5in
    #[arg(long, value_name = "HEIGHT", conflicts_with = "zones", help_heading = "The new figure")]
    stands: Option<String>,
    /// Rows by zone, such as head=5,neck=1,torso=8,legs=9,feet=1
    #[arg(long, value_name = "ZONES", help_heading = "The new figure")]
    zones: Option<String>,
    /// Build: usual, stout, thin or small
    #[arg(long, value_name = "WORD", help_heading = "The new figure")]
    build: Option<String>,
    /// A change as for edit --do, such as 'swap navy moss' (which here includes beads placed by hand) or
    /// 'take head from baker'; may be repeated
    #[arg(long = "do", value_name = "CHANGE", help_heading = "The new figure")]
    lines: Vec<String>,
    /// Save a picture of old and new side by side
    #[arg(long = "picture", value_name = "FILE.png", help_heading = "The new figure")]
    shown: Option<PathBuf>,
    /// Overwrite existing files
    #[arg(long, help_heading = "The new figure")]
    replace: bool,
    /// A reference for a new figure: rank the figures by how good a start each is for it
    #[arg(long, value_name = "PICTURE", help_heading = "Which one to begin with")]
    #[arg(conflicts_with_all = ["save", "name", "build", "lines", "shown", "replace"])]
    like: Option<PathBuf>,
    /// List the best N
    #[arg(long, value_name = "N", default_value_t = 5, requires = "like")]
    #[arg(help_heading = "Which one to begin with")]
    most: usize,
    /// Tray file of the beads you own; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

/// An older figure and the new one made of it.
pub struct Made {
    /// The older figure.
    pub old: Figure,
    /// The new one.
    pub new: Figure,
    /// The changes, each with its line.
    pub changes: Vec<(String, Edited)>,
    /// What to look at.
    pub notes: Vec<String>,
    /// What the tray lacks.
    pub warnings: Vec<Warning>,
    /// Beads that lie otherwise than in the older figure brought to the new one's rows, of those either has.
    pub apart: (usize, usize),
}

impl Arguments {
    /// Makes the figure and saves it, or ranks.
    pub fn execute(&self) -> Result<()> {
        match &self.like {
            Some(picture) => self.rank(picture),
            None => self.make(),
        }
    }

    fn make(&self) -> Result<()> {
        // The command line asks for a file to save to, unless it ranks.
        let target = self.save.clone().unwrap_or_default();
        let lines: Vec<Edit> = self.lines.iter().map(|line| Edit::parse(line)).collect::<Result<_>>()?;
        let home = self.home(&target)?;
        let served = home.read();
        let read: Vec<&Path> = self.older.iter().chain(&served).map(PathBuf::as_path).collect();
        check_target("--save", &target, figures::ENDING, &read, self.replace)?;
        if let Some(picture) = &self.shown {
            check_target("--picture", picture, ".png", &read, self.replace)?;
        }
        let build = self.build.as_deref().map(BuildKind::named).transpose()?;
        let name = self.name.clone().unwrap_or_else(|| figures::name_of(&target));
        home.check_name("--name", &name, &target)?;
        let wish = Wish {
            name: Some(name),
            height: self.height(&home)?,
            rows_may_go: false,
            build: build.map(|kind| (kind, home.look(&target))),
            lines,
        };
        let made = self.made(&target, wish, &home)?;
        self.say(&made, &target, &home)
    }

    /// What serves: the cast the new figure is saved in, else the one the older figure is of.
    fn home(&self, target: &Path) -> Result<Home> {
        let older = self.older.iter().map(PathBuf::as_path);
        let paths: Vec<&Path> = std::iter::once(target).chain(older).collect();
        Home::of_first(&paths, self.tray.as_deref())
    }

    /// Makes the new figure and saves it with its history.
    fn made(&self, target: &Path, mut wish: Wish, home: &Home) -> Result<Made> {
        let tray = &home.tray;
        one_figure(&self.older[0])?;
        self.older.iter().try_for_each(|path| one_figure(path))?;
        let bench = Workbench::open(&self.older[0])?;
        let older = Older::of(&self.older, &mut wish.lines, target)?;
        let at_hand = AtHand::new(&home.tray, &older).with_classes(home.classes());
        let start = beginning(bench.figure());
        let Reused { figure: new, edits, notes } = reuse(&start, &wish, &at_hand)?;
        let shown = match &self.shown {
            Some(picture) => vec![(picture.as_path(), side_by_side(bench.figure(), &new, tray)?)],
            None => Vec::new(),
        };
        let change = bench.begin_at(target, &edits, &at_hand, &shown, self.replace)?;
        save::remember(target);
        Ok(Made {
            warnings: lacking(&new, tray),
            apart: apart(bench.figure(), &new),
            old: bench.figure().clone(),
            new,
            changes: edits.iter().map(Edit::to_string).zip(change.edits).collect(),
            notes,
        })
    }

    fn say(&self, made: &Made, target: &Path, home: &Home) -> Result<()> {
        if self.json {
            let old = self.older[0].display().to_string();
            return output::print_json(&json::document(old, target, made, home.tray_name()));
        }
        made.warnings.iter().for_each(report::warning);
        let (paint, width) = (Paint::for_stdout(), output::width());
        output::print(&text::report(made, target, &home.tray, paint, width))?;
        let typed = report::typed(target);
        let tray = home.tray_option();
        report::next(&format!("smallcast check {typed}{tray}, or smallcast edit {typed}{tray}"));
        Ok(())
    }

    /// The height asked for; none where the figure keeps its own.
    fn height(&self, home: &Home) -> Result<Option<Height>> {
        let classes = home.classes();
        let of_rows = |rows: ZoneRows| Height {
            rows,
            class: classes.with_rows(&rows).map(|class| class.name.to_string()),
            stature: None,
        };
        Ok(match (&self.class, &self.stands, &self.zones) {
            (Some(name), ..) => {
                let class = classes.named(name)?;
                Some(Height { rows: class.rows, class: Some(class.name.to_string()), stature: None })
            }
            (_, Some(text), _) => {
                let stature = parse_stature(text)?;
                let guide = home.scale()?;
                let rows = guide.zones_for(guide.rows_for(stature));
                Some(Height { stature: Some(stature), ..of_rows(rows) })
            }
            (.., Some(text)) => Some(of_rows(ZoneRows::parse(text)?)),
            _ => None,
        })
    }
}

/// Beads of a figure that are not in the tray, or too few.
fn lacking(figure: &Figure, tray: &Tray) -> Vec<Warning> {
    let counts = figure.counts().into_iter().filter(|(_, needed)| *needed > 0);
    let (owned, strange): (Vec<_>, Vec<_>) = counts.partition(|(entry, _)| tray.find(&entry.bead).is_some());
    let beads: Vec<String> = strange.into_iter().map(|(entry, _)| entry.bead.clone()).collect();
    let strange = (!beads.is_empty()).then_some(Warning::NotInTray { beads });
    let short = owned.into_iter().filter_map(|(entry, needed)| {
        let owned = tray.bead(tray.find(&entry.bead)?).count?;
        (needed > owned as usize).then(|| Warning::TooFew { bead: entry.bead.clone(), needed, owned })
    });
    strange.into_iter().chain(short).collect()
}

fn side_by_side(old: &Figure, new: &Figure, tray: &Tray) -> Result<Vec<u8>> {
    let subjects = [old, new].map(|figure| Subject { figure, reference: None });
    let sheet = show_figures(&subjects, tray, &ShowOptions::default())?;
    Ok(png(&raster(&sheet, &sheet.pages[0], 1.0)))
}

/// Refuses what names no figure: a folder where one was meant.
fn one_figure(path: &Path) -> Result<()> {
    if !path.is_dir() {
        return Ok(());
    }
    Err(Error::BadValue {
        option: "OLD",
        value: path.display().to_string(),
        why: "this is a folder, and a new figure begins with one older figure".into(),
        right: "name a figure of it; --like PICTURE says which is a good start".into(),
    })
}

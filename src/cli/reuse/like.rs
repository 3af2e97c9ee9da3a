//! `smallcast reuse FOLDER --like PICTURE`: which older figure is the best start for a new one.

use std::path::Path;

use smallcast::cast::{Sought, Start, rank};
use smallcast::draft::{DraftOptions, Size, draft};
use smallcast::error::{Error, Result};
use smallcast::figure::Figure;
use smallcast::plan::parse_stature;
use smallcast::reference::{Limits, open};

use super::super::figures::{self, Opened, READING};
use super::super::home::Home;
use super::super::output::{self, Paint};
use super::super::progress::Progress;
use super::super::report;
use super::{Arguments, like_json, like_text};

/// An older figure and what would have to change of it.
pub struct Ranked {
    /// The figure with its file.
    pub older: Opened,
    /// What would change.
    pub start: Start,
    /// The command to go on with.
    pub command: String,
}

/// The figures of a folder, ranked for a picture.
pub struct Ranking {
    /// The picture, as it was named.
    pub picture: String,
    /// What it was drafted to, in a word or two.
    pub size: String,
    /// Beads of the draft.
    pub beads: usize,
    /// How many figures there are.
    pub of: usize,
    /// The best of them, the best first.
    pub best: Vec<Ranked>,
}

impl Arguments {
    /// Drafts the picture, compares it with every figure, and lists the best.
    pub(super) fn rank(&self, picture: &Path) -> Result<()> {
        if self.most == 0 {
            return Err(Error::BadValue {
                option: "--most",
                value: "0".into(),
                why: "this lists nothing".into(),
                right: "give 1 or more".into(),
            });
        }
        let home = Home::of(&self.older, self.tray.as_deref())?;
        let (options, tray) = (self.draft_options(&home)?, &home.tray);
        let progress = Progress::start("opening the picture");
        let file = picture.display().to_string();
        let opened = open::open(picture, &Limits::default())?;
        progress.next(READING);
        let older = figures::open(&self.older, progress.counts(READING))?;
        progress.next("drafting the picture");
        let drafted = draft(&file, &opened, &options, tray)?;
        progress.next("comparing");
        let all: Vec<&Figure> = older.iter().map(|opened| &opened.figure).collect();
        let sought = Sought::of(&drafted.figure(&file, &file, &options, tray)?, tray);
        let ranked = rank(&sought, &all, tray, self.most);
        progress.done();
        let of = older.len();
        let mut older: Vec<Option<Opened>> = older.into_iter().map(Some).collect();
        let best = ranked.into_iter().filter_map(|(at, start)| {
            let older = older[at].take()?;
            let command = self.command(&older, &start, picture, &home);
            Some(Ranked { older, start, command })
        });
        let ranking = Ranking {
            size: self.size_in_words(sought.rows().total()),
            beads: drafted.matched.beads().iter().filter(|(.., bead)| bead.is_some()).count(),
            best: best.collect(),
            picture: file,
            of,
        };
        home.warn();
        drafted.warnings.iter().for_each(report::warning);
        if self.json {
            return output::print_json(&like_json::document(&ranking, home.tray_name()));
        }
        output::print(&like_text::report(&ranking, Paint::for_stdout(), output::width()))?;
        if let Some(best) = ranking.best.first() {
            report::next(&best.command);
        }
        Ok(())
    }

    fn draft_options(&self, home: &Home) -> Result<DraftOptions> {
        let classes = home.classes();
        let size = match (&self.class, &self.stands) {
            (Some(name), _) => Some(Size::Class(classes.named(name)?)),
            (_, Some(text)) => Some(Size::Stands(parse_stature(text)?)),
            _ => self.height(home)?.map(|height| Size::Zones(height.rows)),
        };
        let usual = DraftOptions::default();
        let (classes, guide) = (classes.clone(), home.scale()?);
        Ok(DraftOptions { size: size.unwrap_or(usual.size.clone()), classes, guide, ..usual })
    }

    fn size_in_words(&self, rows: usize) -> String {
        let class = match (&self.class, &self.stands, &self.zones) {
            (Some(name), ..) => format!("{name}, "),
            (_, Some(stands), _) => format!("{stands}, "),
            (.., Some(_)) => String::new(),
            _ => "guide, ".into(),
        };
        format!("{class}{rows} rows")
    }

    /// What one would type next: the older figure with its swaps where the cut is right; else its shape with the
    /// picture's colours.
    fn command(&self, older: &Opened, start: &Start, picture: &Path, home: &Home) -> String {
        let mut words = vec!["smallcast".to_owned()];
        let stem = picture.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let target = report::typed(&home.free_figure_file(&stem));
        let older = report::typed(&older.file);
        let given = [("--class", &self.class), ("--stands", &self.stands), ("--zones", &self.zones)];
        let given = given.into_iter().find_map(|(option, value)| Some((option, value.as_ref()?)));
        let size = given.map(|(option, value)| format!("{option} {}", report::typed(Path::new(value))));
        if start.is_same_cut() {
            words.extend(["reuse".into(), older]);
            let rows = size.or_else(|| (!start.rows.is_empty()).then(|| "--class guide".into()));
            words.extend(rows);
            let quoted = |line: String| format!("--do {}", report::typed(Path::new(&line)));
            words.extend(like_text::lines(start).into_iter().map(quoted));
        } else {
            words.extend(["draft".into(), report::typed(picture), format!("--on {older}")]);
            words.extend(size);
        }
        words.push(format!("--save {target}"));
        words.extend(self.tray.as_deref().map(|file| format!("--tray {}", report::typed(file))));
        words.join(" ")
    }
}

//! `smallcast edit`: clean-up by hand.

use std::path::{Path, PathBuf};

use clap::builder::{PathBufValueParser, TypedValueParser};
use smallcast::cast::stem;
use smallcast::error::{Error, Result, Warning};
use smallcast::figure::{AtHand, Beside, Edit, Figure, Others, Workbench};
use smallcast::rules::{self, Entrant, Judge, RULES, Rule};
use smallcast::tray::Tray;

use super::home::Home;
use super::output::Paint;
use super::{check, edit_json, edit_text, figures, output, page, references, report, save};

/// Open a page to clean up figures by hand, or make changes from here with --do; every change can be undone
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A figure, a folder of figures, or a picture to draft: opens a page for it in your browser, unless
    /// --do, --undo, --redo or --history is given
    #[arg(value_name = "FIGURE|FOLDER|PICTURE", value_parser = PathBufValueParser::new().map(figures::by_name))]
    file: PathBuf,
    /// A change, such as 'swap navy moss' or 'place 4,6 coal'; may be repeated: all of them are made, or none
    #[arg(long = "do", value_name = "CHANGE", help_heading = "Without the page")]
    lines: Vec<String>,
    /// Undo the last change, or the last N; each --do was one
    #[arg(long, value_name = "N", num_args = 0..=1, default_missing_value = "1", help_heading = "Without the page",
          conflicts_with_all = ["lines", "redo", "history"])]
    undo: Option<usize>,
    /// Redo the change undone last, or the last N
    #[arg(long, value_name = "N", num_args = 0..=1, default_missing_value = "1", help_heading = "Without the page",
          conflicts_with_all = ["lines", "history"])]
    redo: Option<usize>,
    /// List the changes made so far
    #[arg(long, help_heading = "Without the page", conflicts_with = "lines")]
    history: bool,
    /// Save the changed figure in this file; the figure itself stays as it is
    #[arg(long, value_name = "F.figure.toml", requires = "lines", help_heading = "Without the page")]
    save: Option<PathBuf>,
    /// Overwrite an existing file
    #[arg(long, requires = "save", help_heading = "Without the page")]
    replace: bool,
    /// Tray file of the beads you own; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// Print one JSON document on standard output
    #[arg(long, help_heading = "Without the page")]
    json: bool,
    #[command(flatten)]
    page: page::PageArguments,
}

/// What one call has done.
#[derive(Debug, Default)]
pub struct Outcome {
    /// The changes made, each with its line.
    pub made: Vec<(String, smallcast::figure::Edited)>,
    /// The lines that would have changed nothing, beside others that did.
    pub idle: Vec<String>,
    /// The lines of the steps undone, the last one first.
    pub undone: Vec<String>,
    /// The lines of the steps redone.
    pub redone: Vec<String>,
    /// The figure after what was done; none if it was only looked at.
    pub figure: Option<Figure>,
    /// Where the figure was saved; none if it was only looked at.
    pub saved: Option<PathBuf>,
    /// What the maker should know.
    pub warnings: Vec<Warning>,
}

impl Arguments {
    /// Makes the changes, or opens the page.
    pub fn execute(&self) -> Result<()> {
        let without_page =
            !self.lines.is_empty() || self.undo.is_some() || self.redo.is_some() || self.history;
        if !without_page {
            let home = Home::of_figures(&[&self.file], self.tray.as_deref())?;
            return self.page.serve(&self.file, home);
        }
        let mut edits: Vec<Edit> = self.lines.iter().map(|line| Edit::parse(line)).collect::<Result<_>>()?;
        check_rules(&edits)?;
        self.one_figure()?;
        edits.iter_mut().for_each(|edit| self.name_whole(edit));
        let home = Home::of_figures(&[&self.file], self.tray.as_deref())?;
        let mut bench = Workbench::open(&self.file)?;
        let outcome = match (self.undo, self.redo) {
            (Some(times), _) => {
                let undone = bench.undo(at_least_one("--undo", times)?)?;
                Outcome { undone, ..self.saved(bench.figure()) }
            }
            (_, Some(times)) => {
                let redone = bench.redo(at_least_one("--redo", times)?)?;
                Outcome { redone, ..self.saved(bench.figure()) }
            }
            _ if self.history => Outcome::default(),
            _ => self.change(&mut bench, &edits, &home)?,
        };
        self.say(&bench, &outcome, &home)
    }

    /// Refuses a folder: without the page, one figure is changed.
    fn one_figure(&self) -> Result<()> {
        if !self.file.is_dir() {
            return Ok(());
        }
        let folder = report::typed(&self.file);
        Err(Error::BadValue {
            option: "FIGURE",
            value: self.file.display().to_string(),
            why: "this is a folder, and a change is made on one figure".into(),
            right: format!("name a figure of it; smallcast edit {folder} alone opens a page for all of them"),
        })
    }

    /// A figure that a part is taken from may be named as casts and scenes name it; its history has the file.
    fn name_whole(&self, edit: &mut Edit) {
        let Edit::Take { from, .. } = edit else { return };
        let folder = self.file.parent().unwrap_or(Path::new(""));
        let whole = format!("{from}{}", figures::ENDING);
        let is_there = |file: &str| folder.join(file).exists() || Path::new(file).exists();
        if !is_there(from) && is_there(&whole) {
            *from = whole;
        }
    }

    fn change(&self, bench: &mut Workbench, edits: &[Edit], home: &Home) -> Result<Outcome> {
        let before = bench.figure().clone();
        let others = BesideOrTyped(Beside::of(&self.file));
        let at_hand = AtHand::new(&home.tray, &others).with_classes(home.classes());
        for edit in edits {
            if let Edit::Name { name } = edit {
                home.check_name("--do", name, self.save.as_deref().unwrap_or(&self.file))?;
            }
        }
        bench.serve_with(home.tray_to_keep(self.save.as_deref().unwrap_or(&self.file)).as_deref());
        let change = match &self.save {
            None => bench.apply(edits, &at_hand).inspect(|_| save::remember(&self.file))?,
            Some(target) => {
                let served = home.read();
                let read = std::iter::once(&self.file).chain(&served);
                let read: Vec<&Path> = read.map(PathBuf::as_path).collect();
                super::check_target("--save", target, figures::ENDING, &read, self.replace)?;
                let picture = before.source().map(|source| {
                    let folder = self.file.parent().unwrap_or(Path::new(""));
                    references::beside(&folder.join(&source.picture), target)
                });
                bench
                    .apply_to(target, edits, &at_hand, picture, self.replace)
                    .inspect(|_| save::remember(target))?
            }
        };
        let after = change.edits.last().map_or(&before, |edited| &edited.figure).clone();
        let outcome = self.saved(&after);
        let file = outcome.saved.as_deref().unwrap_or(&self.file);
        let mut warnings = too_few_now(&before, &after, &home.tray);
        warnings.extend(meant_nothing(edits, &after, file, home));
        let (idle, made): (Vec<_>, Vec<_>) = self
            .lines
            .iter()
            .map(|line| line.trim().to_owned())
            .enumerate()
            .partition(|(at, _)| change.idle.contains(at));
        let idle = idle.into_iter().map(|(_, line)| line).collect();
        let made = made.into_iter().map(|(_, line)| line).zip(change.edits).collect();
        Ok(Outcome { made, idle, warnings, ..outcome })
    }

    /// An outcome that is saved where it was asked for, and nothing said of it yet.
    fn saved(&self, figure: &Figure) -> Outcome {
        let saved = self.save.as_ref().unwrap_or(&self.file).clone();
        Outcome { saved: Some(saved), figure: Some(figure.clone()), ..Outcome::default() }
    }

    fn say(&self, bench: &Workbench, outcome: &Outcome, home: &Home) -> Result<()> {
        if self.json {
            let file = self.file.display().to_string();
            return output::print_json(&edit_json::document(file, bench, outcome));
        }
        home.warn();
        outcome.warnings.iter().for_each(report::warning);
        for line in &outcome.idle {
            report::note(&format!("'{line}' was left out: nothing would change"));
        }
        let text = match self.history {
            true => edit_text::history(bench, output::width()),
            false => edit_text::report(bench, outcome, &home.tray, (Paint::for_stdout(), output::width())),
        };
        output::print(&text)?;
        self.name_next(bench, outcome, home);
        Ok(())
    }

    fn name_next(&self, bench: &Workbench, outcome: &Outcome, home: &Home) {
        let file = report::typed(outcome.saved.as_deref().unwrap_or(&self.file));
        let tray = home.tray_option();
        if !outcome.undone.is_empty() {
            report::next(&format!("smallcast edit {file} --redo, or smallcast check {file}{tray}"));
        } else if self.history && !bench.history().done().is_empty() {
            report::next(&format!("smallcast edit {file} --undo"));
        } else if self.history {
            report::next(&format!("smallcast edit {file} --do 'swap OLD NEW'{tray}"));
        } else {
            report::next(&format!("smallcast check {file}{tray}"));
        }
    }
}

fn at_least_one(option: &'static str, times: usize) -> Result<usize> {
    match times {
        0 => Err(Error::BadValue {
            option,
            value: "0".into(),
            why: "this is not a number of changes".into(),
            right: "give how many, 1 or more".into(),
        }),
        times => Ok(times),
    }
}

/// The engine keeps notes for rules it does not know; a slip of the pen is noticed here.
fn check_rules(edits: &[Edit]) -> Result<()> {
    edits.iter().try_for_each(|edit| match edit {
        Edit::Meant { rule, .. } => check::known("--do", std::slice::from_ref(rule)),
        _ => Ok(()),
    })
}

/// Beads there are too few of now, and were enough of before.
fn too_few_now(before: &Figure, after: &Figure, tray: &Tray) -> Vec<Warning> {
    let needed = |figure: &Figure, bead: &str| -> usize {
        figure.counts().iter().filter(|(entry, _)| entry.bead == bead).map(|(_, count)| count).sum()
    };
    let short = |bead: &str| {
        let owned = tray.bead(tray.find(bead)?).count?;
        let (was, now) = (needed(before, bead), needed(after, bead));
        let (owned_usize, runs_out) = (owned as usize, now > was);
        (runs_out && now > owned_usize).then(|| Warning::TooFew { bead: bead.into(), needed: now, owned })
    };
    after.legend().iter().filter_map(|entry| short(&entry.bead)).collect()
}

/// Notes of these changes that meet no finding. Of rules that look at a whole cast it is not known here.
fn meant_nothing(edits: &[Edit], after: &Figure, file: &Path, home: &Home) -> Vec<Warning> {
    let is_noted =
        |name: &str| edits.iter().any(|edit| matches!(edit, Edit::Meant { rule, .. } if rule == name));
    let looks_at_one = |rule: &&Rule| matches!(rule.judge, Judge::Figure(_));
    let rules: Vec<&Rule> = RULES.iter().filter(looks_at_one).filter(|rule| is_noted(rule.name)).collect();
    let name = stem(file);
    let entrant = Entrant { figure: after, member: home.member(file, &name) };
    rules::check(&[entrant], &home.tray, &rules).into_iter().flat_map(|checked| checked.warnings).collect()
}

/// Figures beside this one, else as the maker typed them.
struct BesideOrTyped(Beside);

impl Others for BesideOrTyped {
    fn figure(&self, file: &str) -> Result<Figure> {
        match self.0.figure(file) {
            Err(Error::Unreadable { .. }) => Figure::open(Path::new(file)),
            found => found,
        }
    }
}

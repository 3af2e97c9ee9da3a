//! `smallcast check`: will it hold, can it be made, will it be seen?

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use smallcast::cast::stem;
use smallcast::error::{Error, Result};
use smallcast::rules::{Checked, Entrant, RULES, Rule, check, likely, rule_named};

use super::figures::{self, Opened, READING};
use super::home::Home;
use super::output::{self, Paint};
use super::progress::Progress;
use super::{check_json, check_text, report, scene};

/// Exit code where something was found.
const FOUND: u8 = 1;

/// Check figures: will they hold, can they be made, will they be seen? Exit code 1 if anything is found
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Figure files; a folder stands for every figure in it; or a scene
    #[arg(required_unless_present = "rules", value_name = "FIGURE")]
    figures: Vec<PathBuf>,
    /// Tray file of the beads you own; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// Check only these rules: NAME or NAME,NAME
    #[arg(long, value_name = "RULE", value_delimiter = ',')]
    only: Vec<String>,
    /// Leave these rules out: NAME or NAME,NAME
    #[arg(long, value_name = "RULE", value_delimiter = ',')]
    skip: Vec<String>,
    /// Explain each rule: what it finds, why, an example, its limits and their sources
    #[arg(long, conflicts_with_all = ["figures", "tray"])]
    rules: bool,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

impl Arguments {
    /// Checks, or explains the rules.
    pub fn execute(&self) -> Result<ExitCode> {
        if self.rules {
            let rules = self.chosen(&[])?;
            match self.json {
                true => output::print_json(&check_json::rules(&rules))?,
                false => output::print(&check_text::rules(&rules, Paint::for_stdout(), output::width()))?,
            }
            return Ok(ExitCode::SUCCESS);
        }
        if let Some(scene) = scene::alone(&self.figures)? {
            return scene::check(scene, self.tray.as_deref(), self.json);
        }
        let progress = Progress::start(READING);
        let home = Home::of_figures(&self.figures, self.tray.as_deref())?;
        let rules = self.chosen(home.skip())?;
        let opened = figures::open(&self.figures, progress.counts(READING))?;
        progress.next("checking");
        let names: Vec<String> = opened.iter().map(|opened| stem(&opened.file)).collect();
        let both = opened.iter().zip(&names);
        let entrants =
            both.map(|(Opened { file, figure }, name)| Entrant { figure, member: home.member(file, name) });
        let entrants: Vec<Entrant> = entrants.collect();
        let checked = check(&entrants, &home.tray, &rules);
        progress.done();
        home.warn();
        self.warn(&opened, &checked);
        let found = checked.iter().any(|checked| !checked.findings.is_empty());
        if self.json {
            output::print_json(&check_json::document(&opened, &checked, &home.tray_name(), &rules))?;
        } else {
            let (paint, width) = (Paint::for_stdout(), output::width());
            let (which, option) = (home.tray_in_words(), home.tray_option());
            let view = check_text::View { tray: &home.tray, which, option, paint, width };
            output::print(&view.report(&opened, &checked))?;
            self.name_next(found, &home);
        }
        Ok(if found { ExitCode::from(FOUND) } else { ExitCode::SUCCESS })
    }

    /// The rules that were asked for, in their own order. What the cast skips is checked where it is asked for by name.
    fn chosen(&self, skipped: &[String]) -> Result<Vec<&'static Rule>> {
        known("--only", &self.only)?;
        known("--skip", &self.skip)?;
        let named = |names: &[String], rule: &Rule| names.iter().any(|name| name.trim() == rule.name);
        let wanted = |rule: &&Rule| self.only.is_empty() || named(&self.only, rule);
        let skipped = if self.only.is_empty() { skipped } else { &[] };
        let left = |rule: &&Rule| !named(&self.skip, rule) && !named(skipped, rule);
        let chosen: Vec<&Rule> = RULES.iter().filter(wanted).filter(left).collect();
        if chosen.is_empty() {
            return Err(Error::BadValue {
                option: "--skip",
                value: self.skip.join(","),
                why: "no rule is left to check".into(),
                right: "skip fewer of them".into(),
            });
        }
        Ok(chosen)
    }

    /// Notes that say nothing are said on standard error, also beside JSON, which has them too.
    fn warn(&self, opened: &[Opened], checked: &[Checked]) {
        for (opened, checked) in opened.iter().zip(checked) {
            let file = opened.file.display().to_string();
            checked.warnings.iter().for_each(|warning| report::warning_of(&file, warning));
        }
    }

    fn name_next(&self, found: bool, home: &Home) {
        let tray = home.tray_option();
        let figures: Vec<String> = self.figures.iter().map(|file| report::typed(Path::new(file))).collect();
        if found {
            report::next("smallcast check --rules");
        } else {
            report::next(&format!("smallcast count {}{tray}", figures.join(" ")));
        }
    }
}

/// Refuses a name that is no rule's.
///
/// # Errors
/// [`Error::BadValue`] with the rule that was likely meant.
pub fn known(option: &'static str, names: &[String]) -> Result<()> {
    match names.iter().map(|name| name.trim()).find(|name| rule_named(name).is_none()) {
        None => Ok(()),
        Some(name) => Err(Error::BadValue {
            option,
            value: format!("'{name}'"),
            why: "there is no such rule".into(),
            right: format!(
                "did you mean {}? the rules are {}",
                likely(name),
                RULES.iter().map(|rule| rule.name).collect::<Vec<_>>().join(", ")
            ),
        }),
    }
}

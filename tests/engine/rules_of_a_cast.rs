//! The rules of a cast and of the trade: each fires on its bad fixture and on nothing else there, and is silent on its
//! good one; what needs a cast keeps silent without it; and what they say of finished figures is known to the line.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use smallcast::cast::{self, Cast};
use smallcast::figure::{Figure, read};
use smallcast::rules::{Checked, Entrant, Finding, Member, RULES, Rule, check, rule_named};
use smallcast::tray::Tray;

/// Figures that are checked together: one by itself, or all of a folder with its cast.
struct Fixture {
    cast: Option<Cast>,
    guide: Option<Figure>,
    figures: Vec<(String, Figure)>,
}

impl Fixture {
    /// `NAME/KIND.figure.toml`, or the cast in the folder `NAME/KIND`.
    fn open(rule: &str, kind: &str) -> Self {
        let folder = Path::new("fixtures/rules").join(rule);
        let file = folder.join(format!("{kind}.figure.toml"));
        if file.is_file() {
            let figure = Figure::open(&file).unwrap();
            return Self { cast: None, guide: None, figures: vec![(kind.to_owned(), figure)] };
        }
        let folder = folder.join(kind);
        let text = std::fs::read_to_string(folder.join(cast::FILE)).unwrap();
        Self { cast: Some(cast::read(cast::FILE, &text).unwrap()), guide: None, figures: figures_of(&folder) }
    }

    fn checked<'a>(&'a self, rules: &[&Rule]) -> Vec<Checked> {
        let member =
            |name: &'a str| self.cast.as_ref().map(|cast| Member { cast, name, guide: self.guide.as_ref() });
        let figures = self.figures.iter();
        let entrants: Vec<Entrant> =
            figures.map(|(name, figure)| Entrant { figure, member: member(name) }).collect();
        check(&entrants, &Tray::embedded(), rules)
    }

    fn found(&self, rules: &[&Rule]) -> Vec<Finding> {
        self.checked(rules).into_iter().flat_map(|checked| checked.findings).collect()
    }
}

/// Every figure of a folder with its file's name.
fn figures_of(folder: &Path) -> Vec<(String, Figure)> {
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut files: Vec<PathBuf> =
        files.filter(|file| file.to_string_lossy().ends_with(".figure.toml")).collect();
    files.sort();
    let stem = |file: &Path| {
        let name = file.file_name().unwrap().to_string_lossy().into_owned();
        name.trim_end_matches(".figure.toml").to_owned()
    };
    files.into_iter().map(|file| (stem(&file), Figure::open(&file).unwrap())).collect()
}

fn all() -> Vec<&'static Rule> {
    RULES.iter().collect()
}

fn names(findings: &[Finding]) -> Vec<&'static str> {
    findings.iter().map(|finding| finding.rule).collect()
}

#[test]
fn each_rule_fires_on_its_bad_figure_and_is_silent_on_its_good_one() {
    let mut wrong = Vec::new();
    for rule in RULES {
        let bad = Fixture::open(rule.name, "bad").found(&[rule]);
        assert!(bad.iter().all(|f| !f.what.is_empty() && !f.could.is_empty()));
        if bad.is_empty() {
            wrong.push(format!("{}: silent on its bad figure", rule.name));
        }
        for finding in Fixture::open(rule.name, "good").found(&all()) {
            wrong.push(format!("{}: its good figure: {finding:?}", rule.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn bad_figures_are_bad_in_one_way_only() {
    let mut wrong = Vec::new();
    for rule in RULES {
        let found = Fixture::open(rule.name, "bad").found(&all());
        let others = found.iter().filter(|finding| finding.rule != rule.name);
        wrong.extend(others.map(|finding| format!("{}: {finding:?}", rule.name)));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

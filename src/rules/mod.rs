//! Will it hold, can it be made, will it be seen: the rules a figure is checked by.
//!
//! One rule, one file; [`RULES`] lists them. A rule looks at a figure, or at all figures of a cast together
//! ([`Judge`]), and reports [`Finding`]s. It never changes a bead: the maker may mean it so, and can say so in
//! the figure file ([`crate::figure::Meant`]).
//!
//! A rule of one's own is a [`Rule`] like any other, and is checked beside them:
//!
//! ```
//! use smallcast::rules::{self, Finding, Judge, RULES, Rule, Subject};
//! use smallcast::{figure, tray::Tray};
//!
//! const SOLES: Rule = Rule {
//!     name: "dark-soles",
//!     title: "soles that are not dark",
//!     what: "a bead in the lowest row that is lighter than L* 40",
//!     why: "in this cast everybody wears dark shoes",
//!     example: "white shoes",
//!     limits: "L* 40: our own choice",
//!     judge: Judge::Figure(light_soles),
//! };
//!
//! fn light_soles(subject: &Subject) -> Vec<Finding> {
//!     let pegs = || subject.beads().iter().filter_map(|(row, column, peg)| Some((row, column, peg.as_ref()?.lab?)));
//!     let Some(lowest) = pegs().map(|(row, ..)| row).max() else { return Vec::new() };
//!     let light = pegs().filter(|(row, _, lab)| *row == lowest && lab.l > 40.0);
//!     let light: Vec<_> = light.map(|(row, column, _)| (row, column)).collect();
//!     if light.is_empty() {
//!         return Vec::new();
//!     }
//!     let what = format!("{} beads of the soles are light", light.len());
//!     vec![Finding::new(&SOLES, light, what, "swap them for a dark bead".into())]
//! }
//!
//! # let legend = "[[legend]]\nmark = \"b\"\nbead = \"bone\"\nby = \"hand\"\n";
//! # let part = "[[part]]\nname = \"body\"\nbeads = \"\"\"\nbb\nbb\n\"\"\"\n";
//! # let text = format!("format = 1\nname = \"Anna\"\n{legend}{part}");
//! let anna = figure::read("anna.figure.toml", &text)?;
//! let rules: Vec<&Rule> = RULES.iter().chain([&SOLES]).collect();
//! let checked = rules::check(&[&anna], &Tray::embedded(), &rules);
//! let found: Vec<&str> = checked[0].findings.iter().map(|finding| finding.rule).collect();
//! assert!(found.contains(&"dark-soles"));
//! # Ok::<(), smallcast::error::Error>(())
//! ```

mod alike;
mod belt;
mod body;
mod coat;
mod cuff;
mod face;
mod garments;
mod glasses;
mod heavy;
mod jacket;
mod joined;
mod loose;
mod lost_arm;
mod member;
mod not_in_tray;
mod off_look;
mod off_plan;
mod off_scale;
mod sleeve_end;
mod stray;
mod stripes;
mod subject;
mod thin;
mod too_few;
mod twins;
mod two_beads;
mod weak_mark;

pub use joined::{Piece, pieces};
pub use member::{Entrant, Member};
pub use subject::{Peg, Subject};
pub use two_beads::taken_for;

use rayon::prelude::*;

use crate::cast::Cast;
use crate::error::Warning;
use crate::figure::{Figure, Meant};
use crate::tray::Tray;
use crate::units::{Column, Row};

/// A rule: what it finds, why that matters, and how it judges.
#[derive(Debug)]
pub struct Rule {
    /// A short plain name, stable for scripts and figure files.
    pub name: &'static str,
    /// What it finds, in a few words.
    pub title: &'static str,
    /// What it finds, exactly.
    pub what: &'static str,
    /// Why a maker would care.
    pub why: &'static str,
    /// An example a maker would know.
    pub example: &'static str,
    /// Its thresholds, each with its source.
    pub limits: &'static str,
    /// How it judges.
    pub judge: Judge,
}

/// What a rule looks at.
#[derive(Clone, Copy, Debug)]
pub enum Judge {
    /// Each figure by itself.
    Figure(fn(&Subject) -> Vec<Finding>),
    /// All figures that are checked together; each finding goes to the figure at its place in the list.
    Cast(fn(&[Subject]) -> Vec<(usize, Finding)>),
}

/// Every rule, in the order they are reported: first what does not hold, then what cannot be made, then what
/// is not seen, then what is off the cast or the trade's ways.
pub const RULES: &[Rule] = &[
    loose::RULE,
    heavy::RULE,
    thin::RULE,
    not_in_tray::RULE,
    too_few::RULE,
    alike::RULE,
    weak_mark::RULE,
    stray::RULE,
    off_scale::RULE,
    off_plan::RULE,
    off_look::RULE,
    two_beads::RULE,
    twins::RULE,
    glasses::RULE,
    belt::RULE,
    jacket::RULE,
    sleeve_end::RULE,
    cuff::RULE,
    coat::RULE,
    stripes::RULE,
    lost_arm::RULE,
];

/// The rules that a cast does not leave out; all of them without one.
pub fn rules_of(cast: Option<&Cast>) -> Vec<&'static Rule> {
    let skip = cast.map_or(&[][..], |cast| &cast.skip);
    RULES.iter().filter(|rule| !skip.iter().any(|name| name == rule.name)).collect()
}

/// The rule of that name.
pub fn rule_named(name: &str) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.name == name)
}

/// What a rule reports.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The rule's name.
    pub rule: &'static str,
    /// The beads it is about, row by row; none where it is about the figure as a whole.
    pub beads: Vec<(Row, Column)>,
    /// What is wrong, in one sentence without its full stop.
    pub what: String,
    /// What could be done, in the same form.
    pub could: String,
}

impl Finding {
    /// A finding, its beads brought into reading order.
    pub fn new(rule: &Rule, mut beads: Vec<(Row, Column)>, what: String, could: String) -> Self {
        beads.sort_unstable();
        beads.dedup();
        Self { rule: rule.name, beads, what, could }
    }

    /// Its first and last row and its first and last column; nothing where it has no place.
    pub fn extent(&self) -> Option<((Row, Row), (Column, Column))> {
        let (first, last) = (self.beads.first()?.0, self.beads.last()?.0);
        let columns = || self.beads.iter().map(|bead| bead.1);
        Some(((first, last), (columns().min()?, columns().max()?)))
    }

    /// Where it is, counted from 1, such as `rows 3 to 5, column 7`; nothing where it has no place.
    pub fn place(&self) -> Option<String> {
        let span = |one: &str, many: &str, first: usize, last: usize| match last - first {
            0 => format!("{one} {}", first + 1),
            _ => format!("{many} {} to {}", first + 1, last + 1),
        };
        let ((top, bottom), (left, right)) = self.extent()?;
        let rows = span("row", "rows", top.0, bottom.0);
        Some(format!("{rows}, {}", span("column", "columns", left.0, right.0)))
    }

    /// Whether a note of the figure file speaks of this finding.
    fn is_meant_by(&self, meant: &Meant) -> bool {
        meant.rule == self.rule && meant.at.is_none_or(|at| self.beads.contains(&at))
    }
}

/// What checking one figure brought.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Checked {
    /// What the rules found, in the order of the rules, then from the top, and what the draft is unsure of the dearest
    /// first.
    pub findings: Vec<Finding>,
    /// What they found and the maker means so, each with the maker's reason.
    pub meant: Vec<(Finding, String)>,
    /// Notes that name no rule, or meet no finding.
    pub warnings: Vec<Warning>,
}

/// Checks figures that belong together by these rules; one [`Checked`] for each figure, in their order. A figure is
/// given by itself, or with its place in a cast as an [`Entrant`]. Figures are looked at on all cores, and what was looked
/// up of each is let go with it.
///
/// ```
/// use smallcast::{figure, rules, tray::Tray};
/// let text = r#"
/// format = 1
/// name = "Two beads at a corner"
/// [[legend]]
/// mark = "c"
/// bead = "coal"
/// by = "hand"
/// [[part]]
/// name = "body"
/// beads = """
/// c.
/// .c
/// """
/// "#;
/// let figure = figure::read("two", text)?;
/// let checked = rules::check(&[&figure], &Tray::embedded(), &rules::RULES.iter().collect::<Vec<_>>());
/// assert_eq!(checked[0].findings[0].rule, "loose");
/// # Ok::<(), smallcast::error::Error>(())
/// ```
pub fn check<'a>(
    figures: &[impl Into<Entrant<'a>> + Copy + Sync],
    tray: &'a Tray,
    rules: &[&Rule],
) -> Vec<Checked> {
    let of_figure = |&figure: &_| {
        let subject = Subject::new(figure, tray);
        let judged = rules.iter().enumerate().filter_map(|(order, rule)| match rule.judge {
            Judge::Figure(judge) => Some(judge(&subject).into_iter().map(move |finding| (order, finding))),
            Judge::Cast(_) => None,
        });
        judged.flatten().collect()
    };
    let mut found: Vec<Vec<(usize, Finding)>> = figures.par_iter().map(of_figure).collect();
    let subjects: Vec<Subject> = figures.iter().map(|&figure| Subject::new(figure, tray)).collect();
    for (order, rule) in rules.iter().enumerate() {
        let Judge::Cast(judge) = rule.judge else { continue };
        for (at, finding) in judge(&subjects) {
            // A finding for a figure that is not there has nobody to tell.
            found.get_mut(at).into_iter().for_each(|found| found.push((order, finding.clone())));
        }
    }
    let both = subjects.par_iter().zip(found);
    both.map(|(subject, mut found)| {
        // The sort is stable: what one rule found keeps its order.
        found.sort_by_key(|(order, _)| *order);
        let found = found.into_iter().map(|(_, finding)| finding).collect();
        sorted_out(subject.figure(), found, rules)
    })
    .collect()
}

/// Parts what is meant so from what is not, and looks the notes over.
fn sorted_out(figure: &Figure, found: Vec<Finding>, rules: &[&Rule]) -> Checked {
    let mut checked = Checked::default();
    let mut met = vec![false; figure.meant().len()];
    for finding in found {
        let notes = figure.meant().iter().enumerate().filter(|(_, meant)| finding.is_meant_by(meant));
        let notes: Vec<(usize, &Meant)> = notes.collect();
        notes.iter().for_each(|&(at, _)| met[at] = true);
        match notes.first() {
            Some((_, meant)) => checked.meant.push((finding, meant.why.clone())),
            None => checked.findings.push(finding),
        }
    }
    let noted = |meant: &Meant| match meant.at {
        Some((row, column)) => format!("{} at row {}, column {}", meant.rule, row.0 + 1, column.0 + 1),
        None => meant.rule.clone(),
    };
    for (meant, met) in figure.meant().iter().zip(met) {
        let asked = rules.iter().any(|rule| rule.name == meant.rule);
        if rule_named(&meant.rule).is_none() && !asked {
            checked
                .warnings
                .push(Warning::NoSuchRule { rule: meant.rule.clone(), likely: likely(&meant.rule) });
        } else if !met && asked {
            checked.warnings.push(Warning::MeantNothing { note: noted(meant) });
        }
    }
    checked
}

/// The rule whose name is most like a word.
pub fn likely(word: &str) -> &'static str {
    let alike = |rule: &&Rule| strsim::jaro_winkler(rule.name, word);
    // There is always at least one rule.
    RULES.iter().max_by(|one, other| alike(one).total_cmp(&alike(other))).map_or("", |rule| rule.name)
}

/// `1 bead`, `12 beads`.
fn beads_in_words(count: usize) -> String {
    format!("{count} bead{}", if count == 1 { "" } else { "s" })
}

/// `1 row`, `2 rows`.
fn rows_in_words(count: usize) -> String {
    format!("{count} row{}", if count == 1 { "" } else { "s" })
}

/// `row 3, column 7`, counted from 1.
fn peg_in_words((row, column): (Row, Column)) -> String {
    format!("row {}, column {}", row.0 + 1, column.0 + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two figures of one name: a rule for a cast as they will come.
    const SAME_NAME: Rule = Rule {
        name: "same-name",
        title: "",
        what: "",
        why: "",
        example: "",
        limits: "",
        judge: Judge::Cast(|cast| {
            let twice = |at: usize| cast[..at].iter().any(|s| s.figure().name() == cast[at].figure().name());
            let found =
                || Finding::new(&SAME_NAME, Vec::new(), "it has another's name".into(), String::new());
            (0..cast.len()).filter(|&at| twice(at)).map(|at| (at, found())).collect()
        }),
    };

    #[test]
    fn a_rule_over_a_whole_cast_reports_to_the_figure_it_is_about() {
        let text = "format = 1\nname = \"Anna\"\n";
        let (anna, berta) = (text.to_owned(), text.replace("Anna", "Berta"));
        let figures = [&anna, &berta, &anna].map(|text| crate::figure::read("x", text).unwrap());
        let figures: Vec<&Figure> = figures.iter().collect();
        let checked = check(&figures, &Tray::embedded(), &[&SAME_NAME]);
        assert_eq!(checked.iter().map(|c| c.findings.len()).collect::<Vec<_>>(), [0, 0, 1]);
    }

    #[test]
    fn a_note_on_a_rule_of_one_s_own_is_known_where_that_rule_is_checked() {
        let text = "format = 1\nname = \"Anna\"\n[[meant]]\nrule = \"same-name\"\nwhy = \"twins\"\n";
        let anna = crate::figure::read("x", text).unwrap();
        let tray = Tray::embedded();
        let both = check(&[&anna, &anna], &tray, &[&SAME_NAME]);
        assert_eq!((both[1].findings.len(), both[1].meant.len()), (0, 1));
        assert!(both[1].warnings.is_empty(), "{:?}", both[1].warnings);
        let without = check(&[&anna], &tray, &[]);
        assert!(matches!(without[0].warnings[..], [Warning::NoSuchRule { .. }]));
    }

    #[test]
    fn names_are_plain_and_each_is_there_once() {
        for (at, rule) in RULES.iter().enumerate() {
            assert!(rule.name.chars().all(|c| c.is_ascii_lowercase() || c == '-'));
            assert!(RULES[..at].iter().all(|other| other.name != rule.name));
            assert!(
                [rule.title, rule.what, rule.why, rule.example, rule.limits].iter().all(|s| !s.is_empty())
            );
        }
    }
}

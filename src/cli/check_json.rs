//! What `smallcast check --json` prints. Rows and columns are counted from 1, as the report and the notes of a
//! figure file count them.

use serde::Serialize;
use smallcast::rules::{Checked, Finding, Rule};
use smallcast::units::{Column, Row};

use super::figures::Opened;

/// The layout of the documents; grows when a reader would have to change.
const FORMAT: u32 = 1;

/// The document of a check.
#[derive(Serialize)]
pub struct Document {
    format: u32,
    tray: String,
    rules: Vec<&'static str>,
    figures: Vec<FigureJson>,
}

#[derive(Serialize)]
struct FigureJson {
    file: String,
    name: String,
    findings: Vec<FindingJson>,
    meant: Vec<FindingJson>,
    warnings: Vec<WarningJson>,
}

#[derive(Serialize)]
struct FindingJson {
    rule: &'static str,
    /// First and last row; null where it is about the figure as a whole.
    rows: Option<[usize; 2]>,
    columns: Option<[usize; 2]>,
    part: Option<String>,
    beads: Vec<[usize; 2]>,
    what: String,
    could: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    why_meant: Option<String>,
}

#[derive(Serialize)]
struct WarningJson {
    name: &'static str,
    text: String,
}

/// The document for checked figures.
pub fn document(opened: &[Opened], checked: &[Checked], tray: &str, rules: &[&'static Rule]) -> Document {
    let figures = opened.iter().zip(checked).map(|(opened, checked)| FigureJson {
        file: opened.file.display().to_string(),
        name: opened.figure.name().into(),
        findings: checked.findings.iter().map(|f| finding(opened, f, None)).collect(),
        meant: checked.meant.iter().map(|(f, why)| finding(opened, f, Some(why.clone()))).collect(),
        warnings: checked
            .warnings
            .iter()
            .map(|w| WarningJson { name: w.name(), text: w.to_string() })
            .collect(),
    });
    Document {
        format: FORMAT,
        tray: tray.into(),
        rules: rules.iter().map(|rule| rule.name).collect(),
        figures: figures.collect(),
    }
}

fn finding(opened: &Opened, finding: &Finding, why_meant: Option<String>) -> FindingJson {
    let extent = finding.extent();
    FindingJson {
        rule: finding.rule,
        rows: extent.map(|((Row(top), Row(bottom)), _)| [top + 1, bottom + 1]),
        columns: extent.map(|(_, (Column(left), Column(right)))| [left + 1, right + 1]),
        part: part_of(opened, finding),
        beads: finding.beads.iter().map(|(row, column)| [row.0 + 1, column.0 + 1]).collect(),
        what: finding.what.clone(),
        could: finding.could.clone(),
        why_meant,
    }
}

/// The part the finding's beads show from; none where that is more than one.
pub fn part_of(opened: &Opened, finding: &Finding) -> Option<String> {
    let mut names =
        finding.beads.iter().map(|&(row, column)| opened.figure.part_at(row, column).map(|part| &part.name));
    let first = names.next()??;
    names.all(|name| name == Some(first)).then(|| first.clone())
}

/// The document that explains rules.
#[derive(Serialize)]
pub struct RulesDocument {
    format: u32,
    rules: Vec<RuleJson>,
}

#[derive(Serialize)]
struct RuleJson {
    name: &'static str,
    title: &'static str,
    what: &'static str,
    why: &'static str,
    example: &'static str,
    limits: &'static str,
}

/// The document for these rules.
pub fn rules(rules: &[&'static Rule]) -> RulesDocument {
    let rule = |rule: &&'static Rule| {
        let Rule { name, title, what, why, example, limits, .. } = **rule;
        RuleJson { name, title, what, why, example, limits }
    };
    RulesDocument { format: FORMAT, rules: rules.iter().map(rule).collect() }
}

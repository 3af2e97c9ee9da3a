//! What `smallcast check` prints for a person: each finding with its place, and a look at that place.

use std::fmt::Write as _;

use smallcast::figure::Figure;
use smallcast::rules::{Checked, Finding, Rule};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};
use unicode_width::UnicodeWidthStr;

use super::check_json::part_of;
use super::figures::Opened;
use super::output::Paint;
use super::report::{plain, typed};
use super::table::{headline, wrapped};

/// Columns a finding is set in by.
const INDENT: &str = "  ";

/// Columns for a row's number in the look at a place.
const NUMBER: usize = 6;

/// Columns of the terminal to one bead: its mark and what shows that it is meant.
const PEG: usize = 3;

/// Rows and columns shown around what was found.
const AROUND: usize = 2;

/// The most rows that are shown of one place.
const MOST_ROWS: usize = 12;

/// Rules about a bead wherever it lies: what they find is seen in the whole figure, and mended by one swap.
const ANYWHERE: [&str; 1] = ["not-in-tray"];

/// The room for a report.
pub struct View<'a> {
    pub tray: &'a Tray,
    /// Which tray that is, as a sentence has it.
    pub which: String,
    /// ` --tray FILE`, where that was typed.
    pub option: String,
    pub paint: Paint,
    pub width: usize,
}

impl View<'_> {
    /// The whole report.
    pub fn report(&self, opened: &[Opened], checked: &[Checked]) -> String {
        let mut text = String::new();
        let (clean, found): (Vec<_>, Vec<_>) =
            opened.iter().zip(checked).partition(|(_, c)| c.findings.is_empty());
        for (opened, checked) in &found {
            text.push_str(&self.figure(opened, checked));
        }
        // Writing to a String does not fail.
        let names: Vec<String> = clean.iter().map(|(opened, _)| plain(opened.figure.name())).collect();
        if !names.is_empty() {
            let _ = writeln!(text, "{}", self.lines(&format!("Nothing found: {}", names.join(" · ")), ""));
        }
        for (opened, checked) in opened.iter().zip(checked).filter(|(_, c)| !c.meant.is_empty()) {
            text.push_str(&self.meant(opened, &checked.meant));
        }
        if let Some(first) = found.first() {
            text.push_str(&self.summary(*first, &found));
        }
        text
    }

    fn figure(&self, opened: &Opened, checked: &Checked) -> String {
        let many = checked.findings.len();
        let title = format!("{}: {}", plain(opened.figure.name()), counted(many, "finding"));
        let mut text = format!("{}\n", headline(&title, self.paint, self.width));
        for finding in &checked.findings {
            let _ = write!(text, "\n{}", self.finding(opened, finding));
        }
        text.push('\n');
        text
    }

    fn finding(&self, opened: &Opened, finding: &Finding) -> String {
        let mut head = finding.rule.to_owned();
        if let Some(place) = finding.place() {
            head = format!("{head}: {place}");
        }
        // A part's name says where only if there are several.
        if let Some(part) = part_of(opened, finding).filter(|_| opened.figure.parts().len() > 1) {
            head = format!("{head}, part {}", plain(&part));
        }
        let mut text = String::new();
        for line in self.lines(&head, INDENT).lines() {
            let _ = writeln!(text, "{INDENT}{}", self.paint.heading(line.trim_start()));
        }
        let _ = writeln!(text, "{}", self.lines(&sentence(&finding.what), INDENT));
        let _ = writeln!(text, "{}", self.lines(&format!("Could: {}", self.could(finding)), INDENT));
        if !ANYWHERE.contains(&finding.rule) {
            text.push_str(&self.look(&opened.figure, finding));
        }
        text
    }

    /// What could be done; a bead of a tray that was typed for this once is known to no other command.
    fn could(&self, finding: &Finding) -> String {
        match finding.could.split_once("--do '") {
            Some((before, line)) if ANYWHERE.contains(&finding.rule) => {
                let line = line.replacen('\'', &format!("'{}", self.option), 1);
                format!("{before}--do '{line}")
            }
            _ => finding.could.clone(),
        }
    }

    /// The place in the figure: what was found in brackets, with a little around it.
    fn look(&self, figure: &Figure, finding: &Finding) -> String {
        let Some(((top, bottom), (left, right))) = finding.extent() else { return String::new() };
        let beads = figure.beads();
        let fits = self.width.saturating_sub(NUMBER) / PEG;
        let rows = window((top.0, bottom.0), beads.rows(), MOST_ROWS);
        let columns = window((left.0, right.0), beads.columns(), fits);
        let mut text = format!("{}\n", self.paint.faint(&ruler(&columns)));
        for row in rows.clone().map(Row) {
            let mut line = self.paint.faint(&format!("{:>width$} ", row.0 + 1, width = NUMBER - 1));
            for column in columns.clone().map(Column) {
                let found = finding.beads.contains(&(row, column));
                line.push_str(&self.peg(figure, beads[(row, column)].map(|placed| placed.mark), found));
            }
            let _ = writeln!(text, "{}", line.trim_end());
        }
        let more = (bottom.0 + 1).saturating_sub(rows.end);
        if more > 0 {
            let more = format!("{:>NUMBER$}and {} below", "", counted(more, "row"));
            let _ = writeln!(text, "{}", self.paint.faint(&more));
        }
        text
    }

    fn peg(&self, figure: &Figure, mark: Option<smallcast::figure::Mark>, found: bool) -> String {
        let Some(mark) = mark else { return self.paint.faint(" . ") };
        let text = if found { format!("[{}]", mark.get()) } else { format!(" {} ", mark.get()) };
        let entry = figure.entry(mark);
        let bead = entry.and_then(|entry| self.tray.find(&entry.bead)).map(|id| self.tray.bead(id).lab);
        match bead.or(entry.and_then(|entry| entry.aim)) {
            Some(lab) => self.paint.bead(lab.srgb(), &text),
            None => text,
        }
    }

    fn meant(&self, opened: &Opened, meant: &[(Finding, String)]) -> String {
        let mut text =
            format!("{}\n", self.lines(&format!("Meant so in {}:", plain(opened.figure.name())), ""));
        for (finding, why) in meant {
            let place = finding.place().map(|place| format!(", {place}")).unwrap_or_default();
            let _ =
                writeln!(text, "{}", self.lines(&format!("{}{place}: {}", finding.rule, plain(why)), INDENT));
        }
        text
    }

    /// How much was found in all, and how to say that it is meant.
    fn summary(&self, (opened, first): (&Opened, &Checked), found: &[(&Opened, &Checked)]) -> String {
        let findings: usize = found.iter().map(|(_, checked)| checked.findings.len()).sum();
        let all = format!("{} in {}.", counted(findings, "finding"), counted(found.len(), "figure"));
        let mut text = format!("{}\n", self.lines(&format!("{all} No bead was changed."), ""));
        let mut findings = found.iter().flat_map(|(_, checked)| &checked.findings);
        if findings.any(|finding| ANYWHERE.contains(&finding.rule)) {
            let _ = writeln!(text, "{}", self.lines(&format!("The tray is {}.", self.which), ""));
        }
        if let Some(finding) = first.findings.first() {
            let note = "If one is meant so, say why, such as:";
            let at = finding.beads.first().map(|(r, c)| format!(" {},{}", r.0 + 1, c.0 + 1));
            let at = at.unwrap_or_default();
            let change = format!("--do 'meant {}{at} \"WHY\"'", finding.rule);
            let words =
                [format!("smallcast edit {}", typed(&opened.file)), change, self.option.trim().into()];
            let _ = writeln!(text, "{}\n{}", self.lines(note, ""), self.to_copy(&words));
        }
        text
    }

    /// A command in one line, or where that does not fit on several that a shell reads as one.
    fn to_copy(&self, words: &[String]) -> String {
        let words: Vec<String> =
            words.iter().filter(|word| !word.is_empty()).map(|word| plain(word)).collect();
        let line = words.join(" ");
        let fits = INDENT.len() + line.width() <= self.width;
        let lines = if fits { vec![line] } else { words };
        let more = format!(" \\\n{INDENT}{INDENT}");
        let lines: Vec<String> = lines.iter().map(|line| self.paint.faint(line)).collect();
        format!("{INDENT}{}", lines.join(&more))
    }

    /// Text in lines that fit, each set in.
    fn lines(&self, text: &str, indent: &str) -> String {
        let room = self.width.saturating_sub(indent.len());
        let text = plain(text);
        wrapped(&text, room).lines().map(|line| format!("{indent}{line}")).collect::<Vec<_>>().join("\n")
    }
}

/// The rules explained.
pub fn rules(rules: &[&Rule], paint: Paint, width: usize) -> String {
    let mut text = String::new();
    for rule in rules {
        let _ = writeln!(text, "{}", headline(&format!("{}: {}", rule.name, rule.title), paint, width));
        for (label, said) in
            [("Finds", rule.what), ("Why", rule.why), ("Such as", rule.example), ("Limits", rule.limits)]
        {
            let room = width.saturating_sub(LABEL);
            for (at, line) in wrapped(said, room).lines().enumerate() {
                let label = if at == 0 { label } else { "" };
                let _ = writeln!(text, "  {label:<width$}{line}", width = LABEL - 2);
            }
        }
        text.push('\n');
    }
    let rest = "Rules report; they never change a bead. --only and --skip choose among them.";
    let _ = writeln!(text, "{}", wrapped(rest, width));
    text
}

/// Columns for a label and its margin.
const LABEL: usize = 11;

/// Rows or columns to show: what was found and a little around it, as far as there is room.
fn window((first, last): (usize, usize), all: usize, room: usize) -> std::ops::Range<usize> {
    let wanted = last + 1 - first;
    // The little around it is the first to go.
    let around = AROUND.min(room.saturating_sub(wanted) / 2);
    let start = first.saturating_sub(around);
    start..(last + 1 + around).min(all).min(start + room.max(1))
}

/// Column numbers above the beads: the first and every fifth.
fn ruler(columns: &std::ops::Range<usize>) -> String {
    const EVERY: usize = 5;
    let mut line = " ".repeat(NUMBER);
    for column in columns.clone().filter(|c| *c == columns.start || (c + 1) % EVERY == 0) {
        let at = NUMBER + 1 + (column - columns.start) * PEG;
        // Numbers of neighbours would run together.
        if line.len() <= at {
            line.push_str(&" ".repeat(at - line.len()));
            line.push_str(&(column + 1).to_string());
            line.push(' ');
        }
    }
    line.trim_end().to_owned()
}

fn counted(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}

/// With a capital and a full stop.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    format!("{first}{}.", letters.as_str())
}

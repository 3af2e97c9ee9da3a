//! A history as its file has it: readable, each step with the lines it changed.

use std::fmt::Write as _;
use std::sync::Arc;

use serde::Deserialize;

use super::difference::Hunk;
use super::{History, Step};
use crate::error::toml_words;
use crate::figure::text::quoted;

/// The format this house reads and writes.
const FORMAT: i64 = 1;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileHistory {
    format: i64,
    done: usize,
    tray: Option<String>,
    #[serde(default)]
    step: Vec<FileStep>,
    figure: FileText,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileStep {
    #[serde(rename = "do")]
    line: String,
    change: String,
    words: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileText {
    text: String,
}

pub(super) fn read(text: &str) -> Result<History, String> {
    let why = |e: toml::de::Error| {
        let line = 1 + text[..e.span().map_or(0, |span| span.start)].matches('\n').count();
        format!("line {line}: {}", toml_words(e.message()))
    };
    let raw: FileHistory = toml::from_str(text).map_err(why)?;
    if raw.format != FORMAT {
        return Err(format!("this is a history of format {}, and only format {FORMAT} is known", raw.format));
    }
    if raw.done > raw.step.len() {
        return Err(format!("done = {}, but there are {} steps", raw.done, raw.step.len()));
    }
    let step = |step: FileStep| {
        let unread = || format!("the change of '{}' cannot be read", step.line);
        let change = hunks(&step.change).ok_or_else(unread)?;
        let words = hunks(step.words.as_deref().unwrap_or_default()).ok_or_else(unread)?;
        Ok(Arc::new(Step { line: step.line, change, words }))
    };
    let steps = raw.step.into_iter().map(step).collect::<Result<_, String>>()?;
    Ok(History { steps, done: raw.done, now: raw.figure.text, tray: raw.tray })
}

/// Reads `@ 14`, then lines with `-` and lines with `+`, again and again.
fn hunks(change: &str) -> Option<Vec<Hunk>> {
    let mut hunks: Vec<Hunk> = Vec::new();
    for line in change.split_terminator('\n') {
        if let Some(at) = line.strip_prefix("@ ") {
            let at = at.parse::<usize>().ok()?.checked_sub(1)?;
            hunks.push(Hunk { at, old: Vec::new(), new: Vec::new() });
            continue;
        }
        let hunk = hunks.last_mut()?;
        match line.strip_prefix('-') {
            Some(line) => hunk.old.push(line.into()),
            None => hunk.new.push(line.strip_prefix('+')?.into()),
        }
    }
    Some(hunks)
}

pub(super) fn write(history: &History) -> String {
    let mut out = String::new();
    // Writing to a String does not fail.
    let _ = write_all(&mut out, history);
    out
}

fn write_all(out: &mut String, history: &History) -> std::fmt::Result {
    writeln!(
        out,
        "# What was done by hand, oldest first. smallcast edit FIGURE --undo and --redo walk along it."
    )?;
    writeln!(out, "format = {FORMAT}\ndone = {}", history.done)?;
    if let Some(tray) = &history.tray {
        writeln!(out, "# The tray that served last; another is named with --tray.\ntray = {}", quoted(tray))?;
    }
    for step in &history.steps {
        let change = in_lines(&as_text(&step.change)?);
        writeln!(out, "\n[[step]]\ndo = {}\nchange = {change}", quoted(&step.line))?;
        if !step.words.is_empty() {
            writeln!(out, "words = {}", in_lines(&as_text(&step.words)?))?;
        }
    }
    writeln!(out, "\n# The figure after the steps that are done, to notice when it is changed elsewhere.")?;
    writeln!(out, "[figure]\ntext = {}", in_lines(&history.now))
}

fn as_text(change: &[Hunk]) -> Result<String, std::fmt::Error> {
    let mut text = String::new();
    for hunk in change {
        writeln!(text, "@ {}", hunk.at + 1)?;
        hunk.old.iter().try_for_each(|line| writeln!(text, "-{line}"))?;
        hunk.new.iter().try_for_each(|line| writeln!(text, "+{line}"))?;
    }
    Ok(text)
}

/// A text of several lines as it stands, where TOML can have it so.
fn in_lines(text: &str) -> String {
    let plain = !text.contains("'''") && text.chars().all(|c| c == '\n' || c == '\t' || !c.is_control());
    if plain && text.ends_with('\n') { format!("'''\n{text}'''") } else { quoted(text) }
}

//! Where a fault lies in a file that a maker writes, and what would be right there: in a cast file, and by other keys in
//! a scene file.

use serde::Deserialize;
use toml::Spanned;

use crate::error::{Error, Result, likely, toml_words};

/// The format of all these files that this house reads and writes.
const FORMAT: i64 = 1;

/// A text and its name, for saying where a fault lies.
pub(crate) struct Place<'a> {
    pub form: &'static Form,
    pub file: &'a str,
    pub text: &'a str,
}

/// What kind of file a text is.
pub(crate) struct Form {
    /// What it is called: `cast file`.
    pub kind: &'static str,
    /// Every key, and how it is written.
    pub keys: &'static [(&'static str, &'static str)],
    /// What the file has, as a sentence lists it.
    pub has: &'static str,
    /// The most bytes that are read.
    pub most_bytes: u64,
    /// The error of a fault in it.
    pub error: fn(Fault) -> Error,
}

/// A fault at one place.
pub(crate) struct Fault {
    pub file: String,
    pub line: usize,
    pub field: String,
    pub why: String,
    pub right: String,
}

#[derive(Deserialize)]
struct FormatAlone {
    format: Option<Spanned<i64>>,
}

/// A cast file.
pub(super) const CAST: Form = Form {
    kind: "cast file",
    keys: KEYS,
    has: "format, name, tray, guide, pitch, board, [[class]], [[group]], [[thing]] and [check]",
    // The names of tens of thousands of figures.
    most_bytes: 1 << 20,
    error: |Fault { file, line, field, why, right }| Error::CastFile { file, line, field, why, right },
};

/// Every key of a cast file, and how it is written.
const KEYS: &[(&str, &str)] = &[
    ("format", "format = 1"),
    ("name", "name = \"The Early Street\""),
    ("tray", "tray = \"tray.csv\""),
    ("guide", "guide = \"guide.figure.toml\""),
    ("pitch", "pitch = \"5mm\""),
    ("board", "board = \"29x29\""),
    ("class", "[[class]], then name and rows under it"),
    ("rows", "rows = { head = 5, neck = 1, torso = 8, legs = 9, feet = 1 }"),
    ("group", "[[group]], then name and figures under it"),
    ("figures", "figures = [\"baker\", \"baker-boy\"]"),
    ("like", "like = \"everyone\""),
    ("facing", "facing = \"turned\""),
    ("legs", "legs = \"parted\""),
    ("limbs", "limbs = 2"),
    ("arms", "arms = 9"),
    ("head", "head = \"round\""),
    ("thing", "[[thing]], then name, bead and figures under it"),
    ("bead", "bead = \"hay\""),
    ("skip", "skip = [\"weak-mark\"]"),
];

/// What would be right where a word is none of those known.
pub(crate) fn one_of(word: &str, known: &[&str]) -> String {
    let all = match known {
        [] => return "leave it out".into(),
        [rest @ .., last] if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        known => known.concat(),
    };
    match likely(word, known.iter().copied()) {
        Some(meant) => format!("did you mean {meant}? it is one of {all}"),
        None => format!("write {all}"),
    }
}

impl Place<'_> {
    /// The line of a byte, counted from 1.
    pub fn line(&self, at: usize) -> usize {
        1 + self.text.bytes().take(at).filter(|b| *b == b'\n').count()
    }

    pub fn fault(&self, at: usize, field: &str, why: String, right: impl Into<String>) -> Error {
        (self.form.error)(Fault {
            file: self.file.into(),
            line: self.line(at),
            field: field.escape_debug().to_string(),
            why,
            right: right.into(),
        })
    }

    /// Refuses a text of another format. It is read alone and first: a newer file may hold anything else.
    pub fn check_format(&self) -> Result<()> {
        if self.text.trim().is_empty() {
            return Err(self.fault(
                0,
                "format",
                "the file is empty".into(),
                "begin the file with format = 1",
            ));
        }
        let format: FormatAlone = toml::from_str(self.text).map_err(|e| self.toml_fault(&e))?;
        match format.format {
            Some(format) if *format.get_ref() == FORMAT => Ok(()),
            Some(newer) => {
                let (at, newer, kind) = (newer.span().start, newer.get_ref(), self.form.kind);
                let why = format!("this is a {kind} of format {newer}, and only format {FORMAT} is known");
                Err(self.fault(at, "format", why, "use a newer smallcast for it"))
            }
            None => {
                let why = "the file does not say its format".into();
                Err(self.fault(0, "format", why, "begin the file with format = 1"))
            }
        }
    }

    /// How a key is written.
    pub fn written(&self, key: &str) -> String {
        match self.form.keys.iter().find(|(known, _)| *known == key) {
            Some((_, example)) => format!("write {example}"),
            None => format!("correct that line; a {} has {}", self.form.kind, self.form.has),
        }
    }

    /// The same of what the TOML reader refuses.
    pub fn toml_fault(&self, error: &toml::de::Error) -> Error {
        let span = error.span().unwrap_or(0..0);
        let message = error.message().lines().next().unwrap_or("this cannot be read");
        let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
        if message.starts_with("unknown field") {
            let unknown = self.text.get(span.clone()).unwrap_or_default().trim_matches(['"', '\'']);
            // A key may hold a line's end: what is known stands behind it.
            let known = error.message().rsplit_once(", expected ").map_or("", |(_, known)| known);
            let known: Vec<&str> = known.split('`').skip(1).step_by(2).collect();
            // Only rows have zones for keys.
            let kind = if known.contains(&"headwear") { "zone" } else { "key" };
            let why = format!("there is no {kind} of that name here");
            return self.fault(span.start, unknown, why, one_of(unknown, &known));
        }
        if let (true, Some(missing)) = (message.starts_with("missing field"), quoted.first()) {
            let start = self.first_said(span.start);
            return self.fault(start, missing, "it is missing".into(), self.written(missing));
        }
        if message.starts_with("invalid") {
            let field = self.key_of(span.start);
            // Two zones are called as a group's keys are, which are words.
            let is_zone = matches!(field, "head" | "legs") && message.ends_with("i64");
            return self.fault(
                span.start,
                field,
                toml_words(message),
                self.written(if is_zone { "rows" } else { field }),
            );
        }
        let field = self.word_in_line(span.start);
        self.fault(span.start, field, toml_words(message), self.written(field))
    }

    /// A table's first byte that says something: a file may begin with remarks.
    fn first_said(&self, at: usize) -> usize {
        let mut start = at;
        for line in self.text.get(at..).unwrap_or_default().split_inclusive('\n') {
            if !line.trim().is_empty() && !line.trim_start().starts_with('#') {
                return start;
            }
            start += line.len();
        }
        at
    }

    /// The key whose value a byte is part of.
    fn key_of(&self, at: usize) -> &str {
        let before = self.text.get(..at).unwrap_or_default();
        let (keys, _) = before.rsplit_once('=').unwrap_or((before, ""));
        let word = keys.trim_end().rsplit(['\n', '{', ',', ' ', '.', '[']).next().unwrap_or_default();
        let word = word.trim_matches(['"', '\'']);
        if word.is_empty() { "text" } else { word }
    }

    /// The first word of the line a byte is on.
    fn word_in_line(&self, at: usize) -> &str {
        let start = self.text.get(..at).and_then(|before| before.rfind('\n')).map_or(0, |end| end + 1);
        let line = self.text.get(start..).unwrap_or_default().lines().next().unwrap_or_default();
        let is_part = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
        let word = line.trim_start_matches(|c: char| !is_part(c)).split(|c| !is_part(c)).next();
        word.filter(|word| !word.is_empty()).unwrap_or("text")
    }
}

//! Which request asks for what.

use std::num::NonZeroUsize;

use hyper::body::Bytes;
use hyper::{Method, Request, StatusCode};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::Page;
use super::answer::{self, Answer, Refusal};
use super::assets;
use super::desk::Change;
use super::making::Wishes;
use super::nearest::nearest;
use super::parts::{PartLine, parts_to_take};
use super::printing::{self, SheetWishes, ShowWishes};
use super::session::Told;
use super::shelf::Shelf;
use super::standing::{NewFrom, lineup};

use crate::sheet::{pdf, svg};

/// A change of a figure of which the page shows the state `version`.
#[derive(Deserialize)]
struct Changed {
    file: String,
    version: String,
    #[serde(rename = "do", default)]
    lines: Lines,
    take: Option<Take>,
    /// How many steps go back or forward.
    #[serde(default = "one")]
    steps: NonZeroUsize,
}

fn one() -> NonZeroUsize {
    NonZeroUsize::MIN
}

/// Whose figure goes on after both were shown.
#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum Take {
    /// That on disk.
    Disk,
    /// That on disk with the page's own changes laid on it.
    Page,
}

/// One line of a change, or several that are made all or none.
#[derive(Deserialize)]
#[serde(untagged)]
enum Lines {
    One(String),
    Several(Vec<String>),
}

impl Default for Lines {
    fn default() -> Self {
        Self::Several(Vec::new())
    }
}

impl Lines {
    fn all(self) -> Vec<String> {
        match self {
            Self::One(line) => vec![line],
            Self::Several(lines) => lines,
        }
    }
}

#[derive(Deserialize)]
struct DraftOf {
    picture: String,
    #[serde(flatten)]
    wishes: Wishes,
}

#[derive(Deserialize)]
struct SaveDraft {
    save: String,
    #[serde(flatten)]
    of: DraftOf,
}

#[derive(Serialize)]
struct PartsOf<'a> {
    parts: Vec<PartLine<'a>>,
}

impl Page {
    /// Answers a request; whoever may not ask is turned away. Blocks while it works.
    pub fn answer(&self, request: &Request<Bytes>) -> Answer {
        let told = self.guard().check(request).and_then(|_| self.route(request));
        told.unwrap_or_else(Answer::from)
    }

    fn route(&self, request: &Request<Bytes>) -> Told<Answer> {
        let session = self.session();
        let file = || queried(request.uri().query(), "file");
        match (request.method(), request.uri().path()) {
            (&Method::GET, "/api/start") => Ok(session.start()),
            (&Method::GET, "/api/shelf") => {
                let shelf = Shelf::of(&session.folder, &session.shared)?;
                Ok(answer::json(StatusCode::OK, &shelf))
            }
            (&Method::GET, "/api/lineup") => {
                let sheet = session.alone(|| lineup(&session.folder, &session.shared, false))?;
                Ok(answer::bytes(StatusCode::OK, "application/pdf", pdf(&sheet)))
            }
            (&Method::GET, "/api/lineup/picture") => {
                let sheet = session.alone(|| lineup(&session.folder, &session.shared, true))?;
                let first = sheet.pages.first().ok_or_else(|| nothing_at("/api/lineup"))?;
                Ok(answer::bytes(StatusCode::OK, "image/svg+xml", svg(&sheet, first)))
            }
            (&Method::POST, "/api/new") => {
                let wanted: NewFrom = read(request)?;
                wanted.make(&session.folder, &session.shared)?;
                session.figure(&wanted.save)
            }
            (&Method::GET, "/api/figure") => session.figure(&file()?),
            (&Method::GET, "/api/version") => {
                session.version(&file()?, &queried(request.uri().query(), "shown")?)
            }
            (&Method::POST, "/api/edit") => {
                let Changed { file, version, lines, .. } = read(request)?;
                session.change(&file, &version, &Change::Lines(&lines.all()))
            }
            (&Method::POST, "/api/undo") => {
                let Changed { file, version, steps, .. } = read(request)?;
                session.change(&file, &version, &Change::Undo(steps.get()))
            }
            (&Method::POST, "/api/redo") => {
                let Changed { file, version, steps, .. } = read(request)?;
                session.change(&file, &version, &Change::Redo(steps.get()))
            }
            (&Method::POST, "/api/answer") => {
                let Changed { file, version, lines, take, .. } = read(request)?;
                match take {
                    Some(Take::Page) => session.change(&file, &version, &Change::Lines(&lines.all())),
                    Some(Take::Disk) => session.figure(&file),
                    None => Err(Refusal::unread("take is wanted: disk or page")),
                }
            }
            (&Method::GET, "/api/reference") => session.reference(&file()?),
            (&Method::GET, "/api/size") => session.size(&file()?),
            (&Method::GET, "/api/picture") => session.picture(&file()?),
            (&Method::GET, "/api/picture/small") => session.small_picture(&file()?),
            (&Method::GET, "/api/parts") => {
                let opened = session.open(&file()?)?;
                Ok(answer::json(StatusCode::OK, &PartsOf { parts: parts_to_take(&opened.figure) }))
            }
            (&Method::GET, "/api/nearest") => {
                nearest(&session.shared.tray, &queried(request.uri().query(), "colour")?)
            }
            (&Method::POST, "/api/draft") => {
                let asked: DraftOf = read(request)?;
                session.draft(&asked.picture, &asked.wishes)
            }
            (&Method::POST, "/api/draft/save") => {
                let asked: SaveDraft = read(request)?;
                session.save_draft(&asked.of.picture, &asked.of.wishes, &asked.save)
            }
            (&Method::POST, "/api/sheet") => {
                let wishes: SheetWishes = read(request)?;
                let opened = session.open(&wishes.file)?;
                let pdf = session.alone(|| printing::sheet(&opened.figure, &session.shared, &wishes))?;
                Ok(answer::bytes(StatusCode::OK, "application/pdf", pdf))
            }
            (&Method::POST, "/api/show") => {
                let wishes: ShowWishes = read(request)?;
                let opened = session.open(&wishes.file)?;
                let png = session.alone(|| printing::show(&opened.figure, &session.shared.tray, &wishes))?;
                Ok(answer::bytes(StatusCode::OK, "image/png", png))
            }
            (&Method::GET, path) => assets::asset(path, request.headers()).ok_or_else(|| nothing_at(path)),
            (_, path) => Err(nothing_at(path)),
        }
    }
}

fn nothing_at(path: &str) -> Refusal {
    Refusal::not_found(format!("there is nothing at {path}"))
}

/// The body of a request.
fn read<T: DeserializeOwned>(request: &Request<Bytes>) -> Told<T> {
    serde_json::from_slice(request.body()).map_err(Refusal::unread)
}

/// A value of a query, such as `file=anna.figure.toml`; what stands twice could mean either.
fn queried(query: Option<&str>, name: &str) -> Told<String> {
    let pairs = query.unwrap_or_default().split('&').filter_map(|pair| pair.split_once('='));
    let mut values = pairs.filter(|(key, _)| *key == name).map(|(_, value)| value);
    match (values.next(), values.next()) {
        (Some(value), None) => decoded(value).ok_or_else(|| Refusal::unread(format!("{name} is not text"))),
        _ => Err(Refusal::unread(format!("one {name} is wanted"))),
    }
}

/// Percent-encoding undone (WHATWG URL, as `encodeURIComponent` and `URLSearchParams` write it).
fn decoded(text: &str) -> Option<String> {
    let mut bytes = text.bytes();
    let mut decoded = Vec::with_capacity(text.len());
    while let Some(byte) = bytes.next() {
        decoded.push(match byte {
            b'%' => {
                let mut digit = || char::from(bytes.next()?).to_digit(16);
                u8::try_from(digit()? * 16 + digit()?).ok()?
            }
            b'+' => b' ',
            byte => byte,
        });
    }
    String::from_utf8(decoded).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_come_back_as_they_were_typed() {
        assert_eq!(decoded("a%20b+c%C3%A9.figure.toml").as_deref(), Some("a b cé.figure.toml"));
        for broken in ["%", "%2", "%zz", "%ff", "%+1"] {
            assert_eq!(decoded(broken), None, "{broken}");
        }
        assert_eq!(queried(Some("x=1&file=a"), "file").ok().as_deref(), Some("a"));
        assert!(queried(Some("file=a&file=b"), "file").is_err());
        assert!(queried(None, "file").is_err());
    }
}

//! Answers: JSON, pictures, papers, and refusals in the maker's words.

use std::path::Path;

use hyper::body::Bytes;
use hyper::header::{CONTENT_TYPE, HeaderValue};
use hyper::{Response, StatusCode};
use serde::Serialize;

use super::guard;
use crate::error::Error;

/// Why something was not done: what and what to do next.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Refusal {
    #[serde(skip)]
    status: StatusCode,
    what: String,
    hint: String,
}

impl Refusal {
    /// A refusal with its status.
    pub fn new(status: StatusCode, what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { status, what: what.into(), hint: hint.into() }
    }

    /// What was asked for is not there.
    pub fn not_found(what: impl Into<String>) -> Self {
        Self::new(StatusCode::NOT_FOUND, what, "reload the page")
    }

    /// A cause that names a file by its path: the page knows files by their names in the folder, and where the
    /// folder lies is nobody's business.
    pub fn of(error: Error, path: &Path, name: &str) -> Self {
        if let Error::Edit { .. } = error {
            return error.into();
        }
        let path = path.display().to_string();
        let (what, hint) = (error.to_string().replace(&path, name), error.hint().replace(&path, name));
        Self::new(StatusCode::UNPROCESSABLE_ENTITY, what, hint)
    }

    /// Why a new figure was not saved at a path.
    pub fn of_new(error: Error, path: &Path, name: &str) -> Self {
        match error {
            // There is no --replace to add here.
            Error::Exists { .. } => Self::new(
                StatusCode::UNPROCESSABLE_ENTITY,
                format!("{name} already exists and was not changed"),
                "choose another name",
            ),
            other => Self::of(other, path, name),
        }
    }

    /// What was not done, alone.
    pub fn into_what(self) -> String {
        self.what
    }

    /// What was sent cannot be read.
    pub fn unread(why: impl std::fmt::Display) -> Self {
        Self::new(StatusCode::BAD_REQUEST, format!("this could not be read: {why}"), "reload the page")
    }
}

impl From<Error> for Refusal {
    fn from(error: Error) -> Self {
        // The line of a change, and how it is typed, are no words of the page.
        if let Error::Edit { why, .. } = error {
            return Self::new(StatusCode::UNPROCESSABLE_ENTITY, why, "nothing was changed");
        }
        Self::new(StatusCode::UNPROCESSABLE_ENTITY, error.to_string(), error.hint())
    }
}

/// An answer of the page.
pub type Answer = Response<Bytes>;

/// An answer of these bytes.
pub fn bytes(status: StatusCode, kind: &'static str, body: impl Into<Bytes>) -> Answer {
    let mut answer = Response::new(body.into());
    *answer.status_mut() = status;
    answer.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static(kind));
    guard::seal(answer.headers_mut());
    answer
}

/// An answer that is one JSON document.
pub fn json(status: StatusCode, document: &impl Serialize) -> Answer {
    // Our documents are structs of texts and numbers with text keys: there is nothing to refuse.
    let text = serde_json::to_vec(document).expect("plain structs become JSON");
    bytes(status, "application/json", text)
}

impl From<Refusal> for Answer {
    fn from(refusal: Refusal) -> Self {
        #[derive(Serialize)]
        struct Document {
            error: Refusal,
        }
        json(refusal.status, &Document { error: refusal.clone() })
    }
}

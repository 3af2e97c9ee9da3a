//! No bytes make a reader panic, hang or pass on what a terminal would obey: the files of `fixtures/corpus`, as they are
//! and changed at random.

use proptest::prelude::*;
use smallcast::error::{Error, Result, is_unprintable};
use smallcast::figure::{AtHand, Edit, Figure, NoOthers, read, write};
use smallcast::tray::Tray;
use smallcast::{cast, scene};

use crate::mutate::{changes, corpus};

/// A refusal is one line that a person reads; this is about five lines of a terminal. A path is said whole.
const LONGEST_REFUSAL: usize = 400;

/// What a refusal never says: words of the libraries underneath.
const FOREIGN: [&str; 7] = [
    "invalid type",
    "invalid digit",
    "expected `",
    "expected i64",
    "TOML parse error",
    "Error {",
    "Utf8Error",
];

fn check(error: &Error) -> std::result::Result<(), TestCaseError> {
    let (said, hint) = (error.to_string(), error.hint());
    prop_assert!(
        !said.contains(is_unprintable) && !hint.to_string().contains(is_unprintable),
        "{said:?} {hint:?}"
    );
    let is_a_path = matches!(error, Error::Unreadable { .. });
    prop_assert!(
        is_a_path || said.chars().count() <= LONGEST_REFUSAL,
        "{} characters: {said}",
        said.chars().count()
    );
    for foreign in FOREIGN {
        prop_assert!(!said.contains(foreign), "{said}");
    }
    Ok(())
}

fn checked<T>(read: Result<T>) -> std::result::Result<Option<T>, TestCaseError> {
    match read {
        Ok(read) => Ok(Some(read)),
        Err(error) => check(&error).map(|()| None),
    }
}

/// What is read is written back so that it reads the same, and every rule bears it.
fn figure(bytes: &[u8]) -> std::result::Result<(), TestCaseError> {
    let Some(figure) = checked(read("it", &String::from_utf8_lossy(bytes)))? else { return Ok(()) };
    let text = write(&figure);
    let again = read("it", &text).map_err(|e| TestCaseError::fail(format!("{e}\n{text}")))?;
    prop_assert_eq!(again, figure);
    Ok(())
}

/// A change is read, and made on a figure as far as it can be.
fn edit(figure: &Figure, bytes: &[u8]) -> std::result::Result<(), TestCaseError> {
    let (text, tray) = (String::from_utf8_lossy(bytes), Tray::embedded());
    let at_hand = AtHand::new(&tray, &NoOthers);
    let mut figure = figure.clone();
    for line in text.lines() {
        let Some(edit) = checked(Edit::parse(line))? else { continue };
        if let Some(edited) = checked(figure.edited(&edit, &at_hand))? {
            figure = edited.figure;
        }
    }
    Ok(())
}

fn small() -> Figure {
    let (_, small) =
        corpus("figure").into_iter().find(|(name, _)| name == "small.toml").expect("it is there");
    read("small.toml", &String::from_utf8(small).expect("it is text")).expect("it is a figure")
}

fn as_they_are(kind: &str, check: impl Fn(&[u8]) -> std::result::Result<(), TestCaseError>) {
    let files = corpus(kind);
    assert!(files.len() > 1 || kind == "edit", "fixtures/corpus/{kind} is empty");
    for (name, bytes) in files {
        check(&bytes).unwrap_or_else(|why| panic!("fixtures/corpus/{kind}/{name}: {why}"));
    }
}

#[test]
fn the_corpus_as_it_is() {
    as_they_are("figure", figure);
    as_they_are("edit", |bytes| edit(&small(), bytes));
    as_they_are("cast", |bytes| checked(cast::read("it", &String::from_utf8_lossy(bytes))).map(drop));
    as_they_are("scene", |bytes| checked(scene::read("it", &String::from_utf8_lossy(bytes))).map(drop));
    as_they_are("tray", |bytes| checked(Tray::parse("it", bytes)).map(drop));
}

proptest! {
    #[test]
    fn a_changed_figure_is_read_or_refused(changes in changes("figure")) {
        figure(&changes.made())?;
    }

    #[test]
    fn a_changed_cast_is_read_or_refused(changes in changes("cast")) {
        checked(cast::read("it", &String::from_utf8_lossy(&changes.made())))?;
    }

    #[test]
    fn a_changed_scene_is_read_or_refused(changes in changes("scene")) {
        checked(scene::read("it", &String::from_utf8_lossy(&changes.made())))?;
    }

    #[test]
    fn a_changed_tray_is_read_or_refused(changes in changes("tray")) {
        checked(Tray::parse("it", &changes.made()))?;
    }

    #[test]
    fn changed_lines_of_changes_are_made_or_refused(changes in changes("edit")) {
        edit(&small(), &changes.made())?;
    }
}

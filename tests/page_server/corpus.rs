//! No request makes the page panic, or leaves a figure that cannot be read: those of `fixtures/corpus/body`, changed at
//! random.

use proptest::prelude::*;

use crate::mutate::{changes, corpus};
use crate::visitor::{ANNA, Ask, House, ask};

/// Each line is a path and a body. The figure must be readable after each, and nothing may lie outside the folder.
fn send(house: &House, lines: &[u8]) -> Result<(), TestCaseError> {
    for line in String::from_utf8_lossy(lines).lines() {
        let (path, body) = line.split_once(' ').unwrap_or((line, ""));
        let is_path =
            path.starts_with("/api/") && path.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'/');
        let path = if is_path { path } else { "/api/edit" };
        let told = ask(&house.page, &Ask::post(path, body));
        prop_assert!(!told.status.is_server_error(), "{} {path} {body}: {}", told.status, told.text());
        let figure = smallcast::figure::read("anna", &house.text("anna.figure.toml"));
        prop_assert!(figure.is_ok(), "{body}: {figure:?}");
    }
    Ok(())
}

#[test]
fn the_corpus_as_it_is() {
    for (name, bytes) in corpus("body") {
        send(&House::of_anna(), &bytes).unwrap_or_else(|why| panic!("fixtures/corpus/body/{name}: {why}"));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_changed_request_is_answered_or_refused(changes in changes("body")) {
        let house = House::with(&[("anna.figure.toml", ANNA)], "anna.figure.toml");
        send(&house, &changes.made())?;
    }
}

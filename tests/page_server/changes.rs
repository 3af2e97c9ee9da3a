//! What is on disk, and when: every change before its answer, and nobody's work written over.

use hyper::StatusCode;
use serde_json::json;

use crate::visitor::{ANNA, House, page, until};

const FILE: &str = "anna.figure.toml";

fn version(house: &House) -> String {
    house.table(FILE)["version"].as_str().unwrap().to_owned()
}

#[test]
fn a_change_is_on_disk_before_it_is_answered_and_keeps_the_maker_s_words() {
    let house = House::of_anna();
    let told = house.edit(&version(&house), "swap bone moss in body");
    assert_eq!(told.status, StatusCode::OK, "{}", told.text());
    let text = house.text(FILE);
    assert!(text.contains("bead = \"moss\"") && text.contains("# my own words"), "{text}");
    assert_eq!(told.json()["version"], version(&house));
    assert_eq!(told.json()["undo"], "swap bone moss in body");
}

#[test]
fn a_step_is_undone_by_a_page_started_later() {
    let mut house = House::of_anna();
    house.edit(&version(&house), "place 1,1 moss");
    house.page = page(&house.path(FILE));
    let undone = house.post("/api/undo", &json!({"file": FILE, "version": version(&house)}));
    assert_eq!(undone.status, StatusCode::OK, "{}", undone.text());
    assert_eq!(house.text(FILE), ANNA);
    let redone = house.post("/api/redo", &json!({"file": FILE, "version": version(&house)}));
    assert!(house.text(FILE).contains("moss"), "{}", redone.text());
}

#[test]
fn of_two_windows_the_one_behind_is_shown_the_difference() {
    let house = House::of_anna();
    let stale = version(&house);
    assert_eq!(house.edit(&stale, "place 1,1 moss").status, StatusCode::OK);
    let after_first = house.text(FILE);
    let told = house.edit(&stale, "place 1,1 poppy");
    assert_eq!(told.status, StatusCode::CONFLICT);
    assert_eq!(house.text(FILE), after_first);
    let changed = &told.json()["changed"];
    assert_eq!(changed["table"]["version"], version(&house));
    assert!(changed["differences"].as_array().is_some_and(|all| !all.is_empty()), "{changed}");
}

#[test]
fn what_an_editor_wrote_meanwhile_is_never_written_over() {
    let house = House::of_anna();
    let stale = version(&house);
    let theirs = ANNA.replace("bone", "milk");
    std::fs::write(house.path(FILE), &theirs).unwrap();
    assert_eq!(house.edit(&stale, "place 1,1 poppy").status, StatusCode::CONFLICT);
    assert_eq!(house.text(FILE), theirs);
    // The maker lays the page's change on what is there now.
    let answer = json!({"file": FILE, "version": version(&house), "take": "page", "do": ["place 1,1 poppy"]});
    let told = house.post("/api/answer", &answer);
    assert_eq!(told.status, StatusCode::OK, "{}", told.text());
    let text = house.text(FILE);
    assert!(text.contains("milk") && text.contains("poppy"), "{text}");
}

#[test]
fn many_at_once_lose_nothing() {
    let house = House::of_anna();
    let beads = ["moss", "poppy", "navy", "fern"];
    std::thread::scope(|scope| {
        for (place, bead) in beads.iter().enumerate() {
            let house = &house;
            scope.spawn(move || {
                // Whoever comes second reads again and does it then.
                until(|| {
                    let line = format!("place {},{} {bead}", place / 2 + 1, place % 2 + 1);
                    (house.edit(&version(house), &line).status == StatusCode::OK).then_some(())
                });
            });
        }
    });
    let text = house.text(FILE);
    assert!(beads.iter().all(|bead| text.contains(bead)), "{text}");
}

//! What is on disk and when, and that nobody's work is lost.

use std::path::Path;
use std::sync::Barrier;

use hyper::StatusCode;
use serde_json::{Value, json};
use smallcast::figure::Figure;
use smallcast::page::{Page, Wishes};
use smallcast::tray::Tray;

use crate::visitor::{ANNA, Ask, House, PORT, Told, ask, page};

const FILE: &str = "anna.figure.toml";

fn version(told: &Value) -> &str {
    told["version"].as_str().unwrap()
}

fn done(told: Told) -> Value {
    assert_eq!(told.status, StatusCode::OK, "{}", told.text());
    told.json()
}

fn step(house: &House, path: &str, at: &Value) -> Value {
    done(house.post(path, &json!({"file": FILE, "version": version(at)})))
}

#[test]
fn a_change_is_on_disk_when_it_is_answered_and_the_makers_own_words_stay() {
    let house = House::of_anna();
    let before = house.table(FILE);
    let after = done(house.edit(version(&before), "place 1,2 bone"));
    assert_ne!(version(&before), version(&after));
    let text = house.text(FILE);
    assert!(text.contains("# my own words") && text.contains("# hair"), "{text}");
    assert!(text.contains("cb\n"), "{text}");
    assert_eq!(after["beads"][0][1], json!({"m": "b", "s": 1.0, "h": true, "p": 0}));
    assert_eq!((&after["undo"], &after["redo"]), (&json!("place 1,2 bone"), &Value::Null));
    assert!(after["said"].as_str().is_some_and(|said| !said.is_empty()));
    let seen_from = |shown: &Value| {
        let on_disk = done(house.get(&format!("/api/version?file={FILE}&shown={}", version(shown))));
        (on_disk["version"].clone(), on_disk["made_here"] == true)
    };
    assert_eq!(seen_from(&before), (after["version"].clone(), true));
    assert_eq!(house.table(FILE)["beads"], after["beads"]);
    let last = done(house.edit(version(&after), "place 1,1 bone"));
    assert_eq!((seen_from(&before).1, seen_from(&after).1), (true, true), "over two steps");
    // The same bytes again after another step were not put there by the page.
    std::fs::write(house.path(FILE), text).unwrap();
    assert!(!seen_from(&last).1);
}

/// The page's reload, and a new start of the program, find every step.
#[test]
fn steps_go_back_and_forward_over_restarts() {
    let mut house = House::of_anna();
    let first = house.table(FILE);
    let mut table = first.clone();
    for line in ["swap coal fawn", "lift 2,1", "mirror body", "name \"Anna again\""] {
        table = done(house.edit(version(&table), line));
    }
    let last = table.clone();
    house.page = page(&house.path(FILE));
    for _ in 0..4 {
        table = step(&house, "/api/undo", &table);
    }
    assert_eq!((&table["beads"], &table["name"]), (&first["beads"], &first["name"]));
    assert!(table["undo"].is_null());
    let told = house.post("/api/undo", &json!({"file": FILE, "version": version(&table)}));
    assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", told.text());
    house.page = page(&house.path(FILE));
    for _ in 0..4 {
        table = step(&house, "/api/redo", &table);
    }
    for field in ["beads", "name", "parts", "legend", "doubts", "history"] {
        assert_eq!(table[field], last[field], "{field}");
    }
}

#[test]
fn what_cannot_be_done_changes_nothing_and_says_why() {
    let house = House::of_anna();
    let now = house.table(FILE);
    for line in ["", "paint it red", "place 1,1 unicorn", "swap coal", "shift nobody left 1", "drop-row head"]
    {
        let told = house.edit(version(&now), line);
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{line}: {}", told.text());
        let error = &told.json()["error"];
        assert!(!error["what"].as_str().unwrap().is_empty() && !error["hint"].as_str().unwrap().is_empty());
    }
    // All or none.
    let several =
        json!({"file": FILE, "version": version(&now), "do": ["place 1,1 bone", "place 1,1 unicorn"]});
    assert_eq!(house.post("/api/edit", &several).status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(house.text(FILE), ANNA);
}

#[test]
fn two_windows_cannot_destroy_each_others_work() {
    let house = House::of_anna();
    let (one, other) = (house.table(FILE), house.table(FILE));
    done(house.edit(version(&one), "place 1,1 bone"));
    let late = house.edit(version(&other), "place 3,2 coal");
    assert_eq!(late.status, StatusCode::CONFLICT, "{}", late.text());
    let late = late.json();
    let differences = &late["changed"]["differences"];
    assert_eq!(
        *differences,
        json!([{"row": 0, "column": 0, "here": "c", "there": "b", "here_bead": "coal", "there_bead": "bone"}])
    );
    assert!(!late["error"]["hint"].as_str().unwrap().is_empty());
    // The table that is shown is the one on disk, and nothing of the late change is on it.
    let theirs = &late["changed"]["table"];
    assert_eq!(theirs["beads"], house.table(FILE)["beads"]);
    for (path, extra) in [
        ("/api/undo", json!({})),
        ("/api/redo", json!({})),
        ("/api/answer", json!({"take": "page", "do": ["lift 1,1"]})),
    ] {
        let mut body = json!({"file": FILE, "version": version(&other)});
        body.as_object_mut().unwrap().extend(extra.as_object().unwrap().clone());
        assert_eq!(house.post(path, &body).status, StatusCode::CONFLICT, "{path}");
    }
    let disk = json!({"file": FILE, "version": version(theirs), "take": "disk", "do": ["place 3,2 coal"]});
    assert_eq!(done(house.post("/api/answer", &disk))["beads"], theirs["beads"]);
    let ours = json!({"file": FILE, "version": version(theirs), "take": "page", "do": ["place 3,2 coal"]});
    let both = done(house.post("/api/answer", &ours));
    assert_eq!((&both["beads"][0][0]["m"], &both["beads"][2][1]["m"]), (&json!("b"), &json!("c")));
}

#[test]
fn a_figure_changed_by_another_program_is_shown_and_never_written_over() {
    let house = House::of_anna();
    let before = house.table(FILE);
    let changed = ANNA.replace("cc\nbb\nbb", "cc\ncb\nbb").replace("# hair", "# dark hair");
    std::fs::write(house.path(FILE), &changed).unwrap();
    let shown = version(&before);
    let on_disk = done(house.get(&format!("/api/version?file={FILE}&shown={shown}")));
    assert_ne!(on_disk["version"], before["version"]);
    assert_eq!(on_disk["made_here"], json!(false));
    let told = house.edit(version(&before), "place 3,2 coal");
    assert_eq!(told.status, StatusCode::CONFLICT);
    assert_eq!(told.json()["changed"]["differences"][0]["row"], 1);
    assert_eq!(house.text(FILE), changed);
    // Once it has been shown, the maker goes on from it.
    let shown = told.json()["changed"]["table"].clone();
    done(house.edit(version(&shown), "place 3,2 coal"));
    assert!(house.text(FILE).contains("# dark hair"));
    assert!(house.text(FILE).contains("cc\ncb\nbc"), "{}", house.text(FILE));
}

/// Only words of the maker's that are no part of the figure: nothing to choose between.
#[test]
fn another_comment_is_taken_over_without_a_question() {
    let house = House::of_anna();
    let before = house.table(FILE);
    std::fs::write(house.path(FILE), ANNA.replace("my own words", "other words")).unwrap();
    done(house.edit(version(&before), "place 3,2 coal"));
    assert!(house.text(FILE).contains("# other words"));
}

#[test]
fn a_broken_or_vanished_file_is_said_and_left() {
    let house = House::of_anna();
    let before = house.table(FILE);
    std::fs::write(house.path(FILE), "half a fil").unwrap();
    assert_eq!(house.edit(version(&before), "place 3,2 coal").status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(house.text(FILE), "half a fil");
    std::fs::remove_file(house.path(FILE)).unwrap();
    assert_eq!(house.edit(version(&before), "place 3,2 coal").status, StatusCode::NOT_FOUND);
    assert!(!house.path(FILE).exists());
    std::fs::write(house.path(FILE), ANNA).unwrap();
    done(house.edit(version(&before), "place 3,2 coal"));
}

/// Whoever comes late takes the table that is there and tries again: every change arrives, none twice.
#[test]
fn changes_from_many_windows_and_two_programs_all_arrive() {
    const WINDOWS: usize = 6;
    const EACH: usize = 4;
    let blank = vec![".".repeat(EACH); WINDOWS].join("\n").replacen('.', "c", 1);
    let text = format!(
        "format = 1\nname = \"Anna\"\n[[legend]]\nmark = \"c\"\nbead = \"coal\"\nby = \"hand\"\n\
         [[part]]\nname = \"body\"\nbeads = \"\"\"\n{blank}\n\"\"\"\n"
    );
    let house = House::with(&[(FILE, &text)], FILE);
    let other = page(&house.path(FILE));
    let start = Barrier::new(WINDOWS);
    std::thread::scope(|scope| {
        for window in 0..WINDOWS {
            let (house, other, start) = (&house, &other, &start);
            scope.spawn(move || {
                let page = if window % 2 == 0 { &house.page } else { other };
                let table = ask(page, &Ask::get(&format!("/api/figure?file={FILE}"))).json();
                let mut version = version(&table).to_owned();
                start.wait();
                for column in 1..=EACH {
                    let line = format!("place {},{column} bone", window + 1);
                    loop {
                        let body = json!({"file": FILE, "version": version, "do": line}).to_string();
                        let told = ask(page, &Ask::post("/api/edit", &body));
                        let json = told.json();
                        match told.status {
                            StatusCode::OK => {
                                version = json["version"].as_str().unwrap().to_owned();
                                break;
                            }
                            StatusCode::CONFLICT => {
                                version = json["changed"]["table"]["version"].as_str().unwrap().to_owned();
                            }
                            other => panic!("{other}: {json}"),
                        }
                    }
                }
            });
        }
    });
    let table = house.table(FILE);
    let beads = table["beads"].as_array().unwrap().iter().flat_map(|row| row.as_array().unwrap());
    let bone = table["legend"].as_array().unwrap().iter().find(|line| line["bead"] == "bone").unwrap();
    assert_eq!(beads.filter(|bead| bead["m"] == bone["mark"]).count(), WINDOWS * EACH);
    assert_eq!(steps_of(&house.path(FILE)), WINDOWS * EACH);
    assert!(Figure::open(&house.path(FILE)).is_ok());
    let left: Vec<_> =
        std::fs::read_dir(house.folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(left.len(), 2, "only figure and history stay: {left:?}");
}

fn steps_of(figure: &Path) -> usize {
    smallcast::figure::Workbench::open(figure).unwrap().history().done().len()
}

#[test]
fn a_part_of_a_neighbour_is_taken_in() {
    let berta = ANNA.replace("Anna", "Berta").replace("name = \"body\"", "name = \"hat\"");
    let house = House::with(&[(FILE, ANNA), ("berta.figure.toml", &berta)], FILE);
    let parts = done(house.get("/api/parts?file=berta.figure.toml"));
    assert_eq!(parts["parts"][0]["name"], "hat");
    let now = house.table(FILE);
    let then = done(house.edit(version(&now), "take hat from berta.figure.toml"));
    assert_eq!(then["parts"][1]["from"], "berta.figure.toml");
}

#[test]
fn what_changes_nothing_makes_no_step_and_is_no_fault() {
    let house = House::of_anna();
    let now = house.table(FILE);
    // Both of its columns are alike but in how sure they are.
    let told = done(house.edit(version(&now), "mirror body"));
    assert_eq!((&told["note"], &told["history"]), (&json!("That changes nothing."), &json!([])));
    assert_eq!(house.text(FILE), ANNA);
}

#[test]
fn a_refusal_speaks_no_line_of_changes() {
    let house = House::of_anna();
    let now = house.table(FILE);
    let told = house.edit(version(&now), "place 1,1 unicorn").json();
    let error = &told["error"];
    let words = format!("{} {}", error["what"], error["hint"]);
    assert!(!words.contains("place 1,1") && words.contains("unicorn"), "{words}");
}

#[test]
fn a_part_that_leaves_gaps_behind_says_so() {
    let hatted = format!("{ANNA}\n[[part]]\nname = \"hat\"\nat = [0, 0]\nbeads = \"\"\"\ncc\n\"\"\"\n")
        .replace("beads = \"\"\"\ncc\nbb", "at = [0, 0]\nbeads = \"\"\"\n..\nbb");
    let house = House::with(&[(FILE, &hatted.replace("4J\nJ2", "..\nJ2"))], FILE);
    let now = house.table(FILE);
    let told = done(house.edit(version(&now), "shift hat up 1"));
    let note = told["note"].as_str().unwrap();
    assert!(note.contains("2 pegs between beads became empty"), "{note}");
    // Down again nothing opens.
    let told = done(house.edit(version(&told), "shift hat down 1"));
    assert_eq!(told["note"], json!(null));
}

#[test]
fn the_tray_that_served_is_remembered_with_the_first_step() {
    let house = House::of_anna();
    std::fs::write(house.path("mine.csv"), "name,hex,count\ncoal,1f2023,9\nbone,e8dfc8,1\n").unwrap();
    let shared = smallcast::page::Shared {
        tray_file: Some(house.path("mine.csv")),
        ..Tray::open(&house.path("mine.csv")).unwrap().into()
    };
    let page = Page::new(&house.path(FILE), shared, Wishes::default(), PORT).unwrap();
    let house = House { page, ..house };
    assert_eq!(smallcast::figure::last_tray(&house.path(FILE)), None, "nothing was written yet");
    let now = house.table(FILE);
    done(house.edit(version(&now), "place 1,1 bone"));
    let tray = house.path("mine.csv");
    assert_eq!(smallcast::figure::last_tray(&house.path(FILE)).as_ref(), Some(&tray));
    assert_eq!(smallcast::figure::last_tray(house.folder.path()), Some(tray));
    // Another page that names none keeps it; one whose file went forgets it.
    let next = House {
        page: Page::new(&house.path(FILE), Tray::embedded(), Wishes::default(), PORT).unwrap(),
        ..house
    };
    done(next.edit(version(&next.table(FILE)), "place 1,2 bone"));
    assert!(next.text("anna.history.toml").contains("tray = \"mine.csv\""));
    std::fs::remove_file(next.path("mine.csv")).unwrap();
    assert_eq!(smallcast::figure::last_tray(&next.path(FILE)), None);
}

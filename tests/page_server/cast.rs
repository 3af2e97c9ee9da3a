//! The cast of a folder on the page: who stands on the shelf, the line-up, a new figure from an older one; and the
//! nearest beads to a colour.

use hyper::StatusCode;
use serde_json::json;
use smallcast::colour::{Srgb, ciede2000};
use smallcast::tray::Tray;

use crate::visitor::{ANNA, House};

const FILE: &str = "anna.figure.toml";

fn folder() -> House {
    let broken = "format = 1\nname =";
    let other = ANNA.replace("\"Anna\"", "\"Bertha\"").replace("\"coal\"", "\"navy\"");
    let house = House::with(
        &[
            (FILE, ANNA),
            ("bertha.figure.toml", &other),
            ("broken.figure.toml", broken),
            ("notes.txt", "mine"),
        ],
        "",
    );
    image::RgbaImage::new(8, 8).save(house.path("drawing.png")).unwrap();
    house
}

#[test]
fn the_shelf_names_pictures_that_no_figure_has_yet() {
    let house = folder();
    let shelf = house.get("/api/shelf").json();
    assert_eq!(shelf["pictures"], json!(["drawing.png"]));
    assert_eq!(shelf["figures"][0]["short"], json!(0));
    assert_eq!(shelf["figures"].as_array().unwrap().len(), 3, "the broken one is told of");
    let owned = ANNA.replace("\"Anna\"", "\"Anna\"\nreference = { picture = \"drawing.png\" }");
    std::fs::write(house.path(FILE), owned).unwrap();
    assert_eq!(house.get("/api/shelf").json()["pictures"], json!([]));
}

#[test]
fn the_cast_stands_on_one_ground_line() {
    let house = folder();
    let picture = house.get("/api/lineup/picture");
    assert_eq!(picture.status, StatusCode::OK);
    assert!(picture.text().contains("<svg "));
    assert!(house.get("/api/lineup").body.starts_with(b"%PDF"));
}

#[test]
fn a_new_figure_begins_with_an_older_one_and_writes_over_nothing() {
    let house = folder();
    let wanted = json!({"from": FILE, "save": "clara.figure.toml", "name": "Clara"});
    let told = house.post("/api/new", &wanted);
    assert_eq!((told.status, &told.json()["name"]), (StatusCode::OK, &json!("Clara")));
    assert_eq!(told.json()["undo"], json!("name Clara"), "its history leads back");
    assert_eq!(house.text(FILE), ANNA);
    let kept = house.text("clara.figure.toml");
    for (from, save) in [
        (FILE, "clara.figure.toml"),
        (FILE, FILE),
        (FILE, "../out.figure.toml"),
        ("nobody.figure.toml", "dora.figure.toml"),
        ("../secret.figure.toml", "dora.figure.toml"),
        ("broken.figure.toml", "dora.figure.toml"),
    ] {
        let told = house.post("/api/new", &json!({"from": from, "save": save, "name": "Dora"}));
        assert!(told.status.is_client_error(), "{from} as {save}: {}", told.text());
    }
    assert_eq!((house.text("clara.figure.toml"), house.text(FILE)), (kept, ANNA.to_owned()));
    assert!(!house.path("dora.figure.toml").exists());
}

/// Distances are CIEDE2000, which `tests/engine` holds against the published pairs of Sharma, Wu and Dalal (2005).
#[test]
fn the_nearest_beads_to_a_colour_come_with_their_distance() {
    let house = House::of_anna();
    let told = house.get("/api/nearest?colour=%23a05a2c").json();
    let near = told["nearest"].as_array().unwrap();
    let tray = Tray::embedded();
    let distances: Vec<f64> = near.iter().map(|near| near["distance"].as_f64().unwrap()).collect();
    assert!(distances.is_sorted(), "{distances:?}");
    let first = tray.bead(tray.find(near[0]["bead"].as_str().unwrap()).unwrap());
    let apart = ciede2000(first.lab, Srgb::new(0xa0, 0x5a, 0x2c).lab()).0;
    assert!((apart - distances[0]).abs() <= 0.051, "{apart} {distances:?}");
    for colour in ["", "brown", "%23a05a2", "%23a05a2cff"] {
        let told = house.get(&format!("/api/nearest?colour={colour}"));
        assert_eq!(told.status, StatusCode::BAD_REQUEST, "{colour}");
    }
}

#[test]
fn several_steps_go_back_and_forward_at_once() {
    let house = House::of_anna();
    for line in ["place 1,2 bone", "place 2,2 coal", "place 3,1 coal"] {
        let version = house.table(FILE)["version"].as_str().unwrap().to_owned();
        assert_eq!(house.edit(&version, line).status, StatusCode::OK);
    }
    let last = house.text(FILE);
    let walk = |path: &str, steps: i64| {
        let version = house.table(FILE)["version"].as_str().unwrap().to_owned();
        house.post(path, &json!({"file": FILE, "version": version, "steps": steps}))
    };
    let back = walk("/api/undo", 3).json();
    assert_eq!(house.text(FILE), ANNA);
    assert_eq!(back["undone"], json!(["place 1,2 bone", "place 2,2 coal", "place 3,1 coal"]));
    assert_eq!(walk("/api/undo", 0).status, StatusCode::BAD_REQUEST);
    let forth = walk("/api/redo", 3).json();
    assert_eq!((forth["history"].as_array().unwrap().len(), house.text(FILE)), (3, last));
}

#[test]
fn what_was_made_of_figures_is_no_picture_to_draft_from() {
    let house = folder();
    for made in ["anna.draft.png", "anna.steps-2.png", "lineup.png"] {
        image::RgbaImage::new(8, 8).save(house.path(made)).unwrap();
    }
    image::RgbaImage::new(600, 300).save(house.path("wide.png")).unwrap();
    assert_eq!(house.get("/api/shelf").json()["pictures"], json!(["drawing.png", "wide.png"]));
    // A list shows them small.
    let small = house.get("/api/picture/small?file=wide.png");
    assert_eq!(small.status, StatusCode::OK);
    let small = image::load_from_memory(&small.body).unwrap();
    assert_eq!((small.width(), small.height()), (256, 128));
}

#[test]
fn a_name_of_the_cast_is_given_to_one_figure_only() {
    let bertha = ANNA.replace("\"Anna\"", "\"Bertha\"");
    let files =
        [("cast.toml", "format = 1\nname = \"Street\"\n"), (FILE, ANNA), ("bertha.figure.toml", &bertha)];
    let house = House::in_its_cast(&files, "");
    let now = house.table(FILE);
    let version = now["version"].as_str().unwrap();
    let told = house.edit(version, "name Bertha");
    assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", told.text());
    assert!(told.text().contains("bertha.figure.toml is already called Bertha"), "{}", told.text());
    assert_eq!(house.text(FILE), ANNA);
    assert_eq!(house.edit(version, "name Clara").status, StatusCode::OK);
}

#[test]
fn a_figure_of_another_height_begins_with_one_step() {
    let guide = "[rows]\nheadwear = 0\nhead = 5\nneck = 1\ntorso = 8\nlegs = 9\nfeet = 1\n";
    let rows = ["cc"; 24].join("\n");
    let tall = format!(
        "format = 1\nname = \"Tall\"\n{guide}\n[[legend]]\nmark = \"c\"\nbead = \"coal\"\nby = \"hand\"\n\n[[part]]\n\
         name = \"body\"\nbeads = \"\"\"\n{rows}\n\"\"\"\n"
    );
    let house = House::with(&[("tall.figure.toml", &tall)], "");
    let wanted =
        json!({"from": "tall.figure.toml", "save": "small.figure.toml", "name": "Small", "class": "child"});
    let told = house.post("/api/new", &wanted);
    assert_eq!(told.status, StatusCode::OK, "{}", told.text());
    assert_eq!(told.json()["history"], json!(["begun with Tall"]));
    assert_eq!((&told.json()["name"], &told.json()["class"]), (&json!("Small"), &json!("child")));
}

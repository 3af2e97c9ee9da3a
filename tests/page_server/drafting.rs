//! From a picture to a saved figure.

use hyper::StatusCode;
use serde_json::{Value, json};

use crate::visitor::{House, demo, page};

const PICTURE: &str = "baker.png";

fn house() -> House {
    let folder = tempfile::tempdir().unwrap();
    for name in [PICTURE, "lamplighter.png"] {
        std::fs::copy(demo().join(name), folder.path().join(name)).unwrap();
    }
    House { page: page(&folder.path().join(PICTURE)), folder }
}

fn drafted(house: &House, wishes: Value) -> Value {
    let mut body = wishes;
    body["picture"] = PICTURE.into();
    let told = house.post("/api/draft", &body);
    assert_eq!(told.status, StatusCode::OK, "{}", told.text());
    told.json()
}

#[test]
fn a_picture_is_drafted_with_its_landmarks_and_saved_once() {
    let house = house();
    let start = house.get("/api/start").json();
    assert_eq!((&start["kind"], &start["file"]), (&json!("picture"), &json!(PICTURE)));
    assert!(start["classes"].as_array().unwrap().contains(&json!({"name": "guide", "rows": 24})));
    let found = drafted(&house, json!({"class": "guide"}));
    assert_eq!((&found["table"]["version"], &found["table"]["rows"]), (&json!(""), &json!(24)));
    let marks = found["marks"].as_object().unwrap();
    let (crown, sole) = (marks["crown"].as_f64().unwrap(), marks["sole"].as_f64().unwrap());
    let height = found["picture"]["height"].as_f64().unwrap();
    assert!(0.0 <= crown && crown < sole && sole <= height, "{marks:?}");
    let shown = house.get(&format!("/api/picture?file={PICTURE}"));
    let shown = image::load_from_memory(&shown.body).unwrap();
    assert_eq!(found["picture"]["shown"], json!([shown.width(), shown.height()]));
    assert_eq!(found["table"]["reference"]["width"], json!(shown.width()));

    let save = json!({"picture": PICTURE, "class": "guide", "save": "baker.figure.toml"});
    let told = house.post("/api/draft/save", &save);
    assert_eq!(told.status, StatusCode::OK, "{}", told.text());
    let saved = told.json();
    assert_eq!((&saved["file"], &saved["name"]), (&json!("baker.figure.toml"), &json!("Baker")));
    assert_eq!(saved["beads"], found["table"]["beads"]);
    // A reload goes on with the figure.
    let start = house.get("/api/start").json();
    assert_eq!((&start["kind"], &start["file"]), (&json!("figure"), &json!("baker.figure.toml")));
}

#[test]
fn landmarks_that_are_moved_move_the_rows() {
    let house = house();
    let guessed = drafted(&house, json!({"class": "guide"}));
    let marks = guessed["marks"].as_object().unwrap();
    let mut rows: Vec<(String, f64)> =
        marks.iter().map(|(name, row)| (name.clone(), row.as_f64().unwrap())).collect();
    rows.iter_mut().filter(|(name, _)| name == "hip").for_each(|(_, row)| *row -= 40.0);
    let text: Vec<String> = rows.iter().map(|(name, row)| format!("{name}={row}")).collect();
    let given = drafted(&house, json!({"class": "guide", "marks": text.join(",")}));
    let hip = |found: &Value| found["marks"]["hip"].as_f64().unwrap();
    assert!((hip(&guessed) - hip(&given) - 40.0).abs() < 10.0, "{} {}", hip(&guessed), hip(&given));
    let told = house.post("/api/draft", &json!({"picture": PICTURE, "marks": "hip=9,chin=10"}));
    assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
    // Rows alone keep the drawing's proportions: there are no landmarks to ask for.
    let as_drawn = drafted(&house, json!({"rows": 20, "marks": ""}));
    assert_eq!((&as_drawn["table"]["rows"], &as_drawn["marks"]), (&json!(20), &json!({})));
}

/// White cloth shut in by the figure on white ground: colour alone cannot tell, so the page asks.
#[test]
fn a_pale_area_is_asked_about_and_the_answer_is_heard() {
    let folder = tempfile::tempdir().unwrap();
    let white = image::Rgba([252, 252, 252, 255]);
    let mut pixels = image::RgbaImage::from_pixel(300, 500, white);
    let mut fill = |x: std::ops::Range<u32>, y: std::ops::Range<u32>, colour: [u8; 4]| {
        y.for_each(|y| x.clone().for_each(|x| pixels.put_pixel(x, y, image::Rgba(colour))));
    };
    fill(60..240, 40..460, [30, 60, 140, 255]);
    fill(110..190, 150..330, [252, 252, 252, 255]);
    pixels.save(folder.path().join(PICTURE)).unwrap();
    let house = House { page: page(&folder.path().join(PICTURE)), folder };
    let asked = drafted(&house, json!({"rows": 20}));
    let areas = asked["areas"].as_array().unwrap();
    assert_eq!(areas.len(), 1, "{asked}");
    let near = |field: &str, wanted: f64| (areas[0][field].as_f64().unwrap() - wanted).abs() <= 6.0;
    assert!(
        near("x", 110.0) && near("y", 150.0) && near("width", 80.0) && near("height", 180.0),
        "{areas:?}"
    );
    let beads = |found: &Value| found["table"]["count"]["beads"].as_u64().unwrap();
    let at = areas[0]["at"].clone();
    let cloth = drafted(&house, json!({"rows": 20, "cloth": [at]}));
    let ground = drafted(&house, json!({"rows": 20, "ground": [at]}));
    assert!(beads(&cloth) > beads(&ground) + 20, "{} {}", beads(&cloth), beads(&ground));
    assert_eq!(cloth["areas"][0]["taken"], "cloth");
    assert_eq!(ground["areas"][0]["taken"], "ground");
}

/// The figure that is saved from these wishes.
fn saved(house: &House, picture: &str, mut wishes: Value) -> String {
    (wishes["picture"], wishes["save"]) = (picture.into(), "saved.figure.toml".into());
    let told = house.post("/api/draft/save", &wishes);
    assert_eq!(told.status, StatusCode::OK, "{}", told.text());
    house.text("saved.figure.toml")
}

/// What the command line saves of the same.
fn saved_by_command(house: &House, picture: &str, options: &[&str]) -> String {
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_smallcast"));
    let target = house.path("saved.figure.toml");
    std::fs::remove_file(&target).unwrap();
    command.arg("draft").arg(house.path(picture)).args(options).arg("--save").arg(&target);
    let done = command.output().unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    house.text("saved.figure.toml")
}

/// A figure in bead proportions on white paper, seen aslant on a dark table.
fn sheet_on_a_table(file: &std::path::Path) {
    let mut pixels = image::RgbaImage::from_pixel(500, 640, image::Rgba([96, 66, 46, 255]));
    let bands = [
        (90..200, [70, 40, 25]),
        (200..290, [235, 190, 160]),
        (290..430, [30, 60, 140]),
        (430..540, [40, 45, 50]),
    ];
    for (x, y, pixel) in pixels.enumerate_pixels_mut() {
        // The sheet leans: its sides run from 60 to 440 pixels, 30 farther left at its foot.
        let lean = (y / 20).min(30);
        let on_sheet = (40..600).contains(&y) && (90 - lean..410 + lean).contains(&x);
        let band = bands.iter().find(|(rows, _)| rows.contains(&y) && (190..310).contains(&x));
        match band {
            Some((_, [r, g, b])) => *pixel = image::Rgba([*r, *g, *b, 255]),
            None if on_sheet => *pixel = image::Rgba([242, 240, 236, 255]),
            None => {}
        }
    }
    pixels.save(file).unwrap();
}

#[test]
fn a_part_of_the_picture_and_the_sheets_corners_are_saved_as_by_the_command() {
    let house = house();
    let crop = json!([60, 20, 480, 770]);
    let found = drafted(&house, json!({"crop": crop}));
    let used = found["used"].as_array().unwrap();
    assert!(used[0].as_u64().unwrap() >= 60 && used[1].as_u64().unwrap() >= 20, "{used:?}");
    assert_eq!((&found["sheet"], &found["people"]), (&Value::Null, &json!([])));
    let page = saved(&house, PICTURE, json!({"crop": crop}));
    assert_eq!(page, saved_by_command(&house, PICTURE, &["--crop", "60,20,480,770"]));

    sheet_on_a_table(&house.path("sheet.png"));
    let house = House { page: page_on(&house, "sheet.png"), ..house };
    let told = house.post("/api/draft", &json!({"picture": "sheet.png"})).json();
    assert_eq!(told["sheet"].as_array().map(Vec::len), Some(4), "the sheet is found: {told}");
    let given = json!([[95, 45], [405, 45], [425, 590], [70, 590]]);
    let told = house.post("/api/draft", &json!({"picture": "sheet.png", "corners": given})).json();
    assert_eq!(told["sheet"], json!([[95.0, 45.0], [405.0, 45.0], [425.0, 590.0], [70.0, 590.0]]), "{told}");
    std::fs::remove_file(house.path("saved.figure.toml")).unwrap();
    let page = saved(&house, "sheet.png", json!({"corners": given}));
    assert_eq!(page, saved_by_command(&house, "sheet.png", &["--corners", "95,45,405,45,425,590,70,590"]));
    assert!(page.contains("corners = "), "{page}");
}

#[test]
fn corners_of_no_sheet_are_refused_in_words() {
    let house = house();
    for (corners, why) in [
        (json!([[0, 0], [100, 100], [200, 200], [0, 400]]), "on one line"),
        (json!([[0, 0], [0, 1], [200, 200], [0, 400]]), "nearly the same point"),
        (json!([[0, 0], [1e9, 0], [200, 200], [0, 400]]), "farther out"),
    ] {
        let told = house.post("/api/draft", &json!({"picture": PICTURE, "corners": corners}));
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(told.text().contains(why), "{}", told.text());
    }
}

#[test]
fn of_several_people_the_one_that_is_chosen_is_drafted() {
    let house = house();
    std::fs::copy(demo().join("family.png"), house.path("family.png")).unwrap();
    let house = House { page: page_on(&house, "family.png"), ..house };
    let ask = |wishes: Value| {
        let told = house.post("/api/draft", &wishes);
        assert_eq!(told.status, StatusCode::OK, "{}", told.text());
        told.json()
    };
    let all = ask(json!({"picture": "family.png"}));
    let people = all["people"].as_array().unwrap().clone();
    assert_eq!(people.len(), 6, "{people:?}");
    for at in [2, 4] {
        let one = ask(json!({"picture": "family.png", "person": at}));
        let middle = one["used"][0].as_f64().unwrap() + one["used"][2].as_f64().unwrap() / 2.0;
        let (left, width) = (people[at][0].as_f64().unwrap(), people[at][2].as_f64().unwrap());
        assert!((left..left + width).contains(&middle), "{at}: {}", one["used"]);
        assert_eq!(one["people"], json!([]));
    }
    let told = house.post("/api/draft", &json!({"picture": "family.png", "person": 6}));
    assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
}

fn page_on(house: &House, picture: &str) -> smallcast::page::Page {
    page(&house.path(picture))
}

#[test]
fn a_draft_is_saved_under_a_new_name_in_the_folder_and_nowhere_else() {
    let house = house();
    std::fs::write(house.path("there.figure.toml"), "mine").unwrap();
    let names = [
        "../out.figure.toml",
        "/elsewhere/out.figure.toml",
        "sub/out.figure.toml",
        "out.toml",
        "out.figure.toml/",
        "",
        ".figure.toml",
        "a\u{0}.figure.toml",
        "a\nb.figure.toml",
        "..",
        "there.figure.toml",
        "b\\c.figure.toml",
    ];
    for name in names {
        let told = house.post("/api/draft/save", &json!({"picture": PICTURE, "save": name}));
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}: {}", told.text());
    }
    assert_eq!(house.text("there.figure.toml"), "mine");
    assert_eq!(std::fs::read_dir(house.folder.path()).unwrap().count(), 3);
}

/// Only the picture the page was started on is one here.
#[test]
fn other_pictures_cannot_be_asked_for() {
    let house = house();
    for name in ["lamplighter.png", "../baker.png", "/etc/passwd", ""] {
        assert_eq!(house.get(&format!("/api/picture?file={name}")).status, StatusCode::NOT_FOUND, "{name}");
        for path in ["/api/draft", "/api/draft/save"] {
            let told = house.post(path, &json!({"picture": name, "save": "x.figure.toml"}));
            assert_eq!(told.status, StatusCode::NOT_FOUND, "{name}");
        }
    }
}

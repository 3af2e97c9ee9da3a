//! What the table says of a figure.

use hyper::StatusCode;
use serde_json::{Value, json};
use smallcast::tray::Tray;

use crate::visitor::{ANNA, House, demo, page, until};

const FILE: &str = "anna.figure.toml";
const MILK: &str = "milk-carter.figure.toml";

/// A figure with doubts and its picture in a folder of their own; the demo's has none left.
fn doubtful_house() -> House {
    let folder = tempfile::tempdir().unwrap();
    for (from, name) in [(demo().join("../../fixtures/page"), MILK), (demo(), "milk-carter.png")] {
        std::fs::copy(from.join(name), folder.path().join(name)).unwrap();
    }
    House { page: page(&folder.path().join(MILK)), folder }
}

fn read_table(house: &House) -> Value {
    until(|| Some(house.table(MILK)).filter(|table| table["reference"]["pending"].is_null()))
}

#[test]
fn doubts_come_worst_first_and_settled_ones_are_counted() {
    let house = House::of_anna();
    let table = house.table(FILE);
    let doubts = table["doubts"].as_array().unwrap();
    let places: Vec<_> =
        doubts.iter().map(|d| (d["row"].as_u64().unwrap(), d["column"].as_u64().unwrap())).collect();
    assert_eq!(places, [(1, 1), (0, 0)]);
    assert_eq!((&table["settled"], &table["asked"]), (&json!(1), &json!(3)));
    for doubt in doubts {
        let others = doubt["others"].as_array().unwrap();
        assert!((1..=4).contains(&others.len()));
        assert!(others.iter().all(|other| other["bead"] != doubt["bead"]), "{doubt}");
    }
    let version = table["version"].as_str().unwrap();
    let kept = house.edit(version, "keep 2,2").json();
    assert_eq!(
        (&kept["settled"], &kept["asked"], kept["doubts"].as_array().unwrap().len()),
        (&json!(2), &json!(3), 1)
    );
}

/// Anna in a coat of petal and poppy: a patch of three beads that may be petal, one speck that may be nothing, and a
/// colour whose bead is in doubt.
fn coat() -> String {
    let line = |mark: &str, bead: &str, more: &str| {
        format!("[[legend]]\nmark = \"{mark}\"\nbead = \"{bead}\"\n{more}by = \"match\"\n\n")
    };
    let legend = [
        line("p", "poppy", "aim = [47.0, 60.0, 35.0]\nconfidence = 0.95\n"),
        line("q", "petal", "aim = [80.0, 12.0, 12.0]\nconfidence = 0.4\n"),
    ];
    let grids = "beads = \"\"\"\npppp\npppp\nqq.p\n\"\"\"\nsure = \"\"\"\n33JJ\n3JJJ\nJJ.2\n\"\"\"\n\
                 why = \"\"\"\nbb..\nb...\n....\n\"\"\"\nor = \"\"\"\nqqpp\nqppp\nqq..\n\"\"\"\n";
    format!(
        "format = 1\nname = \"Anna\"\n\n{}[why]\nb = \"belt\"\n\n[[part]]\nname = \"body\"\n{grids}",
        legend.concat()
    )
}

#[test]
fn the_maker_is_asked_once_for_a_patch_and_once_for_a_colour() {
    let house = House::with(&[(FILE, &coat())], FILE);
    let table = house.table(FILE);
    let asked: Vec<_> = table["decisions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|d| (d["asks"].as_str().unwrap(), d["bead"].as_str().unwrap(), &d["pegs"], &d["set_by"]))
        .collect();
    let patch = ("what lies", "poppy", &json!([[0, 0], [0, 1], [1, 0]]), &json!("belt"));
    let colour = ("which bead", "petal", &json!([[2, 0], [2, 1]]), &Value::Null);
    let speck = ("what lies", "poppy", &json!([[2, 3]]), &Value::Null);
    assert_eq!(asked, [patch, colour, speck]);
    // Anna is all torso to whoever reads her shape; no picture tells what her coat was read from.
    assert!(table["decisions"][0]["place"].is_string(), "{}", table["decisions"][0]);
    assert_eq!(table["why"], json!({}), "this program has no detector of belts");
    let why = |at: usize| table["decisions"][at]["why"].as_str();
    assert_eq!((why(0), why(2)), (None, None));
    assert!(why(1).is_some_and(|why| why.contains("from petal")), "{:?}", why(1));
    let other = |at: usize| &table["decisions"][at]["others"][0]["bead"];
    assert_eq!((other(0), other(2)), (&json!("petal"), &Value::Null));
    assert!(other(1).is_string() && *other(1) != json!("petal"));
    assert_eq!((&table["beads"][0][0]["w"], &table["beads"][0][2]["w"]), (&json!("belt"), &Value::Null));
    // One answer settles each.
    let mut version = table["version"].as_str().unwrap().to_owned();
    for (line, left) in [("place 1,1 1,2 2,1 petal", 2), ("keep petal", 1), ("lift 3,4", 0)] {
        let told = house.edit(&version, line).json();
        assert_eq!(told["decisions"].as_array().map(Vec::len), Some(left), "{line}: {}", told["decisions"]);
        version = told["version"].as_str().unwrap().to_owned();
    }
    let text = house.text(FILE);
    assert!(!text.contains("why = \"\"\""), "what was laid by hand was set by no detector: {text}");
}

/// A lone bead is asked about only where it is likely wrong; a colour where all its beads together may cost one.
#[test]
fn what_is_of_no_consequence_is_not_asked_and_can_be_pointed_at() {
    let row = "q.".repeat(14);
    let text = coat()
        .replace("pppp\npppp\nqq.p", &row)
        .replace("33JJ\n3JJJ\nJJ.2", &format!("2.{}", "3.".repeat(13)))
        .replace("bb..\nb...\n....", &"..".repeat(14))
        .replace("qqpp\nqppp\nqq..", &"..".repeat(14));
    let table = House::with(&[(FILE, &text)], FILE).table(FILE);
    let asked: Vec<_> = table["decisions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|d| (d["asks"].as_str().unwrap(), d["pegs"].as_array().unwrap().len()))
        .collect();
    assert_eq!(asked, [("which bead", 14), ("what lies", 1)]);
    assert_eq!(table["doubts"].as_array().map(Vec::len), Some(14));
}

#[test]
fn a_question_says_which_part_it_is_about() {
    let text = coat().replace("name = \"body\"", "name = \"left-arm\"")
        + "\n[[part]]\nname = \"wool cape\"\nat = [0, 0]\nbeads = \"\"\"\np\n\"\"\"\n";
    let table = House::with(&[(FILE, &text)], FILE).table(FILE);
    assert_eq!(table["decisions"][1]["place"], json!("left arm"), "{}", table["decisions"]);
}

/// Of a tray of the maker's own: beads that are not in it can be laid, in their own colour, and are short.
#[test]
fn beads_that_are_not_owned_are_tried_and_short() {
    let tray =
        Tray::parse("tray.csv", b"name,hex,count\ncoal,1f2023,9\nbone,e8dfc8,9\nrust,9a4a2a,0\n").unwrap();
    let house = House::of_anna_with(tray);
    let table = house.table(FILE);
    let line = |table: &Value, list: &str, bead: &str| {
        table[list].as_array().unwrap().iter().find(|line| line["bead"] == bead).cloned().unwrap()
    };
    assert_eq!(line(&table, "tray", "coal")["tried"], json!(false));
    assert_eq!(line(&table, "tray", "rust")["tried"], json!(true));
    let poppy = line(&table, "tray", "poppy");
    assert_eq!((&poppy["tried"], &poppy["owned"]), (&json!(true), &json!(0)));
    let coal = line(&table, "legend", "coal");
    assert_eq!((&coal["needed"], &coal["left"], &coal["tried"]), (&json!(2), &json!(7), &json!(false)));
    let told = house.edit(table["version"].as_str().unwrap(), "place 1,1 poppy").json();
    assert!(told["said"].as_str().unwrap().contains("only on trial"), "{}", told["said"]);
    let laid = line(&told, "legend", "poppy");
    assert_eq!((&laid["tried"], &laid["short"], &laid["hex"]), (&json!(true), &json!(1), &poppy["hex"]));
    assert_eq!(line(&told, "legend", "coal")["left"], json!(8));
    assert_eq!(told["count"]["short"], json!([{"bead": "poppy", "needed": 1, "owned": 0}]));
    let swapped = house.edit(told["version"].as_str().unwrap(), "swap bone poppy by-hand").json();
    assert_eq!(line(&swapped, "legend", "poppy")["hex"], poppy["hex"]);
}

#[test]
fn the_whole_of_a_figure_lies_on_the_table() {
    let house = doubtful_house();
    let table = read_table(&house);
    assert_eq!((&table["rows"], &table["columns"]), (&json!(24), &json!(13)));
    let rows = table["beads"].as_array().unwrap();
    assert!(rows.iter().all(|row| row.as_array().unwrap().len() == 13) && rows.len() == 24);
    let beads: Vec<&Value> =
        rows.iter().flat_map(|row| row.as_array().unwrap()).filter(|bead| !bead.is_null()).collect();
    assert_eq!(table["count"]["beads"], json!(beads.len()));
    let needed: u64 =
        table["legend"].as_array().unwrap().iter().map(|line| line["needed"].as_u64().unwrap()).sum();
    assert_eq!(needed, beads.len() as u64);
    assert_eq!(table["zones"][2], json!({"zone": "torso", "first": 6, "rows": 8}));
    for eyes in ["grey", "protan", "deutan", "tritan"] {
        let seen = table["vision"][eyes].as_object().unwrap();
        assert_eq!(seen.len(), table["tray"].as_array().unwrap().len());
    }
    let grey = table["vision"]["grey"]["poppy"].as_str().unwrap();
    assert!(grey[..2] == grey[2..4] && grey[2..4] == grey[4..], "{grey} is no grey");
    assert_eq!(table["guide"]["beads"].as_array().unwrap().len(), 24);
    assert!(table["findings"].as_array().unwrap().iter().all(|finding| finding["rule"].is_string()));
}

/// The demo's picture, drafted now: the figure and what is read in its picture are of one making.
fn drafted_house() -> House {
    let folder = tempfile::tempdir().unwrap();
    std::fs::copy(demo().join("milk-carter.png"), folder.path().join("milk-carter.png")).unwrap();
    let house = House { page: page(&folder.path().join("milk-carter.png")), folder };
    let save = json!({"picture": "milk-carter.png", "class": "guide", "save": MILK});
    let told = house.post("/api/draft/save", &save);
    assert_eq!(told.status, StatusCode::OK, "{}", told.text());
    House { page: page(&house.path(MILK)), ..house }
}

/// The windows lie on the picture that is served, beads on their drawing.
#[test]
fn first_paint_waits_for_no_reading_and_windows_follow() {
    let house = drafted_house();
    let first = house.table(MILK);
    assert_eq!(first["reference"], json!({"pending": true}));
    let table = read_table(&house);
    let told = house.get(&format!("/api/reference?file={MILK}"));
    assert_eq!((told.status, told.header("content-type")), (StatusCode::OK, "image/png"));
    let picture = image::load_from_memory(&told.body).unwrap().to_rgb8();
    let (width, height) =
        (table["reference"]["width"].as_u64().unwrap(), table["reference"]["height"].as_u64().unwrap());
    assert_eq!((u64::from(picture.width()), u64::from(picture.height())), (width, height));
    let hex_of = |mark: &Value| {
        let line =
            table["legend"].as_array().unwrap().iter().find(|line| line["mark"] == *mark).unwrap().clone();
        u32::from_str_radix(line["hex"].as_str().unwrap(), 16).unwrap()
    };
    let beads = table["beads"].as_array().unwrap();
    let columns = beads[0].as_array().unwrap().len();
    // The share of beads whose window, or the one so many rows below it, shows their colour in its middle.
    let alike = |below: usize| {
        let (mut alike, mut all) = (0, 0);
        for (row, column) in (0..beads.len()).flat_map(|row| (0..columns).map(move |column| (row, column))) {
            let (bead, window) = (&beads[row][column], &table["reference"]["windows"][row + below][column]);
            let (Some(mark), Some(window)) = (bead.get("m"), window.as_array()) else { continue };
            let [x, y, w, h] = [0, 1, 2, 3].map(|at| window[at].as_f64().unwrap());
            assert!(x >= -w && y >= -h && x <= width as f64 && y <= height as f64, "{window:?}");
            let (x, y) = ((x + w / 2.0) as u32, (y + h / 2.0) as u32);
            let seen = picture.get_pixel(x.min(picture.width() - 1), y.min(picture.height() - 1)).0;
            let bead = hex_of(mark).to_be_bytes();
            let apart: f64 =
                (0..3).map(|c| (f64::from(seen[c]) - f64::from(bead[c + 1])).powi(2)).sum::<f64>().sqrt();
            // Far below the distance of two colours of this figure, far above that of a bead to its paint.
            alike += usize::from(apart < 70.0);
            all += 1;
        }
        100 * alike / all
    };
    // Eyes, marks and narrow sides are set as whole beads and need not fill the middle.
    let (own, other) = (alike(0), alike(1));
    assert!(own >= 80 && other + 15 <= own, "{own} % show their bead, {other} % the bead above");
}

/// A row set by hand above the head moves all beads down: windows and runners-up must stay with their beads.
#[test]
fn windows_stay_with_their_beads_when_the_grid_grows() {
    let house = doubtful_house();
    let before = read_table(&house);
    let version = before["version"].as_str().unwrap();
    let told = house.post("/api/edit", &json!({"file": MILK, "version": version, "do": "place 0,0 coal"}));
    assert_eq!(told.status, StatusCode::OK, "{}", told.text());
    assert_eq!((&told.json()["rows"], &told.json()["columns"]), (&json!(25), &json!(14)));
    let after = read_table(&house);
    for (row, column) in [(4, 6), (10, 8), (16, 5), (22, 9)] {
        let window = |table: &Value, row: usize, column: usize| {
            table["reference"]["windows"][row][column][1].as_f64().unwrap_or(f64::NAN)
        };
        let (one, other) = (window(&before, row, column), window(&after, row + 1, column + 1));
        assert!((one - other).abs() < 15.0, "row {row}: {one} became {other}");
    }
}

/// An empty peg that the drawing nearly fills is asked about, and no more once the maker keeps it empty.
#[test]
fn empty_pegs_may_be_doubts_and_can_be_settled() {
    let house = doubtful_house();
    let table = read_table(&house);
    let empty: Vec<&Value> =
        table["doubts"].as_array().unwrap().iter().filter(|doubt| doubt["bead"].is_null()).collect();
    assert!(!empty.is_empty(), "the fixture has some");
    let (row, column) = (empty[0]["row"].as_u64().unwrap(), empty[0]["column"].as_u64().unwrap());
    assert!(empty[0]["others"][0]["bead"].is_string());
    let line = format!("keep {},{}", row + 1, column + 1);
    let body = json!({"file": MILK, "version": table["version"], "do": line});
    let after = house.post("/api/edit", &body).json();
    let is_there = |doubt: &Value| doubt["row"] == row && doubt["column"] == column;
    assert!(!after["doubts"].as_array().unwrap().iter().any(is_there));
    let settled = table["settled"].as_u64().unwrap() + 1;
    assert_eq!((&after["settled"], &after["asked"]), (&json!(settled), &table["asked"]));
}

#[test]
fn a_picture_in_which_nothing_is_found_is_shown_all_the_same() {
    let text = ANNA.replace("name = \"Anna\"", "name = \"Anna\"\nreference = { picture = \"plain.png\" }");
    let house = House::with(&[(FILE, &text)], FILE);
    image::RgbaImage::from_pixel(300, 400, image::Rgba([240, 240, 240, 255]))
        .save(house.path("plain.png"))
        .unwrap();
    let table = until(|| Some(house.table(FILE)).filter(|table| table["reference"]["pending"].is_null()));
    assert_eq!((&table["reference"]["width"], &table["reference"]["height"]), (&json!(300), &json!(400)));
    assert!(table["reference"]["windows"][0][0].is_null());
    assert!(table["reference_note"].as_str().unwrap().contains("plain.png"), "{}", table["reference_note"]);
    std::fs::write(house.path("plain.png"), "this is no picture").unwrap();
    let table = until(|| Some(house.table(FILE)).filter(|table| table["reference"]["pending"].is_null()));
    assert!(table["reference"].is_null());
    assert!(table["reference_note"].as_str().unwrap().contains("not a picture"));
}

#[test]
fn a_bead_that_runs_out_is_counted() {
    let house = House::of_anna();
    let tray =
        smallcast::tray::Tray::parse("mine", b"name,hex,count\ncoal,1f2023,1\nbone,e8e0d0,\n").unwrap();
    let page = smallcast::page::Page::new(
        &house.path(FILE),
        tray,
        smallcast::page::Wishes::default(),
        crate::visitor::PORT,
    );
    let house = House { page: page.unwrap(), folder: house.folder };
    let table = house.table(FILE);
    assert_eq!(table["count"], json!({"beads": 6, "short": [{"bead": "coal", "needed": 2, "owned": 1}]}));
    let coal = &table["legend"][0];
    assert_eq!((&coal["needed"], &coal["owned"], &coal["short"]), (&json!(2), &json!(1), &json!(1)));
    assert!(table["legend"][1]["owned"].is_null());
}

#[test]
fn a_shelf_shows_every_figure_and_hides_none_for_a_broken_one() {
    let house = House::with(
        &[(FILE, ANNA), ("zoe.figure.toml", "format = 1\nbroken"), ("notes.txt", "no figure")],
        ".",
    );
    let shelf = house.get("/api/shelf").json();
    let figures = shelf["figures"].as_array().unwrap();
    assert_eq!(figures.len(), 2);
    assert_eq!(figures[0]["look"], json!(["cc", "bb", "bb"]));
    assert_eq!((&figures[0]["doubts"], &figures[0]["settled"]), (&json!(1), &json!(1)));
    assert_eq!(figures[0]["colours"].as_object().unwrap().len(), 2);
    assert!(figures[1]["why"].as_str().unwrap().contains("line 2"));
    assert_eq!(house.get("/api/start").json()["kind"], "shelf");
}

#[test]
fn a_sheet_and_a_picture_come_as_the_command_line_makes_them() {
    let house = House::of_anna();
    let sheet = house.post("/api/sheet", &json!({"file": FILE, "paper": "letter", "pitch": "2.6mm"}));
    assert_eq!((sheet.status, sheet.header("content-type")), (StatusCode::OK, "application/pdf"));
    assert!(sheet.body.starts_with(b"%PDF-"));
    let shown = house.post("/api/show", &json!({"file": FILE, "fused": true}));
    assert_eq!(shown.header("content-type"), "image/png");
    assert!(image::load_from_memory(&shown.body).is_ok());
    for body in [json!({"file": FILE, "paper": "a5"}), json!({"file": FILE, "pitch": "1mm"})] {
        let told = house.post("/api/sheet", &body);
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", told.text());
    }
}

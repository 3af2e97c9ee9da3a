//! `smallcast measure` on drawn trials.

use std::fs;

use serde_json::Value;

use crate::measure::{Bench, json, out, refusal, said};

/// A document without its seconds, which are the clock's.
fn timeless(mut document: Value) -> Value {
    let strip = |part: &mut Value| part.as_object_mut().unwrap().remove("seconds").unwrap();
    strip(&mut document["all"]);
    document["manners"].as_array_mut().unwrap().iter_mut().for_each(|part| drop(strip(part)));
    document["drafts"].as_array_mut().unwrap().iter_mut().for_each(|part| drop(strip(part)));
    document
}

#[test]
fn the_json_document_has_every_draft_in_order_and_the_same_each_time() {
    let bench = Bench::new();
    let asked = [
        "--figure",
        "river-swimmer",
        "--figure",
        "ball-toddler",
        "--manner",
        "shapes",
        "--seeds",
        "2",
        "--baseline",
    ];
    let arguments: Vec<&str> = asked.into_iter().chain(["--json"]).collect();
    let document = timeless(json(&bench.measure(&arguments).success().stderr_eq("")));
    assert_eq!(document["format"], 1);
    let drafts = document["drafts"].as_array().unwrap();
    let order: Vec<(&str, u64)> =
        drafts.iter().map(|d| (d["figure"].as_str().unwrap(), d["seed"].as_u64().unwrap())).collect();
    assert_eq!(order, [("ball-toddler", 0), ("ball-toddler", 1), ("river-swimmer", 0), ("river-swimmer", 1)]);
    for draft in drafts {
        assert!(draft["manner"] == "shapes" && draft["failed"].is_null());
        // Clean flat shapes are what drafting does best; a score of another figure's beads is far below.
        assert!(draft["right"].as_f64().unwrap() > 0.9, "{draft}");
        assert!(draft["baseline"]["majority"].is_u64() && draft["baseline"]["box_average"].is_u64());
    }
    let mean = |of: &str| drafts.iter().map(|d| d[of].as_f64().unwrap()).sum::<f64>() / 4.0;
    for part in [&document["all"], &document["manners"][0]] {
        assert_eq!(part["drafts"], 4);
        for of in ["right", "mend", "overlap", "difference"] {
            assert!((part[of].as_f64().unwrap() - mean(of)).abs() < 1e-9, "{of}");
        }
    }
    assert_eq!(document["manners"].as_array().unwrap().len(), 1);
    assert_eq!(document, timeless(json(&bench.measure(&arguments).success())));
}

#[test]
fn the_table_fits_eighty_columns_and_names_the_next_command() {
    let bench = Bench::new();
    let arguments = [
        "--figure",
        "river-swimmer",
        "--manner",
        "marker",
        "--manner",
        "shapes",
        "--seeds",
        "1",
        "--baseline",
    ];
    let answer = bench.measure(&arguments).success();
    let text = out(&answer);
    assert!(text.starts_with("1 known figure in 2 manners, seed 0: 2 drafts\n"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80) && !text.contains('\u{1b}'), "{text}");
    let begins = |word: &str| text.lines().filter(|line| line.starts_with(word)).count();
    // Each in the table of scores and in that of the plain methods.
    assert_eq!((begins("shapes "), begins("marker "), begins("all "), begins("photo ")), (2, 2, 2, 0));
    assert_eq!(
        said(&answer),
        "next: smallcast measure --manner marker --manner shapes --figure river-swimmer --seeds 1 --picture reliability.png\n"
    );
}

#[test]
fn unknown_names_are_refused_with_those_there_are() {
    let bench = Bench::new();
    let manner = refusal(bench.measure(&["--manner", "etching"]));
    assert!(manner.contains("etching") && manner.contains("cut-out, small, crayon"), "{manner}");
    let figure = refusal(bench.measure(&["--figure", "nobody"]));
    assert!(figure.contains("nobody") && figure.contains("river-swimmer"), "{figure}");
    assert!(refusal(bench.measure(&["--seeds", "0"])).contains("--seeds"));
    assert!(refusal(bench.measure(&[".", "--manner", "photo"])).contains("--manner"));
}

#[test]
fn drawings_are_kept_with_their_drafts_and_never_written_over_unasked() {
    let bench = Bench::new();
    let arguments = ["--figure", "ball-toddler", "--manner", "shapes", "--manner", "small", "--seeds", "1"];
    let kept: Vec<&str> = arguments.into_iter().chain(["--drawings", "trials"]).collect();
    bench.measure(&kept).success();
    let names = [
        "ball-toddler-shapes-0.draft.png",
        "ball-toddler-shapes-0.png",
        "ball-toddler-small-0.draft.png",
        "ball-toddler-small-0.jpg",
    ];
    assert_eq!(bench.files("trials"), names);
    assert!(fs::read(bench.path("trials/ball-toddler-small-0.jpg")).unwrap().starts_with(&[0xff, 0xd8]));
    assert!(image::open(bench.path("trials/ball-toddler-shapes-0.png")).is_ok());
    fs::write(bench.path("trials/ball-toddler-small-0.jpg"), "mine").unwrap();
    fs::remove_file(bench.path("trials/ball-toddler-shapes-0.png")).unwrap();
    assert!(refusal(bench.measure(&kept)).contains("already exists"));
    assert_eq!(fs::read(bench.path("trials/ball-toddler-small-0.jpg")).unwrap(), b"mine");
    assert_eq!(bench.files("trials").len(), 3, "nothing is written where one is in the way");
    let again: Vec<&str> = kept.iter().copied().chain(["--replace"]).collect();
    bench.measure(&again).success();
    assert_eq!(bench.files("trials"), names);
    fs::write(bench.path("file"), "").unwrap();
    let file: Vec<&str> = arguments.into_iter().chain(["--drawings", "file"]).collect();
    assert!(refusal(bench.measure(&file)).contains("not a folder"));
}

#[test]
fn sketches_are_a_row_of_their_own_beside_what_two_designs_differ_by() {
    let bench = Bench::new();
    let asked =
        ["--figure", "harbour-child", "--figure", "ball-toddler", "--manner", "sketch", "--manner", "shapes"];
    let arguments: Vec<&str> = asked.into_iter().chain(["--seeds", "1"]).collect();
    let text = out(&bench.measure(&arguments).success());
    assert!(text.starts_with("1 known figure in 1 manner, seed 0, and 1 sketch: 2 drafts\n"), "{text}");
    assert!(text.lines().any(|line| line.starts_with("sketch ")) && text.contains("designs"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let document =
        json(&bench.measure(&arguments.iter().copied().chain(["--json"]).collect::<Vec<_>>()).success());
    let drafts = document["drafts"].as_array().unwrap();
    assert!(drafts[0]["designs_apart"].is_null() && drafts[0]["mend"].is_u64());
    let sketch = &drafts[1];
    assert!(sketch["figure"] == "harbour-child" && sketch["manner"] == "sketch" && sketch["seed"].is_null());
    let to: Vec<f64> =
        sketch["mend_to_designs"].as_array().unwrap().iter().map(|mend| mend.as_f64().unwrap()).collect();
    assert_eq!(to.len(), 2);
    assert_eq!(sketch["mend"].as_f64().unwrap(), (to[0] + to[1]) / 2.0);
    assert!(sketch["designs_apart"].as_u64().unwrap() > 0);
    assert!(sketch["fitted"] == true && drafts[0]["fitted"].is_null());
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("but for coal-carter and ferry-woman"), "{text}");
    let no_drawing = refusal(bench.measure(&["--manner", "sketch", "--figure", "butcher"]));
    assert!(no_drawing.contains("butcher") && no_drawing.contains("harbour-child"), "{no_drawing}");
    assert!(refusal(bench.measure(&["--manner", "photo", "--figure", "harbour-child"])).contains("--figure"));
}

#[test]
fn a_detector_is_worth_what_its_absence_costs() {
    let bench = Bench::new();
    let asked = ["--figure", "harbour-child", "--without", "shoes"];
    let text = bench.measure(&asked).success().get_output().stdout.clone();
    let text = String::from_utf8(text).unwrap();
    assert!(text.contains("without shoes") && text.contains("The row of feet"), "{text}");
    let json = bench.measure(&[&asked[..], &["--json"]].concat()).success().get_output().stdout.clone();
    let document: serde_json::Value = serde_json::from_slice(&json).unwrap();
    let worth = &document["worth"][0];
    assert_eq!((&document["detector"], &worth["manner"]), (&"shoes".into(), &"sketch".into()));
    let number = |key: &str| worth[key].as_f64().unwrap();
    assert!((number("without") - number("with") - number("worth")).abs() < 1e-9);
    let unknown = refusal(bench.measure(&["--without", "hats"]));
    assert!(unknown.contains("hats") && unknown.contains("mouth"), "{unknown}");
}

#[test]
fn a_sketch_is_kept_as_it_was_drawn_beside_its_draft() {
    let bench = Bench::new();
    bench.measure(&["--figure", "harbour-child", "--manner", "sketch", "--drawings", "trials"]).success();
    assert_eq!(bench.files("trials"), ["harbour-child-sketch.draft.png", "harbour-child-sketch.jpg"]);
    let drawn = fs::read(bench.path("trials/harbour-child-sketch.jpg")).unwrap();
    let ours = concat!(env!("CARGO_MANIFEST_DIR"), "/src/trial/sketches/harbour-child.jpg");
    assert_eq!(drawn, fs::read(ours).unwrap());
}

/// A fit on few drawings, which says that it is one, and gives the same bytes again.
#[test]
fn a_fit_on_a_few_drawings_is_the_same_each_time() {
    let bench = Bench::new();
    let few = ["--figure", "ball-toddler", "--figure", "harbour-child", "--figure", "nightgown-toddler"];
    let manners = ["--manner", "shapes", "--manner", "sketch"];
    let fit = |file: &str| {
        let end = ["--fit", "--save", file];
        let arguments: Vec<&str> = few.into_iter().chain(manners).chain(end).collect();
        bench.measure(&arguments).success()
    };
    let answer = fit("one.csv");
    let text = out(&answer);
    assert!(text.contains("of 3 drawings") && text.contains("of 3 drafts of sketches"), "{text}");
    assert!(!text.contains("on the others"), "one sketch has no others: {text}");
    assert!(text.contains("of 1 drawing:") && text.contains("coal-carter, ferry-woman"), "{text}");
    assert!(said(&answer).contains("only a part"), "{}", said(&answer));
    fit("two.csv");
    let one = fs::read_to_string(bench.path("one.csv")).unwrap();
    assert_eq!(one, fs::read_to_string(bench.path("two.csv")).unwrap());
    assert!(smallcast::matching::Calibration::parse(&one).is_some());
    let kept = refusal(bench.measure(&["--figure", "coal-carter", "--fit", "--save", "three.csv"]));
    assert!(kept.contains("--fit"), "{kept}");
    assert_eq!(bench.files(".").len(), 2, "nothing is saved of a fit that failed");
}

#[test]
fn a_fit_on_sketches_judges_each_by_the_others() {
    let bench = Bench::new();
    let few = [
        "--manner",
        "sketch",
        "--figure",
        "harbour-child",
        "--figure",
        "kite-girl",
        "--figure",
        "coal-carter",
    ];
    let arguments: Vec<&str> = few.into_iter().chain(["--fit", "--save", "one.csv"]).collect();
    let text = out(&bench.measure(&arguments).success());
    let beads = |of: &str| {
        let line = text.lines().find(|line| line.contains(of)).unwrap_or_else(|| panic!("{of}: {text}"));
        line.split_whitespace().next().unwrap().parse::<usize>().unwrap()
    };
    // The same beads as are fitted; the one kept apart is not among them.
    assert_eq!(beads("each by a fit on the others"), beads("of 6 drafts of sketches"));
    assert!(beads("of 1 draft of sketches") > 0);
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
}

/// Of a photograph the sheet counts beside the beads; of a drawing without one nothing is said of sheets.
#[test]
fn a_photograph_is_measured_by_its_sheet_too() {
    let bench = Bench::new();
    let asked =
        ["--figure", "ball-toddler", "--manner", "photo", "--manner", "shapes", "--seeds", "1", "--json"];
    let document = json(&bench.measure(&asked).success());
    let manner = |name: &str| {
        let manners = document["manners"].as_array().unwrap();
        manners.iter().find(|manner| manner["manner"] == name).unwrap().clone()
    };
    let (photo, shapes) = (manner("photo"), manner("shapes"));
    assert!(photo["sheets"]["drawn"] == 1 && photo["sheets"]["found"] == 1, "{photo}");
    assert!(photo["sheets"]["corners_off"].as_f64().unwrap() < 0.01, "{photo}");
    assert_eq!(document["all"]["sheets"], photo["sheets"]);
    assert!(shapes["sheets"].is_null() && document["without_a_sheet"].is_null());
    let drafts = document["drafts"].as_array().unwrap();
    let of = |name: &str| drafts.iter().find(|draft| draft["manner"] == name).unwrap();
    assert!(of("photo")["sheet"]["found"] == true && of("shapes")["sheet"].is_null());
}

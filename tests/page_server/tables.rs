//! The table of a figure: what the page is told.

use serde_json::Value;

use crate::visitor::{House, demo, page, until};

fn demo_house() -> House {
    let folder = tempfile::tempdir().unwrap();
    for file in ["milk-carter.figure.toml", "milk-carter.png"] {
        std::fs::copy(demo().join(file), folder.path().join(file)).unwrap();
    }
    House { page: page(&folder.path().join("milk-carter.figure.toml")), folder }
}

#[test]
fn doubts_come_worst_first_and_are_counted() {
    let table = House::of_anna().table("anna.figure.toml");
    let doubts = table["doubts"].as_array().unwrap();
    let sures: Vec<f64> = doubts.iter().filter_map(|d| d["sure"].as_f64()).collect();
    assert!(sures.len() >= 2 && sures.is_sorted(), "{sures:?}");
    assert_eq!((&doubts[0]["row"], &doubts[0]["column"]), (&Value::from(1), &Value::from(1)));
    // One bead lies by hand already.
    assert_eq!(table["beads"][2][0]["h"], true);
}

#[test]
fn beads_needed_stand_beside_beads_owned() {
    let table = House::of_anna().table("anna.figure.toml");
    let coal =
        table["legend"].as_array().unwrap().iter().find(|entry| entry["bead"] == "coal").unwrap().clone();
    assert_eq!((&coal["needed"], &coal["owned"]), (&Value::from(2), &Value::from(1200)));
    assert_eq!(table["count"]["beads"], 6);
    for vision in ["grey", "protan", "deutan", "tritan"] {
        assert!(table["vision"][vision]["coal"].is_string(), "{vision}");
    }
}

#[test]
fn windows_and_runners_up_come_from_the_reference_a_little_later() {
    let house = demo_house();
    let first = house.table("milk-carter.figure.toml");
    let table = until(|| {
        let table = house.table("milk-carter.figure.toml");
        (!table["reference"]["pending"].as_bool().unwrap_or(false)).then_some(table)
    });
    assert_eq!(first["rows"], table["rows"]);
    let windows = table["reference"]["windows"].as_array().unwrap();
    assert_eq!(Value::from(windows.len()), table["rows"]);
    let (width, height) = (table["reference"]["width"].as_f64(), table["reference"]["height"].as_f64());
    let inside = windows.iter().flat_map(|row| row.as_array().unwrap()).filter(|w| !w.is_null()).all(|w| {
        let at = |i: usize| w[i].as_f64().unwrap();
        at(0) + at(2) > 0.0 && at(1) + at(3) > 0.0 && at(0) < width.unwrap() && at(1) < height.unwrap()
    });
    assert!(inside);
    let others =
        table["doubts"].as_array().unwrap().iter().filter(|d| d["others"].as_array().unwrap().len() > 1);
    assert!(others.count() > 0, "what came second is known of some");
}

//! Detectors of a sketch: what each says of itself, and that none depends on another.

use smallcast::draft::{Draft, DraftOptions};
use smallcast::sample::{DETECTORS, Supposed, detector_named};
use smallcast::tray::Tray;
use smallcast::trial::{Sketch, sketches};

fn sketch(name: &str) -> Sketch {
    let all = sketches(&Tray::embedded()).unwrap();
    all.into_iter().find(|sketch| sketch.name == name).unwrap()
}

fn draft_of(sketch: &Sketch, without: Vec<&'static str>) -> Draft {
    let supposed = Supposed { without, ..Supposed::default() };
    let options = DraftOptions { supposed, ..sketch.options() };
    sketch.draft_with(&sketch.picture().unwrap(), &options, &Tray::embedded()).expect("it is drafted")
}

/// Detectors that set a bead of a draft.
fn setters(draft: &Draft) -> Vec<&'static str> {
    let mut names: Vec<&str> =
        draft.samples.beads().iter().filter_map(|(_, _, sample)| sample.set_by).collect();
    names.sort_unstable();
    names.dedup();
    names
}

#[test]
fn each_says_what_it_finds_and_has_a_name_of_its_own() {
    for detector in DETECTORS {
        let said = [detector.what, detector.why, detector.source, detector.example, detector.limits];
        assert!(said.iter().all(|text| text.len() > 10 && text.ends_with('.')), "{detector:?}");
        assert_eq!(DETECTORS.iter().filter(|other| other.name == detector.name).count(), 1);
        assert_eq!(detector_named(detector.name).unwrap().what, detector.what);
    }
    assert!(detector_named("no such").is_none());
}

#[test]
fn a_detector_left_out_sets_no_bead_and_the_others_set_theirs() {
    let dancer = sketch("rope-dancer");
    let all = setters(&draft_of(&dancer, Vec::new()));
    assert!(all.contains(&"eyes") && all.contains(&"marks"), "{all:?}");
    let without = setters(&draft_of(&dancer, vec!["eyes"]));
    let expected: Vec<&str> = all.iter().copied().filter(|name| *name != "eyes").collect();
    // What eyes lay over may show.
    assert!(!without.contains(&"eyes") && expected.iter().all(|name| without.contains(name)), "{without:?}");
}

#[test]
fn without_any_detector_a_sketch_is_what_its_windows_show() {
    let names = DETECTORS.iter().map(|detector| detector.name).collect();
    let draft = draft_of(&sketch("kite-girl"), names);
    assert!(setters(&draft).is_empty());
    assert!(draft.samples.beads().iter().all(|(_, _, sample)| !sample.is_mark));
}

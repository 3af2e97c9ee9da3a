//! What detectors find on people by other hands: a table of drawings looked at by eye, `fixtures/worth/detectors.csv`.
//!
//! `has` says whether a drawing shows the feature to whoever looks, `found` whether a detector set a bead for it. A
//! detector is kept that finds eight of ten and makes no more than one false find in thirty; what was found by those
//! that did not stays in the table.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::{Path, PathBuf};

use rayon::prelude::*;
use smallcast::sample::detector_named;
use smallcast::tray::Tray;

use crate::{drafted, fetched, list};

/// Detector, drawing, whether it has the feature, whether that was found.
type Line = (String, String, bool, bool);

fn table() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/worth/detectors.csv")
}

/// The detectors that set beads of each drawing's draft.
fn setters(folder: &Path) -> HashMap<String, BTreeSet<&'static str>> {
    let tray = Tray::embedded();
    let all = list().into_par_iter().map(|drawing| {
        let draft = drafted(&drawing, folder, &tray).1.expect("it drafts");
        let names = draft.samples.beads().iter().filter_map(|(_, _, sample)| sample.set_by).collect();
        (format!("{}/{}", drawing.set, drawing.name), names)
    });
    all.collect()
}

/// `RENEW_WORTH=1` writes the table anew, after a look at what changed.
#[test]
#[ignore = "drafts all people to judge detectors: after a change of one"]
fn what_detectors_find_is_kept() {
    let mut rows = csv::Reader::from_path(table()).expect("the table is there");
    let kept: Vec<Line> = rows.deserialize().map(|row| row.expect("a whole line")).collect();
    let Some(folder) = fetched() else { return };
    let setters = setters(&folder);
    let again = |(name, drawing, has, found): &Line| -> Line {
        let is_there = detector_named(name).is_some();
        let found = if is_there { setters[drawing].contains(name.as_str()) } else { *found };
        (name.clone(), drawing.clone(), *has, found)
    };
    let now: Vec<Line> = kept.iter().map(again).collect();
    let mut counts: BTreeMap<&str, [usize; 4]> = BTreeMap::new();
    for (name, _, has, found) in &now {
        let [with, hits, without, false_finds] = counts.entry(name).or_default();
        let (all, of_them) = if *has { (with, hits) } else { (without, false_finds) };
        *all += 1;
        *of_them += usize::from(*found);
    }
    for (name, [with, hits, without, false_finds]) in counts {
        println!("{name}: {hits} of {with} found, {false_finds} false in {without}");
    }
    if std::env::var_os("RENEW_WORTH").is_some() {
        let mut rows = csv::Writer::from_path(table()).expect("the table can be written");
        rows.write_record(["detector", "drawing", "has", "found"]).expect("its head");
        now.iter().for_each(|line| rows.serialize(line).expect("a line"));
        return;
    }
    assert_eq!(now, kept);
}

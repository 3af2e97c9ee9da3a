//! The net under a change of drafting: every manner and every sketch at one seed, in beads to mend, beside a kept table.
//!
//! `RENEW_NET=1 cargo test --test drafting net` writes the table anew: after a look at what changed, never to get past
//! a failure.

use std::collections::BTreeMap;
use std::path::Path;

use smallcast::score::KnownFigure;
use smallcast::tray::Tray;
use smallcast::trial::{Manner, SKETCH, Trial, known_figures, sketches};

/// What is drawn: manner, figure.
type Drawn = (&'static str, String);

/// The seed of every drawing: no fit has seen it (`trial::FITTED_SEEDS`), nor any picture of the README.
const SEED: u64 = 11;

/// Figures drawn in each manner: a turned one with a prop, a plain one, one in pale cloth, one in stripes.
const FIGURES: [&str; 4] = ["lock-keeper", "market-woman", "nightgown-toddler", "oarsman"];

/// A photograph takes seconds to draw: one figure for each of the two manners.
const PHOTOGRAPHED: usize = 1;

/// Beads that a change may add to a drawing, or a share of those kept: what rounding moves here and there is no fault.
const SLACK: usize = 3;
const SHARE: f64 = 0.1;

/// And to all drawings of a manner together, as a share.
const SHARE_OF_MANNER: f64 = 0.03;

fn table() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/net/mend.csv")
}

fn kept() -> BTreeMap<(String, String), usize> {
    let mut rows = csv::Reader::from_path(table()).expect("the kept table, or RENEW_NET=1 to write it");
    rows.deserialize::<(String, String, usize)>()
        .map(|row| row.unwrap())
        .map(|(m, f, n)| ((m, f), n))
        .collect()
}

fn mend_of(figure: &KnownFigure, manner: Manner, tray: &Tray) -> usize {
    let trial = Trial { figure, manner, seed: SEED };
    trial.score(trial.draft(&trial.drawing(tray), tray).ok().as_ref(), tray).mend
}

/// Beads to mend of every drawing; of a sketch, to the nearer of its two designs.
fn now() -> Vec<(Drawn, usize)> {
    let tray = Tray::embedded();
    let figures = known_figures(&tray).unwrap();
    let named = |name: &&str| figures.iter().find(|figure| figure.name == **name).unwrap();
    let chosen: Vec<&KnownFigure> = FIGURES.iter().map(named).collect();
    let mut found = Vec::new();
    for manner in Manner::ALL {
        let is_photograph = matches!(manner, Manner::Photo | Manner::TableSheet);
        let count = if is_photograph { PHOTOGRAPHED } else { chosen.len() };
        for figure in &chosen[..count] {
            found.push(((manner.name(), figure.name.clone()), mend_of(figure, manner, &tray)));
        }
    }
    for sketch in sketches(&tray).unwrap() {
        let draft = sketch.draft(&sketch.picture().unwrap(), &tray).ok();
        let [one, other] = sketch.score(draft.as_ref(), &tray).map(|score| score.mend);
        found.push(((SKETCH, sketch.name.clone()), one.min(other)));
    }
    found
}

fn write(found: &[(Drawn, usize)]) {
    std::fs::create_dir_all(table().parent().unwrap()).unwrap();
    let mut rows = csv::Writer::from_path(table()).unwrap();
    rows.write_record(["manner", "figure", "mend"]).unwrap();
    found.iter().for_each(|((manner, figure), mend)| rows.serialize((manner, figure, mend)).unwrap());
    rows.flush().unwrap();
}

#[test]
fn no_manner_and_no_sketch_gets_worse() {
    let found = now();
    if std::env::var_os("RENEW_NET").is_some() {
        return write(&found);
    }
    let kept = kept();
    assert_eq!(kept.len(), found.len(), "the table and the drawings are not the same: renew it after a look");
    let mut worse = Vec::new();
    let mut sums: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for ((manner, figure), mend) in &found {
        let before = kept[&((*manner).to_owned(), figure.clone())];
        let sum = sums.entry(manner).or_default();
        *sum = (sum.0 + before, sum.1 + mend);
        if *mend > before + SLACK.max((SHARE * before as f64) as usize) {
            worse.push(format!("{manner} {figure}: {before} beads to mend before, {mend} now"));
        }
    }
    for (manner, (before, now)) in sums {
        if now as f64 > before as f64 * (1.0 + SHARE_OF_MANNER) + SLACK as f64 {
            worse.push(format!("{manner} in all: {before} before, {now} now"));
        }
    }
    assert!(worse.is_empty(), "{}", worse.join("\n"));
}

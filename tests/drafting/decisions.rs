//! Where to look first: doubts as decisions, each of which one answer settles.

use std::collections::BTreeSet;

use smallcast::draft::{Asks, Draft};
use smallcast::tray::Tray;
use smallcast::trial::{KnownFigure, Manner, Trial, known_figures, sketches};

fn drafts() -> Vec<Draft> {
    let tray = Tray::embedded();
    let figures = known_figures(&tray).unwrap();
    let named = |name: &str| -> &KnownFigure { figures.iter().find(|figure| figure.name == name).unwrap() };
    let drawn =
        [("oarsman", Manner::Small), ("lock-keeper", Manner::Crayon), ("market-woman", Manner::Shapes)];
    let trials = drawn.map(|(name, manner)| {
        let trial = Trial { figure: named(name), manner, seed: 5 };
        trial.draft(&trial.drawing(&tray), &tray).unwrap()
    });
    let sketches = sketches(&tray).unwrap().into_iter().take(3);
    let sketched = sketches.map(|sketch| sketch.draft(&sketch.picture().unwrap(), &tray).unwrap());
    trials.into_iter().chain(sketched).collect()
}

#[test]
fn a_decision_is_about_beads_that_lie_there_and_each_peg_is_asked_about_once() {
    for draft in drafts() {
        let decisions = draft.decisions();
        assert!(decisions.windows(2).all(|pair| pair[0].cost >= pair[1].cost), "the dearest first");
        let mut asked = BTreeSet::new();
        for decision in &decisions {
            assert!(!decision.pegs.is_empty() && decision.other != Some(decision.bead), "{decision:?}");
            assert!(
                decision.cost <= decision.pegs.len() as f64,
                "a wrong answer costs no more than its beads"
            );
            for &(row, column) in &decision.pegs {
                let bead = draft.matched.beads()[(row, column)].as_ref().expect("a bead lies there");
                assert_eq!(bead.bead, decision.bead);
                let is_new = decision.asks == Asks::WhichBead || asked.insert((row, column));
                assert!(is_new, "row {}, column {} is asked about twice", row.0, column.0);
            }
        }
    }
}

/// One question for a patch, not one for a bead: fewer by far than beads in doubt.
#[test]
fn decisions_are_far_fewer_than_beads_in_doubt() {
    let (mut decisions, mut beads) = (0, 0);
    for draft in drafts() {
        decisions += draft.decisions().len();
        let doubtful = |bead: &smallcast::matching::MatchedBead| bead.confidence.get() < 0.9;
        beads +=
            draft.matched.beads().iter().filter(|(.., bead)| bead.as_ref().is_some_and(doubtful)).count();
    }
    assert!(2 * decisions < beads, "{decisions} decisions for {beads} beads in doubt");
}

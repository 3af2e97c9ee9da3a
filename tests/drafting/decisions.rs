//! Where to look first: doubts as decisions, each of which one answer settles.

use std::collections::BTreeSet;

use smallcast::draft::{Draft, DraftOptions};
use smallcast::figure::{Asks, Decision, Instead, read, write};
use smallcast::score::KnownFigure;
use smallcast::tray::Tray;
use smallcast::trial::{Manner, Trial, known_figures, sketches};

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
            assert!(
                !decision.pegs.is_empty() && decision.instead != Instead::Bead(decision.bead),
                "{decision:?}"
            );
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

/// A decision, with how sure it is of beads; but for how sure a colour is, which a file keeps to a hundredth, and for the
/// bead that is next to it, which is the tray's to say.
fn in_words<B: Copy>(decision: &Decision<B>, name: impl Fn(B) -> String) -> String {
    let instead = match (decision.asks, decision.instead) {
        (Asks::WhichBead, _) => "another bead".into(),
        (Asks::WhatLies, Instead::Bead(bead)) => name(bead),
        (Asks::WhatLies, Instead::Empty) => "nothing".into(),
        (Asks::WhatLies, Instead::Unknown) => "anything".into(),
    };
    let sure = if decision.asks == Asks::WhatLies { decision.sure.to_string() } else { "so".into() };
    let (bead, pegs, set_by) = (name(decision.bead), &decision.pegs, decision.set_by);
    format!("{bead} or {instead} at {pegs:?}, {sure} sure, set by {set_by:?}")
}

/// Whether a hundredth does not make a decision none.
fn is_plain<B>(decision: &Decision<B>) -> bool {
    decision.asks == Asks::WhatLies || decision.cost >= 0.4 && decision.sure.get() < 0.895
}

#[test]
fn a_saved_figure_asks_what_its_draft_asked() {
    let tray = Tray::embedded();
    let (mut set_by, mut parted) = (0, 0);
    for draft in drafts() {
        let figure = draft.figure("anybody", "anybody.png", &DraftOptions::default(), &tray).unwrap();
        // Parted into a body's parts, it shows the beads of the draft, all of them and no others.
        let of_draft = draft
            .matched
            .beads()
            .map(|_, _, bead| bead.as_ref().map(|bead| tray.bead(bead.bead).name.clone()));
        let of_figure =
            figure.beads().map(|_, _, bead| bead.map(|bead| figure.entry(bead.mark).unwrap().bead.clone()));
        assert_eq!(of_figure, of_draft);
        parted += usize::from(figure.parts().len() > 1);
        let figure = read("again", &write(&figure)).unwrap();
        let (of_draft, of_file) = (draft.decisions(), figure.decisions(&tray));
        let name = |bead| tray.bead(bead).name.clone();
        let asked: BTreeSet<String> = of_draft.iter().map(|d| in_words(d, name)).collect();
        let again: BTreeSet<String> = of_file.iter().map(|d| in_words(d, str::to_owned)).collect();
        let dear = of_draft.iter().filter(|d| is_plain(d)).map(|d| in_words(d, name));
        let missing: Vec<String> = dear.filter(|words| !again.contains(words)).collect();
        assert!(missing.is_empty(), "the file lacks {missing:?} among {again:?}");
        let dear = of_file.iter().filter(|d| is_plain(d)).map(|d| in_words(d, str::to_owned));
        let added: Vec<String> = dear.filter(|words| !asked.contains(words)).collect();
        assert!(added.is_empty(), "the file asks {added:?} besides");
        set_by += of_file.iter().filter(|d| d.set_by.is_some()).count();
    }
    assert!(set_by > 0, "no detector set anything that is asked about");
    assert!(parted > 0, "none is in parts");
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

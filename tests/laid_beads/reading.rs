//! What is read of drawn photographs beside what the beads are.

use smallcast::colour::ciede2000;
use smallcast::seen_beads::{SeenBead, SeenBeads, Unreadable};

use crate::drawn::{Change, Drawn, Lit, drawn};

/// Seeds by which the constants of the reading were chosen, and those it was then tried on once.
const CHOSEN_ON: [u64; 3] = [1, 2, 3];
const TRIED_ON: [u64; 3] = [4, 5, 6];

/// Errors in CIEDE2000, each with the uncertainty stated, of the beads that were found where they lie.
fn errors(drawn: &Drawn, seen: &SeenBeads) -> Vec<(f64, f64)> {
    let at = |place: (f64, f64)| seen.beads.iter().find(|bead| lies_at(bead, place));
    let pairs = drawn.colours.iter().zip(&drawn.photograph.places);
    pairs
        .filter_map(|(is, place)| Some((is.as_ref()?, at(*place)?.colour.ok()?)))
        .map(|(is, read)| (ciede2000(*is, read.lab).0, read.uncertainty.0))
        .collect()
}

fn lies_at(bead: &SeenBead, place: (f64, f64)) -> bool {
    (bead.place.0 - place.0).hypot(bead.place.1 - place.1) < 0.5 * bead.radius
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let all: Vec<f64> = values.collect();
    all.iter().sum::<f64>() / all.len().max(1) as f64
}

/// Which part of the errors lies within so many times the uncertainty.
fn within(errors: &[(f64, f64)], times: f64) -> f64 {
    errors.iter().filter(|(error, uncertainty)| *error <= times * uncertainty).count() as f64
        / errors.len().max(1) as f64
}

/// Whether every bead was found, in reading order, and nothing else.
fn is_found(drawn: &Drawn, seen: &SeenBeads) -> bool {
    let places = &drawn.photograph.places;
    seen.beads.len() == places.len()
        && seen.beads.iter().zip(places).all(|(bead, place)| lies_at(bead, *place))
}

/// What was read of a set of photographs.
#[derive(Default)]
struct Score {
    errors: Vec<(f64, f64)>,
    photographs: usize,
    /// Photographs in which every bead was found.
    whole: usize,
}

impl Score {
    fn of(seeds: &[u64], lights: &[Lit], change: Change) -> Self {
        let mut score = Self::default();
        for (lit, seed) in lights.iter().flat_map(|lit| seeds.iter().map(move |seed| (*lit, *seed))) {
            let drawn = drawn(lit, seed, change);
            let seen = drawn.read().expect("beads are seen");
            assert_eq!(seen.patch.is_some(), !change.without_patch, "{lit:?} {seed}");
            score.photographs += 1;
            score.whole += usize::from(is_found(&drawn, &seen));
            score.errors.extend(errors(&drawn, &seen));
        }
        println!("{}", score.said());
        score
    }

    fn mean(&self) -> f64 {
        mean(self.errors.iter().map(|e| e.0))
    }

    fn said(&self) -> String {
        format!(
            "{} of {} photographs with every bead found; {} beads, mean {:.2}, within one {:.2}, within two {:.2}",
            self.whole,
            self.photographs,
            self.errors.len(),
            self.mean(),
            within(&self.errors, 1.0),
            within(&self.errors, 2.0)
        )
    }
}

/// The bound that the reading is held to.
const MOST: f64 = 3.0;

/// One photograph in so many may have a bead that is not found: a white one that lies on its side, whose edge towards the
/// light is lost in the paper. Then names and beads are not as many, and nothing is saved.
const MISSED: usize = 4;

fn assert_true(score: &Score) {
    let said = score.said();
    assert!(score.mean() <= MOST, "{said}");
    assert!(MISSED * (score.photographs - score.whole) <= score.photographs, "{said}");
    assert!((0.60..=0.80).contains(&within(&score.errors, 1.0)), "{said}");
    assert!(within(&score.errors, 2.0) >= 0.90, "{said}");
}

#[test]
fn beads_are_read_in_four_lights_as_closely_as_is_said_where_constants_were_chosen() {
    assert_true(&Score::of(&CHOSEN_ON, &Lit::ALL, Change::default()));
}

#[test]
fn beads_are_read_in_four_lights_as_closely_as_is_said_in_photographs_never_looked_at() {
    assert_true(&Score::of(&TRIED_ON, &Lit::ALL, Change::default()));
}

#[test]
fn without_a_patch_paper_is_taken_for_white_and_less_is_promised() {
    let change = Change { without_patch: true, ..Change::default() };
    let (with, without) = (drawn(Lit::Neutral, 2, Change::default()), drawn(Lit::Neutral, 2, change));
    let (with, without) = (with.read().expect("beads"), without.read().expect("beads"));
    assert!(with.patch.is_some() && without.patch.is_none());
    let stated = |seen: &SeenBeads| {
        mean(seen.beads.iter().filter_map(|bead| bead.colour.ok()).map(|colour| colour.uncertainty.0))
    };
    assert!(stated(&without) > stated(&with) + 0.3, "{} {}", stated(&with), stated(&without));
    let score = Score::of(&[1], &Lit::ALL, change);
    let said = score.said();
    assert!(within(&score.errors, 1.0) >= 0.55 && within(&score.errors, 2.0) >= 0.9, "{said}");
}

#[test]
fn see_through_and_glitter_beads_get_no_colour_and_no_other_bead_is_taken_for_one() {
    let change = Change { with_unreadable: true, ..Change::default() };
    for (lit, seed) in [(Lit::Neutral, 1), (Lit::Uneven, 3)] {
        let drawn = drawn(lit, seed, change);
        let seen = drawn.read().expect("beads are seen");
        assert!(is_found(&drawn, &seen), "{lit:?} {seed}: rows {:?}", seen.rows);
        let unreadable: Vec<_> =
            seen.beads.iter().enumerate().filter_map(|(at, bead)| Some((at, bead.colour.err()?))).collect();
        assert_eq!(unreadable, [(5, Unreadable::Clear), (10, Unreadable::Glitter)], "{lit:?} {seed}");
    }
}

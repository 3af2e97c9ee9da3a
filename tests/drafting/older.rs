//! A draft on an older figure, beside a draft without one: pairs made by hand, drawn in three manners.
//!
//! `cargo test --test drafting older -- --ignored --nocapture` prints the table; it takes minutes. The pairs are invented: `fixtures/pairs/`.

use smallcast::draft::{DraftOptions, OLDER, Size, draft_on};
use smallcast::figure::{Figure, read};
use smallcast::matching::Wishes;
use smallcast::reference::Picture;
use smallcast::score::{Judged, KnownFigure, Score, reliability};
use smallcast::tray::Tray;
use smallcast::trial::{Manner, Trial, sketches};

/// No fit has seen drawings of this seed (`trial::FITTED_SEEDS`).
const SEED: u64 = 11;

/// An untidy hand, wax, and natural proportions.
const MANNERS: [Manner; 3] = [Manner::Untidy, Manner::Crayon, Manner::Natural];

/// What is told of the new figure's height.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Told {
    /// So many rows, as drawn; for natural proportions zone by zone.
    Rows,
    /// Rows zone by zone, as a height class has them.
    Zones,
}

/// Every pair: name, older figure, the one made of it.
fn pairs() -> Vec<(String, Figure, Figure)> {
    let mut names: Vec<String> = std::fs::read_dir("fixtures/pairs")
        .unwrap()
        .filter_map(|file| {
            file.unwrap().file_name().to_str()?.strip_suffix(".old.figure.toml").map(str::to_owned)
        })
        .collect();
    names.sort();
    let open = |name: &str, which: &str| {
        let path = format!("fixtures/pairs/{name}.{which}.figure.toml");
        read(&path, &std::fs::read_to_string(&path).unwrap()).unwrap()
    };
    names.iter().map(|name| (name.clone(), open(name, "old"), open(name, "new"))).collect()
}

/// A drawing of a pair's newer figure: drafted, drafted on the older one, and which of those beads it decided.
struct Drawn {
    plain: usize,
    on: Score,
    older: Vec<bool>,
}

impl Drawn {
    fn of(name: &str, (old, new): (&Figure, &Figure), manner: Manner, told: Told, seed: u64) -> Self {
        let tray = Tray::embedded();
        let figure = KnownFigure::of(name, new, &tray).unwrap();
        let trial = Trial { figure: &figure, manner, seed };
        let drawing = trial.drawing(&tray);
        let options = match (told, figure.zones) {
            (Told::Zones, Some(zones)) => DraftOptions { size: Size::Zones(zones), ..trial.options() },
            _ => trial.options(),
        };
        let draft = trial.draft_with(&drawing, &options, &tray).unwrap();
        let plain = trial.score(Some(&draft), &tray).mend;
        let picture = Picture::of(drawing.pixels);
        let (laid, _) =
            draft_on((name, &picture), (draft, &Wishes::default()), &options, old, &tray).unwrap();
        let on = trial.score(Some(&laid), &tray);
        let older = on.beads.iter().map(|bead| laid.samples.beads()[bead.at].set_by == Some(OLDER)).collect();
        Self { plain, on, older }
    }
}

/// Two pairs of those the rules were chosen on: the whole table says what is gained on all.
#[test]
fn an_older_figure_leaves_half_of_the_beads_to_mend() {
    let pairs = pairs();
    let drawn = [Manner::Untidy, Manner::Crayon].into_iter().flat_map(|manner| {
        let of = |name| pairs.iter().find(|pair| pair.0 == name).unwrap();
        ["apple-seller", "may-queen"].map(of).map(|(name, old, new)| {
            let drawn = Drawn::of(name, (old, new), manner, Told::Zones, SEED);
            (drawn.plain, drawn.on.mend)
        })
    });
    let (plain, on) = drawn.fold((0, 0), |all, next| (all.0 + next.0, all.1 + next.1));
    assert!(2 * on <= plain, "{on} beads to mend with the older figure, {plain} without");
}

/// A clear window is believed, whatever the older figure had there: 71 of this figure's beads are others now.
#[test]
fn a_clean_drawing_stays_as_it_was_read() {
    let pairs = pairs();
    let (name, old, new) = pairs.iter().find(|pair| pair.0 == "bell-ringer").unwrap();
    let drawn = Drawn::of(name, (old, new), Manner::Marker, Told::Rows, SEED);
    assert!(drawn.on.mend <= drawn.plain + 3, "{} beads to mend, {} without", drawn.on.mend, drawn.plain);
}

/// What never lay on a grid stays on the body plan, though it could be read as drawn.
#[test]
fn a_sketch_on_an_older_figure_stays_on_the_body_plan() {
    let tray = Tray::embedded();
    let sketches = sketches(&tray).unwrap();
    let sketch = sketches.iter().find(|sketch| sketch.name == "harbour-child").unwrap();
    let picture = sketch.picture().unwrap();
    let draft = sketch.draft(&picture, &tray).unwrap();
    let path = "src/trial/sketches/harbour-child.2.figure.toml";
    let older = read(path, &std::fs::read_to_string(path).unwrap()).unwrap();
    let (laid, said) =
        draft_on(("sketch", &picture), (draft, &Wishes::default()), &sketch.options(), &older, &tray)
            .unwrap();
    assert!(laid.samples.is_on_plan() && said.agreed + said.decided > said.overruled, "{said:?}");
}

/// The table over all pairs. Another seed than [`SEED`], and other manners: `SEED=23 MANNERS=small,shade`.
#[test]
#[ignore = "a table for DEVELOPERS.md: 72 drafts take minutes; run it by name after a change to `draft --on`"]
fn over_every_pair_an_older_figure_leaves_half_of_the_beads_to_mend() {
    let seed = std::env::var("SEED").ok().map_or(SEED, |seed| seed.parse().unwrap());
    let manners = std::env::var("MANNERS").ok().map_or(MANNERS.to_vec(), |names| {
        names.split(',').map(|name| Manner::named(name).unwrap()).collect()
    });
    let pairs = pairs();
    let mut both = Vec::new();
    println!("pair             manner    told   draft  on older");
    for told in [Told::Rows, Told::Zones] {
        let (mut plain, mut on) = (0, 0);
        let (mut older, mut others): (Vec<Judged>, Vec<Judged>) = Default::default();
        for (name, old, new) in &pairs {
            for manner in &manners {
                let drawn = Drawn::of(name, (old, new), *manner, told, seed);
                for (bead, is_older) in drawn.on.beads.iter().zip(&drawn.older) {
                    if *is_older { older.push(*bead) } else { others.push(*bead) }
                }
                println!("{name:16} {:9} {told:?} {:6} {:9}", manner.name(), drawn.plain, drawn.on.mend);
                (plain, on) = (plain + drawn.plain, on + drawn.on.mend);
            }
        }
        println!("all, {told:?}: {plain} beads to mend without, {on} with");
        for (what, beads) in [("decided by the older figure", older), ("others", others)] {
            println!("{what}: {} beads, by confidence (beads, expected, right):", beads.len());
            let bins = reliability(&beads);
            let shown = bins.iter().filter(|bin| bin.count > 0);
            shown.for_each(|bin| println!("  {:5} {:.2} {:.2}", bin.count, bin.predicted, bin.kept));
        }
        both.push((plain, on));
    }
    // By class or zones, as people use it, half; 41 in a hundred were reached. By rows alone 55 in a hundred.
    for ((plain, on), at_most) in both.into_iter().zip([0.6, 0.5]) {
        let bound = at_most * plain as f64;
        assert!(on as f64 <= bound, "{on} beads to mend with the older figure, {plain} without");
    }
}

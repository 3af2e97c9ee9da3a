//! How alike figures are: laws of the measure, and the sieve against comparing each with each.

use std::path::Path;

use proptest::prelude::*;
use smallcast::cast::{AT_A_GLANCE, Crowd, Difference, Pair, TOO_ALIKE};
use smallcast::colour::ciede2000;
use smallcast::figure::{self, Figure};
use smallcast::tray::{HARD_TO_TELL, Tray};

/// A figure whose beads are given by their place in the embedded tray; 0 is an empty peg.
fn figure(rows: &[Vec<usize>]) -> Figure {
    let tray = Tray::embedded();
    let names: Vec<String> = tray.iter().map(|(_, bead)| bead.name.clone()).collect();
    let marks: Vec<char> = smallcast::figure::Mark::ORDER.chars().collect();
    let mut used: Vec<usize> = rows.iter().flatten().copied().filter(|bead| *bead > 0).collect();
    used.sort_unstable();
    used.dedup();
    let mut text = String::from("format = 1\nname = \"Law\"\n");
    for &bead in &used {
        let (mark, name) = (marks[bead], &names[bead - 1]);
        text += &format!("[[legend]]\nmark = \"{mark}\"\nbead = \"{name}\"\nby = \"hand\"\n");
    }
    let line = |row: &Vec<usize>| -> String {
        row.iter().map(|&bead| if bead == 0 { '.' } else { marks[bead] }).collect()
    };
    let lines: Vec<String> = rows.iter().map(line).collect();
    text += &format!("[[part]]\nname = \"body\"\nbeads = \"\"\"\n{}\n\"\"\"\n", lines.join("\n"));
    figure::read("law", &text).unwrap()
}

/// Beads used of the embedded tray.
const BEADS: usize = 60;

fn rows() -> impl Strategy<Value = Vec<Vec<usize>>> {
    let peg = prop_oneof![1 => Just(0), 2 => 1..=BEADS];
    (1_usize..9, 1_usize..14).prop_flat_map(move |(columns, rows)| {
        proptest::collection::vec(proptest::collection::vec(peg.clone(), columns), rows)
    })
}

/// A few figures and many that are one of them with some pegs changed, moved or turned round.
fn crowd() -> impl Strategy<Value = Vec<Vec<Vec<usize>>>> {
    let change = (0_usize..14, 0_usize..9, 0..=BEADS);
    let changed =
        (any::<prop::sample::Index>(), proptest::collection::vec(change, 0..4), 0_usize..4, any::<bool>());
    (proptest::collection::vec(rows(), 1..5), proptest::collection::vec(changed, 0..40)).prop_map(
        |(bases, changed)| {
            let derived = changed.into_iter().map(|(base, changes, moved, turned)| {
                let mut rows = base.get(&bases).clone();
                for (row, column, bead) in changes {
                    let row = row % rows.len();
                    let column = column % rows[row].len();
                    rows[row][column] = bead;
                }
                if turned {
                    rows.iter_mut().for_each(|row| row.reverse());
                }
                rows.into_iter().map(|row| [vec![0; moved], row].concat()).collect()
            });
            let derived: Vec<Vec<Vec<usize>>> = derived.collect();
            bases.iter().cloned().chain(derived).collect()
        },
    )
}

fn crowd_of(figures: &[Figure]) -> Crowd {
    Crowd::new(&figures.iter().collect::<Vec<_>>(), &Tray::embedded())
}

/// Every pair within a bound, each compared with each.
fn one_by_one(crowd: &Crowd, bound: Difference) -> Vec<(usize, usize, Difference)> {
    let all = (0..crowd.len()).flat_map(|one| (one + 1..crowd.len()).map(move |other| (one, other)));
    let with = all.map(|(one, other)| (one, other, crowd.difference(one, other)));
    with.filter(|pair| pair.2 <= bound).collect()
}

fn places(pairs: &[Pair]) -> Vec<(usize, usize, Difference)> {
    pairs.iter().map(|pair| (pair.one, pair.other, pair.difference)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn a_figure_is_like_itself_wherever_it_lies_and_whichever_way_it_walks(rows in rows(), moved in 0_usize..5) {
        let turned = rows.iter().map(|row| row.iter().rev().copied().collect()).collect::<Vec<_>>();
        let aside: Vec<Vec<usize>> = rows.iter().map(|row| [vec![0; moved], row.clone()].concat()).collect();
        let lower = [vec![vec![0]; 2], rows.clone()].concat();
        let crowd = crowd_of(&[rows, turned, aside, lower].map(|rows| figure(&rows)));
        for other in 0..crowd.len() {
            prop_assert_eq!(crowd.difference(0, other), Difference::NONE);
        }
    }

    #[test]
    fn it_is_the_same_both_ways_and_both_turned(one in rows(), other in rows()) {
        let turned = |rows: &[Vec<usize>]| rows.iter().map(|row| row.iter().rev().copied().collect()).collect::<Vec<_>>();
        let crowd = crowd_of(&[figure(&one), figure(&other), figure(&turned(&one)), figure(&turned(&other))]);
        let apart = crowd.difference(0, 1);
        prop_assert!((0.0..=1.0).contains(&apart.share()));
        for (a, b) in [(1, 0), (2, 3), (0, 3), (2, 1)] {
            prop_assert_eq!(crowd.difference(a, b), apart);
        }
    }

    #[test]
    fn the_sieve_loses_no_pair_and_adds_none(
        figures in crowd(),
        bound in prop_oneof![Just(0.0), Just(0.05), Just(0.2), Just(0.6), Just(1.0)],
    ) {
        let figures: Vec<Figure> = figures.iter().map(|rows| figure(rows)).collect();
        let crowd = crowd_of(&figures);
        let bound = Difference::new(bound);
        prop_assert_eq!(places(&crowd.pairs(bound)), one_by_one(&crowd, bound));
    }
}

/// What one peg of ten counts, in two beads whose CIEDE2000 is taken from the table of colours.
#[test]
fn a_peg_counts_by_how_far_its_colours_are_apart() {
    let tray = Tray::embedded();
    let labs: Vec<_> = tray.iter().map(|(_, bead)| bead.lab).collect();
    for bead in 2..=BEADS {
        let mut tipped = vec![1; 10];
        tipped[9] = bead;
        let crowd = crowd_of(&[figure(&[vec![1; 10]]), figure(&[tipped])]);
        let apart = ciede2000(labs[0], labs[bead - 1]).0;
        let counts = ((apart - HARD_TO_TELL.0) / (AT_A_GLANCE.0 - HARD_TO_TELL.0)).clamp(0.0, 1.0);
        let share = crowd.difference(0, 1).share();
        assert!((share - counts / 10.0).abs() <= 0.0001, "{bead}: {share} for {counts}");
    }
}

#[test]
fn a_prop_tells_two_of_one_uniform_apart_and_a_button_does_not() {
    let butcher = std::fs::read_to_string("src/trial/figures/butcher.figure.toml").unwrap();
    let plain = figure::read("butcher", &butcher).unwrap();
    let with = |beads: &str, row: usize, column: usize| {
        let part =
            format!("[[part]]\nname = \"prop\"\nat = [{row}, {column}]\nbeads = \"\"\"\n{beads}\n\"\"\"\n");
        figure::read("butcher", &format!("{butcher}\n{part}")).unwrap()
    };
    let mark = plain.legend()[0].mark.get();
    let columns = plain.beads().columns();
    // A lantern of three by three held out on an arm of one.
    let lantern =
        with(&format!("{mark}{mark}{mark}{mark}\n.{mark}{mark}{mark}\n.{mark}{mark}{mark}"), 10, columns - 1);
    let button = with(&mark.to_string(), 12, columns / 2);
    let crowd = crowd_of(&[plain, lantern, button]);
    assert!(crowd.difference(0, 1) > TOO_ALIKE, "{}", crowd.difference(0, 1));
    assert!(crowd.difference(0, 2) <= TOO_ALIKE, "{}", crowd.difference(0, 2));
    assert_eq!(crowd.too_alike().iter().map(|pair| (pair.one, pair.other)).collect::<Vec<_>>(), [(0, 2)]);
}

/// No two of the shipped figures are alike; the nearest were looked at (2026-11-29).
#[test]
fn the_shipped_figures_are_told_apart() {
    let mut files: Vec<_> =
        std::fs::read_dir("src/trial/figures").unwrap().map(|entry| entry.unwrap().path()).collect();
    files.push(Path::new("demo/early-street/milk-carter.figure.toml").into());
    files.sort();
    let figures: Vec<Figure> = files.iter().map(|file| Figure::open(file).unwrap()).collect();
    let crowd = crowd_of(&figures);
    let mut near = one_by_one(&crowd, Difference::new(1.0));
    near.sort_by(|one, other| one.2.share().total_cmp(&other.2.share()));
    for (one, other, apart) in &near[..12] {
        println!("{apart}: {} and {}", figures[*one].name(), figures[*other].name());
    }
    assert!(crowd.too_alike().is_empty());
}

#[test]
fn differences_are_said_in_whole_percent_and_never_as_nothing() {
    let said = |share: f64| Difference::new(share).to_string();
    assert_eq!([0.0, 0.001, 0.049, 0.999, 1.0].map(said), ["0 %", "1 %", "5 %", "99 %", "100 %"]);
    assert_eq!(Difference::new(f64::NAN).share(), 1.0);
}

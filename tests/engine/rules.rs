//! The rules: each fires on its bad figure and is silent on its good one, none makes an error of its own, and
//! what hangs by a corner is always found.

use std::collections::BTreeSet;
use std::path::PathBuf;

use proptest::prelude::*;
use smallcast::error::Warning;
use smallcast::figure::{Description, Figure, LegendEntry, Mark, Part, Placed, read};
use smallcast::grid::Grid;
use smallcast::plan::{Zone, ZoneRows};
use smallcast::rules::{Checked, Finding, RULES, Rule, check, rule_named};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

fn all() -> Vec<&'static Rule> {
    RULES.iter().collect()
}

fn checked(figure: &Figure, tray: &Tray) -> Checked {
    check(&[figure], tray, &all()).remove(0)
}

fn rules_found(findings: &[Finding]) -> Vec<&'static str> {
    findings.iter().map(|finding| finding.rule).collect()
}

/// A figure drawn in marks, each mark the bead of that name.
fn drawn(beads: &[(char, &str)], rows: &[&str]) -> Figure {
    let legend: String = beads
        .iter()
        .map(|(mark, bead)| format!("[[legend]]\nmark = \"{mark}\"\nbead = \"{bead}\"\nby = \"hand\"\n"))
        .collect();
    let text = format!(
        "format = 1\nname = \"drawn\"\n{legend}[[part]]\nname = \"body\"\nbeads = \"\"\"\n{}\n\"\"\"\n",
        rows.join("\n")
    );
    read("drawn", &text).unwrap()
}

fn of_coal(rows: &[&str]) -> Figure {
    drawn(&[('c', "coal")], rows)
}

/// The draft's own decisions: one for beads that touch and may become the same, however many they are.
#[test]
fn beads_that_one_answer_settles_are_one_finding() {
    let text = std::fs::read_to_string("fixtures/rules/stray/bad.figure.toml").unwrap();
    let stray = [rule_named("stray").unwrap()];
    let found =
        |text: &str| check(&[&read("coat", text).unwrap()], &Tray::embedded(), &stray).remove(0).findings;
    let alone = found(&text);
    assert_eq!(alone.len(), 1);
    assert_eq!(alone[0].what, "torso: 1 bead of frost, only 25 % sure");
    let patch = text.replace(".rrqrrr.", ".rqqqrr.").replace(".HH2HHH.", ".H222HH.");
    assert!(found(&patch).is_empty(), "what else it could be is not said: it may be a garment");
    // Where the file says what else they could be, and what set them, so does the finding.
    let said = patch.replace("[[part]]", "[why]\nb = \"belt\"\n\n[[part]]")
        + "why = \"\"\"\n........\n........\n........\n........\n........\n..bbb...\n........\n........\n\"\"\"\n"
        + "or = \"\"\"\n..cccc..\n..pppp..\n..pppp..\n...pp...\n.rrrrrr.\n.rrrrrr.\n.rrrrrr.\n..dddd..\n\"\"\"\n";
    let together = found(&said);
    assert_eq!(together.len(), 1, "{together:?}");
    let said = &together[0];
    assert_eq!((said.beads.len(), said.place().unwrap().as_str()), (3, "row 6, columns 3 to 5"));
    assert_eq!(said.what, "torso: 3 beads of frost that touch, only 25 % sure, set by belt");
    assert_eq!(said.could, "look at the reference there; poppy may be right for all of them");
}

#[test]
fn a_colour_whose_bead_is_less_than_even_is_one_finding() {
    let text = std::fs::read_to_string("fixtures/rules/stray/good.figure.toml").unwrap();
    let doubted = "bead = \"poppy\"\naim = [47.0, 60.0, 35.0]\nconfidence = 0.4\nby = \"match\"";
    let text = text.replace("bead = \"poppy\"\nby = \"hand\"", doubted);
    let found = checked(&read("coat", &text).unwrap(), &Tray::embedded()).findings;
    assert_eq!(rules_found(&found), ["stray"]);
    assert_eq!(
        (found[0].what.as_str(), found[0].beads.len()),
        ("poppy for the colour of 17 beads, only 40 % sure", 17)
    );
}

#[test]
fn findings_say_where_counted_from_1() {
    let figure = of_coal(&["cc..", "cc..", "..cc"]);
    let found = checked(&figure, &Tray::embedded()).findings.remove(0);
    assert_eq!((found.rule, found.place().as_deref()), ("loose", Some("row 3, columns 3 to 4")));
    assert_eq!(found.what, "2 beads touch the rest only at a corner");
    assert_eq!(found.could, "put a bead at row 3, column 2 or at row 2, column 3");
    let apart = checked(&of_coal(&["cc..", "cc..", "....", "...c"]), &Tray::embedded()).findings.remove(0);
    assert_eq!(apart.what, "1 bead touches nothing: the rest begins 3 pegs away");
}

#[test]
fn a_heavy_part_is_weighed_to_the_bead() {
    let tray = Tray::embedded();
    let heavy = rule_named("heavy").unwrap();
    let load = |columns: usize, rows: usize, neck: usize| {
        let wide = |c: usize| "c".repeat(c) + &".".repeat(9 - c);
        let mut lines = vec![wide(columns); rows];
        lines.push(wide(neck));
        lines.extend(vec![wide(9); 12]);
        let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
        check(&[&of_coal(&lines)], &tray, &[heavy]).remove(0).findings
    };
    // One side: the load alone and with the bead of the neck, whose lower side bears it too.
    assert!(load(4, 4, 1).is_empty());
    assert!(
        load(5, 4, 1)[0].what.starts_with("21 beads (rows 1 to 5, columns 1 to 5) hang by one fused side")
    );
    assert!(load(9, 6, 2).is_empty());
    assert!(load(9, 7, 2)[0].what.starts_with("65 beads"));
    assert!(load(9, 11, 3).is_empty(), "three sides are the guide's ordinary neck");
}

#[test]
fn two_squares_that_share_one_bead_hang_by_two_sides_of_it() {
    let square = "ccccccccc.........";
    let mut rows = vec![square; 8];
    rows.push("cccccccccccccccccc");
    rows.extend(vec![".........ccccccccc"; 8]);
    let straight = check(&[&of_coal(&rows)], &Tray::embedded(), &[rule_named("heavy").unwrap()]).remove(0);
    assert_eq!(straight.findings.len(), 1, "one fused side joins the two: {:?}", straight.findings);
    let mut rows = vec!["ccccccccc........"; 8];
    rows.push("ccccccccccccccccc");
    rows.extend(vec!["........ccccccccc"; 8]);
    let shared = check(&[&of_coal(&rows)], &Tray::embedded(), &[rule_named("heavy").unwrap()]).remove(0);
    assert_eq!(shared.findings.len(), 1);
    assert!(shared.findings[0].what.contains("hang by two fused sides"), "{:?}", shared.findings);
}

#[test]
fn a_thin_part_may_be_as_long_as_a_leg_and_what_is_held_twice_is_left_alone() {
    let thin = rule_named("thin").unwrap();
    let found = |rows: &[&str]| check(&[&of_coal(rows)], &Tray::embedded(), &[thin]).remove(0).findings;
    let staff = |long: usize| {
        let mut rows = vec!["ccccc", "ccccc"];
        rows.extend(vec!["....c"; long]);
        rows
    };
    assert!(found(&staff(11)).is_empty());
    let long = found(&staff(12));
    assert_eq!(long[0].beads.len(), 12);
    let mut ring = staff(20);
    for row in &mut ring[2..] {
        *row = "c...c";
    }
    ring.push("ccccc");
    ring.push("ccccc");
    assert!(found(&ring).is_empty());
}

#[test]
fn ordinary_eyes_need_5_between_neighbours_and_beads_of_one_name_are_one_colour() {
    let tray = Tray::parse("t", b"name,hex\nash,96999b\nsmoke,989b9d\ncoal,1f2023\n").unwrap();
    let beads = [('a', "ash"), ('s', "smoke"), ('c', "coal"), ('b', "ash")];
    let alike = [rule_named("alike").unwrap()];
    let found = check(&[&drawn(&beads, &["aass", "cccc"])], &tray, &alike).remove(0).findings;
    assert_eq!(found.len(), 1);
    // 0.6 is what the tray's own list of alike beads says of this pair.
    assert!(
        found[0].what.starts_with("ash and smoke meet along 1 side and are only 0.6 apart for ordinary eyes")
    );
    assert!(check(&[&drawn(&beads, &["aabb", "cccc"])], &tray, &alike).remove(0).findings.is_empty());
}

#[test]
fn what_is_meant_so_is_set_apart_and_idle_notes_are_warned_of() {
    let bad = std::fs::read_to_string("fixtures/rules/loose/bad.figure.toml").unwrap();
    let note = |rule: &str, at: &str| format!("\n[[meant]]\nrule = \"{rule}\"\n{at}why = \"wired\"\n");
    let with = |notes: &str| checked(&read("x", &format!("{bad}{notes}")).unwrap(), &Tray::embedded());
    let place = with("").findings[0].beads[0];
    let at = format!("row = {}\ncolumn = {}\n", place.0.0 + 1, place.1.0 + 1);
    for there in [at.as_str(), ""] {
        let meant = with(&note("loose", there));
        assert!(meant.findings.is_empty() && meant.warnings.is_empty());
        assert_eq!(meant.meant[0].1, "wired");
    }
    let elsewhere = with(&note("loose", "row = 1\ncolumn = 1\n"));
    assert_eq!(elsewhere.findings.len(), 1);
    assert!(
        matches!(&elsewhere.warnings[..], [Warning::MeantNothing { note }] if note.contains("row 1, column 1"))
    );
    let misspelt = with(&note("lose", ""));
    assert!(
        matches!(&misspelt.warnings[..], [Warning::NoSuchRule { rule, likely: "loose" }] if rule == "lose")
    );
    // A note for a rule that was not asked for is not idle.
    let figure = read("x", &format!("{bad}{}", note("loose", &at))).unwrap();
    let others = check(&[&figure], &Tray::embedded(), &[rule_named("thin").unwrap()]).remove(0);
    assert_eq!(others, Checked::default());
}

/// Figures of the demo, and the known figures the trials are drawn from.
fn figures() -> Vec<(PathBuf, Figure)> {
    let mut files = Vec::new();
    for folder in ["demo/early-street", "src/trial/figures"] {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.to_string_lossy().ends_with(".figure.toml") {
                files.push(path);
            }
        }
    }
    files.sort();
    files.into_iter().map(|path| (path.clone(), Figure::open(&path).unwrap())).collect()
}

/// A figure of one part with the beads that show, a row of rim above and below.
fn flat(figure: &Figure, beads: Grid<Option<Placed>>) -> Figure {
    let part =
        Part { name: "body".into(), from: None, at: (Row(0), Column(0)), beads, bare: BTreeSet::new() };
    let description = Description {
        name: figure.name().into(),
        stature: None,
        class: figure.class().map(str::to_owned),
        source: None,
        rows: figure.rows().map(|rows| {
            let mut rows = Zone::ALL.map(|zone| rows.get(zone));
            rows[Zone::Headwear as usize] += 1;
            rows[Zone::Feet as usize] += 1;
            ZoneRows::new(rows).unwrap()
        }),
        legend: figure.legend().to_vec(),
        why: figure.why().clone(),
        parts: vec![part],
        meant: Vec::new(),
    };
    Figure::new("flat", description).unwrap()
}

/// By another road than the rule's: beads that cannot be walked to, side by side, from the largest piece, and
/// touch another bead at a corner.
fn corner_only(beads: &Grid<Option<Placed>>) -> BTreeSet<(usize, usize)> {
    let (rows, columns) = (beads.rows() as i32, beads.columns() as i32);
    let is_bead = |r: i32, c: i32| {
        (0..rows).contains(&r)
            && (0..columns).contains(&c)
            && beads[(Row(r as usize), Column(c as usize))].is_some()
    };
    let mut unseen: BTreeSet<(i32, i32)> =
        (0..rows).flat_map(|r| (0..columns).map(move |c| (r, c))).filter(|&(r, c)| is_bead(r, c)).collect();
    let mut pieces: Vec<BTreeSet<(i32, i32)>> = Vec::new();
    while let Some(start) = unseen.pop_first() {
        let mut piece = BTreeSet::from([start]);
        let mut stack = vec![start];
        while let Some((r, c)) = stack.pop() {
            for next in [(r - 1, c), (r + 1, c), (r, c - 1), (r, c + 1)] {
                if unseen.remove(&next) {
                    piece.insert(next);
                    stack.push(next);
                }
            }
        }
        pieces.push(piece);
    }
    let most = pieces.iter().map(BTreeSet::len).max().unwrap_or(0);
    let main = pieces.iter().position(|piece| piece.len() == most);
    let hangs = |piece: &BTreeSet<(i32, i32)>| {
        piece.iter().any(|&(r, c)| {
            [(-1, -1), (-1, 1), (1, -1), (1, 1)]
                .iter()
                .any(|&(dr, dc)| is_bead(r + dr, c + dc) && !piece.contains(&(r + dr, c + dc)))
        })
    };
    let loose = pieces.iter().enumerate().filter(|&(at, piece)| Some(at) != main && hangs(piece));
    loose.flat_map(|(_, piece)| piece.iter().map(|&(r, c)| (r as usize, c as usize))).collect()
}

/// SplitMix64 (Steele, Lea, Flood, OOPSLA 2014): the same numbers with every version of every library.
fn chance(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let z = (*state ^ (*state >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// Puts a bead at a place, lifts the one there, or swaps it for another, as chance has it.
fn changed(beads: &mut Grid<Option<Placed>>, legend: &[LegendEntry], mut below: impl FnMut(usize) -> usize) {
    let place = (Row(below(beads.rows())), Column(below(beads.columns())));
    let bead = Some(Placed::new(legend[below(legend.len())].mark, None));
    let swap = below(3) == 0;
    beads[place] = if beads[place].is_some() && !swap { None } else { bead };
}

#[test]
fn in_500_changes_of_each_figure_every_bead_that_hangs_by_a_corner_is_found() {
    const CHANGES: u64 = 500;
    /// Of so many changes one is looked at by all rules: that none panics is soon known, and they take most of the time.
    const FOR_ALL: u64 = 20;
    let loose: Vec<&Rule> = rule_named("loose").into_iter().collect();
    let tray = Tray::embedded();
    let (mut made, mut shown) = (0, 0);
    for (file, figure) in figures() {
        // A rim of empty pegs, so that beads can be put outside the figure too.
        let inner = figure.beads();
        let outer = Grid::from_fn(inner.rows() + 2, inner.columns() + 2, |row, column| {
            let (r, c) = (row.0.wrapping_sub(1), column.0.wrapping_sub(1));
            inner.get(Row(r), Column(c)).copied().flatten()
        });
        for seed in 0..CHANGES {
            let mut state = seed;
            let below = |bound: usize| (chance(&mut state) % bound as u64) as usize;
            let mut beads = outer.clone();
            changed(&mut beads, figure.legend(), below);
            let hang = corner_only(&beads);
            let changed = flat(&figure, beads);
            let rules = if seed % FOR_ALL == 0 { all() } else { loose.clone() };
            let checked = check(&[&changed], &tray, &rules).remove(0);
            let loose = checked.findings.iter().filter(|finding| finding.rule == "loose");
            let found: BTreeSet<(usize, usize)> = loose
                .filter(|finding| finding.what.contains("only at a corner"))
                .flat_map(|finding| finding.beads.iter().map(|(row, column)| (row.0, column.0)))
                .collect();
            assert_eq!(found, hang, "{}, seed {seed}", file.display());
            made += hang.len();
            shown += usize::from(!hang.is_empty());
        }
    }
    // The test would say nothing if chance never made such beads.
    assert!(made > 500 && shown > 300, "{made} beads in {shown} figures");
}

#[test]
fn finished_figures_hold_together_and_use_the_tray() {
    let tray = Tray::embedded();
    for (file, figure) in figures() {
        let found = checked(&figure, &tray).findings;
        let grave = found.iter().find(|f| ["loose", "not-in-tray", "too-few", "stray"].contains(&f.rule));
        assert!(grave.is_none(), "{}: {grave:?}", file.display());
    }
}

proptest! {
    #[test]
    fn no_figure_makes_a_rule_panic_and_every_finding_is_inside_it(
        cells in proptest::collection::vec(proptest::option::weighted(0.6, 0_usize..4), 0..100),
        columns in 1_usize..25, names in proptest::sample::subsequence(vec!["coal", "milk", "chalk", "nothing", "clay"], 4)
    ) {
        let marks: Vec<Mark> = "abcd".chars().filter_map(Mark::new).collect();
        let rows: Vec<String> = cells
            .chunks(columns)
            .map(|row| row.iter().map(|cell| cell.map_or('.', |at| marks[at].get())).collect())
            .collect();
        prop_assume!(!rows.is_empty());
        let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
        let legend: Vec<(char, &str)> = marks.iter().map(|m| m.get()).zip(names.iter().copied()).collect();
        let figure = drawn(&legend, &rows);
        let beads = figure.beads();
        for finding in checked(&figure, &Tray::embedded()).findings {
            prop_assert!(finding.beads.iter().all(|&(r, c)| beads.get(r, c).is_some_and(Option::is_some)));
            prop_assert!(finding.beads.windows(2).all(|pair| pair[0] < pair[1]));
        }
    }

    #[test]
    fn checking_twice_says_the_same(seed in 0_u64..1000) {
        let (_, figure) = figures().swap_remove((seed % 25) as usize);
        prop_assert_eq!(checked(&figure, &Tray::embedded()), checked(&figure, &Tray::embedded()));
    }
}

#[test]
fn the_largest_figure_is_checked() {
    // A snake through all of it: every side is a neck, the hardest case there is.
    let row = |r: usize| match r % 4 {
        0 | 2 => "c".repeat(150),
        1 => ".".repeat(149) + "c",
        _ => "c".to_owned() + &".".repeat(149),
    };
    let rows: Vec<String> = (0..100).map(row).collect();
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let found = checked(&of_coal(&rows), &Tray::embedded()).findings;
    assert_eq!(rules_found(&found).iter().filter(|rule| **rule == "thin").count(), 1);
}

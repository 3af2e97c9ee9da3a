//! A new figure from an older one: rows and columns come and go, what lies by hand stays, and all of it can be undone.

use std::collections::BTreeMap;
use std::path::Path;

use proptest::prelude::*;
use smallcast::cast::{Height, Reused, Sought, Wish, apart, beginning, rank, reuse};
use smallcast::error::Result;
use smallcast::figure::{AtHand, Edit, Figure, NoOthers, Spot, Sure, Workbench, read, write};
use smallcast::plan::{BuildKind, Classes, Look, Zone};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

/// Figures of every kind of body: gowns, long coats, thin limbs, loads, children. Their names are their files'.
const OLDER: [&str; 10] = [
    "apple-seller",
    "bell-ringer",
    "conductor",
    "hoop-boy",
    "link-man",
    "market-porter",
    "messenger",
    "night-clerk",
    "parcel-girl",
    "pastry-cook",
];

fn pair(name: &str, which: &str) -> Figure {
    Figure::open(Path::new(&format!("fixtures/pairs/{name}.{which}.figure.toml"))).unwrap()
}

fn made(figure: &Figure, wish: &Wish) -> Result<Reused> {
    reuse(&beginning(figure), wish, &AtHand::new(&Tray::embedded(), &NoOthers))
}

fn of_class(name: &str) -> Wish {
    let class = Classes::trade().named(name).unwrap();
    let height = Height { rows: class.rows, class: Some(class.name.to_string()), stature: None };
    Wish { height: Some(height), ..Wish::default() }
}

fn of_build(kind: BuildKind) -> Wish {
    Wish { build: Some((kind, Look::USUAL)), ..Wish::default() }
}

fn rows_of(figure: &Figure) -> Vec<String> {
    let beads = figure.beads();
    let mark = |r: usize, c: usize| beads[(Row(r), Column(c))].map_or('.', |placed| placed.mark.get());
    (0..beads.rows()).map(|r| (0..beads.columns()).map(|c| mark(r, c)).collect()).collect()
}

/// Beads placed by hand, by name.
fn by_hand(figure: &Figure) -> BTreeMap<String, usize> {
    let mut beads = BTreeMap::new();
    for (.., placed) in figure.parts().iter().flat_map(|part| part.beads.iter()) {
        if let Some(placed) = placed.filter(|placed| placed.sure == Some(Sure::ByHand)) {
            *beads.entry(figure.entry(placed.mark).unwrap().bead.clone()).or_default() += 1;
        }
    }
    beads
}

/// The figure with some of its beads settled by hand.
fn with_hand(figure: &Figure, places: &[(usize, usize)]) -> Figure {
    let beads = figure.beads();
    let spots = places.iter().map(|&(r, c)| (Row(r % beads.rows()), Column(c % beads.columns())));
    let spots: Vec<Spot> =
        spots.filter(|at| beads[*at].is_some()).map(|(row, column)| Spot::at(row, column)).collect();
    if spots.is_empty() {
        return figure.clone();
    }
    let edit = Edit::Keep { spots };
    figure.edited(&edit, &AtHand::new(&Tray::embedded(), &NoOthers)).unwrap().figure
}

fn wish() -> impl Strategy<Value = Wish> {
    let classes = ["very-tall", "taller", "guide", "shorter", "older-child", "child", "small-child"];
    let class = prop::option::of(prop::sample::select(classes.to_vec()));
    let build = prop::option::of(prop::sample::select(BuildKind::ALL.to_vec()));
    (class, build).prop_map(|(class, build)| Wish {
        height: class.and_then(|class| of_class(class).height),
        build: build.map(|kind| (kind, Look::USUAL)),
        ..Wish::default()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn rows_add_up_and_what_lies_by_hand_stays(
        name in prop::sample::select(OLDER.to_vec()),
        places in prop::collection::vec((0..30_usize, 0..20_usize), 0..12),
        wish in wish(),
    ) {
        let older = with_hand(&pair(name, "old"), &places);
        // A class that would take what was placed by hand is refused, and says so.
        let Ok(Reused { figure, edits, notes }) = made(&older, &wish) else {
            prop_assert!(!by_hand(&older).is_empty(), "{name}: {wish:?}");
            return Ok(());
        };
        prop_assert_eq!(by_hand(&figure), by_hand(&older));
        prop_assert_eq!(&read("again", &write(&figure)).unwrap(), &figure);
        let rows = figure.rows().unwrap();
        prop_assert_eq!(rows.total(), figure.beads().rows());
        if let Some(height) = &wish.height {
            for zone in &Zone::ALL[1..] {
                prop_assert_eq!(rows.get(*zone), height.rows.get(*zone), "{}: {:?}", name, zone);
            }
            let headwear = older.rows().unwrap().get(Zone::Headwear);
            // Nobody gets an empty row over a head on which nothing is worn.
            let wanted = height.rows.get(Zone::Headwear);
            prop_assert_eq!(rows.get(Zone::Headwear), if headwear == 0 { 0 } else { headwear.max(wanted) });
            let left_out = notes.iter().any(|note| note.contains("headwear is left out"));
            prop_assert_eq!(left_out, headwear == 0 && wanted > 0);
            prop_assert_eq!(figure.class().map(str::to_owned), height.class.clone());
        }
        // Each line says its change, one row or column a line.
        for edit in &edits {
            prop_assert_eq!(&Edit::parse(&edit.to_string()).unwrap(), edit);
        }
    }
}

#[test]
fn every_line_is_undone_down_to_the_older_figure_without_its_reference() {
    let folder = tempfile::tempdir().unwrap();
    let tray = Tray::embedded();
    let at_hand = AtHand::new(&tray, &NoOthers);
    for name in OLDER {
        let older = pair(name, "old");
        let file = folder.path().join(format!("{name}.figure.toml"));
        let text = write(&older).replacen("\n\n", "\nreference = { picture = \"old.png\" }\n\n", 1);
        std::fs::write(&file, format!("# mine\n{text}")).unwrap();
        let bench = Workbench::open(&file).unwrap();
        let swap = Edit::parse(&format!("swap {} lime", older.legend()[0].bead)).unwrap();
        let wish = Wish { name: Some("New".into()), lines: vec![swap], ..of_class("very-tall") };
        let wish = Wish { build: Some((BuildKind::Stout, Look::USUAL)), ..wish };
        let start = beginning(bench.figure());
        let reused = reuse(&start, &wish, &at_hand).unwrap();
        let target = folder.path().join(format!("{name}-new.figure.toml"));
        bench.begin_at(&target, &reused.edits, &at_hand, &[], false).unwrap();
        let mut new = Workbench::open(&target).unwrap();
        assert_eq!(new.figure(), &reused.figure, "{name}");
        assert_eq!(new.figure().source(), None, "the reference is not the new figure's");
        new.undo(usize::from(u16::MAX)).unwrap();
        assert_eq!(std::fs::read_to_string(&target).unwrap(), write(&start), "{name}");
        assert_eq!(new.history().undone().len(), reused.edits.len());
        assert!(
            std::fs::read_to_string(&file).unwrap().starts_with("# mine\n"),
            "the older file is untouched"
        );
    }
}

#[test]
fn rows_without_marks_come_and_go_and_belts_stay() {
    let pilot = pair("conductor", "old");
    let mut seen = format!("{}\n", rows_of(&pilot).join("\n"));
    for class in ["shorter", "very-tall", "child"] {
        let Reused { figure, edits, .. } = made(&pilot, &of_class(class)).unwrap();
        let lines: Vec<String> = edits.iter().map(Edit::to_string).collect();
        seen.push_str(&format!("\n{class}: {}\n{}\n", lines.join(", "), rows_of(&figure).join("\n")));
    }
    insta::assert_snapshot!(seen);
}

#[test]
fn a_build_moves_arms_and_what_they_hold() {
    let mut seen = String::new();
    for (name, kind) in [
        ("conductor", BuildKind::Stout),
        ("messenger", BuildKind::Stout),
        ("link-man", BuildKind::Usual),
        ("pastry-cook", BuildKind::Usual),
        ("apple-seller", BuildKind::Usual),
        ("conductor", BuildKind::Thin),
    ] {
        let older = pair(name, "old");
        let Reused { figure, edits, notes } = made(&older, &of_build(kind)).unwrap();
        let lines: Vec<String> = edits.iter().map(Edit::to_string).collect();
        let (old, new) = (rows_of(&older), rows_of(&figure));
        let beside: Vec<String> = old.iter().zip(&new).map(|(old, new)| format!("{old}   {new}")).collect();
        let said = notes.join("\n");
        seen.push_str(&format!(
            "{name}, {}: {}\n{}\n{said}\n",
            kind.name(),
            lines.join(", "),
            beside.join("\n")
        ));
    }
    insta::assert_snapshot!(seen);
}

#[test]
fn a_zone_without_rows_gets_one_like_the_row_above() {
    let toddler = include_str!("../../src/trial/figures/nightgown-toddler.figure.toml");
    let toddler = read("toddler", toddler).unwrap();
    let child = made(&toddler, &of_class("child")).unwrap();
    assert_eq!(child.figure.rows().unwrap().get(Zone::Neck), 1);
    assert!(child.edits.iter().any(|edit| edit.to_string() == "add-row neck"));
}

#[test]
fn a_row_that_was_settled_by_hand_is_never_chosen_and_the_maker_is_told_which_to_name() {
    let pilot = pair("conductor", "old");
    let all: Vec<(usize, usize)> = (6..14).map(|row| (row, 5)).collect();
    let error = made(&with_hand(&pilot, &all), &of_class("shorter")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "--class shorter: dropping 1 row of torso would remove 1 bead placed by hand: every row there has some"
    );
    let right = "if it may go, give these lines instead of --class shorter, before your own: --do 'drop-row torso 13'";
    assert_eq!(error.hint(), right);
    // A row that is free of them goes, and the maker is told of one that would be seen less.
    let but_the_first = made(&with_hand(&pilot, &all[1..]), &of_class("shorter")).unwrap();
    assert_eq!(but_the_first.edits[0].to_string(), "drop-row torso 7");
    assert!(but_the_first.notes[0].contains("dropping row 13 would show less"), "{:?}", but_the_first.notes);
    let drawn =
        read("drawn", &write(&pilot).replace("[rows]", "[gone]")).map(|figure| figure.rows().copied());
    assert!(drawn.is_err() || drawn == Ok(None));
}

#[test]
fn each_new_figure_has_its_older_one_as_the_best_start() {
    let tray = Tray::embedded();
    let olds: Vec<Figure> = OLDER.iter().map(|name| pair(name, "old")).collect();
    let olds: Vec<&Figure> = olds.iter().collect();
    for (at, name) in OLDER.iter().enumerate() {
        let new = pair(name, "new");
        let ranked = rank(&Sought::of(&new, &tray), &olds, &tray, 3);
        assert_eq!(ranked[0].0, at, "{name}: {:?}", ranked[0].1);
        let start = &ranked[0].1;
        assert!(start.mend() < start.of, "{start:?}");
        let parts: (usize, usize) =
            (start.parts.iter().map(|p| p.fill).sum(), start.parts.iter().map(|p| p.lift).sum());
        assert_eq!(parts, (start.fill, start.lift), "every peg is of a part");
    }
}

#[test]
fn the_pairs_are_as_far_apart_as_they_are_meant_to_be() {
    // 15 to 60 % of the beads, as one lies best over the other without a row or a colour changed.
    for file in std::fs::read_dir("fixtures/pairs").unwrap() {
        let file = file.unwrap().path().display().to_string();
        let Some(stem) = file.strip_suffix(".new.figure.toml") else { continue };
        let name = Path::new(stem).file_name().unwrap().to_string_lossy().into_owned();
        let share = plainly_apart(&pair(&name, "old"), &pair(&name, "new"));
        assert!((0.15..=0.6).contains(&share), "{name}: {share:.2}");
        let (beads, of) = apart(&pair(&name, "old"), &pair(&name, "new"));
        assert!(
            beads as f64 / of as f64 <= share + 0.05,
            "{name}: rows that are brought bring them no farther apart"
        );
    }
}

/// The share of beads that differ where one figure lies best over the other.
fn plainly_apart(one: &Figure, other: &Figure) -> f64 {
    let laid = |figure: &Figure| -> BTreeMap<(i32, i32), String> {
        let beads = figure.beads();
        let lies = beads.iter().filter_map(|(r, c, placed)| {
            let bead = figure.entry((*placed)?.mark)?.bead.clone();
            Some(((r.0 as i32, c.0 as i32), bead))
        });
        lies.collect()
    };
    let (one, other) = (laid(one), laid(other));
    let share = |(down, right): (i32, i32)| {
        let both = one.iter().filter_map(|(&(r, c), bead)| Some((bead, other.get(&(r - down, c - right))?)));
        let (both, same) = both.fold((0, 0), |(both, same), (a, b)| (both + 1, same + usize::from(a == b)));
        let of = one.len() + other.len() - both;
        (of - same) as f64 / of as f64
    };
    let shifts = (-6..=6).flat_map(|down| (-6..=6).map(move |right| (down, right)));
    shifts.map(share).fold(1.0, f64::min)
}

//! Figure files: what is written reads back the same, and every fault is named with its line.

use proptest::prelude::*;
use smallcast::colour::Lab;
use smallcast::error::Error;
use smallcast::figure::{
    ChosenBy, Description, Figure, LegendEntry, Mark, Meant, Part, Placed, Second, Source, Step, Sure, read,
    saved, write,
};
use smallcast::grid::Grid;
use smallcast::plan::{Zone, ZoneRows};
use smallcast::reference::Corners;
use smallcast::units::{Centimetres, Column, Confidence, Row};
use std::collections::{BTreeMap, BTreeSet};

const LAMPLIGHTER: &str = r#"format = 1
name = "Lamplighter"
stature_cm = 176              # optional
class = "guide"
reference = { picture = "lamplighter.png", crop = [12, 40, 610, 980] }

[rows]
headwear = 0
head = 1
torso = 1
feet = 0

[[legend]]
mark = "k"
bead = "coal"
aim = [12.4, 0.8, -1.1]
confidence = 0.93
by = "match"

[[part]]
name = "body"
at = [0, 0]
beads = """
..kk..
.kkkk.
"""
sure = """
..JJ..
.8JG!.
"""
"#;

/// The same with what set its beads and what else they could be, over a coat.
const SAID: &str = r#"format = 1
name = "Lamplighter"

[[legend]]
mark = "k"
bead = "coal"
by = "match"

[[legend]]
mark = "f"
bead = "fawn"
by = "match"

[why]
b = "belt"
"+" = "nobody knows it yet"

[[part]]
name = "body"
at = [0, 0]
beads = """
..kk..
.kkff.
"""
sure = """
..3J..
.8J4!.
"""
why = """
..bb..
....+.
"""
or = """
..fk..
.kk.f.
"""
"#;

fn fault(text: &str) -> String {
    match read("test.figure.toml", text) {
        Err(Error::FigureFile { file, why, right }) => {
            assert_eq!(file, "test.figure.toml");
            assert!(!right.is_empty());
            why
        }
        other => panic!("no fault was found: {other:?}"),
    }
}

/// The line of the text in which something first stands, counted from 1.
fn line_of(text: &str, part: &str) -> usize {
    1 + text[..text.find(part).expect("the planted text")].matches('\n').count()
}

#[test]
fn a_figure_written_by_hand_is_understood() {
    let figure = read("lamplighter.figure.toml", LAMPLIGHTER).unwrap();
    assert_eq!(figure.name(), "Lamplighter");
    assert_eq!(figure.stature(), Some(Centimetres(176.0)));
    assert_eq!(figure.rows().unwrap().get(Zone::Head), 1);
    assert_eq!(figure.source().unwrap().crop, Some([12, 40, 610, 980]));
    assert_eq!(figure.counts()[0].1, 6);
    let beads = figure.beads();
    assert_eq!((beads.rows(), beads.columns()), (2, 6));
    let sure = |row, column| beads[(Row(row), Column(column))].unwrap().sure.unwrap();
    assert_eq!(sure(1, 4), Sure::ByHand);
    assert!(matches!(sure(1, 1), Sure::Likely(step) if (step.confidence().get() - 0.85).abs() < 1e-9));
    assert!(beads[(Row(0), Column(0))].is_none());
}

#[test]
fn what_is_written_is_what_a_maker_expects_to_find() {
    let figure = read("lamplighter.figure.toml", LAMPLIGHTER).unwrap();
    insta::assert_snapshot!(write(&figure));
}

#[test]
fn every_fault_is_named_with_its_line() {
    let planted = [
        ("bead = \"coal\"", "bead = \"coal\"\nshine = 3", "shine = 3"),
        ("mark = \"k\"", "mark = \"kk\"", "[[legend]]"),
        ("mark = \"k\"", "mark = \".\"", "[[legend]]"),
        (".kkkk.", ".k'kk.", ".k'kk."),
        (".8JG!.", ".8JG!", ".8JG!"),
        (".8JG!.", ".8JK!.", ".8JK!."),
        ("..JJ..", "..JJ8.", "..JJ8."),
        ("head = 1", "head = -1", "head = -1"),
        ("name = \"body\"", "name = 7", "name = 7"),
        ("by = \"match\"", "by = \"luck\"", "by = \"luck\""),
        ("format = 1", "format = 2", "format = 2"),
    ];
    for (old, new, at) in planted {
        let text = LAMPLIGHTER.replacen(old, new, 1);
        let why = fault(&text);
        let line = line_of(&text, at);
        assert!(why.starts_with(&format!("line {line}:")), "{new}: line {line} expected, but: {why}");
    }
}

#[test]
fn what_set_a_bead_and_what_it_could_be_instead_are_read_and_written() {
    let figure = read("said", SAID).unwrap();
    let beads = figure.beads();
    let bead = |row, column| beads[(Row(row), Column(column))].unwrap();
    let set_by = |row, column| figure.set_by(bead(row, column));
    assert_eq!((set_by(0, 2), set_by(1, 1)), (Some("belt"), None));
    assert_eq!(set_by(1, 4), Some("nobody knows it yet"), "a name that is not known is none the worse");
    let fawn = Mark::new('f').unwrap();
    assert_eq!(bead(0, 2).or, Some(Second::Bead(fawn)));
    assert_eq!((bead(0, 3).or, bead(1, 3).or), (Some(Second::Itself), Some(Second::Empty)));
    let written = write(&figure);
    assert_eq!(read("again", &written).unwrap(), figure);
    insta::assert_snapshot!(written);
}

/// A file that says nothing of it has nothing of it after a change either.
#[test]
fn a_file_without_why_is_written_without() {
    let figure = read("lamplighter.figure.toml", LAMPLIGHTER).unwrap();
    assert_eq!(saved(LAMPLIGHTER, &figure), LAMPLIGHTER);
    for text in [write(&figure), saved(LAMPLIGHTER, &figure.with_picture("other.png"))] {
        assert!(!text.contains("why") && !text.contains("or = "), "{text}");
    }
}

#[test]
fn faults_of_what_is_said_of_beads_are_named() {
    let planted = [
        ("..bb..", "..bb", "..bb", "4 characters of why for 6 of beads"),
        ("....+.", "+...+.", "+...+.", "'+' does not say, for '.', which detector set it"),
        (".kk.f.", ".kk.fk", ".kk.fk", "'k' does not say, for '.', what else it could be"),
        (".kk.f.", ".k'.f.", ".k'.f.", "what else it could be"),
        ("..bb..\n", "", "why = \"\"\"", "why has 1 rows and beads has 2"),
        ("b = \"belt\"", "bb = \"belt\"", "bb = ", "'bb' cannot be a mark"),
        ("b = \"belt\"", "b = \" \"", "b = \" \"", "names no detector"),
    ];
    for (old, new, at, said) in planted {
        let text = SAID.replacen(old, new, 1);
        let why = fault(&text);
        let line = line_of(&text, at);
        assert!(why.starts_with(&format!("line {line}:")) && why.contains(said), "{new}: {why}");
    }
    assert!(fault(&SAID.replace("..bb..", "..bx..")).contains("the mark 'x' of why is not in [why]"));
    assert!(fault(&SAID.replace(".kk.f.", ".xk.f.")).contains("the mark 'x' of or is not in the legend"));
}

#[test]
fn what_does_not_fit_together_is_refused() {
    assert!(fault(&LAMPLIGHTER.replace("head = 1", "head = 2")).contains("adds up to 3"));
    assert!(fault(&LAMPLIGHTER.replace(".kkkk.", ".kkxk.")).contains("'x' is not in the legend"));
    assert!(fault("name = \"x\"").contains("does not say its format"));
    assert!(fault("format = 1").contains("name"));
    let twice = format!("{LAMPLIGHTER}\n[[legend]]\nmark = \"k\"\nbead = \"ink\"\nby = \"hand\"\n");
    assert!(fault(&twice).contains("appears twice"));
}

#[test]
fn an_empty_peg_lets_the_part_below_show() {
    let over = format!(
        "{LAMPLIGHTER}\n[[legend]]\nmark = \"g\"\nbead = \"gilt\"\nby = \"hand\"\n\n[[part]]\nname = \"lamp\"\nat = [0, 2]\nbeads = \"\"\"\n.g\n\"\"\"\n"
    );
    let figure = read("over.figure.toml", &over).unwrap();
    let beads = figure.beads();
    let mark = |row, column| beads[(Row(row), Column(column))].unwrap().mark.get();
    assert_eq!((mark(0, 2), mark(0, 3)), ('k', 'g'));
    assert_eq!(figure.counts().iter().map(|c| c.1).collect::<Vec<_>>(), [5, 1]);
}

fn marks() -> Vec<Mark> {
    Mark::ORDER.chars().filter_map(Mark::new).collect()
}

prop_compose! {
    fn any_entry(mark: Mark)(
        bead in "[a-z][a-z \"é-]{0,9}[a-z]", aim in proptest::option::of((0.0..100.0, -90.0..90.0, -90.0..90.0)),
        confidence in proptest::option::of(0.0..=1.0), by_hand in any::<bool>()
    ) -> LegendEntry {
        LegendEntry {
            mark,
            bead,
            aim: aim.map(|(l, a, b)| Lab::new(l, a, b)),
            confidence: confidence.map(Confidence::new),
            by: if by_hand { ChosenBy::Hand } else { ChosenBy::Match },
        }
    }
}

/// Words that a file may have: nothing that a terminal would obey.
const PRINTABLE: &str = "[^\\pC\\p{Zl}\\p{Zp}]{0,20}";

fn detectors() -> BTreeMap<Mark, String> {
    [('b', "belt"), ('-', "a \"new\" one")].map(|(mark, name)| (Mark::new(mark).unwrap(), name.into())).into()
}

prop_compose! {
    fn any_part(marks: usize)(
        name in PRINTABLE, rows in 1_usize..9, columns in 1_usize..9, at in (0_usize..5, 0_usize..5),
        cells in proptest::collection::vec((0..=marks, 0.0..1.2), 81),
        said in proptest::collection::vec((0_usize..3, 0_usize..5), 81)
    ) -> Part {
        let all = self::marks();
        let beads = Grid::from_fn(rows, columns, |row, column| {
            let (mark, sure) = cells[row.0 * 9 + column.0];
            let sure = if sure > 1.1 { Some(Sure::ByHand) } else if sure > 1.0 { None } else { Some(Sure::Likely(Step::of(Confidence::new(sure)))) };
            let (why, or) = said[row.0 * 9 + column.0];
            let why = detectors().into_keys().nth(why);
            let or = [Some(Second::Itself), Some(Second::Empty), Some(Second::Bead(all[0]))].into_iter().nth(or).flatten();
            all.get(mark).filter(|_| mark < marks).map(|&mark| Placed { why, or, ..Placed::new(mark, sure) })
        });
        Part { name, from: None, at: (Row(at.0), Column(at.1)), beads, bare: BTreeSet::new() }
    }
}

prop_compose! {
    fn any_corners()(at in (-500.0..500.0, -500.0..500.0), off in proptest::collection::vec(-99.0..99.0, 8)) -> Corners {
        let corner = |i: usize, x: f64, y: f64| (at.0 + x + off[2 * i], at.1 + y + off[2 * i + 1]);
        let points = [corner(0, 0.0, 0.0), corner(1, 900.0, 0.0), corner(2, 900.0, 700.0), corner(3, 0.0, 700.0)];
        Corners::of(points).unwrap()
    }
}

prop_compose! {
    fn any_meant()(
        rule in "[a-z-]{1,12}", why in "[a-z][^\\pC\\p{Zl}\\p{Zp}]{0,20}",
        at in proptest::option::of((0_usize..200, 0_usize..200))
    ) -> Meant {
        Meant { rule, at: at.map(|(row, column)| (Row(row), Column(column))), why }
    }
}

prop_compose! {
    fn any_figure()(
        name in PRINTABLE,
        entries in (2_usize..6).prop_flat_map(|n| marks().into_iter().take(n).map(any_entry).collect::<Vec<_>>()),
        parts in proptest::collection::vec(any_part(2), 1..4),
        stature in proptest::option::of(60.0..220.0), crop in proptest::option::of(any::<[u32; 4]>()),
        corners in proptest::option::of(any_corners()),
        with_rows in any::<bool>(), meant in proptest::collection::vec(any_meant(), 0..3)
    ) -> Figure {
        let rows = parts.iter().map(|p: &Part| p.at.0.0 + p.beads.rows()).max().unwrap();
        let rows = with_rows.then(|| ZoneRows::new([0, rows, 0, 0, 0, 0]).unwrap());
        let source = crop.map(|crop| Source { picture: name.clone(), crop: Some(crop), corners });
        let stature = stature.map(Centimetres);
        let description = Description { name, stature, class: None, source, rows, legend: entries, why: detectors(), parts, meant };
        Figure::new("any", description).unwrap()
    }
}

proptest! {
    #[test]
    fn what_is_written_reads_back_the_same(figure in any_figure()) {
        let text = write(&figure);
        let again = read("any", &text).map_err(|e| TestCaseError::fail(format!("{e}\n{text}")))?;
        prop_assert_eq!(&again, &figure);
        prop_assert_eq!(write(&again), text);
    }

    #[test]
    fn no_text_makes_reading_panic(text in "\\PC{0,200}", cut in 0..LAMPLIGHTER.len(), byte in any::<char>()) {
        let _ = read("any", &text);
        let mut mutated = LAMPLIGHTER.to_owned();
        mutated.replace_range(cut..cut + 1, &byte.to_string());
        let _ = read("any", &mutated);
        let _ = read("any", &LAMPLIGHTER[..cut]);
    }

    #[test]
    fn a_step_never_claims_more_than_the_confidence(p in 0.0..1.0_f64) {
        let step = Sure::Likely(Step::of(Confidence::new(p)));
        prop_assert_eq!(Sure::from_character(step.character()), Some(step));
        let Sure::Likely(step) = step else { unreachable!() };
        let width = if p < 0.9 { 0.05 } else { 0.005 };
        prop_assert!((step.confidence().get() - p).abs() <= width + 1e-6);
    }
}

#[test]
fn what_is_meant_so_is_read_counted_from_1_and_kept() {
    let noted =
        format!("{LAMPLIGHTER}\n[[meant]]\nrule = \"thin\"\nrow = 2\ncolumn = 5\nwhy = \"it is wired\"\n");
    let figure = read("noted", &noted).unwrap();
    let meant = &figure.meant()[0];
    assert_eq!((meant.rule.as_str(), meant.why.as_str()), ("thin", "it is wired"));
    assert_eq!(meant.at, Some((Row(1), Column(4))));
    assert_eq!(read("again", &write(&figure)).unwrap(), figure);
    for (old, new, said) in [
        ("row = 2\n", "", "only one of row and column"),
        ("row = 2", "row = 0", "names no bead"),
        ("why = \"it is wired\"", "why = \" \"", "the reason why"),
        ("why = \"it is wired\"", "", "why"),
        ("rule = \"thin\"", "rule = \"thin\"\nuntil = 3", "until"),
    ] {
        let why = fault(&noted.replacen(old, new, 1));
        assert!(why.contains(said), "{new}: {why}");
    }
}

/// The reference's own line of the lamplighter's file, with what may stand behind its crop.
fn with_corners(corners: &str) -> String {
    let crop = "crop = [12, 40, 610, 980]";
    assert!(LAMPLIGHTER.contains(crop));
    LAMPLIGHTER.replace(crop, &format!("{crop}{corners}"))
}

#[test]
fn the_corners_of_the_sheet_are_kept_to_a_tenth() {
    let text = with_corners(", corners = [930, 1240.04, 102.25, 88, 80, 1215, 911.0, 64]");
    let figure = read("sheet", &text).unwrap();
    let corners = figure.source().unwrap().corners.unwrap();
    assert_eq!(corners.points(), [(102.3, 88.0), (911.0, 64.0), (930.0, 1240.0), (80.0, 1215.0)]);
    let written = write(&figure);
    assert!(written.contains("corners = [102.3, 88, 911, 64, 930, 1240, 80, 1215] }"), "{written}");
    assert_eq!(read("again", &written).unwrap(), figure);
    // A change elsewhere leaves them; another name for the picture takes them along.
    let renamed = figure.clone().with_picture("other.png");
    let saved = saved(&text, &renamed);
    assert_eq!(read("saved", &saved).unwrap(), renamed);
}

#[test]
fn corners_that_are_none_are_told_with_their_line() {
    let line = 1 + LAMPLIGHTER.lines().position(|line| line.starts_with("reference")).unwrap();
    for (corners, said) in [
        ("[1, 2, 3]", "3 numbers instead of eight"),
        ("[10, 10, 90, 10, 90, 90, 70, 30]", "between the other three"),
        ("[10, 10, 90, 10, 90, 90, 10, nan]", "farther out"),
        ("[10, 10, 90, 10, 90, 90, 10, true]", "true, not a number"),
        ("\"10,10\"", "the text \"10,10\", not a list"),
    ] {
        let error = read("sheet", &with_corners(&format!(", corners = {corners}"))).unwrap_err().to_string();
        assert!(error.contains(said) && error.contains(&format!("line {line}")), "{corners}: {error}");
    }
    let error = read("sheet", &with_corners(", corner = 1")).unwrap_err().to_string();
    assert!(error.contains("no key 'corner'"), "{error}");
}

//! The plain body: what the trade says of it (common practice, no source), and what holds for every one.

use std::collections::BTreeSet;

use proptest::prelude::*;
use smallcast::cast::{Named, Outfit, plain_figure};
use smallcast::figure::{Figure, read, write};
use smallcast::grid::Grid;
use smallcast::plan::{
    BodyPart, Build, BuildKind, Classes, Facing, HeadShape, HeightClass, LegLook, Look, Material, PlainBody,
    Zone, ZoneRows,
};
use smallcast::rules;
use smallcast::tray::{Bead, Tray};
use smallcast::units::{Column, Row};

fn looks() -> impl Strategy<Value = Look> {
    let facing = prop::sample::select(Facing::ALL.to_vec());
    let legs = prop::sample::select(LegLook::ALL.to_vec());
    let head = prop::sample::select(HeadShape::ALL.to_vec());
    (facing, legs, 1..=3_u8, 4..=12_u8, head).prop_map(|(facing, legs, limbs, arms, head)| Look {
        facing,
        legs,
        limbs,
        arms,
        head,
    })
}

fn builds() -> impl Strategy<Value = Build> {
    (prop::sample::select(vec![3, 5, 7]), 1..=3).prop_map(|(torso, leg)| Build { torso, leg })
}

/// Rows of the trade's classes, and any others.
fn zones() -> impl Strategy<Value = ZoneRows> {
    let classes = prop::sample::select(HeightClass::ALL.map(|class| class.rows).to_vec());
    let any = prop::array::uniform6(0..=14_usize)
        .prop_filter_map("a figure has rows", |rows| ZoneRows::new(rows).ok());
    prop_oneof![1 => classes, 2 => any]
}

fn plain(class: &str, kind: BuildKind, look: Look) -> PlainBody {
    let rows = Classes::trade().named(class).unwrap().rows;
    PlainBody::new(&rows, Build::of(kind, &rows, look), look)
}

/// Pegs that can be reached from the first one side to side.
fn reached<T>(beads: &Grid<Option<T>>) -> usize {
    let first = beads.iter().find(|(_, _, bead)| bead.is_some()).map(|(row, column, _)| (row, column));
    let mut seen: BTreeSet<(Row, Column)> = first.into_iter().collect();
    let mut open: Vec<(Row, Column)> = first.into_iter().collect();
    while let Some((row, column)) = open.pop() {
        for (row, column, _) in beads.beside(row, column).filter(|(_, _, bead)| bead.is_some()) {
            if seen.insert((row, column)) {
                open.push((row, column));
            }
        }
    }
    seen.len()
}

fn count<T>(beads: &Grid<Option<T>>) -> usize {
    beads.iter().filter(|(_, _, bead)| bead.is_some()).count()
}

fn row_widths(grid: &Grid<Option<Material>>) -> Vec<usize> {
    let across = |row| (0..grid.columns()).filter(|&c| grid[(Row(row), Column(c))].is_some()).count();
    (0..grid.rows()).map(across).collect()
}

/// Common practice, no source: head of 5 rows (two beads on top, four rows of four, one for an ear), neck 1, torso 8
/// and 5 wide, arms 9 long and two thick, legs 9 and 2 wide with a gap, feet 1.
#[test]
fn the_guide_is_the_trade_s() {
    let body = plain("guide", BuildKind::Usual, Look::USUAL);
    assert_eq!(body.rows(), 24);
    let head = body.part(BodyPart::Head).unwrap();
    // The third row has the ear beside its four; the last is the neck.
    assert_eq!(row_widths(&head.beads), [2, 4, 5, 4, 4, 2]);
    let torso = body.part(BodyPart::Torso).unwrap();
    assert_eq!(row_widths(&torso.beads), [5; 8]);
    for arm in [BodyPart::LeftArm, BodyPart::RightArm] {
        let arm = body.part(arm).unwrap();
        assert_eq!(arm.at.0, torso.at.0, "from the shoulder");
        assert_eq!(arm.beads.rows(), 9);
        assert_eq!(row_widths(&arm.beads)[2..], [2; 7], "two thick");
    }
    let legs = body.part(BodyPart::Legs).unwrap();
    assert_eq!((legs.beads.rows(), legs.beads.columns()), (9, 5));
    assert!((0..9).all(|row| legs.beads[(Row(row), Column(2))].is_none()), "a gap of one");
    assert_eq!(row_widths(&legs.beads), [4; 9]);
    assert_eq!(body.part(BodyPart::Feet).unwrap().beads.rows(), 1);
    let left = body.part(BodyPart::LeftArm).unwrap().at.1;
    assert!(left > body.axis(), "the figure's left is on the looker's right");
}

/// Common practice, no source: stout builds have legs 3 wide and a torso 7 wide, thin limbs are 1 wide, the smallest
/// have a torso 3 wide; arms of one who faces forward are 7 long.
#[test]
fn builds_and_looks_have_the_trade_s_widths() {
    let width = |body: &PlainBody, part| body.part(part).unwrap().beads.columns();
    let stout = plain("guide", BuildKind::Stout, Look::USUAL);
    assert_eq!((width(&stout, BodyPart::Torso), width(&stout, BodyPart::Legs)), (7, 7));
    let thin = plain("guide", BuildKind::Thin, Look::USUAL);
    assert_eq!(row_widths(&thin.part(BodyPart::Legs).unwrap().beads), [2; 9]);
    assert_eq!(row_widths(&thin.part(BodyPart::LeftArm).unwrap().beads)[2..], [1; 7]);
    assert_eq!(width(&plain("small-child", BuildKind::Usual, Look::USUAL), BodyPart::Torso), 3);
    let forward = Look { facing: Facing::Forward, legs: LegLook::SolidWithLine, arms: 7, ..Look::USUAL };
    let body = plain("guide", BuildKind::Usual, forward);
    assert_eq!(body.part(BodyPart::LeftArm).unwrap().beads.rows(), 7);
    let legs = &body.part(BodyPart::Legs).unwrap().beads;
    assert!((0..9).all(|row| legs[(Row(row), Column(2))] == Some(Material::Line)));
    let square = plain("guide", BuildKind::Usual, Look { head: HeadShape::Square, ..Look::USUAL });
    assert_eq!(row_widths(&square.part(BodyPart::Head).unwrap().beads), [4, 4, 5, 4, 4, 2]);
}

#[test]
fn plain_bodies_look_as_a_maker_would_peg_them() {
    let forward = Look {
        facing: Facing::Forward,
        legs: LegLook::SolidWithLine,
        arms: 7,
        head: HeadShape::Square,
        ..Look::USUAL
    };
    let shown = [
        ("the guide", plain("guide", BuildKind::Usual, Look::USUAL)),
        ("very tall and stout", plain("very-tall", BuildKind::Stout, Look::USUAL)),
        ("an older child, facing forward", plain("older-child", BuildKind::Usual, forward)),
        ("a small child", plain("small-child", BuildKind::Usual, Look::USUAL)),
    ];
    let shown: Vec<String> = shown.iter().map(|(name, body)| format!("{name}\n{}", body.text())).collect();
    insta::assert_snapshot!(shown.join("\n"));
}

/// Every class in every named build and look passes the rules as it is: a body to dress begins sound. Legs of ten rows
/// are too long to be one bead thin, and the rule may say so.
#[test]
fn every_class_build_and_look_passes_the_rules() {
    let tray = Tray::embedded();
    let outfit = Outfit::from_tray(&tray);
    let all: Vec<&rules::Rule> = rules::RULES.iter().collect();
    for (class, kind) in HeightClass::ALL.iter().flat_map(|class| BuildKind::ALL.map(|kind| (class, kind))) {
        for (facing, legs) in Facing::ALL.into_iter().flat_map(|f| LegLook::ALL.map(|legs| (f, legs))) {
            for (limbs, arms) in [(1, 9), (2, 7), (2, 9), (3, 12)] {
                let look = Look { facing, legs, limbs, arms, head: HeadShape::Round };
                let build = Build::of(kind, &class.rows, look);
                if build.leg == 1 && legs == LegLook::Parted && class.rows.get(Zone::Legs) > 9 {
                    continue;
                }
                let figure = figure(&class.rows, build, look, &outfit, &tray);
                let found = &rules::check(&[&figure], &tray, &all)[0].findings;
                assert!(found.is_empty(), "{} {} {look:?}: {found:?}", class.name, kind.name());
            }
        }
    }
}

fn figure(zones: &ZoneRows, build: Build, look: Look, outfit: &Outfit, tray: &Tray) -> Figure {
    let body = PlainBody::new(zones, build, look);
    let named = Named { name: "Plain", ..Named::default() };
    plain_figure(&named, &body, zones, outfit, tray).unwrap()
}

/// A tray of two beads has to serve all: what touches takes what can be told apart as far as that goes.
#[test]
fn a_poor_tray_still_gives_a_body() {
    let two = Tray::embedded().iter().take(2).map(|(_, bead)| bead.clone()).collect::<Vec<Bead>>();
    let tray = Tray::new("two beads", two).unwrap();
    let outfit = Outfit::from_tray(&tray);
    let body = figure(&HeightClass::GUIDE.rows, Build { torso: 5, leg: 2 }, Look::USUAL, &outfit, &tray);
    assert!(body.legend().len() <= 2);
    let milk = tray.iter().next().unwrap().0;
    assert_eq!(outfit.with(Material::Shirt, milk).bead(Material::Shirt), milk);
}

proptest! {
    #[test]
    fn a_plain_body_keeps_its_laws(zones in zones(), build in builds(), look in looks()) {
        let body = PlainBody::new(&zones, build, look);
        let beads = body.beads();
        prop_assert_eq!(beads.rows(), zones.total());
        prop_assert!(row_widths(&beads).iter().all(|&beads| beads > 0), "an empty row\n{}", body.text());
        prop_assert_eq!(reached(&beads), count(&beads), "not joined\n{}", body.text());
        // What a zone has rows for is there; what it has none for is not.
        let has = |part| body.part(part).is_some();
        prop_assert_eq!(has(BodyPart::Torso), zones.get(Zone::Torso) > 0);
        prop_assert_eq!(has(BodyPart::LeftArm) && has(BodyPart::RightArm), zones.get(Zone::Torso) > 0);
        prop_assert_eq!(has(BodyPart::Legs), zones.get(Zone::Legs) > 0);
        prop_assert_eq!(has(BodyPart::Feet), zones.get(Zone::Feet) > 0);
        prop_assert_eq!(has(BodyPart::Head), zones.get(Zone::Head) + zones.get(Zone::Neck) > 0);
        prop_assert_eq!(has(BodyPart::Hair), zones.get(Zone::Head) > 1 || zones.get(Zone::Headwear) > 0);
        // Mirrored on the axis, but for the head of one who is turned.
        let turned = look.facing == Facing::Turned;
        let shoulders = Zone::ALL[..3].iter().map(|&zone| zones.get(zone)).sum::<usize>();
        let is_head = |row: Row| row.0 < shoulders;
        let at = |row: Row, offset: isize| {
            let column = body.axis().0.checked_add_signed(offset)?;
            beads.get(row, Column(column)).copied().flatten()
        };
        for (row, column, bead) in beads.iter().filter(|(row, _, _)| !(turned && is_head(*row))) {
            let offset = column.0 as isize - body.axis().0 as isize;
            prop_assert_eq!(at(row, -offset), *bead, "row {}\n{}", row.0, body.text());
        }
    }

    #[test]
    fn a_plain_figure_is_read_back_as_it_was_written(zones in zones(), build in builds(), look in looks()) {
        let tray = Tray::embedded();
        let figure = figure(&zones, build, look, &Outfit::from_tray(&tray), &tray);
        prop_assert_eq!(&read("plain.figure.toml", &write(&figure)).unwrap(), &figure);
        prop_assert_eq!(figure.beads().rows(), zones.total());
    }
}

//! What holds for every change: it can be undone and done again exactly, and it touches nothing by hand.

use proptest::prelude::*;
use smallcast::figure::{
    AtHand, ColumnIn, Edit, Figure, History, NoOthers, Placed, RowIn, Side, Spot, Sure, Way, read, write,
};
use smallcast::plan::Zone;
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

use crate::common::{after, bead_at, count, walker};

fn spot() -> impl Strategy<Value = Spot> {
    (-2..10_i32, -2..7_i32).prop_map(|(row, column)| Spot { row, column })
}

fn spots() -> impl Strategy<Value = Vec<Spot>> {
    let block = (spot(), 1..4_i32, 1..4_i32).prop_map(|(Spot { row: top, column }, rows, columns)| {
        let row = |row: i32| (column..column + columns).map(move |column| Spot { row, column });
        (top..top + rows).flat_map(row).collect::<Vec<_>>()
    });
    let one = spot().prop_map(|spot| vec![spot]);
    prop::collection::vec(prop_oneof![one, block], 1..4).prop_map(|blocks| blocks.concat())
}

fn bead() -> impl Strategy<Value = String> {
    // Two of the figure, one of the tray alone, one of neither.
    prop::sample::select(vec!["hazel", "navy", "coal", "poppy", "unheard of"]).prop_map(str::to_owned)
}

fn part() -> impl Strategy<Value = String> {
    prop::sample::select(vec!["body", "cape", "hat box", "nobody"]).prop_map(str::to_owned)
}

fn row_in() -> impl Strategy<Value = RowIn> {
    let zone = prop::sample::select(Zone::ALL.to_vec());
    prop_oneof![
        zone.clone().prop_map(RowIn::Middle),
        (zone, 0..9_usize).prop_map(|(zone, row)| RowIn::Of(zone, Row(row))),
        (0..9_usize).prop_map(|row| RowIn::Row(Row(row))),
    ]
}

fn column_in() -> impl Strategy<Value = ColumnIn> {
    let zone = prop::option::of(prop::sample::select(Zone::ALL.to_vec()));
    let side = prop::sample::select(vec![Side::Left, Side::Right]);
    (zone, 0..7_usize, side).prop_map(|(zone, column, side)| ColumnIn { zone, column: Column(column), side })
}

/// Any change but one that needs another figure.
pub fn edit() -> impl Strategy<Value = Edit> {
    let way = prop::sample::select(vec![Way::Left, Way::Right, Way::Up, Way::Down]);
    let words = prop::sample::select(vec!["Walker", "the \"lame\" one", "a\\b", "x\ny", "in", "Ännchen"]);
    prop_oneof![
        (spots(), bead(), prop::option::of(part())).prop_map(|(spots, bead, part)| Edit::Place {
            spots,
            bead,
            part
        }),
        (prop::collection::vec((spots(), bead()), 2..4), prop::option::of(part()))
            .prop_map(|(beads, part)| Edit::PlaceSeveral { beads, part }),
        (spots(), prop::option::of(part())).prop_map(|(spots, part)| Edit::Lift { spots, part }),
        (bead(), bead(), prop::option::of(part()), any::<bool>())
            .prop_map(|(old, new, part, by_hand)| Edit::Swap { old, new, part, by_hand }),
        (prop::collection::vec((bead(), bead()), 1..3), any::<bool>())
            .prop_map(|(beads, by_hand)| Edit::Rematch { beads, by_hand }),
        (part(), way, 1..4_u16).prop_map(|(part, way, by)| Edit::Shift { part, way, by }),
        part().prop_map(|part| Edit::Mirror { part }),
        row_in().prop_map(Edit::AddRow),
        row_in().prop_map(Edit::DropRow),
        column_in().prop_map(Edit::AddColumn),
        column_in().prop_map(Edit::DropColumn),
        part().prop_map(|name| Edit::NewPart { name }),
        part().prop_map(|part| Edit::Remove { part }),
        (part(), part()).prop_map(|(part, name)| Edit::Call { part, name }),
        (part(), prop::option::of(part())).prop_map(|(part, other)| Edit::Over { part, other }),
        (part(), prop::option::of(part())).prop_map(|(part, other)| Edit::Under { part, other }),
        (spot(), bead(), prop::option::of(part())).prop_map(|(at, bead, part)| Edit::Fill { at, bead, part }),
        (spots(), spot(), any::<bool>()).prop_map(|(spots, to, mirrored)| Edit::Move { spots, to, mirrored }),
        (spots(), spot(), any::<bool>(), prop::option::of(part()))
            .prop_map(|(spots, to, mirrored, part)| Edit::Copy { spots, to, mirrored, part }),
        spots().prop_map(|spots| Edit::MirrorThese { spots }),
        (part(), spots()).prop_map(|(name, spots)| Edit::PartOf { name, spots }),
        (bead(), prop::sample::select(vec!['x', 'n', '+'])).prop_map(|(old, new)| Edit::Mark { old, new }),
        spots().prop_map(|spots| Edit::Keep { spots }),
        bead().prop_map(|bead| Edit::KeepBead { bead }),
        spots().prop_map(|spots| Edit::Doubt { spots }),
        (
            prop::option::of((0..999_i32, 0..999_i32).prop_map(|(row, column)| Spot { row, column })),
            words.clone()
        )
            .prop_map(|(at, why)| Edit::Meant { rule: "thin".into(), at, why: why.into() }),
        prop::option::of(spot()).prop_map(|at| Edit::NotMeant { rule: "thin".into(), at }),
        words.clone().prop_map(|name| Edit::Name { name: name.into() }),
        words.clone().prop_map(|picture| Edit::Reference { picture: picture.into() }),
        words.prop_map(|name| Edit::Class { name: name.into() }),
        (400..4000_u16).prop_map(|millimetres| Edit::Stands { millimetres }),
    ]
}

fn by_hand(figure: &Figure) -> usize {
    let settled = |placed: &Option<Placed>| placed.is_some_and(|p| p.sure == Some(Sure::ByHand));
    figure.parts().iter().map(|part| part.beads.iter().filter(|(.., placed)| settled(placed)).count()).sum()
}

/// Whether a change names beads placed by hand itself.
fn may_touch_hand(edit: &Edit) -> bool {
    match edit {
        Edit::Swap { by_hand, .. } | Edit::Rematch { by_hand, .. } => *by_hand,
        Edit::Fill { .. } | Edit::Move { .. } | Edit::Copy { .. } | Edit::MirrorThese { .. } => true,
        Edit::Place { .. } | Edit::PlaceSeveral { .. } | Edit::Lift { .. } => true,
        Edit::Doubt { .. } | Edit::Remove { .. } => true,
        Edit::DropRow(_) | Edit::DropColumn(_) => true,
        _ => false,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn a_line_says_its_change(edit in edit()) {
        prop_assert_eq!(Edit::parse(&edit.to_string()).unwrap(), edit);
    }

    #[test]
    fn whatever_was_done_is_undone_and_done_again(edits in prop::collection::vec(edit(), 1..12)) {
        let tray = Tray::embedded();
        let at_hand = AtHand::new(&tray, &NoOthers);
        let first = walker();
        let mut history = History::new(&first);
        let mut seen = vec![first];
        for edit in &edits {
            // A refused change leaves no trace.
            let Ok(edited) = seen[seen.len() - 1].edited(edit, &at_hand) else { continue };
            history.record(&edit.to_string(), &edited.figure);
            // A figure that was changed keeps its promises: it reads back as it is.
            prop_assert_eq!(&read("again", &write(&edited.figure)).unwrap(), &edited.figure);
            seen.push(edited.figure);
        }
        prop_assert_eq!(&History::read("again", &history.write()).unwrap(), &history);
        for at in (0..seen.len() - 1).rev() {
            prop_assert_eq!(&history.undo("f", &seen[at + 1]).unwrap().figure, &seen[at]);
        }
        prop_assert!(history.undo("f", &seen[0]).is_err());
        for at in 1..seen.len() {
            prop_assert_eq!(&history.redo("f", &seen[at - 1]).unwrap().figure, &seen[at]);
        }
    }

    #[test]
    fn what_lies_by_hand_stays(edit in edit().prop_filter("names it", |edit| !may_touch_hand(edit))) {
        let tray = Tray::embedded();
        let before = walker();
        if let Ok(edited) = before.edited(&edit, &AtHand::new(&tray, &NoOthers)) {
            prop_assert!(by_hand(&edited.figure) >= by_hand(&before), "{edit}");
            // Shoes and the one bead of the coat, whatever else moved.
            let hand = |figure: &Figure, bead: &str| {
                let beads = figure.parts().iter().flat_map(|part| part.beads.iter().map(|(.., p)| *p));
                let placed = beads.flatten().filter(|p| p.sure == Some(Sure::ByHand));
                placed.filter(|p| figure.entry(p.mark).is_some_and(|e| e.bead == bead)).count()
            };
            for bead in ["coal", "navy"] {
                prop_assert!(hand(&edited.figure, bead) >= hand(&before, bead), "{edit}: {bead}");
            }
        }
    }
}

#[test]
fn a_swap_leaves_what_lies_by_hand_unless_it_says_so() {
    let figure = walker();
    let swapped = after(&figure, "swap navy moss").unwrap();
    assert_eq!((swapped.kept_by_hand, count(&swapped.figure, "navy")), (1, 1));
    assert_eq!(bead_at(&swapped.figure, 3, 3), Some(("navy".into(), true)));
    let all = after(&figure, "swap navy moss by-hand").unwrap();
    assert_eq!((all.kept_by_hand, count(&all.figure, "navy")), (0, 0));
    let either = |line| after(&figure, line).unwrap().figure;
    assert_eq!(either("swap navy moss by-hand in body"), either("swap navy moss in body by-hand"));
    assert_eq!(swapped.changed.len(), count(&figure, "navy") - 1, "each bead that is another now");
    let cape = after(&figure, "swap navy moss in cape").unwrap();
    assert_eq!(count(&cape.figure, "moss"), 3);
}

#[test]
fn beads_go_where_the_line_says_also_left_of_the_figure() {
    let placed = after(&walker(), "place 4,0 0,2 poppy").unwrap();
    assert_eq!(placed.moved, (1, 1), "a row above, a column to the left");
    assert_eq!(bead_at(&placed.figure, 5, 1), Some(("poppy".into(), true)));
    assert_eq!(bead_at(&placed.figure, 1, 3), Some(("poppy".into(), true)));
    assert_eq!(placed.figure.rows().unwrap().total(), 9, "zones follow the grid");
}

#[test]
fn a_note_never_leads_out_of_the_figure() {
    assert!(after(&walker(), "meant thin 1000,1 \"far\"").is_err());
    // The cape's note goes with the row it lies in, and the figure still reads back.
    let mut figure = walker();
    for _ in 0..5 {
        figure = after(&figure, "drop-row 3").unwrap().figure;
        assert_eq!(read("again", &write(&figure)).unwrap(), figure);
    }
}

#[test]
fn rows_come_and_go_in_their_zone() {
    let figure = walker();
    let taller = after(&figure, "add-row legs").unwrap().figure;
    assert_eq!((taller.rows().unwrap().get(Zone::Legs), taller.beads().rows()), (3, 9));
    let by_hand = |figure: &Figure| {
        let beads = figure.parts().iter().flat_map(|part| part.beads.iter());
        beads.filter(|bead| bead.2.is_some_and(|placed| placed.sure == Some(Sure::ByHand))).count()
    };
    let placed = after(&figure, "place 4,2 coal").unwrap().figure;
    let doubled = after(&placed, "add-row 4").unwrap().figure;
    assert_eq!(by_hand(&doubled), by_hand(&placed), "the new row's beads were placed by nobody");
    let shorter = after(&figure, "drop-row torso 4").unwrap().figure;
    assert_eq!((shorter.rows().unwrap().get(Zone::Torso), shorter.beads().rows()), (2, 7));
    assert!(after(&figure, "drop-row torso 1").is_err(), "row 1 is of the head");
}

#[test]
fn columns_come_and_go_in_their_zone_and_what_lies_beyond_moves() {
    let figure = walker();
    let rows = |figure: &Figure| {
        let beads = figure.beads();
        let mark = |r: usize, c: usize| beads[(Row(r), Column(c))].map_or('.', |placed| placed.mark.get());
        let row = |r: usize| (0..beads.columns()).map(|c| mark(r, c)).collect::<String>();
        (0..beads.rows()).map(row).collect::<Vec<_>>()
    };
    let wide = after(&figure, "add-column torso 3 right").unwrap().figure;
    insta::assert_snapshot!(format!("{}\n\n{}", rows(&figure).join("\n"), rows(&wide).join("\n")));
    let back = after(&wide, "drop-column torso 4 right").unwrap().figure;
    assert_eq!(rows(&back), rows(&figure), "what was added can be dropped");
    let left = after(&figure, "add-column torso 3 left").unwrap();
    assert_eq!(left.moved, (0, 1), "the figure's first peg moves to the right");
    let back = after(&left.figure, "drop-column torso 3 left").unwrap().figure;
    let trimmed = |figure: &Figure| {
        rows(figure).iter().map(|row| row.trim_start_matches('.').to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(trimmed(&back), trimmed(&figure));
    assert!(after(&figure, "add-column torso 99").is_err());
    assert!(after(&figure, "add-column 3 in torso").is_err());
}

#[test]
fn a_class_is_a_name_and_leaves_the_rows() {
    let figure = after(&walker(), "stands 5ft5in").unwrap().figure;
    assert_eq!(figure.stature().map(|cm| cm.0), Some(165.1));
    let lanky = after(&figure, "class lanky").unwrap().figure;
    assert_eq!((lanky.class(), lanky.stature(), lanky.rows()), (Some("lanky"), None, walker().rows()));
    assert!(after(&figure, "stands 9").is_err());
}

#[test]
fn what_cannot_be_is_said_with_what_was_likely_meant() {
    for (line, hint) in [
        ("swap navi moss", "navy"),
        ("place 1,1 popy", "poppy"),
        ("mirror cap", "cape"),
        ("shwap navy moss", "swap"),
        ("place 4 6 moss", "4,6"),
        ("add-row torsoe", "torso"),
        ("meant thin 900,3 \"far out\"", "does not reach"),
    ] {
        let error = after(&walker(), line).unwrap_err();
        let said = format!("{error} {}", error.hint());
        assert!(said.contains(hint), "{line}: {said}");
    }
}

//! Names, trays made of what was seen, and older trays renewed.

use proptest::prelude::*;
use smallcast::colour::{Lab, Srgb};
use smallcast::seen_beads::{
    Doubt, OwnTray, Pose, ReadColour, SeenBead, SeenBeads, SeenLight, Unreadable, names_of,
};
use smallcast::tray::{Bead, Tray};
use smallcast::units::DeltaE;

const LIGHT: SeenLight = SeenLight { kelvins: Some(6500.0), brightness: 0.8, unevenness: 1.1, chroma: 0.0 };

fn seen(colour: Result<Lab, Unreadable>) -> SeenBead {
    let colour = colour.map(|lab| ReadColour { lab, uncertainty: DeltaE(1.5) });
    SeenBead {
        place: (10.0, 10.0),
        radius: 8.0,
        pose: Pose::Upright,
        shown: Srgb::new(1, 2, 3),
        colour,
        doubts: vec![Doubt::Glossy],
    }
}

fn all_of(colours: &[Result<Lab, Unreadable>]) -> SeenBeads {
    let beads = colours.iter().map(|colour| seen(*colour)).collect();
    SeenBeads { beads, rows: vec![colours.len()], patch: None, light: LIGHT, corners: None }
}

fn names(of: &[&str]) -> Vec<String> {
    of.iter().map(ToString::to_string).collect()
}

#[test]
fn names_stand_one_a_line_and_empty_lines_say_nothing() {
    let read = names_of("n.txt", "\u{feff}coal\r\n\r\n  red brick \nÉtoile\n".as_bytes());
    assert_eq!(read, Ok(names(&["coal", "red brick", "Étoile"])));
}

#[test]
fn names_that_could_not_be_a_trays_are_refused_with_their_line() {
    let said = |bytes: &[u8]| names_of("n.txt", bytes).expect_err("a fault").to_string();
    assert_eq!(said(b"\n \n"), "--names n.txt: there is no name in it");
    assert_eq!(said(b"ash\ncoal\nash\n"), "--names n.txt: ash is on line 1 and again on line 3");
    assert_eq!(said(b"ash\n\xff"), "--names n.txt: it is not plain text in UTF-8");
    assert!(said(b"ash\nco\x1bal").contains("line 2: there is a control character"));
    assert!(said("x".repeat(65).as_bytes()).contains("line 1: it is longer than 64"));
}

#[test]
fn more_or_fewer_beads_than_names_are_refused_with_the_rows_that_were_seen() {
    let grey = Ok(Lab::new(50.0, 0.0, 0.0));
    let mut three = all_of(&[grey, grey, grey]);
    three.rows = vec![2, 1];
    let said = |of: &[&str]| {
        OwnTray::of(("p.jpg", &three), ("n.txt", &names(of)), None).expect_err("a fault").to_string()
    };
    assert_eq!(
        said(&["a", "b"]),
        "--names n.txt: it has 2 names for 3 beads seen in the photograph, in 2 rows of 2 and 1"
    );
    assert!(said(&["a", "b", "c", "d"]).contains("it has 4 names for 3 beads"));
}

#[test]
fn beads_without_one_colour_are_left_out_and_named() {
    let seen = all_of(&[Ok(Lab::new(30.0, 5.0, 5.0)), Err(Unreadable::Clear), Err(Unreadable::Glitter)]);
    let named = names(&["brick", "ice", "star"]);
    let own = OwnTray::of(("p.jpg", &seen), ("n.txt", &named), None).expect("a tray");
    assert_eq!(own.left_out, [("ice".into(), Unreadable::Clear), ("star".into(), Unreadable::Glitter)]);
    assert_eq!(own.tray.len(), 1);
    let none = all_of(&[Err(Unreadable::Clear)]);
    assert!(OwnTray::of(("p.jpg", &none), ("n.txt", &names(&["ice"])), None).is_err());
}

#[test]
fn an_older_tray_keeps_its_counts_and_what_was_not_photographed() {
    let older = b"name,L,a,b,uncertainty,count,finish,price,note\n\
        brick,30,5,5,1,40,matt,2.50,left bag\n\
        moss,40,-20,20,,7,,,\n\
        ice,90,0,0,,3,Clear,,\n\
        far,80,0,0,,1,,,\n";
    let older = Tray::parse("old.csv", older).expect("a tray");
    let colours = [
        Ok(Lab::new(31.0, 5.0, 5.0)),
        Ok(Lab::new(60.0, -20.0, 20.0)),
        Ok(Lab::new(88.0, 0.0, 0.0)),
        Ok(Lab::new(10.0, 0.0, 0.0)),
    ];
    let named = names(&["brick", "moss", "ice", "new"]);
    let own = OwnTray::of(("p.jpg", &all_of(&colours)), ("n.txt", &named), Some(&older)).expect("a tray");
    let bead = |name: &str| own.tray.bead(own.tray.find(name).expect("a bead")).clone();
    let brick = bead("brick");
    assert_eq!((brick.count, brick.note.as_deref()), (Some(40), Some("left bag")));
    assert_eq!((brick.lab, brick.uncertainty), (Lab::new(31.0, 5.0, 5.0), Some(DeltaE(1.5))));
    assert_eq!(bead("ice").lab, Lab::new(90.0, 0.0, 0.0), "the maker said it is clear");
    assert_eq!(bead("far").lab, Lab::new(80.0, 0.0, 0.0), "it was not photographed");
    assert_eq!(own.kept, ["ice", "far"]);
    let verdicts: Vec<_> = own.renewed.iter().map(|bead| (bead.name.as_str(), bead.is_within)).collect();
    assert_eq!(verdicts, [("brick", true), ("moss", false)]);
}

#[test]
fn the_uncertainty_is_a_number_from_0_and_a_tray_without_it_stands() {
    let tray =
        |cell: &str| Tray::parse("t.csv", format!("name,hex,uncertainty\ncoal,1f2023,{cell}\n").as_bytes());
    let uncertainty = |tray: Tray| tray.iter().next().and_then(|(_, bead)| bead.uncertainty);
    assert_eq!(uncertainty(tray("1.5").expect("a tray")), Some(DeltaE(1.5)));
    assert_eq!(uncertainty(tray("").expect("a tray")), None);
    for wrong in ["-0.1", "101", "NaN", "inf", "some"] {
        let said = tray(wrong).expect_err("a fault").to_string();
        assert!(said.starts_with("t.csv, line 2, uncertainty: "), "{said}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// What is written is read again: names with commas and quotation marks, colours to the second decimal.
    #[test]
    fn a_written_tray_is_read_again(
        beads in prop::collection::btree_map(
            "[a-zé][a-z\",é ]{0,12}[a-z]",
            (0_u32..=10_000, -9_000_i32..9_000, -9_000_i32..9_000, prop::option::of(0_u32..300),
             prop::option::of("[a-z][a-z,\" ]{0,9}[a-z]")),
            1..12,
        )
    ) {
        let beads: Vec<Bead> = beads
            .into_iter()
            .map(|(name, (l, a, b, count, note))| Bead {
                uncertainty: count.map(|count| DeltaE(f64::from(count) / 10.0)),
                count,
                note,
                ..Bead::new(name, Lab::new(f64::from(l) / 100.0, f64::from(a) / 100.0, f64::from(b) / 100.0))
            })
            .map(|bead| Bead { uncertainty: bead.uncertainty.filter(|u| u.0 <= 100.0), ..bead })
            .collect();
        let tray = Tray::new("made", beads).expect("names are unique");
        let text = tray.written(&["a remark, with a comma".into()]);
        prop_assert_eq!(Tray::parse("written", text.as_bytes()).expect("it is read"), tray);
    }
}

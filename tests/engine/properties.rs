//! Laws that hold for any input.

use proptest::prelude::*;
use smallcast::colour::{Lab, Srgb, ciede2000};
use smallcast::plan::{MOST_ROWS, ZoneRows, zones_for_rows};
use smallcast::tray::{Eyes, HARD_TO_TELL, Likeness, Tray};
use smallcast::units::DeltaE;

fn any_lab() -> impl Strategy<Value = Lab> {
    (0.0..=100.0, -128.0..=128.0, -128.0..=128.0).prop_map(|(l, a, b)| Lab::new(l, a, b))
}

fn any_srgb() -> impl Strategy<Value = Srgb> {
    any::<[u8; 3]>().prop_map(|[r, g, b]| Srgb::new(r, g, b))
}

fn any_zones() -> impl Strategy<Value = ZoneRows> {
    prop::array::uniform6(0..=MOST_ROWS / 6)
        .prop_filter_map("a figure has rows", |rows| ZoneRows::new(rows).ok())
}

/// Bytes that often come near to a tray file.
fn any_file() -> impl Strategy<Value = Vec<u8>> {
    let piece = prop_oneof![
        Just("name,hex,count\n".into()),
        Just("name,L,a,b,white,count,finish,pack,price,note\n".into()),
        "[a-z]{1,6},#?[0-9a-f]{6},[0-9]{0,3}\r?\n",
        "[a-z]{1,3},[0-9.-]{1,5},[0-9.-]{1,5},[0-9.-]{1,5},D50,,,,,\n",
        "[\",;#\r\n\t a-f0-9\u{feff}-]{0,12}",
        "\\PC{0,8}",
    ];
    let text = prop::collection::vec(piece, 0..8).prop_map(|pieces| pieces.concat().into_bytes());
    prop_oneof![4 => text, 1 => prop::collection::vec(any::<u8>(), 0..200)]
}

proptest! {
    #[test]
    fn ciede2000_is_a_symmetric_difference(one in any_lab(), other in any_lab()) {
        let (there, back) = (ciede2000(one, other).0, ciede2000(other, one).0);
        prop_assert!(there.is_finite() && there >= 0.0);
        prop_assert!((there - back).abs() < 1e-9);
        prop_assert_eq!(ciede2000(one, one).0, 0.0);
    }

    #[test]
    fn ciede2000_survives_the_corners_of_the_cube(
        corner in prop::array::uniform6(prop::sample::select(vec![-128.0, -1e-300, 0.0, 1e-300, 128.0])),
    ) {
        let [l1, a1, b1, l2, a2, b2] = corner;
        let difference = ciede2000(Lab::new(f64::abs(l1), a1, b1), Lab::new(f64::abs(l2), a2, b2)).0;
        prop_assert!(difference.is_finite() && difference >= 0.0);
    }

    #[test]
    fn srgb_comes_back_from_lab(srgb in any_srgb()) {
        prop_assert_eq!(srgb.lab().srgb(), srgb);
        prop_assert!(srgb.lab().is_displayable());
    }

    #[test]
    fn srgb_comes_back_from_text(srgb in any_srgb()) {
        prop_assert_eq!(srgb.to_string().parse(), Ok(srgb));
        prop_assert_eq!(srgb.to_string().to_uppercase().trim_start_matches('#').parse(), Ok(srgb));
    }

    #[test]
    fn simulated_eyes_see_grey_as_grey(value in any::<u8>()) {
        let grey = Srgb::new(value, value, value);
        for eyes in Eyes::ALL {
            prop_assert!(ciede2000(eyes.see(grey.lab()), grey.lab()).0 < 0.01);
        }
    }

    #[test]
    fn zones_come_back_from_text(zones in any_zones()) {
        prop_assert_eq!(ZoneRows::parse(&zones.to_string()), Ok(zones));
    }

    #[test]
    fn no_bytes_make_the_tray_reader_panic(bytes in any_file()) {
        match Tray::parse("any.csv", &bytes) {
            Ok(tray) => prop_assert!(tray.len() > 0),
            Err(error) => {
                prop_assert!(error.to_string().starts_with("any.csv"));
                prop_assert!(!error.hint().is_empty());
            }
        }
    }

    #[test]
    fn nearest_is_sorted_and_holds_the_nearest(lab in any_lab(), n in 0..80_usize) {
        let tray = Tray::embedded();
        let near = tray.nearest(lab, n);
        prop_assert_eq!(near.len(), n.min(tray.len()));
        prop_assert!(near.windows(2).all(|pair| pair[0].1 <= pair[1].1));
        let least = tray.iter().map(|(_, bead)| ciede2000(lab, bead.lab).0).fold(f64::INFINITY, f64::min);
        prop_assert!(near.first().is_none_or(|(_, apart)| apart.0 == least));
    }

    #[test]
    fn words_for_differences_never_go_back(one in 0.0..30.0_f64, more in 0.0..30.0_f64) {
        prop_assert!(Likeness::of(DeltaE(one)) <= Likeness::of(DeltaE(one + more)));
    }

    #[test]
    fn pairs_hard_to_tell_apart_are_so_to_some_eyes(beads in prop::collection::vec(any_srgb(), 1..12)) {
        let mut text = String::from("name,hex\n");
        for (at, srgb) in beads.iter().enumerate() {
            text.push_str(&format!("bead{at},{srgb}\n"));
        }
        let tray = Tray::parse("any.csv", text.as_bytes()).expect("plain names and colours");
        let pairs = tray.alike(HARD_TO_TELL);
        let mut expected = 0;
        for (at, (_, one)) in tray.iter().enumerate() {
            for (_, other) in tray.iter().skip(at + 1) {
                let alike = |eyes: Eyes| ciede2000(eyes.see(one.lab), eyes.see(other.lab)) <= HARD_TO_TELL;
                expected += usize::from(Eyes::ALL.into_iter().any(alike));
            }
        }
        prop_assert_eq!(pairs.len(), expected);
        prop_assert!(pairs.iter().all(|pair| pair.alike_to(HARD_TO_TELL).next().is_some()));
    }
}

#[test]
fn zones_for_rows_add_up() {
    for rows in 1..=MOST_ROWS {
        assert_eq!(zones_for_rows(rows).total(), rows);
    }
}

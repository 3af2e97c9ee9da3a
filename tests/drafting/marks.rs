//! Marks far smaller than a bead that a maker sets as whole beads: a belt and its buckle
//! (`src/trial/sketches`, two designs of each; common practice, no source).

use std::path::Path;

use smallcast::draft::{Draft, DraftOptions, Size, draft};
use smallcast::plan::HeightClass;
use smallcast::reference::open::{Limits, open};
use smallcast::tray::Tray;

use crate::design::{PAPER, drafted, lightness, man, row};
use crate::sketch::{HEAD, options};

const LEATHER: [u8; 3] = [0x7a, 0x3c, 0x18];
const BRASS: [u8; 3] = [0xf2, 0xc0, 0x30];
const COAT: [u8; 3] = [0x2f, 0x86, 0x4a];

/// A place in the coat well above the trousers, from the ground in shares of height.
const BELT: f64 = 0.615;

/// The man with a belt so high across his coat, in shares of his height, and a buckle of a half-width on it.
fn belted(high: f64, buckle: f64, belt: [u8; 3]) -> Draft {
    let picture = man(|x, y, drawn| {
        let is_coat = drawn == COAT && x.abs() < 0.095;
        let lies = (y - BELT).abs();
        if is_coat && x.abs() < buckle && lies < high * 0.5 + 0.003 {
            BRASS
        } else if is_coat && lies < high / 2.0 {
            belt
        } else {
            drawn
        }
    });
    drafted(picture, &options())
}

/// Rows of the torso that have at least so many of some beads.
fn rows_with(draft: &Draft, least: usize, beads: &[&str]) -> Vec<usize> {
    let count = |at: &usize| row(draft, *at).iter().filter(|bead| beads.contains(&bead.1.as_str())).count();
    (6..13).filter(|at| count(at) >= least).collect()
}

const BROWN: [&str; 6] = ["chestnut", "cocoa", "russet", "mole", "peat", "rust"];
const GOLD: [&str; 4] = ["yolk", "mustard", "gilt", "honey"];

#[test]
fn a_belt_far_lower_than_a_bead_is_a_whole_row() {
    let draft = belted(0.015, 0.0, LEATHER);
    let belt = rows_with(&draft, 5, &BROWN);
    assert_eq!(belt.len(), 1, "{belt:?}: {:?}", (6..14).map(|r| row(&draft, r)).collect::<Vec<_>>());
    assert!(rows_with(&draft, 1, &BROWN) == belt, "and no other bead is");
    assert!((9..=12).contains(&belt[0]), "{belt:?}");
}

#[test]
fn a_buckle_is_one_bead_of_its_belt_s_row() {
    let draft = belted(0.018, 0.014, LEATHER);
    let belt = rows_with(&draft, 4, &BROWN);
    assert_eq!(belt.len(), 1, "{belt:?}");
    // The coat's buttons are brass too.
    let beads = row(&draft, belt[0]);
    assert_eq!(beads.iter().filter(|bead| GOLD.contains(&bead.1.as_str())).count(), 1, "{beads:?}");
}

/// The demo's milk carter: a dark belt over brown trousers of its hue, told by its buckle between two braces that end
/// in metal too.
#[test]
fn a_belt_of_the_trousers_hue_is_told_by_its_buckle() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/early-street/milk-carter.png");
    let picture = open(Path::new(file), &Limits::default()).unwrap();
    let options = DraftOptions { size: Size::Class(HeightClass::GUIDE), ..Default::default() };
    let draft = draft(file, &picture, &options, &Tray::embedded()).unwrap();
    let belt: Vec<&str> = draft.samples.beads().iter().filter_map(|(_, _, bead)| bead.set_by).collect();
    assert_eq!(belt.iter().filter(|name| **name == "belt").count(), 5, "{belt:?}");
    // The torso's last row: leather, and one bead of brass on the axis.
    let beads = row(&draft, 13);
    assert_eq!(beads.iter().filter(|bead| GOLD.contains(&bead.1.as_str())).count(), 1, "{beads:?}");
}

/// Whatever it was drawn with (12 of the 22 mouths designed by eye for our sketches).
#[test]
fn a_mouth_is_a_deep_red() {
    let mouth = |x: f64, y: f64| x.abs() < 0.014 && (y - (1.0 - 0.76 * HEAD)).abs() < 0.004;
    let draft = drafted(man(|x, y, drawn| if mouth(x, y) { [0xd8, 0x70, 0x60] } else { drawn }), &options());
    let red = |at: usize| row(&draft, at).into_iter().filter(|bead| bead.1 == "cherry").count();
    assert_eq!(red(3) + red(4), 1, "{:?}", [row(&draft, 3), row(&draft, 4)]);
}

/// A hat drawn over the brow has no rows of its own in the plan; the face below it has its eyes all the same.
#[test]
fn a_face_below_a_hat_has_its_eyes() {
    const HAT: [u8; 3] = [0x24, 0x46, 0x8c];
    const SKIN: [u8; 3] = [0xf0, 0xc3, 0xa5];
    let chin = 1.0 - HEAD;
    let hatted = man(|x, y, drawn| {
        let is_eye = (x.abs() - 0.02).hypot((y - (chin + 0.27 * HEAD)) * 0.8) < 0.007;
        match drawn {
            PAPER => PAPER,
            _ if y > 1.0 - 0.6 * HEAD => HAT,
            _ if y > chin => {
                if is_eye {
                    [0x20, 0x20, 0x22]
                } else {
                    SKIN
                }
            }
            _ => drawn,
        }
    });
    let draft = drafted(hatted, &options());
    let dark = |at: usize| -> Vec<usize> {
        row(&draft, at).into_iter().filter(|bead| lightness(&bead.1) < 20.0).map(|bead| bead.0).collect()
    };
    assert!(dark(2).is_empty(), "{:?}", row(&draft, 2));
    let eyes = dark(3);
    assert_eq!(eyes.len(), 2, "{:?}", (1..5).map(|at| row(&draft, at)).collect::<Vec<_>>());
    assert_eq!(eyes[1] - eyes[0], 2);
}

/// The coat without the man's own two large buttons.
fn plain(drawn: [u8; 3]) -> [u8; 3] {
    if drawn == [0xf6, 0xc0, 0x30] { COAT } else { drawn }
}

/// Heights of buttons, from the ground in shares of height: a row and a half of beads apart.
const BUTTONS: [f64; 4] = [0.77, 0.715, 0.66, 0.605];

/// Whether a place lies on a button whose half-sides are given, in the upright line at `line`.
fn on_button(x: f64, y: f64, line: f64, half: (f64, f64)) -> bool {
    BUTTONS.iter().any(|at| (x - line).abs() < half.0 && (y - at).abs() < half.1)
}

/// Places of some beads in the coat.
fn places(draft: &Draft, beads: &[&str]) -> Vec<(usize, usize)> {
    let of_row = |at: usize| row(draft, at).into_iter().filter(|bead| beads.contains(&bead.1.as_str()));
    (6..13).flat_map(|at| of_row(at).map(move |bead| (at, bead.0))).collect()
}

/// Whether places lie one under the other, one bead between them.
fn is_every_second(places: &[(usize, usize)]) -> bool {
    places.len() >= 2 && places.windows(2).all(|pair| pair[1].0 == pair[0].0 + 2 && pair[1].1 == pair[0].1)
}

#[test]
fn two_rows_of_buttons_lie_in_the_same_rows_one_bead_between_them() {
    let draft = drafted(
        man(|x, y, drawn| {
            let is_button = on_button(x, y, -0.026, (0.006, 0.006)) || on_button(x, y, 0.014, (0.006, 0.006));
            if plain(drawn) == COAT && is_button { BRASS } else { plain(drawn) }
        }),
        &options(),
    );
    let (left, right): (Vec<_>, Vec<_>) = places(&draft, &GOLD)
        .into_iter()
        .partition(|place| Some(place.1) == places(&draft, &GOLD).first().map(|p| p.1));
    assert!(is_every_second(&left) && is_every_second(&right), "{left:?} {right:?}");
    let beside = left.iter().map(|place| (place.0, place.1 + 2)).collect::<Vec<_>>();
    assert_eq!(beside, right);
}

//! What is drawn about a sketched body: a staff and the paper it shuts in; and a mouth.

use image::{Rgba, RgbaImage};
use smallcast::draft::{Draft, draft};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

use crate::common::as_picture;
use crate::sketch::{HEAD, HEIGHT, MARGIN, options, sketch};

const WOOD: [u8; 3] = [0x8a, 0x5a, 0x2b];
const LIPS: [u8; 3] = [0xb0, 0x30, 0x38];

/// The man with something drawn about him; x from his axis and y from the ground, in shares of his height.
fn man_with(drawn: impl Fn(f64, f64) -> Option<[u8; 3]>) -> RgbaImage {
    let man = sketch();
    // Room to his right.
    RgbaImage::from_fn(man.width() + 120, man.height(), |px, py| {
        let x = (f64::from(px) + 0.5 - MARGIN) / HEIGHT - 0.225;
        let y = 1.0 - (f64::from(py) + 0.5 - MARGIN) / HEIGHT;
        match drawn(x, y) {
            Some([r, g, b]) => Rgba([r, g, b, 255]),
            None if px < man.width() => *man.get_pixel(px, py),
            None => Rgba([252, 252, 249, 255]),
        }
    })
}

fn drafted(picture: RgbaImage) -> Draft {
    draft("man.png", &as_picture(picture), &options(), &Tray::embedded()).unwrap()
}

/// The places of the figure's beads, each with the bead's name.
fn beads(draft: &Draft) -> Vec<(usize, usize, String)> {
    let tray = Tray::embedded();
    let beads = draft.matched.beads();
    let all = (0..beads.rows()).flat_map(|row| (0..beads.columns()).map(move |column| (row, column)));
    all.filter_map(|(row, column)| {
        let bead = beads[(Row(row), Column(column))].as_ref()?;
        Some((row, column, tray.bead(bead.bead).name.clone()))
    })
    .collect()
}

/// A staff from above the shoulders to the ground, held at its upper end and thinner than half a bead.
fn staff(x: f64, y: f64) -> Option<[u8; 3]> {
    let is_staff = (x - 0.21).abs() < 0.008 && (0.0..0.95).contains(&y);
    let is_arm = (0.1..0.21).contains(&x) && (y - 0.76).abs() < 0.02;
    if is_staff { Some(WOOD) } else { is_arm.then_some([0x2f, 0x86, 0x4a]) }
}

#[test]
fn a_staff_stands_in_one_column_and_the_paper_beside_it_stays_paper() {
    let draft = drafted(man_with(staff));
    let all = beads(&draft);
    let last = all.iter().map(|b| b.1).max().unwrap();
    let staff: Vec<usize> = all.iter().filter(|b| b.1 == last).map(|b| b.0).collect();
    assert!(staff.len() >= 18, "rows of the staff: {staff:?}");
    let between = all.iter().filter(|(row, column, _)| (16..22).contains(row) && *column == last - 1);
    assert_eq!(between.count(), 0, "{all:?}");
}

#[test]
fn a_mouth_smaller_than_a_bead_is_one_red_bead_below_the_eyes() {
    let at = 1.0 - 0.72 * HEAD;
    let mouth = move |x: f64, y: f64| (x.abs() < 0.014 && (y - at).abs() < 0.005).then_some(LIPS);
    let (with, without) = (beads(&drafted(man_with(mouth))), beads(&drafted(man_with(|_, _| None))));
    let new: Vec<_> = with.iter().filter(|bead| !without.contains(bead)).collect();
    assert_eq!(new.len(), 1, "{new:?}");
    let eyes: Vec<_> =
        without.iter().filter(|b| b.0 == 2 && (b.2 == "coal" || b.2 == "ink" || b.2 == "soot")).collect();
    assert_eq!(eyes.len(), 2, "{eyes:?}");
    assert_eq!((new[0].0, new[0].1), (3, (eyes[0].1 + eyes[1].1) / 2));
}

/// Whether a thing lies at a place.
type Lies<'a> = dyn Fn(f64, f64) -> bool + 'a;

/// Pale grey, as a shadow or a wet place is drawn.
const SHADOW: [u8; 3] = [0xc4, 0xc8, 0xce];

#[test]
fn what_lies_on_the_ground_about_the_feet_has_no_beads() {
    let man = sketch();
    let bare = *man.get_pixel(0, 0);
    let is_bare = |x: f64, y: f64| {
        let (px, py) = ((x + 0.225) * HEIGHT + MARGIN, (1.0 - y) * HEIGHT + MARGIN);
        man.get_pixel_checked(px as u32, py as u32).is_none_or(|pixel| *pixel == bare)
    };
    let within = |x: f64, y: f64, (middle, up): (f64, f64), (wide, high): (f64, f64)| {
        ((x - middle) / wide).hypot((y - up) / high) < 1.0
    };
    let alone = beads(&drafted(man_with(|_, _| None)));
    let shadow = |x: f64, y: f64| within(x, y, (0.12, 0.012), (0.2, 0.03));
    let puddle = |x: f64, y: f64| within(x, y, (0.2, 0.03), (0.06, 0.025));
    let grass = |x: f64, y: f64| x.abs() < 0.21 && y > 0.0 && y < 0.03 + 0.03 * (200.0 * x).sin().abs();
    let lying: [(&str, &Lies); 3] = [("shadow", &shadow), ("puddle", &puddle), ("grass", &grass)];
    for (name, lies) in lying {
        let drawn = man_with(|x, y| (lies(x, y) && is_bare(x, y)).then_some(SHADOW));
        assert_eq!(beads(&drafted(drawn)), alone, "{name}");
    }
}

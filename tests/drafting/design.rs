//! What every design by eye of our sketches has in common: one skin, dark shoes, and all of a prop
//! (`src/trial/sketches`, two designs of each; common practice, no source).

use image::{Rgba, RgbaImage};
use smallcast::draft::{Draft, DraftOptions, Size, draft};
use smallcast::plan::{HeightClass, Zone};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

use crate::common::as_picture;
use crate::sketch::{HEAD, HEIGHT, MARGIN, options, sketch};

pub(crate) const PAPER: [u8; 3] = [252, 252, 249];
const WOOD: [u8; 3] = [0x8a, 0x5a, 0x2b];
const SACK: [u8; 3] = [0xb0, 0x8c, 0x58];
const BLUSH: [u8; 3] = [0xe8, 0xa8, 0x8c];
const SHOE: [u8; 3] = [0x20, 0x20, 0x22];

/// Paper over the man's head and to his right, in pixels.
const ABOVE: u32 = 150;
const BESIDE: u32 = 150;

/// The man with room about him; `change` is told the place (x from his axis and y from the ground, in shares of his
/// height) and what is drawn there.
pub(crate) fn man(change: impl Fn(f64, f64, [u8; 3]) -> [u8; 3]) -> RgbaImage {
    let man = sketch();
    RgbaImage::from_fn(man.width() + BESIDE, man.height() + ABOVE, |px, py| {
        let x = (f64::from(px) + 0.5 - MARGIN) / HEIGHT - 0.225;
        let y = 1.0 - (f64::from(py) + 0.5 - MARGIN - f64::from(ABOVE)) / HEIGHT;
        let drawn = py.checked_sub(ABOVE).and_then(|py| man.get_pixel_checked(px, py));
        let [r, g, b] = change(x, y, drawn.map_or(PAPER, |p| [p[0], p[1], p[2]]));
        Rgba([r, g, b, 255])
    })
}

pub(crate) fn drafted(picture: RgbaImage, options: &DraftOptions) -> Draft {
    draft("man.png", &as_picture(picture), options, &Tray::embedded()).unwrap()
}

/// The name of the bead at each filled peg of a row.
pub(crate) fn row(draft: &Draft, row: usize) -> Vec<(usize, String)> {
    let (tray, beads) = (Tray::embedded(), draft.matched.beads());
    let bead = |column| Some((column, beads[(Row(row), Column(column))].as_ref()?));
    let named = |(column, bead): (usize, &smallcast::matching::MatchedBead)| {
        (column, tray.bead(bead.bead).name.clone())
    };
    (0..beads.columns()).filter_map(bead).map(named).collect()
}

pub(crate) fn lightness(name: &str) -> f64 {
    let tray = Tray::embedded();
    tray.bead(tray.find(name).unwrap()).lab.l
}

#[test]
fn a_blushing_face_has_one_skin() {
    let blushing = man(|x, y, drawn| {
        let is_cheek = (x.abs() - 0.034).hypot(y - (1.0 - 0.68 * HEAD)) < 0.016 && drawn != PAPER;
        if is_cheek { BLUSH } else { drawn }
    });
    let cheeks: Vec<_> = row(&drafted(blushing, &options()), 3);
    let plain: Vec<_> = row(&drafted(man(|_, _, drawn| drawn), &options()), 3);
    assert_eq!(cheeks, plain);
    assert!(plain.len() >= 5 && plain.iter().all(|bead| bead.1 == plain[0].1), "{plain:?}");
}

#[test]
fn shoes_are_one_dark_row_that_turns_out() {
    let brown = man(|_, y, drawn| if y < 0.1 && drawn == SHOE { WOOD } else { drawn });
    let shoes = row(&drafted(brown, &options()), 23);
    assert_eq!(shoes.len(), 6, "three beads a foot under legs of two: {shoes:?}");
    assert!(shoes.iter().all(|bead| lightness(&bead.1) < 32.0), "{shoes:?}");
    assert_eq!(shoes[3].0 - shoes[2].0, 2, "a gap between the feet: {shoes:?}");
}

/// A staff beside the man that stands a sixth of his height above him, with a blade at its end.
fn oar(x: f64, y: f64, drawn: [u8; 3]) -> [u8; 3] {
    let is_oar = (x - 0.26).abs() < if y > 1.02 { 0.022 } else { 0.008 } && (0.0..1.15).contains(&y);
    let is_arm = (0.1..0.26).contains(&x) && (y - 0.76).abs() < 0.02;
    match (is_oar, is_arm) {
        (true, _) => WOOD,
        (false, true) => [0x2f, 0x86, 0x4a],
        (false, false) => drawn,
    }
}

#[test]
fn what_stands_above_the_head_gets_rows_of_its_own_whatever_zones_are_given() {
    let zones = HeightClass::GUIDE.rows;
    for size in [Size::Class(HeightClass::GUIDE), Size::Zones(zones)] {
        let draft = drafted(man(oar), &DraftOptions { size, ..options() });
        let plan = draft.samples.plan().unwrap();
        let above = plan.get(Zone::Headwear);
        assert!((3..=5).contains(&above), "{above} rows for a sixth of 24");
        assert_eq!(plan.total(), 24 + above);
        let first = row(&draft, 0);
        assert!(first.len() == 1, "the blade alone: {first:?}");
    }
    let rows = drafted(man(oar), &DraftOptions { size: Size::Rows(28), ..options() });
    assert_eq!(rows.matched.beads().rows(), 28, "rows that are given stay");
}

#[test]
fn a_pole_of_a_cut_out_is_kept_whole() {
    let mut clear = man(oar);
    for pixel in clear.pixels_mut().filter(|p| [p[0], p[1], p[2]] == PAPER) {
        pixel[3] = 0;
    }
    let draft = drafted(clear, &options());
    // The blade is two beads wide, the shaft one of them.
    let last = draft.matched.beads().columns() - 1;
    let rows = draft.matched.beads().rows();
    let pole = (0..rows).filter(|&r| row(&draft, r).iter().any(|bead| bead.0 + 1 >= last)).count();
    assert!(pole + 2 >= rows, "{pole} of {rows} rows");
}

#[test]
fn a_sack_on_the_shoulder_is_beside_the_face() {
    let carrying = man(|x, y, drawn| {
        let is_sack = (x - 0.155).hypot(y - 0.93) < 0.115;
        if is_sack && drawn == PAPER { SACK } else { drawn }
    });
    let draft = drafted(carrying, &options());
    let eyes: Vec<_> = row(&draft, 2).into_iter().filter(|bead| lightness(&bead.1) < 20.0).collect();
    assert_eq!(eyes.len(), 2, "{eyes:?}");
    assert_eq!(eyes[1].0 - eyes[0].0, 2, "one bead between them: {eyes:?}");
    let sack = row(&draft, 2).last().unwrap().0;
    assert!(sack >= eyes[1].0 + 4, "the sack goes on beside the head");
}

#[test]
fn a_lantern_held_up_is_no_head_though_the_collar_is_as_pale_as_the_paper() {
    let chin = 1.0 - HEAD;
    let holding = man(|x, y, drawn| {
        let is_collar = x.abs() < 0.06 && (chin - 0.035..chin).contains(&y);
        let is_arm = (0.1..0.26).contains(&x) && (y - 0.79).abs() < 0.025
            || (0.21..0.26).contains(&x) && (0.79..0.9).contains(&y);
        let is_lantern = (x - 0.235).abs() < 0.08 && (0.88..0.99).contains(&y);
        match (is_collar, is_lantern, is_arm) {
            (true, ..) => PAPER,
            (_, true, _) => [0xf0, 0xb0, 0x30],
            (.., true) => [0x2f, 0x86, 0x4a],
            _ => drawn,
        }
    });
    let draft = drafted(holding, &options());
    let eyes: Vec<_> = row(&draft, 2).into_iter().filter(|bead| lightness(&bead.1) < 20.0).collect();
    assert_eq!(eyes.len(), 2, "{eyes:?}");
    assert_eq!(draft.samples.plan().unwrap().get(Zone::Headwear), 0, "nothing stands above the head");
}

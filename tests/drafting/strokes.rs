//! Colours of strokes and of washes: what paper lends them, and what they have in common by chance.

use image::{Rgba, RgbaImage};
use smallcast::tray::Tray;

use crate::design::{drafted, lightness, man, row};
use crate::sketch::{HEAD, options, sketch};

/// Whether wax lies on a place: grains of three pixels, three of five; a fixed mixing of the bits (the finaliser of
/// MurmurHash3, from memory) so that nothing repeats.
fn has_wax(x: u32, y: u32) -> bool {
    let mut h = (x / 3).wrapping_mul(0x9e37_79b1) ^ (y / 3).wrapping_mul(0x85eb_ca6b);
    h ^= h >> 16;
    h = h.wrapping_mul(0x7feb_352d);
    h ^= h >> 15;
    h % 5 < 3
}

/// The man in wax that lets the paper through; paper takes a part of each channel's light from all that lies on it.
fn waxed(coat: [u8; 3], paper: [f64; 3]) -> RgbaImage {
    const COAT: [u8; 3] = [0x2f, 0x86, 0x4a];
    let drawn = sketch();
    RgbaImage::from_fn(drawn.width(), drawn.height(), |x, y| {
        let own = drawn.get_pixel(x, y).0;
        let own = [own[0], own[1], own[2]];
        let own = if own == COAT { coat } else { own };
        let seen = if has_wax(x, y) { own } else { [252, 252, 249] };
        let [r, g, b]: [u8; 3] = std::array::from_fn(|i| tinted(seen[i], paper[i]));
        Rgba([r, g, b, 255])
    })
}

/// sRGB's transfer function (IEC 61966-2-1) as a power of 2.2: near enough for a tint.
fn tinted(v: u8, part: f64) -> u8 {
    (f64::from(v) * part.powf(1.0 / 2.2)).round() as u8
}

/// The beads of the coat's middle.
fn coat(picture: RgbaImage) -> Vec<String> {
    let draft = drafted(picture, &options());
    (8..11).flat_map(|at| row(&draft, at).into_iter().map(|bead| bead.1)).collect()
}

/// A tint that lies over all of a drawing is seen by the eye as its paper's, not as the wax's (von Kries 1902; the
/// Bradford transform of ICC.1:2022, annex E, stands for the eye here).
#[test]
fn a_slate_coat_in_wax_is_blue_on_cream_paper_too() {
    const SLATE: [u8; 3] = [0x58, 0x6c, 0x86];
    const CREAM: [f64; 3] = [0.97, 0.88, 0.68];
    for paper in [[1.0; 3], CREAM] {
        let beads = coat(waxed(SLATE, paper));
        let tray = Tray::embedded();
        let blue = |name: &&String| tray.bead(tray.find(name).unwrap()).lab.b < -20.0;
        let count = beads.iter().filter(blue).count();
        assert!(3 * count > 2 * beads.len(), "{paper:?}: {beads:?}");
    }
}

/// Pencil as faint as the grain of its paper, its hatching apart and its outline broken: no pixel tells the figure, and
/// all of it is there.
#[test]
fn a_faint_pencil_drawing_is_one_figure() {
    let drawn = sketch();
    let picture = RgbaImage::from_fn(drawn.width(), drawn.height(), |x, y| {
        let is_paper = drawn.get_pixel(x, y).0[..3] == crate::design::PAPER;
        let is_stroke = !is_paper && (x + y) % 6 < 2 && has_wax(x / 4, y / 4);
        let grain = if has_wax(x.wrapping_mul(3), y.wrapping_mul(3)) { 3 } else { 0 };
        let v = if is_stroke { 205 } else { 244 } + grain;
        Rgba([v, v, v - 6, 255])
    });
    let draft = drafted(picture, &options());
    let beads = draft.matched.beads();
    let rows = (0..beads.rows()).filter(|&at| row(&draft, at).len() >= 2).count();
    assert!(rows + 2 >= beads.rows(), "{rows} of {} rows have beads", beads.rows());
    assert!(beads.columns() <= 16, "{} columns: paper came along", beads.columns());
}

/// Folds as dark as a hat are the coat in its shade; the hat, which lies elsewhere, keeps its colour.
#[test]
fn a_dark_hat_is_none_of_its_coat() {
    const COAT: [u8; 3] = [0x2f, 0x86, 0x4a];
    const FOLD: [u8; 3] = [0x17, 0x48, 0x25];
    let picture = man(|x, y, drawn| match drawn {
        COAT if x > 0.05 => FOLD,
        _ if y > 1.0 - 0.38 * HEAD && drawn != crate::design::PAPER => FOLD,
        _ => drawn,
    });
    let draft = drafted(picture, &options());
    let mean = |rows: std::ops::Range<usize>| {
        let beads: Vec<f64> = rows.flat_map(|at| row(&draft, at)).map(|bead| lightness(&bead.1)).collect();
        beads.iter().sum::<f64>() / beads.len() as f64
    };
    let hat = mean(0..1);
    let coat = mean(8..10);
    assert!(hat + 5.0 < coat, "{hat} {coat}: {:?} {:?}", row(&draft, 0), row(&draft, 8));
}

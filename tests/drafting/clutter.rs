//! What lies on a page and is no part of the figure: left out, and named.

use image::{Rgba, RgbaImage};
use smallcast::draft::{Draft, draft};
use smallcast::reference::{LeftOut, Side, in_words};
use smallcast::tray::Tray;
use smallcast::trial::{Manner, Trial, known_figures};

use crate::common::{WATCHMAN, as_picture, by_rows, drawn, outline, rows_of, tray, watchman};

const BEAD: f64 = 20.0;
const MARGIN: f64 = 160.0;

/// The watchman outlined in ink in the middle of a page.
fn page() -> RgbaImage {
    let mut page = drawn(&WATCHMAN, (BEAD, BEAD), MARGIN);
    outline(&mut page, &WATCHMAN, BEAD, MARGIN);
    page
}

fn drafted(page: RgbaImage) -> Draft {
    let draft = draft("page.png", &as_picture(page), &by_rows(24), &tray()).unwrap();
    assert_eq!(rows_of(&draft, &tray()), watchman(), "{:?}", draft.reference.left_out());
    draft
}

/// Lays a mark over the bare paper: how much of the paper's light it takes at each pixel.
fn mark(page: &mut RgbaImage, takes: impl Fn(f64, f64) -> f64) {
    for (x, y, pixel) in page.enumerate_pixels_mut() {
        let left = 1.0 - takes(f64::from(x), f64::from(y));
        (0..3).for_each(|c| pixel[c] = (f64::from(pixel[c]) * left) as u8);
    }
}

fn ink(page: &mut RgbaImage, (x, y): (u32, u32), (width, height): (u32, u32)) {
    for (dx, dy) in (0..width).flat_map(|dx| (0..height).map(move |dy| (dx, dy))) {
        page.put_pixel(x + dx, y + dy, Rgba([40, 44, 90, 255]));
    }
}

#[test]
fn a_stain_that_runs_into_the_coat_is_no_cloth() {
    let mut page = page();
    mark(&mut page, |x, y| 0.1 * ((70.0 - (x - 130.0).hypot(y - 330.0)) / 10.0).clamp(0.0, 1.0));
    assert_eq!(drafted(page).reference.left_out(), [LeftOut::Stain]);
}

#[test]
fn a_fold_across_page_and_figure_is_no_part_of_it() {
    let mut page = page();
    mark(&mut page, |_, y| 0.12 * (1.0 - (y - 350.0).abs() / 5.0).max(0.0));
    assert!(drafted(page).reference.left_out().contains(&LeftOut::Fold));
}

#[test]
fn rubbed_out_strokes_beside_the_legs_are_left_out() {
    let mut page = page();
    mark(&mut page, |x, y| if (x - 130.0).abs() < 4.0 && (y - 480.0).abs() < 60.0 { 0.1 } else { 0.0 });
    mark(&mut page, |x, y| if (y - 520.0).abs() < 4.0 && (x - 160.0).abs() < 36.0 { 0.1 } else { 0.0 });
    assert_eq!(drafted(page).reference.left_out(), [LeftOut::RubbedOut]);
}

/// A caption in short strokes, two holes at the left edge, and a drawing in colour on the right.
#[test]
fn writing_holes_and_drawings_are_named() {
    let mut page = page();
    for stroke in 0..12 {
        ink(&mut page, (190 + 9 * stroke, 690), (3, 14));
        ink(&mut page, (190 + 9 * stroke, 690), (9, 3));
    }
    for y in [150.0, 600.0] {
        mark(&mut page, |px, py| if (px - 24.0).hypot(py - y) < 9.0 { 0.7 } else { 0.0 });
    }
    let right = page.width() - 70;
    ink(&mut page, (right, 300), (50, 60));
    let draft = drafted(page);
    let left_out = draft.reference.left_out();
    assert_eq!(
        left_out,
        [LeftOut::Writing(Side::Below), LeftOut::Drawing(Side::Right), LeftOut::Hole, LeftOut::Hole]
    );
    let words = in_words(left_out).unwrap();
    assert_eq!(words, "writing below it, a drawing on its right and 2 punched holes");
    assert_eq!(in_words(&[]), None);
}

#[test]
fn a_bare_page_has_nothing_to_leave_out() {
    assert!(drafted(page()).reference.left_out().is_empty());
}

/// The strokes of a painted ground lie everywhere: no rule is printed there.
#[test]
fn a_painted_ground_is_no_ruled_page() {
    /// Pixels of a stroke each way; one place in so many has one.
    const STROKE: (u32, u32) = (24, 2);
    const ONE_IN: u32 = 4;
    let mut page = page();
    let mut state = 5_u32;
    let (width, height) = page.dimensions();
    for (x, y) in (0..height / STROKE.1).flat_map(|y| (0..width / STROKE.0).map(move |x| (x, y))) {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        if !(state >> 16).is_multiple_of(ONE_IN) {
            continue;
        }
        for (dx, dy) in (0..STROKE.0).flat_map(|dx| (0..STROKE.1).map(move |dy| (dx, dy))) {
            let seen = page.get_pixel_mut(x * STROKE.0 + dx, y * STROKE.1 + dy);
            if seen[2] > 240 {
                (0..3).for_each(|c| seen[c] -= 70);
            }
        }
    }
    let draft = draft("page.png", &as_picture(page), &by_rows(24), &tray()).unwrap();
    assert!(!draft.reference.is_ruled());
}

/// Pages as people send them: the mean of some of them, of which all ink and paper are the trial's own.
#[test]
fn cluttered_pages_leave_few_beads_to_mend() {
    let tray = Tray::embedded();
    let figures = known_figures(&tray).unwrap();
    let named = ["butcher", "market-woman", "gardener"];
    let chosen = figures.iter().filter(|figure| named.contains(&figure.name.as_str()));
    for figure in chosen {
        let trial = Trial { figure, manner: Manner::Clutter, seed: 0 };
        let mend = trial.score(trial.draft(&trial.drawing(&tray), &tray).ok().as_ref(), &tray).mend;
        assert!(mend <= 10, "{}: {mend}", figure.name);
    }
}

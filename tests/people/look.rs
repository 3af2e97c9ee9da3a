//! The look itself, tried on a figure of sticks: it finds what is lost, and nothing else.

use image::{Rgba, RgbaImage};
use smallcast::units::Row;

use crate::silhouette::Silhouette;
use crate::verdict::{Verdict, Window};

/// Rows of the figure, and pixels to a bead.
const ROWS: usize = 20;
const SIDE: u32 = 20;

/// Head and body, arms held out, legs apart: from and to, in beads.
const STICKS: [[f64; 4]; 5] = [
    [10.0, 1.5, 10.0, 11.0],
    [10.0, 6.0, 3.0, 9.0],
    [10.0, 6.0, 17.0, 9.0],
    [10.0, 11.0, 6.0, 19.5],
    [10.0, 11.0, 14.0, 19.5],
];

/// A person of round-ended sticks as wide as a bead.
fn sticks() -> RgbaImage {
    let away = |x: f64, y: f64, [x0, y0, x1, y1]: [f64; 4]| {
        let (dx, dy) = (x1 - x0, y1 - y0);
        let along = (((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
        (x - x0 - along * dx).hypot(y - y0 - along * dy)
    };
    let side = ROWS as u32 * SIDE;
    RgbaImage::from_fn(side, side, |x, y| {
        let at = |p: u32| (f64::from(p) + 0.5) / f64::from(SIDE);
        let inside = STICKS.iter().any(|&stick| away(at(x), at(y), stick) <= 0.5);
        Rgba([160, 40, 40, if inside { 255 } else { 0 }])
    })
}

/// Every window of an even lattice of which the figure covers at least a third.
fn beads_of(pixels: &RgbaImage) -> Vec<Window> {
    let is_covered = |&(row, column): &(u32, u32)| {
        let pixel = |i: u32| pixels.get_pixel(column * SIDE + i % SIDE, row * SIDE + i / SIDE);
        (0..SIDE * SIDE).filter(|&i| pixel(i)[3] > 0).count() as u32 * 3 >= SIDE * SIDE
    };
    let window = |(row, column): (u32, u32)| Window {
        row: Row(row as usize),
        area: [column, row, column + 1, row + 1].map(|edge| f64::from(edge * SIDE)),
    };
    let rows = ROWS as u32;
    (0..rows)
        .flat_map(|row| (0..rows).map(move |column| (row, column)))
        .filter(is_covered)
        .map(window)
        .collect()
}

/// What is wrong with the figure without the beads of some places, column and row.
fn faults_without(lost: impl Fn(u32, u32) -> bool) -> Vec<String> {
    let pixels = sticks();
    let place = |edge: f64| edge as u32 / SIDE;
    let left: Vec<Window> =
        beads_of(&pixels).into_iter().filter(|w| !lost(place(w.area[0]), place(w.area[1]))).collect();
    Verdict::of(&Silhouette::of(&pixels), ROWS, &left).faults
}

#[track_caller]
fn assert_says(faults: &[String], what: &str) {
    assert!(faults.iter().any(|fault| fault.contains(what)), "{faults:?}");
}

#[test]
fn a_whole_figure_has_five_limbs_and_no_fault() {
    let pixels = sticks();
    let whole = Verdict::of(&Silhouette::of(&pixels), ROWS, &beads_of(&pixels));
    assert_eq!((whole.limbs, whole.faults), (5, Vec::new()), "head, two arms, two legs");
}

#[test]
fn a_lost_hand_is_found_where_it_was() {
    let faults = faults_without(|x, _| x < 6);
    assert_says(&faults, "from its last bead: 1");
    assert!(faults.iter().all(|fault| fault.contains("limb") || fault.contains("foot")), "{faults:?}");
    assert_eq!(faults_without(|x, y| x < 3 && y == 9), Vec::<String>::new(), "half a bead is no hand");
}

#[test]
fn a_lost_elbow_is_a_broken_arm() {
    assert_says(&faults_without(|x, y| (12..15).contains(&x) && y < 10), "broken on its way");
}

#[test]
fn a_lost_foot_is_no_row() {
    assert_says(&faults_without(|x, y| x > 10 && y >= 15), "a foot has no bead");
    assert_says(&faults_without(|_, y| y >= 19), "lowest row is empty");
}

#[test]
fn a_rump_is_no_figure() {
    assert_says(&faults_without(|_, y| y > 6), "times its room");
}

//! The guide's plain shape, to stand a figure beside.

use serde::Serialize;

/// The guide as rows of beads: head 5 (two beads on top, four rows of four, one for an ear), neck 1, torso 8 and 5
/// wide, arms 9 long, legs 9 and 2 wide with a gap, feet 1 (common practice, no source).
const SHAPE: [&str; 24] = [
    "....##....",
    "...####...",
    "...#####..",
    "...####...",
    "...####...",
    "....##....",
    "..#######.",
    "..#######.",
    "..#######.",
    "..#######.",
    "..#######.",
    "..#######.",
    "..#######.",
    "..#######.",
    "..###.###.",
    "...##.##..",
    "...##.##..",
    "...##.##..",
    "...##.##..",
    "...##.##..",
    "...##.##..",
    "...##.##..",
    "...##.##..",
    "..###.###.",
];

/// The shape, `#` a bead and `.` an empty peg.
#[derive(Debug, Serialize)]
pub struct Guide {
    rows: usize,
    beads: [&'static str; 24],
}

/// The guide.
pub fn guide() -> &'static Guide {
    const GUIDE: Guide = Guide { rows: SHAPE.len(), beads: SHAPE };
    &GUIDE
}

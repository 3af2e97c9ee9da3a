//! The guide's plain shape, to stand a figure beside.

use serde::Serialize;

use crate::figure::Figure;

/// The trade's guide as rows of beads: head 5 (two beads on top, four rows of four, one for an ear), neck 1, torso 8 and 5
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
    beads: Vec<String>,
}

impl Guide {
    /// The maker's own guide; the trade's without one.
    pub fn of(own: Option<&Figure>) -> Self {
        let beads: Vec<String> = match own.map(Figure::beads).filter(|beads| beads.rows() > 0) {
            None => SHAPE.map(str::to_owned).to_vec(),
            Some(beads) => {
                let mut rows = vec![String::new(); beads.rows()];
                beads
                    .iter()
                    .for_each(|(row, _, bead)| rows[row.0].push(if bead.is_some() { '#' } else { '.' }));
                rows
            }
        };
        Self { rows: beads.len(), beads }
    }
}

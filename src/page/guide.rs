//! The guide's plain shape, to stand a figure beside.

use serde::Serialize;

use crate::figure::Figure;
use crate::plan::{Build, BuildKind, HeightClass, Look, PlainBody};

/// The shape, `#` a bead and `.` an empty peg.
#[derive(Debug, Serialize)]
pub struct Guide {
    rows: usize,
    beads: Vec<String>,
}

impl Guide {
    /// The maker's own guide; the trade's without one.
    pub fn of(own: Option<&Figure>) -> Self {
        let beads = own.map(own_shape).filter(|beads| !beads.is_empty()).unwrap_or_else(trade_shape);
        Self { rows: beads.len(), beads }
    }
}

fn own_shape(figure: &Figure) -> Vec<String> {
    let beads = figure.beads();
    let mut rows = vec![String::new(); beads.rows()];
    beads.iter().for_each(|(row, _, bead)| rows[row.0].push(if bead.is_some() { '#' } else { '.' }));
    rows
}

fn trade_shape() -> Vec<String> {
    let (zones, look) = (HeightClass::GUIDE.rows, Look::USUAL);
    let body = PlainBody::new(&zones, Build::of(BuildKind::Usual, &zones, look), look);
    let shape = |line: &str| line.chars().map(|c| if c == '.' { '.' } else { '#' }).collect();
    body.text().lines().map(shape).collect()
}

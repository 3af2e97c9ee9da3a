//! The guide's plain shape, to stand a figure beside.

use serde::Serialize;

use crate::figure::Figure;
use crate::sheet;

/// The shape, `#` a bead and `.` an empty peg.
#[derive(Debug, Serialize)]
pub struct Guide {
    rows: usize,
    beads: Vec<String>,
}

impl Guide {
    /// The maker's own guide; the trade's where there is none, or one without a bead.
    pub fn of(own: Option<&Figure>) -> Self {
        let has_bead = |figure: &&Figure| figure.beads().iter().any(|(.., bead)| bead.is_some());
        let beads = sheet::Guide::of(own.filter(has_bead)).beads;
        let mut rows = vec![String::new(); beads.rows()];
        beads.iter().for_each(|(row, _, bead)| rows[row.0].push(if *bead { '#' } else { '.' }));
        Self { rows: rows.len(), beads: rows }
    }
}

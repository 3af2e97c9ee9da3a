//! The guide's plain shape, to stand a figure beside.

use std::sync::LazyLock;

use serde::Serialize;

use crate::plan::{Build, BuildKind, HeightClass, Look, PlainBody};

/// The shape, `#` a bead and `.` an empty peg.
#[derive(Debug, Serialize)]
pub struct Guide {
    rows: usize,
    beads: Vec<String>,
}

static GUIDE: LazyLock<Guide> = LazyLock::new(|| {
    let (zones, look) = (HeightClass::GUIDE.rows, Look::USUAL);
    let body = PlainBody::new(&zones, Build::of(BuildKind::Usual, &zones, look), look);
    let shape = |line: &str| line.chars().map(|c| if c == '.' { '.' } else { '#' }).collect();
    Guide { rows: body.rows(), beads: body.text().lines().map(shape).collect() }
});

/// The guide.
pub fn guide() -> &'static Guide {
    &GUIDE
}

//! A figure cut into the parts of its body.

use std::collections::BTreeSet;

use super::Anatomy;
use crate::error::Result;
use crate::figure::{Figure, Part};
use crate::grid::Grid;
use crate::plan::BodyPart;
use crate::units::{Column, Row};

/// The parts of a body from the lowest layer to the topmost: a sleeve lies on a coat, a hat on hair.
const LAYERS: [BodyPart; 9] = [
    BodyPart::Feet,
    BodyPart::Legs,
    BodyPart::Torso,
    BodyPart::RightArm,
    BodyPart::LeftArm,
    BodyPart::Head,
    BodyPart::Hair,
    BodyPart::Hat,
    BodyPart::Props,
];

/// How high a part lies among the layers, from 0.
pub(in crate::figure) fn height(part: BodyPart) -> usize {
    LAYERS.iter().position(|own| *own == part).unwrap_or(LAYERS.len())
}

impl Figure {
    /// The same figure in layers named as the parts of the body, each no larger than its beads, by what
    /// [`Anatomy::of`] says. The beads that show are the same; what lay hidden under others is gone.
    ///
    /// # Errors
    /// As [`Figure::new`], which a figure that was one already does not meet.
    pub fn in_body_parts(&self) -> Result<Self> {
        let anatomy = Anatomy::of(self);
        let mut parts: Vec<Part> =
            LAYERS.into_iter().filter_map(|part| self.body_part(&anatomy, part)).collect();
        // Without a bead there is nothing to cut, and its empty pegs are a figure's all the same.
        if parts.is_empty() {
            return Ok(self.clone());
        }
        let beads = self.beads();
        self.bare_follows(&mut parts);
        reach_end(&mut parts, beads.rows(), beads.columns());
        let mut description = self.0.clone();
        description.parts = parts;
        Self::new(self.name(), description)
    }

    /// The beads that show of one part of the body, as a layer of its name; nothing where there are none.
    pub(in crate::figure) fn body_part(&self, anatomy: &Anatomy, part: BodyPart) -> Option<Part> {
        let own = anatomy.parts().iter().filter(|(_, _, its)| **its == Some(part));
        let places: Vec<(Row, Column)> = own.map(|(row, column, _)| (row, column)).collect();
        let (top, bottom) = (places.first()?.0, places.last()?.0);
        let left = places.iter().map(|place| place.1).min()?;
        let right = places.iter().map(|place| place.1).max()?;
        let beads = self.beads();
        let cut = Grid::from_fn(bottom.0 - top.0 + 1, right.0 - left.0 + 1, |row, column| {
            let at = (Row(top.0 + row.0), Column(left.0 + column.0));
            beads[at].filter(|_| anatomy.part(at.0, at.1) == Some(part))
        });
        Some(Part {
            name: part.name().into(),
            from: None,
            at: (top, left),
            beads: cut,
            bare: BTreeSet::new(),
        })
    }

    /// What the maker left empty stays so: in the part whose beads lie nearest, the lowest of equals.
    fn bare_follows(&self, parts: &mut [Part]) {
        let beads = self.beads();
        for (row, column, _) in beads.iter().filter(|(row, column, _)| self.is_bare(*row, *column)) {
            let far = |part: &Part| {
                let own = part.beads.iter().filter(|(_, _, bead)| bead.is_some());
                let square = |(r, c, _): (Row, Column, _)| {
                    let (down, across) =
                        ((part.at.0.0 + r.0).abs_diff(row.0), (part.at.1.0 + c.0).abs_diff(column.0));
                    down * down + across * across
                };
                own.map(square).min().unwrap_or(usize::MAX)
            };
            if let Some(nearest) = parts.iter_mut().min_by_key(|part| far(part)) {
                grow(nearest, (row, column), (Row(row.0 + 1), Column(column.0 + 1)));
                nearest.bare.insert((Row(row.0 - nearest.at.0.0), Column(column.0 - nearest.at.1.0)));
            }
        }
    }
}

/// A figure spans what its parts span: the part that ends lowest, and the one that ends farthest, keep the empty rows
/// and columns beyond the last bead.
fn reach_end(parts: &mut [Part], rows: usize, columns: usize) {
    let below = |part: &Part| part.at.0.0 + part.beads.rows();
    let beyond = |part: &Part| part.at.1.0 + part.beads.columns();
    if let Some(lowest) = parts.iter_mut().max_by_key(|part| below(part))
        && below(lowest) < rows
    {
        let (at, end) = (lowest.at, Column(beyond(lowest)));
        grow(lowest, at, (Row(rows), end));
    }
    if let Some(farthest) = parts.iter_mut().max_by_key(|part| beyond(part))
        && beyond(farthest) < columns
    {
        let (at, end) = (farthest.at, Row(below(farthest)));
        grow(farthest, at, (end, Column(columns)));
    }
}

/// Lets a part reach from one place to before another, where it does not yet.
fn grow(part: &mut Part, from: (Row, Column), to: (Row, Column)) {
    let at = (part.at.0.min(from.0), part.at.1.min(from.1));
    let (down, right) = (part.at.0.0 - at.0.0, part.at.1.0 - at.1.0);
    let rows = to.0.0.max(part.at.0.0 + part.beads.rows()) - at.0.0;
    let columns = to.1.0.max(part.at.1.0 + part.beads.columns()) - at.1.0;
    part.beads = Grid::from_fn(rows, columns, |row, column| {
        let own = row.0.checked_sub(down).zip(column.0.checked_sub(right));
        own.and_then(|(row, column)| part.beads.get(Row(row), Column(column)).copied().flatten())
    });
    part.bare = part.bare.iter().map(|(row, column)| (Row(row.0 + down), Column(column.0 + right))).collect();
    part.at = at;
}

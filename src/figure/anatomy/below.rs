//! Torso, legs and feet, and what is left over.

use std::collections::BTreeSet;

use super::field::{Field, Told};
use crate::figure::Mark;
use crate::plan::BodyPart;

impl Field {
    pub(super) fn read_below(&self, told: &mut Told) {
        let bands = &self.bands;
        let hem = self.hem(told);
        for (row, column) in self.within(0..self.rows) {
            if told[row][column].is_some() || self.mark((row, column)).is_none() {
                continue;
            }
            told[row][column] = match row {
                _ if row < bands.torso && row >= bands.neck && self.is_body(column) => Some(BodyPart::Head),
                _ if row < bands.torso => Some(BodyPart::Props),
                _ if row < hem => self.is_body(column).then_some(BodyPart::Torso),
                // Legs may stand a peg to the side of the torso.
                _ if row < bands.feet => (self.off(column) <= self.half + 2).then_some(BodyPart::Legs),
                _ => None,
            };
        }
        for row in bands.torso..bands.feet.min(self.rows) {
            self.whole_run(row, if row < hem { BodyPart::Torso } else { BodyPart::Legs }, told);
        }
        self.read_feet(told);
        for (spot, _) in self.beads(0..self.rows) {
            told[spot.0][spot.1].get_or_insert(BodyPart::Props);
        }
    }

    /// The row in which what hangs from the torso has ended: the first of the legs, or the feet's.
    fn hem(&self, told: &Told) -> usize {
        let bands = &self.bands;
        match (bands.legs..bands.feet.min(self.rows)).find(|row| self.is_parted(*row)) {
            Some(parted) => self.crotch(parted, told),
            None => self.hem_of_unparted(),
        }
    }

    /// The first row of legs that are seen apart from a row on: filled rows of their own material above are theirs.
    fn crotch(&self, parted: usize, told: &Told) -> usize {
        let cloth: BTreeSet<Mark> = self.marks_where(parted..parted + 1, |spot| self.is_body(spot.1));
        let is_theirs = |row: usize| {
            let own: Vec<Mark> = self
                .beads(row..row + 1)
                .filter(|(spot, _)| self.is_body(spot.1))
                .map(|(_, mark)| mark)
                .collect();
            own.iter().filter(|mark| cloth.contains(mark)).count() * 5 >= own.len() * 4
        };
        let mut first = parted;
        while first > self.bands.legs && is_theirs(first - 1) && !self.flares(first - 1, told) {
            first -= 1;
        }
        first
    }

    /// Whether a row has cloth beside the torso's width that is no arm's.
    fn flares(&self, row: usize, told: &Told) -> bool {
        let is_loose = |spot: &(usize, usize)| !self.is_body(spot.1) && told[spot.0][spot.1].is_none();
        let wide =
            |spot: (usize, usize)| self.beside(spot).any(|near| near.0 == row && self.mark(near).is_some());
        self.beads(row..row + 1).any(|(spot, _)| is_loose(&spot) && wide(spot))
    }

    /// Legs side by side, or a long skirt: it flares, or goes on from the torso in its materials.
    fn hem_of_unparted(&self) -> usize {
        let bands = &self.bands;
        let middle =
            |row: usize| self.marks_where(row..row + 1, |spot| self.off(spot.1) <= (self.half - 1).max(2));
        /// Wider than the torso by a bead on each side.
        const FLARE: i32 = 2;
        let reach = |row: usize| self.extent(row).into_iter().min().unwrap_or(0);
        let feet = bands.feet.min(self.rows);
        if (bands.legs..feet).any(|row| reach(row) >= self.half + FLARE) {
            return bands.feet;
        }
        /// This many rows of the torso say what goes on from it: a belt may be one of them.
        const LAST: usize = 3;
        let mut torso: BTreeSet<Mark> = (bands.torso.max(bands.legs.saturating_sub(LAST))..bands.legs)
            .filter(|row| *row < self.rows)
            .flat_map(middle)
            .collect();
        self.skin.iter().for_each(|skin| {
            torso.remove(skin);
        });
        let goes_on = |row: &usize| !middle(*row).is_disjoint(&torso);
        let rows = bands.legs..feet;
        if !rows.clone().next().is_some_and(|row| goes_on(&row)) {
            return bands.legs;
        }
        rows.rev().find(goes_on).map_or(bands.legs, |row| row + 1)
    }

    /// What lies in one run with a part's own beads in a row is of it too, as far as nothing else is known of it.
    fn whole_run(&self, row: usize, part: BodyPart, told: &mut Told) {
        for (first, last) in self.runs(row) {
            let own = |column: &usize| told[row][*column] == Some(part);
            let (Some(left), Some(right)) = ((first..=last).find(own), (first..=last).rev().find(own)) else {
                continue;
            };
            for columns in [(first..left).rev().collect::<Vec<_>>(), (right + 1..=last).collect()] {
                for column in columns {
                    if told[row][column].is_some() {
                        break;
                    }
                    told[row][column] = Some(part);
                }
            }
        }
    }

    /// Feet lie under the body; farther out something stands on the ground beside it.
    fn read_feet(&self, told: &mut Told) {
        /// This far beside the torso a foot may point, in half pegs.
        const POINTS: i32 = 5;
        for (row, told) in told.iter_mut().enumerate().take(self.rows).skip(self.bands.feet) {
            for (first, last) in self.runs(row) {
                if !(first..=last).any(|column| self.is_body(column)) {
                    continue;
                }
                for (column, part) in told.iter_mut().enumerate().take(last + 1).skip(first) {
                    let is_foot = self.off(column) <= self.half + POINTS;
                    part.get_or_insert(if is_foot { BodyPart::Feet } else { BodyPart::Props });
                }
            }
        }
    }
}

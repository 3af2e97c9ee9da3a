//! Changes of what the maker has chosen on the figure, whatever parts it lies in: a patch filled, a selection moved,
//! copied, mirrored, or made a part of its own.

use std::collections::BTreeSet;

use super::layers::{Layer, Layers, Peg};
use super::{Done, Refused, Spot, counted, place_in_words};
use crate::figure::Placed;
use crate::plan::{MOST_COLUMNS, MOST_ROWS};
use crate::tray::Tray;

/// A bead of a selection: where it shows, and in which layer it lies.
struct Chosen {
    at: Spot,
    layer: usize,
    bead: Placed,
}

/// The box about some places: the first row and column, the last row and column.
#[derive(Clone, Copy)]
struct Around {
    first: Spot,
    last: Spot,
}

impl Around {
    fn of(spots: &[Spot]) -> Self {
        let row = |spot: &Spot| spot.row;
        let column = |spot: &Spot| spot.column;
        let least = |of: fn(&Spot) -> i32| spots.iter().map(of).min().unwrap_or(0);
        let most = |of: fn(&Spot) -> i32| spots.iter().map(of).max().unwrap_or(0);
        Self {
            first: Spot { row: least(row), column: least(column) },
            last: Spot { row: most(row), column: most(column) },
        }
    }

    fn mirrored(self, spot: Spot) -> Spot {
        Spot { column: self.first.column + self.last.column - spot.column, ..spot }
    }

    /// Where a place comes when the box's first corner comes to another one.
    fn carried(self, spot: Spot, to: Spot, mirrored: bool) -> Spot {
        let at = if mirrored { self.mirrored(spot) } else { spot };
        Spot { row: at.row + to.row - self.first.row, column: at.column + to.column - self.first.column }
    }
}

/// The four places that touch one by a side.
fn beside(spot: Spot) -> [Spot; 4] {
    let Spot { row, column } = spot;
    [(row - 1, column), (row + 1, column), (row, column - 1), (row, column + 1)]
        .map(|(row, column)| Spot { row, column })
}

impl Layers {
    pub(super) fn fill(
        &mut self,
        from: Spot,
        bead: &str,
        part: Option<&str>,
        tray: &Tray,
    ) -> Result<Done, Refused> {
        let within = part.map(|part| self.part(part)).transpose()?;
        let spots = self.patch(from, within)?;
        self.place(&spots, bead, part, tray)?;
        Ok(format!("{bead} fills {} about {}", counted(spots.len(), "peg"), place_in_words(from)).into())
    }

    /// The places about one that show the same bead, or none, and touch one another by their sides.
    fn patch(&self, from: Spot, within: Option<usize>) -> Result<Vec<Spot>, Refused> {
        if !self.reaches(from) {
            return Err(outside(from));
        }
        let seen = self.seen(from, within);
        let mut found = BTreeSet::from([from]);
        let mut open = vec![from];
        while let Some(spot) = open.pop() {
            for next in beside(spot) {
                if !self.reaches(next) {
                    if seen.is_none() {
                        let why =
                            format!("the empty pegs about {} are open to the outside", place_in_words(from));
                        return Err((why, "name their places with place instead".into()));
                    }
                } else if self.seen(next, within) == seen && found.insert(next) {
                    open.push(next);
                }
            }
        }
        Ok(found.into_iter().collect())
    }

    /// The bead that shows at a place, by name, in one layer or in all.
    fn seen(&self, spot: Spot, within: Option<usize>) -> Option<&str> {
        let layer = within.or_else(|| self.shown(spot))?;
        let placed = self.layers[layer].peg(spot)?.bead()?;
        self.about.legend.iter().find(|entry| entry.mark == placed.mark).map(|entry| entry.bead.as_str())
    }

    pub(super) fn move_chosen(&mut self, spots: &[Spot], to: Spot, mirrored: bool) -> Result<Done, Refused> {
        let chosen = self.chosen(spots)?;
        let around = Around::of(spots);
        check_reach(around.carried(around.last, to, false))?;
        self.carry(&chosen, |spot| around.carried(spot, to, mirrored));
        let how = if mirrored { "moved, mirrored," } else { "moved" };
        Ok(format!("{} {how} to {}", counted(chosen.len(), "bead"), place_in_words(to)).into())
    }

    pub(super) fn mirror_chosen(&mut self, spots: &[Spot]) -> Result<Done, Refused> {
        let chosen = self.chosen(spots)?;
        let around = Around::of(spots);
        self.carry(&chosen, |spot| around.mirrored(spot));
        Ok(format!("{} mirrored", counted(chosen.len(), "bead")).into())
    }

    pub(super) fn copy_chosen(
        &mut self,
        spots: &[Spot],
        to: Spot,
        mirrored: bool,
        part: Option<&str>,
    ) -> Result<Done, Refused> {
        let part = part.map(|part| self.part(part)).transpose()?;
        let chosen = self.chosen(spots)?;
        let around = Around::of(spots);
        check_reach(around.carried(around.last, to, false))?;
        for Chosen { at, layer, bead } in &chosen {
            let there = around.carried(*at, to, mirrored);
            match part {
                Some(part) => self.layers[part].set(there, Peg::Bead(*bead)),
                None => self.lay(*layer, there, *bead),
            }
        }
        let how = if mirrored { "copied, mirrored," } else { "copied" };
        Ok(format!("{} {how} to {}", counted(chosen.len(), "bead"), place_in_words(to)).into())
    }

    pub(super) fn part_of(&mut self, name: &str, spots: &[Spot]) -> Result<Done, Refused> {
        self.check_free(name, "choose another name")?;
        let chosen = self.chosen(spots)?;
        let top = chosen.iter().map(|bead| bead.layer).max().unwrap_or(0);
        let mut part = Layer::empty(name, chosen[0].at);
        for Chosen { at, layer, bead } in &chosen {
            part.set(*at, Peg::Bead(*bead));
            self.layers[*layer].set(*at, Peg::EMPTY);
        }
        self.layers.insert(top + 1, part);
        Ok(format!("{name} is a part of {}", counted(chosen.len(), "bead")).into())
    }

    /// The beads that show at some places, each once; at least one.
    fn chosen(&self, spots: &[Spot]) -> Result<Vec<Chosen>, Refused> {
        let spots: BTreeSet<Spot> = spots.iter().copied().collect();
        let bead = |at: Spot| {
            let layer = self.shown(at)?;
            Some(Chosen { at, layer, bead: self.layers[layer].peg(at)?.bead()? })
        };
        let chosen: Vec<Chosen> = spots.into_iter().filter_map(bead).collect();
        match chosen.is_empty() {
            true => {
                let right = "count rows and columns from 1, at the figure's top left";
                Err(("there is no bead at these places".into(), right.into()))
            }
            false => Ok(chosen),
        }
    }

    /// Beads go elsewhere, as sure as they were; notes on them go along, and the pegs they leave stay empty by hand.
    fn carry(&mut self, chosen: &[Chosen], to: impl Fn(Spot) -> Spot) {
        for at in self.about.meant.iter_mut().filter_map(|meant| meant.at.as_mut()) {
            let spot = Spot::at(at.0, at.1);
            if chosen.iter().any(|bead| bead.at == spot)
                && let Some(place) = to(spot).inside()
            {
                *at = place;
            }
        }
        for Chosen { at, layer, .. } in chosen {
            self.layers[*layer].set(*at, Peg::Empty { by_hand: true });
        }
        for Chosen { at, layer, bead } in chosen {
            self.lay(*layer, to(*at), *bead);
        }
    }

    /// Lays a bead so that it shows: in its own layer, or in the one above it that shows there.
    fn lay(&mut self, own: usize, at: Spot, bead: Placed) {
        let layer = self.shown(at).map_or(own, |shown| shown.max(own));
        self.layers[layer].set(at, Peg::Bead(bead));
    }
}

fn outside(spot: Spot) -> Refused {
    let why = format!("{} lies outside the figure", place_in_words(spot));
    (why, "name a peg of the figure".into())
}

/// A selection may grow the figure, as far as a figure can be.
fn check_reach(last: Spot) -> Result<(), Refused> {
    match last.row < MOST_ROWS as i32 && last.column < MOST_COLUMNS as i32 {
        true => Ok(()),
        false => Err(outside(last)),
    }
}

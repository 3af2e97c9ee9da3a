//! Rows of a zone come and go.

use super::layers::{Layer, Layers, Peg, zone_list};
use super::{Done, Refused, RowIn, Spot};
use crate::plan::{Zone, ZoneRows};
use crate::units::Row;

impl Layers {
    /// Doubles a row: parts that cross it grow, those below move down. The new row is the lower one; nothing of it
    /// counts as placed by hand. A headwear that has no rows yet gets an
    /// empty one on top, any other zone one like the row above it.
    pub(super) fn add_row(&mut self, which: RowIn) -> Result<Done, Refused> {
        if which == RowIn::Middle(Zone::Headwear) && self.zone_rows(Zone::Headwear) == Some(0) {
            self.move_all(1, 0);
            return Ok(String::from("an empty row is added on top").into());
        }
        let middle = |first: usize, rows: usize| Ok(Row(first + (rows - 1) / 2));
        let (zone, row) = match self.without_rows(which) {
            Some((zone, above)) => (Some(zone), above),
            None => self.find(which, middle)?,
        };
        let line = row.0 as i32;
        for layer in &mut self.layers {
            if layer.top > line {
                layer.top += 1;
            } else if let Some(own) = inside(layer, line) {
                let doubled = layer.pegs[own].iter().map(|peg| peg.copied()).collect();
                layer.pegs.insert(own + 1, doubled);
            }
        }
        for at in self.about.meant.iter_mut().filter_map(|meant| meant.at.as_mut()) {
            at.0.0 += usize::from(at.0 > row);
        }
        self.change_zone(zone, 1)?;
        Ok(format!("row {} was doubled{}", row.0 + 1, self.counted_anew(row.0 + 2, "more")).into())
    }

    /// Takes a row out: parts that cross it shrink, those below move up. Where only a zone is named, it is the
    /// row nearest to its middle that has nothing placed by hand.
    pub(super) fn drop_row(&mut self, which: RowIn) -> Result<Done, Refused> {
        let untouched = |first: usize, rows: usize| {
            let middle = first + (rows - 1) / 2;
            let mut all: Vec<usize> = (first..first + rows).collect();
            all.sort_by_key(|row| row.abs_diff(middle));
            all.into_iter().find(|row| !self.has_hand_in(*row)).map(Row).ok_or_else(|| {
                let right = format!("name the row to drop, {} to {}", first + 1, first + rows);
                ("every row of it has something placed by hand".to_owned(), right)
            })
        };
        let (zone, row) = self.find(which, untouched)?;
        if self.spanned() <= 1 {
            return Err(("it is the figure's last row".into(), "remove the part instead".into()));
        }
        let line = row.0 as i32;
        for layer in &mut self.layers {
            if layer.top > line {
                layer.top -= 1;
            } else if let Some(own) = inside(layer, line) {
                layer.pegs.remove(own);
                if layer.pegs.is_empty() {
                    // A part keeps a peg, and must not hold the figure's end where the row was.
                    *layer =
                        Layer { from: layer.from.clone(), ..Layer::empty(&layer.name, spot_above(layer)) };
                }
            }
        }
        self.about.meant.retain(|meant| meant.at.is_none_or(|at| at.0 != row));
        for at in self.about.meant.iter_mut().filter_map(|meant| meant.at.as_mut()) {
            at.0.0 -= usize::from(at.0 > row);
        }
        self.change_zone(zone, -1)?;
        Ok(format!("row {} was dropped{}", row.0 + 1, self.counted_anew(row.0, "less")).into())
    }

    /// What is said of the rows from one on that have another number now; nothing where there are none.
    fn counted_anew(&self, first: usize, more: &str) -> String {
        let are_there = (first as i32) < self.spanned();
        if are_there { format!(", and the rows below are numbered 1 {more}") } else { String::new() }
    }

    fn has_hand_in(&self, row: usize) -> bool {
        self.layers.iter().any(|layer| {
            inside(layer, row as i32).is_some_and(|own| layer.pegs[own].iter().any(|peg| is_hand_bead(*peg)))
        })
    }

    pub(super) fn spanned(&self) -> i32 {
        self.layers.iter().map(|layer| layer.top + layer.rows()).max().unwrap_or(0)
    }

    /// A zone that is meant and has no rows, below others that have, and the last row of those.
    fn without_rows(&self, which: RowIn) -> Option<(Zone, Row)> {
        let RowIn::Middle(zone) = which else { return None };
        let rows = self.about.rows.as_ref().filter(|rows| rows.get(zone) == 0)?;
        let above: usize = Zone::ALL.iter().take_while(|own| **own != zone).map(|own| rows.get(*own)).sum();
        Some((zone, Row(above.checked_sub(1)?)))
    }

    fn zone_rows(&self, zone: Zone) -> Option<usize> {
        self.about.rows.as_ref().map(|rows| rows.get(zone))
    }

    /// The row that is meant, and its zone where the figure has zones. `choose` takes one of a zone's rows, by
    /// its first row and how many.
    fn find(
        &self,
        which: RowIn,
        choose: impl Fn(usize, usize) -> Result<Row, Refused>,
    ) -> Result<(Option<Zone>, Row), Refused> {
        let alone = "name the row alone, as in add-row 9";
        match which {
            RowIn::Middle(zone) => {
                let (first, rows) = self.span_of(zone, alone)?;
                Ok((Some(zone), choose(first, rows)?))
            }
            RowIn::Of(zone, row) => {
                let (first, rows) = self.span_of(zone, alone)?;
                if (first..first + rows).contains(&row.0) {
                    return Ok((Some(zone), row));
                }
                let why = format!("row {} is not in {}", row.0 + 1, zone.name());
                Err((why, format!("{} has rows {} to {}", zone.name(), first + 1, first + rows)))
            }
            RowIn::Row(row) if (row.0 as i32) < self.spanned() => {
                let rows = self.about.rows.as_ref();
                Ok((rows.and_then(|rows| rows.at(row.0)).map(|(zone, _)| zone), row))
            }
            RowIn::Row(row) => {
                let right = format!("it has rows 1 to {}", self.spanned());
                Err((format!("the figure has no row {}", row.0 + 1), right))
            }
        }
    }

    /// First row of a zone, and how many it has. `alone` says what would be right in a figure without zones.
    pub(super) fn span_of(&self, zone: Zone, alone: &str) -> Result<(usize, usize), Refused> {
        let rows = self.about.rows.as_ref().ok_or_else(|| {
            ("the figure was drafted as drawn and has no zones".to_owned(), alone.to_owned())
        })?;
        let span = rows.rows_of(zone).next().map(|first| (first, rows.get(zone)));
        span.ok_or_else(|| (format!("{} has no rows", zone.name()), format!("its zones are {rows}")))
    }

    fn change_zone(&mut self, zone: Option<Zone>, by: isize) -> Result<(), Refused> {
        let Some(zone) = zone else { return Ok(()) };
        let mut rows = zone_list(&self.about.rows);
        rows[zone as usize] = rows[zone as usize].saturating_add_signed(by);
        self.about.rows = Some(ZoneRows::new(rows).map_err(|e| (e.to_string(), e.hint()))?);
        Ok(())
    }
}

fn inside(layer: &Layer, line: i32) -> Option<usize> {
    usize::try_from(line - layer.top).ok().filter(|own| *own < layer.pegs.len())
}

fn is_hand_bead(peg: Peg) -> bool {
    peg.bead().is_some() && peg.is_by_hand()
}

/// Where a part without rows leaves its one peg: a row up, so that it lies in the figure all the same.
fn spot_above(layer: &Layer) -> Spot {
    Spot { row: (layer.top - 1).max(0), column: layer.left }
}

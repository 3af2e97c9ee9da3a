//! Changes of whole parts.

use std::collections::BTreeMap;

use super::layers::{Layer, Layers, Peg};
use super::legend::likely;
use super::{Done, Refused, Spot, Way, counted};
use crate::figure::{Figure, Mark, Placed, Second};
use crate::units::{Column, Row};

impl Layers {
    pub(super) fn shift(&mut self, part: &str, way: Way, by: i32) -> Result<Done, Refused> {
        let at = self.part(part)?;
        let (down, right) = match way {
            Way::Left => (0, -by),
            Way::Right => (0, by),
            Way::Up => (-by, 0),
            Way::Down => (by, 0),
        };
        let mut alone = self.layers.len() == 1;
        alone &= matches!(way, Way::Left | Way::Up);
        let layer = &self.layers[at];
        if alone && (layer.top + down < 0 || layer.left + right < 0) {
            let why = format!("{part} is the only part and begins at the edge already");
            return Err((why, "there is nothing that it could move against".into()));
        }
        // What would begin before the first peg moves all the rest instead.
        let (up, left) = (-(layer.top + down).min(0), -(layer.left + right).min(0));
        self.move_all(up, left);
        self.notes_follow(at, |spot| Spot { row: spot.row + down, column: spot.column + right });
        let layer = &mut self.layers[at];
        layer.top += down;
        layer.left += right;
        let pegs = counted(by as usize, "peg");
        Ok(format!("{part} moved {} by {pegs}", way.word()).into())
    }

    pub(super) fn mirror(&mut self, part: &str) -> Result<Done, Refused> {
        let at = self.part(part)?;
        let (left, columns) = (self.layers[at].left, self.layers[at].columns());
        self.notes_follow(at, |spot| Spot { column: 2 * left + columns - 1 - spot.column, ..spot });
        self.layers[at].pegs.iter_mut().for_each(|row| row.reverse());
        Ok(format!("{part} is mirrored").into())
    }

    /// Notes on beads that a part shows move with it.
    fn notes_follow(&mut self, part: usize, to: impl Fn(Spot) -> Spot) {
        let mut meant = std::mem::take(&mut self.about.meant);
        for at in meant.iter_mut().filter_map(|meant| meant.at.as_mut()) {
            let spot = Spot::at(at.0, at.1);
            if self.shown(spot) == Some(part) {
                let moved = to(spot);
                if let (Ok(row), Ok(column)) = (usize::try_from(moved.row), usize::try_from(moved.column)) {
                    *at = (Row(row), Column(column));
                }
            }
        }
        self.about.meant = meant;
    }

    pub(super) fn new_part(&mut self, name: &str) -> Result<Done, Refused> {
        self.check_free(name, "choose another name")?;
        self.layers.push(Layer::empty(name, Spot { row: 0, column: 0 }));
        Ok(format!("{name} is a new, empty part on top").into())
    }

    fn check_free(&self, name: &str, right: &str) -> Result<(), Refused> {
        if name.trim().is_empty() {
            return Err(("a part needs a name".into(), "write part NAME".into()));
        }
        match self.layers.iter().any(|layer| layer.name == name) {
            true => Err((format!("there is a part {name} already"), right.into())),
            false => Ok(()),
        }
    }

    pub(super) fn remove(&mut self, part: &str) -> Result<Done, Refused> {
        let at = self.part(part)?;
        let beads = self.layers.remove(at).pegs.iter().flatten().filter(|peg| peg.bead().is_some()).count();
        Ok(format!("{part} with its {} is removed", counted(beads, "bead")).into())
    }

    pub(super) fn reorder(&mut self, part: &str, up: bool) -> Result<Done, Refused> {
        let at = self.part(part)?;
        let other = if up { Some(at + 1).filter(|at| *at < self.layers.len()) } else { at.checked_sub(1) };
        let Some(other) = other else {
            let end = if up { "on top" } else { "at the bottom" };
            return Err((format!("{part} is {end} already"), "leave it out".into()));
        };
        self.layers.swap(at, other);
        let (side, other) = (if up { "over" } else { "under" }, &self.layers[at].name);
        Ok(format!("{part} lies {side} {other} now").into())
    }

    /// Copies a part of another figure in; its beads find their lines in the legend by their names.
    pub(super) fn take(
        &mut self,
        other: &Figure,
        part: &str,
        from: &str,
        name: Option<&str>,
        at: Option<Spot>,
    ) -> Result<Done, Refused> {
        let found = other.parts().iter().rev().find(|own| own.name == part).ok_or_else(|| {
            let names = other.parts().iter().map(|part| part.name.as_str());
            (format!("{} has no part {part}", other.name()), likely(part, names, "its parts"))
        })?;
        let name = name.unwrap_or(part);
        self.check_free(name, "give it a name of its own with: as NAME")?;
        let mut layer = Layer::of(found);
        (layer.name, layer.from) = (name.into(), Some(from.into()));
        if let Some(at) = at {
            (layer.top, layer.left) = (at.row, at.column);
        }
        let mut marks: BTreeMap<Mark, Mark> = BTreeMap::new();
        for peg in layer.pegs.iter_mut().flatten() {
            if let Peg::Bead(placed) = peg {
                let mark = match marks.get(&placed.mark) {
                    Some(mark) => *mark,
                    None => self.line_of(other, placed.mark)?,
                };
                marks.insert(placed.mark, mark);
                let why = placed.why.and_then(|why| self.detector_of(other, why));
                let or = placed.or.map(|or| self.second_of(other, or));
                *placed = Placed { mark, why, or, ..*placed };
            }
        }
        let beads = layer.pegs.iter().flatten().filter(|peg| peg.bead().is_some()).count();
        self.layers.push(layer);
        Ok(format!("{name} taken from {from}: {}", counted(beads, "bead")).into())
    }

    /// The mark here of a bead that another figure calls by its own mark.
    fn line_of(&mut self, other: &Figure, mark: Mark) -> Result<Mark, Refused> {
        // Every mark of a figure is in its legend.
        let entry =
            other.entry(mark).ok_or(("its legend lacks a mark".to_owned(), "mend that file".to_owned()))?;
        let own = self.about.legend.iter().find(|own| own.bead == entry.bead).map(|own| own.mark);
        Ok(own.unwrap_or_else(|| self.add_line(entry.clone())))
    }

    /// The mark here of a detector that another figure calls by its own mark.
    fn detector_of(&mut self, other: &Figure, mark: Mark) -> Option<Mark> {
        let name = other.why().get(&mark)?;
        let why = &mut self.about.why;
        if let Some((own, _)) = why.iter().find(|(_, own)| *own == name) {
            return Some(*own);
        }
        let own =
            if why.contains_key(&mark) { Mark::free_for(name, &why.keys().copied().collect()) } else { mark };
        why.insert(own, name.clone());
        Some(own)
    }

    /// What another figure's bead could be instead, if this figure has such a bead.
    fn second_of(&self, other: &Figure, or: Second) -> Second {
        let Second::Bead(mark) = or else { return or };
        let bead = other.entry(mark).map(|entry| entry.bead.as_str());
        let own = self.about.legend.iter().find(|own| Some(own.bead.as_str()) == bead);
        own.map_or(Second::Itself, |own| Second::Bead(own.mark))
    }
}

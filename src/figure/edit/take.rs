//! A part of another figure, laid where this one's plan has it.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::fit::{self, Laid};
use super::layers::{Layer, Layers, Peg};
use super::legend::likely;
use super::{Done, Refused, Spot, counted};
use crate::figure::anatomy::height;
use crate::figure::{Anatomy, Figure, Mark, Placed, Second};
use crate::grid::Grid;
use crate::plan::{BodyPart, Zone};
use crate::units::Row;

/// What is taken, from where, and how it is to be called and laid here.
pub(super) struct Taken<'a> {
    pub other: &'a Figure,
    pub part: &'a str,
    pub from: &'a str,
    pub name: Option<&'a str>,
    pub at: Option<Spot>,
}

/// What a hand had settled and stayed.
#[derive(Default)]
struct Kept {
    /// How many pegs.
    pegs: usize,
    /// Where of them beads lie, within the part that was taken.
    beads: Vec<Spot>,
}

impl Layers {
    /// Copies a part of another figure in; its beads find their lines in the legend by their names. A part of the body
    /// takes the place of this figure's own, except for what was placed by hand.
    pub(super) fn take(&mut self, this: &Figure, taken: &Taken) -> Result<Done, Refused> {
        let (theirs, ours) = (Anatomy::of(taken.other), Anatomy::of(this));
        let body = BodyPart::named(taken.part);
        let mut layer = found(taken, &theirs)?;
        // Into a figure of one part a head comes whole: nothing of it would lie under what is there.
        let whole = body == Some(BodyPart::Head) && this.parts().len() == 1;
        if whole {
            ON_HEAD.into_iter().for_each(|part| layer.join(taken.other, &theirs, part));
        }
        let laid = match (taken.at, body) {
            (Some(at), _) => {
                (layer.top, layer.left) = (at.row, at.column);
                Laid::default()
            }
            (None, Some(body)) => fit::to_plan(&mut layer, body, &theirs, &ours)?,
            (None, None) if this.rows().is_some() && taken.other.rows().is_some() => {
                fit::to_ground(&mut layer, &theirs, &ours)
            }
            (None, None) => Laid::default(),
        };
        layer.name = taken.name.unwrap_or(taken.part).into();
        layer.from = Some(taken.from.into());
        self.bring_in(&mut layer, taken.other)?;
        let beads = beads_of(&layer);
        let (went, kept) = match body.filter(|_| taken.name.is_none()) {
            Some(body) => {
                let old =
                    if whole { self.clear(ours.parts(), |row, own| is_of_head(&ours, row, own)) } else { 0 };
                let (went, kept) = self.put_in_place(layer, body, &ours);
                (went + old, kept)
            }
            None => {
                self.check_free(&layer.name, "give it a name of its own with: as NAME")?;
                self.layers.push(layer);
                (0, Kept::default())
            }
        };
        let mut said = format!(
            "{} taken from {}: {}",
            taken.name.unwrap_or(taken.part),
            taken.from,
            counted(beads, "bead")
        );
        said.push_str(&laid.to_string());
        if went > 0 {
            said.push_str(&format!("; {} of its own went", counted(went, "bead")));
        }
        if kept.pegs > 0 {
            said.push_str(&format!("; {} settled by hand stayed", kept.pegs));
        }
        Ok(Done { said, kept_by_hand: kept.pegs, in_the_way: kept.beads })
    }

    /// Puts a layer where this figure's part of that name is. Says how many beads of it went, and which pegs settled
    /// by hand stayed.
    fn put_in_place(&mut self, mut layer: Layer, body: BodyPart, ours: &Anatomy) -> (usize, Kept) {
        let mut went = 0;
        let mut settled: Vec<(Spot, Peg)> = Vec::new();
        let place = match self.layers.iter().rposition(|own| own.name == body.name()) {
            Some(place) => {
                let old = self.layers.remove(place);
                let (by_hand, rest): (Vec<_>, Vec<_>) = pegs_of(&old).partition(|(_, peg)| peg.is_by_hand());
                went += rest.iter().filter(|(_, peg)| peg.bead().is_some()).count();
                settled = by_hand;
                place
            }
            None => {
                went += self.clear(ours.parts(), |_, own| own == body);
                let lies_under =
                    |own: &Layer| BodyPart::named(&own.name).is_some_and(|part| height(part) <= height(body));
                let named = |own: &Layer| BodyPart::named(&own.name).is_some();
                match self.layers.iter().rposition(lies_under) {
                    Some(under) => under + 1,
                    None if self.layers.iter().any(named) => 0,
                    None => self.layers.len(),
                }
            }
        };
        let mut kept = Kept {
            pegs: settled.len(),
            beads: settled.iter().filter(|(_, peg)| peg.bead().is_some()).map(|(spot, _)| *spot).collect(),
        };
        settled.into_iter().for_each(|(spot, peg)| layer.set(spot, peg));
        // What a hand settled in other parts is not covered either.
        let covered: Vec<Spot> = pegs_of(&layer)
            .filter(|(spot, peg)| peg.bead().is_some() && !peg.is_by_hand() && self.is_settled(*spot, place))
            .map(|(spot, _)| spot)
            .collect();
        kept.pegs += covered.len();
        covered.into_iter().for_each(|spot| layer.set(spot, Peg::EMPTY));
        self.layers.insert(place, layer);
        (went, kept)
    }

    /// Whether below a layer's place what shows, or is left empty, is so by hand.
    fn is_settled(&self, spot: Spot, below: usize) -> bool {
        let pegs = || self.layers.iter().filter_map(|layer| layer.peg(spot));
        match self.shown(spot) {
            Some(shown) => shown < below && self.layers[shown].peg(spot).is_some_and(Peg::is_by_hand),
            None => pegs().any(Peg::is_by_hand),
        }
    }

    /// Takes the beads off that show of some parts of the body, except for those by hand; how many.
    fn clear(&mut self, ours: &Grid<Option<BodyPart>>, goes: impl Fn(Row, BodyPart) -> bool) -> usize {
        let own = ours.iter().filter(|(row, _, part)| part.is_some_and(|part| goes(*row, part)));
        let mut went = 0;
        for spot in own.map(|(row, column, _)| Spot::at(row, column)) {
            let Some(shown) = self.shown(spot) else { continue };
            if !self.layers[shown].peg(spot).is_some_and(Peg::is_by_hand) {
                self.layers[shown].set(spot, Peg::EMPTY);
                went += 1;
            }
        }
        went
    }

    /// Brings the beads of another figure's layer under this figure's marks: first all lines of the legend, so that a
    /// doubt may name a bead that comes later.
    fn bring_in(&mut self, layer: &mut Layer, other: &Figure) -> Result<(), Refused> {
        let theirs: Vec<Mark> =
            layer.pegs.iter().flatten().filter_map(|peg| peg.bead()).map(|placed| placed.mark).collect();
        let mut marks: BTreeMap<Mark, Mark> = BTreeMap::new();
        for mark in theirs {
            if let Entry::Vacant(unmet) = marks.entry(mark) {
                unmet.insert(self.line_of(other, mark)?);
            }
        }
        for peg in layer.pegs.iter_mut().flatten() {
            if let Peg::Bead(placed) = peg {
                let why = placed.why.and_then(|why| self.detector_of(other, why));
                let or = placed.or.map(|or| self.second_of(other, or));
                *placed = Placed { mark: marks[&placed.mark], why, or, ..*placed };
            }
        }
        Ok(())
    }

    /// The mark here of a bead that another figure calls by its own mark.
    fn line_of(&mut self, other: &Figure, mark: Mark) -> Result<Mark, Refused> {
        // Every mark of a figure is in its legend.
        let entry = other
            .entry(mark)
            .ok_or(("its legend lacks a mark".to_owned(), "correct that file".to_owned()))?;
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

/// What lies on a head and comes with it.
const ON_HEAD: [BodyPart; 2] = [BodyPart::Hair, BodyPart::Hat];

/// Whether a bead is of the head: by what it was read as, or in the rows of the head and neither arm nor held.
fn is_of_head(ours: &Anatomy, row: Row, part: BodyPart) -> bool {
    let lies_in =
        |zone| ours.rows_of(zone).is_some_and(|(first, rows)| (first..first + rows).contains(&row.0));
    match part {
        BodyPart::Head | BodyPart::Hair | BodyPart::Hat => true,
        BodyPart::LeftArm | BodyPart::RightArm | BodyPart::Props => false,
        _ => [Zone::Headwear, Zone::Head].into_iter().any(lies_in),
    }
}

impl Layer {
    /// Lays a part of a figure over this one's beads, where the figure has it.
    fn join(&mut self, other: &Figure, theirs: &Anatomy, body: BodyPart) {
        let own = other.parts().iter().rev().find(|own| own.name == body.name()).map(Self::of);
        let found = own.or_else(|| other.body_part(theirs, body).as_ref().map(Self::of));
        let pegs: Vec<(Spot, Peg)> = found.iter().flat_map(pegs_of).collect();
        let beads = pegs.into_iter().filter(|(_, peg)| peg.bead().is_some());
        beads.for_each(|(spot, peg)| self.set(spot, peg));
    }
}

/// The part as the other figure has it: a layer of that name, else what its anatomy says.
fn found(taken: &Taken, theirs: &Anatomy) -> Result<Layer, Refused> {
    let other = taken.other;
    if let Some(own) = other.parts().iter().rev().find(|own| own.name == taken.part) {
        return Ok(Layer::of(own));
    }
    let read = BodyPart::named(taken.part).and_then(|body| other.body_part(theirs, body));
    read.as_ref().map(Layer::of).ok_or_else(|| {
        let mut names: Vec<&str> = other.parts().iter().map(|part| part.name.as_str()).collect();
        BodyPart::ALL.into_iter().filter(|part| theirs.has(*part)).for_each(|part| names.push(part.name()));
        let mut met = std::collections::BTreeSet::new();
        names.retain(|name| met.insert(*name));
        (format!("{} has no part {}", other.name(), taken.part), likely(taken.part, names, "its parts"))
    })
}

fn pegs_of(layer: &Layer) -> impl Iterator<Item = (Spot, Peg)> + '_ {
    layer.pegs.iter().zip(layer.top..).flat_map(move |(pegs, row)| {
        pegs.iter().zip(layer.left..).map(move |(peg, column)| (Spot { row, column }, *peg))
    })
}

fn beads_of(layer: &Layer) -> usize {
    layer.pegs.iter().flatten().filter(|peg| peg.bead().is_some()).count()
}

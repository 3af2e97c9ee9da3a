//! A plain body in beads of a tray: a figure to dress.

use std::collections::BTreeSet;

use crate::colour::{Lab, Srgb, ciede2000};
use crate::error::Result;
use crate::figure::{ChosenBy, Description, Figure, LegendEntry, Mark, Part, Placed};
use crate::plan::{Material, PlainBody, PlainPart, ZoneRows};
use crate::tray::{BeadId, HARD_TO_TELL, Tray};
use crate::units::Centimetres;

/// What a plain body wears: a bead for each material.
#[derive(Clone, Debug, PartialEq)]
pub struct Outfit([(BeadId, Lab); Material::ALL.len()]);

impl Outfit {
    /// The tray's beads nearest to plain everyday colours (our own choice). Materials that may touch get beads that can
    /// be told apart, as far as the tray has such.
    pub fn from_tray(tray: &Tray) -> Self {
        let mut worn: Vec<(BeadId, Lab)> = Vec::new();
        for material in Material::ALL {
            let aim = aim(material).lab();
            let near = tray.nearest(aim, tray.len());
            let apart = |&(id, _): &(BeadId, _)| {
                let told = |&(other, _): &(BeadId, Lab)| {
                    ciede2000(tray.bead(id).lab, tray.bead(other).lab).0 > HARD_TO_TELL.0
                };
                worn.iter()
                    .zip(Material::ALL)
                    .filter(|(_, other)| touch(material, *other))
                    .all(|(w, _)| told(w))
            };
            // A tray is never empty; where no bead can be told apart, the nearest serves.
            let chosen = near.iter().copied().find(apart).unwrap_or(near[0]);
            worn.push((chosen.0, aim));
        }
        Self(std::array::from_fn(|at| worn[at]))
    }

    /// The same with another bead for one material.
    #[must_use]
    pub fn with(mut self, material: Material, bead: BeadId) -> Self {
        self.0[material as usize].0 = bead;
        self
    }

    /// The bead of a material.
    pub fn bead(&self, material: Material) -> BeadId {
        self.0[material as usize].0
    }
}

/// Whether two materials may lie side by side on some body, so that one bead could not serve both.
fn touch(one: Material, other: Material) -> bool {
    !matches!((one, other), (Material::Shoes, Material::Line | Material::Hair))
}

/// The colour asked of the tray.
fn aim(material: Material) -> Srgb {
    match material {
        Material::Skin => Srgb::new(0xe7, 0xc0, 0x96),
        Material::Hair => Srgb::new(0x4f, 0x41, 0x38),
        Material::Shirt => Srgb::new(0x2f, 0x86, 0xd4),
        Material::Sleeve => Srgb::new(0x23, 0x50, 0xae),
        Material::Trousers => Srgb::new(0x6f, 0x72, 0x75),
        Material::Line | Material::Shoes => Srgb::new(0x1f, 0x20, 0x23),
    }
}

/// What a plain figure is called and stands for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Named<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its height class, where it has one.
    pub class: Option<&'a str>,
    /// Its standing height, where one was said.
    pub stature: Option<Centimetres>,
}

/// The figure of a plain body: its parts as layers by their names, lowest first, in the beads of an outfit.
///
/// # Errors
/// [`crate::error::Error::FigureFile`] where the zones are not the body's.
pub fn plain_figure(
    named: &Named,
    body: &PlainBody,
    zones: &ZoneRows,
    outfit: &Outfit,
    tray: &Tray,
) -> Result<Figure> {
    let mut legend: Vec<LegendEntry> = Vec::new();
    let mut marks = [None; Material::ALL.len()];
    let has = |part: &PlainPart, material| part.beads.iter().any(|(_, _, own)| *own == Some(material));
    for material in Material::ALL.into_iter().filter(|m| body.parts().iter().any(|part| has(part, *m))) {
        let (id, aim) = outfit.0[material as usize];
        let bead = &tray.bead(id).name;
        let known = legend.iter().find(|entry| entry.bead == *bead).map(|entry| entry.mark);
        let mark = known.unwrap_or_else(|| {
            let taken: BTreeSet<Mark> = legend.iter().map(|entry| entry.mark).collect();
            let mark = Mark::free_for(bead, &taken);
            let by = ChosenBy::Match;
            legend.push(LegendEntry { mark, bead: bead.clone(), aim: Some(aim), confidence: None, by });
            mark
        });
        marks[material as usize] = Some(mark);
    }
    let part = |part: &PlainPart| Part {
        name: part.part.name().into(),
        from: None,
        at: part.at,
        beads: part.beads.map(|_, _, own| own.and_then(|m| marks[m as usize]).map(|m| Placed::new(m, None))),
        bare: BTreeSet::new(),
    };
    let description = Description {
        name: named.name.into(),
        stature: named.stature,
        class: named.class.map(Into::into),
        source: None,
        rows: Some(*zones),
        legend,
        why: std::collections::BTreeMap::new(),
        parts: body.parts().iter().map(part).collect(),
        meant: Vec::new(),
    };
    Figure::new(named.name, description)
}

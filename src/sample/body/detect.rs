//! What is looked for on a sketch beyond what fills its windows: eyes, belts, stripes and other features that are
//! smaller than a bead or mean more than their area.
//!
//! One detector, one file; [`DETECTORS`] lists them. Each sees the same [`Scene`] and says which pegs it claims for
//! which colour and how much speaks for that; none sees what another claims, so that any order gives the same.
//! `resolve` alone decides between claims.

use super::scene::{Peg, Scene};
use super::{face, shoes, signs, skin, stripes};
use crate::colour::Lab;

/// A detector: what it finds, why that matters, and how it judges.
#[derive(Debug)]
pub struct Detector {
    /// A short plain name, stable for scripts and figure files.
    pub name: &'static str,
    /// What it finds, exactly.
    pub what: &'static str,
    /// Why a maker would care.
    pub why: &'static str,
    /// Where what it does comes from.
    pub source: &'static str,
    /// An example a maker would know.
    pub example: &'static str,
    /// Its limits, with their units.
    pub limits: &'static str,
    pub(super) find: fn(&Scene) -> Vec<Claim>,
}

/// Every detector.
pub const DETECTORS: &[Detector] = &[
    skin::DETECTOR,
    stripes::DETECTOR,
    signs::DETECTOR,
    shoes::DETECTOR,
    face::EYES_DETECTOR,
    face::MOUTH_DETECTOR,
];

/// The detector of that name.
pub fn detector_named(name: &str) -> Option<&'static Detector> {
    DETECTORS.iter().find(|detector| detector.name == name)
}

/// Which of two claims to one peg is heard: the higher. What is told by its place on the body stands above what is told
/// by its look.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Rank {
    /// One skin for a face.
    Skin,
    /// Any small blob or line.
    Blob,
    /// Patterns of cloth.
    Stripes,
    Shoes,
    /// What lies where a face has its eyes but is none of them.
    AroundEyes,
    Eyes,
    Mouth,
}

/// What a claim asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Asked {
    /// A label that the drawing has; it takes over what spoke for the one before.
    Label(u8),
    /// A label that the drawing has, as a mark that means more than its area.
    Mark(u8),
    /// A colour as it is drawn.
    Drawn(Lab),
    /// A colour that is known by what it is, not by how it is drawn.
    Known(Lab),
    /// No bead.
    Bare,
}

/// Pegs that a detector claims.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Claim {
    pub pegs: Vec<Peg>,
    pub asked: Asked,
    pub rank: Rank,
    /// How much speaks for it, 0 to 1: it stands for the share of the window that a mark has not, and decides between
    /// two claims of one rank.
    pub stands: f64,
}

/// What all detectors claim, each with the detector's name; those named in `without` do not look.
pub(super) fn claims(scene: &Scene, without: &[&str]) -> Vec<(&'static str, Claim)> {
    let asked = DETECTORS.iter().filter(|detector| !without.contains(&detector.name));
    asked.flat_map(|d| (d.find)(scene).into_iter().map(|claim| (d.name, claim))).collect()
}

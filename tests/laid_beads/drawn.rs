//! Drawn photographs of beads in four lights.

use smallcast::colour::Lab;
use smallcast::error::Result;
use smallcast::reference::open::{Limits, decode};
use smallcast::seen_beads::{SeenBeads, SeenOptions, read};
use smallcast::trial::{BeadKind, LaidBead, LaidPhotograph, LaidScene};

use crate::spectra::{Lamp, Spectra};

/// A light as it is met at a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lit {
    Neutral,
    Warm,
    Uneven,
    Dim,
}

impl Lit {
    pub const ALL: [Self; 4] = [Self::Neutral, Self::Warm, Self::Uneven, Self::Dim];

    /// The lamp, how much of its tint the camera leaves, the exposure, and how much light is lost over the sheet.
    fn terms(self) -> (Lamp, f64, f64, f64) {
        match self {
            Self::Neutral => (Lamp::D65, 0.0, 0.88, 0.1),
            Self::Warm => (Lamp::A, 0.35, 0.72, 0.2),
            Self::Uneven => (Lamp::Led, 0.3, 0.9, 0.5),
            Self::Dim => (Lamp::D50, 0.5, 0.27, 0.2),
        }
    }
}

/// Papers as they are bought: beside a perfect white, brightened with blue or creamy. Invented within what
/// ISO 12647-2:2013 has for printing papers (b* from -10 to 5).
const PAPERS: [[f64; 3]; 6] = [
    [0.88, 0.875, 0.90],
    [0.87, 0.87, 0.87],
    [0.875, 0.88, 0.935],
    [0.85, 0.845, 0.83],
    [0.90, 0.895, 0.93],
    [0.865, 0.86, 0.90],
];

pub struct Drawn {
    pub photograph: LaidPhotograph,
    /// The beads' true colours, in reading order; none for a bead without one colour.
    pub colours: Vec<Option<Lab>>,
}

/// What is changed in a drawn photograph.
#[derive(Clone, Copy, Debug, Default)]
pub struct Change {
    pub without_patch: bool,
    /// A clear bead in the sixth place, glitter in the eleventh.
    pub with_unreadable: bool,
}

/// A photograph of all the published reflectances as beads; some lie, some shine.
pub fn drawn(lit: Lit, seed: u64, change: Change) -> Drawn {
    let spectra = Spectra::read();
    let (lamp, left, exposure, uneven) = lit.terms();
    let white = spectra.seen(lamp, 0, left);
    let count = spectra.patches();
    // Another order each time: no reflectance lies always in one place.
    let order: Vec<usize> = (0..count).map(|i| 1 + (i * 7 + seed as usize * 5) % count).collect();
    let kind = |at: usize| match (at + seed as usize) % 6 {
        _ if change.with_unreadable && at == 5 => BeadKind::Clear,
        _ if change.with_unreadable && at == 10 => BeadKind::Glitter,
        0 => BeadKind::Lying,
        3 => BeadKind::Glossy,
        _ => BeadKind::Upright,
    };
    // Brightest white reaches no further than the exposure, whatever the tint.
    let full = white.iter().fold(0.0_f64, |most, v| most.max(*v));
    let scaled = |light: [f64; 3]| light.map(|v| v / full);
    let beads = order
        .iter()
        .enumerate()
        .map(|(at, patch)| LaidBead { colour: scaled(spectra.seen(lamp, *patch, left)), kind: kind(at) });
    let paper = PAPERS[seed as usize % PAPERS.len()];
    let scene = LaidScene {
        beads: beads.collect(),
        in_a_row: 8,
        paper: scaled(std::array::from_fn(|c| white[c] * paper[c])),
        // The patch is a grey card: neutral 5 or 6.5.
        patch: (!change.without_patch).then(|| scaled(spectra.seen(lamp, 21 + seed as usize % 2, left))),
        exposure,
        uneven,
        seed,
    };
    let is_readable = |at: usize| !matches!(kind(at), BeadKind::Clear | BeadKind::Glitter);
    let colours =
        order.iter().enumerate().map(|(at, patch)| is_readable(at).then(|| spectra.lab(*patch))).collect();
    Drawn { photograph: scene.photograph(), colours }
}

impl Drawn {
    pub fn read(&self) -> Result<SeenBeads> {
        self.read_with(&SeenOptions::default())
    }

    pub fn read_with(&self, options: &SeenOptions) -> Result<SeenBeads> {
        let picture = decode("beads.jpg", &self.photograph.file, &Limits::default())?;
        read("beads.jpg", &picture, options)
    }
}

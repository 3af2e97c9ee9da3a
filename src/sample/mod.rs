//! From a reference to beads-to-be: the drawing's few colours, the lattice, and what each window shows.

mod body;
mod cluster;
mod ink;
mod labels;
mod lattice;
mod piece;
mod redrawn;
mod reduce;
mod seen;
mod shade;
mod suppose;
mod thin;
mod together;
mod wax;

pub use body::{Asked, DETECTORS, Detector, Sighted, detector_named};
pub(crate) use cluster::ONE_COLOUR;
pub use cluster::{Cluster, Clustering, Possible, best_kmeans, cluster_colours};
pub use lattice::{Lattice, Layout, Proportions, Raised};
pub use suppose::Supposed;
pub(crate) use wax::Marks as WaxMarks;

use crate::grid::Grid;
use crate::plan::{Measured, ZoneRows};
use crate::reference::Reference;
use crate::units::Column;

/// How much of a window one colour fills.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// Place of the colour in [`SampleGrid::clusters`].
    pub colour: usize,
    /// Share of the window, 0 to 1; of a mark that was set as a whole bead on a sketch ([`BeadSample::is_mark`]) at
    /// least how much speaks for it: how far it stands out, whether it has its like beside it or goes on.
    pub share: f64,
}

/// What one window shows.
#[derive(Clone, Debug, PartialEq)]
pub struct BeadSample {
    /// Whether a bead belongs here.
    pub filled: bool,
    /// How much of the window is subject, 0 to 1.
    pub cover: f64,
    /// The colours in it; the first is the one the bead takes, the rest by share.
    pub colours: Vec<Share>,
    /// Whether a small strong mark won over what fills more of the window.
    pub is_mark: bool,
    /// The detector that set the bead; none where its window did.
    pub set_by: Option<&'static str>,
}

/// Rows x columns of beads-to-be.
#[derive(Clone, Debug)]
pub struct SampleGrid {
    clusters: Vec<Cluster>,
    lattice: Lattice,
    beads: Grid<BeadSample>,
    landmarks: Vec<Sighted>,
    measured: Option<Measured>,
    plan: Option<ZoneRows>,
    stroked: bool,
    softness: f64,
    certainty: f64,
    asked: Vec<Asked>,
}

impl SampleGrid {
    /// Reads a reference: colours, lattice, windows. `seed` starts the clustering.
    pub fn read(reference: &Reference, layout: Layout, seed: u64) -> Self {
        Self::read_supposing(reference, layout, &Supposed::default(), seed)
    }

    /// Reads a reference in another way than the likeliest: where the picture allows more than one.
    pub fn read_supposing(reference: &Reference, layout: Layout, supposed: &Supposed, seed: u64) -> Self {
        let labels = labels::read_labels(reference, seed);
        let (lattice, purity) = lattice::lay(reference, &labels, layout);
        if let Layout::Plan(zones, marks, raised) = layout
            && !lattice.is_shown()
        {
            let as_seen = labels::as_seen(reference, &labels, seed);
            if let Some(body) = body::read(reference, as_seen, (zones, raised), marks, supposed) {
                return Self::of_body(body, reference, lattice.certainty());
            }
        }
        let lattice = lattice::bent(reference, &purity, lattice);
        let lattice = if supposed.half_across { suppose::half_across(&lattice) } else { lattice };
        let beads = together::settle(reduce::read_windows(&labels, &lattice));
        let beads = match labels::is_stretched(reference) {
            true => redrawn::settle(reference, &lattice, beads, &labels.clusters),
            false => beads,
        };
        let filled = |column: usize| beads.iter().any(|(_, at, sample)| at.0 == column && sample.filled);
        let first = (0..beads.columns()).find(|&c| filled(c)).unwrap_or(0);
        let last = (0..beads.columns()).rev().find(|&c| filled(c)).unwrap_or(first);
        // Columns in which nothing fills a bead hold a soft edge at most.
        let kept = Grid::from_fn(beads.rows(), last + 1 - first, |row, column| {
            beads[(row, Column(column.0 + first))].clone()
        });
        let certainty = lattice.certainty();
        let lattice = match supposed.half_across {
            true => suppose::columns_of(&lattice, first, last),
            false => lattice.with_columns(first, last),
        };
        Self {
            clusters: labels.clusters,
            lattice,
            beads: kept,
            landmarks: Vec::new(),
            measured: None,
            plan: None,
            stroked: labels.stroked,
            softness: reference.softness(),
            certainty,
            asked: Vec::new(),
        }
    }

    /// `certainty` is that of the lattice that was sought and set aside.
    fn of_body(body: body::Body, reference: &Reference, certainty: f64) -> Self {
        Self {
            clusters: body.labels.clusters,
            lattice: body.lattice,
            beads: body.beads,
            landmarks: body.landmarks,
            measured: Some(body.measured),
            plan: Some(body.zones),
            stroked: body.labels.stroked,
            softness: reference.softness(),
            certainty,
            asked: body.asked,
        }
    }

    /// The same with other beads, laid by the same lattice, and more colours after its own.
    pub(crate) fn relaid(self, beads: Grid<BeadSample>, more: Vec<Cluster>) -> Self {
        let clusters = self.clusters.into_iter().chain(more).collect();
        Self { beads, clusters, ..self }
    }

    /// The drawing's colours, most pixels first.
    pub fn clusters(&self) -> &[Cluster] {
        &self.clusters
    }

    /// Whether the drawing is in wax or pencil that lets the paper through.
    pub fn is_stroked(&self) -> bool {
        self.stroked
    }

    /// Working pixels to one of the picture file's; above 1 the picture was stretched.
    pub fn softness(&self) -> f64 {
        self.softness
    }

    /// How certain the lattice is that was sought in the drawing, 0 to 1, whether its windows were read or it was set
    /// aside and the drawing brought to the body plan.
    pub fn certainty(&self) -> f64 {
        self.certainty
    }

    /// Whether the drawing was brought to the body plan as a sketch, not read by a lattice of its own.
    pub fn is_on_plan(&self) -> bool {
        self.measured.is_some()
    }

    /// Where each bead's window lies.
    pub fn lattice(&self) -> &Lattice {
        &self.lattice
    }

    /// The landmarks a sketch was brought to the plan by, each with its confidence; none where the drawing
    /// shows a lattice of its own.
    pub fn landmarks(&self) -> &[Sighted] {
        &self.landmarks
    }

    /// The plan a sketch was brought to, with the rows of what it has above its head; none where the drawing shows
    /// a lattice of its own.
    pub fn plan(&self) -> Option<ZoneRows> {
        self.plan
    }

    /// The widths of a body that was brought to its plan; none where the drawing shows a lattice of its own.
    pub fn measured(&self) -> Option<Measured> {
        self.measured
    }

    /// Pale areas that the body's plan judged anew: cloth or ground, which is only likely.
    pub fn asked(&self) -> &[Asked] {
        &self.asked
    }

    /// What each window shows.
    pub fn beads(&self) -> &Grid<BeadSample> {
        &self.beads
    }
}

//! The ground a figure is shown on: light, dark or between, whichever its edges stand out from.

use crate::colour::{Srgb, ciede2000};
use crate::grid::Grid;

/// What lies under the beads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ground {
    /// Warm white, as a board by the window.
    Light,
    /// Dark grey.
    Dark,
    /// Between the two, a quiet blue that few figures wear: for figures with both white and black at their edge.
    Dusk,
    /// A colour of the maker's.
    Own(Srgb),
}

impl Ground {
    /// Its colour.
    pub fn colour(self) -> Srgb {
        match self {
            Self::Light => Srgb::new(243, 241, 236),
            Self::Dark => Srgb::new(46, 48, 52),
            Self::Dusk => Srgb::new(116, 128, 158),
            Self::Own(colour) => colour,
        }
    }

    /// Colour of words on it.
    pub fn ink(self) -> Srgb {
        match self {
            Self::Light => Srgb::new(52, 52, 56),
            Self::Dark => Srgb::new(226, 226, 222),
            Self::Dusk => Srgb::new(255, 255, 255),
            Self::Own(colour) => colour.ink(),
        }
    }

    /// The ground a figure stands out from: the one whose CIEDE2000 to the beads at the figure's own edge is
    /// largest where it is smallest. Light where there is nothing between them.
    pub fn suiting(beads: &Grid<Option<Srgb>>) -> Self {
        Self::standing_out_from(&edge(beads))
    }

    /// The one ground for several figures, chosen alike from the edges of all.
    pub fn suiting_all(figures: impl Iterator<Item = Grid<Option<Srgb>>>) -> Self {
        Self::standing_out_from(&figures.flat_map(|beads| edge(&beads)).collect::<Vec<_>>())
    }

    fn standing_out_from(edge: &[Srgb]) -> Self {
        /// Of the edge's beads this share may be lost: a lone stray does not choose.
        const LOST: f64 = 0.04;
        let near = |ground: Self| {
            let lab = ground.colour().lab();
            let mut apart: Vec<f64> = edge.iter().map(|bead| ciede2000(bead.lab(), lab).0).collect();
            apart.sort_by(f64::total_cmp);
            apart.get((apart.len() as f64 * LOST) as usize).copied().unwrap_or(0.0)
        };
        let grounds = [Self::Light, Self::Dark, Self::Dusk].map(|ground| (near(ground), ground));
        let [first, others @ ..] = grounds;
        others.into_iter().fold(first, |best, other| if other.0 > best.0 { other } else { best }).1
    }
}

/// The beads at a figure's own edge.
fn edge(beads: &Grid<Option<Srgb>>) -> Vec<Srgb> {
    let is_open = |row, column| {
        let mut count = 0;
        let open = beads.beside(row, column).inspect(|_| count += 1).any(|(_, _, other)| other.is_none());
        open || count < 4
    };
    beads.iter().filter(|(row, column, _)| is_open(*row, *column)).filter_map(|(_, _, bead)| *bead).collect()
}

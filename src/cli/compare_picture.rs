//! The picture of `smallcast compare`: the figure in each candidate bead.

use smallcast::colour::{Lab, Srgb, ciede2000};
use smallcast::draft::{DraftOptions, draft};
use smallcast::error::Result;
use smallcast::figure::{Figure, Mark};
use smallcast::grid::Grid;
use smallcast::reference::Picture;
use smallcast::sheet::{candidates_picture, figure_colours, png};
use smallcast::tray::{BeadId, Tray};

/// The bytes of the picture: the maker's figure, or a draft of the first picture where none was named.
///
/// # Errors
/// As [`draft`].
pub fn draw(
    file: &str,
    picture: &Picture,
    figure: Option<&(Figure, Mark)>,
    (aim, seed): (Lab, u64),
    candidates: &[BeadId],
    tray: &Tray,
) -> Result<Vec<u8>> {
    let (colours, here) = match figure {
        Some((figure, mark)) => of_figure(figure, *mark, tray),
        None => of_draft(file, picture, (aim, seed), tray)?,
    };
    Ok(png(&candidates_picture(&colours, &here, candidates, tray)))
}

type Coloured = (Grid<Option<Srgb>>, Grid<bool>);

fn of_figure(figure: &Figure, mark: Mark, tray: &Tray) -> Coloured {
    let beads = figure.beads();
    let colours = figure_colours(figure, tray);
    let here = beads.map(|_, _, placed| placed.is_some_and(|placed| placed.mark == mark));
    (colours, here)
}

/// A draft, and the places of the colour nearest to the one looked at.
fn of_draft(file: &str, picture: &Picture, (aim, seed): (Lab, u64), tray: &Tray) -> Result<Coloured> {
    let found = draft(file, picture, &DraftOptions { seed, ..DraftOptions::default() }, tray)?;
    let distance = |line: &smallcast::draft::LegendLine| ciede2000(line.aim, aim).0;
    let nearest = found.legend.iter().min_by(|a, b| distance(a).total_cmp(&distance(b)));
    let looked_at = nearest.map(|line| line.bead);
    let beads = found.matched.beads();
    let colours = beads.map(|_, _, bead| bead.as_ref().map(|bead| tray.bead(bead.bead).lab.srgb()));
    let here = beads.map(|_, _, bead| bead.as_ref().is_some_and(|bead| Some(bead.bead) == looked_at));
    Ok((colours, here))
}

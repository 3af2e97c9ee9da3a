//! How near a draft comes to the figure it should be.

use crate::colour::ciede2000;
use crate::grid::Grid;
use crate::tray::{BeadId, Tray};
use crate::units::{Column, Row};

/// Truth and draft are shifted against each other by up to this many beads each way: a draft that lies a bead
/// aside is no worse a figure.
const SHIFT: isize = 2;

/// One bead of a draft: how sure it was, whether it was right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judged {
    /// The confidence it was drafted with, 0 to 1.
    pub confidence: f64,
    /// Whether the known figure has that bead there.
    pub right: bool,
    /// Its place in the draft.
    pub at: (Row, Column),
}

/// A draft against the known figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Score {
    /// Beads that are the same, over beads either has.
    pub right: f64,
    /// Beads the maker would change, add or take off.
    pub mend: usize,
    /// Overlap of the silhouettes: intersection over union.
    pub overlap: f64,
    /// Mean CIEDE2000 of beads both have.
    pub difference: f64,
    /// Every bead of the draft.
    pub beads: Vec<Judged>,
}

/// Where beads lie: row, column, bead; trimmed to the first row and column.
fn laid<T>(grid: &Grid<Option<T>>) -> (Vec<(isize, isize, &T)>, isize, isize) {
    let filled: Vec<(isize, isize, &T)> = grid
        .iter()
        .filter_map(|(r, c, bead)| bead.as_ref().map(|bead| (r.0 as isize, c.0 as isize, bead)))
        .collect();
    let top = filled.iter().map(|f| f.0).min().unwrap_or(0);
    let left = filled.iter().map(|f| f.1).min().unwrap_or(0);
    let height = filled.iter().map(|f| f.0).max().map_or(0, |last| last - top + 1);
    let width = filled.iter().map(|f| f.1).max().map_or(0, |last| last - left + 1);
    (filled.into_iter().map(|(r, c, bead)| (r - top, c - left, bead)).collect(), height, width)
}

/// Scores a draft: each bead with its confidence.
pub fn score(truth: &Grid<Option<BeadId>>, draft: &Grid<Option<(BeadId, f64)>>, tray: &Tray) -> Score {
    score_within(SHIFT, truth, draft, tray)
}

/// Scores a draft that may lie up to `most` beads aside each way.
pub(crate) fn score_within(
    most: isize,
    truth: &Grid<Option<BeadId>>,
    draft: &Grid<Option<(BeadId, f64)>>,
    tray: &Tray,
) -> Score {
    let (known, high, wide) = laid(truth);
    let (drafted, draft_high, draft_wide) = laid(draft);
    let known_at = Grid::from_fn(high as usize, wide as usize, |r, c| {
        known.iter().find(|k| (k.0, k.1) == (r.0 as isize, c.0 as isize)).map(|k| *k.2)
    });
    let there = |row: isize, column: isize| {
        let (row, column) = (usize::try_from(row).ok()?, usize::try_from(column).ok()?);
        known_at.get(Row(row), Column(column)).copied().flatten()
    };
    let (down, across) = ((high - draft_high).div_euclid(2), (wide - draft_wide).div_euclid(2));
    let shifts =
        (down - most..=down + most).flat_map(|dy| (across - most..=across + most).map(move |dx| (dy, dx)));
    let counted = shifts.map(|(dy, dx)| {
        let pairs =
            drafted.iter().filter_map(|&(r, c, bead)| there(r + dy, c + dx).map(|known| (known, bead.0)));
        let (both, same) = pairs.fold((0, 0), |(both, same), (k, d)| (both + 1, same + usize::from(k == d)));
        (both, same, (dy, dx))
    });
    // The first best counts, so that ties always fall the same way.
    let union = |both: usize| known.len() + drafted.len() - both;
    let rank = |both: usize, same: usize| same as f64 / union(both).max(1) as f64;
    let (both, same, (dy, dx)) = counted
        .fold(None, |best: Option<(usize, usize, (isize, isize))>, next| match best {
            Some(b) if (rank(b.0, b.1), b.0) >= (rank(next.0, next.1), next.0) => Some(b),
            _ => Some(next),
        })
        .unwrap_or((0, 0, (0, 0)));
    let first = |of: fn(&(isize, isize)) -> isize| {
        draft
            .iter()
            .filter(|(_, _, b)| b.is_some())
            .map(|(r, c, _)| of(&(r.0 as isize, c.0 as isize)))
            .min()
            .unwrap_or(0)
    };
    let (top, left) = (first(|p| p.0), first(|p| p.1));
    let mut difference = 0.0;
    let beads = drafted.iter().map(|&(r, c, &(bead, confidence))| {
        let known = there(r + dy, c + dx);
        if let Some(known) = known {
            difference += ciede2000(tray.bead(known).lab, tray.bead(bead).lab).0;
        }
        Judged {
            confidence,
            right: known == Some(bead),
            at: (Row((r + top) as usize), Column((c + left) as usize)),
        }
    });
    let beads = beads.collect();
    Score {
        right: rank(both, same),
        mend: union(both) - same,
        overlap: both as f64 / union(both).max(1) as f64,
        difference: difference / (both.max(1)) as f64,
        beads,
    }
}

/// Expected calibration error over ten equal bins (Guo et al. 2017, "On calibration of modern neural
/// networks"): 0 is best. Nothing of no beads.
pub fn calibration_error(beads: &[Judged]) -> Option<f64> {
    let bins = reliability(beads);
    let off = bins.iter().map(|bin| (bin.predicted - bin.kept).abs() * bin.count as f64).sum::<f64>();
    (!beads.is_empty()).then(|| off / beads.len() as f64)
}

/// One bin of a reliability diagram.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bin {
    /// How many beads lie in it.
    pub count: usize,
    /// Their mean confidence.
    pub predicted: f64,
    /// The share of them that was right.
    pub kept: f64,
}

/// Ten equal bins of confidence.
pub fn reliability(beads: &[Judged]) -> [Bin; 10] {
    let mut bins = [Bin::default(); 10];
    for bead in beads {
        let bin = &mut bins[((bead.confidence * 10.0) as usize).min(9)];
        bin.count += 1;
        bin.predicted += bead.confidence;
        bin.kept += f64::from(u8::from(bead.right));
    }
    bins.map(|bin| {
        let count = bin.count.max(1) as f64;
        Bin { count: bin.count, predicted: bin.predicted / count, kept: bin.kept / count }
    })
}

/// Area under the ROC curve: the chance that a right bead was surer than a wrong one, ties counted half
/// (Hanley, McNeil 1982). Nothing where no bead is wrong or none is right.
pub fn ranking(beads: &[Judged]) -> Option<f64> {
    let mut sorted: Vec<&Judged> = beads.iter().collect();
    sorted.sort_by(|a, b| a.confidence.total_cmp(&b.confidence));
    let (mut won, mut below) = (0.0, 0.0);
    for group in sorted.chunk_by(|a, b| a.confidence == b.confidence) {
        let right = group.iter().filter(|bead| bead.right).count() as f64;
        let wrong = group.len() as f64 - right;
        won += right * (below + wrong / 2.0);
        below += wrong;
    }
    let right = beads.len() as f64 - below;
    (right > 0.0 && below > 0.0).then(|| won / (right * below))
}

/// Of the wrong beads, the share among the fifth of all beads that was least sure. Nothing where no bead is
/// wrong.
pub fn caught_early(beads: &[Judged]) -> Option<f64> {
    let mut sorted: Vec<&Judged> = beads.iter().collect();
    sorted.sort_by(|a, b| a.confidence.total_cmp(&b.confidence));
    let wrong = sorted.iter().filter(|bead| !bead.right).count();
    let early = sorted[..sorted.len() / 5].iter().filter(|bead| !bead.right).count();
    (wrong > 0).then(|| early as f64 / wrong as f64)
}

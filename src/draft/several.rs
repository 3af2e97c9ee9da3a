//! Several references of one character: the first gives the shape, all give the colours.

use super::laid::Laid;
use super::whereabouts::{FEW, name_of};
use super::{Draft, DraftOptions, draft, matched};
use crate::colour::{Lab, ciede2000};
use crate::error::{Error, Result};
use crate::grid::Grid;
use crate::matching::{Agreement, FAR, Served, Wishes, agree_on};
use crate::reference::Picture;
use crate::sample::Cluster;
use crate::tray::{BeadId, Tray};
use crate::units::DeltaE;

/// In another reference one colour must win at least this share of the windows where the first has a colour.
const WINS: f64 = 0.5;

/// ... and at least this share of those windows must lie on its subject.
const SEEN: f64 = 0.5;

/// From this share on a colour is believed though a larger part next to it has the same one there.
const CLEARLY: f64 = 0.8;

/// A draft from several references.
#[derive(Clone, Debug)]
pub struct Several {
    /// The draft: the first reference's shape in the beads that serve all.
    pub draft: Draft,
    /// What bore on its beads, for other readings of the same picture.
    pub wishes: Wishes,
    /// What became of each reference, the first among them.
    pub references: Vec<ReferenceUse>,
    /// For each colour that more than one reference shows, how they go together; most beads first.
    pub disagreements: Vec<Disagreement>,
}

/// What became of a reference.
#[derive(Clone, Debug, PartialEq)]
pub struct ReferenceUse {
    /// Its name.
    pub file: String,
    /// What was used of it.
    pub used: Used,
}

/// What was used of a reference.
#[derive(Clone, Debug, PartialEq)]
pub enum Used {
    /// The first: its shape and its colours.
    Shape,
    /// Its colours.
    Colours {
        /// How many of the first's colours were found in it.
        found: usize,
        /// The share of the figure's beads that lie on its subject, 0 to 1.
        fits: f64,
    },
    /// Nothing.
    Nothing {
        /// The reason.
        why: String,
    },
}

/// How several references show one colour of the figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Disagreement {
    /// The colour, by its place in [`crate::matching::MatchedGrid::colours`].
    pub colour: usize,
    /// What it is, told by where it lies, such as `hair or hat`.
    pub what: String,
    /// The bead that was chosen, and how far it lies from what the references show.
    pub chosen: Served,
    /// Which references show it, by their place in [`Several::references`], and in which colour; the first
    /// reference is the first.
    pub shown: Vec<(usize, Lab)>,
    /// How the colours go together; its pairs are places in `shown`.
    pub agreement: Agreement,
}

impl Disagreement {
    /// The two references that disagree most, and how far.
    pub fn farthest(&self) -> Option<(usize, usize, DeltaE)> {
        let (one, other) = self.agreement.farthest?;
        Some((self.shown.get(one)?.0, self.shown.get(other)?.0, self.agreement.apart))
    }
}

/// Drafts a figure from several references of one character, each with its name: the first gives the shape, all
/// give the colours, none weighing more than another. A further reference whose silhouette does not fit is left
/// out, and that is said in [`Several::references`].
///
/// Crop, marks and answers are the first's; the others are read as wholes, with the figure's rows.
///
/// # Errors
/// As [`draft`], of the first reference.
pub fn draft_of_several(
    file: &str,
    picture: &Picture,
    others: &[(String, Picture)],
    options: &DraftOptions,
    tray: &Tray,
) -> Result<Several> {
    let first = draft(file, picture, options, tray)?;
    let mut references = vec![ReferenceUse { file: file.into(), used: Used::Shape }];
    let mut seen = Vec::new();
    for (name, other) in others {
        let looked = look(name, other, &first, options);
        let used = match &looked {
            Ok((fits, colours)) => match colours.iter().flatten().count() {
                0 => Used::Nothing { why: "none of the figure's colours was found on it".into() },
                found => Used::Colours { found, fits: *fits },
            },
            Err(why) => Used::Nothing { why: why.clone() },
        };
        references.push(ReferenceUse { file: name.clone(), used });
        seen.push(looked.map_or(Vec::new(), |(_, colours)| colours));
    }
    let count = first.matched.colours().len();
    let of = |colour: usize| seen.iter().filter_map(move |s| s.get(colour).cloned().flatten());
    let wishes = Wishes { elsewhere: (0..count).map(|c| of(c).collect()).collect(), given: Vec::new() };
    if wishes.elsewhere.iter().all(Vec::is_empty) {
        return Ok(Several { draft: first, wishes, references, disagreements: Vec::new() });
    }
    let Draft { reference, samples, .. } = first;
    let draft = matched(file, (picture, reference, samples), options, &wishes, tray)?;
    let mut disagreements: Vec<Disagreement> =
        (0..count).filter_map(|colour| disagreement(&draft, colour, &seen, tray)).collect();
    let beads = |d: &Disagreement| draft.matched.colours()[d.colour].count;
    disagreements.sort_by_key(|d| (std::cmp::Reverse(beads(d)), d.colour));
    Ok(Several { draft, wishes, references, disagreements })
}

/// How well a further reference fits, and what it shows in the place of each of the figure's colours; else why
/// it cannot be used.
fn look(
    file: &str,
    picture: &Picture,
    first: &Draft,
    options: &DraftOptions,
) -> std::result::Result<(f64, Vec<Option<Cluster>>), String> {
    let options = DraftOptions {
        size: options.size,
        as_drawn: options.as_drawn,
        as_taken: options.as_taken,
        seed: options.seed,
        ..DraftOptions::default()
    };
    let beads = first.matched.beads();
    let laid =
        Laid::over(file, picture, &beads.map(|_, _, bead| bead.is_some()), &options).map_err(
            |e| match e {
                Error::NoSubject { why, .. } => why,
                other => other.to_string(),
            },
        )?;
    let here = |colour: usize| beads.map(|_, _, bead| bead.as_ref().is_some_and(|b| b.colour == colour));
    let counts: Vec<usize> = first.matched.colours().iter().map(|c| c.count).collect();
    let winners: Vec<Option<Winner>> =
        (0..counts.len()).map(|c| winner(&laid, &here(c), counts[c])).collect();
    let is_other = |one: usize, other: usize| {
        let colours = first.samples.clusters();
        ciede2000(colours[one].colour, colours[other].colour) >= FAR
    };
    let cluster = |colour: usize| {
        let won = winners[colour]?;
        // Parts that do not lie where the first has them show what lies about them.
        let is_missed = (counts[colour] <= FEW || won.share < CLEARLY)
            && (0..counts.len()).any(|c| {
                let same = winners[c].is_some_and(|other| other.colour == won.colour);
                counts[c] > counts[colour] && same && is_other(c, colour)
            });
        (!is_missed).then(|| laid.samples().clusters()[won.colour].clone())
    };
    Ok((laid.agreement(), (0..counts.len()).map(cluster).collect()))
}

/// The colour that wins most of some windows.
#[derive(Clone, Copy)]
struct Winner {
    /// Its place among the clusters of its picture.
    colour: usize,
    /// The share of the windows on the subject that it wins.
    share: f64,
}

fn winner(laid: &Laid, here: &Grid<bool>, beads: usize) -> Option<Winner> {
    let mut counts = vec![0_usize; laid.samples().clusters().len()];
    laid.shown(here).filter_map(|sample| sample.colours.first()).for_each(|c| counts[c.colour] += 1);
    let seen: usize = counts.iter().sum();
    let colour = (0..counts.len()).max_by_key(|&c| (counts[c], std::cmp::Reverse(c)))?;
    let share = counts[colour] as f64 / seen.max(1) as f64;
    (seen > 0 && seen as f64 >= SEEN * beads as f64 && share >= WINS).then_some(Winner { colour, share })
}

fn disagreement(
    draft: &Draft,
    colour: usize,
    seen: &[Vec<Option<Cluster>>],
    tray: &Tray,
) -> Option<Disagreement> {
    let own = draft.matched.colours()[colour].chosen.bead;
    let others = seen.iter().enumerate().filter_map(|(at, colours)| {
        // The first reference stands before them.
        colours.get(colour)?.as_ref().map(|cluster| (at + 1, cluster.colour))
    });
    let first = (0, draft.samples.clusters()[colour].colour);
    let shown: Vec<(usize, Lab)> = std::iter::once(first).chain(others).collect();
    if shown.len() < 2 || draft.matched.colours()[colour].count == 0 {
        return None;
    }
    let colours: Vec<Lab> = shown.iter().map(|(_, lab)| *lab).collect();
    let chosen = served(own, &colours, tray);
    let agreement = agree_on(&colours, tray);
    Some(Disagreement { colour, what: name_of(draft, colour), chosen, shown, agreement })
}

fn served(bead: BeadId, colours: &[Lab], tray: &Tray) -> Served {
    let distances: Vec<f64> = colours.iter().map(|&c| ciede2000(tray.bead(bead).lab, c).0).collect();
    Served::of(bead, &distances)
}

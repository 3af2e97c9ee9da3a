//! Several references of one character: the first gives the shape, all give the colours.

use super::laid::Laid;
use super::whereabouts::{FEW, name_of};
use super::{Draft, DraftOptions, draft, matched};
use crate::colour::{Lab, ciede2000};
use crate::error::{Error, Result};
use crate::grid::Grid;
use crate::matching::{Agreement, FAR, Served, Wishes, agree_on, serving};
use crate::reference::Picture;
use crate::sample::Cluster;
use crate::tray::Tray;
use crate::units::DeltaE;

/// In another reference one colour must win at least this share of the windows where the first has a colour.
const WINS: f64 = 0.5;

/// At least this share of those windows must lie on its subject.
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
    /// The bead that was chosen, and how far it lies from what the used references show.
    pub chosen: Served,
    /// Which references show it, by their place in [`Several::references`], and in which colour; the first
    /// reference is the first.
    pub used: Vec<(usize, Lab)>,
    /// References that show another colour there than the first, so that no bead could serve them too, and how
    /// far from it theirs is.
    pub ignored: Vec<(usize, DeltaE)>,
    /// How the used colours go together; its pairs are places in `used`.
    pub agreement: Agreement,
}

impl Disagreement {
    /// Whether a maker should look: the references clearly differ, or some were ignored.
    pub fn is_clear(&self) -> bool {
        self.agreement.is_clear() || !self.ignored.is_empty()
    }
}

/// Drafts a figure from several references of one character, each with its name: the first gives the shape, all
/// give the colours, none weighing more than another. A further reference whose silhouette or most of whose colours
/// do not fit is left out, and that is said in [`Several::references`]; a single colour so far off that no bead
/// could serve it too is ignored, and that is said in [`Several::disagreements`].
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
        let looked = look(name, other, &first, options).and_then(|found| same_person(&first, found));
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
    let colours: Vec<SharedColour> = (0..first.matched.colours().len())
        .map(|colour| SharedColour::of(&first, colour, &seen, tray))
        .collect();
    let elsewhere = colours.iter().map(SharedColour::clusters).collect();
    let wishes = Wishes { elsewhere, ..Wishes::default() };
    if colours.iter().all(|seen| seen.used.is_empty() && seen.ignored.is_empty()) {
        return Ok(Several { draft: first, wishes, references, disagreements: Vec::new() });
    }
    let Draft { reference, samples, .. } = first;
    let draft = matched(file, (picture, reference, samples), options, &wishes, tray)?;
    let mut disagreements: Vec<Disagreement> =
        colours.iter().enumerate().filter_map(|(c, seen)| seen.disagreement(&draft, c, tray)).collect();
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
        size: options.size.clone(),
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
                Error::OnlyPaper { .. } => "it shows paper with nothing on it".into(),
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

/// What was found on a reference, unless most of the figure has another colour there.
fn same_person(
    first: &Draft,
    found: (f64, Vec<Option<Cluster>>),
) -> std::result::Result<(f64, Vec<Option<Cluster>>), String> {
    let own = first.samples.clusters();
    let beads = |c: usize| first.matched.colours()[c].count;
    let seen = || found.1.iter().enumerate().filter_map(|(c, cluster)| Some((c, cluster.as_ref()?)));
    let all: usize = seen().map(|(c, _)| beads(c)).sum();
    let far = seen().filter(|(c, cluster)| ciede2000(own[*c].colour, cluster.colour) >= FAR);
    if 2 * far.map(|(c, _)| beads(c)).sum::<usize>() > all {
        return Err("most of its colours are not the figure's: it may show someone else".into());
    }
    Ok(found)
}

/// What further references show of one colour; each with the place of its reference.
struct SharedColour {
    used: Vec<(usize, Cluster)>,
    ignored: Vec<(usize, DeltaE)>,
}

impl SharedColour {
    fn of(first: &Draft, colour: usize, seen: &[Vec<Option<Cluster>>], tray: &Tray) -> Self {
        let own = &first.samples.clusters()[colour];
        // The first reference stands before them.
        let all = seen.iter().enumerate().filter_map(|(at, s)| Some((at + 1, s.get(colour)?.clone()?)));
        let mut used: Vec<(usize, Cluster)> = all.collect();
        let best = |used: &[(usize, Cluster)]| {
            let seen: Vec<&Cluster> = std::iter::once(own).chain(used.iter().map(|h| &h.1)).collect();
            agree_on(&seen, tray).serve_all.first().map_or(0.0, |served| served.worst.0)
        };
        // Where the tray has no good bead for the first alone, the others need no better one.
        let limit = FAR.0.max(best(&[]) + FAR.0 / 2.0);
        let mut ignored = Vec::new();
        while !used.is_empty() && best(&used) > limit {
            let off = |at: usize| ciede2000(own.colour, used[at].1.colour);
            let farthest = (0..used.len()).max_by(|a, b| off(*a).0.total_cmp(&off(*b).0)).unwrap_or(0);
            let apart = off(farthest);
            ignored.push((used.remove(farthest).0, apart));
        }
        ignored.sort_by_key(|(at, _)| *at);
        Self { used, ignored }
    }

    fn clusters(&self) -> Vec<Cluster> {
        self.used.iter().map(|(_, cluster)| cluster.clone()).collect()
    }

    /// Nothing where no other reference shows the colour, or the figure has no bead of it.
    fn disagreement(&self, draft: &Draft, colour: usize, tray: &Tray) -> Option<Disagreement> {
        let matched = &draft.matched.colours()[colour];
        if matched.count == 0 || self.used.is_empty() && self.ignored.is_empty() {
            return None;
        }
        let own = &draft.samples.clusters()[colour];
        let seen: Vec<&Cluster> = std::iter::once(own).chain(self.used.iter().map(|h| &h.1)).collect();
        let places = std::iter::once(0).chain(self.used.iter().map(|h| h.0));
        Some(Disagreement {
            colour,
            what: name_of(draft, colour),
            chosen: serving(matched.chosen.bead, &seen, tray),
            used: places.zip(seen.iter().map(|cluster| cluster.colour)).collect(),
            ignored: self.ignored.clone(),
            agreement: agree_on(&seen, tray),
        })
    }
}

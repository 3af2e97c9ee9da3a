//! The readings worth a look, and how likely each is.

use super::Difference;
use crate::draft::whereabouts::name_of;
use crate::draft::{Draft, DraftOptions, LegendLine, matched, samples_of};
use crate::error::Result;
use crate::matching::{Wishes, bead_odds};
use crate::plan::{Build, Landmark, Marks, Zone, ZoneRows};
use crate::reference::Picture;
use crate::sample::{Proportions, Supposed};
use crate::tray::{BeadId, Tray};

/// A reading less likely than this beside the ordinary one is not worth the maker's look.
const LEAST: f64 = 0.05;

/// A way to read the picture.
#[derive(Clone, Debug)]
pub(super) struct Reading {
    pub supposed: Supposed,
    given: Vec<(usize, BeadId)>,
    pub differs: Vec<Difference>,
    pub likely: f64,
}

impl Reading {
    pub fn ordinary(options: &DraftOptions) -> Self {
        Self { supposed: options.supposed.clone(), given: Vec::new(), differs: Vec::new(), likely: 1.0 }
    }

    /// A reading that differs in one thing.
    fn of(difference: Difference, likely: f64) -> Self {
        Self { supposed: Supposed::default(), given: Vec::new(), differs: vec![difference], likely }
    }

    /// Both at once, where they go together.
    fn with(&self, other: &Self) -> Option<Self> {
        let goes = |d: &Difference| other.differs.iter().all(|e| d.goes_with(e));
        self.differs.iter().all(goes).then(|| Self {
            supposed: Supposed {
                half_across: self.supposed.half_across || other.supposed.half_across,
                marks: self.supposed.marks.or(other.supposed.marks),
                build: self.supposed.build.or(other.supposed.build),
                without: self.supposed.without.clone(),
            },
            given: [self.given.as_slice(), &other.given].concat(),
            differs: [self.differs.as_slice(), &other.differs].concat(),
            likely: self.likely * other.likely,
        })
    }

    pub fn draft(
        &self,
        (file, picture): (&str, &Picture),
        first: &Draft,
        options: &DraftOptions,
        wishes: &Wishes,
        tray: &Tray,
    ) -> Result<Draft> {
        let options = DraftOptions { supposed: self.supposed.clone(), ..options.clone() };
        let reference = first.reference.clone();
        let samples = match self.supposed == Supposed::default() {
            true => first.samples.clone(),
            false => samples_of(&reference, &options),
        };
        // Colours added for eyes or pale cloth may stand in another order: only the same colour is spoken of.
        let is_same = |at: &usize| samples.clusters().get(*at) == first.samples.clusters().get(*at);
        let elsewhere = (0..samples.clusters().len()).map(|at| match is_same(&at) {
            true => wishes.elsewhere(at).to_vec(),
            false => Vec::new(),
        });
        let given = self.given.iter().copied().filter(|(at, _)| is_same(at)).collect();
        let wishes = Wishes { elsewhere: elsewhere.collect(), given, ..Wishes::default() };
        matched(file, (picture, reference, samples), &options, &wishes, tray)
    }
}

/// Every other reading worth a look: those that differ in one thing, the likeliest first, then those that differ
/// in two, for those who want to see that many.
pub(super) fn readings(first: &Draft, tray: &Tray) -> Vec<Reading> {
    let mut one: Vec<Reading> = half_bead(first).into_iter().collect();
    one.extend(landmarks(first));
    one.extend(builds(first));
    one.extend(first.legend.iter().flat_map(|line| colours(first, line, tray)));
    one.retain(|reading| reading.likely >= LEAST);
    let pairs = (0..one.len()).flat_map(|i| (0..i).map(move |j| (j, i)));
    let mut two: Vec<Reading> = pairs.filter_map(|(i, j)| one[i].with(&one[j])).collect();
    two.retain(|reading| reading.likely >= LEAST);
    for readings in [&mut one, &mut two] {
        readings.sort_by(|a, b| b.likely.total_cmp(&a.likely));
    }
    one.into_iter().chain(two).collect()
}

/// Where the drawing shows no lattice of its own, its columns may as well lie half a bead to the side; where it
/// shows one they do not. (Half a bead to the left or to the right gives the same windows.)
fn half_bead(first: &Draft) -> Option<Reading> {
    let lattice = first.samples.lattice();
    let can = lattice.proportions() == Proportions::AsDrawn && !lattice.is_shown();
    can.then(|| {
        let mut reading = Reading::of(Difference::HalfBead, 1.0 - lattice.certainty());
        reading.supposed.half_across = true;
        reading
    })
}

/// Landmarks a row of beads higher or lower, where the drawing leaves their place in doubt; those the maker gave
/// are beyond it.
fn landmarks(first: &Draft) -> Vec<Reading> {
    let (Some(zones), sighted) = (&first.zones, first.samples.landmarks()) else { return Vec::new() };
    let (Some(top), Some(sole)) = (sighted.first(), sighted.last()) else { return Vec::new() };
    let row = (sole.at - top.at) / zones.total() as f64;
    let ways = [false, true];
    moving(zones)
        .into_iter()
        .flat_map(|together| ways.map(|lower| (together.clone(), lower)))
        .filter_map(|(together, lower)| {
            let moved: Vec<(Landmark, f64)> = sighted
                .iter()
                .map(|s| {
                    let is_moved = together.contains(&s.landmark);
                    let by = if lower { row } else { -row };
                    (s.landmark, if is_moved { s.at + by } else { s.at })
                })
                .collect();
            // Every zone keeps half of a row at least.
            let fits = zones.spans().all(|(zone, ..)| {
                let (above, below) = (Landmark::above(zone) as usize, Landmark::below(zone) as usize);
                moved[below].1 - moved[above].1 >= row / 2.0
            });
            let sure = sighted
                .iter()
                .filter(|s| together.contains(&s.landmark))
                .map(|s| s.confidence.get())
                .fold(1.0, f64::min);
            let likely = ((1.0 - sure) / 2.0 / sure.max(LEAST)).min(1.0);
            let mut reading = Reading::of(Difference::Landmarks { landmarks: together, lower }, likely);
            let in_picture: Vec<(Landmark, f64)> =
                moved.iter().map(|(l, y)| (*l, first.reference.picture_row(*y).max(0.0))).collect();
            reading.supposed.marks = Some(Marks::of(&in_picture));
            fits.then_some(reading)
        })
        .collect()
}

/// The landmarks that can be moved, each with those that go with it: a neck of a row is moved as a whole.
fn moving(zones: &ZoneRows) -> Vec<Vec<Landmark>> {
    let mut sets = Vec::new();
    if zones.get(Zone::Headwear) > 0 {
        sets.push(vec![Landmark::Crown]);
    }
    if zones.get(Zone::Neck) <= 1 {
        sets.push(vec![Landmark::Chin, Landmark::Shoulder]);
    } else {
        sets.extend([vec![Landmark::Chin], vec![Landmark::Shoulder]]);
    }
    sets.push(vec![Landmark::Hip]);
    if zones.get(Zone::Feet) > 0 {
        sets.push(vec![Landmark::Ankle]);
    }
    sets
}

/// Other builds, where the body's widths come near them.
fn builds(first: &Draft) -> Vec<Reading> {
    let (Some(zones), Some(measured)) = (&first.zones, first.samples.measured()) else { return Vec::new() };
    let others = Build::others(zones, measured.hips, measured.leg).into_iter();
    let reading = |(build, likely)| {
        let mut reading = Reading::of(Difference::Build { build, instead_of: measured.build }, likely);
        reading.supposed.build = Some(build);
        reading
    };
    others.filter(|(build, _)| *build != measured.build).map(reading).collect()
}

/// A main colour's other beads, where they are nearly as good.
fn colours(first: &Draft, line: &LegendLine, tray: &Tray) -> Vec<Reading> {
    /// A main colour has this many beads: less would hardly be seen.
    const MAIN: usize = 6;
    /// Other beads looked at.
    const OTHERS: usize = 2;
    if line.count < MAIN {
        return Vec::new();
    }
    let all = first.matched.colours();
    let of_line = || (0..all.len()).filter(|&c| all[c].count > 0 && all[c].chosen.bead == line.bead);
    let Some(main) = of_line().max_by_key(|&c| (all[c].count, std::cmp::Reverse(c))) else {
        return Vec::new();
    };
    let colour = &all[main];
    // A bead another colour has would make two of the figure's parts one.
    let is_free = |bead: BeadId| first.legend.iter().all(|line| line.bead != bead);
    let others = colour.others.iter().filter(|o| o.difference >= colour.chosen.difference && is_free(o.bead));
    let name = |bead: BeadId| tray.bead(bead).name.clone();
    others
        .take(OTHERS)
        .map(|other| {
            let odds = bead_odds(&[colour.chosen.difference, other.difference]);
            let likely = odds[1].get() / odds[0].get().max(LEAST);
            let what = name_of(first, main);
            let difference = Difference::Colour { what, bead: name(other.bead), instead_of: name(line.bead) };
            let mut reading = Reading::of(difference, likely.min(1.0));
            reading.given = of_line().map(|c| (c, other.bead)).collect();
            reading
        })
        .collect()
}

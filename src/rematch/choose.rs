//! A bead for each line that may change: the nearest by which nothing is lost.
//!
//! What changes is decided one after the other, beads that are gone first and then what gains most; each against what
//! its neighbours have by then, so that no two changes together lose what neither loses alone.

use std::cmp::Reverse;
use std::collections::HashMap;

use rayon::prelude::*;

use super::lines::{Beside, Lines};
use super::seen::ToAllEyes;
use super::units::{Unit, units};
use super::{Fate, Judged, Lost, Older, Other, Request, WORTH};
use crate::colour::ciede2000;
use crate::matching::{MOST_GIVEN_UP, Served};
use crate::tray::BeadId;
use crate::units::DeltaE;

/// How often all lines are gone over: one that was refused for its neighbour's sake may change when that has changed. A
/// third time finds next to nothing, and a chain of more is not worth waiting for.
const MOST_PASSES: usize = 4;

/// A nearer bead by less than a hundredth is the same one, rounded as figure files round aims.
const ROUNDED: f64 = 0.01;

/// What is decided of a unit.
#[derive(Clone, Debug)]
pub(super) enum Decided {
    /// It changes, and loses this; nothing but where its bead is gone.
    Changes(BeadId, Vec<Vec<Lost>>),
    /// Another bead is nearer, but this would be lost, line by line.
    AtALoss(BeadId, Vec<Vec<Lost>>),
    /// It stays, by what holds it or because nothing is nearer.
    Stays,
}

/// A unit with what beads could do for it.
pub(super) struct Asked {
    pub unit: Unit,
    /// Whether a hand holds it, or no colour is kept: nothing is chosen for it.
    pub held: bool,
    /// How far its bead is from the colours asked for, at worst; endless where that is not known.
    pub now: DeltaE,
    /// The bead that serves it best.
    nearest: Option<Served>,
    /// Beads that are worth it, the best first.
    worth: Vec<Served>,
}

/// What is chosen, and how things stand by it.
pub(super) struct Choice<'a> {
    pub lines: &'a Lines,
    request: &'a Request<'a>,
    pub asked: Vec<Asked>,
    pub decided: Vec<Decided>,
    /// The beads of the tray as all eyes see them.
    tray: HashMap<BeadId, ToAllEyes>,
    /// Each line's free beads as they are by now, and as they were.
    pub now: Vec<Option<ToAllEyes>>,
    was: Vec<Option<ToAllEyes>>,
    names: Vec<String>,
    needed: HashMap<String, u64>,
}

impl<'a> Choice<'a> {
    pub(super) fn made(figures: &'a [Older], lines: &'a Lines, request: &'a Request) -> Self {
        let asked: Vec<Asked> =
            units(figures, lines, request).into_par_iter().map(|unit| ask(unit, lines, request)).collect();
        let was: Vec<Option<ToAllEyes>> =
            lines.known.iter().map(|known| known.lab.map(ToAllEyes::of)).collect();
        let mut choice = Self {
            decided: asked.iter().map(|_| Decided::Stays).collect(),
            tray: request.tray.iter().map(|(id, bead)| (id, ToAllEyes::of(bead.lab))).collect(),
            now: was.clone(),
            was,
            names: lines.told.iter().map(|line| line.bead.clone()).collect(),
            needed: lines.needed.clone(),
            lines,
            request,
            asked,
        };
        choice.decide();
        choice
    }

    fn decide(&mut self) {
        let mut order: Vec<usize> = (0..self.asked.len()).filter(|&at| !self.asked[at].held).collect();
        order.sort_by_key(|&at| {
            let asked = &self.asked[at];
            let gain =
                asked.nearest.as_ref().map_or(0.0, |best| asked.now.0 - best.worst.0) * self.shown(at) as f64;
            // Endless gains are those of beads whose colour is not known: they are gone and come first anyhow.
            let gain = (gain.clamp(0.0, 1e6) * 1000.0) as u64;
            (!self.is_gone(at), Reverse(gain), at)
        });
        for _ in 0..MOST_PASSES {
            let open: Vec<usize> = order
                .iter()
                .copied()
                .filter(|&at| !matches!(self.decided[at], Decided::Changes(..)))
                .collect();
            let changed = open.into_iter().filter(|&at| self.settle(at)).count();
            if changed == 0 {
                break;
            }
        }
    }

    fn is_gone(&self, at: usize) -> bool {
        self.asked[at].unit.lines.iter().any(|line| self.lines.told[*line].gone)
    }

    /// Beads of a unit that show and may change.
    fn shown(&self, at: usize) -> usize {
        self.asked[at].unit.lines.iter().map(|line| self.lines.told[*line].shown).sum()
    }

    /// Decides on a unit as things stand, and says whether it changes.
    fn settle(&mut self, at: usize) -> bool {
        let mut refused = None;
        for place in 0..self.asked[at].worth.len() {
            let bead = self.asked[at].worth[place].bead;
            let lost = self.lost(at, bead);
            if lost.iter().all(Vec::is_empty) {
                self.take(at, bead, lost);
                return true;
            }
            refused.get_or_insert((bead, lost));
        }
        match refused {
            // There is nothing to keep: the best that is left is taken, whatever is lost by it.
            Some((bead, lost)) if self.is_gone(at) => {
                self.take(at, bead, lost);
                true
            }
            Some((bead, lost)) => {
                self.decided[at] = Decided::AtALoss(bead, lost);
                false
            }
            None => false,
        }
    }

    fn take(&mut self, at: usize, bead: BeadId, lost: Vec<Vec<Lost>>) {
        let name = &self.request.tray.bead(bead).name;
        for &line in &self.asked[at].unit.lines {
            let many = self.lines.told[line].shown as u64;
            if let Some(old) = self.needed.get_mut(&self.names[line]) {
                *old = old.saturating_sub(many);
            }
            *self.needed.entry(name.clone()).or_default() += many;
            self.names[line].clone_from(name);
            self.now[line] = Some(self.seen(bead));
        }
        self.decided[at] = Decided::Changes(bead, lost);
    }

    fn seen(&self, bead: BeadId) -> ToAllEyes {
        self.tray.get(&bead).copied().unwrap_or_else(|| ToAllEyes::of(self.request.tray.bead(bead).lab))
    }

    /// What each line of a unit would lose by a bead, as things stand.
    fn lost(&self, at: usize, bead: BeadId) -> Vec<Vec<Lost>> {
        let other = self.request.tray.bead(bead);
        let short = other.count.and_then(|owned| {
            let needed = self.needed.get(&other.name).copied().unwrap_or(0) + self.shown(at) as u64;
            needed.checked_sub(owned.into()).filter(|missing| *missing > 0)
        });
        let seen = self.seen(bead);
        let lines = &self.asked[at].unit.lines;
        let each = lines.iter().map(|&line| {
            let mut lost = self.contrast(line, lines, (&other.name, &seen));
            lost.extend(short.map(|missing| Lost::Short { missing }));
            lost
        });
        each.collect()
    }

    /// The contrast a line would lose by a colour to what it touches. Lines of one unit have one bead before and after.
    fn contrast(&self, line: usize, unit: &[usize], (name, new): (&str, &ToAllEyes)) -> Vec<Lost> {
        let loses = |beside: &Beside| {
            let other = if beside.fixed { &self.was } else { &self.now }[beside.line].as_ref();
            let their = self.name_of(beside);
            let same = name == their && self.names[line] != their;
            same || other.is_some_and(|other| ToAllEyes::loses(self.now[line].as_ref(), new, other))
        };
        let others = self.lines.known[line].touching.iter().filter(|beside| !unit.contains(&beside.line));
        let mut lost: Vec<Lost> = others
            .filter(|beside| loses(beside))
            .map(|beside| {
                let other = if beside.fixed { &self.was } else { &self.now }[beside.line].as_ref();
                let apart = other.map_or(DeltaE(0.0), |other| new.apart(other));
                Lost::Contrast { beside: self.name_of(beside).to_owned(), apart }
            })
            .collect();
        lost.dedup();
        lost
    }

    fn name_of(&self, beside: &Beside) -> &str {
        if beside.fixed { &self.lines.told[beside.line].bead } else { &self.names[beside.line] }
    }

    /// Whether a line can have a bead of some other tray without losing contrast, as things stand.
    pub(super) fn stands_out(&self, line: usize, unit: &[usize], bead: (&str, &ToAllEyes)) -> bool {
        self.contrast(line, unit, bead).is_empty()
    }

    /// The bead that a line has by now.
    pub(super) fn bead_now(&self, line: usize) -> &str {
        &self.names[line]
    }

    /// How far a line's bead is from its aim by now; none where either is not known.
    pub(super) fn apart_now(&self, at: usize, line: usize) -> Option<DeltaE> {
        match &self.decided[at] {
            Decided::Changes(bead, _) => self.apart(line, *bead),
            _ => self.lines.told[line].apart,
        }
    }

    fn apart(&self, line: usize, bead: BeadId) -> Option<DeltaE> {
        let aim = self.lines.known[line].aim?;
        Some(ciede2000(aim, self.request.tray.bead(bead).lab))
    }

    /// Every line that may change with its fate, in the order of the lines.
    pub(super) fn judged(&self) -> Vec<Judged> {
        let mut judged: Vec<(usize, Judged)> = Vec::new();
        for at in 0..self.asked.len() {
            for (place, &line) in self.asked[at].unit.lines.iter().enumerate() {
                if self.lines.known[line].open {
                    let told = self.lines.told[line].clone();
                    judged.push((line, Judged { fate: self.fate(at, place, line), line: told }));
                }
            }
        }
        judged.sort_by_key(|(line, _)| *line);
        judged.into_iter().map(|(_, judged)| judged).collect()
    }

    fn fate(&self, at: usize, place: usize, line: usize) -> Fate {
        let other = |bead: BeadId, lost: &[Vec<Lost>]| Other {
            bead,
            apart: self.apart(line, bead).unwrap_or(DeltaE(f64::INFINITY)),
            lost: lost.get(place).cloned().unwrap_or_default(),
        };
        let asked = &self.asked[at];
        match &self.decided[at] {
            Decided::Changes(bead, lost) => return Fate::Changes(other(*bead, lost)),
            Decided::AtALoss(bead, lost) => return Fate::AtALoss(other(*bead, lost)),
            Decided::Stays => {}
        }
        let nearer = asked.worth.first().map(|best| other(best.bead, &[]));
        if let (Some(thing), Some(why)) = (&asked.unit.thing, &asked.unit.holds) {
            return Fate::Together { thing: thing.clone(), why: why.clone(), nearer };
        }
        match &self.lines.known[line] {
            known if known.held => Fate::ByHand(nearer),
            known if known.aim.is_none() => Fate::NoAim,
            _ => match &asked.nearest {
                Some(best) if best.worst.0 + ROUNDED < asked.now.0 => Fate::Slight,
                _ => Fate::Best,
            },
        }
    }
}

/// What the tray can do for a unit.
fn ask(unit: Unit, lines: &Lines, request: &Request) -> Asked {
    let aims: Vec<_> = unit.lines.iter().filter_map(|line| lines.known[*line].aim).collect();
    let known = unit.lines.iter().filter(|line| lines.known[**line].aim.is_some());
    let now = known.map(|line| lines.told[*line].apart.map_or(f64::INFINITY, |apart| apart.0));
    let now = DeltaE(now.fold(0.0, f64::max));
    let held = unit.holds.is_some()
        || unit.lines.iter().any(|line| lines.known[*line].held || lines.known[*line].aim.is_none());
    let mut served: Vec<Served> = match aims.is_empty() {
        true => Vec::new(),
        false => request
            .tray
            .iter()
            .map(|(id, bead)| {
                let far: Vec<f64> = aims.iter().map(|aim| ciede2000(*aim, bead.lab).0).collect();
                Served::of(id, &far)
            })
            .collect(),
    };
    let name = |served: &Served| request.tray.bead(served.bead).name.as_str();
    served.sort_by(|one, other| one.order(other).then_with(|| name(one).cmp(name(other))));
    let nearest = served.first().cloned();
    let gone = unit.lines.iter().any(|line| lines.told[*line].gone);
    let is_worth = |served: &Served| match &nearest {
        // Of a bead that is gone, those that do nearly as well as the best that is left.
        Some(best) if gone => served.worst.0 <= best.worst.0 + MOST_GIVEN_UP,
        _ => now.0 - served.worst.0 >= WORTH.0,
    };
    let worth = served.into_iter().filter(is_worth).collect();
    Asked { unit, held, now, nearest, worth }
}

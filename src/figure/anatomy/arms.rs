//! Arms with their hands.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::field::{Cell, Cells, Field, Side, Told};
use crate::figure::Mark;
use crate::plan::BodyPart;

/// An arm flat against the looker is two beads thick (common practice, no source); wider than this at the shoulder and
/// without a hand it is a load.
const LOAD: usize = 5;

/// What the shoulders say of sleeves.
struct Sleeves {
    /// The torso's materials about the shoulders.
    torso: BTreeSet<Mark>,
    /// Materials beside the torso in the shoulder rows, on both sides.
    both: BTreeSet<Mark>,
    /// Materials beside the torso on both sides, anywhere.
    twins: BTreeSet<Mark>,
    /// Materials that stand beside the head: of things held or carried.
    aloft: BTreeSet<Mark>,
}

impl Field {
    /// The rows where arms begin.
    fn shoulders(&self) -> Range<usize> {
        self.bands.torso..(self.bands.torso + 2).min(self.bands.legs).min(self.rows)
    }

    pub(super) fn read_arms(&self, told: &mut Told) {
        let sleeves = self.sleeves(told);
        let beside = self.marks_where(self.shoulders(), |spot| !self.is_body(spot.1));
        // Held in both hands before the body, such as a book.
        let apart = sleeves.torso.union(&beside).copied().collect();
        self.held_before_body(told, &apart, |spot| self.is_skin(spot) && !self.is_body(spot.1));
        for side in Side::BOTH {
            self.hang(side, &sleeves, told);
        }
        self.bare_arms(told);
        self.loose_hands(told);
        self.crossing_sleeves(told);
    }

    fn sleeves(&self, told: &Told) -> Sleeves {
        let bands = &self.bands;
        let low = (bands.torso + 3).min(bands.legs);
        let aloft = self
            .marks_where(0..bands.torso, |spot| matches!(told[spot.0][spot.1], None | Some(BodyPart::Props)));
        let on = |rows: Range<usize>, side: Side| {
            self.marks_where(rows, |spot| self.side(spot.1) == Some(side) && !self.is_body(spot.1))
        };
        let shared = |rows: Range<usize>| -> BTreeSet<Mark> {
            on(rows.clone(), Side::Left).intersection(&on(rows, Side::Right)).copied().collect()
        };
        Sleeves {
            torso: self.marks_where(bands.torso..low, |spot| self.is_body(spot.1)),
            both: shared(self.shoulders()),
            twins: shared(bands.torso..bands.legs).difference(&aloft).copied().collect(),
            aloft,
        }
    }

    /// The arm that hangs from, or is raised at, one shoulder.
    fn hang(&self, side: Side, sleeves: &Sleeves, told: &mut Told) {
        let (shoulder, width) = self.shoulder(side, sleeves, told);
        let has_skin = shoulder.iter().any(|spot| self.is_skin(*spot));
        let at_hand = |spot: &Cell| {
            self.about(*spot)
                .any(|near| self.is_skin(near) && !self.is_body(near.1) && !shoulder.contains(&near))
        };
        if shoulder.is_empty() || (width >= LOAD && !has_skin && !shoulder.iter().any(at_hand)) {
            return;
        }
        let mut cloth: BTreeSet<Mark> = shoulder.iter().filter_map(|spot| self.mark(*spot)).collect();
        cloth.extend(sleeves.torso.union(&sleeves.twins));
        if let Some(skin) = self.skin.filter(|_| !has_skin) {
            cloth.remove(&skin);
        }
        self.follow(side, shoulder, &cloth, told);
    }

    /// The beads beside the torso in the shoulder rows, and how wide what is there reaches.
    fn shoulder(&self, side: Side, sleeves: &Sleeves, told: &Told) -> (Cells, usize) {
        let (mut shoulder, mut cloth) = (Cells::new(), BTreeSet::new());
        let mut widest = 0;
        for row in self.shoulders() {
            let mut beside: Vec<usize> =
                (0..self.columns).filter(|c| self.side(*c) == Some(side) && !self.is_body(*c)).collect();
            beside.sort_by_key(|column| self.off(*column));
            let (mut width, mut is_first, mut ends) = (0, true, false);
            for spot in beside.into_iter().map(|column| (row, column)) {
                let Some(mark) = self.mark(spot) else { break };
                width += usize::from(!sleeves.aloft.contains(&mark));
                if ends || told[spot.0][spot.1].is_some() {
                    continue;
                }
                let known =
                    cloth.contains(&mark) || sleeves.torso.contains(&mark) || sleeves.both.contains(&mark);
                let fits = known || self.is_skin(spot) || (is_first && !sleeves.aloft.contains(&mark));
                ends = !fits;
                if fits {
                    shoulder.insert(spot);
                    cloth.insert(mark);
                    is_first = false;
                }
            }
            widest = widest.max(width);
        }
        (shoulder, widest)
    }

    /// Follows an arm from the shoulder to its hand: cloth to cloth and to skin, never from the hand to what it holds.
    fn follow(&self, side: Side, shoulder: Cells, cloth: &BTreeSet<Mark>, told: &mut Told) {
        let bands = &self.bands;
        // An arm is a row longer than the torso (common practice, no source: 9 rows beside 8); hands may lie below.
        let end = bands.torso + (bands.legs - bands.torso) + 2;
        let mut open: Vec<Cell> = shoulder.into_iter().collect();
        open.iter().for_each(|spot| told[spot.0][spot.1] = Some(side.arm()));
        while let Some(from) = open.pop() {
            let near: Vec<Cell> = self.about(from).collect();
            for to in near {
                let Some(mark) = self.mark(to) else { continue };
                let is_near_head = to.0 < bands.torso;
                let is_beside = self.side(to.1) == Some(side)
                    && if is_near_head { self.off(to.1) > self.half } else { !self.is_body(to.1) };
                let climbs_aslant = to.0 < from.0 && to.1 != from.1 && to.0 >= bands.torso + 2;
                if told[to.0][to.1].is_some() || !is_beside || to.0 >= end || climbs_aslant {
                    continue;
                }
                let from_hand = self.is_skin(from) && self.skin.is_some_and(|skin| !cloth.contains(&skin));
                let is_cuff = to.1 == from.1 && to.0 == from.0 + 1 && self.is_thin(side, to);
                if self.is_skin(to) || (!from_hand && (cloth.contains(&mark) || is_cuff)) {
                    told[to.0][to.1] = Some(side.arm());
                    open.push(to);
                }
            }
        }
    }

    /// Whether no more than an arm's thickness lies about a bead beside the torso.
    fn is_thin(&self, side: Side, (row, column): Cell) -> bool {
        let near = column.saturating_sub(2)..(column + 3).min(self.columns);
        let beside = near.filter(|c| self.side(*c) == Some(side) && !self.is_body(*c));
        beside.filter(|c| self.mark((row, *c)).is_some()).count() <= 2
    }

    /// Skin before the torso that reaches its edge or beyond is an arm bent there.
    fn bare_arms(&self, told: &mut Told) {
        let bands = &self.bands;
        let mut met = Cells::new();
        for spot in self.within(bands.torso + 2..bands.legs) {
            let is_free = |spot: Cell| told[spot.0][spot.1].is_none();
            if !self.is_skin(spot) || !self.is_body(spot.1) || met.contains(&spot) || !is_free(spot) {
                continue;
            }
            let rows = bands.torso + 2..bands.legs + 2;
            let arm =
                self.joined([spot], |next| self.is_skin(next) && is_free(next) && rows.contains(&next.0));
            met.extend(&arm);
            let outside: Vec<&Cell> = arm.iter().filter(|spot| !self.is_body(spot.1)).collect();
            let at_edge: Vec<&Cell> = arm.iter().filter(|spot| self.off(spot.1) >= self.half - 1).collect();
            if let Some(side) = self.leaning(if outside.is_empty() { at_edge } else { outside }) {
                arm.iter().for_each(|spot| told[spot.0][spot.1] = Some(side.arm()));
            }
        }
    }

    /// The side on which more of some beads lie.
    fn leaning(&self, beads: Vec<&Cell>) -> Option<Side> {
        let on = |side: Side| beads.iter().filter(|spot| self.side(spot.1) == Some(side)).count();
        match on(Side::Left).cmp(&on(Side::Right)) {
            std::cmp::Ordering::Less => Some(Side::Right),
            std::cmp::Ordering::Equal => None,
            std::cmp::Ordering::Greater => Some(Side::Left),
        }
    }

    /// Skin beside the body is a hand.
    fn loose_hands(&self, told: &mut Told) {
        let bands = &self.bands;
        for spot in self.within(0..bands.legs + 3) {
            if self.is_skin(spot) && told[spot.0][spot.1].is_none() && !self.is_body(spot.1) {
                told[spot.0][spot.1] = self.side(spot.1).map(Side::arm);
            }
        }
    }

    /// A sleeve before the torso that leads from a shoulder to a hand, where no arm hangs on that side.
    fn crossing_sleeves(&self, told: &mut Told) {
        let mut claims: BTreeMap<Cell, Vec<Side>> = BTreeMap::new();
        for side in Side::BOTH {
            for spot in self.crossing_sleeve(side, told) {
                claims.entry(spot).or_default().push(side);
            }
        }
        for (spot, sides) in claims {
            // What both hands touch is no one's sleeve.
            if let [side] = sides[..] {
                told[spot.0][spot.1] = Some(side.arm());
            }
        }
    }

    fn crossing_sleeve(&self, side: Side, told: &Told) -> Cells {
        /// This many beads of cloth are an arm already.
        const ARM: usize = 3;
        let bands = &self.bands;
        let arm: Vec<Cell> = self
            .beads(0..self.rows)
            .map(|(spot, _)| spot)
            .filter(|spot| told[spot.0][spot.1] == Some(side.arm()))
            .collect();
        let (hands, cloth): (Vec<Cell>, Vec<Cell>) = arm.into_iter().partition(|spot| self.is_skin(*spot));
        let mut sleeves = Cells::new();
        if cloth.len() >= ARM {
            return sleeves;
        }
        let torso = (bands.legs - bands.torso) * (self.half as usize + 1);
        for hand in hands.into_iter().filter(|hand| (bands.torso..bands.legs + 2).contains(&hand.0)) {
            for start in self.beside(hand) {
                let Some(mark) = self.mark(start).filter(|mark| Some(*mark) != self.skin) else { continue };
                if told[start.0][start.1].is_some() || sleeves.contains(&start) {
                    continue;
                }
                let sleeve = self
                    .joined([start], |next| self.mark(next) == Some(mark) && told[next.0][next.1].is_none());
                let (top, last) = (sleeve.first().map_or(0, |s| s.0), sleeve.last().map_or(0, |s| s.0));
                let before_torso = sleeve.iter().any(|spot| self.is_body(spot.1));
                // It begins at the shoulder, is no single row and far smaller than the torso.
                let is_sleeve = top < bands.torso + 2 && top < last && last < bands.legs;
                if is_sleeve && before_torso && sleeve.len() * 5 < 3 * torso {
                    sleeves.extend(sleeve);
                }
            }
        }
        sleeves
    }
}

//! Which rows carry the difference between a figure and the guide, and why.

use std::fmt;

use super::{Guide, Zone, ZoneRows};

/// Rows by which one zone differs from the guide's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Difference {
    /// The zone.
    pub zone: Zone,
    /// How many more than the guide's; fewer where it is negative.
    pub rows: isize,
    /// Why there.
    pub why: Why,
}

/// Why a zone has other rows than the guide's (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// A shorter adult loses a torso row.
    ShorterTorso,
    /// One shorter by more than that is shorter in the leg as well.
    ShorterLegs,
    /// A taller figure gains a leg row.
    TallerLegs,
    /// A very tall one gains a torso row as well.
    TallerTorso,
    /// A very tall one gains a headwear row as well.
    TallerHeadwear,
    /// A child's torso has this many rows.
    ChildTorso,
    /// Children differ by the length of the leg.
    ChildLegs,
    /// The smallest children's torso is short.
    SmallChildTorso,
    /// So small a figure has no row for a neck.
    NoNeck,
    /// A figure far smaller than a child keeps as much of its head as it can.
    SmallerHead,
    /// What is worn on the head stands above the standing height.
    Worn,
    /// It is nobody's proportions but the figure's own.
    Own,
}

impl Why {
    /// Its name in JSON documents.
    pub fn name(self) -> &'static str {
        match self {
            Self::ShorterTorso => "shorter-torso",
            Self::ShorterLegs => "shorter-legs",
            Self::TallerLegs => "taller-legs",
            Self::TallerTorso => "taller-torso",
            Self::TallerHeadwear => "taller-headwear",
            Self::ChildTorso => "child-torso",
            Self::ChildLegs => "child-legs",
            Self::SmallChildTorso => "small-child-torso",
            Self::NoNeck => "no-neck",
            Self::SmallerHead => "smaller-head",
            Self::Worn => "worn",
            Self::Own => "own",
        }
    }

    /// The reason in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::ShorterTorso => "a shorter adult loses torso rows",
            Self::ShorterLegs => "much shorter: what the torso does not lose, the legs do",
            Self::TallerLegs => "a taller figure gains leg rows first",
            Self::TallerTorso => "a very tall one gains torso rows too",
            Self::TallerHeadwear => "a very tall one has hair or a hat one row higher",
            Self::ChildTorso => "a child's torso has five rows, an adult's eight",
            Self::ChildLegs => "children differ by the length of the leg",
            Self::SmallChildTorso => "a small child's torso is shorter still",
            Self::NoNeck => "so small a figure has no row for a neck",
            Self::SmallerHead => "so small a figure keeps what it can of its head",
            Self::Worn => "what is worn on the head stands above the standing height",
            Self::Own => "its own proportions",
        }
    }
}

impl fmt::Display for Difference {
    /// Such as `torso -1`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {:+}", self.zone.name(), self.rows)
    }
}

/// Whom a body's rows are those of, beside the guide.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stage {
    SmallChild,
    Child,
    Shorter,
    Alike,
    Taller,
}

impl Guide {
    /// Whom a body's rows are those of.
    fn stage(&self, rows: &ZoneRows) -> Stage {
        let bare = |rows: &ZoneRows| rows.total() - rows.get(Zone::Headwear);
        match (rows.get(Zone::Torso), bare(rows).cmp(&self.rows().total())) {
            (torso, std::cmp::Ordering::Less) if torso <= self.small_torso() => Stage::SmallChild,
            (torso, std::cmp::Ordering::Less) if torso <= self.child_torso() => Stage::Child,
            (_, std::cmp::Ordering::Less) => Stage::Shorter,
            (_, std::cmp::Ordering::Equal) => Stage::Alike,
            (_, std::cmp::Ordering::Greater) => Stage::Taller,
        }
    }

    /// Whether a body of these rows has a small child's torso.
    pub fn is_small_child(&self, rows: &ZoneRows) -> bool {
        self.stage(rows) == Stage::SmallChild
    }

    /// Which rows carry the difference between a figure and the guide, from the top; none where they are alike.
    pub fn differences(&self, rows: &ZoneRows) -> Vec<Difference> {
        let stage = self.stage(rows);
        let taller = self.rows().total() < rows.total() - rows.get(Zone::Headwear);
        let of = |zone: Zone| {
            let more = rows.get(zone) as isize - self.rows().get(zone) as isize;
            let why = match (zone, stage, more.signum()) {
                (_, _, 0) => return None,
                (Zone::Headwear, ..) if taller => Why::TallerHeadwear,
                (Zone::Headwear, ..) => Why::Worn,
                (Zone::Head, Stage::SmallChild, -1) => Why::SmallerHead,
                (Zone::Neck, _, -1) if rows.get(Zone::Neck) == 0 => Why::NoNeck,
                (Zone::Torso, Stage::SmallChild, -1) => Why::SmallChildTorso,
                (Zone::Torso, Stage::Child, -1) => Why::ChildTorso,
                (Zone::Torso, Stage::Shorter, -1) => Why::ShorterTorso,
                (Zone::Torso, Stage::Taller, 1) => Why::TallerTorso,
                (Zone::Legs, Stage::SmallChild | Stage::Child, -1) => Why::ChildLegs,
                (Zone::Legs, Stage::Shorter, -1) => Why::ShorterLegs,
                (Zone::Legs, Stage::Taller, 1) => Why::TallerLegs,
                _ => Why::Own,
            };
            Some(Difference { zone, rows: more, why })
        };
        Zone::ALL.into_iter().filter_map(of).collect()
    }
}

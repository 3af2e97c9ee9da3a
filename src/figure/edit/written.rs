//! A change as the line it is written as.

use std::fmt;

use super::line::KEPT;
use super::places::{Block, Places};
use super::{ColumnIn, Edit, RowIn};

/// A name as a line has it.
struct Name<'a>(&'a str);

impl fmt::Display for Name<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let is_place = || {
            let mut parts = self.0.split(',');
            parts.all(|part| part.parse::<i32>().is_ok()) || Block::read(self.0).is_some()
        };
        let odd = |c: char| c.is_whitespace() || c.is_control() || c == '"' || c == '\\';
        if !self.0.is_empty() && !self.0.contains(odd) && !KEPT.contains(&self.0) && !is_place() {
            return f.write_str(self.0);
        }
        f.write_str("\"")?;
        for c in self.0.chars() {
            match c {
                '"' | '\\' => write!(f, "\\{c}")?,
                c if c.is_control() || matches!(c, '\u{2028}' | '\u{2029}') => {
                    write!(f, "\\u{{{:x}}}", u32::from(c))?;
                }
                c => write!(f, "{c}")?,
            }
        }
        f.write_str("\"")
    }
}

impl fmt::Display for RowIn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Middle(zone) => f.write_str(zone.name()),
            Self::Of(zone, row) => write!(f, "{} {}", zone.name(), row.0 + 1),
            Self::Row(row) => write!(f, "{}", row.0 + 1),
        }
    }
}

impl fmt::Display for ColumnIn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.zone.iter().try_for_each(|zone| write!(f, "{} ", zone.name()))?;
        write!(f, "{} {}", self.column.0 + 1, self.side.word())
    }
}

fn in_part(part: &Option<String>) -> String {
    part.as_ref().map_or(String::new(), |part| format!(" in {}", Name(part)))
}

fn and_mirrored(mirrored: bool) -> &'static str {
    if mirrored { " mirrored" } else { "" }
}

fn and_other(other: &Option<String>) -> String {
    other.as_ref().map_or(String::new(), |other| format!(" {}", Name(other)))
}

impl fmt::Display for Edit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Place { spots, bead, part } => {
                write!(f, "place {} {}{}", Places(spots), Name(bead), in_part(part))
            }
            Self::PlaceSeveral { beads, part } => {
                f.write_str("place")?;
                let mut all = beads.iter();
                all.try_for_each(|(spots, bead)| write!(f, " {} {}", Places(spots), Name(bead)))?;
                f.write_str(&in_part(part))
            }
            Self::Lift { spots, part } => write!(f, "lift {}{}", Places(spots), in_part(part)),
            Self::Swap { old, new, part, by_hand } => {
                let by_hand = if *by_hand { " by-hand" } else { "" };
                write!(f, "swap {} {}{}{by_hand}", Name(old), Name(new), in_part(part))
            }
            Self::Rematch { beads, by_hand } => {
                f.write_str("rematch")?;
                beads.iter().try_for_each(|(old, new)| write!(f, " {} {}", Name(old), Name(new)))?;
                f.write_str(if *by_hand { " by-hand" } else { "" })
            }
            Self::Shift { part, way, by } => write!(f, "shift {} {} {by}", Name(part), way.word()),
            Self::Fill { at, bead, part } => write!(f, "fill {at} {}{}", Name(bead), in_part(part)),
            Self::Move { spots, to, mirrored } => {
                write!(f, "move {} to {to}{}", Places(spots), and_mirrored(*mirrored))
            }
            Self::Copy { spots, to, mirrored, part } => {
                let mirrored = and_mirrored(*mirrored);
                write!(f, "copy {} to {to}{mirrored}{}", Places(spots), in_part(part))
            }
            Self::Mirror { part } => write!(f, "mirror {}", Name(part)),
            Self::MirrorThese { spots } => write!(f, "mirror {}", Places(spots)),
            Self::AddRow(row) => write!(f, "add-row {row}"),
            Self::DropRow(row) => write!(f, "drop-row {row}"),
            Self::AddColumn(column) => write!(f, "add-column {column}"),
            Self::DropColumn(column) => write!(f, "drop-column {column}"),
            Self::NewPart { name } => write!(f, "part {}", Name(name)),
            Self::Remove { part } => write!(f, "remove {}", Name(part)),
            Self::Call { part, name } => write!(f, "call {} {}", Name(part), Name(name)),
            Self::PartOf { name, spots } => write!(f, "part {} of {}", Name(name), Places(spots)),
            Self::Over { part, other } => write!(f, "over {}{}", Name(part), and_other(other)),
            Self::Under { part, other } => write!(f, "under {}{}", Name(part), and_other(other)),
            Self::Take { part, from, name, at } => {
                write!(f, "take {} from {}", Name(part), Name(from))?;
                name.iter().try_for_each(|name| write!(f, " as {}", Name(name)))?;
                at.iter().try_for_each(|at| write!(f, " at {at}"))
            }
            Self::Mark { old, new } => write!(f, "mark {} {new}", Name(old)),
            Self::Keep { spots } => write!(f, "keep {}", Places(spots)),
            Self::KeepBead { bead } => write!(f, "keep {}", Name(bead)),
            Self::Doubt { spots } => write!(f, "doubt {}", Places(spots)),
            Self::Meant { rule, at, why } => {
                write!(f, "meant {}", Name(rule))?;
                at.iter().try_for_each(|at| write!(f, " {at}"))?;
                // A reason is a sentence: it is always quoted.
                let why = Name(why).to_string();
                if why.starts_with('"') { write!(f, " {why}") } else { write!(f, " \"{why}\"") }
            }
            Self::NotMeant { rule, at } => {
                write!(f, "not-meant {}", Name(rule))?;
                at.iter().try_for_each(|at| write!(f, " {at}"))
            }
            Self::Name { name } => write!(f, "name {}", Name(name)),
            Self::Reference { picture } => write!(f, "reference {}", Name(picture)),
            Self::Class { name } => write!(f, "class {}", Name(name)),
            Self::Stands { millimetres } => {
                write!(f, "stands {}.{}cm", millimetres / 10, millimetres % 10)
            }
        }
    }
}

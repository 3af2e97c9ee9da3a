//! The line of a change, read.

use super::places::{Block, FARTHEST};
use super::slips::{OTHER_WORDS, slip};
use super::{ColumnIn, Edit, RowIn, Side, Spot, Way};
use crate::error::{Error, Result};
use crate::figure::Mark;
use crate::plan::{Zone, parse_stature};
use crate::units::{Column, Row};

/// The words a line may begin with, each with what may follow.
const FORMS: [(&str, &str); 28] = [
    ("place", "place 4,6 BEAD, place 4,6 11-14,1-2 BEAD in PART, place 4,6 BEAD 4,7 OTHER"),
    ("lift", "lift 4,6, lift 4,6 11-14,1-2 in PART"),
    ("swap", "swap OLD NEW, swap OLD NEW in PART, swap OLD NEW in PART by-hand"),
    ("rematch", "rematch OLD NEW, rematch OLD NEW OTHER NEW by-hand; OLD is a mark or a bead"),
    ("fill", "fill 4,6 BEAD, fill 4,6 BEAD in PART"),
    ("move", "move 4,6 11-14,1-2 to 5,6, move 4,6 to 5,6 mirrored"),
    ("copy", "copy 4,6 11-14,1-2 to 5,6, copy 4,6 to 5,6 mirrored in PART"),
    ("shift", "shift PART left 1 (or right, up, down)"),
    ("mirror", "mirror PART, mirror 4,6 11-14,1-2"),
    ("add-row", "add-row torso, add-row torso 9"),
    ("drop-row", "drop-row torso, drop-row torso 9"),
    ("add-column", "add-column 7, add-column torso 7 left (or right)"),
    ("drop-column", "drop-column 7, drop-column torso 7 left (or right)"),
    ("part", "part NAME, part NAME of 4,6 11-14,1-2"),
    ("remove", "remove PART"),
    ("call", "call PART NAME"),
    ("over", "over PART, over PART OTHER"),
    ("under", "under PART, under PART OTHER"),
    ("take", "take PART from FILE, take PART from FILE as NAME at 4,6"),
    ("mark", "mark k c"),
    ("keep", "keep 4,6 11-14,1-2, or keep BEAD"),
    ("doubt", "doubt 4,6 11-14,1-2"),
    ("meant", "meant RULE 4,6 \"WHY\", or without a place for the whole figure"),
    ("not-meant", "not-meant RULE 4,6, or without a place for all notes on the rule"),
    ("name", "name \"NEW NAME\""),
    ("reference", "reference FILE, or reference \"A FILE\""),
    ("class", "class guide, or a class of the cast's own"),
    ("stands", "stands 165cm"),
];

/// Words that older histories have, each with the one it is now.
const OLDER: [(&str, &str); 2] = [("raise", "over"), ("lower", "under")];

/// Words that have a meaning of their own in a line, so that a name like them is quoted.
pub(super) const KEPT: [&str; 12] =
    ["in", "by-hand", "from", "as", "at", "left", "right", "up", "down", "to", "of", "mirrored"];

const NO_PLACE: &str = "the place is missing: row and column, counted from 1";

/// From this likeness of spelling on (Jaro-Winkler) a word was likely meant.
const LIKELY: f64 = 0.75;

/// A word of a line, and whether it stood in quotation marks.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Word {
    pub(super) text: String,
    pub(super) quoted: bool,
}

impl Edit {
    /// Reads a line.
    ///
    /// # Errors
    /// [`Error::Edit`] that says which form is right.
    pub fn parse(line: &str) -> Result<Self> {
        let refused = |why: String, right: String| Error::Edit { line: line.trim().into(), why, right };
        let words = words(line).map_err(|why| refused(why.into(), "close the quotation marks".into()))?;
        let Some(first) = words.first() else {
            let all = FORMS.map(|(word, _)| word).join(", ");
            return Err(refused("this change is empty".into(), format!("begin with one of {all}")));
        };
        let older = OLDER.iter().find(|(word, _)| *word == first.text);
        let begin = older.map_or(first.text.as_str(), |(_, now)| now);
        let Some((_, form)) = FORMS.iter().find(|(word, _)| *word == begin) else {
            let likely = FORMS.map(|(word, _)| word).into_iter();
            let likely = likely.map(|word| (strsim::jaro_winkler(word, &first.text), word));
            let best =
                likely.max_by(|one, other| one.0.total_cmp(&other.0)).filter(|(alike, _)| *alike >= LIKELY);
            let other = OTHER_WORDS.iter().find(|(word, _)| *word == first.text).map(|(_, meant)| *meant);
            let right = match other.or(best.map(|(_, word)| word)) {
                Some(word) => format!("did you mean {word}?"),
                None => format!("begin with one of {}", FORMS.map(|(word, _)| word).join(", ")),
            };
            return Err(refused(format!("there is no change called {}", first.text), right));
        };
        let mut rest = Rest { words: &words[1..] };
        let edit = rest.edit(begin).and_then(|edit| match rest.words.first() {
            None => Ok(edit),
            Some(more) => Err(format!("'{}' is one word too many", more.text)),
        });
        edit.map_err(|why| match slip(&words) {
            Some((why, right)) => refused(why, right),
            None => refused(why, format!("write {form}; names with blanks are \"quoted\"")),
        })
    }
}

/// Parts a line into its words.
fn words(line: &str) -> std::result::Result<Vec<Word>, &'static str> {
    let mut words = Vec::new();
    let mut characters = line.chars().peekable();
    loop {
        while characters.next_if(|c| c.is_whitespace()).is_some() {}
        match characters.peek() {
            None => return Ok(words),
            Some('"') => {
                characters.next();
                words.push(Word { text: quoted(&mut characters)?, quoted: true });
            }
            Some(_) => {
                let mut text = String::new();
                while let Some(c) = characters.next_if(|c| !c.is_whitespace()) {
                    text.push(c);
                }
                words.push(Word { text, quoted: false });
            }
        }
    }
}

/// The rest of a quoted word.
fn quoted(characters: &mut impl Iterator<Item = char>) -> std::result::Result<String, &'static str> {
    let mut text = String::new();
    loop {
        match characters.next() {
            None => return Err("a name's closing quotation mark is missing"),
            Some('"') => return Ok(text),
            Some('\\') => text.push(escaped(characters)?),
            Some(c) => text.push(c),
        }
    }
}

fn escaped(characters: &mut impl Iterator<Item = char>) -> std::result::Result<char, &'static str> {
    const NONE: &str = "a backslash comes before a character that needs none";
    match characters.next() {
        Some('n') => Ok('\n'),
        Some('r') => Ok('\r'),
        Some('t') => Ok('\t'),
        Some('u') if characters.next() == Some('{') => {
            let digits: String = characters.take_while(|c| *c != '}').collect();
            u32::from_str_radix(&digits, 16).ok().and_then(char::from_u32).ok_or(NONE)
        }
        Some(c @ ('"' | '\\')) => Ok(c),
        _ => Err(NONE),
    }
}

/// The words of a line that are not read yet.
struct Rest<'a> {
    words: &'a [Word],
}

type Read<T> = std::result::Result<T, String>;

impl Rest<'_> {
    fn edit(&mut self, first: &str) -> Read<Edit> {
        Ok(match first {
            "place" => self.place()?,
            "lift" => Edit::Lift { spots: self.spots()?, part: self.after("in", "part")? },
            "swap" => {
                let (old, new) = (self.name("bead")?, self.name("bead to come")?);
                // Either may come first.
                let first = self.follows("by-hand");
                let part = self.after("in", "part")?;
                Edit::Swap { old, new, part, by_hand: first || self.follows("by-hand") }
            }
            "rematch" => self.rematch()?,
            "shift" => Edit::Shift { part: self.name("part")?, way: self.way()?, by: self.by()? },
            "fill" => Edit::Fill {
                at: self.spot()?.ok_or(NO_PLACE)?,
                bead: self.name("bead")?,
                part: self.after("in", "part")?,
            },
            "move" => Edit::Move { spots: self.spots()?, to: self.to()?, mirrored: self.follows("mirrored") },
            "copy" => Edit::Copy {
                spots: self.spots()?,
                to: self.to()?,
                mirrored: self.follows("mirrored"),
                part: self.after("in", "part")?,
            },
            "mirror" => match self.any_spots()? {
                none if none.is_empty() => Edit::Mirror { part: self.name("place or the part")? },
                spots => Edit::MirrorThese { spots },
            },
            "add-row" => Edit::AddRow(self.row_in()?),
            "drop-row" => Edit::DropRow(self.row_in()?),
            "add-column" => Edit::AddColumn(self.column_in()?),
            "drop-column" => Edit::DropColumn(self.column_in()?),
            "part" => self.new_part()?,
            "remove" => Edit::Remove { part: self.name("part")? },
            "call" => Edit::Call { part: self.name("part")?, name: self.name("new name")? },
            "over" => Edit::Over { part: self.name("part")?, other: self.other()? },
            "under" => Edit::Under { part: self.name("part")?, other: self.other()? },
            "take" => self.take()?,
            "mark" => Edit::Mark { old: self.name("mark")?, new: self.mark()? },
            "keep" => match self.any_spots()? {
                none if none.is_empty() => Edit::KeepBead { bead: self.name("place or the bead")? },
                spots => Edit::Keep { spots },
            },
            "doubt" => Edit::Doubt { spots: self.spots()? },
            "meant" => Edit::Meant { rule: self.name("rule")?, at: self.spot()?, why: self.name("reason")? },
            "not-meant" => Edit::NotMeant { rule: self.name("rule")?, at: self.spot()? },
            "class" => Edit::Class { name: self.name("class")? },
            "reference" => Edit::Reference { picture: self.name("picture")? },
            "stands" => Edit::Stands { millimetres: self.millimetres()? },
            _ => Edit::Name { name: self.name("name")? },
        })
    }

    fn place(&mut self) -> Read<Edit> {
        let (spots, bead) = (self.spots()?, self.name("bead")?);
        let mut others = Vec::new();
        loop {
            let spots = self.any_spots()?;
            if spots.is_empty() {
                break;
            }
            others.push((spots, self.name("bead")?));
        }
        let part = self.after("in", "part")?;
        if others.is_empty() {
            return Ok(Edit::Place { spots, bead, part });
        }
        Ok(Edit::PlaceSeveral { beads: [(spots, bead)].into_iter().chain(others).collect(), part })
    }

    fn rematch(&mut self) -> Read<Edit> {
        let mut beads = Vec::new();
        loop {
            beads.push((self.name("mark or the bead")?, self.name("bead to come")?));
            let by_hand = self.follows("by-hand");
            if by_hand || self.words.is_empty() {
                return Ok(Edit::Rematch { beads, by_hand });
            }
        }
    }

    fn next(&mut self) -> Option<&Word> {
        let (first, rest) = self.words.split_first()?;
        self.words = rest;
        Some(first)
    }

    /// A name: any quoted word, or one that has no meaning of its own.
    fn name(&mut self, what: &str) -> Read<String> {
        match self.words.first() {
            Some(word) if word.quoted || !KEPT.contains(&word.text.as_str()) => {
                Ok(self.next().map(|word| word.text.clone()).unwrap_or_default())
            }
            _ => Err(format!("the {what} is missing")),
        }
    }

    fn follows(&mut self, kept: &str) -> bool {
        let follows = self.words.first().is_some_and(|word| !word.quoted && word.text == kept);
        if follows {
            self.words = &self.words[1..];
        }
        follows
    }

    fn after(&mut self, kept: &str, what: &str) -> Read<Option<String>> {
        if self.follows(kept) { self.name(what).map(Some) } else { Ok(None) }
    }

    /// `4,6`, if the next word is a place.
    fn spot(&mut self) -> Read<Option<Spot>> {
        let word = self.words.first().map(|word| word.text.clone()).unwrap_or_default();
        match self.block()?.as_deref() {
            None => Ok(None),
            Some([one]) => Ok(Some(*one)),
            Some(_) => Err(format!("'{word}' is several places, and only one can be named here")),
        }
    }

    /// The places of `4,6` or `11-14,1-2`, if the next word is such.
    fn block(&mut self) -> Read<Option<Vec<Spot>>> {
        let Some(word) = self.words.first().filter(|word| !word.quoted) else { return Ok(None) };
        let Some(block) = Block::read(&word.text) else { return Ok(None) };
        let spots = block.spots().map_err(|why| format!("'{}' {why}", word.text))?;
        self.words = &self.words[1..];
        Ok(Some(spots))
    }

    fn spots(&mut self) -> Read<Vec<Spot>> {
        let spots = self.any_spots()?;
        if spots.is_empty() {
            return Err(NO_PLACE.into());
        }
        Ok(spots)
    }

    fn any_spots(&mut self) -> Read<Vec<Spot>> {
        let mut spots = Vec::new();
        while let Some(block) = self.block()? {
            spots.extend(block);
        }
        Ok(spots)
    }

    /// The place after `to`.
    fn to(&mut self) -> Read<Spot> {
        if !self.follows("to") {
            return Err("it does not say where to".into());
        }
        Ok(self.spot()?.ok_or("the place after 'to' is missing")?)
    }

    fn new_part(&mut self) -> Read<Edit> {
        let name = self.name("name")?;
        Ok(match self.follows("of") {
            true => Edit::PartOf { name, spots: self.spots()? },
            false => Edit::NewPart { name },
        })
    }

    /// The other part, if one is named.
    fn other(&mut self) -> Read<Option<String>> {
        if self.words.is_empty() { Ok(None) } else { self.name("other part").map(Some) }
    }

    fn way(&mut self) -> Read<Way> {
        let way =
            [Way::Left, Way::Right, Way::Up, Way::Down].into_iter().find(|way| self.follows(way.word()));
        way.ok_or_else(|| "it does not say which way: left, right, up or down".into())
    }

    fn by(&mut self) -> Read<u16> {
        match self.next() {
            None => Ok(1),
            Some(word) => word
                .text
                .parse()
                .ok()
                .filter(|by| (1..=FARTHEST as u16).contains(by))
                .ok_or_else(|| format!("'{}' is not a number of pegs", word.text)),
        }
    }

    fn row_in(&mut self) -> Read<RowIn> {
        let word = self.next().map(|word| word.text.clone()).ok_or("the zone or the row is missing")?;
        if let Some(row) = counted_from_1(&word) {
            return Ok(RowIn::Row(Row(row)));
        }
        let zone = zone(&word)?;
        match self.next() {
            None => Ok(RowIn::Middle(zone)),
            Some(word) => counted_from_1(&word.text)
                .map(|row| RowIn::Of(zone, Row(row)))
                .ok_or_else(|| format!("'{}' is not a row, counted from 1", word.text)),
        }
    }

    fn column_in(&mut self) -> Read<ColumnIn> {
        let mut word = self.next().map(|word| word.text.clone()).ok_or("the column is missing")?;
        let mut within = None;
        if counted_from_1(&word).is_none() {
            within = Some(zone(&word)?);
            word = self.next().map(|word| word.text.clone()).ok_or("the column is missing")?;
        }
        let column =
            counted_from_1(&word).ok_or_else(|| format!("'{word}' is not a column, counted from 1"))?;
        let side = if self.follows(Side::Left.word()) { Side::Left } else { Side::Right };
        // It may be said, and need not.
        self.follows(Side::Right.word());
        Ok(ColumnIn { zone: within, column: Column(column), side })
    }

    fn millimetres(&mut self) -> Read<u16> {
        let word = self.next().map(|word| word.text.clone()).ok_or("the height is missing")?;
        let stature = parse_stature(&word).map_err(|error| error.to_string())?;
        // Statures reach to 4 metres.
        Ok((stature.0 * 10.0).round() as u16)
    }

    fn take(&mut self) -> Read<Edit> {
        let part = self.name("part")?;
        let from = self.after("from", "file")?.ok_or("the other figure's file is missing")?;
        let name = self.after("as", "name")?;
        let at = match self.follows("at") {
            true => Some(self.spot()?.ok_or("the place after 'at' is missing")?),
            false => None,
        };
        Ok(Edit::Take { part, from, name, at })
    }

    fn mark(&mut self) -> Read<char> {
        let word = self.name("new mark")?;
        let mut characters = word.chars();
        match (characters.next().and_then(Mark::new), characters.next()) {
            (Some(mark), None) => Ok(mark.get()),
            _ => Err(format!("'{word}' cannot be a mark: it is one printable character")),
        }
    }
}

/// A row or column, from 0, of its number from 1.
fn counted_from_1(text: &str) -> Option<usize> {
    text.parse::<usize>().ok().filter(|n| (1..=FARTHEST as usize).contains(n)).map(|n| n - 1)
}

fn zone(word: &str) -> Read<Zone> {
    let names = Zone::ALL.map(Zone::name);
    Zone::named(word).ok_or_else(|| {
        let likely = names.into_iter().find(|name| strsim::jaro_winkler(name, word) >= LIKELY);
        let likely = likely.map_or(String::new(), |likely| format!(" (did you mean {likely}?)"));
        format!("there is no zone {word}{likely}; zones are {}", names.join(", "))
    })
}

impl Side {
    /// The word for it in a line.
    pub fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

impl Way {
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Up => "up",
            Self::Down => "down",
        }
    }
}

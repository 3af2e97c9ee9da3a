//! Numbers as spreadsheets write them: with a point or a comma before decimals, with or without marks between thousands.

/// What stands between thousands and never before decimals: blanks (also those that hold a line together) and
/// apostrophes.
const BETWEEN_THOUSANDS: [char; 6] = [' ', '\u{a0}', '\u{202f}', '\u{2009}', '\'', '\u{2019}'];

/// Digits between two marks of thousands.
const GROUP: usize = 3;

/// What stands before decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum DecimalMark {
    Point,
    Comma,
}

impl DecimalMark {
    fn of(mark: char) -> Self {
        if mark == ',' { Self::Comma } else { Self::Point }
    }

    /// The mark that then parts thousands.
    pub(super) fn other(self) -> Self {
        match self {
            Self::Point => Self::Comma,
            Self::Comma => Self::Point,
        }
    }

    pub(super) fn sign(self) -> char {
        match self {
            Self::Point => '.',
            Self::Comma => ',',
        }
    }

    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Point => "point",
            Self::Comma => "comma",
        }
    }
}

/// A decimal number, exactly as it is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Number {
    pub(super) negative: bool,
    /// Digits, at least one.
    pub(super) whole: String,
    /// Digits, maybe none.
    pub(super) decimals: String,
}

impl Number {
    /// With a decimal point and no other marks: `-1234.50`.
    pub(super) fn plain(&self) -> String {
        let sign = if self.negative { "-" } else { "" };
        let point = if self.decimals.is_empty() { "" } else { "." };
        format!("{sign}{}{point}{}", self.whole, self.decimals)
    }

    pub(super) fn value(&self) -> f64 {
        // Digits with one point are always a number.
        self.plain().parse().unwrap_or(f64::NAN)
    }

    /// The whole number from 0 up that it is, where it is one.
    pub(super) fn whole(&self) -> Option<u32> {
        let is_whole = self.decimals.chars().all(|c| c == '0');
        self.whole.parse().ok().filter(|&number| is_whole && (number == 0 || !self.negative))
    }
}

/// What a text says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Reading {
    /// One number, and what stands before decimals where that can be seen.
    Sure(Number, Option<DecimalMark>),
    /// A single mark before three digits: it parts thousands, or it stands before decimals.
    Open { thousands: Number, decimals: Number, mark: DecimalMark },
}

/// Reads a number; nothing where the text is none.
pub(super) fn read(text: &str) -> Option<Reading> {
    let text = text.trim();
    let unsigned = text.strip_prefix(['-', '\u{2212}', '+']).unwrap_or(text);
    let negative = unsigned.len() < text.len() && !text.starts_with('+');
    let number = |whole: String, decimals: &str| {
        let whole = if whole.is_empty() { "0".into() } else { whole };
        is_digits(decimals).then(|| Number { negative, whole, decimals: decimals.into() })
    };
    let marks: Vec<char> = unsigned.chars().filter(|c| matches!(c, '.' | ',')).collect();
    let Some(&last) = marks.last() else {
        return Some(Reading::Sure(number(grouped(unsigned, None)?, "")?, None));
    };
    let mark = DecimalMark::of(last);
    if marks.len() > 1 && marks.iter().all(|&c| c == last) {
        let whole = grouped(unsigned, Some(last))?;
        return Some(Reading::Sure(number(whole, "")?, Some(mark.other())));
    }
    let (before, after) = unsigned.rsplit_once(last)?;
    if marks.len() == 1 && could_be_thousands(before, after) {
        let thousands = number(format!("{before}{after}"), "")?;
        return Some(Reading::Open { thousands, decimals: number(before.into(), after)?, mark });
    }
    if before.is_empty() && after.is_empty() {
        return None;
    }
    let between = (marks.len() > 1).then(|| mark.other().sign());
    let whole = if before.is_empty() { String::new() } else { grouped(before, between)? };
    Some(Reading::Sure(number(whole, after)?, Some(mark)))
}

fn is_digits(text: &str) -> bool {
    text.chars().all(|c| c.is_ascii_digit())
}

/// `1,234`, `12,345`, `123,456`; nobody parts thousands behind a leading nought.
fn could_be_thousands(before: &str, after: &str) -> bool {
    after.len() == GROUP
        && (1..=GROUP).contains(&before.len())
        && is_digits(before)
        && !before.starts_with('0')
}

/// The digits of a whole number; between thousands stands `mark`, or without one blanks or apostrophes.
fn grouped(text: &str, mark: Option<char>) -> Option<String> {
    let mark = mark.or_else(|| text.chars().find(|c| BETWEEN_THOUSANDS.contains(c)));
    let groups: Vec<&str> = mark.map_or(vec![text], |mark| text.split(mark).collect());
    let all_digits = groups.iter().all(|group| !group.is_empty() && is_digits(group));
    let fits = match groups.as_slice() {
        [_] => true,
        [first, rest @ ..] => {
            first.len() <= GROUP && !first.starts_with('0') && rest.iter().all(|group| group.len() == GROUP)
        }
        [] => false,
    };
    (all_digits && fits).then(|| groups.concat())
}

/// What a file shows of its numbers, from all its cells: what stands before decimals.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Habit {
    point: Shown,
    comma: Shown,
}

/// How a mark was seen to stand before decimals.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
enum Shown {
    #[default]
    Never,
    /// A cell would have no meaning otherwise.
    BySense,
    /// The digits around it leave no doubt.
    ByDigits,
}

impl Habit {
    /// Takes a cell into account: its text, and what of its two readings its column allows.
    pub(super) fn note(&mut self, reading: &Reading, allows: impl Fn(&Number) -> bool) {
        match reading {
            Reading::Sure(_, Some(mark)) => self.saw(*mark, Shown::ByDigits),
            Reading::Sure(_, None) => {}
            Reading::Open { thousands, decimals, mark } => match (allows(thousands), allows(decimals)) {
                (true, false) => self.saw(mark.other(), Shown::BySense),
                (false, true) => self.saw(*mark, Shown::BySense),
                _ => {}
            },
        }
    }

    fn saw(&mut self, mark: DecimalMark, how: Shown) {
        let known = match mark {
            DecimalMark::Point => &mut self.point,
            DecimalMark::Comma => &mut self.comma,
        };
        *known = (*known).max(how);
    }

    /// The number that the column allows, where the text or else the file leaves no doubt.
    pub(super) fn decide(self, reading: &Reading, allows: impl Fn(&Number) -> bool) -> Decided {
        let (thousands, decimals, mark) = match reading {
            Reading::Sure(number, _) => return Decided::Number(number.clone()),
            Reading::Open { thousands, decimals, mark } => (thousands, decimals, *mark),
        };
        let (as_decimals, as_thousands) = match mark {
            DecimalMark::Point => (self.point, self.comma),
            DecimalMark::Comma => (self.comma, self.point),
        };
        match (allows(thousands), allows(decimals)) {
            // Elsewhere this very mark stands before decimals: then this may be a slip.
            (true, false) if as_decimals == Shown::ByDigits && as_thousands < Shown::ByDigits => {
                Decided::Open
            }
            (true, false) => Decided::Number(thousands.clone()),
            (true, true) if as_thousands > as_decimals => Decided::Number(thousands.clone()),
            (true, true) if as_decimals > as_thousands => Decided::Number(decimals.clone()),
            (true, true) => Decided::Open,
            (false, _) => Decided::Number(decimals.clone()),
        }
    }
}

/// What a file's habit makes of a number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Decided {
    Number(Number),
    /// The maker has to say.
    Open,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> String {
        match read(text) {
            None => "none".into(),
            Some(Reading::Sure(number, mark)) => {
                format!("{}{}", number.plain(), mark.map_or("", |mark| mark.name()))
            }
            Some(Reading::Open { thousands, decimals, .. }) => {
                format!("{} or {}", thousands.plain(), decimals.plain())
            }
        }
    }

    /// How thousands and decimals are written in different places: Unicode CLDR, numbers, symbols.
    #[test]
    fn numbers_are_read_as_different_places_write_them() {
        let table = [
            ("1234", "1234"),
            ("+5", "5"),
            ("\u{2212}2,25", "-2.25comma"),
            ("2.5", "2.5point"),
            ("0,234", "0.234comma"),
            ("1234,567", "1234.567comma"),
            ("1,234.5", "1234.5point"),
            ("1.234,5", "1234.5comma"),
            ("1,234,567", "1234567point"),
            ("1.234.567", "1234567comma"),
            ("12 345", "12345"),
            ("12\u{a0}345,60", "12345.60comma"),
            ("1\u{202f}234\u{202f}567", "1234567"),
            ("1'234.50", "1234.50point"),
            ("1\u{2019}234", "1234"),
            ("1,234", "1234 or 1.234"),
            ("12.345", "12345 or 12.345"),
            (".5", "0.5point"),
        ];
        for (text, is) in table {
            assert_eq!(shown(text), is, "{text}");
        }
        for text in [
            "", "-", ".", "1.2.3", "1,23,456", "1,2.3,4", "1 23", "1 2345", "1'23", "12a", "1,,2", "--1",
            "0 123",
        ] {
            assert_eq!(shown(text), "none", "{text}");
        }
    }
}

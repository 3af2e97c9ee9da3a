//! Money as the maker writes it, reckoned exactly: no binary fractions.

use std::fmt;
use std::str::FromStr;

use super::number::{self, Number, Reading};

/// Decimal places that are kept: two serve most money, four all that a pack of beads could cost.
const PLACES: u32 = 4;

/// One whole in the smallest unit that is kept.
const WHOLE: u128 = 10_u128.pow(PLACES);

/// The most a pack may cost: a thousand million, beyond any currency's pack, so that sums cannot run over.
const MOST: u128 = 1_000_000_000 * WHOLE;

/// The longest currency, in letters or signs: `CHF`, `francs`.
const LONGEST_CURRENCY: usize = 8;

/// A sum of money with its currency where the maker writes it: `2.50`, `€2.50`, `2,50 kr`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Price {
    /// In units of 10 to the minus [`PLACES`].
    amount: u128,
    writing: Writing,
}

/// How a sum is written.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Writing {
    /// What stands before the number, with its blank.
    before: String,
    /// What stands after it, with its blank.
    after: String,
    /// Point or comma before the decimals.
    mark: char,
    /// Decimals that are written.
    decimals: u32,
}

/// A text that is no price; carries no detail since the caller knows the text and its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotAPrice;

impl Price {
    /// The price of this many packs.
    pub fn times(&self, packs: u64) -> Self {
        // A price is at most 10^13 and packs at most 2^64: far below 2^128.
        Self { amount: self.amount.saturating_mul(u128::from(packs)), writing: self.writing.clone() }
    }

    /// Both together, as the first is written; nothing if they are of different currencies.
    pub fn plus(&self, other: &Self) -> Option<Self> {
        if self.currency() != other.currency() {
            return None;
        }
        let decimals = self.writing.decimals.max(other.writing.decimals);
        let writing = Writing { decimals, ..self.writing.clone() };
        Some(Self { amount: self.amount.saturating_add(other.amount), writing })
    }

    /// The currency as it is written, empty where it is not.
    pub fn currency(&self) -> &str {
        let Writing { before, after, .. } = &self.writing;
        if before.is_empty() { after.trim() } else { before.trim() }
    }

    /// The number alone, with a decimal point: `2.50`.
    pub fn number(&self) -> String {
        self.digits('.')
    }

    fn digits(&self, mark: char) -> String {
        let (whole, part) = (self.amount / WHOLE, self.amount % WHOLE);
        let places = PLACES as usize;
        let part = format!("{part:0places$}");
        match self.writing.decimals as usize {
            0 => whole.to_string(),
            decimals => format!("{whole}{mark}{}", &part[..decimals.min(places)]),
        }
    }
}

impl fmt::Display for Price {
    /// As the maker writes it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Writing { before, after, mark, .. } = &self.writing;
        write!(f, "{before}{}{after}", self.digits(*mark))
    }
}

impl FromStr for Price {
    type Err = NotAPrice;

    /// A number with at most four decimals after a point or a comma, with a currency before or after it. A single mark
    /// before three digits could part thousands and is no price; nor are thousands parted.
    fn from_str(text: &str) -> Result<Self, NotAPrice> {
        let parts = Parts::of(text).ok_or(NotAPrice)?;
        let reading = number::read(parts.number).ok_or(NotAPrice)?;
        match &reading {
            Reading::Sure(number, _) if number.plain() == parts.number.replace(',', ".") => {
                parts.price(number, &reading).ok_or(NotAPrice)
            }
            _ => Err(NotAPrice),
        }
    }
}

/// A price taken apart.
#[derive(Clone, Copy, Debug)]
pub(super) struct Parts<'a> {
    before: &'a str,
    /// From the first digit to the last.
    pub(super) number: &'a str,
    after: &'a str,
}

impl<'a> Parts<'a> {
    /// The number in a text and its currency; nothing where there is no digit, or what is beside it is no currency.
    pub(super) fn of(text: &'a str) -> Option<Self> {
        let text = text.trim();
        let start = text.find(|c: char| c.is_ascii_digit())?;
        let end = text.rfind(|c: char| c.is_ascii_digit())? + 1;
        let parts = Self { before: &text[..start], number: &text[start..end], after: &text[end..] };
        let one_currency = parts.before.is_empty() || parts.after.is_empty();
        (one_currency && is_currency(parts.before) && is_currency(parts.after)).then_some(parts)
    }

    /// The price of that number, written as `reading` shows; nothing where it has too many digits.
    pub(super) fn price(self, number: &Number, reading: &Reading) -> Option<Price> {
        let mark = match reading {
            Reading::Sure(_, Some(mark)) | Reading::Open { mark, .. } => mark.sign(),
            Reading::Sure(_, None) => '.',
        };
        let written = u32::try_from(number.decimals.len()).ok().filter(|&written| written <= PLACES)?;
        let whole = number.whole.parse::<u128>().ok()?.checked_mul(WHOLE)?;
        let part = format!("{:0<places$}", number.decimals, places = PLACES as usize).parse::<u128>().ok()?;
        let amount = whole.checked_add(part).filter(|amount| *amount <= MOST)?;
        // Three decimals behind few digits would be read in two ways again: they are written as four.
        let is_open = matches!(reading, Reading::Open { .. }) && written > 0;
        let decimals = if is_open { PLACES } else { written };
        let writing = Writing { before: self.before.into(), after: self.after.into(), mark, decimals };
        Some(Price { amount, writing })
    }
}

/// Letters or signs of money, maybe with a blank or a full stop between them and the number; or nothing.
fn is_currency(text: &str) -> bool {
    let word = text.trim();
    // "Fr.2" could be 0.2: the stop is the word's only with a blank behind it.
    let parted = !text.ends_with('.') && !text.starts_with(['.', ',']);
    let sign = |c: char| {
        c.is_alphabetic() || c == '$' || c == '.' || (!c.is_ascii() && !c.is_whitespace() && !c.is_control())
    };
    parted
        && word.chars().count() <= LONGEST_CURRENCY
        && word.chars().all(sign)
        && word.chars().all(|c| c != '.' || word.len() > 1)
}

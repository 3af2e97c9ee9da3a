//! The share of beads to have at hand beyond those that are pegged.

use std::fmt;

use crate::error::{Error, Result};

/// A share in hundredths of a percent.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spare(u32);

/// 100 % in hundredths of a percent.
const ALL: u32 = 10_000;

impl Spare {
    /// Nothing to spare.
    pub const NONE: Self = Self(0);

    /// Reads `5%`, `7.5 %` or `5`: percent, at most 100, with at most two decimals.
    ///
    /// # Errors
    /// [`Error::BadValue`].
    pub fn parse(text: &str) -> Result<Self> {
        let fault = |why: &str| Error::BadValue {
            option: "--spare",
            value: text.into(),
            why: why.into(),
            right: "write percent from 0 to 100, such as 5%".into(),
        };
        if text.trim().starts_with('-') {
            return Err(fault("nothing less than 0 % can be to spare"));
        }
        let number = text.trim().trim_end_matches('%').trim_end().replace(',', ".");
        let (whole, decimals) = number.split_once('.').unwrap_or((&number, ""));
        let digits = |text: &str| text.chars().all(|c| c.is_ascii_digit());
        if whole.is_empty() || !digits(whole) || !digits(decimals) || decimals.len() > 2 {
            return Err(fault("this is not a percentage"));
        }
        let whole: u32 = whole.parse().map_err(|_| fault("this is more than 100 %"))?;
        let part: u32 = format!("{decimals:0<2}").parse().map_err(|_| fault("this is not a percentage"))?;
        // A share of 1 and a percentage are told apart by their sign alone.
        if whole == 0 && part > 0 && !text.contains('%') {
            return Err(Error::BadValue {
                option: "--spare",
                value: text.into(),
                why: format!("this could be {} or {}", Self(part * 100), Self(part)),
                right: format!("write {}% or {}%", part, number),
            });
        }
        let share = whole.checked_mul(100).and_then(|whole| whole.checked_add(part)).filter(|s| *s <= ALL);
        share.map(Self).ok_or_else(|| fault("this is more than 100 %"))
    }

    /// This many beads and the share on top of them, rounded up.
    pub fn on_top_of(self, beads: u64) -> u64 {
        let all = u128::from(beads) * u128::from(ALL + self.0);
        u64::try_from(all.div_ceil(ALL.into())).unwrap_or(u64::MAX)
    }

    /// How many of the beads owned may be pegged if the share is to be at hand: the most `n` for which
    /// [`Self::on_top_of`] `n` is no more than `owned`.
    pub fn leaves(self, owned: u64) -> u64 {
        let free = u128::from(owned) * u128::from(ALL) / u128::from(ALL + self.0);
        u64::try_from(free).unwrap_or(u64::MAX)
    }

    /// Whether nothing is to spare.
    pub fn is_none(self) -> bool {
        self.0 == 0
    }
}

impl fmt::Display for Spare {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, part) = (self.0 / 100, self.0 % 100);
        match part {
            0 => write!(f, "{whole} %"),
            _ => write!(f, "{whole}.{} %", format!("{part:02}").trim_end_matches('0')),
        }
    }
}

//! From how tall someone stands to rows of beads.

use super::{Guide, ZoneRows};
use crate::error::{Error, Result};
use crate::units::Centimetres;

/// Standing height of the guide figure: the median man of 20 years in the CDC 2000 growth charts
/// (Kuczmarski et al., Vital Health Stat 11(246), 2002).
pub const GUIDE_STATURE: Centimetres = Centimetres(176.85);

/// Statures that make sense for a figure of the cast, in centimetres: a newborn to a giant of a tale.
const STATURES: std::ops::RangeInclusive<f64> = 40.0..=400.0;

const CM_PER_INCH: f64 = 2.54;
const INCHES_PER_FOOT: f64 = 12.0;

/// Reads `165cm`, `165`, `1.65m` or `5ft5in` (also `5ft`, `65in`, `5'5"`), with a point or a comma before decimals.
///
/// # Errors
/// [`Error::BadValue`] if it is no height, or one outside 40 to 400 cm.
pub fn parse_stature(text: &str) -> Result<Centimetres> {
    let fault = |why: &str| Error::BadValue {
        option: "--stands",
        value: text.into(),
        why: why.into(),
        right: "write the standing height as 165cm, 1.65m or 5ft5in".into(),
    };
    let compact: String = text.chars().filter(|c| !c.is_whitespace()).collect::<String>().to_lowercase();
    let cm = centimetres(&in_letters(&compact)).ok_or_else(|| fault("this is not a height"))?;
    if STATURES.contains(&cm) { Ok(Centimetres(cm)) } else { Err(fault("a figure stands 40 to 400 cm tall")) }
}

/// Feet and inches in letters, where they stand as marks: `5'5"`, also with primes or the quotation marks that word
/// processors make of them; and decimals behind a point.
fn in_letters(text: &str) -> String {
    let feet = text.replace("\u{2032}\u{2032}", "in").replace("''", "in");
    let feet = feet.replace(['\'', '\u{2032}', '\u{2019}'], "ft");
    feet.replace(['"', '\u{2033}', '\u{201d}'], "in").replace(',', ".")
}

fn centimetres(text: &str) -> Option<f64> {
    let number = |t: &str| t.parse::<f64>().ok().filter(|v| v.is_finite() && *v >= 0.0);
    if let Some((feet, inches)) = text.split_once("ft") {
        let inches = inches.strip_suffix("in").unwrap_or(inches);
        let inches = if inches.is_empty() { 0.0 } else { number(inches)? };
        // Twelve inches are a foot: more of them is a slip of the hand, and which one nobody knows.
        if inches >= INCHES_PER_FOOT {
            return None;
        }
        return Some((number(feet)? * INCHES_PER_FOOT + inches) * CM_PER_INCH);
    }
    if let Some(inches) = text.strip_suffix("in") {
        return Some(number(inches)? * CM_PER_INCH);
    }
    if let Some(cm) = text.strip_suffix("cm") {
        return number(cm);
    }
    if let Some(metres) = text.strip_suffix('m') {
        return Some(number(metres)? * 100.0);
    }
    number(text)
}

/// Rows of a figure that stands this tall, in proportion to the trade's guide; at least 1.
pub fn rows_for_stature(stature: Centimetres) -> usize {
    Guide::TRADE.rows_for(stature)
}

/// How many rows each zone of a figure that tall has beside the trade's guide; see [`Guide::zones_for`].
pub fn zones_for_rows(rows: usize) -> ZoneRows {
    Guide::TRADE.zones_for(rows)
}

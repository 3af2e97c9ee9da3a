//! Known figures: designed by us, bead by bead, so that a draft from a drawing of one has an answer.

use crate::error::Result;
use crate::figure;
use crate::score::KnownFigure;
use crate::tray::Tray;

macro_rules! known {
    ($($name:literal),* $(,)?) => {
        [$(($name, include_str!(concat!("figures/", $name, ".figure.toml")))),*]
    };
}

/// Every known figure, by name.
///
/// # Errors
/// [`crate::error::Error::FigureFile`] if one does not fit the embedded tray; a test reads them all.
pub fn known_figures(tray: &Tray) -> Result<Vec<KnownFigure>> {
    FILES.iter().map(|(name, text)| KnownFigure::of(name, &figure::read(name, text)?, tray)).collect()
}

const FILES: [(&str, &str); 24] = known![
    "ball-toddler",
    "book-reader",
    "butcher",
    "candle-girl",
    "clock-mender",
    "duckling-girl",
    "eel-fisher",
    "ferry-pilot",
    "fishwife",
    "flute-boy",
    "gardener",
    "grandmother",
    "harvest-dancer",
    "lane-sweeper",
    "lock-keeper",
    "market-woman",
    "miller",
    "night-crier",
    "nightgown-toddler",
    "oarsman",
    "peddler",
    "rain-girl",
    "river-swimmer",
    "washerwoman",
];

//! What a new cast begins with: a `cast.toml` that shows all its keys, a tray to edit, a guide to change.

use super::{Named, Outfit, plain_figure};
use crate::error::Result;
use crate::figure::write;
use crate::plan::{Build, BuildKind, GUIDE_STATURE, HeightClass, Look, PlainBody};
use crate::tray::Tray;

/// The tray's file in a new cast.
pub const TRAY_FILE: &str = "tray.csv";

/// The guide's file in a new cast.
pub const GUIDE_FILE: &str = "guide.figure.toml";

/// The cast file, its name to be filled in.
const CAST: &str = include_str!("start.toml");

/// The remark a new tray begins with.
const TRAY_REMARK: &str = "# The beads you own: name, colour, how many, a note. These are invented, to begin with: make the list yours.";

/// The remark a new guide begins with.
const GUIDE_REMARK: &str =
    "# The figure that all others are measured against: 24 rows, plain build. Change it as you like.";

/// The texts of a new cast's files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beginning {
    /// `cast.toml`.
    pub cast: String,
    /// `tray.csv`.
    pub tray: String,
    /// `guide.figure.toml`.
    pub guide: String,
}

/// What a cast of this name begins with. The tray is the embedded one, the guide the trade's in its beads.
///
/// # Errors
/// As [`plain_figure`], which has none to report of the guide.
pub fn laid_out(name: &str) -> Result<Beginning> {
    let (tray, zones, look) = (Tray::embedded(), HeightClass::GUIDE.rows, Look::USUAL);
    let body = PlainBody::new(&zones, Build::of(BuildKind::Usual, &zones, look), look);
    let named = Named { name: "Guide", class: Some(&HeightClass::GUIDE.name), stature: Some(GUIDE_STATURE) };
    let guide = plain_figure(&named, &body, &zones, &Outfit::from_tray(&tray), &tray)?;
    let beads = Tray::embedded_file().lines().filter(|line| !line.starts_with('#'));
    Ok(Beginning {
        cast: CAST.replacen("\"NAME\"", &toml::Value::from(name).to_string(), 1),
        tray: std::iter::once(TRAY_REMARK).chain(beads).map(|line| format!("{line}\n")).collect(),
        guide: format!("{GUIDE_REMARK}\n{}", write(&guide)),
    })
}

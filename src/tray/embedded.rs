//! The tray that serves where the maker names none.

use std::sync::LazyLock;

use super::{Bead, Tray};

/// Invented beads: skins and hair light to dark, greys, and cloth of every hue, one by one like beads
/// that can be bought, after no maker's list.
const FILE: &str = include_str!("embedded.csv");

static TRAY: LazyLock<Tray> = LazyLock::new(|| {
    // The text is compiled in, and `tests/engine/tray.rs` reads it.
    Tray::parse("the embedded tray", FILE.as_bytes()).expect("the embedded tray is a sound tray file")
});

impl Tray {
    /// The embedded tray as a file: a remark, the header, a line for each bead.
    pub fn embedded_file() -> &'static str {
        FILE
    }

    /// The embedded tray of invented beads.
    pub fn embedded() -> Self {
        TRAY.clone()
    }

    /// Beads that this tray has not, to be tried and got if they please: those of the embedded one.
    pub fn to_try(&self) -> impl Iterator<Item = &Bead> {
        TRAY.iter().map(|(_, bead)| bead).filter(|bead| self.find(&bead.name).is_none())
    }
}

//! A draft on an older figure.

use smallcast::draft::{Draft, DraftOptions, Size, draft_on};
use smallcast::error::{Error, Result};
use smallcast::figure::Figure;
use smallcast::matching::Wishes;
use smallcast::plan::{Classes, HeightClass, Zone, ZoneRows};
use smallcast::reference::Picture;
use smallcast::tray::Tray;

use super::Arguments;
use crate::cli::draft_found::OnOlder;
use crate::cli::table::indented;

impl Arguments {
    /// The older figure that is named.
    pub(super) fn older(&self) -> Result<Option<Figure>> {
        self.on.as_deref().map(Figure::open).transpose()
    }

    /// The draft, on the older figure where one was named.
    pub(super) fn laid_on(
        &self,
        picture: (&str, &Picture),
        (draft, wishes): (Draft, &Wishes),
        (options, older): (&DraftOptions, Option<&Figure>),
        tray: &Tray,
    ) -> Result<(Draft, Option<OnOlder>)> {
        let (Some(older), Some(file)) = (older, &self.on) else { return Ok((draft, None)) };
        let (draft, laid) = draft_on(picture, (draft, wishes), options, older, tray)?;
        let file = file.display().to_string();
        if laid.agreed + laid.decided == 0 {
            return Err(Error::BadValue {
                option: "--on",
                value: file,
                why: "none of its beads lies on the drawing".into(),
                right: "name an older figure in this stance, or draft without one".into(),
            });
        }
        Ok((draft, Some(OnOlder { file, laid })))
    }
}

/// An older figure's height, where nothing is said of the new one's: its class, else its rows below the headwear, for
/// what stands above a head is the picture's.
pub(super) fn size_of(older: &Figure, classes: &Classes) -> Result<Size> {
    let known = older.class().and_then(|name| classes.iter().find(|class| class.name == name));
    let own = older.rows().map(|rows| {
        ZoneRows::new(Zone::ALL.map(|zone| if zone == Zone::Headwear { 0 } else { rows.get(zone) }))
    });
    Ok(match (known, own) {
        (Some(class), _) => Size::Class(class.clone()),
        (None, Some(rows)) => Size::Zones(rows?),
        (None, None) => Size::Class(classes.named(&HeightClass::GUIDE.name)?),
    })
}

impl OnOlder {
    /// What the older figure did, in a paragraph of its own.
    pub(super) fn in_words(&self, width: usize) -> String {
        let laid = self.laid;
        let said = format!(
            "On {}: {} of its beads agree with the picture, {} are laid by it, in {} places the picture shows something else",
            self.file, laid.agreed, laid.decided, laid.overruled
        );
        format!("{}\n", indented(&said, width))
    }
}

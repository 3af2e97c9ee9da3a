//! The scale a guide figure sets.

use crate::figure::Figure;
use crate::plan::{GUIDE_STATURE, Guide};

/// The scale of a cast with this guide; nothing where the figure does not say which rows are which zone. One that does
/// not say how tall it stands is of the usual height.
pub fn scale_of(guide: &Figure) -> Option<Guide> {
    Some(Guide::new(*guide.rows()?, guide.stature().unwrap_or(GUIDE_STATURE)))
}

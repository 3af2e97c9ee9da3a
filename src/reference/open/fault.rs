//! Why a picture cannot be opened, before it has the file's name, and what opening may cost.

use image::ImageError;

use super::Limits;
use super::container::Size;
use crate::error::{Error, is_unprintable};

/// The size of a picture before its decoder has told it.
pub(super) const UNKNOWN: Size = (0, 0);

/// A cause within one picture; [`Fault::of`] makes the maker's error of it.
#[derive(Debug)]
pub(super) enum Fault {
    /// More pixels or more memory than the limits allow.
    TooLarge(Size),
    /// The colour profile unpacks to more than the memory that the pixels leave.
    ProfileTooLarge,
    /// A picture without any pixels.
    NoPixels,
    /// The data stop before the pixels do.
    EndsEarly,
    /// The data stop early, and this little is there (a share, 0 to 1) that nothing can be made of it.
    Cut { there: f64 },
    /// A rare sort of a known format that the decoder leaves out.
    NotSupported,
    /// The system has not the memory for its pixels.
    NoMemory,
    /// Anything else.
    Broken(&'static str),
}

/// What a decoder has many words for.
pub(super) const NO_SENSE: &str = "its data cannot be decoded";

impl Fault {
    /// The maker's error.
    pub(super) fn of(self, file: &str) -> Error {
        let file = file.to_owned();
        let why = match self {
            Self::TooLarge((width, height)) => return Error::PictureTooLarge { file, width, height },
            Self::NoMemory => return Error::OutOfMemory { most: None },
            Self::NotSupported => return Error::NotAPicture { file },
            Self::ProfileTooLarge => "its colour profile is too large once unpacked".to_owned(),
            Self::NoPixels => "it holds no pixels".to_owned(),
            Self::EndsEarly => "it ends before the picture does".to_owned(),
            Self::Cut { there } => format!("it is cut off, and only {:.0} % of it is there", there * 100.0),
            Self::Broken(why) => why.to_owned(),
        };
        Error::DamagedPicture { file, why }
    }

    /// A decoder that was refused memory has no word for it, or fell: where there is none, that is why.
    pub(super) fn or_no_memory(self) -> Self {
        match self {
            Self::Broken(NO_SENSE) if !has_memory() => Self::NoMemory,
            other => other,
        }
    }

    /// Sorts an error of the `image` decoders; `size` is the picture's, for those about limits, or
    /// [`UNKNOWN`].
    pub(super) fn from_image(error: ImageError, size: Size) -> Self {
        match error {
            ImageError::Limits(_) if size != UNKNOWN => Self::TooLarge(size),
            ImageError::Limits(_) => Self::Broken("its header asks for more memory than is allowed"),
            ImageError::Unsupported(_) => Self::NotSupported,
            ImageError::IoError(e) if e.kind() == std::io::ErrorKind::UnexpectedEof => Self::EndsEarly,
            _ => Self::Broken(NO_SENSE),
        }
    }
}

/// Whether the system would give the memory for a picture of eight megapixels, decoded twice.
fn has_memory() -> bool {
    const PICTURE: usize = 64 << 20;
    Vec::<u8>::new().try_reserve_exact(PICTURE).is_ok()
}

/// One line without control characters, whatever a file put into it: a terminal would obey them.
pub(super) fn plain(text: &str) -> String {
    text.chars().map(|c| if is_unprintable(c) { ' ' } else { c }).collect::<String>().trim().to_owned()
}

/// What opening one picture may cost.
#[derive(Clone)]
pub(super) struct Budget {
    limits: Limits,
}

impl Budget {
    pub(super) fn new(limits: &Limits) -> Self {
        Self { limits: *limits }
    }

    /// Most bytes, as the `image` decoders want to hear it. They are told no sides: those are
    /// checked here, where the size is known for the error.
    pub(super) fn for_decoder(&self) -> image::Limits {
        let mut limits = image::Limits::no_limits();
        limits.max_alloc = Some(self.limits.bytes);
        limits
    }

    /// Most bytes in all.
    pub(super) fn bytes(&self) -> u64 {
        self.limits.bytes
    }

    /// Checks the bytes of a profile beside those of the pixels.
    pub(super) fn allows_profile(&self, pixels: u64, profile: u64) -> Result<(), Fault> {
        let within = pixels.saturating_add(profile) <= self.limits.bytes;
        if within || profile == 0 { Ok(()) } else { Err(Fault::ProfileTooLarge) }
    }

    /// Checks the sides alone, as soon as a header tells them.
    pub(super) fn allows_sides(&self, size: Size) -> Result<(), Fault> {
        let (width, height) = size;
        if width == 0 || height == 0 {
            return Err(Fault::NoPixels);
        }
        if width.max(height) > self.limits.side { Err(Fault::TooLarge(size)) } else { Ok(()) }
    }

    /// Checks the sides, and the most bytes a pixel that opening takes at any one time.
    pub(super) fn allows(&self, size: Size, bytes_a_pixel: u64) -> Result<(), Fault> {
        self.allows_sides(size)?;
        let pixels = u64::from(size.0) * u64::from(size.1);
        let bytes = pixels.saturating_mul(bytes_a_pixel);
        if bytes > self.limits.bytes { Err(Fault::TooLarge(size)) } else { Ok(()) }
    }
}

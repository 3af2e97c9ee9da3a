//! What a file is, told by its first bytes and never by its name.

use crate::error::Error;

/// How many bytes from the start of a file [`Kind::of`] wants to see: room for a telephone
/// picture's list of brands.
pub(super) const HEAD: usize = 64;

/// The formats that can be opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Png,
    Jpeg,
    Gif,
    WebP,
    Bmp,
    Tiff,
}

impl Kind {
    /// Tells the format from the first [`HEAD`] bytes of a file, or says why it cannot be opened.
    pub(super) fn of(file: &str, head: &[u8]) -> Result<Self, Error> {
        match head {
            [0x89, b'P', b'N', b'G', b'\r', b'\n', 0x1A, b'\n', ..] => Ok(Self::Png),
            [0xFF, 0xD8, 0xFF, ..] => Ok(Self::Jpeg),
            [b'G', b'I', b'F', b'8', b'7' | b'9', b'a', ..] => Ok(Self::Gif),
            [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Ok(Self::WebP),
            // 42 is TIFF, 43 BigTIFF
            [b'I', b'I', 42 | 43, 0, ..] | [b'M', b'M', 0, 42 | 43, ..] => Ok(Self::Tiff),
            [b'B', b'M', rest @ ..] if is_bitmap_header(rest) => Ok(Self::Bmp),
            [_, _, _, _, b'f', b't', b'y', b'p', brands @ ..] => Err(telephone(file, brands)),
            _ => Err(Error::NotAPicture { file: file.into() }),
        }
    }
}

/// Whether a bitmap's own header follows the letters "BM", so that a text may begin with them.
/// The sizes are those of the headers Windows and OS/2 have written (BITMAPCOREHEADER to
/// BITMAPV5HEADER).
fn is_bitmap_header(after_letters: &[u8]) -> bool {
    const SIZE_AT: usize = 12;
    const SIZES: [u32; 8] = [12, 16, 40, 52, 56, 64, 108, 124];
    let size = after_letters.get(SIZE_AT..).and_then(|b| b.first_chunk::<4>());
    size.is_some_and(|b| SIZES.contains(&u32::from_le_bytes(*b)))
}

/// An ISO base media file, told by its brands (ISO/IEC 23008-12 and the AVIF specification);
/// a film has other brands and is no picture.
fn telephone(file: &str, brands: &[u8]) -> Error {
    const AVIF: [&[u8; 4]; 2] = [b"avif", b"avis"];
    const HEIC: [&[u8; 4]; 8] = [b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"];
    let has = |wanted: &[&[u8; 4]]| brands.chunks_exact(4).any(|b| wanted.iter().any(|w| b == w.as_slice()));
    let format = match (has(&AVIF), has(&HEIC)) {
        (true, _) => "AVIF",
        (false, true) => "HEIC",
        (false, false) => return Error::NotAPicture { file: file.into() },
    };
    Error::TelephonePicture { file: file.into(), format }
}

//! What the frame around the pixels says, read from the bytes themselves: declared sizes, frames
//! of an animation, and how a TIFF keeps its alpha. Decoders tell these late, or not at all.

use std::io::Read;
use std::ops::Range;

/// Pixels across and down.
pub(super) type Size = (u32, u32);

fn le16(bytes: &[u8], at: usize) -> Option<u16> {
    bytes.get(at..)?.first_chunk().map(|b| u16::from_le_bytes(*b))
}

fn le32(bytes: &[u8], at: usize) -> Option<u32> {
    bytes.get(at..)?.first_chunk().map(|b| u32::from_le_bytes(*b))
}

fn be32(bytes: &[u8], at: usize) -> Option<u32> {
    bytes.get(at..)?.first_chunk().map(|b| u32::from_be_bytes(*b))
}

/// The size a PNG declares in its first chunk (PNG specification, IHDR).
pub(super) fn png_size(bytes: &[u8]) -> Option<Size> {
    Some((be32(bytes, 16)?, be32(bytes, 20)?))
}

/// The data of a PNG's colour profile (chunk iCCP), readable or not: its name and packed bytes.
pub(super) fn png_profile(bytes: &[u8]) -> Option<&[u8]> {
    const SIGNATURE: usize = 8;
    /// A chunk's length, name and checksum.
    const AROUND: usize = 12;
    let mut at = SIGNATURE;
    while let (Some(length), Some(name)) = (be32(bytes, at), bytes.get(at + 4..at + 8)) {
        match name {
            b"iCCP" => {
                let data = bytes.get(at + 8..)?;
                return Some(&data[..data.len().min(length as usize)]);
            }
            b"IDAT" => return None,
            _ => at = at.saturating_add(AROUND).saturating_add(length as usize),
        }
    }
    None
}

/// How many bytes a PNG's colour profile unpacks to, counted without keeping them and no further than `most`: a
/// few kilobytes may hold gigabytes. What breaks off counts as far as it goes.
pub(super) fn unpacked_profile(data: &[u8], most: u64) -> u64 {
    /// Bytes unpacked at a time.
    const AT_ONCE: usize = 1 << 14;
    // After the name come its ending nought and the method, of which there is only one.
    let name = data.iter().position(|byte| *byte == 0).unwrap_or(data.len());
    let mut packed = flate2::read::ZlibDecoder::new(data.get(name + 2..).unwrap_or_default());
    let (mut buffer, mut bytes) = ([0; AT_ONCE], 0);
    while let Ok(count @ 1..) = packed.read(&mut buffer) {
        bytes += count as u64;
        if bytes > most {
            break;
        }
    }
    bytes
}

/// The size a bitmap declares; a height below zero only says that rows run downwards.
pub(super) fn bmp_size(bytes: &[u8]) -> Option<Size> {
    /// BITMAPCOREHEADER has 12 bytes and 16-bit sizes.
    const CORE: u32 = 12;
    if le32(bytes, 14)? == CORE {
        return Some((le16(bytes, 18)?.into(), le16(bytes, 20)?.into()));
    }
    Some((le32(bytes, 18)?, (le32(bytes, 22)? as i32).unsigned_abs()))
}

/// Whether a GIF holds more than one picture (GIF89a specification, sections 18 to 26). Stops at
/// the second, or where the blocks make no sense.
pub(super) fn gif_is_animated(bytes: &[u8]) -> bool {
    const PICTURE: u8 = 0x2C;
    const EXTENSION: u8 = 0x21;
    const SCREEN: usize = 13;
    let palette = |flags_at: usize| bytes.get(flags_at).map_or(0, |flags| palette_bytes(*flags));
    let mut seen_one = false;
    let mut at = SCREEN + palette(10);
    loop {
        at = match bytes.get(at) {
            Some(&PICTURE) if seen_one => return true,
            Some(&PICTURE) => {
                seen_one = true;
                // descriptor, palette, the code size, then the data
                after_sub_blocks(bytes, at + 10 + palette(at + 9) + 1)
            }
            Some(&EXTENSION) => after_sub_blocks(bytes, at + 2),
            _ => return false,
        };
    }
}

/// Bytes of the palette that a GIF's flags announce.
fn palette_bytes(flags: u8) -> usize {
    if flags & 0x80 == 0 { 0 } else { 3 << ((flags & 7) + 1) }
}

/// The place after a chain of counted blocks, which an empty one ends.
fn after_sub_blocks(bytes: &[u8], mut at: usize) -> usize {
    while let Some(&count) = bytes.get(at) {
        at += 1 + usize::from(count);
        if count == 0 {
            break;
        }
    }
    at
}

/// What the chunks of a WebP say.
pub(super) struct WebPFrame {
    /// The largest size any chunk declares: the canvas, or a picture that claims to be larger.
    pub(super) largest: Size,
    /// Whether every chunk lies inside the file.
    pub(super) whole: bool,
}

/// Walks the chunks of a WebP (RFC 9649). A chunk's length is checked here because the decoder
/// would set memory aside for whatever it claims.
pub(super) fn webp_frame(bytes: &[u8]) -> WebPFrame {
    const FIRST_CHUNK: usize = 12;
    let declared = le32(bytes, 4).map_or(0, |size| size as usize + 8);
    let mut frame = WebPFrame { largest: (0, 0), whole: declared <= bytes.len() };
    walk_chunks(bytes, FIRST_CHUNK..bytes.len().min(declared), true, &mut frame);
    frame
}

/// Frames of an animation hold chunks, but no frames (`outer` is false there): a file that nests
/// them on and on must not exhaust the stack.
fn walk_chunks(bytes: &[u8], place: Range<usize>, outer: bool, frame: &mut WebPFrame) {
    /// A frame of an animation begins with its place, size and timing; its own chunks follow.
    const FRAME_HEADER: usize = 16;
    let Range { start: mut at, end } = place;
    while at + 8 <= end {
        let name = &bytes[at..at + 4];
        let length = le32(bytes, at + 4).map_or(0, |n| n as usize);
        let (data, next) = (at + 8, at + 8 + length + length % 2);
        frame.whole &= data + length <= end;
        if outer && name == b"ANMF" {
            walk_chunks(bytes, data + FRAME_HEADER..next.min(end), false, frame);
        }
        if let Some((width, height)) = webp_chunk_size(name, bytes, data) {
            frame.largest = (frame.largest.0.max(width), frame.largest.1.max(height));
        }
        at = next;
    }
}

fn webp_chunk_size(name: &[u8], bytes: &[u8], data: usize) -> Option<Size> {
    /// Sizes within a picture's own data have 14 bits.
    const SIDE: u32 = 0x3FFF;
    let three = |at| Some(le32(bytes, at)? & 0xFF_FFFF);
    match name {
        b"VP8X" => Some((three(data + 4)? + 1, (le32(bytes, data + 6)? >> 8) + 1)),
        b"ANMF" => Some((three(data + 6)? + 1, three(data + 9)? + 1)),
        b"VP8 " => Some((u32::from(le16(bytes, data + 6)?) & SIDE, u32::from(le16(bytes, data + 8)?) & SIDE)),
        b"VP8L" => {
            let packed = le32(bytes, data + 1)?;
            Some(((packed & SIDE) + 1, (packed >> 14 & SIDE) + 1))
        }
        _ => None,
    }
}

/// Whether a TIFF's colours are already multiplied by its alpha (TIFF 6.0, tag 338 ExtraSamples,
/// value 1 "associated alpha"), in its first directory.
pub(super) fn tiff_alpha_is_multiplied(bytes: &[u8]) -> bool {
    tiff_first_value(bytes, 338) == Some(1)
}

/// A palette TIFF with its indices made readable as greys, and its colours.
pub(super) struct PaletteTiff {
    /// The file with nothing changed but tag 262: grey instead of palette.
    pub as_grey: Vec<u8>,
    /// Red, green and blue of each index.
    pub colours: Vec<[u8; 3]>,
}

/// Tells a palette TIFF of 8 bits or of one (tag 262 is 3, tag 320 the colour map: TIFF 6.0, section 5) from
/// any other. The decoder reads no greys of 2 or 4 bits.
pub(super) fn tiff_palette(bytes: &[u8]) -> Option<PaletteTiff> {
    const PHOTOMETRIC: u16 = 262;
    const BITS: u16 = 258;
    const COLOUR_MAP: u16 = 320;
    const PALETTE: u16 = 3;
    const BLACK_IS_ZERO: u16 = 1;
    let tiff = Tiff::new(bytes)?;
    let photometric = tiff.entry(PHOTOMETRIC)? + VALUE;
    (tiff.short(photometric)? == PALETTE).then_some(())?;
    let bits = tiff.first_value(BITS).unwrap_or(1);
    let count = matches!(bits, 1 | 8).then(|| 1_usize << bits)?;
    // All reds come first, then all greens, all blues; 16 bits each.
    let map = tiff.long(tiff.entry(COLOUR_MAP)? + VALUE)? as usize;
    let level = |channel: usize, index: usize| {
        Some((tiff.short(map.checked_add(2 * (channel * count + index))?)? >> 8) as u8)
    };
    let colour = |index| Some([level(0, index)?, level(1, index)?, level(2, index)?]);
    let colours = (0..count).map(colour).collect::<Option<_>>()?;
    let mut as_grey = bytes.to_vec();
    let grey = if tiff.little { BLACK_IS_ZERO.to_le_bytes() } else { BLACK_IS_ZERO.to_be_bytes() };
    as_grey.get_mut(photometric..photometric + 2)?.copy_from_slice(&grey);
    Some(PaletteTiff { as_grey, colours })
}

/// The first 16-bit value of a tag in a TIFF's first directory.
fn tiff_first_value(bytes: &[u8], wanted: u16) -> Option<u16> {
    Tiff::new(bytes)?.first_value(wanted)
}

/// Bytes of a directory's entry, and where in it the value begins.
const ENTRY: usize = 12;
const VALUE: usize = 8;

/// The first directory of a TIFF; none of a BigTIFF, whose directories are of another shape.
struct Tiff<'a> {
    bytes: &'a [u8],
    little: bool,
    directory: usize,
}

impl<'a> Tiff<'a> {
    fn new(bytes: &'a [u8]) -> Option<Self> {
        let mut tiff = Self { bytes, little: bytes.first() == Some(&b'I'), directory: 0 };
        (tiff.short(2)? == 42).then_some(())?;
        tiff.directory = tiff.long(4)? as usize;
        Some(tiff)
    }

    fn short(&self, at: usize) -> Option<u16> {
        let pair = *self.bytes.get(at..)?.first_chunk::<2>()?;
        Some(if self.little { u16::from_le_bytes(pair) } else { u16::from_be_bytes(pair) })
    }

    fn long(&self, at: usize) -> Option<u32> {
        if self.little { le32(self.bytes, at) } else { be32(self.bytes, at) }
    }

    fn entry(&self, wanted: u16) -> Option<usize> {
        (0..usize::from(self.short(self.directory)?))
            .map(|n| self.directory + 2 + n * ENTRY)
            .find(|at| self.short(*at) == Some(wanted))
    }

    /// One or two values lie in the entry itself, more lie where it points.
    fn first_value(&self, wanted: u16) -> Option<u16> {
        let entry = self.entry(wanted)?;
        let value = entry + VALUE;
        if self.long(entry + 4)? <= 2 { self.short(value) } else { self.short(self.long(value)? as usize) }
    }
}

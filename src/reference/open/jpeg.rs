//! Opens JPEG files, and tells whole ones from ones cut off.
//!
//! The decoder is asked directly, not through `image`, for two reasons: it writes straight into the
//! picture's own four channels, and it can be strict. A file that has its end mark and passes the
//! strict decoder is whole, and is decoded only once. Any other is decoded leniently where the strict
//! decoder refused it, and its marks and pixels say whether it is cut or merely odd.

use std::borrow::Cow;

use image::metadata::Orientation;
use image::{Rgba, RgbaImage};
use zune_jpeg::JpegDecoder;
use zune_jpeg::errors::DecodeErrors;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::contain::contained;
use super::fault::{Budget, Fault, NO_SENSE};
use super::opened::{Opened, RGBA, turning_cost};
use super::profile::Profile;
use super::{jpeg_marks, reduced};

/// The grey the decoder leaves where it had no data.
const NO_DATA: u8 = 128;

/// Bytes of red, green and blue.
const THREE: u64 = 3;

/// A cut picture is drafted when at least one part in this many of its rows is there; with less the
/// figure's larger part would be guesswork.
const DRAFTED_FROM: u32 = 2;

/// Opens a JPEG file.
pub(super) fn open(bytes: &[u8], budget: &Budget) -> Result<Opened, Fault> {
    let header = Header::read(bytes)?;
    budget.allows(header.size, header.cost())?;
    let mut opened = Opened::new(RgbaImage::new(header.size.0, header.size.1));
    let cut = fill(bytes, &header, budget, &mut opened.pixels)?;
    if cut {
        check_enough(&opened.pixels)?;
    }
    header.profile.apply(&mut opened.pixels)?;
    opened.profile_unread = header.profile.is_unread();
    opened.cut_off = cut;
    opened.orientation = header.orientation;
    Ok(opened)
}

/// Longer side, at least, of what is decoded first: half again as fine as the look from afar.
const FROM_AFAR: u32 = 720;

/// A plain file, whole, of which means have been decoded.
pub(super) struct Later {
    bytes: Vec<u8>,
    header: Header,
    budget: Budget,
}

/// The means of a large plain file, for how many pixels each way each of them stands, and what gives the rest; hands
/// the bytes back where that is not worth while or not possible.
pub(super) fn open_means<'a>(
    bytes: Cow<'a, [u8]>,
    budget: &Budget,
) -> Result<(RgbaImage, u32, Later), Cow<'a, [u8]>> {
    /// Halves are hardly quicker to decode than all.
    const WORTH: [u32; 2] = [8, 4];
    let Ok(header) = Header::read(&bytes) else { return Err(bytes) };
    let (width, height) = header.size;
    let is_turned = header.orientation != Orientation::NoTransforms;
    // What is left over at the right would lie at the left of a picture turned.
    let fits =
        |by: &u32| width.max(height) / by >= FROM_AFAR && !(is_turned && (width % by > 0 || height % by > 0));
    // Means and pixels may be kept together.
    let both = header.cost() + RGBA;
    match WORTH.into_iter().find(fits) {
        Some(by) if header.writes_alpha() && budget.allows(header.size, both).is_ok() => {
            match header.means(&bytes, by) {
                Some(means) => {
                    Ok((means, by, Later { bytes: bytes.into_owned(), header, budget: budget.clone() }))
                }
                None => Err(bytes),
            }
        }
        _ => Err(bytes),
    }
}

impl Later {
    /// Width and height of the picture as it is held upright.
    pub(super) fn upright_size(&self) -> (u32, u32) {
        let (width, height) = self.header.size;
        // Only quarter turns need a second picture.
        if turning_cost(self.header.orientation) > RGBA { (height, width) } else { (width, height) }
    }

    /// Whether it carried a colour profile that could not be used.
    pub(super) fn profile_unread(&self) -> bool {
        self.header.profile.is_unread()
    }

    /// Its means of `by` x `by` pixels, or its pixels, ready to be looked at; nothing where a decoder fails.
    pub(super) fn decode(&self, by: u32) -> Option<RgbaImage> {
        if by > 1 {
            return self.header.means(&self.bytes, by);
        }
        contained(|| open(&self.bytes, &self.budget).ok().map(Opened::turned)).flatten()
    }
}

/// What stands before the pixels.
struct Header {
    size: (u32, u32),
    colours: ColorSpace,
    components: u64,
    keeps_coefficients: bool,
    orientation: Orientation,
    profile: Profile,
}

impl Header {
    fn read(bytes: &[u8]) -> Result<Self, Fault> {
        /// The decoder knows no other; film stills and X-rays have 12 bits.
        const DEPTH: u8 = 8;
        let head = jpeg_marks::head(bytes);
        if head.depth > DEPTH {
            return Err(Fault::NotSupported);
        }
        let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options(false));
        decoder.decode_headers().map_err(fault)?;
        let info = decoder.info().ok_or(Fault::NoPixels)?;
        let colours = decoder.input_colorspace().ok_or(Fault::NoPixels)?;
        let profile = match decoder.icc_profile() {
            None if head.has_profile => Profile::Unread,
            embedded => Profile::read(embedded.as_deref(), colours == ColorSpace::Luma),
        };
        let orientation = decoder.exif().and_then(|exif| Orientation::from_exif_chunk(exif));
        Ok(Self {
            size: (info.width.into(), info.height.into()),
            colours,
            components: info.components.into(),
            keeps_coefficients: !head.first_scan_is_all,
            orientation: orientation.unwrap_or(Orientation::NoTransforms),
            profile,
        })
    }

    /// The means of `by` x `by` pixels, ready to be looked at.
    fn means(&self, bytes: &[u8], by: u32) -> Option<RgbaImage> {
        let mut opened = Opened::new(reduced::decode(bytes, self.size, by)?);
        self.profile.apply(&mut opened.pixels).ok()?;
        opened.orientation = self.orientation;
        Some(opened.turned())
    }

    /// Whether the decoder can write this picture's colours with an alpha beside them.
    fn writes_alpha(&self) -> bool {
        matches!(self.colours, ColorSpace::YCbCr | ColorSpace::Luma)
    }

    /// Most bytes a pixel at any one time: the picture, what the decoder keeps, and a copy of three
    /// channels where it cannot write four.
    fn cost(&self) -> u64 {
        /// Bytes of a coefficient.
        const COEFFICIENT: u64 = 2;
        let kept = if self.keeps_coefficients { COEFFICIENT * self.components } else { 0 };
        let copy = if self.writes_alpha() { 0 } else { THREE };
        let decoding = RGBA + kept + copy;
        decoding.max(turning_cost(self.orientation))
    }
}

/// Decodes into `pixels`; true when the file is cut off.
fn fill(bytes: &[u8], header: &Header, budget: &Budget, pixels: &mut RgbaImage) -> Result<bool, Fault> {
    let marks = jpeg_marks::read(bytes);
    let sound = decode(bytes, header, true, pixels).is_ok();
    if sound && marks.ended {
        return Ok(false);
    }
    if !sound {
        pixels.fill(NO_DATA);
        decode(bytes, header, false, pixels).map_err(fault)?;
    }
    let whole = match (marks.ended, missing_rows(pixels)) {
        (true, missing) => missing == 0,
        (false, 0) => marks.complete && lacks_only_its_end(bytes, header, budget, pixels),
        (false, _) => false,
    };
    Ok(!whole)
}

/// Whether a file without its end mark has all its pixels: then whatever follows the data is not
/// read, and another tail gives the same picture.
fn lacks_only_its_end(bytes: &[u8], header: &Header, budget: &Budget, pixels: &RgbaImage) -> bool {
    /// As long as the data of a few blocks.
    const TAIL: u8 = 200;
    /// Zeros always say something to the decoder, but it may be what was guessed already; jumbles
    /// say something else, unless they make no sense and the decoder stops.
    const STRIDES: [u8; 3] = [0, 97, 59];
    if budget.allows(header.size, header.cost() + RGBA).is_err() {
        return false;
    }
    let mut again = RgbaImage::new(pixels.width(), pixels.height());
    STRIDES.iter().all(|stride| {
        let tail = (1..=TAIL).map(|n| n.wrapping_mul(*stride) & 0x7F);
        let longer: Vec<u8> = bytes.iter().copied().chain(tail).collect();
        again.fill(NO_DATA);
        decode(&longer, header, false, &mut again).is_ok() && again == *pixels
    })
}

/// Decodes once. The picture is opaque afterwards.
fn decode(bytes: &[u8], header: &Header, strict: bool, pixels: &mut RgbaImage) -> Result<(), DecodeErrors> {
    let wanted = if header.writes_alpha() { ColorSpace::RGBA } else { ColorSpace::RGB };
    let options = options(strict).jpeg_set_out_colorspace(wanted);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    if header.writes_alpha() {
        decoder.decode_into(pixels)?;
    } else {
        let mut colours = vec![NO_DATA; pixels.len() / 4 * THREE as usize];
        decoder.decode_into(&mut colours)?;
        for (to, from) in pixels.pixels_mut().zip(colours.as_chunks::<3>().0) {
            to.0[..3].copy_from_slice(from);
        }
    }
    // A strict decoder has written every pixel with its alpha.
    if !strict || !header.writes_alpha() {
        pixels.pixels_mut().for_each(|p| p.0[3] = u8::MAX);
    }
    Ok(())
}

/// The decoder's own size limit lies below what a JPEG can be; the sizes are checked here instead.
fn options(strict: bool) -> DecoderOptions {
    DecoderOptions::default()
        .set_strict_mode(strict)
        .set_max_width(u16::MAX.into())
        .set_max_height(u16::MAX.into())
}

/// Rows at the bottom for which there were no data.
fn missing_rows(pixels: &RgbaImage) -> u32 {
    let no_data = Rgba([NO_DATA, NO_DATA, NO_DATA, u8::MAX]);
    pixels.rows().rev().take_while(|row| row.clone().all(|p| *p == no_data)).count() as u32
}

fn check_enough(pixels: &RgbaImage) -> Result<(), Fault> {
    let there = pixels.height() - missing_rows(pixels);
    if there * DRAFTED_FROM >= pixels.height() {
        return Ok(());
    }
    Err(Fault::Cut { there: f64::from(there) / f64::from(pixels.height()) })
}

fn fault(error: DecodeErrors) -> Fault {
    match error {
        DecodeErrors::ExhaustedData => Fault::EndsEarly,
        DecodeErrors::Unsupported(_) => Fault::NotSupported,
        DecodeErrors::ZeroError => Fault::NoPixels,
        _ => Fault::Broken(NO_SENSE),
    }
}

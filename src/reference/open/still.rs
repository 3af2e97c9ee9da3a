//! Opens PNG, GIF, WebP, BMP and TIFF files, all through the `image` decoders. These refuse files
//! that are cut off by themselves.

use std::io::Cursor;

use image::codecs::bmp::BmpDecoder;
use image::codecs::gif::GifDecoder;
use image::codecs::png::PngDecoder;
use image::codecs::tiff::TiffDecoder;
use image::codecs::webp::WebPDecoder;
use image::metadata::Orientation;
use image::{ColorType, DynamicImage, ImageDecoder, RgbaImage};

use super::container;
use super::fault::{Budget, Fault, UNKNOWN};
use super::opened::{Opened, RGBA, turning_cost};
use super::profile::Profile;

/// An unpacked profile is kept by the decoder, and once more to be read.
const PROFILE_COPIES: u64 = 2;

/// Opens a PNG; of an animated one, the picture that older viewers show.
pub(super) fn open_png(bytes: &[u8], budget: &Budget) -> Result<Opened, Fault> {
    let size = container::png_size(bytes).ok_or(Fault::EndsEarly)?;
    budget.allows_sides(size)?;
    let profile = container::png_profile(bytes);
    let unpacked = profile.map_or(0, |data| container::unpacked_profile(data, budget.bytes()));
    // The decoder unpacks it before it tells the picture's colours.
    budget.allows_profile(0, unpacked * PROFILE_COPIES)?;
    let decoder = PngDecoder::with_limits(Cursor::new(bytes), budget.for_decoder())
        .map_err(|e| Fault::from_image(e, size))?;
    let animated = decoder.is_apng().unwrap_or(false);
    let extra =
        Extra { has_profile: profile.is_some(), profile_bytes: unpacked * PROFILE_COPIES, ..Extra::NONE };
    Ok(Opened { animated, ..decode(decoder, extra, budget)? })
}

/// Opens a GIF; of an animated one, the first frame.
pub(super) fn open_gif(bytes: &[u8], budget: &Budget) -> Result<Opened, Fault> {
    let decoder = GifDecoder::new(Cursor::new(bytes)).map_err(|e| Fault::from_image(e, UNKNOWN))?;
    let animated = container::gif_is_animated(bytes);
    Ok(Opened { animated, ..decode(decoder, Extra::NONE, budget)? })
}

/// Opens a WebP; of an animated one, the first frame.
pub(super) fn open_webp(bytes: &[u8], budget: &Budget) -> Result<Opened, Fault> {
    /// The decoder makes four channels of pictures without alpha, or keeps brightness and colours apart.
    const SCRATCH: u64 = 4;
    let frame = container::webp_frame(bytes);
    if !frame.whole {
        return Err(Fault::EndsEarly);
    }
    budget.allows(frame.largest, RGBA + SCRATCH)?;
    let decoder = WebPDecoder::new(Cursor::new(bytes)).map_err(|e| Fault::from_image(e, frame.largest))?;
    let animated = decoder.has_animation();
    Ok(Opened { animated, ..decode(decoder, Extra { scratch: SCRATCH, ..Extra::NONE }, budget)? })
}

/// Opens a bitmap.
pub(super) fn open_bmp(bytes: &[u8], budget: &Budget) -> Result<Opened, Fault> {
    let size = container::bmp_size(bytes).ok_or(Fault::EndsEarly)?;
    budget.allows_sides(size)?;
    let decoder = BmpDecoder::new(Cursor::new(bytes)).map_err(|e| Fault::from_image(e, size))?;
    decode(decoder, Extra::NONE, budget)
}

/// Opens the first page of a TIFF.
pub(super) fn open_tiff(bytes: &[u8], budget: &Budget) -> Result<Opened, Fault> {
    if let Some(palette) = container::tiff_palette(bytes) {
        let mut opened = open_plain_tiff(&palette.as_grey, budget)?;
        paint_by_index(&mut opened.pixels, &palette.colours);
        return Ok(opened);
    }
    open_plain_tiff(bytes, budget)
}

fn open_plain_tiff(bytes: &[u8], budget: &Budget) -> Result<Opened, Fault> {
    let decoder = TiffDecoder::new(Cursor::new(bytes)).map_err(|e| Fault::from_image(e, UNKNOWN))?;
    // The decoder fills a buffer of its own first, as large as the picture.
    let scratch = u64::from(decoder.color_type().bytes_per_pixel());
    let multiplied = container::tiff_alpha_is_multiplied(bytes);
    let extra = Extra { scratch, multiplied, ..Extra::NONE };
    decode(decoder, extra, budget)
}

/// Gives pixels that hold an index as a grey their colour; an index of one bit is black or white.
fn paint_by_index(pixels: &mut RgbaImage, colours: &[[u8; 3]]) {
    let last = colours.len() - 1;
    for pixel in pixels.pixels_mut() {
        let index = (usize::from(pixel[0]) * last + usize::from(u8::MAX / 2)) / usize::from(u8::MAX);
        pixel.0[..3].copy_from_slice(&colours[index]);
    }
}

/// What a format adds to the common way.
struct Extra {
    /// Bytes a pixel that the decoder takes for itself.
    scratch: u64,
    /// The colours are multiplied by alpha.
    multiplied: bool,
    /// A profile is there, though the decoder may pass over a broken one in silence.
    has_profile: bool,
    /// Bytes that an unpacked profile takes beside the pixels.
    profile_bytes: u64,
}

impl Extra {
    const NONE: Self = Self { scratch: 0, multiplied: false, has_profile: false, profile_bytes: 0 };
}

/// Checks, decodes, and brings the colours to 8 bits of sRGB with straight alpha.
fn decode(mut decoder: impl ImageDecoder, extra: Extra, budget: &Budget) -> Result<Opened, Fault> {
    let size = decoder.dimensions();
    let colours = decoder.color_type();
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let bytes_a_pixel = cost(colours, orientation, &extra);
    budget.allows(size, bytes_a_pixel)?;
    let pixels = u64::from(size.0) * u64::from(size.1);
    budget.allows_profile(pixels.saturating_mul(bytes_a_pixel), extra.profile_bytes)?;
    decoder.set_limits(budget.for_decoder()).map_err(|e| Fault::from_image(e, size))?;
    let profile = read_profile(&mut decoder, colours, &extra);
    let mut picture = DynamicImage::from_decoder(decoder).map_err(|e| Fault::from_image(e, size))?;
    if extra.multiplied {
        divide_by_alpha(&mut picture);
    }
    let mut opened = Opened::new(eight_bits(picture, &profile)?);
    opened.profile_unread = profile.is_unread();
    opened.orientation = orientation;
    Ok(opened)
}

/// A profile that is there and cannot even be fetched counts as unread.
fn read_profile(decoder: &mut impl ImageDecoder, colours: ColorType, extra: &Extra) -> Profile {
    match decoder.icc_profile() {
        Ok(None) if extra.has_profile => Profile::Unread,
        Ok(embedded) => Profile::read(embedded.as_deref(), !colours.has_color()),
        Err(_) => Profile::Unread,
    }
}

/// Most bytes a pixel at any one time: the decoder's buffer with its scratch, then the buffer with
/// the picture made of it, unless it becomes the picture itself, then turning.
fn cost(colours: ColorType, orientation: Orientation, extra: &Extra) -> u64 {
    let buffer = u64::from(colours.bytes_per_pixel());
    let picture = if colours == ColorType::Rgba8 { 0 } else { RGBA };
    (buffer + extra.scratch.max(picture)).max(turning_cost(orientation))
}

fn eight_bits(picture: DynamicImage, profile: &Profile) -> Result<RgbaImage, Fault> {
    match picture {
        DynamicImage::ImageLuma16(wide) => profile.narrow(&wide),
        DynamicImage::ImageLumaA16(wide) => profile.narrow(&wide),
        DynamicImage::ImageRgb16(wide) => profile.narrow(&wide),
        DynamicImage::ImageRgba16(wide) => profile.narrow(&wide),
        // Light in floating point may be linear or not; nothing in the file says which.
        DynamicImage::ImageRgb32F(_) | DynamicImage::ImageRgba32F(_) => Err(Fault::NotSupported),
        narrow => {
            let mut pixels = narrow.into_rgba8();
            profile.apply(&mut pixels)?;
            Ok(pixels)
        }
    }
}

/// Takes alpha out of the colours again. A clear pixel's colour is gone and stays as it is.
fn divide_by_alpha(picture: &mut DynamicImage) {
    match picture {
        DynamicImage::ImageLumaA8(p) => divide(p, 2, u8::MAX.into()),
        DynamicImage::ImageRgba8(p) => divide(p, 4, u8::MAX.into()),
        DynamicImage::ImageLumaA16(p) => divide(p, 2, u16::MAX.into()),
        DynamicImage::ImageRgba16(p) => divide(p, 4, u16::MAX.into()),
        _ => {}
    }
}

fn divide<S: Copy + Into<u64> + TryFrom<u64>>(samples: &mut [S], channels: usize, full: u64) {
    for pixel in samples.chunks_exact_mut(channels) {
        let Some((alpha, colours)) = pixel.split_last_mut() else { continue };
        let alpha: u64 = (*alpha).into();
        if alpha == 0 {
            continue;
        }
        for colour in colours {
            let straight = (Into::<u64>::into(*colour) * full + alpha / 2) / alpha;
            *colour = S::try_from(straight.min(full)).unwrap_or(*colour);
        }
    }
}

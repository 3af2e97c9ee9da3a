//! Brings colours to sRGB by the profile embedded in a picture.

use std::sync::Arc;

use image::{ImageBuffer, Pixel, RgbaImage};
use moxcms::{ColorProfile, DataColorSpace, Layout, TransformExecutor, TransformOptions};
use rayon::prelude::*;

use super::contain::contained;
use super::fault::Fault;

/// Channels of a pixel here: red, green, blue, alpha.
const CHANNELS: usize = 4;

/// A grey, in the 8 bits of a picture, as sRGB shows it.
type GreyTable = [u8; 256];

/// What an embedded profile asks for.
pub(super) enum Profile {
    /// None, or sRGB itself: the pixels stand as they are.
    Srgb,
    /// A profile that cannot be used; the pixels are taken as sRGB.
    Unread,
    /// Red, green and blue other than sRGB's.
    Colours(Box<ColorProfile>),
    /// A tone curve for a picture in greys.
    Greys(Box<GreyTable>),
}

impl Profile {
    /// Reads an embedded profile; `grey` says that the picture has greys only. A profile of another
    /// kind than its picture (a press profile, or greys for colours) counts as unread.
    pub(super) fn read(embedded: Option<&[u8]>, grey: bool) -> Self {
        let Some(bytes) = embedded else { return Self::Srgb };
        // A profile is as foreign as the pixels: what the reader cannot bear, the maker should not.
        contained(|| Self::parse(bytes, grey)).flatten().unwrap_or(Self::Unread)
    }

    fn parse(bytes: &[u8], grey: bool) -> Option<Self> {
        let profile = ColorProfile::new_from_slice(bytes).ok()?;
        match profile.color_space {
            DataColorSpace::Rgb => {
                let plain = changes_nothing(&*eight_bit(&profile)?)?;
                sixteen_bit(&profile)?;
                Some(if plain { Self::Srgb } else { Self::Colours(Box::new(profile)) })
            }
            DataColorSpace::Gray if grey => Some(Self::Greys(Box::new(grey_table(&profile)?))),
            _ => None,
        }
    }

    /// Whether the picture carried a profile that could not be used.
    pub(super) fn is_unread(&self) -> bool {
        matches!(self, Self::Unread)
    }

    /// Brings 8-bit pixels to sRGB in place.
    pub(super) fn apply(&self, pixels: &mut RgbaImage) -> Result<(), Fault> {
        match self {
            Self::Srgb | Self::Unread => Ok(()),
            Self::Greys(table) => {
                pixels.pixels_mut().for_each(|p| p.apply_without_alpha(|grey| table[usize::from(grey)]));
                Ok(())
            }
            Self::Colours(profile) => {
                let transform = eight_bit(profile).ok_or_else(|| failed(()))?;
                let row = pixels.width() as usize * CHANNELS;
                pixels.par_chunks_mut(row).try_for_each_init(
                    || vec![0; row],
                    |before, row| {
                        before.copy_from_slice(row);
                        transform.transform(before, row).map_err(failed)
                    },
                )
            }
        }
    }

    /// Makes 8-bit sRGB pixels of 16-bit ones. Colours are brought over before the bits are
    /// dropped, for a wide profile's steps are coarser than sRGB's in the dark.
    pub(super) fn narrow<P>(&self, wide: &ImageBuffer<P, Vec<u16>>) -> Result<RgbaImage, Fault>
    where
        P: Pixel<Subpixel = u16> + Sync,
    {
        let mut narrow = RgbaImage::new(wide.width(), wide.height());
        let row = wide.width() as usize * CHANNELS;
        let transform = match self {
            Self::Colours(profile) => Some(sixteen_bit(profile).ok_or_else(|| failed(()))?),
            _ => None,
        };
        let mut given = Vec::with_capacity(row);
        let mut srgb = vec![0; row];
        for (from, to) in wide.rows().zip(narrow.chunks_exact_mut(row)) {
            given.clear();
            given.extend(from.flat_map(|p| p.to_rgba().0));
            match &transform {
                Some(transform) => transform.transform(&given, &mut srgb).map_err(failed)?,
                None => srgb.copy_from_slice(&given),
            }
            to.iter_mut().zip(&srgb).for_each(|(to, from)| *to = to_eight(*from));
        }
        if let Self::Greys(_) = self {
            self.apply(&mut narrow)?;
        }
        Ok(narrow)
    }
}

/// A profile that passed its trial and yet failed on the pixels; they may be changed in part, so
/// the picture cannot stand.
fn failed<T>(_: T) -> Fault {
    Fault::Broken("its colour profile cannot be applied")
}

/// The nearest of 256 steps to one of 65536: full stays full, nothing stays nothing.
fn to_eight(wide: u16) -> u8 {
    /// 65535 / 255.
    const STEP: u32 = 257;
    ((u32::from(wide) + STEP / 2) / STEP) as u8
}

type Eight = Arc<dyn TransformExecutor<u8> + Send + Sync>;
type Sixteen = Arc<dyn TransformExecutor<u16> + Send + Sync>;

fn eight_bit(profile: &ColorProfile) -> Option<Eight> {
    let srgb = ColorProfile::new_srgb();
    profile.create_transform_8bit(Layout::Rgba, &srgb, Layout::Rgba, TransformOptions::default()).ok()
}

fn sixteen_bit(profile: &ColorProfile) -> Option<Sixteen> {
    let srgb = ColorProfile::new_srgb();
    profile.create_transform_16bit(Layout::Rgba, &srgb, Layout::Rgba, TransformOptions::default()).ok()
}

fn grey_table(profile: &ColorProfile) -> Option<GreyTable> {
    let srgb = ColorProfile::new_srgb();
    let transform =
        profile.create_transform_8bit(Layout::Gray, &srgb, Layout::Rgb, TransformOptions::default()).ok()?;
    let greys: Vec<u8> = (0..=u8::MAX).collect();
    let mut shown = vec![0; greys.len() * 3];
    transform.transform(&greys, &mut shown).ok()?;
    Some(std::array::from_fn(|grey| shown[grey * 3]))
}

/// Whether a transform leaves a coarse cube of colours where they are: then the profile is sRGB
/// under whatever name, and its rounding would only blur.
fn changes_nothing(transform: &dyn TransformExecutor<u8>) -> Option<bool> {
    /// Nine steps a side: every 32nd value, and full.
    const STEPS: u32 = 9;
    /// Rounding alone may move a channel by this much.
    const ROUNDING: u8 = 1;
    let step = |at: u32| (at * 255 / (STEPS - 1)) as u8;
    let cube: Vec<u8> = (0..STEPS.pow(3))
        .flat_map(|n| [step(n % STEPS), step(n / STEPS % STEPS), step(n / STEPS / STEPS), u8::MAX])
        .collect();
    let mut shown = vec![0; cube.len()];
    transform.transform(&cube, &mut shown).ok()?;
    Some(cube.iter().zip(&shown).all(|(a, b)| a.abs_diff(*b) <= ROUNDING))
}

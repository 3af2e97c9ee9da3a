//! Embedded colour profiles are brought to sRGB.

use image::{DynamicImage, ImageBuffer, Luma, Rgb, RgbImage, Rgba, RgbaImage};
use moxcms::{ColorProfile, DataColorSpace};
use smallcast::error::{Error, Warning};
use smallcast::reference::open::{Limits, Picture, decode};

use crate::encode::{Beside, jpeg, png, webp};

/// Primaries and white as CIE 1931 x, y: red, green, blue, white.
type Primaries = [(f64, f64); 4];

/// SMPTE EG 432-1 primaries with the D65 white of Display P3.
const DISPLAY_P3: Primaries = [(0.680, 0.320), (0.265, 0.690), (0.150, 0.060), (0.3127, 0.3290)];
/// IEC 61966-2-1 (ITU-R BT.709).
const SRGB: Primaries = [(0.640, 0.330), (0.300, 0.600), (0.150, 0.060), (0.3127, 0.3290)];

type Matrix = [[f64; 3]; 3];

fn times(m: &Matrix, v: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|row| m[row].iter().zip(v).map(|(a, b)| a * b).sum())
}

fn inverse(m: &Matrix) -> Matrix {
    let minor = |r: usize, c: usize| {
        let at = |dr: usize, dc: usize| m[(r + dr) % 3][(c + dc) % 3];
        at(1, 1) * at(2, 2) - at(1, 2) * at(2, 1)
    };
    let determinant: f64 = (0..3).map(|c| m[0][c] * minor(0, c)).sum();
    std::array::from_fn(|r| std::array::from_fn(|c| minor(c, r) / determinant))
}

/// Linear RGB to CIE XYZ (SMPTE RP 177).
fn to_xyz(primaries: &Primaries) -> Matrix {
    let xyz = |(x, y): (f64, f64)| [x / y, 1.0, (1.0 - x - y) / y];
    let columns = [xyz(primaries[0]), xyz(primaries[1]), xyz(primaries[2])];
    let plain: Matrix = std::array::from_fn(|r| std::array::from_fn(|c| columns[c][r]));
    let weights = times(&inverse(&plain), xyz(primaries[3]));
    std::array::from_fn(|r| std::array::from_fn(|c| plain[r][c] * weights[c]))
}

/// The curve of IEC 61966-2-1, which Display P3 shares.
fn to_light(v: f64) -> f64 {
    if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
}

fn from_light(v: f64) -> f64 {
    if v <= 0.003_130_8 { v * 12.92 } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 }
}

/// A Display P3 colour as sRGB shows it; what lies outside is cut at the edge.
fn p3_as_srgb(colour: [u8; 3]) -> [f64; 3] {
    let light = colour.map(|c| to_light(f64::from(c) / 255.0));
    let srgb = times(&inverse(&to_xyz(&SRGB)), times(&to_xyz(&DISPLAY_P3), light));
    srgb.map(|v| from_light(v.clamp(0.0, 1.0)) * 255.0)
}

const COLOURS: [[u8; 3]; 8] = [
    [200, 120, 80],
    [90, 140, 100],
    [60, 70, 160],
    [230, 200, 150],
    [128, 128, 128],
    [255, 255, 255],
    [255, 0, 0],
    [20, 220, 40],
];

/// One colour a column, eight pixels wide so that a JPEG keeps them even.
fn stripes() -> RgbImage {
    RgbImage::from_fn(64, 8, |x, _| Rgb(COLOURS[x as usize / 8]))
}

fn with_profile(profile: &ColorProfile) -> Beside {
    Beside { profile: Some(profile.encode().expect("the profile can be written")), ..Beside::default() }
}

fn opened(bytes: &[u8]) -> Picture {
    decode("profiled", bytes, &Limits::default()).expect("the picture opens")
}

fn check_stripes(picture: &Picture, tolerance: f64, what: &str) {
    assert_eq!(picture.warnings, [], "{what}");
    for (column, colour) in COLOURS.iter().enumerate() {
        let found = picture.pixels().get_pixel(column as u32 * 8 + 4, 4).0;
        for (found, expected) in found.iter().zip(p3_as_srgb(*colour)) {
            let off = (f64::from(*found) - expected).abs();
            assert!(off <= tolerance, "{what} {colour:?}: {found} for {expected:.1}");
        }
        assert_eq!(found[3], 255, "{what}");
    }
}

#[test]
fn the_check_itself_moves_colours() {
    let [r, g, b] = p3_as_srgb([200, 120, 80]);
    assert!(r > 205.0 && g < 119.0 && b < 76.0, "{r} {g} {b}: wider primaries make stronger numbers");
}

#[test]
fn display_p3_is_brought_to_srgb_in_each_format() {
    let (picture, beside) =
        (DynamicImage::ImageRgb8(stripes()), with_profile(&ColorProfile::new_display_p3()));
    check_stripes(&opened(&png(&picture, &beside)), 1.5, "PNG");
    check_stripes(&opened(&webp(&picture, &beside)), 1.5, "WebP");
    check_stripes(&opened(&jpeg(&picture, &beside)), 3.0, "JPEG");
    let wide = DynamicImage::ImageRgb16(picture.to_rgb16());
    check_stripes(&opened(&png(&wide, &beside)), 1.0, "PNG of 16 bits");
}

#[test]
fn a_profile_leaves_alpha_alone() {
    let faint = RgbaImage::from_fn(256, 1, |x, _| Rgba([200, 120, 80, x as u8]));
    let beside = with_profile(&ColorProfile::new_display_p3());
    let eight = opened(&png(&DynamicImage::ImageRgba8(faint.clone()), &beside)).into_pixels();
    let sixteen = DynamicImage::ImageRgba16(DynamicImage::ImageRgba8(faint).to_rgba16());
    let sixteen = opened(&png(&sixteen, &beside)).into_pixels();
    for x in 0..256 {
        assert_eq!((eight.get_pixel(x, 0).0[3], sixteen.get_pixel(x, 0).0[3]), (x as u8, x as u8));
        assert!(eight.get_pixel(x, 0).0[0] > 205, "the colour was brought over");
    }
}

#[test]
fn an_srgb_profile_changes_no_pixel() {
    let picture = DynamicImage::ImageRgb8(crate::encode::drawing(64, 64));
    let opened = opened(&png(&picture, &with_profile(&ColorProfile::new_srgb())));
    assert_eq!((opened.warnings.clone(), opened.into_pixels()), (vec![], picture.to_rgba8()));
}

/// Gamma 1.8 and sRGB's curve both turn the stored grey into light; the shown grey is the one of
/// equal light.
#[test]
fn a_grey_picture_follows_its_grey_profile() {
    let greys = ImageBuffer::from_fn(256, 1, |x, _| Luma([x as u8]));
    let beside = with_profile(&ColorProfile::new_gray_with_gamma(1.8));
    let picture = opened(&png(&DynamicImage::ImageLuma8(greys), &beside));
    assert_eq!(picture.warnings, []);
    for (x, _, pixel) in picture.pixels().enumerate_pixels() {
        let expected = from_light((f64::from(x) / 255.0).powf(1.8)) * 255.0;
        assert!((f64::from(pixel.0[0]) - expected).abs() <= 2.0, "{x}: {pixel:?} for {expected:.1}");
        assert_eq!(pixel.0, [pixel.0[0], pixel.0[0], pixel.0[0], 255]);
    }
}

#[test]
fn a_profile_that_does_not_fit_is_left_out_and_it_is_said() {
    let picture = DynamicImage::ImageRgb8(stripes());
    let mut press = ColorProfile::new_srgb();
    press.color_space = DataColorSpace::Cmyk;
    let whole = with_profile(&ColorProfile::new_display_p3());
    let cut = whole.profile.as_ref().map(|bytes| bytes[..bytes.len() / 2].to_vec());
    let cases = [
        ("greys for colours", with_profile(&ColorProfile::new_gray_with_gamma(2.2))),
        ("press inks", with_profile(&press)),
        ("nonsense", Beside { profile: Some(b"no profile at all".to_vec()), ..Beside::default() }),
        ("cut off", Beside { profile: cut, ..Beside::default() }),
    ];
    for (what, beside) in cases {
        let opened = opened(&png(&picture, &beside));
        assert_eq!(opened.warnings, [Warning::ProfileUnread], "{what}");
        assert_eq!(opened.into_pixels(), picture.to_rgba8(), "{what}");
    }
}

/// Profiles whose wrapping in the file is broken: decoders pass over them in silence.
#[test]
fn a_profile_that_cannot_be_fetched_is_said_too() {
    let picture = DynamicImage::ImageRgb8(stripes());
    let beside = with_profile(&ColorProfile::new_display_p3());
    let place = |bytes: &[u8], name: &[u8]| {
        bytes.windows(name.len()).position(|w| w == name).expect("the profile is in the file")
    };
    let mut jpeg = jpeg(&picture, &beside);
    let count = place(&jpeg, b"ICC_PROFILE") + 13;
    jpeg[count] += 1; // one more part is announced than there are
    assert_eq!(opened(&jpeg).warnings, [Warning::ProfileUnread]);
    let mut png = png(&picture, &beside);
    let packed = place(&png, b"iCCP") + 20;
    png[packed] ^= 0xFF;
    assert_eq!(opened(&png).warnings, [Warning::ProfileUnread]);
}

/// A profile unpacks a thousandfold: it counts beside the pixels before it is unpacked, twice, as it is held.
#[test]
fn a_profile_counts_in_the_memory_that_opening_may_take() {
    let picture = DynamicImage::ImageRgb8(stripes());
    let profile = |bytes: usize| Beside { profile: Some(vec![0; bytes]), ..Beside::default() };
    let pixels = u64::from(picture.width() * picture.height()) * 7;
    let limits = Limits { bytes: pixels + (2 << 20), ..Limits::default() };
    let fits = png(&picture, &profile(1 << 20));
    assert!(fits.len() < 1 << 14, "it is packed: {}", fits.len());
    assert_eq!(decode("packed", &fits, &limits).unwrap().warnings, [Warning::ProfileUnread]);
    for more in [1, 1 << 20, 64 << 20] {
        match decode("packed", &png(&picture, &profile((1 << 20) + more)), &limits) {
            Err(Error::DamagedPicture { why, .. }) => assert!(why.contains("colour profile"), "{why}"),
            other => panic!("{more}: {:?}", other.map(|picture| picture.warnings)),
        }
    }
}

//! Figures and the reference pictures they name.

use std::path::{Path, PathBuf};

use image::RgbaImage;
use smallcast::error::{Error, Result, Warning};
use smallcast::figure::Figure;
use smallcast::reference::{Limits, open};

use super::figures::Opened;

/// The picture a figure was drafted from, beside the figure's file.
pub fn own_picture(figure: &Figure, file: &Path) -> Result<PathBuf> {
    match figure.source() {
        Some(source) => Ok(file.parent().unwrap_or(Path::new("")).join(&source.picture)),
        None => Err(Error::FigureFile {
            file: file.display().to_string(),
            why: "the figure names no reference picture".into(),
            right: "add a line reference = { picture = \"FILE\" } to it, or name pictures beside it where a command takes them".into(),
        }),
    }
}

/// The reference pictures some figures name: what is read is never written over.
pub fn pictures_of(opened: &[Opened]) -> Vec<PathBuf> {
    opened.iter().filter_map(|opened| own_picture(&opened.figure, &opened.file).ok()).collect()
}

/// The part of its reference picture that a figure was drafted from, small enough to print or show; where it
/// names none, a warning.
///
/// # Errors
/// As [`open::open`].
pub fn reference_of(opened: &Opened, warnings: &mut Vec<Warning>) -> Result<Option<RgbaImage>> {
    let Some(source) = opened.figure.source() else {
        warnings.push(Warning::NoReference { figure: opened.figure.name().into() });
        return Ok(None);
    };
    let picture = open::open(&own_picture(&opened.figure, &opened.file)?, &Limits::default())?;
    warnings.extend(picture.warnings);
    let pixels = picture.pixels;
    let [x, y, width, height] = source.crop.unwrap_or([0, 0, pixels.width(), pixels.height()]);
    let (x, y) = (x.min(pixels.width() - 1), y.min(pixels.height() - 1));
    // A part that no longer lies in the picture is brought into it.
    let (width, height) = (width.clamp(1, pixels.width() - x), height.clamp(1, pixels.height() - y));
    Ok(Some(shrunk(&image::imageops::crop_imm(&pixels, x, y, width, height).to_image())))
}

/// A picture of as many pixels as can be seen of it.
fn shrunk(picture: &RgbaImage) -> RgbaImage {
    /// 46 mm at 350 pixels to the inch.
    const MOST: u32 = 640;
    let (width, height) = picture.dimensions();
    if width.max(height) <= MOST {
        return picture.clone();
    }
    let scale = f64::from(MOST) / f64::from(width.max(height));
    let side = |pixels: u32| ((f64::from(pixels) * scale).round() as u32).max(1);
    image::imageops::thumbnail(picture, side(width), side(height))
}

/// A picture's path as it is found from beside the figure's file: a bare name in the same folder, a
/// full path elsewhere.
pub fn beside(picture: &Path, figure: &Path) -> String {
    let folder = |file: &Path| match file.parent() {
        Some(folder) if folder != Path::new("") => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    let same = match (folder(picture).canonicalize(), folder(figure).canonicalize()) {
        (Ok(one), Ok(other)) => one == other,
        _ => false,
    };
    let name = picture.file_name().map(|name| name.to_string_lossy().into_owned());
    match name {
        Some(name) if same => name,
        _ => picture.canonicalize().unwrap_or_else(|_| picture.to_owned()).display().to_string(),
    }
}

//! Figures and the reference pictures they name.

use std::borrow::Cow;
use std::path::{Component, Path, PathBuf};

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
            right: format!(
                "smallcast edit {} --do 'reference \"FILE\"', or name pictures where a command takes them",
                super::report::typed(file)
            ),
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
    warnings.extend_from_slice(&picture.warnings);
    let pixels = picture.into_pixels();
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

/// A file's path as it is found from beside the figure's file, so that both can move together: a bare name in the same
/// folder, else up to the folder they share and down again. Absolute only where they share none, as on two drives.
pub fn beside(picture: &Path, figure: &Path) -> String {
    let folder = |file: &Path| match file.parent() {
        Some(folder) if folder != Path::new("") => folder.canonicalize(),
        _ => Path::new(".").canonicalize(),
    };
    let (Some(name), Ok(from), Ok(to)) = (picture.file_name(), folder(figure), folder(picture)) else {
        return picture.display().to_string();
    };
    // The picture's own name stays, also where it is a link.
    between(&from, &to.join(name)).unwrap_or_else(|| to.join(name).display().to_string())
}

/// The way from a folder to a file, both absolute; none where they have no root in common. Folders are parted by `/`,
/// which every system reads.
fn between(folder: &Path, file: &Path) -> Option<String> {
    let shared = folder.components().zip(file.components()).take_while(|(one, other)| one == other).count();
    let has_one_root =
        shared > 0 && folder.components().skip(shared).all(|part| matches!(part, Component::Normal(_)));
    if !has_one_root {
        return None;
    }
    let up = folder.components().skip(shared).map(|_| "..".into());
    let down = file.components().skip(shared).map(|part| part.as_os_str().to_string_lossy());
    Some(up.chain(down).collect::<Vec<Cow<str>>>().join("/"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_to_a_picture_goes_up_to_the_folder_both_share() {
        let way = |folder: &str, file: &str| between(Path::new(folder), Path::new(file));
        let cases = [
            ("/street", "/street/anna.png", "anna.png"),
            ("/street", "/street/old/anna.png", "old/anna.png"),
            ("/street/figures", "/street/old/anna.png", "../old/anna.png"),
            ("/street/figures/new", "/anna.png", "../../../anna.png"),
            ("/", "/anna.png", "anna.png"),
            ("/street", "/streets/anna.png", "../streets/anna.png"),
        ];
        for (folder, file, wanted) in cases {
            assert_eq!(way(folder, file).as_deref(), Some(wanted), "{folder} {file}");
        }
        // What has another root cannot be reached.
        assert_eq!(way("street", "/anna.png"), None);
    }
}

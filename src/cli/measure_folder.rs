//! The maker's own finished figures, to score drafts of their references against.

use std::fs;
use std::path::{Path, PathBuf};

use image::imageops;
use smallcast::draft::{Draft, DraftOptions, Size, draft};
use smallcast::error::{Error, Result};
use smallcast::figure::Figure;
use smallcast::grid::Grid;
use smallcast::reference::{Area, Limits, Picture, open};
use smallcast::score::{KnownFigure, Plain, draft_plainly, score, with_confidence};
use smallcast::tray::Tray;

use super::measure_run::{PLAIN, Trialled, timed};
use super::report;

/// What the name of a figure file ends in.
const ENDING: &str = smallcast::figure::ENDING;

/// A figure the maker has finished, and the picture it is of.
pub struct OwnFigure {
    /// Its beads, under its file's name.
    pub known: KnownFigure,
    /// The picture, as it is found from here.
    pub picture: PathBuf,
    file: PathBuf,
    crop: Option<[u32; 4]>,
}

/// Every figure of a folder that names its reference, by file name. Those that do not are named on standard
/// error.
///
/// # Errors
/// [`Error::Unreadable`] for the folder; those of [`Figure::open`] and [`KnownFigure::of`];
/// [`Error::BadValue`] if no figure is left.
pub fn figures(folder: &Path, tray: &Tray) -> Result<Vec<OwnFigure>> {
    let files = figure_files(folder)?;
    if files.is_empty() {
        return Err(nothing(folder, "no figure file is in it"));
    }
    let mut own = Vec::new();
    for file in files {
        own.extend(own_figure(file, tray)?);
    }
    if own.is_empty() {
        return Err(nothing(folder, "none of its figures names a reference picture"));
    }
    Ok(own)
}

/// A folder that holds nothing to measure.
pub fn nothing(folder: &Path, why: &str) -> Error {
    Error::BadValue {
        option: "FOLDER",
        value: folder.display().to_string(),
        why: why.into(),
        right: format!(
            "draft into it with smallcast draft PICTURE --save NAME{ENDING}, and correct the beads"
        ),
    }
}

fn figure_files(folder: &Path) -> Result<Vec<PathBuf>> {
    let unreadable = |e: std::io::Error| Error::Unreadable {
        file: folder.display().to_string(),
        why: if folder.is_file() { "it is not a folder".into() } else { e.kind().to_string() },
    };
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).map_err(unreadable)? {
        let file = entry.map_err(unreadable)?.path();
        if file.to_string_lossy().ends_with(ENDING) && file.is_file() {
            files.push(file);
        }
    }
    files.sort();
    Ok(files)
}

/// The figure of a file, unless there is nothing to compare.
fn own_figure(file: PathBuf, tray: &Tray) -> Result<Option<OwnFigure>> {
    let shown = file.display().to_string();
    let figure = Figure::open(&file)?;
    let Some(source) = figure.source() else {
        report::of_file("left out", &shown, "it names no reference picture");
        return Ok(None);
    };
    let mut known = KnownFigure::of(&shown, &figure, tray)?;
    if known.beads.iter().all(|(_, _, bead)| bead.is_none()) {
        report::of_file("left out", &shown, "it has no beads");
        return Ok(None);
    }
    let name = file.file_name().map_or(shown.clone(), |name| name.to_string_lossy().into_owned());
    known.name = name.trim_end_matches(ENDING).into();
    let picture = file.parent().unwrap_or(Path::new("")).join(&source.picture);
    Ok(Some(OwnFigure { known, picture, crop: source.crop, file }))
}

impl OwnFigure {
    /// The files it is read from.
    pub fn read_from(&self) -> [&Path; 2] {
        [&self.file, &self.picture]
    }

    /// Drafts the reference as the figure was drafted, and scores that against the figure.
    ///
    /// # Errors
    /// Those of [`open::open`]; a reference that gave no draft is no error.
    pub fn draft(&self, baseline: bool, tray: &Tray) -> Result<Trialled> {
        let picture = open::open(&self.picture, &Limits::default())?;
        let (found, crop, seconds) = self.found(&picture, tray);
        let none = || Grid::from_fn(0, 0, |_, _| None);
        let beads = found.as_ref().map_or_else(|_| none(), with_confidence);
        Ok(Trialled {
            figure: self.known.name.clone(),
            manner: None,
            seed: None,
            scores: vec![score(&self.known.beads, &beads, tray)],
            apart: None,
            fitted: None,
            seconds,
            failed: found.err().map(|error| error.to_string()),
            plain: baseline
                .then(|| PLAIN.map(|method| self.mend_plainly(method, &picture, crop, tray) as f64)),
            sheet: None,
            setting: None,
        })
    }

    /// What was drafted, or nothing where the picture could not be opened, which is said on standard error.
    pub fn unless_left_out(&self, drafted: Result<Trialled>) -> Option<Trialled> {
        drafted
            .inspect_err(|error| {
                report::of_file("left out", &self.file.display().to_string(), &error.to_string());
            })
            .ok()
    }

    /// The draft, the crop it was made with, and the seconds it took.
    ///
    /// The figure's file says which part of the picture was used, but not whether the maker named it or it
    /// was found. Where it is found in the whole picture, that is drafted: a crop so close hides the
    /// ground, and the draft would not be the one the maker began with.
    fn found(&self, picture: &Picture, tray: &Tray) -> (Result<Draft>, Option<[u32; 4]>, f64) {
        let name = self.picture.display().to_string();
        let (whole, seconds) = timed(|| draft(&name, picture, &self.options(None), tray));
        match self.crop {
            Some(crop) if !whole.as_ref().is_ok_and(|found| self.is_near(found.reference.used(), crop)) => {
                let (found, seconds) = timed(|| draft(&name, picture, &self.options(Some(crop)), tray));
                (found, Some(crop), seconds)
            }
            _ => (whole, None, seconds),
        }
    }

    /// Whether two parts of a picture are the same except for less than a bead on each side.
    fn is_near(&self, one: [u32; 4], other: [u32; 4]) -> bool {
        let bead = other[3] / self.known.rows().max(1) as u32;
        let sides =
            |[x, y, width, height]: [u32; 4]| [x, y, x.saturating_add(width), y.saturating_add(height)];
        sides(one).into_iter().zip(sides(other)).all(|(one, other)| one.abs_diff(other) <= bead)
    }

    fn options(&self, crop: Option<[u32; 4]>) -> DraftOptions {
        let size = self.known.zones.map_or(Size::Rows(self.known.rows()), Size::Zones);
        let crop = crop.map(|crop| {
            let [x, y, width, height] = crop.map(f64::from);
            Area { x, y, width, height }
        });
        DraftOptions { size, crop, ..DraftOptions::default() }
    }

    fn mend_plainly(&self, method: Plain, picture: &Picture, crop: Option<[u32; 4]>, tray: &Tray) -> usize {
        let whole = picture.pixels();
        let part = crop.map(|[x, y, width, height]| {
            let (x, y) = (x.min(whole.width() - 1), y.min(whole.height() - 1));
            let (width, height) = (width.clamp(1, whole.width() - x), height.clamp(1, whole.height() - y));
            imageops::crop_imm(whole, x, y, width, height).to_image()
        });
        let beads = draft_plainly(method, part.as_ref().unwrap_or(whole), self.known.rows(), tray);
        score(&self.known.beads, &beads.map(|_, _, bead| bead.map(|bead| (bead, 0.0))), tray).mend
    }
}

//! `smallcast tray --photo`: the maker's own beads, read from a photograph of them.

use std::io::Read;
use std::path::{Path, PathBuf};

use smallcast::error::{Error, Result};
use smallcast::reference::{Corners, Limits, Picture, open};
use smallcast::seen_beads::{OwnTray, SeenBeads, SeenOptions, names_of, read};
use smallcast::sheet::{png, seen_beads_picture};
use smallcast::tray::MOST_BYTES;

use super::home::opened;
use super::output;
use super::progress::Progress;
use super::report;
use super::tray_photo_json::Document;
use super::tray_photo_text::View;
use super::{check_target, save_all};

/// What of a tray is read from a photograph.
#[derive(Debug, clap::Args)]
pub struct PhotoArguments {
    /// Read your own beads from a photograph: laid in rows on white paper, apart from one another, beside a grey card
    #[arg(long, value_name = "PICTURE")]
    photo: Option<PathBuf>,
    /// The beads' names, one a line, row by row from the left
    #[arg(long, value_name = "FILE", requires = "photo")]
    names: Option<PathBuf>,
    /// Save the tray, with the uncertainty of each colour (.csv)
    #[arg(long, value_name = "FILE", requires_all = ["photo", "names"])]
    save: Option<PathBuf>,
    /// Save a picture to check by eye: each bead numbered, as photographed and as read (.png)
    #[arg(long, value_name = "FILE", requires = "photo")]
    picture: Option<PathBuf>,
    /// An older tray to compare with: how far each bead's colour has moved; its counts, prices and notes are
    /// kept
    #[arg(long, value_name = "FILE", requires_all = ["photo", "names"])]
    renew: Option<PathBuf>,
    /// The corners of the paper, if the wrong sheet was found: x and y in pixels of the upright picture
    #[arg(long, value_name = "X,Y,X,Y,X,Y,X,Y", requires = "photo")]
    corners: Option<String>,
    /// The grey card's lightness L*, if it is known (51.6 for a card of 18 to 20 %): makes all lightnesses
    /// more certain
    #[arg(long, value_name = "L", requires = "photo", allow_negative_numbers = true)]
    patch: Option<f64>,
    /// Overwrite existing files
    #[arg(long, requires = "photo")]
    replace: bool,
}

/// What is known of a photograph once it is read.
pub struct Answer<'a> {
    pub photo: &'a Path,
    pub seen: &'a SeenBeads,
    pub names: &'a [String],
    /// There where names were given.
    pub own: Option<&'a OwnTray>,
    pub saved: Option<&'a Path>,
    pub picture: Option<&'a Path>,
    pub renewed: Option<&'a Path>,
}

impl PhotoArguments {
    /// Whether a photograph is named.
    pub fn is_asked(&self) -> bool {
        self.photo.is_some()
    }

    /// Reads it, saves what was asked for, and prints what was read.
    pub fn execute(&self, json: bool) -> Result<()> {
        let Some(photo) = self.photo.as_deref() else { return Ok(()) };
        self.check_targets(photo)?;
        let options = self.options()?;
        let (names_file, names) = self.named()?;
        let older = self.renew.as_deref().map(opened).transpose()?;
        let progress = Progress::start("opening the photograph");
        let picture = open::open(photo, &Limits::default())?;
        options.corners.map_or(Ok(()), |corners| corners.check_within(picture.size()))?;
        progress.next("finding the beads");
        let file = photo.display().to_string();
        let seen = read(&file, &picture, &options)?;
        let own = (!names.is_empty())
            .then(|| OwnTray::of((&file, &seen), (&names_file, &names), older.as_ref()))
            .transpose()?;
        progress.next("drawing what was read");
        self.save(&picture, &seen, &names, own.as_ref())?;
        progress.done();
        if !json {
            picture.warnings.iter().for_each(report::warning);
        }
        let answer = Answer {
            photo,
            seen: &seen,
            names: &names,
            own: own.as_ref(),
            saved: self.save.as_deref(),
            picture: self.picture.as_deref(),
            renewed: self.renew.as_deref(),
        };
        if json {
            return output::print_json(&Document::of(&answer, &picture.warnings));
        }
        output::print(&View::new(&answer).text())?;
        report::next(&self.next(photo));
        Ok(())
    }

    fn check_targets(&self, photo: &Path) -> Result<()> {
        let read: Vec<&Path> = [Some(photo), self.names.as_deref()].into_iter().flatten().collect();
        if let Some(save) = &self.save {
            check_target("--save", save, ".csv", &read, self.replace)?;
        }
        if let Some(picture) = &self.picture {
            check_target("--picture", picture, ".png", &read, self.replace)?;
        }
        Ok(())
    }

    fn options(&self) -> Result<SeenOptions> {
        /// Darker than this nothing grey is told from black; lighter than white nothing is.
        const LIGHTNESS: std::ops::RangeInclusive<f64> = 20.0..=90.0;
        if let Some(lightness) = self.patch.filter(|lightness| !LIGHTNESS.contains(lightness)) {
            return Err(Error::BadValue {
                option: "--patch",
                value: lightness.to_string(),
                why: "this is not the lightness of a grey".into(),
                right: "write the card's L* from 20 to 90, such as 51.6, or leave it out".into(),
            });
        }
        let corners = self.corners.as_deref().map(Corners::parse).transpose()?;
        Ok(SeenOptions { corners, patch: self.patch })
    }

    /// The names and their file; none where no file is named.
    fn named(&self) -> Result<(String, Vec<String>)> {
        let Some(path) = self.names.as_deref() else { return Ok((String::new(), Vec::new())) };
        let file = path.display().to_string();
        let unreadable = |why: std::io::Error| Error::Unreadable { file: file.clone(), why: why.to_string() };
        let mut bytes = Vec::new();
        let opened = std::fs::File::open(path).map_err(unreadable)?;
        // As much as a tray file may have is more than its names take.
        opened.take(MOST_BYTES).read_to_end(&mut bytes).map_err(unreadable)?;
        let names = names_of(&file, &bytes)?;
        Ok((file, names))
    }

    fn save(
        &self,
        picture: &Picture,
        seen: &SeenBeads,
        names: &[String],
        own: Option<&OwnTray>,
    ) -> Result<()> {
        let mut files: Vec<(&Path, Vec<u8>)> = Vec::new();
        if let (Some(target), Some(own)) = (self.save.as_deref(), own) {
            files.push((target, own.tray.written(&self.remarks(own)).into_bytes()));
        }
        if let Some(target) = self.picture.as_deref() {
            files.push((target, png(&seen_beads_picture(picture.pixels(), seen, names))));
        }
        save_all(&files, self.replace)
    }

    /// What stands at the head of the tray file.
    fn remarks(&self, own: &OwnTray) -> Vec<String> {
        let photo = self.photo.as_deref().map(|photo| report::plain(&photo.display().to_string()));
        let mut remarks = vec![format!("read from {}", photo.unwrap_or_default())];
        let left_out = own.left_out.iter();
        remarks.extend(left_out.map(|(name, why)| format!("{name} ({}): no colour was read", why.word())));
        remarks
    }

    fn next(&self, photo: &Path) -> String {
        let photo = report::typed(photo);
        match (&self.names, &self.save) {
            (_, Some(save)) => format!("smallcast tray {} --alike", report::typed(save)),
            (Some(names), None) => {
                format!("smallcast tray --photo {photo} --names {} --save mybeads.csv", report::typed(names))
            }
            (None, None) => format!("smallcast tray --photo {photo} --names NAMES.txt --save mybeads.csv"),
        }
    }
}

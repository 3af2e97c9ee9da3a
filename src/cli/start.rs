//! `smallcast start`: a folder for a cast, laid out to be filled.

use std::fs;
use std::path::{Path, PathBuf};

use serde::Serialize;
use smallcast::cast::{Beginning, FILE, GUIDE_FILE, TRAY_FILE, laid_out, name_fault};
use smallcast::error::{Error, Result};
use smallcast::plan::HeightClass;
use smallcast::tray::Tray;

use super::output::{self, Paint};
use super::table::{headline, indented};
use super::{report, save_all};

/// The layout of the JSON document; grows when a reader would have to change.
const FORMAT: u32 = 1;

/// Begin a cast: a folder with what its figures share, a tray and a guide
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The folder, which is made if needed; nothing in it is overwritten
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
    /// The cast's name; without it, the folder's
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

/// What was laid out.
#[derive(Serialize)]
struct Document<'a> {
    format: u32,
    name: &'a str,
    folder: String,
    cast: String,
    tray: String,
    guide: String,
    next: String,
}

impl Arguments {
    /// Lays the folder out, all of it or nothing.
    pub fn execute(&self) -> Result<()> {
        let name = self.cast_name()?;
        self.lay(&laid_out(&name)?)?;
        let file = |name: &str| self.folder.join(name);
        let figure = file("NAME.figure.toml");
        let next = format!("smallcast draft PICTURE --save {}", report::typed(&figure));
        if self.json {
            let shown = |name| file(name).display().to_string();
            return output::print_json(&Document {
                format: FORMAT,
                name: &name,
                folder: self.folder.display().to_string(),
                cast: shown(FILE),
                tray: shown(TRAY_FILE),
                guide: shown(GUIDE_FILE),
                next,
            });
        }
        output::print(&self.report(&name))?;
        report::next(&next);
        Ok(())
    }

    fn report(&self, name: &str) -> String {
        let rows = HeightClass::GUIDE.rows.total();
        let lines = [
            (FILE, "what the figures share; all its keys are shown".to_owned()),
            (TRAY_FILE, format!("{} beads to begin with: make the list yours", Tray::embedded().len())),
            (GUIDE_FILE, format!("the guide, {rows} rows: all others are measured against it")),
        ];
        let title = report::plain(&format!("{name}: a cast in {}", self.folder.display()));
        let mut text = format!("{}\n\n", headline(&title, Paint::for_stdout(), output::width()));
        for (file, what) in lines {
            text.push_str(&format!("{}\n", indented(&format!("{file:<18} {what}"), output::width())));
        }
        text
    }

    /// The files are written together; a folder that was made for them goes again where they cannot be.
    fn lay(&self, beginning: &Beginning) -> Result<()> {
        let names = [FILE, TRAY_FILE, GUIDE_FILE].map(|name| self.folder.join(name));
        let texts = [&beginning.cast, &beginning.tray, &beginning.guide];
        if let Some(there) = names.iter().find(|name| fs::symlink_metadata(name).is_ok()) {
            return Err(self.refused(
                format!("{} already exists", there.display()),
                format!(
                    "name another folder, or go on with this one: smallcast check {}",
                    report::typed(&self.folder)
                ),
            ));
        }
        let is_new = fs::symlink_metadata(&self.folder).is_err();
        if is_new {
            let refused = |e: std::io::Error| Error::Unwritable {
                file: self.folder.display().to_string(),
                why: match e.kind() {
                    std::io::ErrorKind::NotFound => "the folder it would be in does not exist".into(),
                    kind => kind.to_string(),
                },
            };
            fs::create_dir(&self.folder).map_err(refused)?;
        } else if !self.folder.is_dir() {
            return Err(self.refused("it is not a folder".into(), "name a folder, which may be new".into()));
        }
        let files: Vec<(&Path, Vec<u8>)> =
            names.iter().map(PathBuf::as_path).zip(texts.map(|text| text.clone().into_bytes())).collect();
        save_all(&files, false).inspect_err(|_| {
            if is_new {
                let _ = fs::remove_dir(&self.folder);
            }
        })
    }

    fn refused(&self, why: String, right: String) -> Error {
        Error::BadValue { option: "FOLDER", value: self.folder.display().to_string(), why, right }
    }

    fn cast_name(&self) -> Result<String> {
        let name = self.name.clone().unwrap_or_else(|| called(&self.folder));
        match name_fault(&name) {
            None => Ok(name),
            Some((why, right)) => Err(Error::BadValue {
                option: "--name",
                value: name,
                why,
                right: right.unwrap_or("give it with --name, such as 'The Early Street'".into()),
            }),
        }
    }
}

/// A cast's name from its folder's: `early-street` is Early street.
fn called(folder: &Path) -> String {
    let real = folder.canonicalize().unwrap_or_else(|_| folder.to_owned());
    let name = real.file_name().unwrap_or_default().to_string_lossy().replace(['-', '_'], " ");
    let mut letters = name.trim().chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

//! What the page knows between two requests: the maker's folder and tray, and what was read of pictures.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use hyper::StatusCode;
use serde::Serialize;

use super::answer::{self, Answer, Refusal};
use super::desk::{self, Change, Desk, Difference, Opened, Unmade};
use super::drafting::{self, Drafted, Last};
use super::folder::{FIGURE, Folder, NAMED_FIGURE};
use super::guide::Guide;
use super::making::Wishes;
use super::pictures::Pictures;
use super::reading::{ReadAgain, Shown};
use super::readings::{Key, Readings, Stamp, State, held};
use super::shared::Shared;
use super::standing::check_name;
use super::table::{Beside, Picture as ReferencePicture, Standing, Table};
use super::vision::Visions;
use crate::draft::{Draft, DraftOptions};
use crate::error::{Error, Result};
use crate::figure::{Edit, Figure};
use crate::reference::{Limits, Picture, open};
use crate::sheet::quick_png;

/// What the maker started the page on.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum Start {
    /// A figure.
    Figure {
        /// Its file.
        file: String,
    },
    /// A folder of figures.
    Shelf,
    /// A picture to draft from.
    Picture {
        /// Its file.
        file: String,
        /// Its pixels across and down.
        size: (u32, u32),
        /// What the command line asked of the draft.
        draft: Box<Wishes>,
    },
}

/// The state of one start of the page.
pub struct Session {
    /// The maker's folder.
    pub folder: Folder,
    /// The maker's tray, and what else the figures share.
    pub shared: Shared,
    guide: Guide,
    start: Mutex<Start>,
    visions: Visions,
    readings: Readings,
    desk: Desk,
    pictures: Pictures,
    last: Last,
}

/// An outcome the page is told of.
pub type Told<T> = std::result::Result<T, Refusal>;

impl Session {
    /// A session on what the maker named: a figure, a folder, or a picture.
    ///
    /// # Errors
    /// [`Error::Unreadable`], [`Error::FigureFile`], and as [`open::open`].
    pub fn new(named: &Path, shared: Shared, wishes: Wishes) -> Result<Self> {
        let unreadable = |why: String| Error::Unreadable { file: named.display().to_string(), why };
        let real = named.canonicalize().map_err(|e| unreadable(e.to_string()))?;
        let session = |folder: &Path, start| -> Result<Self> {
            Ok(Self {
                folder: Folder::new(folder)?,
                guide: Guide::of(shared.guide.as_ref()),
                visions: Visions::of(&shared.tray),
                shared: shared.clone(),
                start: Mutex::new(start),
                readings: Readings::default(),
                desk: Desk::with_tray(shared.tray_file.clone()),
                pictures: Pictures::default(),
                last: Last::default(),
            })
        };
        if real.is_dir() {
            let session = session(&real, Start::Shelf)?;
            let has_some = !session.folder.figures()?.is_empty() || !session.folder.pictures().is_empty();
            return match has_some {
                true => Ok(session),
                false => Err(Error::BadValue {
                    option: "FOLDER",
                    value: named.display().to_string(),
                    why: "neither figure nor picture is in it".into(),
                    right: format!(
                        "name a folder with files that end in {FIGURE}, or a picture to draft from"
                    ),
                }),
            };
        }
        let folder = real.parent().unwrap_or(&real);
        let name = real.file_name().and_then(|name| name.to_str());
        let file = name.ok_or_else(|| unreadable("its name is not valid UTF-8".into()))?.to_owned();
        if file.ends_with(NAMED_FIGURE) {
            Figure::open(named)?;
            let session = session(folder, Start::Figure { file: file.clone() })?;
            return Ok(Self { folder: session.folder.naming(&file), ..session });
        }
        wishes.options(&shared.classes, shared.scale())?;
        let picture = open::open(named, &Limits::default())?;
        let size = picture.size();
        let pictures = Pictures::holding(&real, picture);
        let start = Start::Picture { file, size, draft: Box::new(wishes) };
        Ok(Self { pictures, ..session(folder, start)? })
    }

    /// What the page begins with.
    pub fn start(&self) -> Answer {
        /// A height class and its bead rows.
        #[derive(Serialize)]
        struct Class<'a> {
            name: &'a str,
            rows: usize,
        }
        #[derive(Serialize)]
        struct Document<'a> {
            #[serde(flatten)]
            start: &'a Start,
            folder: String,
            classes: Vec<Class<'a>>,
            /// Millimetres from bead to bead, where the cast says it.
            pitch: Option<f64>,
        }
        let root = self.folder.root();
        let folder = root.file_name().unwrap_or(root.as_os_str()).to_string_lossy().into_owned();
        let pitch = self.shared.pitch.map(|pitch| pitch.0);
        let classes = self.shared.classes.iter();
        let classes = classes.map(|class| Class { name: &class.name, rows: class.rows.total() }).collect();
        answer::json(StatusCode::OK, &Document { start: &held(&self.start), folder, classes, pitch })
    }

    /// A figure, as it is on disk.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn open(&self, name: &str) -> Told<Opened> {
        self.desk.open(&self.folder.figure_file(name)?, name)
    }

    /// The state of a figure on disk, for a page that shows the state `shown`.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn version(&self, name: &str, shown: &str) -> Told<Answer> {
        let on_disk = self.desk.version(&self.folder.figure_file(name)?, name, shown)?;
        Ok(answer::json(StatusCode::OK, &on_disk))
    }

    /// Changes a figure of which the page shows the state `version`; it is on disk when this returns. Where the
    /// figure on disk is another one, both are shown and none is written.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn change(&self, name: &str, version: &str, change: &Change) -> Told<Answer> {
        #[derive(Serialize)]
        struct Both<'a> {
            table: Table<'a>,
            differences: Vec<Difference>,
        }
        #[derive(Serialize)]
        struct Document<'a> {
            error: Refusal,
            changed: Both<'a>,
        }
        let path = self.folder.figure_file(name)?;
        self.check_reference(name, change)?;
        self.check_name(&path, change)?;
        let at_hand = desk::at_hand(&self.folder, &self.shared);
        match self.desk.change((&path, name), version, change, &at_hand) {
            Ok(opened) => Ok(self.table(&opened)),
            Err(Unmade::Refused(refusal)) => Err(refusal),
            Err(Unmade::Changed(opened, differences)) => {
                let error = Refusal::new(
                    StatusCode::CONFLICT,
                    format!("{name} was changed by another program or in another window"),
                    "choose between its figure and yours: nothing was written over",
                );
                let table = |table: Table| {
                    let changed = Both { table, differences };
                    answer::json(StatusCode::CONFLICT, &Document { error, changed })
                };
                Ok(self.laid(&opened, table))
            }
        }
    }

    /// A picture that a change names lies in the folder.
    fn check_reference(&self, name: &str, change: &Change) -> Told<()> {
        let Change::Lines(lines) = change else { return Ok(()) };
        lines.iter().try_for_each(|line| match Edit::parse(line) {
            Ok(Edit::Reference { picture }) => {
                let beside = Path::new(name).with_file_name(picture);
                self.folder.picture(&beside.to_string_lossy()).map(|_| ())
            }
            _ => Ok(()),
        })
    }

    /// A name that a change gives is no other figure's of the cast.
    fn check_name(&self, path: &Path, change: &Change) -> Told<()> {
        let Change::Lines(lines) = change else { return Ok(()) };
        lines.iter().try_for_each(|line| match Edit::parse(line) {
            Ok(Edit::Name { name }) => check_name(&self.folder, &self.shared, &name, path),
            _ => Ok(()),
        })
    }

    /// The table of a figure, as it is on disk.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn figure(&self, name: &str) -> Told<Answer> {
        Ok(self.table(&self.open(name)?))
    }

    /// Lays an opened figure on the table.
    pub fn table(&self, opened: &Opened) -> Answer {
        self.laid(opened, |table| answer::json(StatusCode::OK, &table))
    }

    fn laid(&self, opened: &Opened, tell: impl FnOnce(Table) -> Answer) -> Answer {
        let reading;
        let seen = match self.reading(opened) {
            Err(why) => ReferencePicture::None(why, self.folder.pictures()),
            Ok((_, State::Pending)) => ReferencePicture::Pending,
            Ok((_, State::Failed(why))) => ReferencePicture::None(Some(why), self.folder.pictures()),
            Ok((_, State::Done(done))) => {
                reading = done;
                ReferencePicture::Read(&reading)
            }
        };
        tell(Table::new(&opened.figure, &opened.standing, self.beside(), &seen))
    }

    /// What a figure is laid beside.
    fn beside(&self) -> Beside<'_> {
        Beside { shared: &self.shared, guide: &self.guide, visions: &self.visions }
    }

    /// What is known of a figure's picture, which is begun to be read where nothing is; or why there is none.
    fn reading(&self, opened: &Opened) -> std::result::Result<(Key, State), Option<String>> {
        let (figure, file) = (&opened.figure, &opened.standing.file);
        let source = figure.source().ok_or(None)?;
        let name = source.picture.clone();
        let lost =
            || Some(format!("Its picture was looked for as {name}, next to {file}, and is not there."));
        let path = self.folder.reference(file, &name).ok_or_else(lost)?;
        let stamp = Stamp::of(&path).ok_or_else(lost)?;
        let key = Key::of(figure, stamp);
        let (figure, shared, pictures) = (figure.clone(), self.shared.clone(), self.pictures.clone());
        let state = self.readings.of(&key, move || {
            let picture = pictures.of(&path).map_err(|e| Refusal::of(e, &path, &name).into_what())?;
            Ok(ReadAgain::again(&name, &picture, &figure, &shared))
        });
        Ok((key, state))
    }

    /// The picture of a figure, once it is read.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn reference(&self, name: &str) -> Told<Answer> {
        let opened = self.open(name)?;
        let missing =
            |why: Option<String>| Refusal::not_found(why.unwrap_or("the figure names no picture".into()));
        let (key, _) = self.reading(&opened).map_err(missing)?;
        match self.readings.wait(&key) {
            State::Done(reading) => {
                let png = reading.png.clone().ok_or_else(|| missing(None))?;
                Ok(answer::bytes(StatusCode::OK, "image/png", png))
            }
            State::Failed(why) => Err(missing(Some(why))),
            State::Pending => Err(missing(Some("the picture takes too long to read".into()))),
        }
    }

    /// How large the picture is that is to be drafted from.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn size(&self, name: &str) -> Told<Answer> {
        #[derive(Serialize)]
        struct Document {
            size: (u32, u32),
        }
        let picture = self.open_picture(&self.drafted(name)?, name)?;
        Ok(answer::json(StatusCode::OK, &Document { size: picture.size() }))
    }

    /// The picture to draft from: any of a shelf's, else the one that was named.
    fn drafted(&self, name: &str) -> Told<PathBuf> {
        match &*held(&self.start) {
            Start::Shelf => self.folder.picture(name),
            Start::Picture { file, .. } if file == name => self.folder.picture(name),
            _ => Err(Refusal::not_found(format!("'{name}' is not the picture this page was started on"))),
        }
    }

    fn open_picture(&self, path: &Path, name: &str) -> Told<Arc<Picture>> {
        self.pictures.of(path).map_err(|e| Refusal::of(e, path, name))
    }

    /// The whole picture that is drafted from.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn picture(&self, name: &str) -> Told<Answer> {
        let picture = self.open_picture(&self.drafted(name)?, name)?;
        Ok(answer::bytes(StatusCode::OK, "image/png", Shown::of(&picture, None).png(&picture)))
    }

    /// The same as small as a list has it.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn small_picture(&self, name: &str) -> Told<Answer> {
        /// Longer side in pixels: sharp on dense screens too.
        const SIDE: u32 = 256;
        let picture = self.open_picture(&self.drafted(name)?, name)?;
        let (width, height) = picture.size();
        let longer = width.max(height).max(SIDE);
        let side = |pixels: u32| (u64::from(pixels) * u64::from(SIDE) / u64::from(longer)).max(1) as u32;
        let small = image::imageops::thumbnail(picture.pixels(), side(width), side(height));
        Ok(answer::bytes(StatusCode::OK, "image/png", quick_png(&small)))
    }

    /// What these wishes make of a picture.
    fn found(&self, name: &str, wishes: &Wishes) -> Told<(Arc<Picture>, DraftOptions, Arc<Draft>)> {
        let path = self.drafted(name)?;
        let picture = self.open_picture(&path, name)?;
        let options = wishes.options(&self.shared.classes, self.shared.scale())?;
        let key = drafting::Key { picture: Stamp::of(&path), wishes: wishes.clone() };
        let _alone = self.readings.alone();
        let found = self.last.of(key, (name, &picture), &options, &self.shared.tray)?;
        Ok((picture, options, found))
    }

    /// Drafts from the picture the page was started on; saves nothing.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn draft(&self, name: &str, wishes: &Wishes) -> Told<Answer> {
        let (picture, options, found) = self.found(name, wishes)?;
        let figure = found.figure(&called(name), name, &options, &self.shared.tray)?;
        let reading = ReadAgain::of(&picture, &found);
        let shown = (&*picture, reading.shown.size);
        let (standing, seen) = (Standing::default(), ReferencePicture::Read(&reading));
        let table = Table::new(&figure, &standing, self.beside(), &seen);
        Ok(answer::json(StatusCode::OK, &Drafted::new(table, shown, &found, wishes)))
    }

    /// Saves a draft as a figure under a new name in the folder.
    ///
    /// # Errors
    /// The refusal to answer with: also where there is a file of that name.
    pub fn save_draft(&self, name: &str, wishes: &Wishes, save: &str) -> Told<Answer> {
        let path = self.folder.new_figure(save)?;
        check_name(&self.folder, &self.shared, &called(save), &path)?;
        let (_, options, found) = self.found(name, wishes)?;
        let figure = found.figure(&called(save), name, &options, &self.shared.tray)?;
        desk::create(&path, save, &figure)?;
        let mut start = held(&self.start);
        if matches!(*start, Start::Picture { .. }) {
            *start = Start::Figure { file: save.into() };
        }
        drop(start);
        self.figure(save)
    }

    /// Does what takes all processors, one at a time.
    pub fn alone<T>(&self, work: impl FnOnce() -> T) -> T {
        let _alone = self.readings.alone();
        work()
    }
}

/// A figure's name from its file's: `anna.figure.toml` and `anna.png` are Anna.
fn called(file: &str) -> String {
    let stem =
        file.strip_suffix(FIGURE).or_else(|| file.rsplit_once('.').map(|(stem, _)| stem)).unwrap_or(file);
    let mut letters = stem.chars();
    letters.next().map_or_else(|| "Figure".into(), |first| first.to_uppercase().chain(letters).collect())
}

//! What can go wrong, in the maker's words: what, which file or value, and what to do next.
//!
//! [`Error`] stops a command; [`Warning`] goes with a result that stands all the same.

mod likely;
mod printable;
mod toml_words;
mod warning;

pub use likely::{did_you_mean, likely};
pub use printable::{echoed, is_unprintable, printable, said};
pub use toml_words::toml_words;
pub use warning::Warning;

/// Shorthand for results of the engine.
pub type Result<T> = std::result::Result<T, Error>;

/// A cause that stops a command. `Display` says what and where, [`Error::hint`] what to do next.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Error {
    /// The file system would not give the file.
    #[error("cannot read {file}: {why}", file = printable(file))]
    Unreadable {
        /// The file as the maker named it.
        file: String,
        /// The system's reason.
        why: String,
    },
    /// The file system would not take the file.
    #[error("cannot write {file}: {why}", file = printable(file))]
    Unwritable {
        /// The file as the maker named it.
        file: String,
        /// The system's reason.
        why: String,
    },
    /// Standard output takes no more.
    #[error("cannot write to standard output: {why}")]
    Unprintable {
        /// The system's reason.
        why: String,
    },
    /// The system gives no more memory.
    #[error("memory ran out{}", most.map_or(String::new(), |most| format!(": a process may have {} MiB here", most >> 20)))]
    OutOfMemory {
        /// Bytes a process may have, where that is known.
        most: Option<u64>,
    },
    /// A part of the program that is left out unless it is asked for when it is built.
    #[error("{what} is not built into this smallcast")]
    NotBuiltIn {
        /// What the part does.
        what: &'static str,
        /// The feature that builds it in.
        feature: &'static str,
    },
    /// A file of that name stands there already.
    #[error("{file} already exists and was not changed", file = printable(file))]
    Exists {
        /// The file as the maker named it.
        file: String,
    },
    /// The bytes are of no picture format that can be opened.
    #[error("{file} is not a picture that can be opened here", file = printable(file))]
    NotAPicture {
        /// The file as the maker named it.
        file: String,
    },
    /// HEIC and AVIF, as telephones save them.
    #[error("{file} is a {format} picture, as telephones save them, and cannot be opened here", file = printable(file))]
    TelephonePicture {
        /// The file as the maker named it.
        file: String,
        /// `HEIC` or `AVIF`.
        format: &'static str,
    },
    /// The picture's data end or break before the picture does.
    #[error("{file} is damaged: {why}", file = printable(file))]
    DamagedPicture {
        /// The file as the maker named it.
        file: String,
        /// The decoder's reason.
        why: String,
    },
    /// The picture's header asks for more than the limits allow.
    #[error("{file} is too large: {width} x {height} pixels", file = printable(file))]
    PictureTooLarge {
        /// The file as the maker named it.
        file: String,
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
    /// The file holds more bytes than are read.
    #[error("{file} is too large a file: more than {} MiB are not read", most >> 20, file = printable(file))]
    FileTooLarge {
        /// The file as the maker named it.
        file: String,
        /// Most bytes that are read.
        most: u64,
    },
    /// Nothing in the picture stands out from its ground.
    #[error("no subject was found in {file}: {why}", file = printable(file))]
    NoSubject {
        /// The file as the maker named it.
        file: String,
        /// What was seen instead.
        why: String,
    },
    /// What stands out from the ground is a sheet of paper, and nothing is drawn on it.
    #[error(
        "{file}: what stands out looks like empty paper: one pale flat shape with straight sides and nothing \
        on it; no figure was drafted from it"
    )]
    OnlyPaper {
        /// The file as the maker named it.
        file: String,
    },
    /// A value on the command line or in an option that cannot be used.
    #[error("{option} {}: {why}", shown(value))]
    BadValue {
        /// The option as typed, such as `--zones`.
        option: &'static str,
        /// The value as given.
        value: String,
        /// What is wrong with it.
        why: String,
        /// What would be right.
        right: String,
    },
    /// A tray file with a fault at one place.
    #[error("{file}, line {line}, {field}: {why}", file = printable(file), field = echoed(field), why = said(why))]
    TrayLine {
        /// The tray file as the maker named it.
        file: String,
        /// Line in the file, counted from 1.
        line: usize,
        /// The column's name.
        field: String,
        /// What is wrong.
        why: String,
        /// What would be right.
        right: String,
    },
    /// A tray file whose header or whole cannot be used.
    #[error("{file}: {why}", file = printable(file), why = said(why))]
    TrayFile {
        /// The tray file as the maker named it.
        file: String,
        /// What is wrong.
        why: String,
        /// What would be right.
        right: String,
    },
    /// A figure file that cannot be read; `why` carries the line and what stands there.
    #[error("{file}: {why}", file = printable(file), why = said(why))]
    FigureFile {
        /// The figure file as the maker named it.
        file: String,
        /// What is wrong, with its line.
        why: String,
        /// What would be right.
        right: String,
    },
    /// A cast file with a fault at one place.
    #[error("{file}, line {line}, {field}: {why}", file = printable(file), field = echoed(field), why = said(why))]
    CastFile {
        /// The cast file as it is found from where the maker stands.
        file: String,
        /// Line in the file, counted from 1.
        line: usize,
        /// The key's name.
        field: String,
        /// What is wrong.
        why: String,
        /// What would be right.
        right: String,
    },
    /// A scene file with a fault at one place.
    #[error("{file}, line {line}, {field}: {why}", file = printable(file), field = echoed(field), why = said(why))]
    SceneFile {
        /// The scene file as the maker named it.
        file: String,
        /// Line in the file, counted from 1.
        line: usize,
        /// The key's name.
        field: String,
        /// What is wrong.
        why: String,
        /// What would be right.
        right: String,
    },
    /// A change by hand that cannot be made.
    #[error("'{}': {}", echoed(line), said(why))]
    Edit {
        /// The change as typed.
        line: String,
        /// What is wrong with it.
        why: String,
        /// What would be right.
        right: String,
    },
    /// The file on disk is not the one that was read, so that it was not written over.
    #[error("{file} was changed by something else in the meantime and was not overwritten", file = printable(file))]
    ChangedElsewhere {
        /// The file as the maker named it.
        file: String,
    },
    /// Another program is saving the same file and does not come to an end.
    #[error("{file} is being saved by another program", file = printable(file))]
    InUse {
        /// The file as the maker named it.
        file: String,
    },
    /// A history that cannot be read, or does not fit its figure.
    #[error("{file}: {why}", file = printable(file), why = said(why))]
    HistoryFile {
        /// The history file.
        file: String,
        /// What is wrong.
        why: String,
    },
    /// There is no step to take back, or none to do again.
    #[error("{file}: there is nothing to {what}", file = printable(file))]
    NoStep {
        /// The figure file as the maker named it.
        file: String,
        /// `undo` or `redo`.
        what: &'static str,
    },
}

/// How a maker says where the figure is.
const NAME_IT: &str =
    "name its place with --crop X,Y,WIDTH,HEIGHT, or the corners of its sheet with --corners X,Y,X,Y,X,Y,X,Y";

/// A value as it stands in a message: an empty one would not be seen.
fn shown(value: &str) -> &str {
    if value.is_empty() { "(nothing)" } else { value }
}

/// Reasons of the system that ask for something else than a look at the folder.
pub(crate) const DISK_FULL: &str = "the disk is full";
pub(crate) const QUOTA_USED: &str = "your quota on this disk is used up";
pub(crate) const READ_ONLY: &str = "the disk is read-only";
pub(crate) const IS_FOLDER: &str = "it is a folder";
pub(crate) const NO_FILE: &str = "it is a pipe or a device, not a file";

/// What to do where a file could not be written for a reason.
fn to_write(why: &str) -> &'static str {
    match why {
        DISK_FULL | QUOTA_USED => "free some room there, or save on another disk",
        READ_ONLY => "save on another disk",
        IS_FOLDER => "name a file in it",
        NO_FILE => "name a file",
        _ => "check that the folder exists and that you may write there",
    }
}

impl Error {
    /// What the maker can do next, as one sentence.
    pub fn hint(&self) -> String {
        match self {
            Self::Unreadable { .. } => "check the name and that you may read the file".into(),
            Self::Unwritable { why, .. } => to_write(why).into(),
            Self::Unprintable { .. } => {
                "send the output where there is room; files named as saved are complete".into()
            }
            Self::OutOfMemory { .. } => {
                "allow more (ulimit -v), or export the picture smaller: 2000 pixels each way are plenty"
                    .into()
            }
            Self::NotBuiltIn { feature, .. } => format!(
                "smallcast measure FOLDER scores drafts of your own figures; in the folder of smallcast's sources, \
                 cargo install --path . --features {feature} builds the rest in"
            ),
            Self::Exists { .. } => "choose another name, or add --replace to overwrite it".into(),
            Self::NotAPicture { .. } => {
                "open it in any picture viewer and export it as PNG or JPEG; WebP, GIF, BMP and TIFF work too"
                    .into()
            }
            Self::TelephonePicture { .. } => "export or share it as JPEG or PNG first".into(),
            Self::DamagedPicture { .. } => "fetch or export the picture again".into(),
            Self::PictureTooLarge { .. } | Self::FileTooLarge { .. } => {
                "export it smaller: 4000 pixels each way are plenty".into()
            }
            Self::NoSubject { .. } => {
                "leave plain background around the figure, and name its place with X,Y,WIDTH,HEIGHT in pixels"
                    .into()
            }
            Self::OnlyPaper { .. } => format!("if it is your figure all the same, {NAME_IT}"),
            Self::BadValue { right, .. }
            | Self::TrayLine { right, .. }
            | Self::TrayFile { right, .. }
            | Self::FigureFile { right, .. }
            | Self::CastFile { right, .. }
            | Self::SceneFile { right, .. }
            | Self::Edit { right, .. } => printable(right),
            Self::ChangedElsewhere { .. } => "look at what changed, then make your change again".into(),
            Self::InUse { .. } => "end the other program, or wait until it has saved".into(),
            Self::HistoryFile { .. } => {
                "the figure itself is intact: rename or remove the history, and a new one is begun".into()
            }
            Self::NoStep { .. } => "see what was done with smallcast edit FIGURE --history".into(),
        }
    }
}

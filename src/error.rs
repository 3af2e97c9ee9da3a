//! What can go wrong, in the maker's words: what, which file or value, and what to do next.
//!
//! [`Error`] stops a command; [`Warning`] goes with a result that stands all the same.

use std::fmt;

/// Shorthand for results of the engine.
pub type Result<T> = std::result::Result<T, Error>;

/// A cause that stops a command. `Display` says what and where, [`Error::hint`] what to do next.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Error {
    /// The file system would not give the file.
    #[error("cannot read {file}: {why}")]
    Unreadable {
        /// The file as the maker named it.
        file: String,
        /// The system's reason.
        why: String,
    },
    /// The file system would not take the file.
    #[error("cannot write {file}: {why}")]
    Unwritable {
        /// The file as the maker named it.
        file: String,
        /// The system's reason.
        why: String,
    },
    /// A file of that name stands there already.
    #[error("{file} exists already and was left as it is")]
    Exists {
        /// The file as the maker named it.
        file: String,
    },
    /// The bytes are of no picture format that can be opened.
    #[error("{file} is not a picture that can be opened here")]
    NotAPicture {
        /// The file as the maker named it.
        file: String,
    },
    /// HEIC and AVIF, as telephones write them.
    #[error("{file} is a {format} picture, as telephones write them, and cannot be opened here")]
    TelephonePicture {
        /// The file as the maker named it.
        file: String,
        /// `HEIC` or `AVIF`.
        format: &'static str,
    },
    /// The picture's data end or break before the picture does.
    #[error("{file} is damaged: {why}")]
    DamagedPicture {
        /// The file as the maker named it.
        file: String,
        /// The decoder's reason.
        why: String,
    },
    /// The picture's header asks for more than the limits allow.
    #[error("{file} is too large: {width} x {height} pixels")]
    PictureTooLarge {
        /// The file as the maker named it.
        file: String,
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
    /// The file holds more bytes than are read.
    #[error("{file} is too large a file: more than {} MiB are not read", most >> 20)]
    FileTooLarge {
        /// The file as the maker named it.
        file: String,
        /// Most bytes that are read.
        most: u64,
    },
    /// Nothing in the picture stands out from its ground.
    #[error("no subject was found in {file}: {why}")]
    NoSubject {
        /// The file as the maker named it.
        file: String,
        /// What was seen instead.
        why: String,
    },
    /// What stands out from the ground is a sheet of paper, and nothing is drawn on it.
    #[error(
        "{file}: what stands out is one pale flat shape with straight sides and nothing on it, as paper is; no \
         figure was drafted from it"
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
    #[error("{file}, line {line}, {field}: {why}")]
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
    #[error("{file}: {why}")]
    TrayFile {
        /// The tray file as the maker named it.
        file: String,
        /// What is wrong.
        why: String,
        /// What would be right.
        right: String,
    },
    /// A figure file that cannot be read; `why` carries the line and what stands there.
    #[error("{file}: {why}")]
    FigureFile {
        /// The figure file as the maker named it.
        file: String,
        /// What is wrong, with its line.
        why: String,
        /// What would be right.
        right: String,
    },
    /// A change by hand that cannot be made.
    #[error("'{line}': {why}")]
    Edit {
        /// The change as typed.
        line: String,
        /// What is wrong with it.
        why: String,
        /// What would be right.
        right: String,
    },
    /// The file on disk is not the one that was read, so that it was not written over.
    #[error("{file} was changed by something else meanwhile, and was left as it is")]
    ChangedElsewhere {
        /// The file as the maker named it.
        file: String,
    },
    /// Another program is saving the same file and does not come to an end.
    #[error("{file} is being saved by another program")]
    InUse {
        /// The file as the maker named it.
        file: String,
    },
    /// A history that cannot be read, or does not fit its figure.
    #[error("{file}: {why}")]
    HistoryFile {
        /// The history file.
        file: String,
        /// What is wrong.
        why: String,
    },
    /// There is no step to take back, or none to do again.
    #[error("{file}: there is nothing to {what}")]
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

impl Error {
    /// What the maker can do next, as one sentence.
    pub fn hint(&self) -> String {
        match self {
            Self::Unreadable { .. } => "check the name and that you may read the file".into(),
            Self::Unwritable { .. } => "check that the folder exists and that you may write there".into(),
            Self::Exists { .. } => "choose another name, or add --replace to write over it".into(),
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
                "let plain ground show around the figure, and name its place with X,Y,WIDTH,HEIGHT in pixels"
                    .into()
            }
            Self::OnlyPaper { .. } => format!("if it is your figure all the same, {NAME_IT}"),
            Self::BadValue { right, .. }
            | Self::TrayLine { right, .. }
            | Self::TrayFile { right, .. }
            | Self::FigureFile { right, .. }
            | Self::Edit { right, .. } => right.clone(),
            Self::ChangedElsewhere { .. } => "look at what changed, then make your change again".into(),
            Self::InUse { .. } => "end the other program, or wait until it has saved".into(),
            Self::HistoryFile { .. } => {
                "the figure itself is whole: rename or remove the history, and a new one is begun".into()
            }
            Self::NoStep { .. } => "see what was done with smallcast edit FIGURE --history".into(),
        }
    }
}

/// Something the maker should know about a result that stands all the same.
#[derive(Clone, Debug, PartialEq)]
pub enum Warning {
    /// The picture's data end early; what is missing is grey or empty.
    CutOff,
    /// Only the first picture of an animation was used.
    Animation,
    /// The embedded colour profile could not be read; the colours were taken as sRGB.
    ProfileUnread,
    /// Two colours that touch had to share one bead.
    SharedBead {
        /// The bead's name.
        bead: String,
        /// How far the two colours lie apart.
        apart: crate::units::DeltaE,
    },
    /// No owned bead comes near a colour.
    FarBead {
        /// The nearest bead's name.
        bead: String,
        /// How far it is.
        difference: crate::units::DeltaE,
    },
    /// The figure needs more beads than are owned.
    TooFew {
        /// The bead's name.
        bead: String,
        /// How many are needed.
        needed: usize,
        /// How many are owned.
        owned: u32,
    },
    /// The lattice could not be placed with certainty.
    LatticeUnsure,
    /// The picture holds fewer pixels than a bead should have.
    FewPixels {
        /// Pixels of the picture to one bead row.
        per_bead: f64,
    },
    /// Beside the largest piece of the subject lies another of like size.
    SeveralPieces,
    /// Several people are on the page, and none was named.
    SeveralPeople {
        /// A crop for each: x, y, width, height in pixels of the upright picture, left to right.
        crops: Vec<[u32; 4]>,
    },
    /// An area in the ground's own colour, shut in by the figure: only its place speaks for what it is.
    OnlyLikely {
        /// A pixel of it in the upright picture, from the left.
        x: u32,
        /// ... and from the top.
        y: u32,
        /// Whether it was taken for cloth rather than for ground.
        cloth: bool,
    },
    /// The subject touches an edge and may go on beyond it.
    TouchesEdge {
        /// `picture`, `crop` or `sheet`.
        of: &'static str,
    },
    /// What was found touches three sides of the picture or all four, as a table does.
    TouchesThree,
    /// What was found is all of one colour.
    OneColour,
    /// A note of the figure file names a rule that there is not.
    NoSuchRule {
        /// The name in the note.
        rule: String,
        /// The rule whose name is most like it.
        likely: &'static str,
    },
    /// A note of the figure file speaks of nothing that was found.
    MeantNothing {
        /// The rule and the place of the note.
        note: String,
    },
    /// A name has letters that the printed font does not have.
    LettersLacking {
        /// The name.
        text: String,
        /// What is printed.
        shown: String,
    },
    /// A mark is not in the printed font; another is printed for it.
    MarkLacking {
        /// The mark.
        mark: char,
        /// Its bead.
        bead: String,
        /// What is printed.
        shown: char,
    },
    /// Beads of a figure are not in the tray: their colours are those the reference asked for, or grey.
    NotInTray {
        /// The beads' names.
        beads: Vec<String>,
    },
    /// A figure names no reference picture to show.
    NoReference {
        /// The figure's name.
        figure: String,
    },
}

impl Warning {
    /// A short plain name, stable for scripts.
    pub fn name(&self) -> &'static str {
        match self {
            Self::CutOff => "cut-off",
            Self::Animation => "animation",
            Self::ProfileUnread => "profile-unread",
            Self::SharedBead { .. } => "shared-bead",
            Self::FarBead { .. } => "far-bead",
            Self::TooFew { .. } => "too-few",
            Self::LatticeUnsure => "lattice-unsure",
            Self::FewPixels { .. } => "few-pixels",
            Self::SeveralPieces => "several-pieces",
            Self::SeveralPeople { .. } => "several-people",
            Self::OnlyLikely { .. } => "only-likely",
            Self::TouchesEdge { .. } => "touches-edge",
            Self::TouchesThree => "touches-three-sides",
            Self::OneColour => "one-colour",
            Self::NoSuchRule { .. } => "no-such-rule",
            Self::MeantNothing { .. } => "meant-nothing",
            Self::LettersLacking { .. } => "letters-lacking",
            Self::MarkLacking { .. } => "mark-lacking",
            Self::NotInTray { .. } => "not-in-tray",
            Self::NoReference { .. } => "no-reference",
        }
    }
}

/// The first few of several names, and how many more there are.
fn some_of(names: &[String]) -> String {
    const FEW: usize = 5;
    let few: Vec<&str> = names.iter().take(FEW).map(String::as_str).collect();
    match names.len().saturating_sub(FEW) {
        0 => few.join(", "),
        more => format!("{} and {more} more", few.join(", ")),
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::CutOff => {
                write!(
                    f,
                    "the picture file is cut off: what is missing was drafted as it stands; fetch it again if you can"
                )
            }
            Self::Animation => write!(f, "the picture is animated: only its first frame was used"),
            Self::ProfileUnread => {
                write!(f, "the picture's colour profile could not be used: its colours were taken as sRGB")
            }
            Self::SharedBead { bead, apart } => write!(
                f,
                "two colours that touch ({apart} apart) both became {bead}: the tray has no other good bead for either"
            ),
            Self::FarBead { bead, difference } => {
                write!(f, "the best bead there is, {bead}, is {difference} away from the colour asked for")
            }
            Self::TooFew { bead, needed, owned } => {
                write!(f, "{needed} {bead} beads are needed and {owned} are owned")
            }
            Self::LatticeUnsure => {
                write!(f, "the drawing does not show clear bead edges: rows and columns may be a little off")
            }
            Self::FewPixels { per_bead } => {
                write!(
                    f,
                    "the picture is small ({per_bead:.1} pixels a bead): a larger copy would read better"
                )
            }
            Self::SeveralPieces => write!(
                f,
                "there are several large pieces: if they are several figures, name one with --crop X,Y,WIDTH,HEIGHT"
            ),
            Self::SeveralPeople { crops } => {
                let each: Vec<String> =
                    crops.iter().map(|[x, y, w, h]| format!("--crop {x},{y},{w},{h}")).collect();
                write!(
                    f,
                    "there are {} people on the page: draft all to one scale with --each, or one alone, from left \
                     to right with {}",
                    crops.len(),
                    each.join(" or ")
                )
            }
            Self::OnlyLikely { x, y, cloth: true } => write!(
                f,
                "is the pale area at {x},{y} cloth? It was taken for it: if it is ground, say --ground {x},{y}"
            ),
            Self::OnlyLikely { x, y, cloth: false } => write!(
                f,
                "is the pale area at {x},{y} ground? It was taken for it: if it is cloth, say --cloth {x},{y}"
            ),
            Self::TouchesEdge { of } => {
                write!(f, "the figure touches the edge of the {of}: part of it may be missing")
            }
            Self::TouchesThree => write!(
                f,
                "what was found touches three sides of the picture: if it is no figure but a table or paper, {NAME_IT}"
            ),
            Self::OneColour => write!(
                f,
                "what was found is all of one colour: if it is no figure but a table or paper, {NAME_IT}"
            ),
            Self::NoSuchRule { rule, likely } => {
                write!(f, "[[meant]] names the rule '{rule}', which there is not: did you mean {likely}?")
            }
            Self::MeantNothing { note } => {
                write!(f, "[[meant]] for {note} meets no finding: the figure has changed, or the note can go")
            }
            Self::LettersLacking { text, shown } => {
                write!(f, "{text} has letters that cannot be printed: it stands as {shown}")
            }
            Self::MarkLacking { mark, bead, shown } => {
                write!(f, "the mark {mark} of {bead} cannot be printed: {shown} stands for it")
            }
            Self::NotInTray { beads } => write!(
                f,
                "not in the tray: {}; shown in the colour the reference asked for, or grey where none did",
                some_of(beads)
            ),
            Self::NoReference { figure } => write!(f, "{figure} names no reference picture: none is shown"),
        }
    }
}

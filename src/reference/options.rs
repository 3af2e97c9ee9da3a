//! What is asked of a reference, and what was done to its picture.

use super::{Area, Corners, Enclosed};
use crate::error::Error;

/// What the maker says of an area that colour alone cannot tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Answer {
    /// A pixel of the area, x and y in the upright picture.
    pub at: (f64, f64),
    /// What it is.
    pub is: Enclosed,
}

impl Answer {
    /// That no pale area lies there to be answered for.
    pub(super) fn unmet(self) -> Error {
        Error::BadValue {
            option: match self.is {
                Enclosed::Cloth => "--cloth",
                Enclosed::Gap => "--ground",
            },
            value: format!("{},{}", self.at.0, self.at.1),
            why: "no pale area that the figure shuts in lies there".into(),
            right: "give a pixel of the upright picture in the middle of the area, as the draft's own question does"
                .into(),
        }
    }
}

/// Which of the sheets that a photograph may show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SheetReading {
    /// The likeliest.
    #[default]
    Likeliest,
    /// The other, where one is nearly as likely; else the likeliest.
    Second,
}

/// What is asked of a reference.
#[derive(Clone, Debug)]
pub struct ReferenceOptions {
    /// The part of the upright picture to use, in its pixels.
    pub crop: Option<Area>,
    /// Bead rows the subject will have: sets the working size.
    pub rows: usize,
    /// Leave photographed paper as it was taken: neither straightened nor its light evened.
    pub as_taken: bool,
    /// Which sheet to take where a photograph may show two.
    pub sheet: SheetReading,
    /// The corners of the sheet it is drawn on, where the maker gave them: none is sought, and a crop then says
    /// where on the sheet the figure lies.
    pub corners: Option<Corners>,
    /// What the maker said of pale areas.
    pub answers: Vec<Answer>,
    /// Which of the people on the page is meant, counted from 0 in reading order; the largest without it.
    pub person: Option<usize>,
}

impl ReferenceOptions {
    /// A figure of so many bead rows, of which nothing else was said.
    pub fn of_rows(rows: usize) -> Self {
        Self {
            crop: None,
            rows,
            as_taken: false,
            sheet: SheetReading::default(),
            corners: None,
            answers: Vec::new(),
            person: None,
        }
    }
}

/// What was done to a picture before it was sampled, for the maker to know.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// The subject was taken from the picture's transparency.
    CutOut,
    /// The subject was told from a plain ground.
    PlainGround,
    /// A sheet of paper was found, straightened, and its light evened.
    Sheet,
    /// The sheet whose corners the maker gave was straightened, and its light evened.
    SheetGiven,
    /// Paper that fills the picture or runs out of it had its light evened.
    Paper,
    /// The picture was left as it was taken because the maker asked for that; the subject was told from its ground.
    AsTaken,
}

impl Step {
    /// What was done, as a phrase.
    pub fn describe(self) -> &'static str {
        match self {
            Self::CutOut => "took the figure from the picture's transparency",
            Self::PlainGround => "told the figure from its plain ground",
            Self::AsTaken => "left the picture as taken and told the figure from its ground",
            Self::Paper => "took the paper it is drawn on for white and evened its light",
            Self::SheetGiven => "straightened the sheet by its corners as given and evened its light",
            Self::Sheet => "found the sheet of paper, straightened it and evened its light",
        }
    }
}

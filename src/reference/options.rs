//! What is asked of a reference, and what was done to its picture.

use super::said::{Named, Opening};
use super::sight::View;
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
    /// That no area lies there that can be what was said, and how it runs out.
    pub(super) fn unmet(self, named: &Named, view: &View) -> Error {
        let (why, right) = match named {
            Named::Opens(Opening { at, wide }) => {
                let (x, y) = view.pixel_of(*at);
                let (from, to) = (view.to_picture((0.0, 0.0)).0, view.to_picture((*wide, 0.0)).0);
                let across = (to - from).abs().max(1.0);
                (
                    format!(
                        "the area there is open to the background at {x},{y}, by about {across:.0} pixels"
                    ),
                    "close the outline there in the picture, or name a pixel that an outline encloses".into(),
                )
            }
            Named::InFigure | Named::Shut(_) => (
                "what lies there stands out from the background: it is not a pale area".into(),
                "name a pixel of the pale area, or take its beads off by hand".into(),
            ),
            Named::Outside => (
                "that pixel is in the open background: no outline of the figure encloses it".into(),
                format!("name a pixel of the upright picture inside the figure's outline; {SEE_IT}"),
            ),
        };
        let option = match self.is {
            Enclosed::Cloth => "--cloth",
            Enclosed::Gap => "--background",
        };
        Error::BadValue { option, value: format!("{},{}", self.at.0, self.at.1), why, right }
    }
}

/// Where a maker sees what was read as the figure.
const SEE_IT: &str = "--picture FILE.png shows what was read";

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
    /// A figure of this many bead rows, of which nothing else was said.
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
            Self::PlainGround => "separated the figure from its plain background",
            Self::AsTaken => "left the picture as taken and separated the figure from its background",
            Self::Paper => "took the paper it is drawn on as white and evened out its light",
            Self::SheetGiven => "straightened the sheet by the given corners and evened out its light",
            Self::Sheet => "found the sheet of paper, straightened it and evened out its light",
        }
    }
}

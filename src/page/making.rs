//! From a picture to a first figure, its landmarks and doubtful areas asked on the picture itself.

use serde::{Deserialize, Serialize};

use crate::draft::{Draft, DraftOptions, Size};
use crate::error::{Error, Result, Warning};
use crate::plan::{Classes, Guide, HeightClass, MOST_ROWS, Marks, ZoneRows, parse_stature};
use crate::reference::{Answer, Area, Corners, Enclosed};

/// What may be asked of a draft, as the page and the command line say it.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, Serialize)]
#[serde(default)]
pub struct Wishes {
    /// The part of the upright picture to use, in its pixels: x, y, width, height.
    pub crop: Option<[u32; 4]>,
    /// The four corners of the sheet it is drawn on, x and y in its pixels; in any order.
    pub corners: Option<[(f64, f64); 4]>,
    /// Which of the people on the page is meant, from 0 in reading order.
    pub person: Option<usize>,
    /// A height class by name.
    pub class: Option<String>,
    /// A standing height beside the guide.
    pub stands: Option<String>,
    /// Rows by zone.
    pub zones: Option<String>,
    /// Bead rows; alone they keep the drawing's own proportions.
    pub rows: Option<usize>,
    /// Pixel rows of landmarks, as `--marks` takes them; empty where they are guessed.
    pub marks: Option<String>,
    /// Pixels of pale areas that are cloth.
    pub cloth: Vec<[u32; 2]>,
    /// Pixels of pale areas that are ground.
    pub ground: Vec<[u32; 2]>,
}

impl Wishes {
    /// The options of the draft.
    ///
    /// # Errors
    /// [`Error::BadValue`].
    pub fn options(&self, classes: &Classes, guide: Guide) -> Result<DraftOptions> {
        let size = match (&self.zones, &self.class, &self.stands, self.rows) {
            (Some(zones), ..) => Size::Zones(ZoneRows::parse(zones)?),
            (_, Some(class), ..) => Size::Class(classes.named(class)?),
            (_, _, Some(stands), _) => Size::Stands(parse_stature(stands)?),
            (.., Some(rows)) if !(1..=MOST_ROWS).contains(&rows) => {
                return Err(Error::BadValue {
                    option: "--rows",
                    value: rows.to_string(),
                    why: format!("a figure has 1 to {MOST_ROWS} rows"),
                    right: "the guide has 24".into(),
                });
            }
            (.., Some(rows)) => Size::Rows(rows),
            _ if guide.rows() != Guide::TRADE.rows() => Size::Zones(*guide.rows()),
            _ => Size::Class(classes.named(&HeightClass::GUIDE.name)?),
        };
        let marks = self.marks.as_deref().filter(|text| !text.trim().is_empty());
        let options = DraftOptions {
            crop: self.crop.map(|crop| {
                let [x, y, width, height] = crop.map(f64::from);
                Area { x, y, width, height }
            }),
            corners: self.corners.map(sheet).transpose()?,
            person: self.person,
            size,
            classes: classes.clone(),
            guide,
            marks: marks.map(Marks::parse).transpose()?,
            answers: self.answers(),
            ..DraftOptions::default()
        };
        // A drawing that keeps its own proportions has no landmarks to bring to rows.
        let marks = options.marks.filter(|_| options.zones().is_some());
        Ok(DraftOptions { marks, ..options })
    }

    fn answers(&self) -> Vec<Answer> {
        let said = [(&self.cloth, Enclosed::Cloth), (&self.ground, Enclosed::Gap)];
        said.into_iter()
            .flat_map(|(places, is)| {
                places.iter().map(move |&[x, y]| Answer { at: (f64::from(x), f64::from(y)), is })
            })
            .collect()
    }
}

/// The corners of a sheet.
fn sheet(points: [(f64, f64); 4]) -> Result<Corners> {
    Corners::of(points).map_err(|why| Error::BadValue {
        option: "the sheet's corners",
        value: points.map(|(x, y)| format!("{x},{y}")).join(" "),
        why: why.to_string(),
        right: "move the corners to those of the sheet, or let them be found again".into(),
    })
}

/// An area that colour alone cannot tell, in pixels of the upright picture.
#[derive(Debug, Serialize)]
pub struct Asked {
    /// A pixel of it: what an answer names.
    at: [u32; 2],
    x: f64,
    y: f64,
    width: f64,
    height: f64,
    /// What it was taken for: `cloth` or `ground`.
    taken: &'static str,
}

/// The areas to ask about: those the draft was unsure of, and those that were answered already.
pub fn areas(draft: &Draft, wishes: &Wishes) -> Vec<Asked> {
    let asked = |at: [u32; 2], taken| {
        let area = draft.reference.area_around((f64::from(at[0]) + 0.5, f64::from(at[1]) + 0.5));
        Asked {
            at,
            x: area.x.round(),
            y: area.y.round(),
            width: area.width.round(),
            height: area.height.round(),
            taken,
        }
    };
    let open = draft.warnings.iter().filter_map(|warning| match *warning {
        Warning::OnlyLikely { x, y, cloth } => Some(([x, y], if cloth { "cloth" } else { "ground" })),
        _ => None,
    });
    let answered = wishes.cloth.iter().map(|at| (*at, "cloth"));
    let answered = answered.chain(wishes.ground.iter().map(|at| (*at, "ground")));
    open.chain(answered).map(|(at, taken)| asked(at, taken)).collect()
}

/// The landmarks as pixel rows of the upright picture, downwards.
pub fn landmarks(draft: &Draft) -> std::collections::BTreeMap<&'static str, f64> {
    let marks = draft.marks();
    let all = crate::plan::Landmark::ALL.into_iter();
    all.filter_map(|landmark| Some((landmark.name(), marks.as_ref()?.get(landmark)?))).collect()
}

//! What was seen from afar, for the close look: whose a piece is.

use ndarray::Array2;

use super::mask::Piece;
use super::people::{Group, People, Person, people_of};
use super::shrink::{Area, Overview};
use super::sight::{Sight, View};
use super::subject::{self, Cover, OnGround};
use crate::colour::Lab;
use crate::error::{Error, Result};
use crate::plan::HeightClass;

/// Whose a pixel is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Whose {
    /// Ground, or too small to be told from afar.
    Nobodys,
    /// One of the people's, by their place.
    Persons(usize),
    /// A larger thing that belongs to none of them.
    Things,
}

/// The page from afar.
#[derive(Clone, Debug)]
pub(super) struct Afar {
    view: View,
    whose: Array2<Whose>,
    pub people: People,
    /// Whom the look is for, where there are several.
    wanted: Option<usize>,
}

impl Afar {
    /// What a look of this size found.
    pub fn of(view: View, dim: (usize, usize), people: People) -> Self {
        let mut whose = Array2::from_elem(dim, Whose::Nobodys);
        for thing in &people.things {
            thing.pixels.iter().for_each(|&p| whose[p] = Whose::Things);
        }
        for (at, person) in people.people.iter().enumerate() {
            person.pixels.iter().for_each(|&p| whose[p] = Whose::Persons(at));
        }
        Self { view, whose, people, wanted: None }
    }

    /// The same, looking for one of the people.
    pub fn wanting(&self, person: usize) -> Self {
        Self { wanted: Some(person), ..self.clone() }
    }

    /// Who has most of these pixels of the look from afar, if anybody has any.
    pub fn owner(&self, pixels: impl Iterator<Item = (usize, usize)>) -> Option<usize> {
        let mut counts = vec![0_usize; self.people.people.len()];
        for place in pixels {
            if let Whose::Persons(person) = self.whose[place] {
                counts[person] += 1;
            }
        }
        let (person, most) = counts.into_iter().enumerate().rev().max_by_key(|(_, count)| *count)?;
        (most > 0).then_some(person)
    }

    /// Whether a piece of some look may belong to the one it is for: more of it lies on that one than on others.
    pub fn lets(&self, view: View, piece: &Piece) -> bool {
        let Some(wanted) = self.wanted else { return true };
        let (rows, columns) = self.whose.dim();
        let whose = |&(y, x): &(usize, usize)| {
            let picture = view.to_picture((x as f64 + 0.5, y as f64 + 0.5));
            let (u, v) = self.view.working_place(picture);
            let inside = u >= 0.0 && v >= 0.0 && u < columns as f64 && v < rows as f64;
            if inside { self.whose[(v as usize, u as usize)] } else { Whose::Nobodys }
        };
        let (own, other) =
            piece.iter().map(whose).fold((0_usize, 0_usize), |(own, other), whose| match whose {
                Whose::Nobodys => (own, other),
                Whose::Persons(person) if person == wanted => (own + 1, other),
                _ => (own, other + 1),
            });
        own >= other
    }
}

impl Sight {
    /// Looks around the page for people; says whether the figure is to be told again because it is one of several.
    ///
    /// # Errors
    /// [`Error::NoSubject`] where there are fewer people than the one asked for.
    pub(super) fn look_around(
        &mut self,
        file: &str,
        (told, colours): (&OnGround, &Array2<Lab>),
        person: Option<usize>,
    ) -> Result<bool> {
        let mut afar = Afar::of(self.view, colours.dim(), people_of(&told.differs, colours));
        let people = afar.people.people.len();
        if let Some(person) = person.filter(|person| *person >= people.max(1)) {
            let why = format!("person {} was asked for, and the page shows {}", person + 1, people.max(1));
            return Err(Error::NoSubject { file: file.into(), why });
        }
        if people > 0 {
            let kept = told.cover.indexed_iter().filter(|(_, c)| **c == Cover::Subject).map(|(p, _)| p);
            afar.wanted = person.or_else(|| afar.owner(kept));
        }
        self.afar = Some(afar);
        Ok(people > 0)
    }

    /// Whether there are several people on the page, as far as was looked.
    pub(super) fn shows_several(&self) -> bool {
        self.afar.as_ref().is_some_and(|afar| afar.people.people.len() > 1)
    }

    /// The people of the page, each measured in a close look; none unless there are several.
    pub(super) fn people(&self, overview: &Overview) -> Vec<Person> {
        let Some(afar) = &self.afar else { return Vec::new() };
        let all = &afar.people.people;
        let tallest = all.iter().map(|person| person.rows.len()).max().unwrap_or(1) as f64;
        let guide = HeightClass::GUIDE.rows.total() as f64;
        let measured = all.iter().enumerate().map(|(at, group)| {
            let rows = (guide * group.rows.len() as f64 / tallest).ceil() as usize;
            let near = Self { afar: Some(afar.wanting(at)), ..self.clone() };
            let near = near.closer(overview, self.area_of(group), rows);
            let cover = near.cover(&near.colours(), rows, &[]).told.cover;
            let (top, bottom, ..) = subject::extent(&cover).unwrap_or((0, cover.nrows(), 0, 0));
            let (View::Straight { area, .. } | View::Sheet { area, .. }) = near.view;
            Person {
                area: self.crop_around(group, tallest / guide, overview.size()),
                height: (bottom - top) as f64 / cover.nrows() as f64 * area.height,
            }
        });
        measured.collect()
    }

    /// Where a group lies, in the coordinates of the view's area.
    fn area_of(&self, group: &Group) -> Area {
        self.area_of_box(group.rows.clone(), group.columns.clone())
    }

    /// A crop around a group that leaves some ground about it; `bead` is a bead's side in pixels of this look.
    fn crop_around(&self, group: &Group, bead: f64, size: (u32, u32)) -> Area {
        /// Ground enough to be told from the figure, little enough to keep neighbours out.
        const GROUND: f64 = 1.5;
        let by = (GROUND * bead).ceil();
        let (rows, columns) = (&group.rows, &group.columns);
        let grown = [
            columns.start as f64 - by,
            rows.start as f64 - by,
            columns.end as f64 + by,
            rows.end as f64 + by,
        ];
        let crop = self.box_in_picture(grown, size);
        match self.view {
            // Within the crop that was given, if any.
            View::Straight { .. } => crop.grown_within(0.0, self.bounds),
            View::Sheet { .. } => crop,
        }
    }
}

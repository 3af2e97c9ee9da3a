//! All the people on one page, drafted to one scale.

use rayon::prelude::*;

use super::{Draft, DraftOptions, Size, draft, reference_of};
use crate::error::{Error, Result};
use crate::reference::{Person, Picture};
use crate::tray::Tray;

/// The people of a page, in reading order.
#[derive(Clone, Debug)]
pub struct PeopleDrafted {
    /// One or more.
    pub people: Vec<Member>,
    /// Which of them has the rows that were asked for.
    pub guide: usize,
}

/// One of the people of a page.
#[derive(Clone, Debug)]
pub struct Member {
    /// Where and how tall this one is drawn.
    pub person: Person,
    /// How this one was drafted.
    pub options: DraftOptions,
    /// The draft.
    pub draft: Draft,
}

/// Drafts each of the people on a page. The guide, by its place from 0, has the rows of `options`, the tallest where
/// none is named; the others' rows follow from their heights beside it.
///
/// # Errors
/// As [`draft`], of the first that fails; [`Error::BadValue`] for a guide beyond the people there are.
pub fn draft_each(
    file: &str,
    picture: &Picture,
    (options, guide): (&DraftOptions, Option<usize>),
    tray: &Tray,
) -> Result<PeopleDrafted> {
    let people = reference_of(file, picture, options)?.people().to_vec();
    let guide = guide.map_or_else(|| Ok(tallest(&people)), |guide| within(guide, people.len()))?;
    let of = |at: usize, size: Size| {
        let answers = options.answers.iter().filter(|answer| nearest(&people, answer.at) == at).copied();
        let options = DraftOptions { person: Some(at), size, answers: answers.collect(), ..options.clone() };
        let name = if people.len() == 1 { file.to_owned() } else { format!("{file}, person {}", at + 1) };
        let draft = draft(&name, picture, &options, tray)?;
        Ok(Member { person: people[at], options, draft })
    };
    let first = of(guide, options.size.clone())?;
    let (height, rows) = (people[guide].height, rows_of(&first));
    let member = |at: usize| {
        if at == guide {
            return Ok(first.clone());
        }
        let rows = people[at].rows_beside(height, rows);
        let member = of(at, sized(options, rows))?;
        // Rows that a raised hand or a pole got over the plan's are part of the height.
        match rows_of(&member).saturating_sub(rows) {
            0 => Ok(member),
            above => of(at, sized(options, rows.saturating_sub(above).max(1))),
        }
    };
    let people = (0..people.len()).into_par_iter().map(member).collect::<Result<_>>()?;
    Ok(PeopleDrafted { people, guide })
}

/// All rows of a member, those above the plan's among them.
fn rows_of(member: &Member) -> usize {
    member.draft.samples.lattice().rows()
}

/// This many rows, told as the guide's were: a child has a child's proportions.
fn sized(options: &DraftOptions, rows: usize) -> Size {
    match options.size {
        Size::Rows(_) => Size::Rows(rows),
        _ => Size::Zones(options.guide.zones_for(rows)),
    }
}

/// The first of the tallest.
fn tallest(people: &[Person]) -> usize {
    let taller = |best: usize, at: usize| if people[at].height > people[best].height { at } else { best };
    (0..people.len()).fold(0, taller)
}

/// The one a place of the picture is most likely about.
fn nearest(people: &[Person], (x, y): (f64, f64)) -> usize {
    let away = |person: &Person| {
        let area = person.area;
        let beyond = |v: f64, start: f64, length: f64| (start - v).max(v - start - length).max(0.0);
        let outside = beyond(x, area.x, area.width).hypot(beyond(y, area.y, area.height));
        // Where boxes overlap, the nearer middle.
        (outside, (x - area.x - area.width / 2.0).abs())
    };
    let order = |a: (f64, f64), b: (f64, f64)| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1));
    (0..people.len()).min_by(|a, b| order(away(&people[*a]), away(&people[*b]))).unwrap_or(0)
}

fn within(guide: usize, people: usize) -> Result<usize> {
    if guide < people {
        return Ok(guide);
    }
    let why = match people {
        1 => "the page shows one person".to_owned(),
        _ => format!("the page shows {people} people"),
    };
    Err(Error::BadValue {
        option: "--guide",
        value: (guide + 1).to_string(),
        why,
        right: format!("give 1 to {people}, counted in reading order"),
    })
}

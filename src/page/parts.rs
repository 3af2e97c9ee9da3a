//! The parts of a figure: those it has, and those another figure may take of it.

use serde::Serialize;

use crate::figure::{Anatomy, Figure, Part};
use crate::plan::BodyPart;

/// A part and its beads.
#[derive(Debug, Serialize)]
pub struct PartLine<'a> {
    name: &'a str,
    first_row: usize,
    first_column: usize,
    rows: usize,
    columns: usize,
    beads: Vec<String>,
    from: Option<&'a str>,
    /// Whether it is a part of the body, which may come in place of another figure's.
    of_body: bool,
}

/// The parts of a figure, lowest first.
pub fn parts(figure: &Figure) -> Vec<PartLine<'_>> {
    let line = |part: &Part| -> Vec<String> {
        let mut rows = vec![String::new(); part.beads.rows()];
        for (row, _, placed) in part.beads.iter() {
            rows[row.0].push(placed.map_or('.', |placed| placed.mark.get()));
        }
        rows
    };
    figure
        .parts()
        .iter()
        .map(|part| PartLine {
            name: &part.name,
            first_row: part.at.0.0,
            first_column: part.at.1.0,
            rows: part.beads.rows(),
            columns: part.beads.columns(),
            beads: line(part),
            from: part.from.as_deref(),
            of_body: BodyPart::named(&part.name).is_some(),
        })
        .collect()
}

/// The parts that another figure may take of this one: its own, or those of the body as they are found where all lies
/// in one.
pub fn parts_to_take(figure: &Figure) -> Vec<PartLine<'_>> {
    let own = parts(figure);
    if own.len() > 1 {
        return own;
    }
    let (anatomy, shown) = (Anatomy::of(figure), figure.beads());
    let line = |body: BodyPart| {
        let mut rows = vec![String::new(); shown.rows()];
        for (row, column, placed) in shown.iter() {
            let placed = placed.filter(|_| anatomy.part(row, column) == Some(body));
            rows[row.0].push(placed.map_or('.', |placed| placed.mark.get()));
        }
        PartLine {
            name: body.name(),
            first_row: 0,
            first_column: 0,
            rows: shown.rows(),
            columns: shown.columns(),
            beads: rows,
            from: None,
            of_body: true,
        }
    };
    BodyPart::ALL.into_iter().filter(|body| anatomy.has(*body)).map(line).collect()
}

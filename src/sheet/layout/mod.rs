//! The sheet a maker pegs from, laid out once in millimetres.
//!
//! A figure's block stands under its name: on the left its zones and rows, in the middle its beads at true
//! size on the board's pegs, on the right the runs of each row; under it the legend and the finished look.
//! Figures that fit on one board may stand on it side by side ([`SheetOptions::together`]).
//! Blocks share a page as they fit; a figure too large for one goes over several ([`tiles`]).

mod block;
mod boards;
mod field;
mod furniture;
mod legend;
mod options;
mod pages;
mod run_lines;
mod steps;
mod test_page;
mod tiles;
mod words;

pub use boards::build_scene_sheet;
pub use options::{Paper, PrinterScale, SheetOptions, Steps};
pub(super) use pages::{FAINT, INK, words};
pub(super) use words::{BOUND, cut, wrapped};

use std::sync::Arc;

use image::RgbaImage;

use self::pages::Pages;
use super::drawing::Sheet;
use super::ground::Ground;
use super::kinds::{Kinds, share_marks};
use crate::figure::Figure;
use crate::tray::Tray;

/// A figure to print, and the part of its reference picture to print beside it.
#[derive(Clone, Debug)]
pub struct Subject<'a> {
    /// The figure.
    pub figure: &'a Figure,
    /// Its reference picture, cropped.
    pub reference: Option<Arc<RgbaImage>>,
}

/// Lays out the sheet of one figure or several; the same figures and options give the same sheet.
///
/// Its warnings say which names and marks could not be printed as they are and which beads the tray lacks.
pub fn build_sheet(subjects: &[Subject], tray: &Tray, options: &SheetOptions) -> Sheet {
    let (mut figures, mut warnings) = (Vec::with_capacity(subjects.len()), Vec::new());
    for subject in subjects {
        let (figure, said) = Kinds::of(subject.figure, tray);
        warnings.extend(said.into_iter().filter(|warning| !warnings.contains(warning)).collect::<Vec<_>>());
        figures.push(figure);
    }
    // Pages lie side by side while pegging: a bead has one mark and every figure one ground on all of them.
    share_marks(&mut figures);
    let mut pages = Pages::new(options, Ground::suiting_all(figures.iter().map(Kinds::colours)));
    let names: Vec<String> = figures.iter().map(|figure| figure.name.clone()).collect();
    let mut waiting: Vec<Kinds> = Vec::new();
    for (subject, figure) in subjects.iter().zip(figures) {
        // A figure with its reference beside it has its own block.
        if options.together && subject.reference.is_none() && figure.total() > 0 {
            waiting.push(figure);
            if waiting.len() > 1 && !block::share_a_board(&pages, &waiting) {
                let last = waiting.split_off(waiting.len() - 1);
                block::lay_together(&mut pages, &std::mem::replace(&mut waiting, last));
            }
            continue;
        }
        block::lay_together(&mut pages, &std::mem::take(&mut waiting));
        block::lay(&mut pages, &figure, subject.reference.as_ref());
    }
    block::lay_together(&mut pages, &waiting);
    pages.finish(&names.join(" · "), warnings)
}

/// Lays out the page a printer is measured with.
pub fn test_page(options: &SheetOptions) -> Sheet {
    let mut pages = Pages::new(options, Ground::Light);
    test_page::lay(&mut pages);
    pages.finish("Test page", Vec::new())
}

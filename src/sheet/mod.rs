//! What is drawn for a person to look at: sheets to peg from, and pictures.
//!
//! Everything is laid out once as a [`Sheet`], in millimetres or in pixels; the writers ([`pdf`], [`svg`],
//! [`png_page`], [`raster`]) place nothing.

mod beads;
mod choices;
mod drawing;
mod font;
mod ground;
mod kinds;
mod layout;
mod lineup;
mod pairs;
mod pdf;
mod photograph;
mod picture;
mod plan;
mod png;
mod reliability;
mod runs;
mod scene;
mod seen_beads;
mod show;
mod strip;
mod svg;
mod symbols;

pub use choices::choices_picture;
pub use drawing::{Item, Page, Point, Sheet, SymbolId, Unit};
pub use font::Face;
pub use ground::Ground;
pub use kinds::figure_colours;
pub use layout::{
    Paper, PrinterScale, SheetOptions, Steps, Subject, build_scene_sheet, build_sheet, test_page,
};
pub use lineup::{Guide, Lineup, ON_A_PAGE, Standee, build_lineup};
pub use pairs::{Pair, pairs_picture};
pub use pdf::pdf;
pub use picture::{candidates_picture, draft_picture, png, quick_png};
pub use plan::{PlanFigure, plan_picture};
pub use png::{PRINT_RESOLUTION, png_page, raster};
pub use reliability::reliability_picture;
pub use scene::{SceneLook, scene_picture};
pub use seen_beads::seen_beads_picture;
pub use show::{ShowOptions, show_figures, show_steps};
pub use strip::{gif, side_by_side};
pub use svg::svg;

//! The sheet of a scene: first a map of its boards and who stands on which, then a page a board, true to size.

use super::super::beads::fused;
use super::super::drawing::{Anchor, Sheet, at};
use super::super::font::{CAPITALS, Face, POINT};
use super::super::kinds::{Kinds, printable, scene_colours, share_marks};
use super::super::scene::{ground_of, lacking};
use super::block;
use super::options::SheetOptions;
use super::pages::{FAINT, INK, Pages, words};
use super::words::{cut, wrapped};
use crate::colour::Srgb;
use crate::error::{Result, Warning};
use crate::scene::Scene;
use crate::tray::Tray;

/// The share of a page's height that the map may take.
const MAP_HIGH: f64 = 0.62;

/// From the map to the list under it, and from line to line there.
const TO_LIST: f64 = 8.0;
const LEADING: f64 = 4.2;
const POINTS: f64 = 9.0;

/// Where the words of the list begin, right of the boards' numbers.
const TEXT: f64 = 22.0;

/// White on the map: the card a board's number stands on, and the seams.
const CARD: Srgb = Srgb::new(255, 255, 255);

/// Lays out the sheet of a scene; its boards are the scene's, whatever the options say.
///
/// Its warnings are those of [`super::build_sheet`].
///
/// # Errors
/// As [`Scene::by_board`], which has none to report.
pub fn build_scene_sheet(scene: &Scene, tray: &Tray, options: &SheetOptions) -> Result<Sheet> {
    let options = SheetOptions { board: scene.boards().pegs(), ..*options };
    let (mut figures, mut warnings) = (Vec::new(), Vec::new());
    for figure in scene.by_board()? {
        let (kinds, said) = Kinds::of(&figure, tray);
        for warning in said.into_iter().filter(|warning| !matches!(warning, Warning::NotInTray { .. })) {
            if !warnings.contains(&warning) {
                warnings.push(warning);
            }
        }
        figures.push(kinds);
    }
    warnings.extend(lacking(scene, tray));
    // Pages lie side by side while pegging: a bead has one mark on all of them.
    share_marks(&mut figures);
    let ground = ground_of(&scene_colours(scene, tray));
    let mut pages = Pages::new(&options, ground);
    let mut unused = Vec::new();
    let title = printable(scene.name(), &mut unused);
    map(&mut pages, scene, tray, &title);
    list(&mut pages, scene, &figures, &title);
    let (across, down) = (scene.boards().across(), scene.boards().down());
    for (board, figure) in figures.iter().enumerate().filter(|(_, figure)| figure.total() > 0) {
        block::lay_board(&mut pages, figure, (across, down), (board % across, board / across));
    }
    Ok(pages.finish(&title, warnings))
}

/// The scene's name and measures.
fn head(pages: &mut Pages, scene: &Scene, title: &str, part: &str) {
    let boards = scene.boards();
    let pitch = pages.pitch();
    let side = |pegs: usize| (pegs as f64 * pitch / 10.0).round();
    let counted = |count: usize, what: &str| format!("{count} {what}{}", if count == 1 { "" } else { "s" });
    let line = format!(
        "{}, {} × {}, of {} × {} pegs   ·   {} of {}   ·   {} × {} cm in all",
        counted(boards.count(), "board"),
        boards.across(),
        boards.down(),
        boards.pegs().columns,
        boards.pegs().rows,
        counted(scene.beads(), "bead"),
        counted(scene.kinds(), "kind"),
        side(boards.columns()),
        side(boards.rows())
    );
    block::title(pages, title, part, &line);
}

/// All boards, each with its number.
fn map(pages: &mut Pages, scene: &Scene, tray: &Tray, title: &str) {
    head(pages, scene, title, "");
    let boards = scene.boards();
    let colours = scene_colours(scene, tray);
    let (wide, high) = (boards.columns() as f64, boards.rows() as f64);
    let pitch = (pages.width() / wide).min(MAP_HIGH * pages.height() / high);
    let (left, top) = (pages.left(), pages.y);
    let ground = pages.ground.colour();
    let pen = pages.pen();
    pen.block(at(left, top), (wide * pitch, high * pitch), ground);
    fused(pen, &colours, at(left, top), pitch);
    let (right, bottom) = (left + wide * pitch, top + high * pitch);
    /// Width of a seam's line and of the ink in its middle.
    const SEAM: (f64, f64) = (0.9, 0.25);
    for (width, ink) in [(SEAM.0, CARD), (SEAM.1, INK)] {
        for seam in 0..=boards.across() {
            let x = left + (seam * boards.pegs().columns) as f64 * pitch;
            pen.line(at(x, top), at(x, bottom), width, ink);
        }
        for seam in 0..=boards.down() {
            let y = top + (seam * boards.pegs().rows) as f64 * pitch;
            pen.line(at(left, y), at(right, y), width, ink);
        }
    }
    // A number as high as a few beads, and never larger than its board.
    let side = (boards.pegs().columns.min(boards.pegs().rows) as f64 * pitch * 0.4).min(6.0);
    let kind = words(Face::Bold, side * 0.62 / POINT, INK);
    for board in 0..boards.count() {
        let (rows, columns) = boards.part(board);
        let number = (board + 1).to_string();
        let card = (Face::Bold.width(&number, kind.size) + side * 0.5).max(side);
        let corner = at(left + columns.start as f64 * pitch, top + rows.start as f64 * pitch);
        pen.block(corner, (card, side), CARD);
        pen.frame(corner, (card, side), SEAM.1, INK);
        let baseline = corner.y + side / 2.0 + CAPITALS * kind.size / 2.0;
        pen.text(at(corner.x + card / 2.0, baseline), Anchor::Middle, kind, &number);
    }
    pages.y = bottom + TO_LIST;
}

/// Who stands on which board.
fn list(pages: &mut Pages, scene: &Scene, figures: &[Kinds], title: &str) {
    let bold = words(Face::Bold, POINTS, INK);
    let plain = words(Face::Regular, POINTS, INK);
    for (board, (standings, kinds)) in scene.on_boards().iter().zip(figures).enumerate() {
        let names: Vec<&str> = standings.iter().map(|(at, _)| scene.standings()[*at].name.as_str()).collect();
        let stands = match (names.is_empty(), kinds.total()) {
            (_, 0) => "nothing is pegged here".into(),
            (true, total) => format!("{total} beads of the ground"),
            (false, total) => format!("{total} beads: {}", names.join(", ")),
        };
        let stands = printable_line(&stands);
        for (at_line, line) in
            wrapped(&stands, Face::Regular, plain.size, pages.width() - TEXT).iter().enumerate()
        {
            if pages.room() < LEADING {
                pages.turn();
                head(pages, scene, title, " – boards");
            }
            let (left, baseline) = (pages.left(), pages.y + CAPITALS * plain.size);
            let pen = pages.pen();
            if at_line == 0 {
                let name = cut(&Scene::board_name(board), Face::Bold, bold.size, TEXT);
                pen.text(at(left, baseline), Anchor::Left, bold, &name);
            }
            pen.text(at(left + TEXT, baseline), Anchor::Left, plain, line);
            pages.y += LEADING;
        }
        pages.y += LEADING / 3.0;
    }
    let hint = "Every board has its page. Boards are pegged one by one and ironed together: push them close where a \
                figure lies over a seam.";
    let note = words(Face::Regular, 7.5, FAINT);
    for line in wrapped(hint, Face::Regular, note.size, pages.width()) {
        if pages.room() < LEADING {
            pages.turn();
        }
        let place = at(pages.left(), pages.y + LEADING);
        pages.pen().text(place, Anchor::Left, note, &line);
        pages.y += LEADING;
    }
}

/// Letters that the font has.
fn printable_line(text: &str) -> String {
    super::super::font::settable(text).0
}

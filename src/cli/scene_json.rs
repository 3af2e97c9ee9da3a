//! What `smallcast scene --json` prints. Rows, columns and boards are counted from 1.

use std::ops::Range;

use serde::Serialize;
use smallcast::count::{Need, Owned};
use smallcast::scene::{LoosePiece, Overlap, Seam};
use smallcast::units::{Column, Row};

use super::scene::Looked;

/// The layout of the document; grows when a reader would have to change.
const FORMAT: u32 = 1;

/// The document of a scene.
#[derive(Serialize)]
pub struct Document {
    format: u32,
    scene: String,
    name: String,
    tray: String,
    boards: BoardsJson,
    beads: usize,
    /// From the back to the front.
    figures: Vec<FigureJson>,
    hidden: Vec<HiddenJson>,
    over_seams: Vec<CrossingJson>,
    /// Into how many pieces it would fuse.
    pieces: usize,
    /// Those that are not the largest.
    loose: Vec<PieceJson>,
    needs: Vec<NeedJson>,
}

#[derive(Serialize)]
struct BoardsJson {
    across: usize,
    down: usize,
    /// Pegs of one board, across and down.
    pegs: [usize; 2],
    /// Row by row from the top left.
    each: Vec<BoardJson>,
}

#[derive(Serialize)]
struct BoardJson {
    board: usize,
    beads: u64,
    figures: Vec<String>,
}

#[derive(Serialize)]
struct FigureJson {
    name: String,
    figure: String,
    file: Option<String>,
    line: usize,
    rows: [usize; 2],
    columns: [usize; 2],
    beads: usize,
    shown: usize,
}

#[derive(Serialize)]
struct HiddenJson {
    under: String,
    over: String,
    beads: usize,
    each: Vec<EachJson>,
}

#[derive(Serialize)]
struct EachJson {
    bead: String,
    count: usize,
}

#[derive(Serialize)]
struct CrossingJson {
    figure: String,
    boards: Vec<OnBoardJson>,
    /// Each seam by the columns or rows at its sides.
    seams: Vec<SeamJson>,
}

#[derive(Serialize)]
struct OnBoardJson {
    board: usize,
    beads: usize,
}

#[derive(Serialize)]
#[serde(rename_all = "lowercase")]
enum SeamJson {
    Columns([usize; 2]),
    Rows([usize; 2]),
}

#[derive(Serialize)]
struct PieceJson {
    beads: usize,
    rows: [usize; 2],
    columns: [usize; 2],
    figures: Vec<String>,
    at_a_corner: bool,
}

#[derive(Serialize)]
struct NeedJson {
    bead: String,
    needed: u64,
    in_tray: bool,
    /// Null where nobody said.
    owned: Option<u32>,
    /// Null where nobody said how many are owned.
    short: Option<u64>,
}

/// The document of a scene that was looked over.
pub fn document(looked: &Looked, tray: String) -> Document {
    let (scene, boards) = (looked.scene(), looked.scene().boards());
    let name = |at: usize| scene.standings()[at].name.clone();
    let on_boards = scene.on_boards().into_iter().enumerate().map(|(board, figures)| BoardJson {
        board: board + 1,
        beads: looked.counted.beads_of(board),
        figures: figures.into_iter().map(|(at, _)| name(at)).collect(),
    });
    let figures =
        scene.standings().iter().zip(scene.showing()).map(|(standing, (beads, shown))| FigureJson {
            name: standing.name.clone(),
            figure: standing.figure.clone(),
            file: looked.opened.figures.get(&standing.figure).map(|file| file.display().to_string()),
            line: standing.line,
            rows: from_one(&standing.rows()),
            columns: from_one(&standing.columns()),
            beads,
            shown,
        });
    let hidden = |overlap: &Overlap| HiddenJson {
        under: name(overlap.under),
        over: name(overlap.over),
        beads: overlap.beads(),
        each: overlap
            .hidden
            .iter()
            .map(|(bead, count)| EachJson { bead: bead.clone(), count: *count })
            .collect(),
    };
    let crossings = looked.crossings.iter().map(|crossing| CrossingJson {
        figure: name(crossing.standing),
        boards: crossing
            .boards
            .iter()
            .map(|&(board, beads)| OnBoardJson { board: board + 1, beads })
            .collect(),
        seams: crossing.seams.iter().map(|seam| sides(*seam)).collect(),
    });
    let piece = |piece: &LoosePiece| PieceJson {
        beads: piece.beads,
        rows: from_one(&piece.rows),
        columns: from_one(&piece.columns),
        figures: piece.of.iter().map(|at| name(*at)).collect(),
        at_a_corner: piece.corner.is_some(),
    };
    Document {
        format: FORMAT,
        scene: looked.file.display().to_string(),
        name: scene.name().into(),
        tray,
        boards: BoardsJson {
            across: boards.across(),
            down: boards.down(),
            pegs: [boards.pegs().columns, boards.pegs().rows],
            each: on_boards.collect(),
        },
        beads: scene.beads(),
        figures: figures.collect(),
        hidden: looked.overlaps.iter().map(hidden).collect(),
        over_seams: crossings.collect(),
        pieces: looked.pieces.0,
        loose: looked.pieces.1.iter().map(piece).collect(),
        needs: looked.counted.needs.iter().map(need).collect(),
    }
}

fn sides(seam: Seam) -> SeamJson {
    match seam {
        Seam::Upright(Column(column)) => SeamJson::Columns([column, column + 1]),
        Seam::Level(Row(row)) => SeamJson::Rows([row, row + 1]),
    }
}

fn need(need: &Need) -> NeedJson {
    NeedJson {
        bead: need.bead.clone(),
        needed: need.needed,
        in_tray: need.owned != Owned::NotInTray,
        owned: need.owned_if_told(),
        short: need.short_if_told(),
    }
}

fn from_one(range: &Range<usize>) -> [usize; 2] {
    [range.start + 1, range.end]
}

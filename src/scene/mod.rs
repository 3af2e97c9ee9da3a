//! A scene: figures, grounds and props over boards.
//!
//! `text.rs` reads what a scene file says ([`Said`]), `file.rs` the file and the figures it names, `laying.rs` lays them
//! (`spread.rs` says where the people of a line stand, `order.rs` who stands in front), `looked.rs` says what hides what,
//! what lies over a seam and what would fuse to one piece. No figure is changed: a scene only lays them.
//!
//! ```
//! use std::collections::BTreeMap;
//! use smallcast::{figure, scene::{self, Scene}};
//! let dot = "format = 1\nname = \"Dot\"\n[[legend]]\nmark = \"c\"\nbead = \"coal\"\nby = \"hand\"\n\
//!            [[part]]\nname = \"body\"\nbeads = \"cc\"\n";
//! let figures = BTreeMap::from([("dot".to_owned(), figure::read("dot", dot)?)]);
//! let text = "format = 1\nname = \"Dots\"\nboards = { across = 1, down = 1 }\n\
//!             [[place]]\nfigure = \"dot\"\nat = [1, 1]\n[[place]]\nfigure = \"dot\"\nat = [1, 2]\n";
//! let dots = Scene::laid("dots.scene.toml", &scene::read("dots.scene.toml", text)?, &figures)?;
//! assert_eq!(dots.beads(), 3);
//! let hidden = &dots.overlaps()[0];
//! assert_eq!((dots.standings()[hidden.under].name.as_str(), hidden.beads()), ("dot 1", 1));
//! # Ok::<(), smallcast::error::Error>(())
//! ```

mod boards;
mod file;
mod laying;
mod looked;
mod order;
mod said;
mod spread;
mod text;

pub use boards::{Boards, MOST_PEGS};
pub use file::{ENDING, Opened};
pub use looked::{Crossing, LoosePiece, Overlap, Seam};
pub use said::{Ground, Line, Named, Place, Said, Stand};
pub use spread::MOST_HIDDEN;
pub use text::{MOST_FIGURES, read};

use std::ops::Range;

use crate::error::Result;
use crate::figure::{Description, Figure, LegendEntry, Part, Placed};
use crate::grid::Grid;
use crate::units::{Column, Row};

/// A figure as it stands in a scene.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// What it is called here: no two are called alike.
    pub name: String,
    /// Its figure, as the scene file names it.
    pub figure: String,
    /// Its line in the scene file, counted from 1.
    pub line: usize,
    /// Its top left peg.
    pub at: (Row, Column),
    /// Its shape, by its place in the list.
    shape: usize,
    /// Its rows and columns of pegs.
    size: (usize, usize),
}

impl Standing {
    /// The rows it takes, from its own first bead to its last.
    pub fn rows(&self) -> Range<usize> {
        self.at.0.0..self.at.0.0 + self.size.0
    }

    /// The columns it takes.
    pub fn columns(&self) -> Range<usize> {
        self.at.1.0..self.at.1.0 + self.size.1
    }
}

/// A bead that shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The bead, by its place in [`Scene::legend`].
    pub kind: usize,
    /// Whose it is, by its place in [`Scene::standings`]; nothing where it is a ground's.
    pub of: Option<usize>,
}

/// Figures over boards; see the module.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    name: String,
    boards: Boards,
    legend: Vec<LegendEntry>,
    /// The beads of each figure, by the legend, without empty rows and columns around them.
    shapes: Vec<spread::Shape>,
    standings: Vec<Standing>,
    shown: Grid<Option<Shown>>,
}

impl Scene {
    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Its boards.
    pub fn boards(&self) -> Boards {
        self.boards
    }

    /// What each kind of bead is, each bead once; a mark has one meaning on all boards.
    pub fn legend(&self) -> &[LegendEntry] {
        &self.legend
    }

    /// The figures, from the back to the front.
    pub fn standings(&self) -> &[Standing] {
        &self.standings
    }

    /// The beads that show, over all boards.
    pub fn shown(&self) -> &Grid<Option<Shown>> {
        &self.shown
    }

    /// How many beads show.
    pub fn beads(&self) -> usize {
        self.shown.iter().filter(|(.., bead)| bead.is_some()).count()
    }

    /// How many kinds of bead show: what is hidden altogether is none.
    pub fn kinds(&self) -> usize {
        let mut shows = vec![false; self.legend.len()];
        self.shown.iter().filter_map(|(.., bead)| *bead).for_each(|bead| shows[bead.kind] = true);
        shows.into_iter().filter(|shows| *shows).count()
    }

    /// The beads of a figure and their pegs in the scene, whether they show or not; by their places in the legend.
    fn beads_of(&self, standing: &Standing) -> impl Iterator<Item = ((Row, Column), usize)> {
        let (Row(top), Column(left)) = standing.at;
        let beads = self.shapes[standing.shape].iter();
        beads.filter_map(move |(row, column, kind)| {
            Some(((Row(top + row.0), Column(left + column.0)), (*kind)?))
        })
    }

    /// What a board is called: `board 2`.
    pub fn board_name(board: usize) -> String {
        format!("board {}", board + 1)
    }

    /// What is pegged on each board, as a figure of all its pegs.
    ///
    /// # Errors
    /// None that can be reached: what a scene holds, a figure can.
    pub fn by_board(&self) -> Result<Vec<Figure>> {
        (0..self.boards.count()).map(|board| self.on_board(board)).collect()
    }

    fn on_board(&self, board: usize) -> Result<Figure> {
        let (rows, columns) = self.boards.part(board);
        let mut used = vec![false; self.legend.len()];
        let beads = Grid::from_fn(rows.len(), columns.len(), |row, column| {
            let shown = self.shown[(Row(rows.start + row.0), Column(columns.start + column.0))]?;
            used[shown.kind] = true;
            Some(Placed::new(self.legend[shown.kind].mark, None))
        });
        let legend = self.legend.iter().zip(used).filter(|(_, used)| *used).map(|(entry, _)| entry.clone());
        let name = format!("{}, {}", self.name, Self::board_name(board));
        let part = Part {
            name: Self::board_name(board),
            from: None,
            at: (Row(0), Column(0)),
            beads,
            bare: std::collections::BTreeSet::new(),
        };
        let description = Description {
            name: name.clone(),
            stature: None,
            class: None,
            source: None,
            rows: None,
            legend: legend.collect(),
            why: std::collections::BTreeMap::new(),
            parts: vec![part],
            meant: Vec::new(),
        };
        Figure::new(&name, description)
    }
}

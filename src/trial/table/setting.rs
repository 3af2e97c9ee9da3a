//! What sorts of photographs of a sheet there are: on what it lies, in which light, how it is framed.

use std::fmt;

use crate::trial::chance::Chance;

/// What the sheet lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Surface {
    /// A white table, hardly darker than the paper.
    White,
    /// Light oak.
    Oak,
    /// Dark walnut.
    Walnut,
    /// Boards with seams between them.
    Boards,
    /// A checked cloth.
    Checked,
    /// A cloth with flowers.
    Flowered,
    /// A woven rug.
    Rug,
    /// Stone with veins.
    Stone,
    /// A black table.
    Black,
    /// A card as pale as the paper.
    Card,
}

/// By what it is lit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Lighting {
    /// A warm lamp near by.
    Lamp,
    /// The blue light after sunset.
    Dusk,
    /// A window to one side.
    Window,
}

/// A shadow with a hard edge, which may cross the figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Thrown {
    /// None.
    Nothing,
    /// The telephone that takes the picture.
    Telephone,
    /// A hand.
    Hand,
}

/// What of the sheet the frame shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Framing {
    /// All of it.
    Whole,
    /// All but one corner.
    CornerOut,
    /// Two corners or more are cut off.
    Cut,
    /// Nothing but the sheet.
    Over,
}

/// What happens to one of the corners that the frame shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Corner {
    /// Nothing.
    Clear,
    /// It lies in deep shadow.
    Dark,
    /// A hand holds it down.
    Held,
}

/// What else of paper there is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Beside {
    /// Nothing.
    Nothing,
    /// A second sheet under the first.
    Sheet,
    /// The spiral of a notebook and its opposite page.
    Notebook,
}

/// One photograph's sort.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Setting {
    /// What the sheet lies on.
    pub surface: Surface,
    /// By what it is lit.
    pub lighting: Lighting,
    /// Whose shadow falls on it.
    pub thrown: Thrown,
    /// What of it the frame shows; where the figure would not fit, the frame shows more.
    pub framing: Framing,
    /// What happens to a corner.
    pub corner: Corner,
    /// What else of paper there is.
    pub beside: Beside,
}

impl Surface {
    /// Every surface.
    pub const ALL: [Self; 10] = [
        Self::White,
        Self::Oak,
        Self::Walnut,
        Self::Boards,
        Self::Checked,
        Self::Flowered,
        Self::Rug,
        Self::Stone,
        Self::Black,
        Self::Card,
    ];
}

/// The sorts of one matter and how often each is met, beside the others.
type Odds<T> = [(T, f64)];

impl Setting {
    /// The setting of a figure's photograph from this seed.
    pub fn of(figure: &str, seed: u64) -> Self {
        /// Half of the photographs have a hard shadow.
        const THROWN: &Odds<Thrown> =
            &[(Thrown::Nothing, 0.5), (Thrown::Telephone, 0.28), (Thrown::Hand, 0.22)];
        /// Two in five are cut by the frame.
        const FRAMING: &Odds<Framing> =
            &[(Framing::Whole, 0.6), (Framing::CornerOut, 0.15), (Framing::Cut, 0.19), (Framing::Over, 0.06)];
        /// A quarter lose a corner to something else.
        const CORNER: &Odds<Corner> = &[(Corner::Clear, 0.74), (Corner::Dark, 0.13), (Corner::Held, 0.13)];
        /// A quarter have more paper in view.
        const BESIDE: &Odds<Beside> =
            &[(Beside::Nothing, 0.74), (Beside::Sheet, 0.14), (Beside::Notebook, 0.12)];
        const LIGHTING: [Lighting; 3] = [Lighting::Lamp, Lighting::Dusk, Lighting::Window];
        let mut chance = Chance::of(seed, &format!("{figure} on a table"));
        Self {
            surface: chance.one_of(&Surface::ALL),
            lighting: chance.one_of(&LIGHTING),
            thrown: drawn(THROWN, &mut chance),
            framing: drawn(FRAMING, &mut chance),
            corner: drawn(CORNER, &mut chance),
            beside: drawn(BESIDE, &mut chance),
        }
    }
}

/// One of some sorts by their odds, which add up to 1; the first where rounding leaves a gap.
fn drawn<T: Copy>(odds: &Odds<T>, chance: &mut Chance) -> T {
    let mut left = chance.within(0.0, 1.0);
    let hit = odds.iter().find(|(_, part)| {
        left -= part;
        left < 0.0
    });
    hit.unwrap_or(&odds[0]).0
}

impl fmt::Display for Setting {
    /// What is special about it, from the table to the corner, in words with commas between.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let surface = match self.surface {
            Surface::White => "white table",
            Surface::Oak => "oak",
            Surface::Walnut => "walnut",
            Surface::Boards => "boards",
            Surface::Checked => "checked cloth",
            Surface::Flowered => "flowered cloth",
            Surface::Rug => "rug",
            Surface::Stone => "stone",
            Surface::Black => "black table",
            Surface::Card => "pale card",
        };
        let lighting = match self.lighting {
            Lighting::Lamp => "lamp",
            Lighting::Dusk => "dusk",
            Lighting::Window => "window",
        };
        let thrown = match self.thrown {
            Thrown::Nothing => "",
            Thrown::Telephone => ", telephone's shadow",
            Thrown::Hand => ", hand's shadow",
        };
        let framing = match self.framing {
            Framing::Whole => "",
            Framing::CornerOut => ", a corner out of the frame",
            Framing::Cut => ", cut by the frame",
            Framing::Over => ", over the frame",
        };
        let corner = match self.corner {
            Corner::Clear => "",
            Corner::Dark => ", a corner in the dark",
            Corner::Held => ", a hand on a corner",
        };
        let beside = match self.beside {
            Beside::Nothing => "",
            Beside::Sheet => ", another sheet under it",
            Beside::Notebook => ", in a notebook",
        };
        write!(f, "{surface}, {lighting}{thrown}{framing}{corner}{beside}")
    }
}

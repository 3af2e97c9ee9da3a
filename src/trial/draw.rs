//! One known figure drawn in one manner from one seed.

pub(super) mod manners;

use image::RgbaImage;

use super::canvas::{FINE, Paint, paint};
use super::chance::Chance;
use super::ink::Pen;
use super::manner::Manner;
use super::proportions::RowMap;
use super::shapes::{Frame, Regions};
use super::table::Setting;
use crate::colour::Lab;
use crate::plan::ZoneRows;
use crate::score::KnownFigure;
use crate::tray::Tray;

/// A drawing as the maker would have it: pixels, and the bytes of its file where it went through JPEG.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// The pixels.
    pub pixels: RgbaImage,
    /// The JPEG file they came from.
    pub jpeg: Option<Vec<u8>>,
    /// The corners of the sheet it lies on, in pixels, clockwise from the sheet's top left; where the frame cuts the
    /// sheet they lie outside the picture. None where no sheet's edge was drawn.
    pub sheet: Option<[(f64, f64); 4]>,
    /// What sort of photograph it is, where sorts are told apart.
    pub setting: Option<Setting>,
}

/// Draws a figure. The same figure, manner and seed give the same drawing, on any machine.
pub fn draw(figure: &KnownFigure, manner: Manner, seed: u64, tray: &Tray) -> Drawing {
    let chance = Chance::of(seed, &format!("{} {}", figure.name, manner.name()));
    Drafter { figure, tray, chance, seed }.draw(manner)
}

/// Who draws: the figure, the paints, and chance.
pub(super) struct Drafter<'a> {
    figure: &'a KnownFigure,
    tray: &'a Tray,
    chance: Chance,
    seed: u64,
}

/// Where everything lies on the fine canvas.
pub(super) struct Table {
    pub frame: Frame,
    pub height: usize,
    pub width: usize,
}

/// Space around a figure, in beads: left, right, above, below.
type Space = [f64; 4];

impl<'a> Drafter<'a> {
    /// Someone who draws a figure as one of several of a page.
    pub(super) fn new(figure: &'a KnownFigure, tray: &'a Tray, page: &str, seed: u64) -> Self {
        Self { figure, tray, chance: Chance::of(seed, &format!("{} {page}", figure.name)), seed }
    }
}

impl Drafter<'_> {
    fn draw(mut self, manner: Manner) -> Drawing {
        match manner {
            Manner::Shapes => self.shapes(RowMap::even()),
            Manner::Natural => {
                let rows = self.natural();
                self.shapes(rows)
            }
            Manner::Marker => {
                let sheet = self.marker_sheet(false, Space::default()).0;
                manners::plain(&sheet)
            }
            Manner::Untidy => {
                let sheet = self.marker_sheet(true, Space::default()).0;
                manners::plain(&sheet)
            }
            Manner::Photo => self.photo(),
            Manner::CutOut => self.cut_out(),
            Manner::Small => self.small(),
            Manner::Crayon => self.crayon(),
            Manner::Shade => self.shade(),
            Manner::Page => self.page(),
            Manner::TableSheet => self.table_sheet(),
            Manner::Clutter => self.clutter(),
        }
    }

    /// A region's paint: its bead's colour as a hand mixes or picks it.
    fn paints(&self, regions: &Regions) -> Vec<Paint> {
        /// How far a hand strays from a bead's colour, in Lab units.
        const STRAY: (f64, f64) = (0.3, 3.0);
        let of = |bead| {
            let bead = self.tray.bead(bead);
            let mut chance = Chance::of(self.seed, &format!("{} {}", self.figure.name, bead.name));
            let mut off = || chance.either_way(1.0);
            let (l, a, b) = (off(), off(), off());
            let length = (l * l + a * a + b * b).sqrt().max(1e-6);
            let by = chance.within(STRAY.0, STRAY.1) / length;
            paint(Lab::new(bead.lab.l + by * l, bead.lab.a + by * a, bead.lab.b + by * b))
        };
        regions.list.iter().map(|region| of(region.bead)).collect()
    }

    /// `scale` is pixels a bead of the finished picture.
    fn table(&mut self, scale: f64, more: Space, rows: RowMap) -> Table {
        /// Bare ground beside a figure, in beads: nobody draws to the very edge.
        const MARGIN: (f64, f64) = (1.2, 3.5);
        /// Natural proportions may make a figure wider about its axis, by this part of its columns to each side.
        const WIDER: f64 = 0.3;
        let scale = scale * FINE as f64;
        let mut space = || self.chance.within(MARGIN.0, MARGIN.1);
        let [left, right, above, below] = [space(), space(), space(), space()];
        let beads = &self.figure.beads;
        let height = (beads.rows() as f64 + above + below + more[2] + more[3]) * scale;
        let spare = if rows.is_even() { 0.0 } else { WIDER * beads.columns() as f64 };
        let width = (beads.columns() as f64 + left + right + more[0] + more[1] + 2.0 * spare) * scale;
        let frame =
            Frame { scale, left: (left + more[0] + spare) * scale, top: (above + more[2]) * scale, rows };
        Table { frame, height: height as usize, width: width as usize }
    }

    fn natural(&mut self) -> RowMap {
        let zones = self.zones();
        let beads = &self.figure.beads;
        let neck = zones.get(crate::plan::Zone::Headwear) + zones.get(crate::plan::Zone::Head);
        let filled: Vec<f64> = beads
            .iter()
            .filter(|(row, _, bead)| row.0 <= neck && bead.is_some())
            .map(|(_, column, _)| column.0 as f64 + 0.5)
            .collect();
        let axis = filled.iter().sum::<f64>() / (filled.len() as f64).max(1.0);
        RowMap::natural(&zones, axis, &mut self.chance)
    }

    /// The figure's zones; a figure that names none has the plan's for its rows.
    fn zones(&self) -> ZoneRows {
        self.figure.zones.unwrap_or_else(|| crate::plan::zones_for_rows(self.figure.rows()))
    }

    /// A plain ground that the figure's outermost colours stand out from.
    fn ground_paint(&mut self) -> Paint {
        /// White, pale blue, cream, moss green, pale lilac, night blue.
        const CHOICES: [Lab; 6] = [
            Lab { l: 99.5, a: 0.0, b: 0.0 },
            Lab { l: 88.0, a: -4.0, b: -10.0 },
            Lab { l: 91.0, a: 3.0, b: 14.0 },
            Lab { l: 58.0, a: -12.0, b: 14.0 },
            Lab { l: 83.0, a: 10.0, b: -8.0 },
            Lab { l: 30.0, a: 4.0, b: -14.0 },
        ];
        /// A maker draws on a ground on which every part can be seen.
        const SEEN: f64 = 14.0;
        let beads = self.figure.beads.iter().filter_map(|(_, _, bead)| *bead);
        let colours: Vec<Lab> = beads.map(|bead| self.tray.bead(bead).lab).collect();
        let apart = |ground: Lab| {
            colours.iter().map(|c| c.distance_squared(ground)).fold(f64::INFINITY, f64::min).sqrt()
        };
        let seen: Vec<Lab> = CHOICES.into_iter().filter(|&ground| apart(ground) > SEEN).collect();
        paint(if seen.is_empty() { CHOICES[1] } else { self.chance.one_of(&seen) })
    }

    /// A ground much like one of the figure's larger parts: people paint what they like behind what they paint.
    fn ground_like_cloth(&mut self) -> Paint {
        /// How much lighter than that part, in L*; darker where that is past white.
        const LIGHTER: (f64, f64) = (6.0, 16.0);
        /// How far off it to each side, in a* and b*.
        const ASIDE: f64 = 5.0;
        /// White, and the ground of a figure without beads.
        const WHITE: f64 = 100.0;
        let beads: Vec<Lab> =
            self.figure.beads.iter().filter_map(|(_, _, bead)| Some(self.tray.bead((*bead)?).lab)).collect();
        // A part is met as often as it has beads.
        let part = if beads.is_empty() { Lab::new(WHITE, 0.0, 0.0) } else { self.chance.one_of(&beads) };
        let lighter = self.chance.within(LIGHTER.0, LIGHTER.1);
        let l = if part.l + lighter > WHITE { part.l - lighter } else { part.l + lighter };
        paint(Lab::new(l, part.a + self.chance.either_way(ASIDE), part.b + self.chance.either_way(ASIDE)))
    }

    pub(super) fn paper(&mut self) -> Paint {
        /// From copying paper to drawing paper, which is a little yellow.
        const LIGHT: (f64, f64) = (96.0, 99.0);
        const RED: f64 = 0.8;
        const YELLOW: (f64, f64) = (-0.5, 3.0);
        paint(Lab::new(
            self.chance.within(LIGHT.0, LIGHT.1),
            self.chance.either_way(RED),
            self.chance.within(YELLOW.0, YELLOW.1),
        ))
    }

    fn pen(&mut self) -> Pen {
        /// Black, brown and blue ink.
        const INKS: [Lab; 3] = [
            Lab { l: 12.0, a: 0.0, b: 0.0 },
            Lab { l: 16.0, a: 4.0, b: 6.0 },
            Lab { l: 20.0, a: 6.0, b: -24.0 },
        ];
        /// Most pens are black: this many for certain, a third of the others too.
        const BLACK: f64 = 0.6;
        /// How thick a pen draws, in beads.
        const THICK: (f64, f64) = (0.12, 0.22);
        let ink = if self.chance.happens(BLACK) { INKS[0] } else { self.chance.one_of(&INKS) };
        let thick = self.chance.within(THICK.0, THICK.1);
        Pen::new(paint(ink), thick, &mut self.chance)
    }
}

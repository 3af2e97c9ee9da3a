//! One known figure drawn in one manner from one seed.

use image::{DynamicImage, Rgba, RgbaImage, imageops};
use ndarray::Array2;

use super::camera::{self, Shot};
use super::canvas::{Canvas, FINE, Paint, finished, lit, paint};
use super::chance::Chance;
use super::fills::Fill;
use super::ink::{Pen, outline, stroke, trace};
use super::known::KnownFigure;
use super::manner::Manner;
use super::page;
use super::proportions::RowMap;
use super::shade::Scene;
use super::shapes::{Frame, Hand, Regions, Shape, shapes};
use crate::colour::Lab;
use crate::plan::ZoneRows;
use crate::tray::Tray;

/// A drawing as the maker would have it: pixels, and the bytes of its file where it went through JPEG.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// The pixels.
    pub pixels: RgbaImage,
    /// The JPEG file they came from.
    pub jpeg: Option<Vec<u8>>,
}

/// Draws a figure. The same figure, manner and seed give the same drawing, on any machine.
pub fn draw(figure: &KnownFigure, manner: Manner, seed: u64, tray: &Tray) -> Drawing {
    let chance = Chance::of(seed, &format!("{} {}", figure.name, manner.name()));
    Drafter { figure, tray, chance, seed }.draw(manner)
}

/// Who draws: the figure, the paints, and chance.
struct Drafter<'a> {
    figure: &'a KnownFigure,
    tray: &'a Tray,
    chance: Chance,
    seed: u64,
}

/// Where everything lies on the fine canvas.
struct Table {
    frame: Frame,
    height: usize,
    width: usize,
}

/// Space around a figure, in beads: left, right, above, below.
type Space = [f64; 4];

impl Drafter<'_> {
    fn draw(mut self, manner: Manner) -> Drawing {
        match manner {
            Manner::Shapes => self.shapes(RowMap::even()),
            Manner::Natural => {
                let rows = self.natural();
                self.shapes(rows)
            }
            Manner::Marker => {
                let sheet = self.marker_sheet(false, Space::default());
                plain(&sheet)
            }
            Manner::Untidy => {
                let sheet = self.marker_sheet(true, Space::default());
                plain(&sheet)
            }
            Manner::Photo => self.photo(),
            Manner::CutOut => self.cut_out(),
            Manner::Small => self.small(),
            Manner::Crayon => self.crayon(),
            Manner::Shade => self.shade(),
            Manner::Page => self.page(),
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
        let scale = scale * FINE as f64;
        let mut space = || self.chance.within(1.2, 3.5);
        let [left, right, above, below] = [space(), space(), space(), space()];
        let beads = &self.figure.beads;
        let height = (beads.rows() as f64 + above + below + more[2] + more[3]) * scale;
        // Natural proportions may make a figure wider about its axis.
        let spare = if rows.is_even() { 0.0 } else { 0.3 * beads.columns() as f64 };
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

    fn shapes(&mut self, rows: RowMap) -> Drawing {
        let regions = Regions::of(&self.figure.beads);
        let paints = self.paints(&regions);
        let scale = self.chance.within(14.0, 36.0);
        let table = self.table(scale, Space::default(), rows);
        let hand = Hand::new(&mut self.chance, 0.22);
        let seen = shapes(&regions, &table.frame, &[hand], (table.height, table.width));
        let ground = self.ground_paint();
        plain(&seen.map(|shape| shape.map_or(ground, |region| paints[region as usize])))
    }

    /// A plain ground that the figure's outermost colours stand out from.
    fn ground_paint(&mut self) -> Paint {
        let choices = [
            Lab::new(99.5, 0.0, 0.0),
            Lab::new(88.0, -4.0, -10.0),
            Lab::new(91.0, 3.0, 14.0),
            Lab::new(58.0, -12.0, 14.0),
            Lab::new(83.0, 10.0, -8.0),
            Lab::new(30.0, 4.0, -14.0),
        ];
        /// A maker draws on a ground on which every part can be seen.
        const SEEN: f64 = 14.0;
        let beads = self.figure.beads.iter().filter_map(|(_, _, bead)| *bead);
        let colours: Vec<Lab> = beads.map(|bead| self.tray.bead(bead).lab).collect();
        let apart = |ground: Lab| {
            colours.iter().map(|c| c.distance_squared(ground)).fold(f64::INFINITY, f64::min).sqrt()
        };
        let seen: Vec<Lab> = choices.into_iter().filter(|&ground| apart(ground) > SEEN).collect();
        paint(if seen.is_empty() { choices[1] } else { self.chance.one_of(&seen) })
    }

    fn paper(&mut self) -> Paint {
        paint(Lab::new(
            self.chance.within(96.0, 99.0),
            self.chance.either_way(0.8),
            self.chance.within(-0.5, 3.0),
        ))
    }

    fn pen(&mut self) -> Pen {
        let inks = [Lab::new(12.0, 0.0, 0.0), Lab::new(16.0, 4.0, 6.0), Lab::new(20.0, 6.0, -24.0)];
        let ink = if self.chance.happens(0.6) { inks[0] } else { self.chance.one_of(&inks) };
        let thick = self.chance.within(0.12, 0.22);
        Pen::new(paint(ink), thick, &mut self.chance)
    }

    /// Ink and marker on white paper.
    fn marker_sheet(&mut self, untidy: bool, more: Space) -> Canvas {
        let scale = self.chance.within(18.0, 30.0);
        let table = self.table(scale, more, RowMap::even());
        let paper = self.paper();
        let mut canvas = Canvas::from_elem((table.height, table.width), paper);
        self.marker(&mut canvas, &table, untidy);
        roughen(&mut canvas, &mut self.chance, 0.012);
        canvas
    }

    fn marker(&mut self, canvas: &mut Canvas, table: &Table, untidy: bool) {
        let mut regions = Regions::of(&self.figure.beads);
        if untidy {
            regions = regions.untidied(&mut self.chance);
        }
        let paints = self.paints(&regions);
        let hand = Hand::new(&mut self.chance, if untidy { 0.4 } else { 0.25 });
        let off = self.chance.within(0.05, 0.12);
        let (hand, fill_hand) = hand.again(&mut self.chance, off);
        let size = (table.height, table.width);
        let lines = shapes(&regions, &table.frame, &[hand], size);
        let filled = shapes(&regions, &table.frame, &[hand, fill_hand], size);
        let fills: Vec<Fill> = paints.iter().map(|&paint| Fill::marker(paint, &mut self.chance)).collect();
        fill(canvas, &filled, &fills, table.frame.scale);
        let pen = self.pen();
        outline(canvas, &lines, &pen, table.frame.scale);
        if untidy {
            // A second go over the same outline, not quite on it.
            let again = Hand::new(&mut self.chance, 0.1);
            if self.chance.happens(0.5) {
                let doubled = shapes(&regions, &table.frame, &[hand, again], size);
                let thin = Pen { thick: 0.6 * pen.thick, ..pen };
                outline(canvas, &doubled, &thin, table.frame.scale);
            }
            self.stray_strokes(canvas, table, &pen);
        }
    }

    fn stray_strokes(&mut self, canvas: &mut Canvas, table: &Table, pen: &Pen) {
        let mut marked = image::GrayImage::new(table.width as u32, table.height as u32);
        let beads = &self.figure.beads;
        for _ in 0..4 {
            let x = table.frame.left + self.chance.within(0.0, beads.columns() as f64) * table.frame.scale;
            let y = table.frame.top + self.chance.within(0.0, beads.rows() as f64) * table.frame.scale;
            let (dx, dy) = (self.chance.either_way(1.5), self.chance.either_way(1.5));
            stroke(&mut marked, &[(x, y), (x + dx * table.frame.scale, y + dy * table.frame.scale)]);
        }
        trace(canvas, &marked, &Pen { thick: 0.6 * pen.thick, ..*pen }, table.frame.scale);
    }

    fn photo(&mut self) -> Drawing {
        // The sheet is as tall as a sheet is: the figure fills half to three quarters of it.
        let (rows, columns) = (self.figure.rows() as f64, self.figure.beads.columns() as f64);
        let high = rows * self.chance.within(0.2, 0.5);
        let wide = ((rows + high + 4.0) / std::f64::consts::SQRT_2 - columns - 4.0).max(4.0);
        let (up, aside) = (self.chance.within(0.35, 0.65), self.chance.within(0.35, 0.65));
        let more = [aside * wide, (1.0 - aside) * wide, up * high, (1.0 - up) * high];
        let sheet = finished(&self.marker_sheet(false, more));
        let shot = Shot::new(sheet.dimensions(), &mut self.chance);
        through_jpeg(camera::jpeg(&shot.of(&sheet), 86))
    }

    fn cut_out(&mut self) -> Drawing {
        let scale = self.chance.within(14.0, 34.0);
        let table = self.table(scale, Space::default(), RowMap::even());
        let outlined = self.chance.happens(0.5);
        let (canvas, seen) = self.flat(&table, outlined);
        let picture = finished(&canvas);
        let solid = Canvas::from_shape_fn(seen.dim(), |p| [if seen[p].is_some() { 1.0 } else { 0.0 }; 3]);
        let mask = imageops::blur(&alpha_of(&solid), self.chance.within(0.6, 1.6) as f32);
        let pixels = RgbaImage::from_fn(picture.width(), picture.height(), |x, y| {
            let [r, g, b] = picture.get_pixel(x, y).0;
            Rgba([r, g, b, mask.get_pixel(x, y)[0]])
        });
        Drawing { pixels, jpeg: None }
    }

    /// Flat shapes with or without a pen's outline; also which region each fine pixel shows.
    fn flat(&mut self, table: &Table, outlined: bool) -> (Canvas, Array2<Shape>) {
        let regions = Regions::of(&self.figure.beads);
        let paints = self.paints(&regions);
        let hand = Hand::new(&mut self.chance, 0.2);
        let seen = shapes(&regions, &table.frame, &[hand], (table.height, table.width));
        let ground = self.ground_paint();
        let mut canvas = seen.map(|shape| shape.map_or(ground, |region| paints[region as usize]));
        if outlined {
            let pen = self.pen();
            outline(&mut canvas, &seen, &pen, table.frame.scale);
        }
        (canvas, seen)
    }

    fn small(&mut self) -> Drawing {
        /// Drawn so many times as large as it is sent.
        const LARGER: u32 = 4;
        let height = self.chance.within(88.0, 106.0);
        let scale = f64::from(LARGER) * height / self.figure.rows() as f64;
        let table = self.table(scale, Space::default(), RowMap::even());
        let outlined = self.chance.happens(0.5);
        let large = finished(&self.flat(&table, outlined).0);
        let (width, height) = (large.width() / LARGER, large.height() / LARGER);
        let small = imageops::resize(&large, width, height, imageops::FilterType::Triangle);
        let quality = self.chance.within(28.0, 50.0) as u8;
        through_jpeg(camera::jpeg(&small, quality))
    }

    fn crayon(&mut self) -> Drawing {
        let scale = self.chance.within(22.0, 32.0);
        let table = self.table(scale, Space::default(), RowMap::even());
        let regions = Regions::of(&self.figure.beads);
        let paints = self.paints(&regions);
        let paper = self.paper();
        let mut canvas = Canvas::from_elem((table.height, table.width), paper);
        let hand = Hand::new(&mut self.chance, 0.22);
        let (hand, fill_hand) = hand.again(&mut self.chance, 0.1);
        let size = (table.height, table.width);
        let filled = shapes(&regions, &table.frame, &[hand, fill_hand], size);
        let wax = self.chance.happens(0.5);
        let fills: Vec<Fill> = paints
            .iter()
            .map(|&p| if wax { Fill::crayon(p, &mut self.chance) } else { Fill::pencil(p, &mut self.chance) })
            .collect();
        fill(&mut canvas, &filled, &fills, table.frame.scale);
        if self.chance.happens(0.6) {
            let lines = shapes(&regions, &table.frame, &[hand], size);
            let graphite = Pen::new(paint(Lab::new(38.0, 0.0, 0.0)), 0.1, &mut self.chance);
            outline(&mut canvas, &lines, &graphite, table.frame.scale);
        }
        roughen(&mut canvas, &mut self.chance, 0.02);
        through_jpeg(camera::jpeg(&finished(&canvas), 90))
    }

    fn shade(&mut self) -> Drawing {
        let scale = self.chance.within(20.0, 34.0);
        let table = self.table(scale, [1.5, 1.5, 0.0, 1.5], RowMap::even());
        let regions = Regions::of(&self.figure.beads);
        let paints = self.paints(&regions);
        let hand = Hand::new(&mut self.chance, 0.2);
        let seen = shapes(&regions, &table.frame, &[hand], (table.height, table.width));
        let ground = self.ground_paint();
        let scene = Scene::new(&seen, &table.frame, self.figure.rows(), &mut self.chance);
        let canvas = Canvas::from_shape_fn(seen.dim(), |p| match seen[p] {
            Some(region) => scene.on_figure(paints[region as usize], p),
            None => scene.on_ground(ground, p),
        });
        plain(&canvas)
    }

    fn page(&mut self) -> Drawing {
        let on_the_right = self.chance.happens(0.5);
        let beside = self.chance.within(7.0, 10.0);
        let more = if on_the_right { [2.0, beside, 1.0, 3.0] } else { [beside, 2.0, 1.0, 3.0] };
        let scale = self.chance.within(18.0, 26.0);
        let table = self.table(scale, more, RowMap::even());
        let paper = self.paper();
        let mut canvas = Canvas::from_elem((table.height, table.width), paper);
        let scale = table.frame.scale;
        page::rule(&mut canvas, scale, &mut self.chance);
        page::doodle(&mut canvas, scale, (on_the_right, beside), &mut self.chance);
        page::caption(&mut canvas, scale, &mut self.chance);
        self.marker(&mut canvas, &table, false);
        roughen(&mut canvas, &mut self.chance, 0.015);
        // A desk lamp to one side.
        let fall = self.chance.either_way(0.12);
        let width = canvas.ncols() as f64;
        canvas
            .indexed_iter_mut()
            .for_each(|((_, x), p)| *p = lit(*p, 0.94 + fall * (x as f64 / width - 0.5)));
        through_jpeg(camera::jpeg(&finished(&canvas), 85))
    }
}

/// Fills regions over what lies there.
fn fill(canvas: &mut Canvas, shapes: &Array2<Shape>, fills: &[Fill], scale: f64) {
    for (p, shape) in shapes.indexed_iter() {
        if let Some(region) = shape {
            let place = (p.1 as f64 / scale, p.0 as f64 / scale);
            canvas[p] = fills[*region as usize].at(canvas[p], place, p);
        }
    }
}

/// The grain of paper and of a scanner, as a deviation of light.
fn roughen(canvas: &mut Canvas, chance: &mut Chance, by: f64) {
    let noise = chance.noise();
    for ((y, x), paint) in canvas.indexed_iter_mut() {
        *paint = lit(
            *paint,
            1.0 + by * (noise.grain(x as i64, y as i64) + noise.at(x as f64 / 5.0, y as f64 / 5.0)),
        );
    }
}

fn plain(canvas: &Canvas) -> Drawing {
    Drawing { pixels: DynamicImage::from(finished(canvas)).into_rgba8(), jpeg: None }
}

fn through_jpeg(bytes: Vec<u8>) -> Drawing {
    // What was just written as JPEG is read as JPEG.
    let pixels = image::load_from_memory(&bytes).map(DynamicImage::into_rgba8).unwrap_or_default();
    Drawing { pixels, jpeg: Some(bytes) }
}

/// Opacity from a fine plane of 0 and 1.
fn alpha_of(solid: &Canvas) -> image::GrayImage {
    let (rows, columns) = (solid.nrows() / FINE, solid.ncols() / FINE);
    image::GrayImage::from_fn(columns as u32, rows as u32, |x, y| {
        let fine = |dy: usize, dx: usize| solid[(y as usize * FINE + dy, x as usize * FINE + dx)][0];
        let mean = (0..FINE * FINE).map(|i| fine(i / FINE, i % FINE)).sum::<f32>() / (FINE * FINE) as f32;
        image::Luma([(mean * 255.0).round() as u8])
    })
}

//! The manners, one by one.

use image::{DynamicImage, Rgba, RgbaImage, imageops};
use ndarray::Array2;

use super::{Drafter, Drawing, Space, Table};
use crate::colour::Lab;
use crate::trial::camera::{self, Shot};
use crate::trial::canvas::{Canvas, FINE, Paint, finished, lit, paint};
use crate::trial::chance::Chance;
use crate::trial::clutter;
use crate::trial::fills::Fill;
use crate::trial::ink::{Pen, outline, stroke, trace};
use crate::trial::page;
use crate::trial::proportions::RowMap;
use crate::trial::shade::Scene;
use crate::trial::shapes::{Hand, Regions, Shape, shapes};
use crate::trial::table::{self, Setting, Sheet};

/// How far the lines of a hand wander, in beads: of most, and of one that paints or sends finished work.
const WANDER: f64 = 0.22;
const STEADY: f64 = 0.2;

/// Every second drawing in flat colours has an outline.
const OUTLINED: f64 = 0.5;

/// Every third small picture and painting lies on a ground much like a part of the figure.
const LIKE: f64 = 0.35;

/// A second stroke of a pen is this much thinner than its first.
const THINNER: f64 = 0.6;

impl Drafter<'_> {
    pub(super) fn shapes(&mut self, rows: RowMap) -> Drawing {
        let regions = Regions::of(&self.figure.beads);
        let paints = self.paints(&regions);
        /// Pixels a bead.
        const SCALE: (f64, f64) = (14.0, 36.0);
        let scale = self.chance.within(SCALE.0, SCALE.1);
        let table = self.table(scale, Space::default(), rows);
        let hand = Hand::new(&mut self.chance, WANDER);
        let seen = shapes(&regions, &table.frame, &[hand], (table.height, table.width));
        let ground = self.ground_paint();
        plain(&seen.map(|shape| shape.map_or(ground, |region| paints[region as usize])))
    }

    /// Ink and marker on white paper.
    pub(super) fn marker_sheet(&mut self, untidy: bool, more: Space) -> (Canvas, Table) {
        /// Pixels a bead, and the scanner's noise as a deviation of light.
        const SCALE: (f64, f64) = (18.0, 30.0);
        const NOISE: f64 = 0.012;
        let scale = self.chance.within(SCALE.0, SCALE.1);
        let table = self.table(scale, more, RowMap::even());
        let paper = self.paper();
        let mut canvas = Canvas::from_elem((table.height, table.width), paper);
        self.marker(&mut canvas, &table, untidy);
        roughen(&mut canvas, &mut self.chance, NOISE);
        (canvas, table)
    }

    pub(in crate::trial) fn marker(&mut self, canvas: &mut Canvas, table: &Table, untidy: bool) {
        /// How far lines wander, in beads, from a careful and from a quick hand.
        const CAREFUL: f64 = 0.25;
        const QUICK: f64 = 0.9;
        /// How far what is filled in lies off its outline, in beads.
        const OFF: (f64, f64) = (0.05, 0.12);
        /// Every second quick hand goes over its outline again, this far off it.
        const AGAIN: f64 = 0.5;
        const AGAIN_OFF: f64 = 0.1;
        let mut regions = Regions::of(&self.figure.beads);
        if untidy {
            regions = regions.untidied(&mut self.chance);
        }
        let paints = self.paints(&regions);
        let hand = Hand::new(&mut self.chance, if untidy { QUICK } else { CAREFUL });
        let off = self.chance.within(OFF.0, OFF.1);
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
            let again = Hand::new(&mut self.chance, AGAIN_OFF);
            if self.chance.happens(AGAIN) {
                let doubled = shapes(&regions, &table.frame, &[hand, again], size);
                let thin = Pen { thick: THINNER * pen.thick, ..pen };
                outline(canvas, &doubled, &thin, table.frame.scale);
            }
            self.stray_strokes(canvas, table, &pen);
        }
    }

    fn stray_strokes(&mut self, canvas: &mut Canvas, table: &Table, pen: &Pen) {
        /// This many, each up to this many beads long both ways.
        const STRAYS: usize = 4;
        const LONG: f64 = 1.5;
        let mut marked = image::GrayImage::new(table.width as u32, table.height as u32);
        let beads = &self.figure.beads;
        for _ in 0..STRAYS {
            let x = table.frame.left + self.chance.within(0.0, beads.columns() as f64) * table.frame.scale;
            let y = table.frame.top + self.chance.within(0.0, beads.rows() as f64) * table.frame.scale;
            let (dx, dy) = (self.chance.either_way(LONG), self.chance.either_way(LONG));
            stroke(&mut marked, &[(x, y), (x + dx * table.frame.scale, y + dy * table.frame.scale)]);
        }
        trace(canvas, &marked, &Pen { thick: THINNER * pen.thick, ..*pen }, table.frame.scale);
    }

    /// A drawing on a whole sheet.
    fn whole_sheet(&mut self) -> Sheet {
        /// The sheet is as tall as a sheet is: beside the figure's rows it has this many more, as a part of them.
        const MORE: (f64, f64) = (0.2, 0.5);
        /// Its margins are at least this many beads together, and the figure stands about the middle.
        const MARGINS: f64 = 4.0;
        const PLACE: (f64, f64) = (0.35, 0.65);
        /// A hand and its pen stray out of the beads' box by this many beads.
        const STRAY: f64 = 0.6;
        let (rows, columns) = (self.figure.rows() as f64, self.figure.beads.columns() as f64);
        let high = rows * self.chance.within(MORE.0, MORE.1);
        let wide = ((rows + high + MARGINS) / std::f64::consts::SQRT_2 - columns - MARGINS).max(MARGINS);
        let (up, aside) = (self.chance.within(PLACE.0, PLACE.1), self.chance.within(PLACE.0, PLACE.1));
        let more = [aside * wide, (1.0 - aside) * wide, up * high, (1.0 - up) * high];
        let (canvas, Table { frame, .. }) = self.marker_sheet(false, more);
        let (left, top) = (frame.left - STRAY * frame.scale, frame.top - STRAY * frame.scale);
        let (right, bottom) =
            (left + (columns + 2.0 * STRAY) * frame.scale, top + (rows + 2.0 * STRAY) * frame.scale);
        Sheet { pixels: finished(&canvas), figure: [left, top, right, bottom].map(|v| v / FINE as f64) }
    }

    pub(super) fn photo(&mut self) -> Drawing {
        /// As a telephone stores it.
        const QUALITY: u8 = 86;
        let sheet = self.whole_sheet().pixels;
        let shot = Shot::new(sheet.dimensions(), &mut self.chance);
        Drawing { sheet: Some(shot.corners), ..through_jpeg(camera::jpeg(&shot.of(&sheet), QUALITY)) }
    }

    pub(super) fn table_sheet(&mut self) -> Drawing {
        /// As telephones store pictures and messengers pass them on.
        const QUALITY: (f64, f64) = (62.0, 92.0);
        let setting = Setting::of(&self.figure.name, self.seed);
        let sheet = self.whole_sheet();
        let shot = table::photograph(&sheet, setting, &mut self.chance);
        let quality = self.chance.within(QUALITY.0, QUALITY.1) as u8;
        let drawing = through_jpeg(camera::jpeg(&shot.pixels, quality));
        Drawing { sheet: Some(shot.corners), setting: Some(setting), ..drawing }
    }

    pub(super) fn cut_out(&mut self) -> Drawing {
        /// Pixels a bead, and how soft the cut is, in pixels.
        const SCALE: (f64, f64) = (14.0, 34.0);
        const SOFT: (f64, f64) = (0.6, 1.6);
        let scale = self.chance.within(SCALE.0, SCALE.1);
        let table = self.table(scale, Space::default(), RowMap::even());
        let outlined = self.chance.happens(OUTLINED);
        let ground = self.ground_paint();
        let (canvas, seen) = self.flat(&table, outlined, ground);
        let picture = finished(&canvas);
        let solid = Canvas::from_shape_fn(seen.dim(), |p| [if seen[p].is_some() { 1.0 } else { 0.0 }; 3]);
        let mask = imageops::blur(&alpha_of(&solid), self.chance.within(SOFT.0, SOFT.1) as f32);
        let pixels = RgbaImage::from_fn(picture.width(), picture.height(), |x, y| {
            let [r, g, b] = picture.get_pixel(x, y).0;
            Rgba([r, g, b, mask.get_pixel(x, y)[0]])
        });
        drawing(pixels, None)
    }

    /// Flat shapes with or without a pen's outline; also which region each fine pixel shows.
    fn flat(&mut self, table: &Table, outlined: bool, ground: Paint) -> (Canvas, Array2<Shape>) {
        let regions = Regions::of(&self.figure.beads);
        let paints = self.paints(&regions);
        let hand = Hand::new(&mut self.chance, STEADY);
        let seen = shapes(&regions, &table.frame, &[hand], (table.height, table.width));
        let mut canvas = seen.map(|shape| shape.map_or(ground, |region| paints[region as usize]));
        if outlined {
            let pen = self.pen();
            outline(&mut canvas, &seen, &pen, table.frame.scale);
        }
        (canvas, seen)
    }

    pub(super) fn small(&mut self) -> Drawing {
        /// Drawn this many times as large as it is sent.
        const LARGER: u32 = 4;
        /// Pixels the figure is high: two and a half to four a bead, as a picture that was passed on often.
        const HEIGHT: (f64, f64) = (66.0, 96.0);
        /// As messengers press pictures, again and again.
        const QUALITY: (f64, f64) = (12.0, 36.0);
        let height = self.chance.within(HEIGHT.0, HEIGHT.1);
        let scale = f64::from(LARGER) * height / self.figure.rows() as f64;
        let table = self.table(scale, Space::default(), RowMap::even());
        let outlined = self.chance.happens(OUTLINED);
        let ground = if self.chance.happens(LIKE) { self.ground_like_cloth() } else { self.ground_paint() };
        let large = finished(&self.flat(&table, outlined, ground).0);
        let (width, height) = (large.width() / LARGER, large.height() / LARGER);
        let small = imageops::resize(&large, width, height, imageops::FilterType::Triangle);
        let quality = self.chance.within(QUALITY.0, QUALITY.1) as u8;
        through_jpeg(camera::jpeg(&small, quality))
    }

    pub(super) fn crayon(&mut self) -> Drawing {
        /// Pixels a bead.
        const SCALE: (f64, f64) = (22.0, 32.0);
        /// How far what is filled in lies off its outline, in beads.
        const OFF: f64 = 0.1;
        /// Every second drawing is in wax, the other in pencil.
        const WAX: f64 = 0.5;
        /// Somewhat more than half are outlined first, in graphite, so thick in beads.
        const DRAWN_FIRST: f64 = 0.6;
        const GRAPHITE: Lab = Lab { l: 38.0, a: 0.0, b: 0.0 };
        const THICK: f64 = 0.1;
        /// Rough paper and the scanner, as a deviation of light; stored with care.
        const NOISE: f64 = 0.02;
        const QUALITY: u8 = 90;
        let scale = self.chance.within(SCALE.0, SCALE.1);
        let table = self.table(scale, Space::default(), RowMap::even());
        let regions = Regions::of(&self.figure.beads);
        let paints = self.paints(&regions);
        let paper = self.paper();
        let mut canvas = Canvas::from_elem((table.height, table.width), paper);
        let hand = Hand::new(&mut self.chance, WANDER);
        let (hand, fill_hand) = hand.again(&mut self.chance, OFF);
        let size = (table.height, table.width);
        let filled = shapes(&regions, &table.frame, &[hand, fill_hand], size);
        let wax = self.chance.happens(WAX);
        let fills: Vec<Fill> = paints
            .iter()
            .map(|&p| if wax { Fill::crayon(p, &mut self.chance) } else { Fill::pencil(p, &mut self.chance) })
            .collect();
        fill(&mut canvas, &filled, &fills, table.frame.scale);
        if self.chance.happens(DRAWN_FIRST) {
            let lines = shapes(&regions, &table.frame, &[hand], size);
            let graphite = Pen::new(paint(GRAPHITE), THICK, &mut self.chance);
            outline(&mut canvas, &lines, &graphite, table.frame.scale);
        }
        roughen(&mut canvas, &mut self.chance, NOISE);
        through_jpeg(camera::jpeg(&finished(&canvas), QUALITY))
    }

    pub(super) fn shade(&mut self) -> Drawing {
        /// Pixels a bead.
        const SCALE: (f64, f64) = (20.0, 34.0);
        /// Room for the thrown shadow, in beads.
        const ROOM: Space = [1.5, 1.5, 0.0, 1.5];
        let scale = self.chance.within(SCALE.0, SCALE.1);
        let table = self.table(scale, ROOM, RowMap::even());
        let regions = Regions::of(&self.figure.beads);
        let paints = self.paints(&regions);
        let hand = Hand::new(&mut self.chance, STEADY);
        let seen = shapes(&regions, &table.frame, &[hand], (table.height, table.width));
        let ground = if self.chance.happens(LIKE) { self.ground_like_cloth() } else { self.ground_paint() };
        let scene = Scene::new(&seen, &table.frame, self.figure.rows(), &mut self.chance);
        let canvas = Canvas::from_shape_fn(seen.dim(), |p| match seen[p] {
            Some(region) => scene.on_figure(paints[region as usize], p),
            None => scene.on_ground(ground, p),
        });
        plain(&canvas)
    }

    pub(super) fn page(&mut self) -> Drawing {
        /// The doodle lies on the right as often as on the left, in this many beads' room.
        const ON_THE_RIGHT: f64 = 0.5;
        const BESIDE: (f64, f64) = (7.0, 10.0);
        /// Beads of bare page on the other side, above, and below, where the caption goes.
        const OTHER_SIDE: f64 = 2.0;
        const ABOVE: f64 = 1.0;
        const BELOW: f64 = 3.0;
        /// Pixels a bead.
        const SCALE: (f64, f64) = (18.0, 26.0);
        /// Grain of cheap paper, as a deviation of light.
        const NOISE: f64 = 0.015;
        /// A desk lamp to one side: the light of the middle, and how much it changes across at most.
        const MIDDLE: f64 = 0.94;
        const FALL: f64 = 0.12;
        /// As a telephone stores it.
        const QUALITY: u8 = 85;
        let on_the_right = self.chance.happens(ON_THE_RIGHT);
        let beside = self.chance.within(BESIDE.0, BESIDE.1);
        let (left, right) = if on_the_right { (OTHER_SIDE, beside) } else { (beside, OTHER_SIDE) };
        let more = [left, right, ABOVE, BELOW];
        let scale = self.chance.within(SCALE.0, SCALE.1);
        let table = self.table(scale, more, RowMap::even());
        let paper = self.paper();
        let mut canvas = Canvas::from_elem((table.height, table.width), paper);
        let scale = table.frame.scale;
        page::rule(&mut canvas, scale, &mut self.chance);
        page::doodle(&mut canvas, scale, (on_the_right, beside), &mut self.chance);
        page::caption(&mut canvas, scale, &mut self.chance);
        self.marker(&mut canvas, &table, false);
        roughen(&mut canvas, &mut self.chance, NOISE);
        let fall = self.chance.either_way(FALL);
        let width = canvas.ncols() as f64;
        canvas
            .indexed_iter_mut()
            .for_each(|((_, x), p)| *p = lit(*p, MIDDLE + fall * (x as f64 / width - 0.5)));
        through_jpeg(camera::jpeg(&finished(&canvas), QUALITY))
    }
}

impl Drafter<'_> {
    pub(super) fn clutter(&mut self) -> Drawing {
        /// Beads of page around the figure, for what else lies there.
        const AROUND: (f64, f64) = (0.5, 6.0);
        const BELOW: f64 = 3.0;
        /// Pixels a bead.
        const SCALE: (f64, f64) = (18.0, 26.0);
        /// Grain of cheap paper, as a deviation of light, and as a telephone stores it.
        const NOISE: f64 = 0.012;
        const QUALITY: u8 = 86;
        /// A window to one side: the light of the middle, and how much it changes across at most.
        const MIDDLE: f64 = 0.94;
        const FALL: f64 = 0.1;
        let mut around = || self.chance.within(AROUND.0, AROUND.1);
        let more = [around(), around(), around(), BELOW];
        let scale = self.chance.within(SCALE.0, SCALE.1);
        let table = self.table(scale, more, RowMap::even());
        let mut canvas = Canvas::from_elem((table.height, table.width), self.paper());
        let beads = &self.figure.beads;
        let mut chance = self.chance.clone();
        let page = |canvas: &mut Canvas, chance: &mut Chance, before: bool| {
            let mut page = clutter::Page { canvas, frame: &table.frame, beads, chance };
            if before { page.before() } else { page.after() }
        };
        page(&mut canvas, &mut chance, true);
        self.marker(&mut canvas, &table, false);
        page(&mut canvas, &mut chance, false);
        roughen(&mut canvas, &mut self.chance, NOISE);
        let fall = self.chance.either_way(FALL);
        let width = canvas.ncols() as f64;
        canvas
            .indexed_iter_mut()
            .for_each(|((_, x), p)| *p = lit(*p, MIDDLE + fall * (x as f64 / width - 0.5)));
        through_jpeg(camera::jpeg(&finished(&canvas), QUALITY))
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
pub(in crate::trial) fn roughen(canvas: &mut Canvas, chance: &mut Chance, by: f64) {
    /// Beside single fine pixels, blotches of this many.
    const BLOTCH: f64 = 5.0;
    let noise = chance.noise();
    for ((y, x), paint) in canvas.indexed_iter_mut() {
        let off = noise.grain(x as i64, y as i64) + noise.at(x as f64 / BLOTCH, y as f64 / BLOTCH);
        *paint = lit(*paint, 1.0 + by * off);
    }
}

pub(super) fn plain(canvas: &Canvas) -> Drawing {
    drawing(DynamicImage::from(finished(canvas)).into_rgba8(), None)
}

pub(in crate::trial) fn through_jpeg(bytes: Vec<u8>) -> Drawing {
    // What was just written as JPEG is read as JPEG.
    let pixels = image::load_from_memory(&bytes).map(DynamicImage::into_rgba8).unwrap_or_default();
    drawing(pixels, Some(bytes))
}

/// A drawing of which no sheet's edge is drawn.
fn drawing(pixels: RgbaImage, jpeg: Option<Vec<u8>>) -> Drawing {
    Drawing { pixels, jpeg, sheet: None, setting: None }
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

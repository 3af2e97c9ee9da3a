//! What is in the pictures that show no sheet, in millimetres about the middle of what the frame shows.

use super::forms::{Fill, Form, Shape};
use super::people::person;
use crate::trial::canvas::{Paint, lit, over};
use crate::trial::chance::Chance;
use crate::trial::table::{Place, Surface, Top};

/// A scene: its ground and what stands before it, the farthest first.
pub(super) struct Scene {
    pub ground: Top,
    pub forms: Vec<Form>,
    /// Whether it lies on a table or floor, seen from any side, or stands upright before the camera.
    pub lies: bool,
}

/// Far enough to leave every frame.
pub(super) const FAR: f64 = 1500.0;

fn top(surface: Surface, chance: &mut Chance) -> Top {
    /// Things lie about straight, by this many degrees.
    const ASKEW: f64 = 25.0;
    Top::new(surface, chance.either_way(ASKEW).to_radians(), chance)
}

/// Upright, not turned.
fn wall(surface: Surface, chance: &mut Chance) -> Top {
    Top::new(surface, 0.0, chance)
}

fn of(top: Top) -> Fill {
    Fill::Of(Box::new(top))
}

/// The scene of this number; numbers go round.
pub(super) fn scene(number: u64, chance: &mut Chance) -> Scene {
    const SCENES: [fn(&mut Chance) -> Scene; 10] = [
        laid_table,
        painted_wall,
        room_corner,
        floor,
        window,
        landscape,
        tiles,
        close_drawing,
        cloth,
        standing,
    ];
    SCENES[(number % SCENES.len() as u64) as usize](chance)
}

/// A plate, seen from above: rim, well, and sometimes a band.
fn plate((x, y): Place, radius: f64, chance: &mut Chance) -> Vec<Form> {
    const CHINA: [Paint; 3] = [[0.82, 0.82, 0.80], [0.70, 0.74, 0.78], [0.40, 0.20, 0.12]];
    const WELL: f64 = 0.68;
    const BAND: f64 = 0.93;
    let china = chance.one_of(&CHINA);
    let ring = |part: f64, light: f64| Form::oval((x, y), (part * radius, part * radius), lit(china, light));
    let mut forms = vec![ring(1.03, 0.35), ring(1.0, 1.0)];
    if chance.happens(0.5) {
        forms.extend([ring(BAND, 0.4), ring(BAND - 0.03, 1.0)]);
    }
    forms.extend([ring(WELL, 0.82), ring(WELL - 0.02, 0.95)]);
    forms
}

/// A cup from above, its handle and what is in it.
fn cup((x, y): Place, radius: f64, chance: &mut Chance) -> Vec<Form> {
    const GLAZE: [Paint; 3] = [[0.74, 0.74, 0.72], [0.10, 0.22, 0.36], [0.50, 0.12, 0.08]];
    const DRINKS: [Paint; 3] = [[0.06, 0.025, 0.01], [0.26, 0.10, 0.03], [0.66, 0.60, 0.52]];
    let glaze = chance.one_of(&GLAZE);
    let round = |part: f64, paint| Form::oval((x, y), (part * radius, part * radius), paint);
    vec![
        Form::rod((x, y), (x + 1.5 * radius, y + 0.4 * radius), 0.16 * radius, lit(glaze, 0.8)),
        round(1.0, glaze),
        round(0.88, lit(glaze, 0.5)),
        round(0.84, chance.one_of(&DRINKS)),
    ]
}

fn laid_table(chance: &mut Chance) -> Scene {
    const PLACE: f64 = 150.0;
    const PLATE: (f64, f64) = (70.0, 125.0);
    const CUP: (f64, f64) = (32.0, 48.0);
    const STEEL: Paint = [0.42, 0.42, 0.44];
    let surface = chance.one_of(&Surface::ALL);
    let ground = top(surface, chance);
    let mut forms = Vec::new();
    for side in [-1.0, 1.0] {
        let mut place = || (side * chance.within(0.4, 1.0) * PLACE, chance.either_way(PLACE));
        let (dish, mug) = (place(), place());
        let radius = chance.within(PLATE.0, PLATE.1);
        forms.extend(plate(dish, radius, chance));
        let (knife, long) = (dish.0 + radius + 22.0, 95.0);
        forms.push(Form::rod((knife, dish.1 - long), (knife + 4.0, dish.1), 8.0, STEEL));
        forms.push(Form::rod((knife + 4.0, dish.1), (knife + 7.0, dish.1 + long), 5.0, lit(STEEL, 0.7)));
        let radius = chance.within(CUP.0, CUP.1);
        forms.extend(cup(mug, radius, chance));
    }
    Scene { ground, forms, lies: true }
}

fn painted_wall(chance: &mut Chance) -> Scene {
    const WALLS: [Surface; 3] = [Surface::Card, Surface::White, Surface::Stone];
    let surface = chance.one_of(&WALLS);
    let ground = wall(surface, chance);
    Scene { ground, forms: person(chance), lies: false }
}

/// How high a skirting stands and where the floor begins below the middle.
const SKIRTING: f64 = 16.0;

/// Floor and skirting from a line down.
fn floor_from(y: f64, chance: &mut Chance) -> Vec<Form> {
    const FLOORS: [Surface; 4] = [Surface::Boards, Surface::Walnut, Surface::Rug, Surface::Stone];
    const SKIRTINGS: [Paint; 3] = [[0.72, 0.72, 0.70], [0.14, 0.07, 0.04], [0.30, 0.30, 0.28]];
    let surface = chance.one_of(&FLOORS);
    let painted = chance.one_of(&SKIRTINGS);
    vec![
        Form::board([-FAR, y - SKIRTING, FAR, y], Fill::Plain(painted)),
        Form::board([-FAR, y - SKIRTING, FAR, y - SKIRTING + 2.0], Fill::Plain(lit(painted, 1.2))),
        Form::board([-FAR, y, FAR, FAR], of(wall(surface, chance))),
        Form::board([-FAR, y, FAR, y + 3.0], Fill::Plain(lit(painted, 0.3))),
    ]
}

fn room_corner(chance: &mut Chance) -> Scene {
    const DOORS: [Surface; 3] = [Surface::Oak, Surface::Walnut, Surface::Boards];
    const WIDE: (f64, f64) = (90.0, 130.0);
    let line = chance.within(60.0, 140.0);
    let ground = wall(Surface::Card, chance);
    let corner = chance.within(20.0, 90.0);
    let shaded = lit([0.70, 0.68, 0.62], chance.within(0.55, 0.9));
    let mut forms = vec![Form::board([corner, -FAR, FAR, FAR], Fill::Shaded(shaded, lit(shaded, 0.8)))];
    forms.extend(floor_from(line, chance));
    // Door and frame stand before the skirting, and go on above the picture.
    let (right, wide) = (corner - chance.within(20.0, 50.0), chance.within(WIDE.0, WIDE.1));
    let left = right - wide;
    let frame = lit([0.60, 0.58, 0.52], chance.within(0.4, 1.1));
    forms.push(Form::board([left - 9.0, -FAR, right + 9.0, line], Fill::Plain(frame)));
    forms.push(Form::board([left, -FAR, right, line], Fill::Plain(lit(frame, 0.35))));
    let surface = chance.one_of(&DOORS);
    let door = wall(surface, chance);
    forms.push(Form::board([left + 2.0, -FAR, right - 2.0, line - 2.0], of(door)));
    forms.push(Form::rod((left + 10.0, line - 120.0), (left + 24.0, line - 120.0), 3.0, [0.5, 0.4, 0.16]));
    Scene { ground, forms, lies: false }
}

fn floor(chance: &mut Chance) -> Scene {
    const FLOORS: [Surface; 3] = [Surface::Boards, Surface::Stone, Surface::Oak];
    const LEAVES: [Paint; 3] = [[0.40, 0.16, 0.03], [0.14, 0.20, 0.04], [0.34, 0.05, 0.03]];
    let surface = chance.one_of(&FLOORS);
    let ground = top(surface, chance);
    let mut forms = Vec::new();
    for _ in 0..9 {
        let (x, y) = (chance.either_way(190.0), chance.either_way(190.0));
        let (dx, dy) = (chance.either_way(16.0), chance.either_way(16.0));
        forms.push(Form::rod((x, y), (x + dx, y + dy), chance.within(6.0, 13.0), chance.one_of(&LEAVES)));
        forms.push(Form::rod((x, y), (x - dx, y - dy), 1.2, [0.08, 0.05, 0.02]));
    }
    Scene { ground, forms, lies: true }
}

/// A window with bars: what is outside runs on behind them.
fn window(chance: &mut Chance) -> Scene {
    const FRAMES: [Paint; 3] = [[0.62, 0.62, 0.60], [0.16, 0.08, 0.04], [0.08, 0.14, 0.10]];
    let (half_w, half_h) = (chance.within(100.0, 190.0), chance.within(120.0, 190.0));
    let (bars, rows) = (chance.one_of(&[2, 3, 4]), chance.one_of(&[2, 3]));
    let ground = wall(Surface::Stone, chance);
    let frame = chance.one_of(&FRAMES);
    let mut forms = vec![Form::board([-half_w, -half_h, half_w, half_h], Fill::Plain(frame))];
    let inner = [12.0 - half_w, 12.0 - half_h, half_w - 12.0, half_h - 12.0];
    forms.push(Form::board(inner, Fill::Shaded([0.34, 0.50, 0.74], [0.74, 0.76, 0.76])));
    for _ in 0..5 {
        let (x, r) = (chance.either_way(half_w - 50.0), chance.within(16.0, 34.0));
        let tree = lit([0.10, 0.22, 0.06], chance.within(0.5, 1.3));
        forms.push(Form::rod((x, inner[3] - 1.0), (x, inner[3] - 2.0 * r), 4.0, [0.08, 0.05, 0.03]));
        forms.push(Form::oval((x, inner[3] - 2.4 * r), (r, 1.3 * r), tree));
    }
    let across = |i: i32, n: i32, half: f64| -half + 2.0 * half * f64::from(i) / f64::from(n);
    for i in 1..bars {
        let x = across(i, bars, half_w);
        forms.push(Form::board([x - 5.0, -half_h, x + 5.0, half_h], Fill::Plain(lit(frame, 0.85))));
    }
    for i in 1..rows {
        let y = across(i, rows, half_h);
        forms.push(Form::board([-half_w, y - 5.0, half_w, y + 5.0], Fill::Plain(lit(frame, 0.8))));
    }
    Scene { ground, forms, lies: false }
}

fn landscape(chance: &mut Chance) -> Scene {
    let ground = wall(Surface::Card, chance);
    let line = chance.either_way(70.0);
    let sky = Fill::Shaded(
        [0.20, 0.36, 0.66],
        over([0.72, 0.74, 0.74], [0.80, 0.50, 0.26], chance.within(0.0, 1.0)),
    );
    let mut forms = vec![Form::board([-FAR, -260.0, FAR, line], sky)];
    for far in 0..4 {
        let (x, high) = (chance.either_way(220.0), chance.within(20.0, 90.0));
        let hill = lit([0.14, 0.24, 0.20], 1.4 - 0.25 * f64::from(far));
        forms.push(Form::oval((x, line + 10.0), (chance.within(120.0, 240.0), high), hill));
    }
    let (near, far) = ([0.14, 0.20, 0.04], [0.30, 0.34, 0.12]);
    forms.push(Form::board([-FAR, line, FAR, 260.0], Fill::Shaded(far, near)));
    let (x, wide) = (chance.either_way(60.0), chance.within(50.0, 120.0));
    let road = vec![(x - 4.0, line), (x + 4.0, line), (x + wide, 260.0), (x - wide, 260.0)];
    forms.push(Form::new(Shape::Convex(road), Fill::Shaded([0.48, 0.44, 0.38], [0.34, 0.31, 0.27])));
    if chance.happens(0.5) {
        forms.extend(person(chance));
    }
    Scene { ground, forms, lies: false }
}

fn tiles(chance: &mut Chance) -> Scene {
    const TILES: [Paint; 4] =
        [[0.70, 0.71, 0.70], [0.16, 0.30, 0.34], [0.46, 0.20, 0.12], [0.60, 0.55, 0.44]];
    const SIDE: (f64, f64) = (48.0, 90.0);
    const JOINT: f64 = 2.0;
    /// Enough to leave the frame on all sides.
    const ROWS: i32 = 9;
    let ground = top(Surface::Stone, chance);
    let (side, tile) = (chance.within(SIDE.0, SIDE.1), chance.one_of(&TILES));
    let dark = lit(tile, chance.one_of(&[1.0, 0.35]));
    let mut forms = Vec::new();
    for (row, column) in (-ROWS..=ROWS).flat_map(|r| (-ROWS..=ROWS).map(move |c| (r, c))) {
        let (x, y) = (f64::from(column) * side, f64::from(row) * side);
        let paint = if (row + column).rem_euclid(2) == 0 { tile } else { dark };
        let glazed = lit(paint, chance.within(0.9, 1.05));
        forms.push(Form::board([x, y, x + side - JOINT, y + side - JOINT], Fill::Plain(glazed)));
    }
    Scene { ground, forms, lies: chance.happens(0.5) }
}

/// A drawing so near that its paper has no edge in the picture.
fn close_drawing(chance: &mut Chance) -> Scene {
    let ground = top(Surface::Card, chance);
    Scene { ground, forms: person(chance), lies: true }
}

/// Patterned cloth with fruit on it.
fn cloth(chance: &mut Chance) -> Scene {
    const CLOTHS: [Surface; 3] = [Surface::Checked, Surface::Flowered, Surface::Rug];
    const FRUIT: [Paint; 3] = [[0.50, 0.05, 0.03], [0.66, 0.30, 0.02], [0.34, 0.42, 0.06]];
    let surface = chance.one_of(&CLOTHS);
    let ground = top(surface, chance);
    let mut forms = plate((chance.either_way(60.0), chance.either_way(60.0)), 95.0, chance);
    for _ in 0..5 {
        let (x, y, r) = (chance.either_way(130.0), chance.either_way(130.0), chance.within(22.0, 34.0));
        let fruit = chance.one_of(&FRUIT);
        forms.push(Form::oval((x + 5.0, y + 7.0), (r, r), [0.02, 0.02, 0.02]));
        forms.push(Form::oval((x, y), (r, r), lit(fruit, 0.7)));
        forms.push(Form::oval((x - 0.15 * r, y - 0.15 * r), (0.75 * r, 0.75 * r), fruit));
        forms.push(Form::rod((x, y - 0.4 * r), (x + 4.0, y - 1.1 * r), 1.5, [0.08, 0.05, 0.02]));
    }
    Scene { ground, forms, lies: true }
}

/// Somebody on a floor before a wall.
fn standing(chance: &mut Chance) -> Scene {
    const WALLS: [Surface; 4] = [Surface::Card, Surface::White, Surface::Stone, Surface::Flowered];
    let surface = chance.one_of(&WALLS);
    let ground = wall(surface, chance);
    let line = chance.within(70.0, 125.0);
    let mut forms = floor_from(line, chance);
    forms.extend(person(chance));
    Scene { ground, forms, lies: false }
}

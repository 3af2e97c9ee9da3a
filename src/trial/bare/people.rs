//! Somebody made of round and straight forms: no drawing of beads, but as upright and as colourful as one.

use super::forms::{Fill, Form, Shape};
use crate::trial::canvas::Paint;
use crate::trial::chance::Chance;

const SKINS: [Paint; 3] = [[0.62, 0.38, 0.28], [0.42, 0.22, 0.13], [0.16, 0.08, 0.04]];
const HAIR: [Paint; 3] = [[0.04, 0.025, 0.02], [0.40, 0.22, 0.06], [0.34, 0.34, 0.35]];
const CLOTH: [Paint; 5] =
    [[0.46, 0.04, 0.05], [0.04, 0.12, 0.36], [0.08, 0.28, 0.10], [0.70, 0.50, 0.06], [0.60, 0.60, 0.62]];
const DARK: Paint = [0.02, 0.02, 0.025];

/// Someone about the middle of the picture, 240 millimetres high at most.
pub(super) fn person(chance: &mut Chance) -> Vec<Form> {
    /// Half of the figure's height, from small to filling the picture.
    const HALF: (f64, f64) = (70.0, 120.0);
    let half = chance.within(HALF.0, HALF.1);
    let x = chance.either_way(40.0);
    let (skin, hair) = (chance.one_of(&SKINS), chance.one_of(&HAIR));
    let (coat, legs) = (chance.one_of(&CLOTH), chance.one_of(&CLOTH));
    // Places on the figure in shares of half its height, from its middle.
    let at = |dx: f64, dy: f64| (x + dx * half, dy * half);
    let rod = |from: (f64, f64), to: (f64, f64), thick: f64, paint| {
        Form::rod(at(from.0, from.1), at(to.0, to.1), thick * half, paint)
    };
    let oval =
        |(dx, dy): (f64, f64), (w, h): (f64, f64), paint| Form::oval(at(dx, dy), (w * half, h * half), paint);
    let coat_shape = vec![at(-0.2, -0.5), at(0.2, -0.5), at(0.28, 0.2), at(-0.28, 0.2)];
    let lifted = chance.within(-0.4, 0.1);
    vec![
        rod((-0.12, 0.15), (-0.14, 0.85), 0.1, legs),
        rod((0.12, 0.15), (0.14, 0.85), 0.1, legs),
        rod((-0.26, 0.93), (-0.14, 0.93), 0.07, DARK),
        rod((0.14, 0.93), (0.26, 0.93), 0.07, DARK),
        rod((-0.22, -0.4), (-0.42, 0.05), 0.07, coat),
        rod((0.22, -0.4), (0.46, lifted), 0.07, coat),
        oval((-0.42, 0.09), (0.07, 0.07), skin),
        oval((0.47, lifted), (0.07, 0.07), skin),
        Form::new(Shape::Convex(coat_shape), Fill::Plain(coat)),
        rod((-0.25, 0.02), (0.25, 0.02), 0.03, DARK),
        oval((0.0, -0.76), (0.2, 0.23), hair),
        oval((0.0, -0.70), (0.16, 0.19), skin),
        oval((-0.06, -0.72), (0.022, 0.028), DARK),
        oval((0.06, -0.72), (0.022, 0.028), DARK),
        rod((-0.04, -0.6), (0.04, -0.6), 0.012, [0.36, 0.05, 0.05]),
    ]
}

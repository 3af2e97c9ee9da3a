//! Marks far smaller than a bead that a maker sets as whole beads (`src/trial/sketches`, two designs of each; common
//! practice, no source).

use crate::design::{drafted, man, row};
use crate::sketch::{HEAD, options};

/// Whatever it was drawn with (12 of the 22 mouths designed by eye for our sketches).
#[test]
fn a_mouth_is_a_deep_red() {
    let mouth = |x: f64, y: f64| x.abs() < 0.014 && (y - (1.0 - 0.76 * HEAD)).abs() < 0.004;
    let draft = drafted(man(|x, y, drawn| if mouth(x, y) { [0xd8, 0x70, 0x60] } else { drawn }), &options());
    let red = |at: usize| row(&draft, at).into_iter().filter(|bead| bead.1 == "cherry").count();
    assert_eq!(red(3) + red(4), 1, "{:?}", [row(&draft, 3), row(&draft, 4)]);
}

//! Marks far smaller than a bead that a maker sets as whole beads (`src/trial/sketches`, two designs of each; common
//! practice, no source).

use crate::design::{PAPER, drafted, lightness, man, row};
use crate::sketch::{HEAD, options};

/// Whatever it was drawn with (12 of the 22 mouths designed by eye for our sketches).
#[test]
fn a_mouth_is_a_deep_red() {
    let mouth = |x: f64, y: f64| x.abs() < 0.014 && (y - (1.0 - 0.76 * HEAD)).abs() < 0.004;
    let draft = drafted(man(|x, y, drawn| if mouth(x, y) { [0xd8, 0x70, 0x60] } else { drawn }), &options());
    let red = |at: usize| row(&draft, at).into_iter().filter(|bead| bead.1 == "cherry").count();
    assert_eq!(red(3) + red(4), 1, "{:?}", [row(&draft, 3), row(&draft, 4)]);
}

/// A hat drawn over the brow has no rows of its own in the plan; the face below it has its eyes all the same.
#[test]
fn a_face_below_a_hat_has_its_eyes() {
    const HAT: [u8; 3] = [0x24, 0x46, 0x8c];
    const SKIN: [u8; 3] = [0xf0, 0xc3, 0xa5];
    let chin = 1.0 - HEAD;
    let hatted = man(|x, y, drawn| {
        let is_eye = (x.abs() - 0.02).hypot((y - (chin + 0.27 * HEAD)) * 0.8) < 0.007;
        match drawn {
            PAPER => PAPER,
            _ if y > 1.0 - 0.6 * HEAD => HAT,
            _ if y > chin => {
                if is_eye {
                    [0x20, 0x20, 0x22]
                } else {
                    SKIN
                }
            }
            _ => drawn,
        }
    });
    let draft = drafted(hatted, &options());
    let dark = |at: usize| -> Vec<usize> {
        row(&draft, at).into_iter().filter(|bead| lightness(&bead.1) < 20.0).map(|bead| bead.0).collect()
    };
    assert!(dark(2).is_empty(), "{:?}", row(&draft, 2));
    let eyes = dark(3);
    assert_eq!(eyes.len(), 2, "{:?}", (1..5).map(|at| row(&draft, at)).collect::<Vec<_>>());
    assert_eq!(eyes[1] - eyes[0], 2);
}

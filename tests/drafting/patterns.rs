//! Patterns of cloth in sketches that were never on a grid: stripes stay whole, a check is thinned to every second
//! bead, and what only looks like a pattern stays flat.

use std::collections::BTreeSet;

use crate::sketch::{ANKLE, BELT, COAT, HIPS, SHADED, TROUSERS, drafted_from, drawn, options, row, shown};

const RED: [u8; 3] = [0xc8, 0x2c, 0x2c];
const WHITE: [u8; 3] = [0xf4, 0xec, 0xdc];
const PENCIL: [u8; 3] = [0x90, 0x70, 0x48];

/// Height of a bead as a share of the figure's.
const BEAD: f64 = 1.0 / 24.0;

type Row = Vec<Option<String>>;

/// Whether a place lies in the first half of its period, in beads.
fn is_first(place: f64, period: f64) -> bool {
    (place / (period * BEAD)).rem_euclid(1.0) < 0.5
}

fn rows_of(shown: impl Fn(f64, f64) -> Option<[u8; 3]>, rows: std::ops::Range<usize>) -> Vec<Row> {
    let draft = drafted_from(drawn(shown), &options());
    rows.map(|at| row(&draft, at)).collect()
}

/// The woman of the tests: a skirt from belt to ankle, a little wider below, in place of trousers.
fn in_skirt(x: f64, y: f64, cloth: impl Fn(f64, f64) -> [u8; 3]) -> Option<[u8; 3]> {
    let hem = ANKLE + 0.03;
    if (hem..BELT).contains(&y) {
        let half = HIPS / 2.0 + 0.02 * (BELT - y) / (BELT - hem);
        return (x.abs() < half).then(|| cloth(x / half, y));
    }
    shown(x, y)
}

/// The man in trousers, or a coat, of some cloth.
fn in_cloth(x: f64, y: f64, of: &[[u8; 3]], cloth: impl Fn(f64, f64) -> [u8; 3]) -> Option<[u8; 3]> {
    shown(x, y).map(|seen| if of.contains(&seen) { cloth(x, y) } else { seen })
}

fn names(rows: &[Row]) -> BTreeSet<&str> {
    rows.iter().flatten().flatten().map(String::as_str).collect()
}

/// Both designs by eye of our oyster seller: a skirt of narrow upright stripes is one bead and one bead, each straight
/// from the waist to the hem.
#[test]
fn upright_stripes_of_a_skirt_are_whole_columns() {
    for stripes in [5.5, 6.5] {
        let cloth = |x: f64, _| if ((x + 1.0) / 2.0 * stripes).fract() < 0.5 { RED } else { WHITE };
        let rows = rows_of(|x, y| in_skirt(x, y, cloth), 16..21);
        assert_eq!(names(&rows).len(), 2, "{stripes}: {rows:?}");
        for row in &rows {
            let beads: Vec<&String> = row.iter().flatten().collect();
            assert!(
                beads.len() >= 5 && beads.windows(2).all(|pair| pair[0] != pair[1]),
                "{stripes}: {row:?}"
            );
        }
        for column in 0..rows[0].len() {
            let own: BTreeSet<&String> = rows.iter().filter_map(|row| row[column].as_ref()).collect();
            assert!(own.len() <= 1, "{stripes}: column {column} is interrupted: {rows:?}");
        }
    }
}

/// Rings of both sleeves are alike.
#[test]
fn rings_of_sleeves_are_whole_rows_on_both_sides() {
    let sleeve = |x: f64, y: f64| match shown(x, y) {
        Some(COAT) if x.abs() > HIPS / 2.0 && y < 0.79 => Some(if is_first(y, 1.0) { RED } else { WHITE }),
        seen => seen,
    };
    let rows = rows_of(sleeve, 8..11);
    let ends: Vec<(String, String)> = rows
        .iter()
        .map(|row| {
            let beads: Vec<&String> = row.iter().flatten().collect();
            (beads[0].clone(), beads[beads.len() - 1].clone())
        })
        .collect();
    assert!(ends.iter().all(|(left, right)| left == right), "{ends:?}");
    assert!(ends.windows(2).all(|pair| pair[0].0 != pair[1].0), "{ends:?}");
}

/// Lying stripes of a jersey go on from side to side.
#[test]
fn lying_stripes_of_a_jersey_are_whole_rows() {
    let jersey = |x: f64, y: f64| in_cloth(x, y, &[COAT], |_, y| if is_first(y, 1.1) { RED } else { WHITE });
    let rows = rows_of(jersey, 8..12);
    for row in &rows {
        let trunk: BTreeSet<&String> = row.iter().flatten().collect();
        assert_eq!(trunk.len(), 1, "{rows:?}");
    }
    assert!(rows.windows(2).all(|pair| names(&pair[..1]) != names(&pair[1..])), "{rows:?}");
}

/// Both designs by eye of our baker: every second bead of checked trousers has the check's colour.
#[test]
fn a_check_is_every_second_bead() {
    let line = |place: f64| (place / (0.7 * BEAD)).rem_euclid(1.0) < 0.3;
    let cloth = |x: f64, y: f64| if line(x) || line(y) { [0x28, 0x28, 0x30] } else { [0x9a, 0x9a, 0x98] };
    let rows = rows_of(|x, y| in_cloth(x, y, &[TROUSERS, SHADED], cloth), 17..22);
    assert_eq!(names(&rows).len(), 2, "{rows:?}");
    for pair in rows.windows(2) {
        for column in 0..pair[0].len() - 1 {
            let bead = |row: usize, column: usize| pair[row][column].as_ref();
            let alike = |a: Option<&String>, b: Option<&String>| a.is_some() && a == b;
            assert!(!alike(bead(0, column), bead(1, column)), "{rows:?}");
            assert!(!alike(bead(0, column), bead(0, column + 1)), "{rows:?}");
        }
    }
}

/// Strokes of a pen lie far closer than beads.
#[test]
fn hatching_is_no_stripes() {
    for slope in [0.0, 0.7] {
        let cloth = |x: f64, y: f64| {
            if is_first(x * HIPS / 2.0 + slope * y, 0.25) { PENCIL } else { [0xe8, 0xd8, 0xa0] }
        };
        let rows = rows_of(|x, y| in_skirt(x, y, cloth), 16..21);
        let takes_turns = |row: &&Row| {
            let beads: Vec<&String> = row.iter().flatten().collect();
            beads.windows(2).all(|pair| pair[0] != pair[1])
        };
        assert_eq!(rows.iter().filter(takes_turns).count(), 0, "{slope}: {rows:?}");
    }
}

/// A few folds are no pattern.
#[test]
fn folds_are_no_stripes() {
    let cloth = |x: f64, _: f64| {
        let is_fold = [-0.6_f64, 0.1, 0.5].iter().any(|fold| (x - fold).abs() < 0.06);
        if is_fold { [0x80, 0x20, 0x20] } else { RED }
    };
    let rows = rows_of(|x, y| in_skirt(x, y, cloth), 16..21);
    assert_eq!(names(&rows).len(), 1, "{rows:?}");
}

/// Two colours too alike to read as beads stay one.
#[test]
fn stripes_that_would_not_read_stay_flat() {
    let cloth = |x: f64, _: f64| if is_first(x * HIPS / 2.0, 0.9) { RED } else { [0xb0, 0x30, 0x30] };
    let rows = rows_of(|x, y| in_skirt(x, y, cloth), 16..21);
    assert_eq!(names(&rows).len(), 1, "{rows:?}");
}

#[test]
fn plain_cloth_stays_flat() {
    let rows = rows_of(|x, y| in_skirt(x, y, |_, _| RED), 16..21);
    assert_eq!(names(&rows).len(), 1, "{rows:?}");
}

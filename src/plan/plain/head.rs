//! Head, neck and hair.

use super::super::{Facing, HeadShape, Zone};
use super::{Material, Peg, Plan, across, peg};

/// A head of fewer rows has no corners to round and no ear.
const LEAST_ROUND: usize = 3;

/// Columns of a head's rows: four beads of one who is turned, a fifth for the ear; five, as a torso has, of one who
/// looks at us, so that both sides are alike.
fn wide(plan: &Plan) -> std::ops::RangeInclusive<i32> {
    match plan.look.facing {
        Facing::Turned => -2..=1,
        Facing::Forward => -2..=2,
    }
}

/// Columns of its top row: the corners are missing from a round one.
fn top(plan: &Plan) -> std::ops::RangeInclusive<i32> {
    let wide = wide(plan);
    match plan.look.head {
        HeadShape::Round if plan.rows(Zone::Head) >= LEAST_ROUND || plan.rows(Zone::Head) == 0 => {
            wide.start() + 1..=wide.end() - 1
        }
        _ => wide,
    }
}

/// Crown to chin with the ear, and the neck.
pub(super) fn head(plan: &Plan) -> Vec<Peg> {
    let (first, rows) = (plan.first(Zone::Head), plan.rows(Zone::Head));
    let columns = |row: usize| if row == 0 { top(plan) } else { wide(plan) };
    let mut pegs: Vec<Peg> =
        (0..rows).flat_map(|row| across(first + row, columns(row), Material::Skin)).collect();
    // One who looks at us has both ears within the five beads, where the hair leaves them free.
    if plan.look.facing == Facing::Turned && rows >= LEAST_ROUND {
        pegs.push(peg(first + rows / 2, wide(plan).end() + 1, Material::Skin));
    }
    let neck = wide(plan).start() + 1..=wide(plan).end() - 1;
    let throat = plan.first(Zone::Neck)..plan.first(Zone::Torso);
    pegs.extend(throat.flat_map(|row| across(row, neck.clone(), Material::Skin)));
    pegs
}

/// Hair: over the crown, down behind the ear of one who is turned and to both sides of a face that looks at us; piled
/// up in the rows above the head.
pub(super) fn hair(plan: &Plan) -> Vec<Peg> {
    let (first, rows) = (plan.first(Zone::Head), plan.rows(Zone::Head));
    let piled = plan.rows(Zone::Headwear);
    let mut pegs: Vec<Peg> = (0..piled).flat_map(|row| across(row, top(plan), Material::Hair)).collect();
    // A head of one row is all face.
    if rows < 2 {
        return pegs;
    }
    let crown = crown(rows);
    let columns = |row: usize| if row == 0 { top(plan) } else { wide(plan) };
    pegs.extend((0..crown).flat_map(|row| across(first + row, columns(row), Material::Hair)));
    let (left, right) = wide(plan).into_inner();
    match plan.look.facing {
        Facing::Turned => {
            pegs.extend((crown..rows - 1).map(|row| peg(first + row, right, Material::Hair)));
        }
        Facing::Forward if crown + 1 < rows => {
            pegs.extend(across(first + crown, [left, right], Material::Hair));
        }
        Facing::Forward => {}
    }
    pegs
}

/// Rows of a head that hair covers: two of five.
fn crown(rows: usize) -> usize {
    (rows * 2 / 5).max(1)
}

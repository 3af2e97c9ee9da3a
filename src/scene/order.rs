//! In which order figures are laid: what stands lower in the scene stands in front, but where the file says what is over
//! what.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Who stands behind whom, by places in the list: the first is laid before the second.
pub(super) type Before = (usize, usize);

/// The order to lay figures in, the back ones first. `soles` has the row each stands on, in the order of the file;
/// `moved` says which of two the file moves, and which it stays behind or before.
///
/// Else those of a circle in which each is to stand behind the next.
pub(super) fn order(soles: &[usize], said: &[Moved]) -> Result<Vec<usize>, Vec<usize>> {
    let depths = depths(soles, said);
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); soles.len()];
    let mut waits_for = vec![0_usize; soles.len()];
    for (behind, front) in said.iter().map(|moved| moved.before()) {
        after[behind].push(front);
        waits_for[front] += 1;
    }
    let ready = (0..soles.len()).filter(|at| waits_for[*at] == 0);
    let mut ready: BinaryHeap<Reverse<(Depth, usize)>> = ready.map(|at| Reverse((depths[at], at))).collect();
    let mut order = Vec::with_capacity(soles.len());
    // Topological sorting by what waits for nothing (A. B. Kahn, CACM 5, 1962), the farthest back first.
    while let Some(Reverse((_, at))) = ready.pop() {
        order.push(at);
        for &front in &after[at] {
            waits_for[front] -= 1;
            if waits_for[front] == 0 {
                ready.push(Reverse((depths[front], front)));
            }
        }
    }
    if order.len() == soles.len() { Ok(order) } else { Err(circle(&after, &waits_for)) }
}

/// What the file says of one figure: that it stands over another, or under it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moved {
    pub one: usize,
    pub other: usize,
    pub over: bool,
}

impl Moved {
    fn before(self) -> Before {
        if self.over { (self.other, self.one) } else { (self.one, self.other) }
    }
}

/// The row that is stood on and the place in the file; then how far in front of what stands there.
type Depth = (usize, usize, i64);

/// How far in front each stands: by its sole, and what is moved just before or behind the other.
fn depths(soles: &[usize], said: &[Moved]) -> Vec<Depth> {
    let mut depths: Vec<Depth> = soles.iter().enumerate().map(|(at, sole)| (*sole, at, 0)).collect();
    // One move may rest on another: as often as there are moves, and of a circle no more.
    for _ in 0..said.len() {
        let before = depths.clone();
        for moved in said {
            let (sole, at, step) = depths[moved.other];
            let own = depths[moved.one];
            if moved.over && own <= (sole, at, step) {
                depths[moved.one] = (sole, at, step + 1);
            } else if !moved.over && own >= (sole, at, step) {
                depths[moved.one] = (sole, at, step - 1);
            }
        }
        if depths == before {
            break;
        }
    }
    depths
}

/// A circle among those that still wait: walking back from who waits to whom it waits for, somebody comes again.
fn circle(after: &[Vec<usize>], waits_for: &[usize]) -> Vec<usize> {
    let waiting = |at: &usize| waits_for[*at] > 0;
    let behind = |at: usize| (0..after.len()).filter(waiting).find(|other| after[*other].contains(&at));
    let mut walked: Vec<usize> = (0..after.len()).find(|at| waiting(at)).into_iter().collect();
    while let Some(next) = walked.last().and_then(|last| behind(*last)) {
        if let Some(first) = walked.iter().position(|at| *at == next) {
            walked.drain(..first);
            walked.reverse();
            break;
        }
        walked.push(next);
    }
    walked
}

//! The few of many that bring most together, each place counting its best one alone.
//!
//! The sum is monotone and has diminishing returns: what one more brings is never more than it brings to fewer (G. L.
//! Nemhauser, L. A. Wolsey, M. L. Fisher, "An analysis of approximations for maximizing submodular set functions I",
//! Mathematical Programming 14, 265-294, 1978). So no choice from here on can bring more than the sum so far and the
//! largest few single gains that are left, and all that cannot be better is passed over (branch and bound).

/// The most that can be sought at once: further ones bring little, and the search grows with each.
pub const MOST_SOUGHT: usize = 10;

/// Looks at a candidate's single gain before the search stops where it is; three of 300 take a hundredth of them. More than
/// a few seconds nobody waits for the last thousandth.
const MOST_LOOKS: u64 = 20_000_000;

/// What was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// The chosen, each by its place, the one first that brings most to those before it. Fewer than were sought where the
    /// rest would bring nothing.
    pub chosen: Vec<usize>,
    /// What they bring together.
    pub sum: u64,
    /// No choice brings more; equal to `sum` where all choices were looked through.
    pub at_most: u64,
}

/// What each candidate brings to the places where it brings anything: place and gain, each place once.
type Gains = [Vec<(usize, u64)>];

/// The `sought` candidates (at most [`MOST_SOUGHT`]) that bring most to `places` together.
///
/// ```
/// use smallcast::rematch::best_of;
/// // The first brings most alone, the other two bring more together.
/// let gains = [vec![(0, 5), (1, 5)], vec![(0, 8)], vec![(1, 7)]];
/// assert_eq!(best_of(&gains, 2, 1).chosen, [0]);
/// assert_eq!(best_of(&gains, 2, 2).chosen, [1, 2]);
/// ```
pub fn best_of(gains: &Gains, places: usize, sought: usize) -> Found {
    let sought = sought.min(MOST_SOUGHT);
    let mut search = Search { gains, best: Vec::new(), sum: 0, looks: 0, stopped: false };
    let covered = vec![0; places];
    search.greedy(&covered, sought);
    let all: Vec<usize> = (0..gains.len()).filter(|&at| !gains[at].is_empty()).collect();
    let bound = search.from(&all, sought, (&covered, 0), &mut Vec::new());
    let at_most = if search.stopped { bound.max(search.sum) } else { search.sum };
    let (chosen, sum) = (in_order(gains, search.best, places), search.sum);
    Found { chosen, sum, at_most }
}

struct Search<'a> {
    gains: &'a Gains,
    best: Vec<usize>,
    sum: u64,
    looks: u64,
    stopped: bool,
}

impl Search<'_> {
    /// Always the next that brings most: a good first answer, which many others cannot beat.
    fn greedy(&mut self, covered: &[u64], sought: usize) {
        let mut covered = covered.to_vec();
        for _ in 0..sought {
            let more = |at: &usize| more(&self.gains[*at], &covered);
            let Some(next) = (0..self.gains.len()).rev().max_by_key(more).filter(|at| more(at) > 0) else {
                break;
            };
            self.sum += more(&next);
            self.best.push(next);
            cover(&mut covered, &self.gains[next]);
        }
    }

    /// Chooses this many more of those left; says what no choice from here can exceed.
    fn from(
        &mut self,
        left: &[usize],
        sought: usize,
        (covered, sum): (&[u64], u64),
        chosen: &mut Vec<usize>,
    ) -> u64 {
        if sought == 0 {
            return sum;
        }
        self.looks += left.len() as u64;
        let mut ranked: Vec<(u64, usize)> = left
            .iter()
            .map(|&at| (more(&self.gains[at], covered), at))
            .filter(|(gain, _)| *gain > 0)
            .collect();
        // What brings most first; of equals the first in the list.
        ranked.sort_unstable_by(|one, other| other.0.cmp(&one.0).then(one.1.cmp(&other.1)));
        let bound = |from: usize| sum + ranked[from..].iter().take(sought).map(|(gain, _)| gain).sum::<u64>();
        let most = bound(0);
        for at in 0..ranked.len() {
            if bound(at) <= self.sum {
                break;
            }
            if self.looks > MOST_LOOKS {
                self.stopped = true;
                break;
            }
            let (gain, candidate) = ranked[at];
            chosen.push(candidate);
            if sum + gain > self.sum {
                (self.sum, self.best) = (sum + gain, chosen.clone());
            }
            if sought > 1 {
                let mut covered = covered.to_vec();
                cover(&mut covered, &self.gains[candidate]);
                // In the order they rank by now, so that good answers come early.
                let left: Vec<usize> = ranked[at + 1..].iter().map(|(_, at)| *at).collect();
                self.from(&left, sought - 1, (&covered, sum + gain), chosen);
            }
            chosen.pop();
        }
        most
    }
}

/// What a candidate brings beyond what is covered.
fn more(gains: &[(usize, u64)], covered: &[u64]) -> u64 {
    gains.iter().map(|&(place, gain)| gain.saturating_sub(covered[place])).sum()
}

fn cover(covered: &mut [u64], gains: &[(usize, u64)]) {
    gains.iter().for_each(|&(place, gain)| covered[place] = covered[place].max(gain));
}

/// The chosen in the order of what each adds to those before it; those that add nothing are left out.
fn in_order(gains: &Gains, mut chosen: Vec<usize>, places: usize) -> Vec<usize> {
    chosen.sort_unstable();
    let mut covered = vec![0; places];
    let mut ordered = Vec::new();
    while let Some(next) = chosen.iter().copied().rev().max_by_key(|at| more(&gains[*at], &covered)) {
        if more(&gains[next], &covered) == 0 {
            break;
        }
        cover(&mut covered, &gains[next]);
        chosen.retain(|at| *at != next);
        ordered.push(next);
    }
    ordered
}

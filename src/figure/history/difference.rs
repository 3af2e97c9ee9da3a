//! The lines in which two texts differ.

/// Lines that stand instead of others.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Hunk {
    /// Where they stand in the older text, counted from 0.
    pub at: usize,
    /// The lines of the older text.
    pub old: Vec<String>,
    /// The lines of the newer text.
    pub new: Vec<String>,
}

impl Hunk {
    pub(super) fn bytes(&self) -> usize {
        self.old.iter().chain(&self.new).map(|line| line.len() + 2).sum()
    }
}

/// How many lines ahead two texts are looked through for where they agree again: more than a line of the
/// legend or a note takes in a figure's text, and few, so that the time grows with the lines alone.
const AHEAD: usize = 24;

/// What leads from one text to another. Small where little differs; right in any case.
pub(super) fn between(old: &str, new: &str) -> Vec<Hunk> {
    let (old, new): (Vec<&str>, Vec<&str>) = (old.split('\n').collect(), new.split('\n').collect());
    let mut hunks: Vec<Hunk> = Vec::new();
    let (mut i, mut j) = (0, 0);
    while i < old.len() || j < new.len() {
        if i < old.len() && j < new.len() && old[i] == new[j] {
            (i, j) = (i + 1, j + 1);
            continue;
        }
        let (skip_old, skip_new) = agree_again(&old[i..], &new[j..]);
        let own = |lines: &[&str]| lines.iter().map(|line| (*line).to_owned()).collect::<Vec<_>>();
        let (gone, come) = (own(&old[i..i + skip_old]), own(&new[j..j + skip_new]));
        match hunks.last_mut().filter(|hunk| hunk.at + hunk.old.len() == i) {
            Some(hunk) => {
                hunk.old.extend(gone);
                hunk.new.extend(come);
            }
            None => hunks.push(Hunk { at: i, old: gone, new: come }),
        }
        (i, j) = (i + skip_old, j + skip_new);
    }
    hunks
}

/// How many lines of each to pass over until both agree for two lines: the fewest, or one of each (or all that
/// is left of one).
fn agree_again(old: &[&str], new: &[&str]) -> (usize, usize) {
    let agree = |i: usize, j: usize| {
        let (a, b) = (old.get(i..), new.get(j..));
        a.zip(b).is_some_and(|(a, b)| match (a.len(), b.len()) {
            (0, 0) => true,
            (0, _) | (_, 0) => false,
            _ => a[0] == b[0] && a.get(1) == b.get(1),
        })
    };
    let ways = (1..=AHEAD).flat_map(|both| (0..=both).map(move |i| (i, both - i)));
    // One line for another is the commonest change, and comes first among its likes.
    std::iter::once((1, 1))
        .chain(ways)
        .find(|&(i, j)| agree(i, j))
        .unwrap_or((old.len().min(1), new.len().min(1)))
}

/// The newer text made from the older one, or the older from the newer; nothing if the lines do not fit.
pub(super) fn applied(text: &str, hunks: &[Hunk], forward: bool) -> Option<String> {
    let lines: Vec<&str> = text.split('\n').collect();
    let mut made: Vec<&str> = Vec::with_capacity(lines.len());
    let (mut next, mut shift) = (0, 0_isize);
    for hunk in hunks {
        let (from, to) = if forward { (&hunk.old, &hunk.new) } else { (&hunk.new, &hunk.old) };
        let at = if forward { hunk.at } else { hunk.at.checked_add_signed(shift)? };
        shift += hunk.new.len() as isize - hunk.old.len() as isize;
        made.extend(lines.get(next..at)?);
        let there = lines.get(at..at.checked_add(from.len())?)?;
        if there != from {
            return None;
        }
        made.extend(to.iter().map(String::as_str));
        next = at + from.len();
    }
    made.extend(lines.get(next..)?);
    Some(made.join("\n"))
}

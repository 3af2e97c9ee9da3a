//! CIEDE2000 against the crate palette's, in one run: a pair alone and in a batch, and the nearest of 300 beads. Asked:
//! a pair of a batch in a fifth of palette's time, the nearest bead in 3 % of palette's search over all.

use std::hint::black_box;
use std::time::{Duration, Instant};

use palette::color_difference::Ciede2000;
use palette::white_point::D65;
use smallcast::colour::{Colours, Lab, Srgb, ciede2000};

/// Beads of a large tray.
const BEADS: usize = 300;

/// Colours that are sought.
const SOUGHT: usize = 60;

/// Rounds, taken in turn so that what else the machine does falls on all alike.
const ROUNDS: usize = 200;

type Theirs = palette::Lab<D65, f64>;

/// Colours all over sRGB, the same in every run.
fn colours(count: usize, seed: u32) -> Vec<Lab> {
    let mut state = seed;
    let mut channel = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 24) as u8
    };
    (0..count).map(|_| Srgb::new(channel(), channel(), channel()).lab()).collect()
}

/// The least time of all rounds for each task, a turn each.
fn times<const N: usize>(tasks: [(&str, &dyn Fn()); N]) -> [f64; N] {
    let mut least = [Duration::MAX; N];
    for _ in 0..ROUNDS {
        for ((_, task), least) in tasks.iter().zip(&mut least) {
            let start = Instant::now();
            task();
            *least = start.elapsed().min(*least);
        }
    }
    least.map(|time| time.as_secs_f64() * 1e9)
}

fn main() {
    let (beads, sought) = (colours(BEADS, 1), colours(SOUGHT, 2));
    let theirs = |labs: &[Lab]| labs.iter().map(|c| Theirs::new(c.l, c.a, c.b)).collect::<Vec<_>>();
    let (their_beads, their_sought) = (theirs(&beads), theirs(&sought));
    let kept = Colours::new(beads.iter().copied());
    let least = |all: &mut dyn Iterator<Item = f64>| {
        all.enumerate().min_by(|one, other| one.1.total_cmp(&other.1)).map(|(place, _)| place)
    };
    let brute = || {
        for aim in &their_sought {
            black_box(least(&mut their_beads.iter().map(|bead| aim.difference(*bead))));
        }
    };
    let single = || {
        for aim in &sought {
            black_box(least(&mut beads.iter().map(|bead| ciede2000(*aim, *bead).0)));
        }
    };
    let batch = || sought.iter().for_each(|aim| drop(black_box(kept.differences(*aim))));
    let nearest = || sought.iter().for_each(|aim| drop(black_box(kept.nearest(*aim, 1))));
    let five = || sought.iter().for_each(|aim| drop(black_box(kept.nearest(*aim, 5))));
    let [brute, single, batch, nearest, five] = times([
        ("palette", &brute),
        ("single", &single),
        ("batch", &batch),
        ("nearest", &nearest),
        ("five", &five),
    ]);
    let pair = |time: f64| time / (SOUGHT * BEADS) as f64;
    println!(
        "a pair, ns: palette {:.0}, ours {:.0}, in a batch {:.1} ({:.1} times as quick as palette)",
        pair(brute),
        pair(single),
        pair(batch),
        brute / batch
    );
    println!(
        "nearest of {BEADS}, ns: palette {:.0}, ours {:.0} ({:.1} %), the five nearest {:.0} ({:.1} %)",
        brute / SOUGHT as f64,
        nearest / SOUGHT as f64,
        100.0 * nearest / brute,
        five / SOUGHT as f64,
        100.0 * five / brute
    );
}

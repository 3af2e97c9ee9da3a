//! Middle values, which a few strays do not move.

use crate::colour::Lab;

/// The middle value; 0 of nothing.
pub(crate) fn median(mut values: Vec<f64>) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let middle = values.len() / 2;
    *values.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// The middle of each channel of some colours.
pub(crate) fn middle_colour(colours: &[Lab]) -> Lab {
    let of = |channel: fn(&Lab) -> f64| median(colours.iter().map(channel).collect());
    Lab::new(of(|c| c.l), of(|c| c.a), of(|c| c.b))
}

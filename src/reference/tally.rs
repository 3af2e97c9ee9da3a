//! Light counted in sixteen bits, so that a whole photograph is summed in little more time than it is read.
//!
//! sRGB's curve is a power, and a table costs more than all the adding. A cubic keeps within 0.4 % of full
//! light of the curve and is whole-number arithmetic that runs on many values at once. Counts are added and
//! averaged; at the end a table brings them to light, exactly where all that was averaged was one value.

use std::ops::Range;
use std::sync::LazyLock;

use image::RgbaImage;

use super::shrink::Light;
use crate::colour::Srgb;

/// The cubic's weights for a value of 0 to 255: `3 v + v v (45000 + 79 v) / 65536`. The first keeps the darkest
/// values apart, the other two come nearest to the curve while every product fits sixteen bits.
const LINEAR: u16 = 3;
const SQUARE: u16 = 45_000;
const CUBE: u16 = 79;

/// The count of full light, and of an opaque pixel.
pub(super) const FULL: u16 = count(u8::MAX);

/// The count of an 8-bit value. The products fit: 255 x 255, and 45000 + 79 x 255.
const fn count(value: u8) -> u16 {
    let v = value as u16;
    let product = (v * v) as u32 * (SQUARE + CUBE * v) as u32;
    LINEAR * v + (product >> 16) as u16
}

/// Counts of red, green, blue and alpha, the colours times alpha.
pub(super) type Counts = [u32; 4];

/// Sums of some rows of a picture, column by column, from column `from` on.
pub(super) fn sum_rows(pixels: &RgbaImage, rows: Range<usize>, from: usize, sums: &mut [Counts]) {
    let (stride, length) = (pixels.width() as usize * 4, sums.len() * 4);
    let row = |y: usize| &pixels.as_raw()[y * stride + from * 4..][..length];
    sums.fill([0; 4]);
    let mut left = rows.clone();
    while left.len() >= 2 {
        add_two(sums.as_flattened_mut(), row(left.start), row(left.start + 1));
        left.start += 2;
    }
    left.for_each(|y| add_one(sums.as_flattened_mut(), row(y)));
    // Alpha was counted like a colour: full everywhere means that nothing is clear.
    let opaque = rows.len() as u32 * u32::from(FULL);
    if sums.iter().any(|sum| sum[3] != opaque) {
        sums.fill([0; 4]);
        rows.for_each(|y| add_clear(sums, row(y)));
    }
}

fn add_one(sums: &mut [u32], row: &[u8]) {
    for (sum, &value) in sums.iter_mut().zip(row) {
        *sum += u32::from(count(value));
    }
}

fn add_two(sums: &mut [u32], one: &[u8], other: &[u8]) {
    for ((sum, &one), &other) in sums.iter_mut().zip(one).zip(other) {
        *sum += u32::from(count(one)) + u32::from(count(other));
    }
}

/// Adds a row that is clear in places: colours count as far as they are opaque.
fn add_clear(sums: &mut [Counts], row: &[u8]) {
    for (sum, &[r, g, b, alpha]) in sums.iter_mut().zip(row.as_chunks::<4>().0) {
        let part = |count: u16| u32::from(count) * u32::from(alpha) / u32::from(u8::MAX);
        for (sum, count) in sum.iter_mut().zip([count(r), count(g), count(b), FULL]) {
            *sum += part(count);
        }
    }
}

/// The exact light of each 8-bit value.
static EXACT: LazyLock<[f32; 256]> =
    LazyLock::new(|| std::array::from_fn(|v| Srgb::new(v as u8, v as u8, v as u8).linear().r as f32));

/// Sums of the light itself, where it is not shrunk far and there are few pixels.
pub(super) fn exact_rows(pixels: &RgbaImage, rows: Range<usize>, from: usize, sums: &mut [Light]) {
    let (stride, table) = (pixels.width() as usize * 4, &*EXACT);
    sums.fill([0.0; 4]);
    for y in rows {
        let row = &pixels.as_raw()[y * stride + from * 4..][..sums.len() * 4];
        for (sum, &[r, g, b, alpha]) in sums.iter_mut().zip(row.as_chunks::<4>().0) {
            let light = [table[r as usize], table[g as usize], table[b as usize], 1.0];
            let opacity = if alpha == u8::MAX { 1.0 } else { f32::from(alpha) / 255.0 };
            (0..4).for_each(|c| sum[c] += light[c] * opacity);
        }
    }
}

/// Entries of the table a unit of the count's root: some eight to each 8-bit value.
const FINE: f32 = 8.0;

/// Light by the root of a count, which runs evenly through the 8-bit values.
static LIGHT: LazyLock<Vec<f32>> = LazyLock::new(|| {
    let known: Vec<(f64, f64)> =
        (0..=u8::MAX).map(|v| (f64::from(count(v)), Srgb::new(v, v, v).linear().r)).collect();
    let entries = (f32::from(FULL).sqrt() * FINE) as usize + 2;
    let mut below = 0;
    let entry = |at: usize| {
        let sought = (at as f64 / f64::from(FINE)).powi(2);
        while below + 2 < known.len() && known[below + 1].0 <= sought {
            below += 1;
        }
        let ((from, dark), (to, bright)) = (known[below], known[below + 1]);
        (dark + (bright - dark) * (sought - from) / (to - from)) as f32
    };
    (0..=entries).map(entry).collect()
});

/// The light of a mean count; `full` is what full light counts.
pub(super) fn light_of(counts: [f32; 4], full: f32) -> Light {
    let table = &*LIGHT;
    let alpha = (counts[3] / full).min(1.0);
    if alpha <= 0.0 {
        return [0.0; 4];
    }
    let mut light = [0.0, 0.0, 0.0, alpha];
    let scale = f32::from(FULL) / (full * alpha);
    for channel in 0..3 {
        let root = (counts[channel] * scale).clamp(0.0, f32::from(FULL)).sqrt() * FINE;
        let at = root as usize;
        let part = root - at as f32;
        light[channel] = (table[at] + (table[at + 1] - table[at]) * part) * alpha;
    }
    light
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_grow_and_keep_near_the_curve() {
        for v in 0..u8::MAX {
            assert!(count(v) < count(v + 1));
            let light = Srgb::new(v, v, v).linear().r;
            assert!((f64::from(count(v)) / f64::from(FULL) - light).abs() < 0.004, "{v}");
        }
    }

    #[test]
    fn one_value_comes_back() {
        for v in 0..=u8::MAX {
            let [r, ..] = light_of([f32::from(count(v)), 0.0, 0.0, f32::from(FULL)], f32::from(FULL));
            let exact = Srgb::new(v, v, v).linear().r as f32;
            assert!((r - exact).abs() <= 0.01 * exact, "{v}: {r} instead of {exact}");
        }
    }
}

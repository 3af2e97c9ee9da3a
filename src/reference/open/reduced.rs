//! Decodes a plain JPEG at a half, a quarter or an eighth of its size: each pixel is the mean of those it stands for.
//!
//! The means are taken from the coefficients as they are read (the cosines of ITU-T T.81, A.3.3, averaged over the
//! pixels): most are nought, so there is little to add up, and the large picture is never made. What is not a plain
//! file, whole to its end mark, is left to the decoder that makes all of it.

mod bits;

use std::f64::consts::PI;

use image::RgbaImage;

use bits::{Bits, Codes};

/// Pixels along a block of coefficients, and coefficients in it.
const BLOCK: usize = 8;
const AREA: usize = BLOCK * BLOCK;

/// The order in which a block's coefficients come: row and column of each (T.81, figure A.6).
const ORDER: [u8; AREA] = [
    0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5, 12, 19, 26, 33, 40, 48, 41, 34, 27, 20, 13, 6, 7,
    14, 21, 28, 35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51, 58, 59, 52, 45, 38, 31, 39,
    46, 53, 60, 61, 54, 47, 55, 62, 63,
];

/// The pixels of a JPEG at a part of its size, 2, 4 or 8 pixels to one; nothing where it is no plain file or not whole.
/// What is over at the right and at the bottom is left off. `size` is what the file must have: memory for it was
/// allowed.
pub(super) fn decode(bytes: &[u8], size: (u32, u32), by: u32) -> Option<RgbaImage> {
    let plain = Plain::read(bytes)?;
    (plain.size == (size.0 as usize, size.1 as usize)).then_some(())?;
    let (width, height) = (plain.size.0 as u32 / by, plain.size.1 as u32 / by);
    let pixels = plain.decode(bytes, by as usize)?;
    RgbaImage::from_raw(width, height, pixels)
}

/// What is said before the pixels of a plain file.
#[derive(Default)]
struct Plain {
    size: (usize, usize),
    parts: Vec<Part>,
    steps: [Option<[u16; AREA]>; 4],
    codes: [[Option<Codes>; 4]; 2],
    /// Groups of blocks from restart to restart; 0 for none.
    restart: usize,
    /// Where the data begin.
    data: usize,
}

/// Brightness, or one of the two colours.
struct Part {
    id: u8,
    /// Blocks across and down in a group.
    blocks: (usize, usize),
    steps: usize,
    codes: (usize, usize),
}

fn be16(bytes: &[u8], at: usize) -> Option<usize> {
    bytes.get(at..)?.first_chunk().map(|b| u16::from_be_bytes(*b).into())
}

impl Plain {
    fn read(bytes: &[u8]) -> Option<Self> {
        let mut plain = Self::default();
        let mut at = 2;
        loop {
            let mark = match bytes.get(at..at + 2)? {
                [0xFF, 0xFF] => {
                    at += 1;
                    continue;
                }
                [0xFF, mark] => *mark,
                _ => return None,
            };
            let length = be16(bytes, at + 2)?;
            let body = bytes.get(at + 4..at + 2 + length)?;
            at += 2 + length;
            match mark {
                0xC0 | 0xC1 => plain.read_frame(body)?,
                0xC4 => plain.read_codes(body)?,
                0xDB => plain.read_steps(body)?,
                0xDD => plain.restart = be16(body, 0)?,
                0xDA => {
                    plain.read_scan(body)?;
                    plain.data = at;
                    return Some(plain);
                }
                0xE0..=0xEF | 0xFE => {}
                _ => return None,
            }
        }
    }

    /// The frame header (B.2.2): 8 bits, brightness alone or with two colours at most twice as coarse.
    fn read_frame(&mut self, body: &[u8]) -> Option<()> {
        let (&[8, _, _, _, _, count], rest) = body.split_first_chunk::<6>()? else { return None };
        self.size = (be16(body, 3)?, be16(body, 1)?);
        let parts = rest.as_chunks::<3>().0;
        let fits = self.parts.is_empty()
            && matches!(count, 1 | 3)
            && parts.len() == usize::from(count)
            && self.size.0 > 0
            && self.size.1 > 0;
        fits.then_some(())?;
        self.parts = parts
            .iter()
            .map(|&[id, blocks, steps]| Part {
                id,
                blocks: ((blocks >> 4).into(), (blocks & 15).into()),
                steps: steps.into(),
                codes: (0, 0),
            })
            .collect();
        if count == 1 {
            // Of one part each block is a group of its own, whatever is said (A.2.2).
            self.parts[0].blocks = (1, 1);
        }
        let most = self.parts[0].blocks;
        let is_plain = |n: usize, most: usize| n == most || n * 2 == most;
        let all = self.parts.iter().all(|p| is_plain(p.blocks.0, most.0) && is_plain(p.blocks.1, most.1));
        (all && matches!(most, (1 | 2, 1 | 2))).then_some(())
    }

    /// Steps that coefficients were rounded to (B.2.4.1).
    fn read_steps(&mut self, mut body: &[u8]) -> Option<()> {
        while let Some((&how, rest)) = body.split_first() {
            let wide = how >> 4 == 1;
            let (table, rest) = rest.split_at_checked(if wide { 2 * AREA } else { AREA })?;
            let step =
                |at: usize| if wide { be16(table, 2 * at).unwrap_or(0) as u16 } else { table[at].into() };
            *self.steps.get_mut(usize::from(how & 15))? = Some(std::array::from_fn(step));
            body = rest;
        }
        Some(())
    }

    /// Codes of means and of what is over them (B.2.4.2).
    fn read_codes(&mut self, mut body: &[u8]) -> Option<()> {
        while let Some((&which, rest)) = body.split_first() {
            let (counts, rest) = rest.split_first_chunk::<16>()?;
            let count = counts.iter().map(|&n| usize::from(n)).sum();
            let (values, rest) = rest.split_at_checked(count)?;
            let codes = Codes::new(counts, values)?;
            *self.codes.get_mut(usize::from(which >> 4))?.get_mut(usize::from(which & 15))? = Some(codes);
            body = rest;
        }
        Some(())
    }

    /// The scan header (B.2.3): all the parts, all of each.
    fn read_scan(&mut self, body: &[u8]) -> Option<()> {
        let (&count, rest) = body.split_first()?;
        let (named, how) = rest.split_at_checked(2 * usize::from(count))?;
        let named = named.as_chunks::<2>().0;
        (named.len() == self.parts.len() && how == [0, 63, 0]).then_some(())?;
        for (part, &[id, codes]) in self.parts.iter_mut().zip(named) {
            (part.id == id).then_some(())?;
            part.codes = ((codes >> 4).into(), (codes & 15).into());
        }
        Some(())
    }

    fn decode(&self, bytes: &[u8], by: usize) -> Option<Vec<u8>> {
        let small = BLOCK / by;
        let most = self.parts[0].blocks;
        let group = (most.0 * small, most.1 * small);
        let groups = (self.size.0.div_ceil(BLOCK * most.0), self.size.1.div_ceil(BLOCK * most.1));
        let size = (self.size.0 / by, self.size.1 / by);
        let mut readers =
            self.parts.iter().map(|part| self.reader(part, group)).collect::<Option<Vec<_>>>()?;
        let stride = groups.0 * group.0;
        let mut lines = vec![vec![0.0_f32; stride * group.1]; readers.len()];
        let mut pixels = vec![0; size.0 * size.1 * 4];
        let mut left = pixels.as_chunks_mut::<4>().0.chunks_exact_mut(size.0.max(1));
        let mut bits = Bits::new(bytes, self.data);
        for row in 0..groups.1 {
            for column in 0..groups.0 {
                let done = row * groups.0 + column;
                if self.restart > 0 && done > 0 && done.is_multiple_of(self.restart) {
                    bits = bits.restarted(done / self.restart)?;
                    readers.iter_mut().for_each(|reader| reader.mean = 0);
                }
                for (reader, lines) in readers.iter_mut().zip(&mut lines) {
                    (reader.group)(reader, &mut bits, &mut lines[column * group.0..], stride)?;
                }
                (!bits.ran_out()).then_some(())?;
            }
            for (row, pixels) in (0..group.1).zip(left.by_ref().take(group.1)) {
                let line = |at: usize| &lines[at][row * stride..][..size.0];
                match lines.len() {
                    1 => greys(line(0), pixels),
                    _ => colours([line(0), line(1), line(2)], pixels),
                }
            }
        }
        const END: u8 = 0xD9;
        (bits.mark()?.0 == END).then_some(pixels)
    }

    fn reader<'a>(&'a self, part: &Part, group: (usize, usize)) -> Option<Reader<'a>> {
        let codes = |kind: usize, at: usize| self.codes[kind].get(at)?.as_ref();
        let side = (group.0 / part.blocks.0, group.1 / part.blocks.1);
        let steps = self.steps.get(part.steps)?.as_ref()?;
        let (across, down) = (means(side.0), means(side.1));
        let mut weights = Vec::with_capacity(AREA * side.0 * side.1);
        for (at, step) in ORDER.iter().zip(steps) {
            let (v, u) = (usize::from(*at) / BLOCK, usize::from(*at) % BLOCK);
            for down in &down[v][..side.1] {
                weights.extend(
                    across[u][..side.0].iter().map(|across| (down * across * f64::from(*step)) as f32),
                );
            }
        }
        let group = match side.0 * side.1 {
            1 => Reader::group::<1>,
            2 => Reader::group::<2>,
            4 => Reader::group::<4>,
            8 => Reader::group::<8>,
            16 => Reader::group::<16>,
            32 => Reader::group::<32>,
            64 => Reader::group::<64>,
            _ => return None,
        };
        let (means, rest) = (codes(0, part.codes.0)?, codes(1, part.codes.1)?);
        Some(Reader { means, rest, blocks: part.blocks, side, weights, mean: 0, group })
    }
}

/// What each coefficient along a side adds to each of its `count` means.
fn means(count: usize) -> [[f64; BLOCK]; BLOCK] {
    let wide = BLOCK / count;
    std::array::from_fn(|u| {
        let scale = if u == 0 { 0.5 / 2.0_f64.sqrt() } else { 0.5 };
        let at = |x: usize| scale * ((2 * x + 1) as f64 * u as f64 * PI / 16.0).cos();
        std::array::from_fn(|mean| {
            if mean < count { (0..wide).map(|x| at(mean * wide + x)).sum::<f64>() / wide as f64 } else { 0.0 }
        })
    })
}

type Group<'a> = fn(&mut Reader<'a>, &mut Bits, &mut [f32], usize) -> Option<()>;

/// Reads the blocks of a part.
struct Reader<'a> {
    means: &'a Codes,
    rest: &'a Codes,
    blocks: (usize, usize),
    /// Pixels across and down that a block becomes.
    side: (usize, usize),
    /// What each coefficient adds to each of them, in the order they come in.
    weights: Vec<f32>,
    /// The last block's mean, in steps.
    mean: i32,
    group: Group<'a>,
}

impl Reader<'_> {
    /// Reads its blocks of a group into lines.
    fn group<const N: usize>(&mut self, bits: &mut Bits, lines: &mut [f32], stride: usize) -> Option<()> {
        for down in 0..self.blocks.1 {
            for across in 0..self.blocks.0 {
                let block = self.block::<N>(bits)?;
                let from = down * self.side.1 * stride + across * self.side.0;
                for (y, row) in block.chunks_exact(self.side.0).enumerate() {
                    lines[from + y * stride..][..self.side.0].copy_from_slice(row);
                }
            }
        }
        Some(())
    }

    /// Reads a block (F.2.2) into its pixels.
    #[inline]
    fn block<const N: usize>(&mut self, bits: &mut Bits) -> Option<[f32; N]> {
        /// Sixteen noughts, and more to come.
        const NOUGHTS: u8 = 0xF0;
        /// A mean has at most this many bits, and none of the others more (F.1.2.1 and F.1.2.2).
        const MOST: u8 = 11;
        let weights = &self.weights.as_chunks::<N>().0[..AREA];
        let length = bits.code(self.means)?;
        if length > MOST {
            return None;
        }
        self.mean = self.mean.wrapping_add(bits.number(length.into()));
        let mut sums = [0.0_f32; N];
        let mean = self.mean as f32;
        (0..N).for_each(|i| sums[i] = weights[0][i] * mean);
        let mut at = 1;
        while at < AREA {
            let code = bits.code(self.rest)?;
            let length = code & 15;
            if length == 0 {
                if code != NOUGHTS {
                    break;
                }
                at += 16;
                continue;
            }
            at += usize::from(code >> 4);
            let value = bits.number(length.into()) as f32;
            let weights = weights.get(at)?;
            (0..N).for_each(|i| sums[i] += weights[i] * value);
            at += 1;
        }
        Some(sums)
    }
}

/// The middle of what brightness is counted from.
const MIDDLE: f32 = 128.0;

fn greys(line: &[f32], pixels: &mut [[u8; 4]]) {
    for (pixel, y) in pixels.iter_mut().zip(line) {
        let grey = eight(y + MIDDLE);
        *pixel = [grey, grey, grey, u8::MAX];
    }
}

/// ITU-T T.871, section 7.
fn colours([brightness, blue, red]: [&[f32]; 3], pixels: &mut [[u8; 4]]) {
    for (pixel, ((y, blue), red)) in pixels.iter_mut().zip(brightness.iter().zip(blue).zip(red)) {
        let y = y + MIDDLE;
        let green = y - 0.344_136 * blue - 0.714_136 * red;
        *pixel = [eight(y + 1.402 * red), eight(green), eight(y + 1.772 * blue), u8::MAX];
    }
}

fn eight(value: f32) -> u8 {
    // Numbers beyond its range become its ends.
    (value + 0.5) as u8
}

#[cfg(test)]
mod tests {
    use image::RgbImage;

    use super::decode;

    /// Both colours halved both ways, across alone with restarts, and a photograph.
    const FILES: [&[u8]; 3] = [
        include_bytes!("../../../fixtures/pictures/subsampled.jpg"),
        include_bytes!("../../../fixtures/pictures/restarts.jpg"),
        include_bytes!("../../../fixtures/laid-beads/beads.jpg"),
    ];

    /// Width and height of all but the photograph.
    const SMALL: (u32, u32) = (48, 64);

    /// How far a weighted sum of the channels of means lies from that of the pixels that the image crate decodes: on the
    /// mean, and at the worst.
    fn off(bytes: &[u8], by: u32, weights: [f64; 3]) -> (f64, f64) {
        let all: RgbImage = image::load_from_memory(bytes).unwrap().into_rgb8();
        let means = decode(bytes, all.dimensions(), by).unwrap();
        assert_eq!(means.dimensions(), (all.width() / by, all.height() / by));
        assert!(means.pixels().all(|mean| mean.0[3] == u8::MAX));
        let sum = |channels: &[u8]| channels.iter().zip(weights).map(|(c, w)| f64::from(*c) * w).sum::<f64>();
        let mean_of = |x: u32, y: u32| {
            let places = (0..by * by).map(|at| (x * by + at % by, y * by + at / by));
            places.map(|(x, y)| sum(&all.get_pixel(x, y).0)).sum::<f64>() / f64::from(by * by)
        };
        let offs: Vec<f64> =
            means.enumerate_pixels().map(|(x, y, mean)| (mean_of(x, y) - sum(&mean.0[..3])).abs()).collect();
        (offs.iter().sum::<f64>() / offs.len() as f64, offs.iter().copied().fold(0.0, f64::max))
    }

    /// Brightness of all; how halved colours are spread over the pixels no standard says, so colours of the photograph
    /// alone, whose are whole.
    #[test]
    fn means_are_those_of_the_pixels() {
        /// ITU-R BT.601.
        const BRIGHTNESS: [f64; 3] = [0.299, 0.587, 0.114];
        for by in [2, 4, 8] {
            for bytes in FILES {
                let (usual, worst) = off(bytes, by, BRIGHTNESS);
                assert!(usual < 0.5 && worst < 4.0, "by {by}: {usual} on the mean, {worst} at the worst");
            }
            for channel in 0..3 {
                let one = std::array::from_fn(|at| if at == channel { 1.0 } else { 0.0 });
                let (usual, _) = off(FILES[2], by, one);
                assert!(usual < 1.0, "by {by}, channel {channel}: {usual} on the mean");
            }
        }
    }

    #[test]
    fn a_file_that_is_not_whole_or_not_plain_has_none() {
        for bytes in &FILES[..2] {
            let whole = decode(bytes, SMALL, 4);
            assert!(whole.is_some());
            assert!((0..bytes.len()).all(|length| decode(&bytes[..length], SMALL, 4).is_none()));
            // Whatever follows the end is another's.
            assert_eq!(decode(&[bytes, [1, 2, 3].as_slice()].concat(), SMALL, 4), whole);
        }
        for other in ["progressive.jpg", "progressive-grey.jpg", "cmyk.jpg"] {
            let path = format!("{}/fixtures/pictures/{other}", env!("CARGO_MANIFEST_DIR"));
            assert_eq!(decode(&std::fs::read(path).unwrap(), SMALL, 4), None, "{other}");
        }
    }

    #[test]
    fn any_byte_may_be_another() {
        for (at, to) in (0..FILES[1].len()).flat_map(|at| [0, 0x7F, 0xFF].map(|to| (at, to))) {
            let mut bytes = FILES[1].to_vec();
            bytes[at] = to;
            decode(&bytes, SMALL, 8);
        }
    }
}

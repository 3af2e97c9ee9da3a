//! Chance that comes out the same on every machine: numbers and smooth noise from a seed.

/// A stream of chance.
///
/// SplitMix64 (Steele, Lea, Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014): a few
/// lines that never change, where a library's generator may with its version, and with it every drawing.
#[derive(Clone, Debug)]
pub(super) struct Chance {
    state: u64,
}

/// The odd constant nearest to 2^64 over the golden ratio, from the paper.
const GOLDEN: u64 = 0x9E37_79B9_7F4A_7C15;

fn mix(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// A hash's upper bits as a number in 0..1.
fn unit(hash: u64) -> f64 {
    (hash >> 11) as f64 / (1_u64 << 53) as f64
}

impl Chance {
    /// Chance for one named matter, so that another number asked of one thing never changes the others.
    pub fn of(seed: u64, matter: &str) -> Self {
        let named = matter.bytes().fold(seed, |hash, byte| mix(hash.wrapping_add(GOLDEN) ^ u64::from(byte)));
        Self { state: mix(named) }
    }

    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(GOLDEN);
        mix(self.state)
    }

    /// A number in `low..high`.
    pub fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * unit(self.next())
    }

    /// A number in `-most..most`.
    pub fn either_way(&mut self, most: f64) -> f64 {
        self.within(-most, most)
    }

    /// Whether something of this probability happens.
    pub fn happens(&mut self, probability: f64) -> bool {
        self.within(0.0, 1.0) < probability
    }

    /// One of several; `choices` must not be empty.
    pub fn one_of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[(self.next() % choices.len() as u64) as usize]
    }

    /// Noise of its own.
    pub fn noise(&mut self) -> Noise {
        Noise { seed: self.next() }
    }
}

/// Smooth value noise over the plane: about one swing a unit, in -1..1.
#[derive(Clone, Copy, Debug)]
pub(super) struct Noise {
    seed: u64,
}

impl Noise {
    /// The value at a place.
    pub fn at(self, x: f64, y: f64) -> f64 {
        let (x0, y0) = (x.floor(), y.floor());
        let ease = |t: f64| t * t * (3.0 - 2.0 * t);
        let (fx, fy) = (ease(x - x0), ease(y - y0));
        let corner = |dx: f64, dy: f64| self.grain((x0 + dx) as i64, (y0 + dy) as i64);
        let top = corner(0.0, 0.0) * (1.0 - fx) + corner(1.0, 0.0) * fx;
        let bottom = corner(0.0, 1.0) * (1.0 - fx) + corner(1.0, 1.0) * fx;
        top * (1.0 - fy) + bottom * fy
    }

    /// Noise without smoothness: one value a cell, in -1..1.
    pub fn grain(self, x: i64, y: i64) -> f64 {
        let cell = (x as u64).wrapping_mul(GOLDEN) ^ mix((y as u64).wrapping_add(self.seed));
        2.0 * unit(mix(cell)) - 1.0
    }
}

//! The bits of a scan, and the codes they are read by (ITU-T T.81, annexes C and F).

/// Bits that a code is looked up by; longer ones are rare and are searched for.
const QUICK: u32 = 10;

/// Most bits of a code.
const LONGEST: u32 = 16;

/// Codes and what each of them says.
pub(super) struct Codes {
    /// By the next bits: what is said, and how many bits say it; 0 bits where the code is longer.
    quick: Vec<(u8, u8)>,
    /// Past the last code of each length, and from a code to its place among the values.
    ends: [u32; LONGEST as usize + 1],
    offsets: [i32; LONGEST as usize + 1],
    values: Vec<u8>,
}

impl Codes {
    /// The codes of a table: how many there are of each length, and what they say in order.
    pub(super) fn new(counts: &[u8; LONGEST as usize], values: &[u8]) -> Option<Self> {
        let (mut code, mut place) = (0_u32, 0_usize);
        let mut codes = Self {
            quick: vec![(0, 0); 1 << QUICK],
            ends: [0; LONGEST as usize + 1],
            offsets: [0; LONGEST as usize + 1],
            values: values.to_vec(),
        };
        for (length, &count) in (1..=LONGEST).zip(counts) {
            let end = code + u32::from(count);
            if end > 1 << length {
                return None;
            }
            codes.offsets[length as usize] = place as i32 - code as i32;
            for code in code..end {
                let value = *values.get(place)?;
                place += 1;
                if let Some(spare) = QUICK.checked_sub(length) {
                    let from = (code as usize) << spare;
                    codes.quick[from..from + (1 << spare)].fill((value, length as u8));
                }
            }
            codes.ends[length as usize] = end;
            code = end << 1;
        }
        Some(codes)
    }
}

/// Reads a scan's data bit by bit, up to a mark.
pub(super) struct Bits<'a> {
    bytes: &'a [u8],
    at: usize,
    /// The next bits, from the highest on; noughts follow the last.
    held: u64,
    /// How many are held, and how many of those the file does not have.
    count: u32,
    made_up: u32,
}

impl<'a> Bits<'a> {
    pub(super) fn new(bytes: &'a [u8], at: usize) -> Self {
        Self { bytes, at, held: 0, count: 0, made_up: 0 }
    }

    /// Holds more than half of a word.
    #[inline]
    fn fill(&mut self) {
        /// As many as the longest code and the longest number need.
        const ENOUGH: u32 = 32;
        if self.count >= ENOUGH {
            return;
        }
        if let Some(next) = self.bytes.get(self.at..).and_then(|bytes| bytes.first_chunk::<4>()) {
            let next = u32::from_be_bytes(*next);
            // No byte of the four is full: none is escaped, and none begins a mark.
            if (!next).wrapping_sub(0x0101_0101) & next & 0x8080_8080 == 0 {
                self.held |= u64::from(next) << (32 - self.count);
                self.count += 32;
                self.at += 4;
                return;
            }
        }
        self.fill_slowly();
    }

    #[cold]
    fn fill_slowly(&mut self) {
        while self.count <= 56 {
            let byte = match (self.bytes.get(self.at), self.bytes.get(self.at + 1)) {
                (Some(0xFF), Some(0)) => {
                    self.at += 2;
                    0xFF
                }
                (Some(0xFF), _) | (None, _) => {
                    self.made_up += 8;
                    0
                }
                (Some(&byte), _) => {
                    self.at += 1;
                    byte
                }
            };
            self.held |= u64::from(byte) << (56 - self.count);
            self.count += 8;
        }
    }

    #[inline]
    fn drop(&mut self, bits: u32) {
        self.held <<= bits;
        self.count -= bits;
    }

    /// What the next code says.
    #[inline]
    pub(super) fn code(&mut self, codes: &Codes) -> Option<u8> {
        self.fill();
        let (value, length) = codes.quick[(self.held >> (u64::BITS - QUICK)) as usize];
        if length > 0 {
            self.drop(length.into());
            return Some(value);
        }
        self.long_code(codes)
    }

    #[cold]
    fn long_code(&mut self, codes: &Codes) -> Option<u8> {
        let next = |length: u32| (self.held >> (u64::BITS - length)) as u32;
        let length = (QUICK + 1..=LONGEST).find(|&length| next(length) < codes.ends[length as usize])?;
        let place = next(length) as i32 + codes.offsets[length as usize];
        self.drop(length);
        codes.values.get(usize::try_from(place).ok()?).copied()
    }

    /// A number of this many bits, at most 15, right after a code; its first bit says its sign (F.2.2.1).
    #[inline]
    pub(super) fn number(&mut self, bits: u32) -> i32 {
        if bits == 0 {
            return 0;
        }
        let value = (self.held >> (u64::BITS - bits)) as i32;
        self.drop(bits);
        // Below half it stands for a number below nought.
        if value >> (bits - 1) == 0 { value - (1 << bits) + 1 } else { value }
    }

    /// Whether more was read than there is.
    pub(super) fn ran_out(&self) -> bool {
        self.made_up > self.count
    }

    /// The data after a restart, the `turn`th from the first on: its mark must be the next (E.2.4).
    pub(super) fn restarted(&self, turn: usize) -> Option<Self> {
        const FIRST: usize = 0xD0;
        const MARKS: usize = 8;
        let (mark, after) = self.mark()?;
        (usize::from(mark) == FIRST + (turn - 1) % MARKS).then(|| Self::new(self.bytes, after))
    }

    /// The mark that follows the data, if they end just here, and the place after it.
    pub(super) fn mark(&self) -> Option<(u8, usize)> {
        let left = self.count.checked_sub(self.made_up)?;
        let mut at = self.at;
        if left >= 8 || self.bytes.get(at) != Some(&0xFF) {
            return None;
        }
        while self.bytes.get(at) == Some(&0xFF) {
            at += 1;
        }
        Some((*self.bytes.get(at)?, at + 1))
    }
}

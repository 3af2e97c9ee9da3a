//! The marks of a JPEG file: whether it comes to its end, and whether its scans say all there is.
//! Walking them takes a hundredth of the time of decoding.

/// What the marks of a JPEG file say (ITU-T T.81, annexes B and G).
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Marks {
    /// The end mark of the first picture is there; telephones append more after it.
    pub(super) ended: bool,
    /// The scans bring every coefficient of every component down to its last bit.
    pub(super) complete: bool,
}

const START_OF_IMAGE: u8 = 0xD8;
const END_OF_IMAGE: u8 = 0xD9;
const START_OF_SCAN: u8 = 0xDA;

/// Reads the marks of the whole file.
pub(super) fn read(bytes: &[u8]) -> Marks {
    let mut scans = Scans::default();
    let ended = walk(bytes, |mark, body| {
        scans.note(mark, body);
        true
    });
    Marks { ended, complete: scans.complete() }
}

/// What stands before the pixels, beyond what the decoder tells of it.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Head {
    /// Bits a sample; 0 when the file ends before it says.
    pub(super) depth: u8,
    /// A colour profile is embedded, whole or not.
    pub(super) has_profile: bool,
    /// The first scan brings all there is. A decoder must keep every coefficient otherwise.
    pub(super) first_scan_is_all: bool,
}

/// Reads the marks up to the first scan.
pub(super) fn head(bytes: &[u8]) -> Head {
    const APP2: u8 = 0xE2;
    let mut head = Head::default();
    let mut scans = Scans::default();
    walk(bytes, |mark, body| {
        scans.note(mark, body);
        if is_frame(mark) {
            head.depth = body.first().copied().unwrap_or(0);
        }
        head.has_profile |= mark == APP2 && body.starts_with(b"ICC_PROFILE\0");
        mark != START_OF_SCAN
    });
    head.first_scan_is_all = scans.complete();
    head
}

/// Whether a mark begins a frame header; the other numbers from C0 to CF are tables.
fn is_frame(mark: u8) -> bool {
    matches!(mark, 0xC0..=0xC3 | 0xC5..=0xC7 | 0xC9..=0xCB | 0xCD..=0xCF)
}

/// Shows every mark with its segment to `see`, until that says no; true at the end mark.
fn walk(bytes: &[u8], mut see: impl FnMut(u8, &[u8]) -> bool) -> bool {
    let mut at = 2;
    while let Some((mark, after)) = next_mark(bytes, at) {
        at = after;
        match mark {
            END_OF_IMAGE => return true,
            // these stand alone: TEM, restarts, start of image
            0x01 | 0xD0..=START_OF_IMAGE => {}
            _ => match segment(bytes, at) {
                Some(body) if see(mark, body) => at += 2 + body.len(),
                _ => return false,
            },
        }
    }
    false
}

/// The next mark at or after a place, and the place after it. Within the pixels' data a 0xFF is
/// followed by 0, which is no mark; before a mark, 0xFF may be repeated.
fn next_mark(bytes: &[u8], mut at: usize) -> Option<(u8, usize)> {
    loop {
        at += bytes.get(at..)?.iter().position(|b| *b == 0xFF)? + 1;
        match *bytes.get(at)? {
            0x00 => at += 1,
            0xFF => {}
            mark => return Some((mark, at + 1)),
        }
    }
}

/// What a segment carries after its own length; none when the file ends within it.
fn segment(bytes: &[u8], at: usize) -> Option<&[u8]> {
    let length = u16::from_be_bytes(*bytes.get(at..)?.first_chunk()?);
    bytes.get(at + 2..at + usize::from(length).max(2))
}

/// Which coefficients the scans have brought, bit k for coefficient k, a component an entry.
#[derive(Default)]
struct Scans {
    progressive: bool,
    components: Vec<(u8, u64)>,
}

impl Scans {
    fn note(&mut self, mark: u8, body: &[u8]) {
        if is_frame(mark) {
            self.note_frame(mark, body);
        } else if mark == START_OF_SCAN {
            self.note_scan(body);
        }
    }

    fn note_frame(&mut self, mark: u8, body: &[u8]) {
        self.progressive = matches!(mark, 0xC2 | 0xC6 | 0xCA | 0xCE);
        self.components = body.get(6..).unwrap_or(&[]).chunks_exact(3).map(|c| (c[0], 0)).collect();
    }

    fn note_scan(&mut self, body: &[u8]) -> Option<()> {
        let (&count, rest) = body.split_first()?;
        let (named, how) = rest.split_at_checked(usize::from(count) * 2)?;
        let &[first, last, bits] = how.first_chunk()?;
        let brought = match self.progressive {
            false => u64::MAX,
            // bits still to come in a later scan
            true if bits & 0x0F != 0 => 0,
            true => (first..=last.min(63)).fold(0, |set, k| set | 1 << k),
        };
        for (id, have) in &mut self.components {
            if named.chunks_exact(2).any(|c| c[0] == *id) {
                *have |= brought;
            }
        }
        Some(())
    }

    fn complete(&self) -> bool {
        !self.components.is_empty() && self.components.iter().all(|(_, have)| *have == u64::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::{Marks, read};

    /// A picture of one component: start, frame header of the given kind, one scan, two bytes of data.
    fn one_scan(frame: u8, first: u8, last: u8, bits: u8) -> Vec<u8> {
        let mut bytes = vec![0xFF, 0xD8, 0xFF, frame, 0, 11, 8, 0, 8, 0, 8, 1, 1, 0x11, 0];
        bytes.extend([0xFF, 0xDA, 0, 8, 1, 1, 0, first, last, bits, 0xFF, 0x00, 0x5A]);
        bytes
    }

    #[test]
    fn a_plain_scan_says_all_and_the_end_is_seen_where_it_stands() {
        let mut bytes = one_scan(0xC0, 0, 63, 0);
        assert_eq!(read(&bytes), Marks { ended: false, complete: true });
        bytes.extend([0xFF, 0xD9, 1, 2, 3]);
        assert_eq!(read(&bytes), Marks { ended: true, complete: true });
    }

    #[test]
    fn an_end_mark_inside_a_preview_is_not_the_picture_s() {
        let mut bytes = vec![0xFF, 0xD8, 0xFF, 0xE1, 0, 4, 0xFF, 0xD9];
        bytes.extend(&one_scan(0xC0, 0, 63, 0)[2..]);
        assert!(!read(&bytes).ended);
    }

    #[test]
    fn progressive_scans_must_bring_every_coefficient_s_last_bit() {
        assert!(!read(&one_scan(0xC2, 0, 0, 0)).complete, "no coefficient but the mean");
        assert!(!read(&one_scan(0xC2, 0, 63, 1)).complete, "a bit still to come");
        assert!(read(&one_scan(0xC2, 0, 63, 0)).complete);
    }

    #[test]
    fn a_file_that_ends_within_a_header_has_not_ended_well() {
        let bytes = one_scan(0xC2, 0, 63, 0);
        for length in 0..bytes.len() {
            assert!(!read(&bytes[..length]).ended, "{length}");
        }
    }
}

//! Files of the corpus, changed at random: cut, turned, repeated, mixed with their neighbours.

use std::path::Path;

use proptest::collection::vec;
use proptest::prelude::*;

/// What readers trip over more often than over chance bytes.
const PIECES: [&[u8]; 22] = [
    b"\0",
    b"\"",
    b"\"\"\"",
    b"'''",
    b"[[part]]",
    b"[",
    b"]",
    b"{",
    b"=",
    b",",
    b"#",
    b"\r",
    b"\n\n",
    b"-1",
    b"18446744073709551616",
    b"1e999",
    b"nan",
    b"\xff\xfe",
    b"\xef\xbb\xbf",
    b"\xe2\x80\xae",
    b"\x1b[2J",
    b"../",
];

/// The files of one reader, by name.
pub fn corpus(kind: &str) -> Vec<(String, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/corpus").join(kind);
    let entries = std::fs::read_dir(folder).expect("the corpus is there");
    let mut files: Vec<_> = entries
        .map(|entry| entry.expect("it can be listed"))
        .map(|entry| {
            (
                entry.file_name().to_string_lossy().into_owned(),
                std::fs::read(entry.path()).expect("it can be read"),
            )
        })
        .collect();
    files.sort();
    files
}

/// One change; places and lengths are taken modulo the file's length.
#[derive(Clone, Debug)]
enum One {
    Cut(usize, usize),
    Put(usize, &'static [u8]),
    Turn(usize, u8),
    Repeat(usize, usize, usize),
    Mix(usize, usize, usize),
}

/// A file and what is done to it.
#[derive(Clone, Debug)]
pub struct Changes {
    kind: &'static str,
    file: usize,
    changes: Vec<One>,
}

/// Up to eight changes of a file of the corpus.
pub fn changes(kind: &'static str) -> impl Strategy<Value = Changes> {
    let at = || any::<usize>();
    let one = prop_oneof![
        (at(), 0..60_usize).prop_map(|(at, length)| One::Cut(at, length)),
        (at(), prop::sample::select(PIECES.to_vec())).prop_map(|(at, piece)| One::Put(at, piece)),
        (at(), any::<u8>()).prop_map(|(at, byte)| One::Turn(at, byte)),
        (at(), 1..40_usize, 1..30_usize).prop_map(|(at, length, times)| One::Repeat(at, length, times)),
        (at(), at(), 1..200_usize).prop_map(|(at, file, length)| One::Mix(at, file, length)),
    ];
    (at(), vec(one, 1..8)).prop_map(move |(file, changes)| Changes { kind, file, changes })
}

impl Changes {
    /// The changed file.
    pub fn made(&self) -> Vec<u8> {
        let files = corpus(self.kind);
        let mut bytes = files[self.file % files.len()].1.clone();
        for one in &self.changes {
            one.make(&mut bytes, &files);
        }
        bytes
    }
}

impl One {
    fn make(&self, bytes: &mut Vec<u8>, files: &[(String, Vec<u8>)]) {
        let place = |at: usize| at % (bytes.len() + 1);
        let until = |start: usize, length: usize| (start + length).min(bytes.len());
        match *self {
            Self::Cut(at, length) => {
                let start = place(at);
                bytes.drain(start..until(start, length));
            }
            Self::Put(at, piece) => {
                let start = place(at);
                bytes.splice(start..start, piece.iter().copied());
            }
            Self::Turn(at, byte) => {
                let start = place(at);
                if let Some(turned) = bytes.get_mut(start) {
                    *turned = byte;
                }
            }
            Self::Repeat(at, length, times) => {
                let start = place(at);
                let piece = bytes[start..until(start, length)].repeat(times);
                bytes.splice(start..start, piece);
            }
            Self::Mix(at, file, length) => {
                let (start, other) = (place(at), &files[file % files.len()].1);
                let from = at % (other.len() + 1);
                let piece = other[from..(from + length).min(other.len())].to_vec();
                bytes.splice(start..start, piece);
            }
        }
    }
}

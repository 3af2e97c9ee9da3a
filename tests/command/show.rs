//! `smallcast show` as a person types it.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use image::{AnimationDecoder, RgbaImage};
use smallcast::colour::Srgb;
use smallcast::figure::Figure;
use smallcast::grid::Grid;
use smallcast::sheet::{Ground, figure_colours};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

const CARTER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/early-street/milk-carter.figure.toml");
const MILLER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/src/trial/figures/miller.figure.toml");

struct Bench(tempfile::TempDir);

impl Bench {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn show(&self, arguments: &[&str]) -> Output {
        let program = env!("CARGO_BIN_EXE_smallcast");
        Command::new(program).arg("show").args(arguments).current_dir(self.0.path()).output().unwrap()
    }

    fn shown(&self, arguments: &[&str]) -> String {
        let output = self.show(arguments);
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(output.status.success(), "{said}");
        said
    }

    fn refused(&self, arguments: &[&str]) -> String {
        let output = self.show(arguments);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert_eq!(said.lines().count(), 2, "{said}");
        said
    }

    fn opened(&self, name: &str) -> RgbaImage {
        image::open(self.path(name)).unwrap().to_rgba8()
    }

    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.0.path()).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }
}

fn carter() -> Grid<Option<Srgb>> {
    figure_colours(&Figure::open(Path::new(CARTER)).unwrap(), &Tray::embedded())
}

fn is(picture: &RgbaImage, (x, y): (u32, u32), colour: Srgb) -> bool {
    let pixel = picture.get_pixel(x, y);
    [pixel[0].abs_diff(colour.r), pixel[1].abs_diff(colour.g), pixel[2].abs_diff(colour.b)]
        .iter()
        .all(|d| *d <= 2)
}

/// Two pegs of ground stand around a figure.
const ROUND: usize = 2;

#[test]
fn every_bead_has_its_colour_and_its_place_at_any_size() {
    let bench = Bench::new();
    let beads = carter();
    for (bead, how) in [(11_u32, ""), (24, ""), (7, "--fused"), (3, "--fused")] {
        let size = bead.to_string();
        let mut words =
            vec![CARTER, "--save", "a.png", "--replace", "--bead", &size, "--background", "light"];
        words.extend((!how.is_empty()).then_some(how));
        bench.shown(&words);
        let picture = bench.opened("a.png");
        assert_eq!(picture.width(), bead * (beads.columns() + 2 * ROUND) as u32);
        assert_eq!(picture.height(), bead * (beads.rows() + 2 * ROUND) as u32);
        // A third of the way from the middle to the side: between hole and rim.
        let ring = |place: usize| (place + ROUND) as u32 * bead + bead / 2;
        for (row, column, colour) in beads.iter() {
            let at = (ring(column.0) + (bead * 3) / 10, ring(row.0));
            let colour = colour.unwrap_or(Ground::Light.colour());
            assert!(is(&picture, at, colour), "{how} {bead}: row {}, column {}", row.0, column.0);
        }
    }
}

#[test]
fn pegged_beads_have_a_hole_and_boards_have_pegs() {
    let bench = Bench::new();
    let beads = carter();
    bench.shown(&[CARTER, "--save", "plain.png", "--bead", "20", "--background", "light"]);
    bench.shown(&[CARTER, "--save", "board.png", "--bead", "20", "--background", "light", "--board"]);
    let (plain, board) = (bench.opened("plain.png"), bench.opened("board.png"));
    let middle = |row: Row, column: Column| {
        (((column.0 + ROUND) * 20 + 10) as u32, ((row.0 + ROUND) * 20 + 10) as u32)
    };
    for (row, column, colour) in beads.iter() {
        let at = middle(row, column);
        match colour {
            Some(colour) => assert!(!is(&plain, at, *colour), "a hole"),
            None => {
                assert!(is(&plain, at, Ground::Light.colour()));
                assert!(!is(&board, at, Ground::Light.colour()), "a peg");
            }
        }
    }
}

#[test]
fn the_ground_is_the_one_the_figure_stands_out_from() {
    let all = |colour: Srgb| Grid::from_fn(3, 3, |_, _| Some(colour));
    assert_eq!(Ground::suiting(&all(Srgb::new(250, 250, 245))), Ground::Dark);
    assert_eq!(Ground::suiting(&all(Srgb::new(20, 20, 24))), Ground::Light);
    let both = Grid::from_fn(4, 4, |row, _| {
        Some(if row.0 < 2 { Srgb::new(250, 250, 245) } else { Srgb::new(20, 20, 24) })
    });
    assert_eq!(Ground::suiting(&both), Ground::Dusk);
    assert_eq!(Ground::suiting(&Grid::from_fn(0, 0, |_, _| None)), Ground::Light);
    let bench = Bench::new();
    bench.shown(&[CARTER, "--save", "clear.png", "--background", "clear"]);
    assert_eq!(bench.opened("clear.png").get_pixel(0, 0)[3], 0);
    bench.shown(&[CARTER, "--save", "own.png", "--background", "#d0e0f0"]);
    assert!(is(&bench.opened("own.png"), (0, 0), Srgb::new(0xd0, 0xe0, 0xf0)));
}

#[test]
fn figures_stand_side_by_side_and_beside_their_references() {
    let bench = Bench::new();
    let next = bench.shown(&[CARTER, MILLER, "--save", "two.svg"]);
    assert!(next.contains("belongs to no cast") && next.contains("\nnext: smallcast sheet "), "{next}");
    let svg = fs::read_to_string(bench.path("two.svg")).unwrap();
    assert!(svg.contains("<title>Milk carter · Miller</title>") && !svg.contains("<image"));
    let said = bench.shown(&[CARTER, MILLER, "--beside", "--save", "beside.svg"]);
    assert!(said.contains("Miller names no reference picture"), "{said}");
    let svg = fs::read_to_string(bench.path("beside.svg")).unwrap();
    assert_eq!(svg.matches("<image").count(), 1);
}

#[test]
fn steps_are_numbered_pictures_and_a_film_or_a_strip() {
    let bench = Bench::new();
    bench.shown(&[CARTER, "--steps", "--save", "film.gif", "--bead", "12"]);
    let pictures: Vec<String> = (1..=5).map(|n| format!("film-{n}.png")).collect();
    let mut names = pictures.clone();
    names.push("film.gif".into());
    assert_eq!(bench.names(), names);
    let bytes = std::io::Cursor::new(fs::read(bench.path("film.gif")).unwrap());
    let film = image::codecs::gif::GifDecoder::new(bytes).unwrap().into_frames().collect_frames().unwrap();
    assert_eq!(film.len(), 5);
    let sizes: Vec<_> = pictures.iter().map(|name| bench.opened(name).dimensions()).collect();
    assert!(sizes.iter().all(|size| *size == film[0].buffer().dimensions()), "{sizes:?}");
    let again = fs::read(bench.path("film.gif")).unwrap();
    bench.shown(&[CARTER, "--steps", "--save", "film.gif", "--bead", "12", "--replace"]);
    assert_eq!(again, fs::read(bench.path("film.gif")).unwrap(), "the same bytes each time");
    bench.shown(&[CARTER, "--steps", "--save", "strip.png", "--bead", "12"]);
    assert_eq!(bench.opened("strip.png").width(), 5 * sizes[0].0);
}

#[test]
fn wrong_words_are_refused_with_what_would_be_right() {
    let bench = Bench::new();
    let cases: [(&[&str], &str); 7] = [
        (&[CARTER, "--save", "a.jpg"], ".png, .svg or .gif"),
        (&[CARTER, "--save", "a.png", "--bead", "0"], "1 to"),
        (&[CARTER, "--save", "a.png", "--bead", "100000"], "1 to"),
        (&[CARTER, "--save", "a.png", "--background", "sunny"], "light, dark"),
        (&[CARTER, MILLER, "--save", "a.gif", "--steps"], "name one figure"),
        (&[CARTER, "--save", "a.svg", "--steps"], ".gif or .png"),
        (&[MILLER, "--save", "a.gif", "--steps"], "--do 'reference"),
    ];
    for (arguments, advice) in cases {
        let said = bench.refused(arguments);
        assert!(said.contains(advice), "{arguments:?}: {said}");
    }
    assert!(bench.names().is_empty());
    fs::write(bench.path("b-3.png"), "mine").unwrap();
    bench.refused(&[CARTER, "--save", "b.gif", "--steps"]);
    assert_eq!(bench.names(), ["b-3.png"], "nothing partly written");
}

#[test]
fn without_a_file_figures_are_printed() {
    let bench = Bench::new();
    let printed = |arguments: &[&str]| String::from_utf8(bench.show(arguments).stdout).unwrap();
    insta::assert_snapshot!(printed(&[MILLER]));
    let both = printed(&[MILLER, CARTER]);
    assert_eq!(both.matches("head\n").count(), 2, "{both}");
    assert!(bench.names().is_empty());
    assert!(bench.refused(&[MILLER, "--fused"]).contains("--save"));
}

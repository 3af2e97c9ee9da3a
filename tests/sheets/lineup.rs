//! The line-up: one ground line, one scale, nothing on anything, sixty to a page, three writers that agree.

use std::path::Path;

use smallcast::cast::{Crowd, Pair};
use smallcast::figure::{self, Figure};
use smallcast::grid::Grid;
use smallcast::plan::Classes;
use smallcast::sheet::{Guide, Item, Lineup, Page, Paper, Sheet, Standee, build_lineup};
use smallcast::tray::Tray;

use super::agree::assert_agree;

/// Width of a ground line, and of a link and a bracket, in millimetres.
const GROUND: f64 = 0.35;
const LINK: f64 = 0.22;

/// So near is the same place.
const NEAR: f64 = 1e-6;

/// The figures that are shipped, with long names.
fn shipped() -> Vec<(String, Figure)> {
    let mut files: Vec<_> =
        std::fs::read_dir("src/trial/figures").unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let read = |file: &std::path::PathBuf| {
        let figure = Figure::open(Path::new(file)).unwrap();
        (figure.name().to_owned(), figure)
    };
    files.iter().map(read).collect()
}

/// So many figures: the shipped ones again and again, every seventh with a name that fits nowhere.
fn many(count: usize) -> Vec<(String, Figure)> {
    let shipped = shipped();
    let one = |at: usize| {
        let (name, figure) = &shipped[at % shipped.len()];
        let name = match at % 7 {
            0 => format!("{name}, the eldest of the three sisters from Upper-Ferryman's-Landing {at}"),
            1 => "Verylongnamewithoutanybreakinitatall".into(),
            _ => format!("{name} {at}"),
        };
        (name, figure.clone())
    };
    (0..count).map(one).collect()
}

fn guide() -> Guide {
    // Three columns of 24 rows: a post to measure by.
    Guide { name: "the guide".into(), beads: Grid::from_fn(24, 3, |_, _| true) }
}

struct Wish {
    paper: Paper,
    groups: usize,
    by_group: bool,
    trimmed: bool,
    classes: Classes,
}

const PLAIN: fn() -> Wish =
    || Wish { paper: Paper::A4, groups: 0, by_group: false, trimmed: false, classes: Classes::trade() };

fn laid(figures: &[(String, Figure)], pairs: &[Pair], wish: &Wish) -> Sheet {
    let names: Vec<String> =
        (0..wish.groups).map(|at| format!("group {at} of many people from everywhere")).collect();
    let share = figures.len().div_ceil(wish.groups.max(1)).max(1);
    let guide = guide();
    let lineup = Lineup {
        title: "Everybody in the street, and everybody who only came to look at them, on one page",
        figures: figures
            .iter()
            .enumerate()
            .map(|(at, (name, figure))| Standee {
                figure,
                name,
                group: (wish.groups > 0).then_some(at / share),
            })
            .collect(),
        guide: &guide,
        classes: &wish.classes,
        groups: names.iter().map(String::as_str).collect(),
        by_group: wish.by_group,
        pairs,
        paper: wish.paper,
        trimmed: wish.trimmed,
    };
    build_lineup(&lineup, &Tray::embedded())
}

/// Where the ground lines of a page lie, from the top.
fn grounds(page: &Page) -> Vec<f64> {
    let ground = |item: &Item| match *item {
        Item::Line { from, to, width, .. } if width == GROUND && from.y == to.y => Some(from.y),
        _ => None,
    };
    page.items.iter().filter_map(ground).collect()
}

/// Left, top, right and bottom of every bead of a page.
fn beads(sheet: &Sheet, page: &Page) -> Vec<(f64, f64, f64, f64)> {
    let beads = page.items.iter().filter(|item| matches!(item, Item::Symbol { .. }));
    beads.map(|item| sheet.extent(item)).collect()
}

/// What the letters of a text cover: capitals are 0.714 em high, tails hang 0.24 em (Noto Sans' OS/2 table).
fn letters(page: &Page) -> Vec<(String, [f64; 4])> {
    let text = |item: &Item| match item {
        Item::Text { start, size, text, .. } => {
            let right = start.x + width(item);
            Some((text.clone(), [start.x, start.y - 0.72 * size, right, start.y + 0.24 * size]))
        }
        _ => None,
    };
    page.items.iter().filter_map(text).collect()
}

fn width(item: &Item) -> f64 {
    let nowhere = Sheet {
        title: String::new(),
        unit: smallcast::sheet::Unit::Millimetre,
        symbols: vec![],
        pages: vec![],
        warnings: vec![],
    };
    let (left, _, right, _) = nowhere.extent(item);
    right - left
}

fn assert_in_place(sheet: &Sheet, figures: usize) {
    let mut seen = 0;
    let mut pitch = None;
    for page in &sheet.pages {
        let (grounds, beads) = (grounds(page), beads(sheet, page));
        assert!(grounds.windows(2).all(|two| two[0] < two[1]));
        let mut above = 0.0;
        for &ground in &grounds {
            let mut line: Vec<_> =
                beads.iter().filter(|bead| bead.3 > above + NEAR && bead.3 <= ground + NEAR).collect();
            line.sort_by(|one, other| one.0.total_cmp(&other.0));
            let size = line[0].2 - line[0].0;
            assert!((*pitch.get_or_insert(size) - size).abs() < NEAR, "one scale everywhere");
            assert!(line.iter().all(|bead| (bead.2 - bead.0 - size).abs() < NEAR));
            // Figures stand at least two beads apart.
            let together = line.chunk_by(|one, other| other.0 - one.0 < 2.5 * size);
            let soles: Vec<f64> =
                together.map(|figure| figure.iter().map(|bead| bead.3).fold(0.0, f64::max)).collect();
            assert!(
                soles.iter().all(|sole| (sole - ground).abs() < NEAR),
                "a sole off the ground: {soles:?}"
            );
            // The guide stands at the head of each line.
            seen += soles.len() - 1;
            above = ground;
        }
        let standing = |bead: &(f64, f64, f64, f64)| grounds.iter().any(|ground| bead.3 <= ground + NEAR);
        assert!(beads.iter().all(standing), "a bead under the last ground line");
        assert_apart(page);
        for item in &page.items {
            let (left, top, right, bottom) = sheet.extent(item);
            let inside = left >= 0.0 && top >= 0.0 && right <= page.size.0 && bottom <= page.size.1;
            assert!(inside, "beyond the paper: {item:?}");
        }
    }
    assert_eq!(seen, figures);
}

/// No word lies on another.
fn assert_apart(page: &Page) {
    let words = letters(page);
    for (at, (text, one)) in words.iter().enumerate() {
        for (other, beside) in &words[..at] {
            let meet = one[0] < beside[2] && beside[0] < one[2] && one[1] < beside[3] && beside[1] < one[3];
            assert!(!meet, "'{text}' lies on '{other}': {one:?} {beside:?}");
        }
    }
}

#[test]
fn all_stand_on_one_line_to_one_scale_and_no_word_lies_on_another() {
    for count in [1, 5, 24, 60, 130] {
        for (groups, by_group) in [(0, false), (3, true), (3, false)] {
            for trimmed in [false, true] {
                let sheet = laid(&many(count), &[], &Wish { groups, by_group, trimmed, ..PLAIN() });
                assert_in_place(&sheet, count);
            }
        }
    }
}

#[test]
fn sixty_stand_on_a_page_and_more_on_more() {
    for paper in [Paper::A4, Paper::Letter] {
        let pages = |count: usize| {
            laid(&many(count), &[], &Wish { paper, groups: 4, by_group: true, ..PLAIN() }).pages.len()
        };
        assert_eq!([1, 24, 59, 60].map(pages), [1; 4]);
        assert_eq!(pages(61), 2);
        assert!((4..=5).contains(&pages(240)), "{}", pages(240));
    }
}

#[test]
fn two_too_alike_are_joined_head_to_head_and_those_far_apart_are_told_in_a_note() {
    let mut figures = many(40);
    // Twins side by side, and twins on the first and the last line.
    figures[6] = ("Anna".into(), figures[5].1.clone());
    figures[39] = ("Berta".into(), figures[0].1.clone());
    // What many() repeats is alike too: only the two pairs are looked for here.
    let of: Vec<&Figure> = figures.iter().map(|(_, figure)| figure).collect();
    let crowd = Crowd::new(&of, &Tray::embedded());
    let wanted = |pair: &Pair| [(5, 6), (0, 39)].contains(&(pair.one, pair.other));
    let pairs: Vec<Pair> = crowd.too_alike().into_iter().filter(wanted).collect();
    assert_eq!(pairs.len(), 2);
    let sheet = laid(&figures, &pairs, &PLAIN());
    assert_in_place(&sheet, 40);
    let [page] = sheet.pages.as_slice() else { panic!("forty are more than a page") };
    let texts: Vec<String> = letters(page).into_iter().map(|(text, _)| text).collect();
    assert_eq!(texts.iter().filter(|text| *text == "0 %").count(), 1, "{texts:?}");
    assert_eq!(texts.iter().filter(|text| *text == "see 1").count(), 2);
    assert!(
        texts.iter().any(|text| text.starts_with("1  ") && text.contains("Berta") && text.ends_with("0 %"))
    );
    let upright =
        |item: &&Item| matches!(item, Item::Line { from, to, width, .. } if *width == LINK && from.x == to.x);
    let level =
        |item: &&Item| matches!(item, Item::Line { from, to, width, .. } if *width == LINK && from.y == to.y);
    let links = || page.items.iter();
    assert_eq!((links().filter(upright).count(), links().filter(level).count()), (2, 1));
}

#[test]
fn a_hundred_alike_are_joined_by_no_more_lines_than_they_need() {
    let one = shipped().remove(0);
    let figures: Vec<(String, Figure)> = (0..100).map(|at| (format!("Nobody {at}"), one.1.clone())).collect();
    let of: Vec<&Figure> = figures.iter().map(|(_, figure)| figure).collect();
    let pairs = Crowd::new(&of, &Tray::embedded()).too_alike();
    assert_eq!(pairs.len(), 100 * 99 / 2);
    let sheet = laid(&figures, &pairs, &PLAIN());
    assert_in_place(&sheet, 100);
    let texts = || sheet.pages.iter().flat_map(letters).map(|(text, _)| text);
    let told =
        texts().filter(|text| text == "0 %").count() + texts().filter(|text| text.ends_with(": 0 %")).count();
    assert_eq!(told, 99);
}

#[test]
fn every_class_no_taller_than_a_line_is_named_once_on_it() {
    let sheet = laid(&many(5), &[], &PLAIN());
    let texts: Vec<String> = letters(&sheet.pages[0]).into_iter().map(|(text, _)| text).collect();
    for class in Classes::trade().iter() {
        let label = format!("{} {}", class.name, class.rows.total());
        let lines = grounds(&sheet.pages[0]).len();
        assert!(texts.iter().filter(|text| **text == label).count() <= lines);
    }
    assert!(texts.contains(&"guide 24".into()) && texts.contains(&"small-child 15".into()));
}

#[test]
fn the_three_writers_agree() {
    let mut figures = many(24);
    figures[6] = ("Anna".into(), figures[5].1.clone());
    let of: Vec<&Figure> = figures.iter().map(|(_, figure)| figure).collect();
    let pairs = Crowd::new(&of, &Tray::embedded()).too_alike();
    assert_agree(&laid(&figures, &pairs, &Wish { groups: 3, by_group: true, ..PLAIN() }));
}

#[test]
fn letters_that_cannot_be_set_and_beads_that_are_not_there_are_said() {
    let text = "format = 1\nname = \"灯\"\n[[legend]]\nmark = \"c\"\nbead = \"no such bead\"\nby = \"hand\"\n\
                [[part]]\nname = \"body\"\nbeads = \"c\"\n";
    let one = ("灯".to_owned(), figure::read("one", text).unwrap());
    let sheet = laid(&[one], &[], &PLAIN());
    let said: Vec<&str> = sheet.warnings.iter().map(smallcast::error::Warning::name).collect();
    assert_eq!(said, ["letters-lacking", "not-in-tray"]);
}

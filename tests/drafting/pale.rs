//! Cloth as pale as its paper: what an outline closes in is figure, and where that is only likely the maker is asked.

use image::{Rgba, RgbaImage};
use imageproc::drawing::{draw_filled_circle_mut, draw_polygon_mut};
use imageproc::point::Point;
use smallcast::draft::{Draft, DraftOptions, draft};
use smallcast::error::{Error, Warning};
use smallcast::reference::{Answer, Enclosed};
use smallcast::units::{Column, Row};

use crate::common::{as_picture, by_rows, drawn, rows_of, tray};

const PAPER: Rgba<u8> = Rgba([252, 253, 250, 255]);
const INK: Rgba<u8> = Rgba([38, 34, 36, 255]);
const RUST: Rgba<u8> = Rgba([168, 69, 47, 255]);
const SLATE: Rgba<u8> = Rgba([76, 87, 99, 255]);
const SKIN: Rgba<u8> = Rgba([240, 195, 165, 255]);
const SOOT: Rgba<u8> = Rgba([32, 33, 36, 255]);

/// A shape in its own colour with a line of ink around it, as thick as an eighth of a bead.
fn shape(page: &mut RgbaImage, corners: &[(i32, i32)], colour: Rgba<u8>) {
    let points: Vec<Point<i32>> = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
    draw_polygon_mut(page, &points, colour);
    for (from, to) in points.iter().zip(points.iter().cycle().skip(1)) {
        let steps = (to.x - from.x).abs().max((to.y - from.y).abs());
        for step in 0..=steps {
            let at = |from: i32, to: i32| from + (to - from) * step / steps.max(1);
            draw_filled_circle_mut(page, (at(from.x, to.x), at(from.y, to.y)), 1, INK);
        }
    }
}

/// A man in an apron as white as the paper, in his own proportions, never on a grid of beads.
fn fishmonger() -> RgbaImage {
    let mut page = RgbaImage::from_pixel(380, 600, PAPER);
    let both = |page: &mut RgbaImage, corners: &[(i32, i32)], colour| {
        shape(page, corners, colour);
        let mirrored: Vec<(i32, i32)> = corners.iter().map(|&(x, y)| (380 - x, y)).collect();
        shape(page, &mirrored, colour);
    };
    both(&mut page, &[(152, 345), (144, 450), (138, 535), (168, 536), (179, 450), (188, 365)], SLATE);
    both(&mut page, &[(138, 534), (122, 552), (124, 560), (166, 560), (168, 534)], SOOT);
    both(&mut page, &[(156, 159), (134, 169), (123, 215), (113, 320), (135, 322), (156, 220)], RUST);
    both(&mut page, &[(113, 321), (109, 338), (116, 351), (129, 346), (135, 322)], SKIN);
    shape(
        &mut page,
        &[(170, 150), (152, 158), (153, 280), (150, 350), (230, 350), (227, 280), (228, 158), (210, 150)],
        RUST,
    );
    shape(
        &mut page,
        &[(168, 200), (212, 200), (216, 260), (234, 280), (238, 425), (142, 425), (146, 280), (164, 260)],
        PAPER,
    );
    shape(
        &mut page,
        &[
            (176, 131),
            (161, 116),
            (161, 78),
            (190, 66),
            (219, 78),
            (219, 116),
            (204, 131),
            (204, 156),
            (176, 156),
        ],
        SKIN,
    );
    shape(&mut page, &[(159, 105), (158, 75), (190, 54), (222, 75), (221, 105), (214, 84), (166, 84)], SOOT);
    [178, 202].into_iter().for_each(|x| draw_filled_circle_mut(&mut page, (x, 103), 3, INK));
    page
}

fn drafted(page: RgbaImage, options: &DraftOptions) -> Draft {
    draft("page.png", &as_picture(page), options, &tray()).unwrap()
}

fn questions(draft: &Draft) -> Vec<((u32, u32), bool)> {
    let asked = draft.warnings.iter().filter_map(|warning| match warning {
        Warning::OnlyLikely { x, y, cloth } => Some(((*x, *y), *cloth)),
        _ => None,
    });
    asked.collect()
}

fn hangs(draft: &Draft) -> bool {
    draft.warnings.iter().any(|warning| matches!(warning, Warning::HangsOnNothing { .. }))
}

/// The rows in which a bead lies where the figure's middle is.
fn rows_with_middle(draft: &Draft) -> Vec<usize> {
    let beads = draft.matched.beads();
    let middle = Column(beads.columns() / 2);
    (0..beads.rows()).filter(|row| beads[(Row(*row), middle)].is_some()).collect()
}

#[test]
fn an_apron_in_a_closed_outline_is_kept_on_the_plan_and_asked_about() {
    let found = drafted(fishmonger(), &DraftOptions::default());
    assert!(found.samples.is_on_plan());
    let [(at, true)] = questions(&found)[..] else { panic!("{:?}", found.warnings) };
    assert!((142..238).contains(&at.0) && (200..425).contains(&at.1), "{at:?}");
    let rows = rows_with_middle(&found);
    assert!((0..18).all(|row| rows.contains(&row)), "{rows:?}");
    assert!(!hangs(&found));
}

#[test]
fn the_answer_cloth_is_taken_on_the_plan_and_nothing_is_asked_again() {
    let answers = vec![Answer { at: (190.0, 380.0), is: Enclosed::Cloth }];
    let found = drafted(fishmonger(), &DraftOptions { answers, ..DraftOptions::default() });
    assert!(questions(&found).is_empty(), "{:?}", found.warnings);
    assert!(rows_with_middle(&found).contains(&16));
}

#[test]
fn a_figure_in_two_pieces_is_told_of_with_the_option_that_mends_it() {
    // Where its outline is left out at one side the apron is open ground.
    let mut page = fishmonger();
    for (x, y) in (228..251).flat_map(|x| (300..425).map(move |y| (x, y))) {
        page.put_pixel(x, y, PAPER);
    }
    let found = drafted(page, &DraftOptions::default());
    let hanging = found.warnings.iter().filter_map(|warning| match warning {
        Warning::HangsOnNothing { first, last, at } => Some((*first, *last, *at)),
        _ => None,
    });
    let [(first, 24, Some((x, y)))] = hanging.collect::<Vec<_>>()[..] else { panic!("{:?}", found.warnings) };
    assert!((16..21).contains(&first), "{first}");
    assert!((130..250).contains(&x) && (280..430).contains(&y), "{x},{y}");
}

/// A frame of rust around bare paper, open to the right by so many pixels of its 24 a bead.
fn open_frame(wide: u32) -> RgbaImage {
    const FRAME: [&str; 9] =
        ["rrrrrrr", "r.....r", "r.....r", "r.....r", "r.....r", "r.....r", "rrrrrrr", "..b.b..", "..b.b.."];
    let mut page = drawn(&FRAME, (24.0, 24.0), 40.0);
    for (x, y) in (170..220).flat_map(|x| (112..112 + wide).map(move |y| (x, y))) {
        page.put_pixel(x, y, PAPER);
    }
    page
}

#[test]
fn a_break_in_the_outline_is_closed_at_the_makers_word() {
    let answers = vec![Answer { at: (90.0, 100.0), is: Enclosed::Cloth }];
    let said = DraftOptions { answers, ..by_rows(9) };
    let middle = |found: &Draft| rows_of(found, &tray())[3].chars().nth(3);
    assert_eq!(middle(&drafted(open_frame(11), &by_rows(9))), Some('.'));
    assert_eq!(middle(&drafted(open_frame(11), &said)), Some('w'));
}

#[test]
fn a_wide_opening_is_named_with_its_place() {
    let answers = vec![Answer { at: (90.0, 100.0), is: Enclosed::Cloth }];
    let said = DraftOptions { answers, ..by_rows(9) };
    match draft("page.png", &as_picture(open_frame(40)), &said, &tray()) {
        Err(Error::BadValue { option: "--cloth", why, .. }) => {
            let place = why.split(" at ").nth(1).and_then(|rest| rest.split(", by about").next());
            let (x, y) = place.and_then(|place| place.split_once(',')).expect(&why);
            let (x, y): (u32, u32) = (x.parse().unwrap(), y.parse().unwrap());
            assert!((150..230).contains(&x) && (90..170).contains(&y), "{why}");
        }
        other => panic!("{:?}", other.map(|draft| draft.warnings)),
    }
}

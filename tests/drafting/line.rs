//! Drafts of drawings whose figure is known, made here, and the laws a draft obeys.

use crate::common::{
    PAPER, WATCHMAN, as_picture, by_rows, colour_at, drawn, rows_of, tray, without_empty_sides,
};
use image::{Rgba, RgbaImage};
use proptest::prelude::*;
use smallcast::colour::Srgb;
use smallcast::draft::{Draft, DraftOptions, Size, draft};
use smallcast::error::Error;
use smallcast::matching::MOST_GIVEN_UP;
use smallcast::plan::{HeightClass, Marks, ZoneRows};
use smallcast::reference::Area;
use smallcast::sample::Proportions;
use smallcast::tray::{Bead, Tray};
use smallcast::units::{Column, Row};

#[test]
fn a_drawing_on_its_lattice_comes_back_bead_by_bead() {
    let picture = as_picture(drawn(&WATCHMAN, (17.3, 17.3), 23.6));
    let tray = tray();
    let found = draft("watchman.png", &picture, &by_rows(24), &tray).unwrap();
    assert_eq!(rows_of(&found, &tray), without_empty_sides(&WATCHMAN));
    assert!(found.matched.confidence().get() > 0.85, "{}", found.matched.confidence());
}

#[test]
fn with_nothing_asked_the_guide_s_rows_serve() {
    let picture = as_picture(drawn(&WATCHMAN, (14.0, 14.0), 40.0));
    let tray = tray();
    let found = draft("watchman.png", &picture, &DraftOptions::default(), &tray).unwrap();
    assert_eq!(found.zones, Some(HeightClass::GUIDE.rows));
    assert_eq!(found.matched.beads().rows(), 24);
    assert_eq!(rows_of(&found, &tray), without_empty_sides(&WATCHMAN));
}

#[test]
fn closed_in_ground_stays_empty_and_small_marks_stay() {
    let picture = as_picture(drawn(&WATCHMAN, (20.0, 20.0), 30.0));
    let tray = tray();
    let found = rows_of(&draft("watchman.png", &picture, &by_rows(24), &tray).unwrap(), &tray);
    assert_eq!(&found[16], ".bb.bb.", "the gap between the legs");
    assert_eq!(&found[2], ".sesse.", "the eyes");
    assert_eq!(&found[11], "kkkgkkk", "the buckle");
}

#[test]
fn a_bead_wider_than_high_is_searched_for_not_assumed() {
    let picture = as_picture(drawn(&WATCHMAN, (17.9, 17.3), 31.2));
    let tray = tray();
    let found = draft("watchman.png", &picture, &by_rows(24), &tray).unwrap();
    assert_eq!(rows_of(&found, &tray), without_empty_sides(&WATCHMAN));
}

/// Heights in pixels of each zone of a natural drawing: an adult's head is about a sixth of the height.
#[test]
fn marks_bring_natural_proportions_to_the_plan() {
    let zone_heights = [(5, 15.0), (1, 22.0), (8, 24.0), (9, 30.0), (1, 20.0)];
    let mut lines = vec![40.0];
    let mut row_of = Vec::new();
    for (zone, (rows, height)) in zone_heights.iter().enumerate() {
        for _ in 0..*rows {
            row_of.push(zone);
            lines.push(lines.last().unwrap() + height);
        }
    }
    let width = |row: usize| if row < 6 { 15.5 } else { 20.0 };
    let tall = *lines.last().unwrap() as u32 + 40;
    let pixels = RgbaImage::from_fn(320, tall, |x, y| {
        let v = f64::from(y) + 0.5;
        let row = lines.iter().rposition(|&line| line <= v).filter(|&r| r < 24);
        let colour = row.and_then(|row| {
            let column = ((f64::from(x) + 0.5 - 160.0) / width(row) + 4.5).floor();
            (column >= 0.0).then(|| colour_at(&WATCHMAN, row, column as usize))?
        });
        let c = colour.unwrap_or(PAPER);
        Rgba([c.r, c.g, c.b, 255])
    });
    let mut at = 0;
    let mut marks = vec![format!("crown={}", lines[0])];
    for (name, rows) in [("chin", 5), ("shoulder", 1), ("hip", 8), ("ankle", 9), ("sole", 1)] {
        at += rows;
        marks.push(format!("{name}={}", lines[at]));
    }
    let tray = tray();
    let picture = as_picture(pixels);
    let options = DraftOptions {
        size: Size::Zones(ZoneRows::parse("head=5,neck=1,torso=8,legs=9,feet=1").unwrap()),
        marks: Some(Marks::parse(&marks.join(",")).unwrap()),
        ..DraftOptions::default()
    };
    let found = draft("watchman.png", &picture, &options, &tray).unwrap();
    assert_eq!(found.samples.lattice().proportions(), Proportions::MarksGiven);
    assert_eq!(rows_of(&found, &tray), without_empty_sides(&WATCHMAN));
    // As drawn, the same picture keeps its small head: the rows do not fall on the plan's.
    let kept = draft("watchman.png", &picture, &DraftOptions { as_drawn: true, ..options }, &tray).unwrap();
    assert_eq!(kept.samples.lattice().proportions(), Proportions::AsDrawn);
    assert_ne!(rows_of(&kept, &tray), without_empty_sides(&WATCHMAN));
}

#[test]
fn two_colours_that_touch_keep_two_beads() {
    // Three bands of skin and hair hardly darker, six rows of 30 pixels on paper.
    let picture = as_picture(RgbaImage::from_fn(200, 260, |x, y| {
        let inside = (40..160).contains(&x) && (40..220).contains(&y);
        Rgba(match inside.then(|| (y - 40) / 60) {
            None => [PAPER.r, PAPER.g, PAPER.b, 255],
            Some(1) => [0xe6, 0xb2, 0x8c, 255],
            Some(_) => [0xf0, 0xc3, 0xa5, 255],
        })
    }));
    let near = |hex: &str| hex.parse::<Srgb>().unwrap().lab();
    // The nearest bead to both is one and the same; the next is still a good one for the hair.
    let beads = vec![
        Bead::new("both", near("e9b794")),
        Bead::new("dark", near("dba578")),
        Bead::new("far", near("ff00ff")),
    ];
    let tray = Tray::new("test", beads).unwrap();
    let found = draft("stripes.png", &picture, &by_rows(6), &tray).unwrap();
    let bead = |found: &Draft, row| found.matched.beads()[(Row(row), Column(1))].as_ref().unwrap().bead;
    assert_ne!(bead(&found, 0), bead(&found, 2));
    // One of the two gave up its nearest bead, and that is said.
    let traded = found.traded();
    assert_eq!(traded.len(), 1);
    let trade = traded[0].trade;
    assert_eq!(tray.bead(trade.nearest.bead).name, "both");
    assert_eq!(tray.bead(trade.taken.bead).name, "dark");
    assert!(trade.given_up() > 0.0 && trade.given_up() <= MOST_GIVEN_UP, "{}", trade.given_up());
    let plain = draft("stripes.png", &picture, &DraftOptions { plain: true, ..by_rows(6) }, &tray).unwrap();
    assert_eq!(bead(&plain, 0), bead(&plain, 2), "the nearest bead, whatever it touches");
    assert!(plain.traded().is_empty());
}

#[test]
fn a_bead_shared_for_want_of_another_is_said() {
    let grid = ["bbbb", "bbbb", "gggg", "gggg", "bbbb", "bbbb"];
    let picture = as_picture(drawn(&grid, (30.0, 30.0), 40.0));
    let tray = Tray::new("test", vec![Bead::new("only", Srgb::new(120, 120, 110).lab())]).unwrap();
    let found = draft("stripes.png", &picture, &by_rows(6), &tray).unwrap();
    assert!(found.warnings.iter().any(|w| w.name() == "shared-bead"), "{:?}", found.warnings);
}

#[test]
fn no_subject_is_an_error_that_says_so() {
    for pixels in [
        RgbaImage::from_pixel(60, 80, Rgba([250, 250, 250, 255])),
        RgbaImage::from_pixel(60, 80, Rgba([0, 0, 0, 0])),
        RgbaImage::from_pixel(1, 1, Rgba([9, 9, 9, 255])),
    ] {
        let outcome = draft("blank.png", &as_picture(pixels), &by_rows(24), &tray());
        assert!(matches!(outcome, Err(Error::NoSubject { .. })), "{outcome:?}");
    }
}

#[test]
fn a_crop_names_one_figure_of_two() {
    let one = drawn(&WATCHMAN, (12.0, 12.0), 20.0);
    let mut both = RgbaImage::from_pixel(one.width() * 2, one.height(), Rgba([252, 253, 250, 255]));
    image::imageops::replace(&mut both, &one, 0, 0);
    image::imageops::replace(&mut both, &one, i64::from(one.width()), 0);
    let tray = tray();
    let uncropped = draft("two.png", &as_picture(both.clone()), &by_rows(24), &tray).unwrap();
    assert!(uncropped.warnings.iter().any(|w| w.name() == "several-people"), "{:?}", uncropped.warnings);
    let crop = Area {
        x: f64::from(one.width()),
        y: 0.0,
        width: f64::from(one.width()),
        height: f64::from(one.height()),
    };
    let picture = as_picture(both);
    let options = DraftOptions { crop: Some(crop), ..by_rows(24) };
    let found = draft("two.png", &picture, &options, &tray).unwrap();
    assert_eq!(rows_of(&found, &tray), without_empty_sides(&WATCHMAN));
    assert!(found.reference.used()[0] >= one.width());
    let beyond = DraftOptions { crop: Some(Area { width: 1e9, ..crop }), ..by_rows(24) };
    assert!(matches!(draft("two.png", &picture, &beyond, &tray), Err(Error::BadValue { .. })));
}

#[test]
fn one_core_and_two_give_the_same_draft() {
    let picture = as_picture(drawn(&WATCHMAN, (15.1, 15.1), 20.0));
    let tray = tray();
    let on = |cores: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(cores).build().unwrap();
        pool.install(|| draft("watchman.png", &picture, &DraftOptions::default(), &tray).unwrap().matched)
    };
    assert_eq!(on(1), on(2));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

    /// Whatever the picture shows: no panic, every bead of the tray, every confidence a probability.
    #[test]
    fn any_picture_gives_a_draft_or_a_plain_error(
        size in (1_u32..40, 1_u32..40), seed in any::<u32>(), rows in 1_usize..40, plan in any::<bool>()
    ) {
        let mut state = seed;
        let mut next = move || { state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223); (state >> 24) as u8 };
        let blotches: Vec<[u8; 4]> = (0..16).map(|_| [next(), next(), next(), if next() > 60 { 255 } else { next() }]).collect();
        let pixels = RgbaImage::from_fn(size.0, size.1, |x, y| Rgba(blotches[((x / 3 + y / 5 * 4) % 16) as usize]));
        let options = if plan { DraftOptions::default() } else { by_rows(rows) };
        let tray = tray();
        if let Ok(found) = draft("any.png", &as_picture(pixels), &options, &tray) {
            for (_, _, bead) in found.matched.beads().iter() {
                if let Some(bead) = bead {
                    let p = bead.confidence.get();
                    prop_assert!((0.0..=1.0).contains(&p));
                    let others: f64 = bead.runners_up.iter().map(|r| r.confidence.get()).sum();
                    prop_assert!(p + others <= 1.0 + 1e-9);
                }
            }
        }
    }
}

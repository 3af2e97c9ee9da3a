//! What is drawn of a scene.

use std::collections::BTreeMap;

use smallcast::scene::Scene;
use smallcast::sheet::{Item, Page, SceneLook, SheetOptions, build_scene_sheet, raster, scene_picture};
use smallcast::tray::Tray;
use smallcast::units::Millimetres;

use crate::common::{block, figures, scene};

fn dawn() -> Scene {
    let all = figures(&[("a", block(20, 9)), ("crate", block(4, 5))]);
    let rest = "[[ground]]\nbead = 'slate'\nrows = [28, 29]\n[[line]]\nrow = 27\nfigures = ['a', 'a']\ncolumns = [4, 25]\n\
                [[place]]\nfigure = 'crate'\nat = [24, 40]\n";
    scene("across = 2, down = 2", rest, &all).unwrap()
}

fn words(page: &Page) -> Vec<&str> {
    let mut words = Vec::new();
    for item in &page.items {
        if let Item::Text { text, .. } = item {
            words.push(text.as_str());
        }
    }
    words
}

#[test]
fn the_sheet_has_a_map_and_a_page_for_every_board_that_is_pegged() {
    let sheet = build_scene_sheet(&dawn(), &Tray::embedded(), &SheetOptions::default()).unwrap();
    // Of the four boards the lower two stay empty.
    assert_eq!(sheet.pages.len(), 3);
    let map = words(&sheet.pages[0]);
    assert!(map.contains(&"board 1") && map.contains(&"board 4"), "{map:?}");
    assert!(map.iter().any(|line| line.ends_with("beads: a 1, a 2")), "{map:?}");
    assert!(map.contains(&"nothing is pegged here"), "{map:?}");
    for (page, name) in sheet.pages[1..].iter().zip(["Dawn, board 1", "Dawn, board 2"]) {
        assert!(words(page).contains(&name), "{:?}", words(page));
    }
}

#[test]
fn a_board_is_printed_true_to_size_with_its_first_peg_at_its_edge() {
    let options = SheetOptions { pitch: Millimetres(5.0), ..SheetOptions::default() };
    let sheet = build_scene_sheet(&dawn(), &Tray::embedded(), &options).unwrap();
    // The ground fills two rows of the second board: no other row of beads is so long.
    let mut rows: BTreeMap<i64, Vec<f64>> = BTreeMap::new();
    for item in &sheet.pages[2].items {
        if let Item::Symbol { place, .. } = item {
            rows.entry((place.y * 1e3).round() as i64).or_default().push(place.x);
        }
    }
    let full: Vec<&Vec<f64>> = rows.values().filter(|row| row.len() == 29).collect();
    assert_eq!(full.len(), 2);
    for row in full {
        let (least, most) = row.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), x| (a.min(*x), b.max(*x)));
        assert!((most - least - 28.0 * 5.0).abs() < 1e-6, "{least} to {most}");
    }
}

#[test]
fn the_picture_shows_all_boards_and_their_seams() {
    let look = SceneLook { bead: Some(10), fused: false };
    let sheet = scene_picture(&dawn(), &Tray::embedded(), &look).unwrap();
    let picture = raster(&sheet, &sheet.pages[0], 1.0);
    assert_eq!((picture.width(), picture.height()), (600, 600));
    // On an empty row of pegs the seam is the only thing that differs.
    let row: Vec<_> = (20..590).map(|x| *picture.get_pixel(x, 580)).collect();
    let darkest =
        (0..row.len()).min_by_key(|x| row[*x].0[..3].iter().map(|c| u32::from(*c)).sum::<u32>()).unwrap();
    assert!((20 + darkest).abs_diff(300) <= 2, "the seam is at {}", 20 + darkest);
    let huge = scene_picture(&dawn(), &Tray::embedded(), &SceneLook { bead: Some(5000), fused: false });
    assert!(huge.unwrap_err().to_string().contains("--bead"));
}

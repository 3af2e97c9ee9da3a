//! Large JPEGs, of which no more is decoded than is looked at: nobody should see the difference.

use image::{DynamicImage, Rgb, RgbImage};
use smallcast::reference::open::decode;
use smallcast::reference::{Limits, Picture, Reference, ReferenceOptions};

use crate::encode::{Beside, exif, jpeg};

const ROWS: usize = 24;

/// A figure of four blocks, `bead` pixels a bead, in the middle of a page that is large enough to be looked at in means.
fn page(bead: u32) -> RgbImage {
    const PAGE: (u32, u32) = (1600, 2880);
    const CLOTHES: [[u8; 3]; 4] = [[65, 48, 42], [240, 195, 165], [27, 39, 71], [168, 69, 47]];
    let (wide, high) = (8 * bead, ROWS as u32 * bead);
    let (left, top) = ((PAGE.0 - wide) / 2, (PAGE.1 - high) / 2);
    RgbImage::from_fn(PAGE.0, PAGE.1, |x, y| {
        let (across, down) = (x.wrapping_sub(left), y.wrapping_sub(top));
        let is_bare = across >= wide || down >= high || (down / bead > 16 && across / bead / 2 == 1);
        if is_bare { Rgb([247, 247, 246]) } else { Rgb(CLOTHES[(down / bead / 6) as usize]) }
    })
}

fn opened(bytes: &[u8]) -> Picture {
    decode("page.jpg", bytes, &Limits::default()).expect("the picture opens")
}

fn seen(picture: &Picture) -> Reference {
    Reference::new("page.jpg", picture, &ReferenceOptions::of_rows(ROWS)).expect("a figure")
}

#[test]
fn all_its_pixels_are_there_when_they_are_asked_for() {
    let file = jpeg(&DynamicImage::ImageRgb8(page(80)), &Beside::default());
    let all = image::load_from_memory(&file).expect("a JPEG").into_rgba8();
    let picture = opened(&file);
    assert_eq!(picture.size(), all.dimensions());
    assert_eq!(*picture.pixels(), all);
    assert_eq!(picture, Picture::of(all));
}

/// From means of four by four pixels, of two by two, and from the pixels themselves: by how large the figure is.
#[test]
fn a_figure_is_seen_where_it_is_and_in_its_colours() {
    for bead in [80, 40, 20] {
        let file = jpeg(&DynamicImage::ImageRgb8(page(bead)), &Beside::default());
        let (near, all) = (seen(&opened(&file)), seen(&Picture::of(opened(&file).into_pixels())));
        for (near, all) in near.used().into_iter().zip(all.used()) {
            assert!(near.abs_diff(all) <= 8, "{bead}: {:?} for {:?}", near, all);
        }
        let middle = |reference: &Reference, beads: f64| {
            let [x, y, width, _] = reference.used().map(f64::from);
            let row = reference.working_row(y + beads * f64::from(bead)) as usize;
            reference.colours()[(row, working_column(reference, x + width / 8.0))]
        };
        for beads in [3.0, 9.0, 15.0, 21.0] {
            let (near, all) = (middle(&near, beads), middle(&all, beads));
            assert!(near.distance_squared(all).sqrt() < 1.0, "{bead} at {beads}: {near} for {all}");
        }
    }
}

/// The working column nearest to a pixel column of the picture.
fn working_column(reference: &Reference, picture: f64) -> usize {
    let off = |column: &usize| (reference.picture_place(*column as f64 + 0.5, 0.0).0 - picture).abs();
    let columns = 0..reference.colours().ncols();
    columns.min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0)
}

#[test]
fn turned_it_is_upright() {
    /// Held upright it is to be turned a quarter clockwise (CIPA DC-008, tag 274).
    const QUARTER: u16 = 6;
    let lies = image::imageops::rotate270(&page(80));
    let beside = Beside { exif: Some(exif(QUARTER, true)), ..Beside::default() };
    let turned = opened(&jpeg(&DynamicImage::ImageRgb8(lies), &beside));
    let upright = opened(&jpeg(&DynamicImage::ImageRgb8(page(80)), &Beside::default()));
    assert_eq!(turned.size(), upright.size());
    for (turned, upright) in seen(&turned).used().into_iter().zip(seen(&upright).used()) {
        assert!(turned.abs_diff(upright) <= 8, "{turned} for {upright}");
    }
    assert_eq!(turned.pixels().dimensions(), upright.pixels().dimensions());
}

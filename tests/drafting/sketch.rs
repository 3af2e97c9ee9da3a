//! A sketch in its own proportions, never on a grid, brought to the plan.

use image::{Rgba, RgbaImage};
use smallcast::draft::{Draft, DraftOptions, Size, draft};
use smallcast::plan::{HeightClass, Landmark, Marks};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

use crate::common::as_picture;

/// Shares of stature from the ground: means of men, ANSUR II (Gordon et al., Natick/TR-15/007, 2014):
/// acromial (shoulder) height 0.8203, crotch height 0.4815, ankle height 0.0415, bideltoid breadth 0.2909, hip
/// breadth 0.1970, head breadth 0.0880; head height, an estimate from sitting and eye height, 0.1347. A drawn head has
/// hair, which adds about a hundredth each way (common practice, no source).
pub(crate) const SHOULDER: f64 = 0.8203;
pub(crate) const CROTCH: f64 = 0.4815;
pub(crate) const ANKLE: f64 = 0.0415;
const SHOULDERS: f64 = 0.2909;
pub(crate) const HIPS: f64 = 0.1970;
pub(crate) const HEAD: f64 = 0.1347;
const HEAD_BREADTH: f64 = 0.0880 + 0.02;

/// Where the trousers begin: a row of 24 above the crotch.
pub(crate) const BELT: f64 = CROTCH + 1.0 / 24.0;

pub(crate) const HEIGHT: f64 = 900.0;
pub(crate) const MARGIN: f64 = 60.0;

pub(crate) const SKIN: [u8; 3] = [0xf0, 0xc3, 0xa5];
const HAIR: [u8; 3] = [0x5a, 0x38, 0x22];
pub(crate) const COAT: [u8; 3] = [0x2f, 0x86, 0x4a];
const BELT_COLOUR: [u8; 3] = [0x30, 0x22, 0x1c];
pub(crate) const TROUSERS: [u8; 3] = [0x35, 0x5f, 0xb0];
pub(crate) const SHADED: [u8; 3] = [0x28, 0x48, 0x88];
const SHOES: [u8; 3] = [0x20, 0x20, 0x22];
const BUTTON: [u8; 3] = [0xf6, 0xc0, 0x30];

/// What a drawn man shows at a place: shares of his height, x from his axis, y from the ground. He leans a little, and
/// nothing of him is as wide above as below.
pub(crate) fn shown(x: f64, y: f64) -> Option<[u8; 3]> {
    let x = (x - 0.012 * (7.0 * y).sin()) * (1.0 + 0.06 * (11.0 * y).sin());
    let side = x.abs();
    let chin = 1.0 - HEAD;
    if y >= chin {
        let (up, across) = ((y - (chin + HEAD / 2.0)) / (HEAD / 2.0), side / (HEAD_BREADTH / 2.0));
        if up * up + across * across > 1.0 {
            return None;
        }
        let is_eye = (side - 0.02).hypot((y - (chin + 0.5 * HEAD)) * 0.8) < 0.007;
        return Some(if y > 1.0 - 0.38 * HEAD {
            HAIR
        } else if is_eye {
            SHOES
        } else {
            SKIN
        });
    }
    if y >= SHOULDER {
        return (side < 0.03).then_some(SKIN);
    }
    let arm = (HIPS / 2.0 + 0.008..SHOULDERS / 2.0).contains(&side);
    if arm && (0.44..SHOULDER - 0.01).contains(&y) {
        return Some(if y < 0.49 { SKIN } else { COAT });
    }
    if y >= BELT {
        let is_button = [0.74, 0.67].iter().any(|b| side.hypot(y - b) < 0.016);
        return (side < HIPS / 2.0 || y > SHOULDER - 0.03 && side < SHOULDERS / 2.0 - 0.02).then_some(
            if y < BELT + 0.03 {
                BELT_COLOUR
            } else if is_button {
                BUTTON
            } else {
                COAT
            },
        );
    }
    if y >= ANKLE {
        let inner = if y < CROTCH { 0.012 } else { 0.0 };
        let is_leg = side < HIPS / 2.0 && side >= inner;
        return is_leg.then_some(if x > 0.062 { SHADED } else { TROUSERS });
    }
    ((0.012..HIPS / 2.0 + 0.025).contains(&side) && y >= 0.0).then_some(SHOES)
}

pub(crate) fn sketch() -> RgbaImage {
    drawn(shown)
}

/// A picture of what is shown at each place.
pub(crate) fn drawn(shown: impl Fn(f64, f64) -> Option<[u8; 3]>) -> RgbaImage {
    let size = |beads: f64| (beads * HEIGHT + 2.0 * MARGIN) as u32;
    RgbaImage::from_fn(size(0.45), size(1.0), |px, py| {
        let x = (f64::from(px) + 0.5 - MARGIN) / HEIGHT - 0.225;
        let y = 1.0 - (f64::from(py) + 0.5 - MARGIN) / HEIGHT;
        let [r, g, b] = shown(x, y).unwrap_or([252, 252, 249]);
        Rgba([r, g, b, 255])
    })
}

pub(crate) fn options() -> DraftOptions {
    DraftOptions { size: Size::Class(HeightClass::GUIDE), ..DraftOptions::default() }
}

fn drafted(options: &DraftOptions) -> Draft {
    drafted_from(sketch(), options)
}

pub(crate) fn drafted_from(picture: RgbaImage, options: &DraftOptions) -> Draft {
    draft("sketch.png", &as_picture(picture), options, &Tray::embedded()).unwrap()
}

/// The beads of one row, by name; None for empty pegs.
pub(crate) fn row(draft: &Draft, row: usize) -> Vec<Option<String>> {
    let tray = Tray::embedded();
    let beads = draft.matched.beads();
    let name = |column| beads[(Row(row), Column(column))].as_ref().map(|b| tray.bead(b.bead).name.clone());
    (0..beads.columns()).map(name).collect()
}

/// Runs of beads in a row: how many beads each has.
fn runs(row: &[Option<String>]) -> Vec<usize> {
    row.chunk_by(|a, b| a.is_some() == b.is_some()).filter(|run| run[0].is_some()).map(<[_]>::len).collect()
}

#[test]
fn landmarks_lie_where_people_have_them() {
    let draft = drafted(&options());
    let found = draft.landmarks();
    let row = HEIGHT / 24.0;
    for (landmark, share) in [
        (Landmark::Crown, 1.0),
        (Landmark::Chin, 1.0 - HEAD),
        (Landmark::Shoulder, SHOULDER),
        (Landmark::Hip, BELT),
        (Landmark::Ankle, ANKLE),
        (Landmark::Sole, 0.0),
    ] {
        let wanted = MARGIN + (1.0 - share) * HEIGHT;
        let (_, at, confidence) = found.iter().find(|f| f.0 == landmark).unwrap();
        assert!((at - wanted).abs() <= row, "{}: {at}, not {wanted}", landmark.name());
        assert!(confidence.get() > 0.5, "{}", landmark.name());
    }
}

/// Widths of the trade (common practice, no source): a torso of five and an arm of one to each side, legs of two
/// with a gap of one, feet that turn out; the belt is the torso's last row.
#[test]
fn a_body_has_the_plan_s_widths() {
    let draft = drafted(&options());
    assert_eq!(draft.matched.beads().rows(), 24);
    for torso in 8..13 {
        assert_eq!(runs(&row(&draft, torso)), [7], "row {torso}: {:?}", row(&draft, torso));
    }
    for legs in 16..23 {
        assert_eq!(runs(&row(&draft, legs)), [2, 2], "row {legs}: {:?}", row(&draft, legs));
    }
    assert_eq!(runs(&row(&draft, 23)).len(), 2);
    let belt: Vec<String> = row(&draft, 13).into_iter().flatten().collect();
    assert!(
        belt.iter().filter(|bead| ["peat", "coal", "cocoa", "mole"].contains(&bead.as_str())).count() >= 3,
        "{belt:?}"
    );
}

#[test]
fn a_face_has_its_eyes_and_a_coat_its_buttons() {
    let draft = drafted(&options());
    let eyes = row(&draft, 2);
    let dark: Vec<usize> =
        eyes.iter().enumerate().filter(|(_, b)| b.as_deref() == Some("coal")).map(|(c, _)| c).collect();
    assert_eq!(dark.len(), 2, "{eyes:?}");
    assert_eq!(dark[1] - dark[0], 2, "a bead between the eyes");
    let buttons = (6..14).flat_map(|r| row(&draft, r)).flatten().filter(|bead| bead == "yolk").count();
    assert_eq!(buttons, 2);
}

/// Eyes that are drawn with an outline are eyes.
#[test]
fn outlined_eyes_are_eyes() {
    const EYE: f64 = 1.0 - 0.5 * HEAD;
    let ringed = |x: f64, y: f64| {
        let ring = (x.abs() - 0.02).hypot(y - EYE);
        if (0.012..0.017).contains(&ring) { Some(HAIR) } else { shown(x, y) }
    };
    let eyes = row(&drafted_from(drawn(ringed), &options()), 2);
    assert_eq!(eyes.iter().filter(|bead| bead.as_deref() == Some("coal")).count(), 2, "{eyes:?}");
}

/// A mark covers little of its window; what speaks for it takes the place of that share, or a face's eyes would be
/// the least sure beads of a draft.
#[test]
fn what_speaks_for_a_mark_is_its_share() {
    let draft = drafted(&options());
    let samples = draft.samples.beads();
    let share = |row: usize, bead: &str| -> Vec<f64> {
        let beads = self::row(&draft, row);
        let at = (0..beads.len()).filter(|c| beads[*c].as_deref() == Some(bead));
        at.map(|column| samples[(Row(row), Column(column))].colours[0].share).collect()
    };
    let eyes = share(2, "coal");
    assert!(eyes.len() == 2 && eyes.iter().all(|share| *share > 0.7), "{eyes:?}");
    for (row, column, sample) in samples.iter() {
        let all: f64 = sample.colours.iter().map(|colour| colour.share).sum();
        assert!(all < 1.0 + 1e-9, "row {}, column {}: {all}", row.0, column.0);
    }
}

#[test]
fn trousers_and_shoes_are_of_one_colour_each() {
    let draft = drafted(&options());
    for rows in [16..23, 23..24] {
        let mut beads: Vec<String> = rows.clone().flat_map(|r| row(&draft, r)).flatten().collect();
        beads.sort();
        beads.dedup();
        assert_eq!(beads.len(), 1, "{rows:?}: {beads:?}");
    }
}

#[test]
fn a_landmark_given_by_hand_holds_and_the_others_are_found() {
    let marks = Marks::parse("hip=600").unwrap();
    let draft = drafted(&DraftOptions { marks: Some(marks), ..options() });
    let at = |landmark| draft.landmarks().iter().find(|f| f.0 == landmark).map(|f| (f.1, f.2.get())).unwrap();
    assert!((at(Landmark::Hip).0 - 600.0).abs() <= 1.0);
    assert_eq!(at(Landmark::Hip).1, 1.0);
    let chin = MARGIN + HEAD * HEIGHT;
    assert!((at(Landmark::Chin).0 - chin).abs() <= HEIGHT / 24.0);
}

#[test]
fn plain_leaves_all_of_it_out() {
    let draft = drafted(&DraftOptions { plain: true, ..options() });
    assert!(draft.landmarks().is_empty());
    let legs =
        draft.samples.beads().iter().filter(|(row, _, sample)| row.0 > 15 && row.0 < 23 && sample.filled);
    let colours: Vec<usize> = legs.map(|(_, _, sample)| sample.colours[0].colour).collect();
    assert!(colours.iter().any(|colour| *colour != colours[0]), "the shaded leg keeps its own colour");
}

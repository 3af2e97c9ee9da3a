//! Several references of one character: the first gives the shape, all give the colours.

use crate::common::{WATCHMAN, as_picture, by_rows, drawn, rows_of, tray, watchman};
use image::{Rgba, RgbaImage};
use smallcast::colour::{Srgb, ciede2000};
use smallcast::draft::{Disagreement, DraftOptions, Several, Used, draft, draft_of_several};
use smallcast::error::Error;
use smallcast::reference::Picture;
use smallcast::tray::{Bead, Tray};
use smallcast::trial::{Manner, Trial, known_figures};

fn colour(hex: &str) -> Srgb {
    hex.parse().unwrap()
}

/// The test's tray without its rust, and three reds instead: one for each reference, and one between.
fn reds() -> Tray {
    let mut beads: Vec<Bead> =
        tray().iter().map(|(_, bead)| bead.clone()).filter(|bead| bead.name != "rust").collect();
    for (name, hex) in [("rust", "a8452f"), ("between", "aa5745"), ("faded", "ac695b")] {
        beads.push(Bead::new(name, colour(hex).lab()));
    }
    Tray::new("reds", beads).unwrap()
}

/// The watchman with some of his colours changed, beads so many pixels wide.
fn painted(bead: f64, changes: &[(&str, &str)]) -> Picture {
    let mut pixels = drawn(&WATCHMAN, (bead, bead), 2.0 * bead);
    for (from, to) in changes {
        let (from, to) = (colour(from), colour(to));
        for pixel in pixels.pixels_mut().filter(|p| p.0[..3] == [from.r, from.g, from.b]) {
            pixel.0 = [to.r, to.g, to.b, 255];
        }
    }
    as_picture(pixels)
}

const FADED: [(&str, &str); 1] = [("a8452f", "ac695b")];

fn of(first: &Picture, others: &[Picture], options: &DraftOptions, tray: &Tray) -> Several {
    let others: Vec<(String, Picture)> =
        others.iter().enumerate().map(|(at, other)| (format!("{}.png", at + 2), other.clone())).collect();
    draft_of_several("1.png", first, &others, options, tray).unwrap()
}

/// The bead at the middle of the coat.
fn coat(several: &Several, tray: &Tray) -> String {
    let line = several.draft.legend.iter().max_by_key(|line| line.count).unwrap();
    tray.bead(line.bead).name.clone()
}

fn about<'a>(several: &'a Several, what: &str) -> &'a Disagreement {
    let all = || several.disagreements.iter().map(|d| d.what.as_str()).collect::<Vec<_>>();
    several.disagreements.iter().find(|d| d.what == what).unwrap_or_else(|| panic!("{what}: {:?}", all()))
}

#[test]
fn the_bead_that_serves_all_is_taken_whichever_reference_comes_first() {
    let tray = reds();
    let (fresh, faded) = (painted(14.0, &[]), painted(21.0, &FADED));
    let options = DraftOptions::default();
    assert_eq!(coat(&of(&fresh, &[], &options, &tray), &tray), "rust");
    assert_eq!(coat(&of(&faded, &[], &options, &tray), &tray), "faded");
    for (one, other) in [(&fresh, &faded), (&faded, &fresh)] {
        let both = of(one, std::slice::from_ref(other), &options, &tray);
        assert_eq!(coat(&both, &tray), "between");
        let torso = about(&both, "torso");
        let apart = ciede2000(colour("a8452f").lab(), colour("ac695b").lab()).0;
        assert!((torso.agreement.apart.0 - apart).abs() < 0.3, "{} beside {apart}", torso.agreement.apart);
        assert_eq!(tray.bead(torso.chosen.bead).name, "between");
        assert!(torso.chosen.worst.0 < 0.7 * apart, "{}", torso.chosen.worst);
        assert_eq!(torso.used.iter().map(|(at, _)| *at).collect::<Vec<_>>(), [0, 1]);
        assert!(both.disagreements.iter().filter(|d| d.what != "torso").all(|d| !d.is_clear()));
    }
    // Two of three are fresh: the faded one still weighs no less.
    let three = of(&fresh, &[painted(16.0, &[]), faded], &options, &tray);
    assert_eq!(coat(&three, &tray), "between");
}

#[test]
fn the_first_alone_gives_the_shape() {
    let mut bareheaded = WATCHMAN;
    (bareheaded[0], bareheaded[1]) = (".........", "...nnn...");
    bareheaded[13] = ".rrrrrrr.";
    let other = as_picture(drawn(&bareheaded, (19.0, 19.0), 30.0));
    let several = of(&painted(14.0, &[]), &[other], &DraftOptions::default(), &tray());
    assert!(matches!(several.references[1].used, Used::Colours { .. }), "{:?}", several.references);
    assert_eq!(rows_of(&several.draft, &tray()), watchman());
}

#[test]
fn a_reference_that_does_not_fit_is_left_out_and_said() {
    let tray = tray();
    let first = painted(14.0, &[]);
    // A cart: wide and low.
    let cart = RgbaImage::from_fn(600, 200, |x, y| {
        let inside =
            (40..560).contains(&x) && (60..110).contains(&y) || (90..150).contains(&x) && y < 160 && y > 60;
        Rgba(if inside { [90, 97, 48, 255] } else { [252, 253, 250, 255] })
    });
    let blank = RgbaImage::from_pixel(80, 80, Rgba([250, 250, 250, 255]));
    // The same outline, all in other colours.
    let stranger = painted(
        18.0,
        &[
            ("1b2747", "f9d94a"),
            ("a8452f", "2f8ca8"),
            ("4c5763", "d46fb0"),
            ("f0c3a5", "3a2a20"),
            ("41302a", "e8e4d8"),
        ],
    );
    let alone = draft("1.png", &first, &DraftOptions::default(), &tray).unwrap();
    for (other, reason) in [
        (as_picture(cart), "silhouette"),
        (as_picture(blank), "stands out"),
        (stranger, "most of its colours"),
    ] {
        let several = of(&first, &[other], &DraftOptions::default(), &tray);
        let Used::Nothing { why } = &several.references[1].used else { panic!("{:?}", several.references) };
        assert!(why.contains(reason), "{why}");
        assert_eq!(several.draft.matched, alone.matched);
        assert!(several.disagreements.is_empty());
    }
}

#[test]
fn a_first_reference_that_fails_is_an_error() {
    let blank = as_picture(RgbaImage::from_pixel(80, 80, Rgba([250, 250, 250, 255])));
    let others = [("2.png".to_owned(), painted(14.0, &[]))];
    let outcome = draft_of_several("1.png", &blank, &others, &by_rows(24), &tray());
    assert!(matches!(outcome, Err(Error::NoSubject { file, .. }) if file == "1.png"));
}

#[test]
fn a_colour_that_no_bead_could_serve_too_is_ignored() {
    let tray = tray();
    // The same man with a yellow cap.
    let other = painted(17.0, &[("1b2747", "f9d94a")]);
    let several = of(&painted(14.0, &[]), &[other], &DraftOptions::default(), &tray);
    assert_eq!(rows_of(&several.draft, &tray), watchman());
    let cap = about(&several, "hair or hat");
    let apart = ciede2000(colour("1b2747").lab(), colour("f9d94a").lab()).0;
    assert_eq!(cap.ignored.len(), 1);
    assert!(cap.ignored[0].0 == 1 && (cap.ignored[0].1.0 - apart).abs() < 0.5, "{:?}", cap.ignored);
    assert_eq!(cap.used.len(), 1);
    assert!(cap.is_clear());
}

/// Eyes that the other reference has closed: what it shows there is skin, and no reason to change the eyes.
#[test]
fn a_mark_that_the_other_lacks_is_not_what_lies_about_it() {
    let tray = tray();
    let other = painted(17.0, &[("202124", "f0c3a5")]);
    let several = of(&painted(14.0, &[]), &[other], &DraftOptions::default(), &tray);
    assert_eq!(rows_of(&several.draft, &tray), watchman());
    assert!(
        several.disagreements.iter().all(|d| d.what != "marks on the head"),
        "{:?}",
        several.disagreements
    );
}

/// Known figures drawn twice by other hands in other manners: the beads stay those of the figure.
#[test]
fn another_manner_of_the_same_figure_changes_no_clean_bead() {
    let tray = Tray::embedded();
    let figures = known_figures(&tray).unwrap();
    for name in ["miller", "eel-fisher", "market-woman"] {
        let figure = figures.iter().find(|figure| figure.name == name).unwrap();
        let trial = |manner, seed| Trial { figure, manner, seed };
        let drawn = |trial: Trial| as_picture(trial.drawing(&tray).pixels);
        let clean = trial(Manner::Shapes, 0);
        let others = [drawn(trial(Manner::Marker, 1)), drawn(trial(Manner::Untidy, 1))];
        let several = of(&drawn(clean), &others, &clean.options(), &tray);
        let used = several.references.iter().skip(1).all(|r| matches!(r.used, Used::Colours { .. }));
        assert!(used, "{name}: {:?}", several.references);
        let mend = clean.score(Some(&several.draft), &tray).mend;
        assert!(mend <= 2, "{name}: {mend} to mend");
    }
}

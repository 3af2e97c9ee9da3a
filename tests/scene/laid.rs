//! How figures are laid, and what a scene is looked over for.

use smallcast::scene::{Scene, Seam};
use smallcast::units::{Column, Row};

use crate::common::{block, figure, figures, scene};

fn names(scene: &Scene) -> Vec<&str> {
    scene.standings().iter().map(|standing| standing.name.as_str()).collect()
}

#[test]
fn what_stands_lower_stands_in_front() {
    let all = figures(&[("a", block(4, 4)), ("b", block(4, 4)), ("cart", block(3, 6))]);
    let rest = "[[line]]\nrow = 20\nfigures = ['a']\nspread = true\n[[line]]\nrow = 10\nfigures = ['b']\nspread = true\n\
                [[place]]\nfigure = 'cart'\nat = [12, 1]\n";
    assert_eq!(names(&scene("across = 1, down = 1", rest, &all).unwrap()), ["b", "cart", "a"]);
}

#[test]
fn over_and_under_move_the_figure_that_says_so_and_nobody_else() {
    let all = figures(&[("a", block(4, 4)), ("b", block(4, 4)), ("cart", block(3, 6))]);
    let lines = "[[line]]\nrow = 10\nfigures = ['b']\nspread = true\n[[line]]\nrow = 20\nfigures = ['a']\nspread = true\n";
    let cart =
        |row: usize, said: &str| format!("{lines}[[place]]\nfigure = 'cart'\nat = [{row}, 1]\n{said}\n");
    let laid = |rest: &str| {
        let scene = scene("across = 1, down = 1", rest, &all).unwrap();
        names(&scene).into_iter().map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(laid(&cart(2, "over = 'a'")), ["b", "a", "cart"]);
    assert_eq!(laid(&cart(24, "under = 'b'")), ["cart", "b", "a"]);
    assert_eq!(laid(&cart(24, "over = 'b'\nunder = 'a'")), ["b", "cart", "a"]);
    // One move may rest on another.
    let two =
        cart(2, "over = 'a'") + "[[place]]\nfigure = 'cart'\nname = 'lid'\nat = [1, 1]\nover = 'cart'\n";
    assert_eq!(laid(&two), ["b", "a", "cart", "lid"]);
}

#[test]
fn a_circle_is_told_from_the_back_to_the_front() {
    let place = |name: &str, over: &str| {
        format!("[[place]]\nfigure = 'a'\nname = '{name}'\nat = [1, 1]\nover = '{over}'\n")
    };
    let rest = place("x", "y") + &place("y", "z") + &place("z", "x");
    let error = scene("across = 1, down = 1", &rest, &figures(&[("a", block(2, 2))])).unwrap_err();
    // x is over y, y over z and z over x: each stands behind the next.
    let told = error.to_string();
    let round = [
        "x behind z behind y, and y behind x",
        "z behind y behind x, and x behind z",
        "y behind x behind z, and z behind y",
    ];
    assert!(round.iter().any(|said| told.ends_with(said)), "{told}");
}

#[test]
fn a_figure_stands_as_often_as_it_is_named_each_with_a_name() {
    let all = figures(&[("props/churn", block(2, 2)), ("boy", block(5, 3))]);
    let rest = "[[line]]\nrow = 20\nfigures = ['boy', 'boy']\ncolumns = [1, 9]\n\
                [[place]]\nfigure = 'props/churn'\nat = [2, 1]\n\
                [[place]]\nfigure = 'props/churn'\nname = 'the dented one'\nat = [2, 9]\n\
                [[place]]\nfigure = 'props/churn'\nat = [2, 20]\nover = 'boy 2'\n";
    let scene = scene("across = 1, down = 1", rest, &all).unwrap();
    assert_eq!(names(&scene), ["churn 1", "the dented one", "boy 1", "boy 2", "churn 2"]);
}

#[test]
fn hidden_beads_are_told_by_name_and_by_whom() {
    let all = figures(&[("back", figure(&["wwc", "wwc"])), ("front", figure(&["rr", "r."]))]);
    let rest =
        "[[place]]\nfigure = 'back'\nat = [1, 1]\n[[place]]\nfigure = 'front'\nat = [1, 2]\nover = 'back'\n";
    let scene = scene("across = 1, down = 1", rest, &all).unwrap();
    let overlaps = scene.overlaps();
    assert_eq!(overlaps.len(), 1);
    assert_eq!((names(&scene)[overlaps[0].over], names(&scene)[overlaps[0].under]), ("front", "back"));
    assert_eq!(overlaps[0].hidden, [("chalk".to_owned(), 2), ("coal".to_owned(), 1)]);
    assert_eq!(scene.showing(), [(6, 3), (3, 3)]);
    // A bead that shows through a gap is not hidden.
    assert_eq!(scene.beads(), 6);
}

#[test]
fn grounds_lie_under_everybody_and_hide_nobody() {
    let all = figures(&[("a", block(4, 4))]);
    let rest = "[[ground]]\nbead = 'slate'\nrows = [1, 29]\n[[ground]]\nbead = 'milk'\nrows = [1, 2]\ncolumns = [1, 2]\n\
                [[place]]\nfigure = 'a'\nat = [1, 1]\n";
    let scene = scene("across = 1, down = 1", rest, &all).unwrap();
    assert_eq!((scene.beads(), scene.overlaps().len(), scene.pieces().0), (29 * 29, 0, 1));
    assert_eq!(scene.showing(), [(16, 16)]);
    let beads: Vec<&str> = scene.legend().iter().map(|entry| entry.bead.as_str()).collect();
    assert_eq!(beads, ["coal", "slate", "milk"]);
    // Nothing is seen of the milk.
    assert_eq!(scene.kinds(), 2);
}

#[test]
fn who_lies_over_a_seam_is_told_with_its_place() {
    let all = figures(&[("wide", block(2, 6)), ("high", block(6, 2)), ("small", block(2, 2))]);
    let rest = "[[place]]\nfigure = 'wide'\nat = [1, 28]\n[[place]]\nfigure = 'high'\nat = [26, 1]\n\
                [[place]]\nfigure = 'small'\nat = [29, 29]\n[[place]]\nfigure = 'small'\nname = 'inside'\nat = [5, 5]\n";
    let scene = scene("across = 2, down = 2", rest, &all).unwrap();
    let told: Vec<_> = scene
        .crossings()
        .into_iter()
        .map(|crossing| (names(&scene)[crossing.standing], crossing.boards, crossing.seams))
        .collect();
    let (upright, level) = (Seam::Upright(Column(29)), Seam::Level(Row(29)));
    assert_eq!(
        told,
        [
            ("wide", vec![(0, 4), (1, 8)], vec![upright]),
            ("small", vec![(0, 1), (1, 1), (2, 1), (3, 1)], vec![upright, level]),
            ("high", vec![(0, 8), (2, 4)], vec![level]),
        ]
    );
}

#[test]
fn what_would_come_off_is_told_with_its_place() {
    let all = figures(&[("big", block(5, 5)), ("hand", block(1, 1)), ("cat", block(2, 2))]);
    let rest = "[[place]]\nfigure = 'big'\nat = [1, 1]\n[[place]]\nfigure = 'hand'\nat = [6, 6]\n\
                [[place]]\nfigure = 'cat'\nat = [20, 10]\n";
    let scene = scene("across = 1, down = 1", rest, &all).unwrap();
    let (pieces, loose) = scene.pieces();
    assert_eq!(pieces, 3);
    let cat = &loose[0];
    assert_eq!((cat.beads, cat.rows.clone(), cat.columns.clone()), (4, 19..21, 9..11));
    assert_eq!((names(&scene)[cat.of[0]], cat.corner), ("cat", None));
    let hand = &loose[1];
    assert_eq!((hand.beads, hand.corner), (1, Some(((Row(5), Column(5)), (Row(4), Column(4))))));
}

#[test]
fn who_fits_side_by_side_stands_in_one_row_with_room_shared_alike() {
    let all = figures(&[("a", block(5, 4)), ("b", block(7, 4)), ("c", block(3, 4))]);
    let rest = "[[line]]\nrow = 10\nfigures = ['a', 'b', 'c']\nspread = true\nbetween = [4, 27]\n";
    let scene = scene("across = 1, down = 1", rest, &all).unwrap();
    let stand: Vec<_> =
        scene.standings().iter().map(|one| (one.name.as_str(), one.rows().end, one.columns())).collect();
    assert_eq!(stand, [("a", 10, 5..9), ("b", 10, 13..17), ("c", 10, 21..25)]);
}

#[test]
fn who_does_not_fit_side_by_side_stands_in_rows_the_first_at_the_back() {
    let someone = figure(&[
        "cccc", "cccc", ".cc.", "cccc", "cccc", "cccc", ".cc.", ".cc.", ".cc.", ".cc.", ".cc.", ".cc.",
    ]);
    let all = figures(&[("someone", someone)]);
    let rest = "[[line]]\nrow = 29\nfigures = ['someone', 'someone', 'someone', 'someone', 'someone', 'someone', 'someone', 'someone']\nspread = true\n";
    let scene = scene("across = 1, down = 1", rest, &all).unwrap();
    let soles: Vec<usize> = scene.standings().iter().map(|one| one.rows().end).collect();
    assert_eq!(names(&scene)[..4], ["someone 1", "someone 2", "someone 3", "someone 4"]);
    assert!(soles[..4].iter().all(|sole| *sole < 29) && soles[4..] == [29; 4], "{soles:?}");
    assert!(scene.showing().iter().all(|(all, shows)| 3 * (all - shows) <= *all));
}

#[test]
fn a_board_is_a_figure_of_its_own_pegs() {
    let all = figures(&[("wide", figure(&["cwr"]))]);
    let rest = "[[place]]\nfigure = 'wide'\nat = [3, 29]\n";
    let boards = scene("across = 2, down = 1", rest, &all).unwrap().by_board().unwrap();
    let kinds: Vec<Vec<&str>> =
        boards.iter().map(|board| board.legend().iter().map(|entry| entry.bead.as_str()).collect()).collect();
    assert_eq!(kinds, [vec!["coal"], vec!["chalk", "poppy"]]);
    assert_eq!(boards[1].name(), "Dawn, board 2");
    assert_eq!((boards[1].beads().rows(), boards[1].beads().columns()), (29, 29));
    assert!(boards[1].beads()[(Row(2), Column(0))].is_some());
}

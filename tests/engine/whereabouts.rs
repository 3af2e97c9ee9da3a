//! Where beads lie, as a maker would say it.

use smallcast::figure::{Figure, Whereabouts, read};
use smallcast::units::{Column, Row};

/// A head of fawn over legs, in parts of their own; `legs` are two rows of three marks.
fn figure(legs: &str) -> Figure {
    let line = |mark: &str, bead: &str| {
        format!("[[legend]]\nmark = \"{mark}\"\nbead = \"{bead}\"\nby = \"hand\"\n\n")
    };
    let part = |name: &str, row: usize, beads: &str| {
        format!("[[part]]\nname = \"{name}\"\nat = [{row}, 0]\nbeads = \"\"\"\n{beads}\n\"\"\"\n\n")
    };
    let text = [
        "format = 1\nname = \"Anna\"\n\n".to_owned(),
        line("f", "fawn"),
        line("n", "navy"),
        line("m", "moss"),
        part("head", 0, "fff\nfff"),
        part("left-arm", 2, "n.n"),
        part("legs", 3, legs),
    ];
    read("anna", &text.concat()).unwrap()
}

fn named(figure: &Figure, pegs: &[(usize, usize)]) -> Option<String> {
    let pegs: Vec<_> = pegs.iter().map(|&(row, column)| (Row(row), Column(column))).collect();
    Whereabouts::of(figure).named(&pegs)
}

#[test]
fn beads_lie_on_the_part_that_shows_there() {
    let figure = figure("nnn\nnnm");
    assert_eq!(named(&figure, &[(0, 0), (1, 2)]).as_deref(), Some("head"));
    assert_eq!(named(&figure, &[(2, 0)]).as_deref(), Some("left arm"));
    assert_eq!(named(&figure, &[(0, 0), (0, 1), (2, 0)]).as_deref(), Some("head and left arm"));
}

#[test]
fn what_most_of_the_legs_have_is_trousers_and_bare_legs_are_legs() {
    let trousers = figure("nnn\nnnm");
    assert_eq!(named(&trousers, &[(3, 0), (3, 1), (4, 0)]).as_deref(), Some("trousers"));
    assert_eq!(named(&trousers, &[(4, 2)]).as_deref(), Some("legs"));
    let bare = figure("fff\nffm");
    assert_eq!(named(&bare, &[(3, 0), (3, 1)]).as_deref(), Some("legs"));
}

#[test]
fn what_is_in_no_part_of_its_own_is_told_by_its_shape() {
    let text = include_str!("../../fixtures/page/milk-carter.figure.toml");
    let figure = read("milk-carter", text).unwrap();
    let trousers = [(15, 3), (16, 4), (17, 6)];
    assert_eq!(named(&figure, &trousers).as_deref(), Some("trousers"));
    let cape = "\n[[part]]\nname = \"wool-cape\"\nat = [1, 3]\nbeads = \"\"\"\nww\n\"\"\"\n";
    let caped = read("milk-carter", &(text.to_owned() + cape)).unwrap();
    assert_eq!(named(&caped, &trousers).as_deref(), Some("trousers"));
    assert_eq!(named(&caped, &[(1, 3)]).as_deref(), Some("wool cape"));
}

#[test]
fn more_than_two_parts_and_empty_pegs_have_no_name() {
    let figure = figure("nnn\nnnm");
    assert_eq!(named(&figure, &[(0, 0), (2, 0), (3, 0)]), None);
    assert_eq!(named(&figure, &[(2, 1)]), None);
    assert_eq!(named(&figure, &[]), None);
}

#[test]
fn a_part_with_hardly_any_of_them_is_not_named() {
    let figure = figure(&["nnnnnnnnnnnn", "nnnnnnnnnnnn"].join("\n"));
    let legs = (0..12).map(|column| (3, column));
    assert_eq!(named(&figure, &legs.chain([(0, 0)]).collect::<Vec<_>>()).as_deref(), Some("trousers"));
}

//! A maker's comments and order outlast every change.

use smallcast::figure::{read, saved};

use crate::common::{WALKER, after, walker};

/// Lines of one text that the other has not.
fn only_in<'a>(one: &'a str, other: &str) -> Vec<&'a str> {
    one.lines().filter(|line| !other.lines().any(|o| o == *line)).collect()
}

#[test]
fn unchanged_it_keeps_its_bytes() {
    assert_eq!(saved(WALKER, &walker()), WALKER);
}

#[test]
fn one_bead_differs_in_one_line_of_beads_and_one_of_how_sure() {
    let text = saved(WALKER, &after(&walker(), "place 4,2 coal").unwrap().figure);
    assert_eq!(only_in(&text, WALKER), ["ncnn.", "J!JJ."]);
    assert_eq!(text.lines().count(), WALKER.lines().count());
}

#[test]
fn comments_stay_whatever_changes() {
    for line in [
        "swap navy moss by-hand",
        "add-row legs",
        "shift cape right 1",
        "part hat",
        "remove cape",
        "name Wanderer",
    ] {
        let figure = after(&walker(), line).unwrap().figure;
        let text = saved(WALKER, &figure);
        assert_eq!(read("again", &text).unwrap(), figure, "{line}");
        for comment in ["# Walks along the canal", "# read off the sketch", "# The coat, seen by lamplight."]
        {
            assert!(text.contains(comment), "{line}: {comment}");
        }
    }
}

#[test]
fn a_swap_undone_gives_back_every_byte_of_the_legend() {
    // Hazel's line has an aim and a confidence, and is renamed as a whole.
    let text = WALKER.replace("aim = [44.0, 5.0, 22.0]  # read off the sketch", "aim = [44.0, 5.0, 22.0]");
    let figure = read("plain", &text).unwrap();
    let swapped = saved(&text, &after(&figure, "swap hazel fox").unwrap().figure);
    assert_ne!(swapped, text);
    assert_eq!(saved(&swapped, &figure), text);
}

#[test]
fn lines_end_as_the_maker_ends_them() {
    let text = WALKER.replace('\n', "\r\n");
    let again = saved(&text, &after(&walker(), "place 4,2 coal").unwrap().figure);
    assert_eq!(only_in(&again, &text), ["ncnn.", "J!JJ."]);
    assert_eq!(again.matches("\r\n").count(), again.matches('\n').count());
}

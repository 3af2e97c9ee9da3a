//! Lines as a maker types them: several places at once, marks after a swap, notes, and numbers that change.

use smallcast::figure::{Edit, Figure};

use crate::common::{after, bead_at, count, walker};

fn mark_of(figure: &Figure, bead: &str) -> Option<char> {
    figure.legend().iter().find(|entry| entry.bead == bead).map(|entry| entry.mark.get())
}

#[test]
fn a_block_of_places_is_every_peg_of_it() {
    let placed = after(&walker(), "place 5-7,2-3 1,2 poppy").unwrap();
    assert_eq!(count(&placed.figure, "poppy"), 7);
    for (row, column) in [(5, 2), (5, 3), (6, 2), (7, 3), (1, 2)] {
        assert_eq!(bead_at(&placed.figure, row, column), Some(("poppy".into(), true)));
    }
    let one_by_one = after(&walker(), "place 5,2 5,3 6,2 6,3 7,2 7,3 1,2 poppy").unwrap();
    assert_eq!(placed, one_by_one);
    assert_eq!(Edit::parse("place 7-5,3-2 poppy").unwrap(), Edit::parse("place 5-7,2-3 poppy").unwrap());
    for form in ["lift", "keep", "doubt"] {
        let line = format!("{form} 3-4,1-4 8,2");
        assert_eq!(Edit::parse(&line).unwrap().to_string(), line);
    }
}

#[test]
fn a_block_is_written_where_it_is_shorter() {
    let written = |line: &str| Edit::parse(line).unwrap().to_string();
    assert_eq!(written("keep 1,2 1,3"), "keep 1,2 1,3");
    assert_eq!(written("keep 1,2 1,3 2,2 2,3"), "keep 1-2,2-3");
    assert_eq!(written("lift 1,1 2,1 3,1 3,2"), "lift 1-3,1 3,2");
    assert_eq!(written("place -1-1,0 poppy"), "place -1-1,0 poppy");
    assert_eq!(written("place 1,1 \"1-2,3\""), "place 1,1 \"1-2,3\"", "a bead that is called like places");
}

#[test]
fn a_block_that_cannot_be_is_refused() {
    for (line, why) in [
        ("place 1-2000,1 coal", "'1-2000,1' is too far out"),
        ("keep 1-999,1-999", "'1-999,1-999' is more than a figure has"),
        ("meant thin 1-2,3 \"so\"", "'1-2,3' is several places, and only one can be named here"),
        ("lift 1-,3", "the place is missing"),
    ] {
        let said = Edit::parse(line).unwrap_err().to_string();
        assert!(said.contains(why), "{line}: {said}");
    }
}

#[test]
fn numbers_that_change_are_said() {
    let said = |line: &str| after(&walker(), line).unwrap().said;
    assert_eq!(
        said("shift body left 1"),
        "body moved left by 1 peg; every other column is now numbered 1 higher; the figure is 6 columns wide"
    );
    assert!(
        said("drop-row torso 4").starts_with("row 4 was dropped, and the rows below are numbered 1 less")
    );
    assert!(said("add-row torso 4").starts_with("row 4 was doubled, and the rows below are numbered 1 more"));
    let up = said("place 0,2 poppy");
    assert!(up.contains("every other row is now numbered 1 higher; the figure is 9 rows tall"), "{up}");
    for still in ["shift cape right 1", "drop-row 8", "place 4,2 coal"] {
        assert!(!said(still).contains("count"), "{still}: {}", said(still));
    }
}

#[test]
fn a_note_is_taken_out_again() {
    let gone = after(&walker(), "not-meant thin 3,4").unwrap();
    assert_eq!(
        (gone.figure.meant().len(), gone.said.as_str()),
        (0, "no longer meant so: thin at row 3, column 4")
    );
    assert_eq!(after(&walker(), "not-meant thin").unwrap().figure, gone.figure);
    for (line, right) in
        [("not-meant loose", "thin at row 3, column 4"), ("not-meant thin 1,1", "thin at row 3")]
    {
        let error = after(&walker(), line).unwrap_err();
        assert!(error.hint().contains(right), "{line}: {}", error.hint());
    }
}

#[test]
fn the_mark_goes_with_the_bead() {
    let swapped = |figure: &Figure, line: &str| after(figure, line).unwrap().figure;
    assert_eq!(mark_of(&swapped(&walker(), "swap navy moss by-hand"), "moss"), Some('m'));
    assert_eq!(mark_of(&swapped(&walker(), "swap navy poppy by-hand"), "poppy"), Some('p'));
    let own = swapped(&walker(), "mark navy x");
    assert_eq!(
        mark_of(&swapped(&own, "swap navy moss by-hand"), "moss"),
        Some('x'),
        "the maker's own mark stays"
    );
    let twice = swapped(&swapped(&walker(), "swap hazel chestnut"), "swap coal chalk by-hand");
    assert_eq!(
        (mark_of(&twice, "chestnut"), mark_of(&twice, "chalk")),
        (Some('h'), Some('c')),
        "letters of both"
    );
}

#[test]
fn marks_name_beads_in_a_swap_where_no_bead_has_that_name() {
    let by_name = after(&walker(), "swap navy hazel").unwrap();
    let marks = [mark_of(&walker(), "navy").unwrap(), mark_of(&walker(), "hazel").unwrap()];
    let by_mark = after(&walker(), &format!("swap {} {}", marks[0], marks[1])).unwrap();
    assert_eq!(by_mark.figure, by_name.figure);
    assert_eq!(by_mark.said, by_name.said);
    assert!(count(&by_mark.figure, "hazel") > count(&walker(), "hazel"));
    // A mark that no line has is no bead either.
    let said = after(&walker(), "swap ? hazel").unwrap_err().to_string();
    assert!(said.contains("the figure has no ?"), "{said}");
}

#[test]
fn slips_of_a_line_are_told_with_the_right_line() {
    for (line, why, right) in [
        ("swap navy to moss", "'to' is too much", "write swap navy moss"),
        ("swap \"dark sky\" to moss in body", "'to' is too much", "write swap \"dark sky\" moss in body"),
        ("mark k to c", "'to' is too much", "write mark k c"),
        ("replace navy moss", "there is no change called replace", "did you mean swap?"),
        ("rename Anna", "there is no change called rename", "did you mean name?"),
        ("place 4, 6 coal", "the place is in two words", "write row and column without a blank: 4,6"),
        ("place 4 6 coal", "the place is in two words", "write row and column without a blank: 4,6"),
        ("lift 4 ,6", "the place is in two words", "write row and column without a blank: 4,6"),
        ("add-row hat", "there is no zone hat", "headwear, head, neck, torso, legs, feet"),
    ] {
        let error = Edit::parse(line).unwrap_err();
        let said = format!("{error} {}", error.hint());
        assert!(said.contains(why) && said.contains(right), "{line}: {said}");
    }
}

#[test]
fn a_bead_far_outside_the_figure_is_a_slip_of_the_finger() {
    let (rows, columns) = (walker().beads().rows(), walker().beads().columns());
    let far = [(rows + 4, 1), (1, columns + 4)].map(|(row, column)| format!("place {row},{column} coal"));
    let before = ["place -3,1 coal".to_owned(), format!("place 1,1 {rows},{} coal", columns + 9)];
    for line in far.iter().chain(&before) {
        let said = after(&walker(), line).unwrap_err().to_string();
        let size = format!("is far outside the figure, which has {rows} rows and {columns} columns");
        assert!(said.contains(&size), "{line}: {said}");
    }
    let near = after(&walker(), &format!("place {},{} coal", rows + 3, columns + 3)).unwrap();
    assert_eq!((near.figure.beads().rows(), near.figure.beads().columns()), (rows + 3, columns + 3));
    assert_eq!(after(&walker(), "place -2,1 coal").unwrap().figure.beads().rows(), rows + 3);
}

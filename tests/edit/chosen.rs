//! What is done to a patch or to a selection, whatever parts it lies in: one line, one step.

use smallcast::figure::{Edit, Figure};

use crate::common::{after, bead_at, walker};

fn done(figure: &Figure, line: &str) -> Figure {
    after(figure, line).unwrap_or_else(|error| panic!("{line}: {error}")).figure
}

/// What shows, a letter a bead.
fn seen(figure: &Figure) -> Vec<String> {
    let beads = figure.beads();
    let row = |row| {
        (0..beads.columns()).map(move |column| {
            bead_at(figure, row + 1, column + 1).map_or('.', |(bead, _)| bead.chars().next().unwrap_or('?'))
        })
    };
    (0..beads.rows()).map(|at| row(at).collect()).collect()
}

fn refusal(figure: &Figure, line: &str) -> String {
    after(figure, line).unwrap_err().to_string()
}

#[test]
fn a_patch_is_filled_by_its_sides_whatever_parts_it_lies_in() {
    let figure = walker();
    assert_eq!(seen(&figure), [".hh..", ".hh..", "nnnn.", "nnnnn", ".nn..", ".nn..", ".nn..", ".cc.."]);
    let filled = done(&figure, "fill 3,1 moss");
    assert!(seen(&filled).iter().all(|row| !row.contains('n')), "{:?}", seen(&filled));
    assert_eq!(done(&figure, "fill 1,2 coal"), done(&figure, "place 1-2,2-3 coal"));
    // The cape's own beads alone.
    let cape = done(&figure, "fill 3,4 moss in cape");
    assert_eq!(bead_at(&cape, 3, 4), Some(("moss".into(), true)));
    assert_eq!(bead_at(&cape, 3, 3), Some(("navy".into(), true)));
}

#[test]
fn empty_pegs_are_filled_where_they_are_shut_in() {
    let ring = done(&done(&walker(), "lift 4,2"), "place 3-5,1-3 coal");
    let ring = done(&ring, "lift 4,2");
    assert_eq!(bead_at(&done(&ring, "fill 4,2 poppy"), 4, 2), Some(("poppy".into(), true)));
    assert!(refusal(&ring, "fill 1,1 poppy").contains("open to the outside"));
    assert!(refusal(&ring, "fill 40,1 poppy").contains("outside the figure"));
}

#[test]
fn a_selection_moves_and_leaves_its_pegs_empty() {
    let moved = done(&walker(), "move 8,2-3 to 8,1");
    assert_eq!(seen(&moved)[7], "cc...");
    assert_eq!(seen(&done(&moved, "move 8,1-2 to 8,2"))[7], ".cc..");
    // It may lie over what it was: a lamp one peg to the right.
    assert_eq!(seen(&done(&walker(), "move 1-2,2-3 to 1,3"))[..2], ["..hh.", "..hh."]);
    // Beads by hand stay by hand, and the others as sure as they were.
    assert_eq!(bead_at(&moved, 8, 1), Some(("coal".into(), true)));
    assert_eq!(bead_at(&done(&walker(), "move 1,2 to 1,5"), 1, 5), Some(("hazel".into(), false)));
    assert!(refusal(&walker(), "move 1,1 to 1,5").contains("no bead at these places"));
    assert!(refusal(&walker(), "move 1,2 to 1,999").contains("outside"));
}

#[test]
fn a_selection_moves_mirrored() {
    let mixed = done(&walker(), "place 1,2 coal");
    let there = done(&done(&mixed, "mirror 1-2,2-3"), "move 1-2,2-3 to 5,4");
    assert_eq!(done(&mixed, "move 1-2,2-3 to 5,4 mirrored"), there);
}

#[test]
fn several_beads_are_laid_in_one_line() {
    let figure = walker();
    let one_by_one = done(&done(&figure, "place 1,2 8,2-3 moss in cape"), "place 1,3 coal in cape");
    assert_eq!(done(&figure, "place 1,2 8,2-3 moss 1,3 coal in cape"), one_by_one);
    // All or none.
    assert!(refusal(&figure, "place 1,2 moss 1,3 no-such-bead").contains("no-such-bead"));
    assert!(refusal(&figure, "place 1,2 moss 1,3").contains("the bead is missing"));
}

#[test]
fn what_is_moved_shows_also_under_another_part() {
    let moved = done(&walker(), "move 8,2 to 3,4");
    assert_eq!(bead_at(&moved, 3, 4), Some(("coal".into(), true)));
}

#[test]
fn a_note_goes_with_its_bead() {
    let moved = done(&walker(), "move 3-4,4-5 to 5,4");
    let at = moved.meant()[0].at.unwrap();
    assert_eq!((at.0.0 + 1, at.1.0 + 1), (5, 4));
}

#[test]
fn a_selection_is_copied_also_mirrored_and_into_a_part() {
    let copied = done(&walker(), "copy 3,1-4 to 7,1");
    assert_eq!(seen(&copied)[6], "nnnn.");
    let mixed = done(&walker(), "place 1,2 coal");
    assert_eq!(seen(&done(&mixed, "copy 1,2-3 to 2,2 mirrored"))[1], ".hc..");
    let part = done(&done(&walker(), "part lamp"), "copy 1-2,2-3 to 5,4 in lamp");
    assert_eq!(
        part.parts().last().map(|part| part.beads.iter().filter(|(.., bead)| bead.is_some()).count()),
        Some(4)
    );
}

#[test]
fn a_mirrored_selection_is_itself_again_mirrored_twice() {
    let mixed = done(&walker(), "place 1,2 coal");
    let once = done(&mixed, "mirror 1-2,2-3");
    assert_eq!(seen(&once)[0], ".hc..");
    assert_eq!(done(&once, "mirror 1-2,2-3"), mixed);
}

#[test]
fn a_selection_becomes_a_part_and_looks_as_it_did() {
    let figure = walker();
    let parted = done(&figure, "part head of 1-2,1-5");
    assert_eq!(seen(&parted), seen(&figure));
    let head = parted.parts().iter().find(|part| part.name == "head").unwrap();
    assert_eq!(head.beads.iter().filter(|(.., bead)| bead.is_some()).count(), 4);
    assert!(refusal(&figure, "part cape of 1,2").contains("already a part cape"));
}

#[test]
fn a_part_has_another_name_and_stays_where_it_is() {
    let figure = walker();
    let called = done(&figure, "call cape \"wool cape\"");
    assert_eq!(seen(&called), seen(&figure));
    assert_eq!(called.parts().last().map(|part| part.name.as_str()), Some("wool cape"));
    assert!(refusal(&figure, "call cape body").contains("already a part body"));
    assert!(after(&figure, "call cap hood").unwrap_err().hint().contains("did you mean cape?"));
    assert!(refusal(&figure, "call cape \"\"").contains("needs a name"));
}

#[test]
fn a_part_is_laid_over_or_under_another_by_name() {
    let figure = done(&done(&walker(), "part lamp of 1,2"), "part hat of 1,3");
    let order = |figure: &Figure| figure.parts().iter().map(|part| part.name.clone()).collect::<Vec<_>>();
    assert_eq!(order(&figure), ["body", "hat", "lamp", "cape"]);
    assert_eq!(order(&done(&figure, "over body cape")), ["hat", "lamp", "cape", "body"]);
    assert_eq!(order(&done(&figure, "under cape hat")), ["body", "cape", "hat", "lamp"]);
    assert!(refusal(&figure, "over cape hat").contains("already lies over hat"));
    assert!(refusal(&figure, "under hat hat").contains("already"));
    // As older histories have it.
    assert_eq!(Edit::parse("raise body").unwrap(), Edit::parse("over body").unwrap());
    assert_eq!(order(&done(&figure, "lower cape")), ["body", "hat", "cape", "lamp"]);
}

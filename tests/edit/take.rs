//! Parts of another figure, laid where this one's plan has them. All figures are invented.

use smallcast::figure::{Anatomy, AtHand, Edit, Edited, Figure, Second, read};
use smallcast::plan::{BodyPart, Zone};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

use crate::common::{WALKER, after, bead_at, count, walker};
use crate::why::Neighbour;

fn known(name: &str) -> Figure {
    let path = format!("src/trial/figures/{name}.figure.toml");
    read(&path, &std::fs::read_to_string(&path).unwrap()).unwrap()
}

/// The figure after a line that takes from another.
fn taking(figure: &Figure, line: &str, other: Figure) -> Edited {
    let others = Neighbour(other);
    figure.edited(&Edit::parse(line).unwrap(), &AtHand::new(&Tray::embedded(), &others)).unwrap()
}

fn beads_of(figure: &Figure, part: BodyPart) -> usize {
    Anatomy::of(figure).parts().iter().filter(|(.., own)| **own == Some(part)).count()
}

#[test]
fn a_hat_is_found_and_laid_on_the_head() {
    // The butcher is bald; the oarsman's hat has three rows and a brim, one row above his head.
    let (butcher, oarsman) = (known("butcher"), known("oarsman"));
    let hatted = taking(&butcher, "take hat from oarsman.figure.toml", oarsman.clone());
    assert_eq!(
        hatted.said,
        "hat taken from oarsman.figure.toml: 16 beads, laid about this figure's axis; every other row is now numbered 1 higher; the figure is 25 rows tall; headwear now has 1 row"
    );
    let rows = hatted.figure.rows().unwrap();
    assert_eq!((rows.get(Zone::Headwear), rows.total()), (1, 25));
    assert_eq!(beads_of(&hatted.figure, BodyPart::Hat), 16);
    // Brim over the eyes, axis on axis: the butcher's is column 7, the oarsman's 6.
    assert_eq!(bead_at(&hatted.figure, 3, 4).unwrap().0, "hay");
    assert_eq!(bead_at(&hatted.figure, 3, 11).unwrap().0, "hay");
}

#[test]
fn a_torso_is_fitted_to_the_rows_of_this_class() {
    let (butcher, miller) = (known("butcher"), known("miller"));
    let shorter = after(&butcher, "drop-row torso").unwrap().figure;
    let taken = taking(&shorter, "take torso from miller.figure.toml", miller.clone());
    assert!(taken.said.contains("fitted to this figure's rows: torso from 8 to 7 rows"), "{}", taken.said);
    assert_eq!(taken.figure.rows(), shorter.rows(), "its own plan stays");
    let theirs = Anatomy::of(&miller);
    let rows = theirs.rows_of(Zone::Torso).unwrap();
    let first = |figure: &Figure, row: usize| -> Vec<Option<String>> {
        let axis = Anatomy::of(figure).axis().unwrap() as usize;
        (axis - 2..=axis + 2).map(|column| bead_at(figure, row + 1, column + 1).map(|bead| bead.0)).collect()
    };
    let own = Anatomy::of(&taken.figure).rows_of(Zone::Torso).unwrap();
    assert_eq!(first(&taken.figure, own.0), first(&miller, rows.0), "shoulders on shoulders");
    assert_eq!(first(&taken.figure, own.0 + 6), first(&miller, rows.0 + 7), "hips on hips");
}

/// Where a figure's props lie beside the lowest hand of an arm, up to down and left to right.
fn beside_hand(figure: &Figure, arm: BodyPart, props: BodyPart) -> Vec<(i32, i32)> {
    let anatomy = Anatomy::of(figure);
    let places = |part: BodyPart| {
        let own = anatomy.parts().iter().filter(move |(.., own)| **own == Some(part));
        own.map(|(row, column, _)| (row.0 as i32, column.0 as i32)).collect::<Vec<_>>()
    };
    // Of equals the outer one: a right arm's is the first.
    let hand = *places(arm).iter().max_by_key(|(row, column)| (*row, -column)).unwrap();
    places(props).into_iter().map(|(row, column)| (row - hand.0, column - hand.1)).collect()
}

#[test]
fn what_a_hand_holds_keeps_its_place_beside_that_hand() {
    // A grown figure with a bucket in its right hand, and a child, whose arms end higher up and nearer to its axis.
    let grown = "format = 1\nname = \"Porter\"\n[rows]\nhead = 3\nneck = 1\ntorso = 6\nlegs = 6\nfeet = 1\n";
    let small = "format = 1\nname = \"Child\"\n[rows]\nhead = 3\nneck = 1\ntorso = 4\nlegs = 4\nfeet = 1\n";
    let legend: String =
        [("h", "hazel"), ("s", "petal"), ("c", "sky"), ("t", "navy"), ("k", "coal"), ("b", "chalk")]
            .map(|(mark, bead)| format!("[[legend]]\nmark = \"{mark}\"\nbead = \"{bead}\"\nby = \"hand\"\n"))
            .concat();
    let figure = |about: &str, rows: &[&str]| {
        let beads = rows.join("\n");
        read("any", &format!("{about}{legend}[[part]]\nname = \"body\"\nbeads = \"\"\"\n{beads}\n\"\"\"\n"))
            .unwrap()
    };
    let porter = figure(
        grown,
        &[
            "...hhh...",
            "...sss...",
            "...sss...",
            "....s....",
            ".ctttttc.",
            ".ctttttc.",
            ".c.ttt.c.",
            ".c.ttt.c.",
            ".c.ttt.c.",
            ".s.ttt.s.",
            "b..k.k...",
            "bb.k.k...",
            "bb.k.k...",
            "...k.k...",
            "...k.k...",
            "...k.k...",
            "..kk.kk..",
        ],
    );
    let child = figure(
        small,
        &[
            "..hhh..", "..sss..", "..sss..", "...s...", "cctttcc", "c.ttt.c", "s.ttt.s", "..ttt..",
            "..k.k..", "..k.k..", "..k.k..", "..k.k..", ".kk.kk.",
        ],
    );
    assert_eq!(beads_of(&porter, BodyPart::Props), 5, "the bucket");
    let held = taking(&child, "take props from porter.figure.toml", porter.clone()).figure;
    let wanted = beside_hand(&porter, BodyPart::RightArm, BodyPart::Props);
    assert_eq!(beside_hand(&held, BodyPart::RightArm, BodyPart::Props), wanted);
    // From a figure in parts just so.
    let parted = porter.in_body_parts().unwrap();
    let held = taking(&child, "take props from porter.figure.toml", parted).figure;
    assert_eq!(beside_hand(&held, BodyPart::RightArm, BodyPart::Props), wanted);
}

#[test]
fn what_was_placed_by_hand_stays() {
    let (butcher, miller) = (known("butcher"), known("miller"));
    let marked = after(&butcher, "place 10,7 poppy").unwrap().figure;
    let bare = after(&marked, "lift 12,7").unwrap().figure;
    let taken = taking(&bare, "take torso from miller.figure.toml", miller);
    assert_eq!(bead_at(&taken.figure, 10, 7), Some(("poppy".into(), true)));
    assert_eq!(bead_at(&taken.figure, 12, 7), None, "left empty by hand");
    assert_eq!(taken.kept_by_hand, 2);
    assert!(taken.said.contains("; 2 settled by hand stayed"), "{}", taken.said);
    // In parts, the bead is of the torso itself: it is named, and the lines named make room.
    let parted = marked.in_body_parts().unwrap();
    let line = "take torso from miller.figure.toml";
    let taken = taking(&parted, line, known("miller"));
    let doubt = "--do 'doubt 10,7'";
    assert!(taken.said.contains(&format!("{doubt} --do '{line}'")), "{}", taken.said);
    let doubted = after(&taken.figure, "doubt 10,7").unwrap().figure;
    let again = taking(&doubted, line, known("miller"));
    assert_ne!(bead_at(&again.figure, 10, 7).map(|bead| bead.0), Some("poppy".into()));
    assert_eq!(again.kept_by_hand, 0);
}

#[test]
fn a_part_that_both_have_as_a_layer_takes_its_place() {
    let (butcher, miller) =
        (known("butcher").in_body_parts().unwrap(), known("miller").in_body_parts().unwrap());
    let names = |figure: &Figure| figure.parts().iter().map(|part| part.name.clone()).collect::<Vec<_>>();
    let taken = taking(&butcher, "take legs from miller.figure.toml", miller.clone()).figure;
    assert_eq!(names(&taken), names(&butcher));
    assert_eq!(
        taken.parts().iter().find(|part| part.name == "legs").unwrap().from.as_deref(),
        Some("miller.figure.toml")
    );
    // Beside its own it needs a name.
    let beside = taking(&butcher, "take head from miller.figure.toml as mask", miller).figure;
    assert_eq!(beside.parts().last().unwrap().name, "mask");
    assert_eq!(beside.parts().len(), butcher.parts().len() + 1);
}

#[test]
fn another_layer_stands_on_the_same_ground() {
    let (butcher, toddler) = (known("butcher"), known("ball-toddler"));
    let both = taking(&butcher, "take body from toddler.figure.toml as child", toddler.clone()).figure;
    let child = both.parts().last().unwrap();
    assert_eq!(child.at.0.0 + child.beads.rows(), both.beads().rows(), "sole to sole");
    assert_eq!(child.at.1, Column(3), "the butcher's axis is column 7, the toddler's 4");
    assert_eq!(both.rows(), butcher.rows());
}

#[test]
fn a_part_that_is_not_there_is_said_with_those_that_are() {
    let others = Neighbour(known("butcher"));
    let line = Edit::parse("take hat from butcher.figure.toml").unwrap();
    let refused = walker().edited(&line, &AtHand::new(&Tray::embedded(), &others)).unwrap_err();
    assert!(refused.to_string().contains("Butcher has no part hat"), "{refused}");
    assert!(refused.hint().contains("head"), "{}", refused.hint());
}

#[test]
fn a_doubt_may_name_a_bead_that_comes_later() {
    // The cape's first bead could be hazel, which this figure has not until the cape is here.
    let text = WALKER
        .replace("\"cape\"", "\"shawl\"")
        .replace("nn\n\"\"\"\nsure = \"\"\"\n3.", "nh\n\"\"\"\nsure = \"\"\"\n3.");
    let other = read("other", &text).unwrap();
    let bare = read(
        "bare",
        "format = 1\nname = \"Bare\"\n\n[[legend]]\nmark = \"x\"\nbead = \"coal\"\nby = \"hand\"\n\n\
         [[part]]\nname = \"body\"\nat = [0, 0]\nbeads = \"\"\"\nx\n\"\"\"\n",
    )
    .unwrap();
    let taken = taking(&bare, "take shawl from other.figure.toml", other).figure;
    let shawl = taken.parts().last().unwrap();
    let Some(Second::Bead(mark)) = shawl.beads[(Row(0), Column(0))].unwrap().or else { panic!("it forgot") };
    assert_eq!(taken.entry(mark).unwrap().bead, "hazel");
}

#[test]
fn a_doubt_follows_the_bead_that_came_for_another() {
    // The cape's first bead could be hazel; hazel becomes coal, which is already in the legend.
    let swapped = after(&walker(), "swap hazel coal").unwrap().figure;
    assert_eq!(count(&swapped, "hazel"), 0);
    let cape = swapped.parts().iter().find(|part| part.name == "cape").unwrap();
    let Some(Second::Bead(mark)) = cape.beads[(Row(0), Column(0))].unwrap().or else { panic!("it forgot") };
    assert_eq!(swapped.entry(mark).unwrap().bead, "coal");
}

#[test]
fn a_swapped_bead_was_set_by_no_detector() {
    let swapped = after(&walker(), "swap navy moss in cape").unwrap().figure;
    let cape = swapped.parts().iter().find(|part| part.name == "cape").unwrap();
    assert!(cape.beads.iter().all(|(.., bead)| bead.is_none_or(|bead| bead.why.is_none())));
    // The lines of the detectors stay: an undo brings their comments back.
    assert_eq!(swapped.why(), walker().why());
}

#[test]
fn into_a_figure_of_one_part_a_head_comes_whole() {
    // The butcher is bald; the oarsman has hair under a hat.
    let (butcher, oarsman) = (known("butcher"), known("oarsman"));
    assert_eq!(oarsman.parts().len(), 1);
    let taken = taking(&oarsman, "take head from butcher.figure.toml", butcher.clone()).figure;
    for part in [BodyPart::Hair, BodyPart::Hat] {
        assert_eq!(beads_of(&taken, part), beads_of(&butcher, part), "{part:?} of the old head went");
    }
    assert_eq!(taken.parts().last().unwrap().name, "head", "it lies on top");
    let taken = taking(&butcher, "take head from oarsman.figure.toml", oarsman.clone()).figure;
    let head = taken.parts().last().unwrap();
    let theirs = Anatomy::of(&oarsman);
    let whole = [BodyPart::Head, BodyPart::Hair, BodyPart::Hat];
    let beads =
        theirs.parts().iter().filter(|(.., own)| own.is_some_and(|part| whole.contains(&part))).count();
    assert_eq!(head.beads.iter().filter(|(.., bead)| bead.is_some()).count(), beads);
}

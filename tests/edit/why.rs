//! Which detector set a bead, and what it could be instead, through changes by hand.

use smallcast::error::Result;
use smallcast::figure::{AtHand, Edit, Figure, Others, Placed, Second, Sure, read, saved, write};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

use crate::common::{WALKER, after, walker};

/// The bead of a part at a place of its own, counted from 1.
fn bead(figure: &Figure, part: &str, row: usize, column: usize) -> Placed {
    let part = figure.parts().iter().find(|own| own.name == part).unwrap();
    part.beads[(Row(row - 1), Column(column - 1))].unwrap()
}

fn set_by(figure: &Figure, row: usize, column: usize) -> Option<&str> {
    figure.set_by(bead(figure, "cape", row, column))
}

#[test]
fn a_bead_laid_by_hand_was_set_by_no_detector() {
    assert_eq!(set_by(&walker(), 1, 1), Some("belt"));
    let laid = after(&walker(), "place 3,4 navy in cape").unwrap().figure;
    assert_eq!(set_by(&laid, 1, 1), None);
    assert_eq!(bead(&laid, "cape", 1, 1).sure, Some(Sure::ByHand));
    assert_eq!(bead(&laid, "cape", 1, 1).or, Some(Second::Itself));
    assert_eq!(set_by(&laid, 2, 2), Some("a detector of another day"), "no other bead is touched");
}

/// `place` says that nothing else may lie there; a maker may doubt it again all the same.
#[test]
fn a_bead_that_is_doubted_is_asked_about() {
    let asked = |figure: &Figure| {
        let tray = Tray::embedded();
        figure.decisions(&tray).iter().any(|decision| decision.pegs.contains(&(Row(2), Column(3))))
    };
    let laid = after(&walker(), "place 3,4 navy in cape").unwrap().figure;
    assert!(!asked(&laid), "settled by hand");
    assert!(asked(&after(&laid, "doubt 3,4").unwrap().figure));
}

#[test]
fn what_is_kept_or_moved_keeps_what_was_said_of_it() {
    for line in ["keep 3,4", "shift cape down 1", "raise body", "add-row 1", "mark navy x"] {
        let figure = after(&walker(), line).unwrap().figure;
        assert_eq!(set_by(&figure, 1, 1), Some("belt"), "{line}");
        assert!(matches!(bead(&figure, "cape", 1, 1).or, Some(Second::Bead(_))), "{line}");
        assert_eq!(bead(&figure, "cape", 2, 1).or, Some(Second::Empty), "{line}");
    }
    let mirrored = after(&walker(), "mirror cape").unwrap().figure;
    assert_eq!(set_by(&mirrored, 1, 2), Some("belt"));
}

#[test]
fn what_it_could_be_instead_follows_the_legend() {
    let other = |figure: &Figure| match bead(figure, "cape", 1, 1).or {
        Some(Second::Bead(mark)) => figure.entry(mark).map(|entry| entry.bead.clone()),
        _ => None,
    };
    assert_eq!(other(&walker()).as_deref(), Some("hazel"));
    assert_eq!(other(&after(&walker(), "mark hazel x").unwrap().figure).as_deref(), Some("hazel"));
    assert_eq!(other(&after(&walker(), "swap hazel moss").unwrap().figure).as_deref(), Some("moss"));
    // Once another bead has come for hazel everywhere, that one is it instead.
    let gone = after(&walker(), "swap hazel coal").unwrap().figure;
    assert!(gone.legend().iter().all(|entry| entry.bead != "hazel"));
    assert_eq!(other(&gone).as_deref(), Some("coal"));
}

/// One other figure, whatever it is called.
pub struct Neighbour(pub Figure);

impl Others for Neighbour {
    fn figure(&self, _: &str) -> Result<Figure> {
        Ok(self.0.clone())
    }
}

#[test]
fn a_part_that_is_taken_brings_its_detectors_under_marks_that_are_free() {
    let text = WALKER.replace("b = \"belt\"", "b = \"buttons\"").replace("\"cape\"", "\"shawl\"");
    let others = Neighbour(read("other", &text).unwrap());
    let line = Edit::parse("take shawl from other.figure.toml").unwrap();
    let taken = walker().edited(&line, &AtHand::new(&Tray::embedded(), &others)).unwrap().figure;
    assert_eq!(taken.set_by(bead(&taken, "shawl", 1, 1)), Some("buttons"));
    assert_eq!(taken.set_by(bead(&taken, "shawl", 2, 2)), Some("a detector of another day"));
    assert_eq!(set_by(&taken, 1, 1), Some("belt"));
    assert_eq!(taken.why().len(), 3);
    assert_eq!(read("again", &write(&taken)).unwrap(), taken);
    let text = saved(WALKER, &taken);
    assert_eq!(read("saved", &text).unwrap(), taken);
    assert_eq!(saved(&text, &walker()), WALKER, "and taken back it leaves no trace");
}

#[test]
fn a_change_beside_it_leaves_every_byte_of_what_is_said() {
    let text = saved(WALKER, &after(&walker(), "place 4,2 coal").unwrap().figure);
    let said = |text: &str| text[text.find("why = \"\"\"").unwrap()..].to_owned();
    assert_eq!(said(&text), said(WALKER));
    assert!(text.contains("z = \"a detector of another day\"   # not known here"));
}

#[test]
fn what_goes_and_comes_again_stands_where_it_stood() {
    let bare = after(&walker(), "place 3,4 4,4 4,5 navy in cape").unwrap().figure;
    let text = saved(WALKER, &bare);
    assert!(!text.contains("why = \"\"\"") && !text.contains("or = \"\"\""), "{text}");
    assert_eq!(saved(&text, &walker()), WALKER);
}

#[test]
fn the_bead_of_a_colour_is_kept_and_no_peg_is_settled() {
    let kept = after(&walker(), "keep hazel").unwrap();
    assert_eq!((kept.changed.len(), kept.said.as_str()), (0, "hazel is kept for its colour"));
    let text = saved(WALKER, &kept.figure);
    assert_eq!(text.matches("by = \"match\"").count() + 1, WALKER.matches("by = \"match\"").count());
    assert!(after(&kept.figure, "keep hazel").is_err(), "it is already kept");
    let error = after(&walker(), "keep hazl").unwrap_err();
    assert!(error.hint().contains("hazel"), "{}", error.hint());
    assert!(after(&walker(), "keep").is_err());
}

#[test]
fn a_kept_bead_is_asked_about_no_more_where_only_another_bead_could_lie() {
    let tray = Tray::embedded();
    let asked = |figure: &Figure| -> Vec<(String, String)> {
        let all = figure.decisions(&tray);
        all.iter().map(|one| (one.bead.to_owned(), format!("{:?}", one.instead))).collect()
    };
    let about = "format = 1\nname = \"Cook\"\n".to_owned();
    let line = |mark: &str, bead: &str| {
        format!("[[legend]]\nmark = \"{mark}\"\nbead = \"{bead}\"\nconfidence = 0.4\nby = \"match\"\n")
    };
    let part = "[[part]]\nname = \"body\"\nbeads = \"\"\"\nnnnn.nnnn\nkkkk.kkkk\n\"\"\"\n\
        sure = \"\"\"\n1111.1111\n3333.3333\n\"\"\"\nor = \"\"\"\nkkkk.kkkk\n.........\n\"\"\"\n";
    let figure = read("cook", &(about + &line("n", "navy") + &line("k", "coal") + part)).unwrap();
    let before = asked(&figure);
    assert!(
        before.iter().filter(|(bead, _)| bead == "navy").count() >= 3,
        "a colour and two patches: {before:?}"
    );
    let kept = after(&figure, "keep navy").unwrap().figure;
    assert!(asked(&kept).iter().all(|(bead, _)| bead != "navy"), "{:?}", asked(&kept));
    // The other bead's own question is still open, and what a maker doubts is asked again.
    assert!(asked(&kept).iter().any(|(bead, _)| bead == "coal"), "{:?}", asked(&kept));
    let doubted = after(&kept, "doubt 1,1 1,2 1,3 1,4").unwrap().figure;
    assert!(asked(&doubted).iter().any(|(bead, _)| bead == "navy"), "{:?}", asked(&doubted));
}

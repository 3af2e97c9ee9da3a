//! Every fault is one line with file, line, field and what would be right.

use proptest::prelude::*;
use smallcast::scene::{Stand, read};
use smallcast::units::{Column, Row};

use crate::common::{block, figure, figures, scene, told};

const DAWN: &str = r#"format = 1
name = "Dawn"
boards = { across = 3, down = 2, pegs = "29x29" }

[[ground]]
bead = "slate"
rows = [45, 58]
columns = [2, 87]

[[line]]
row = 27
figures = ["baker", "lamplighter"]
columns = [4, 18]

[[line]]
row = 57
figures = ["baker"]
spread = true
between = [30, 58]

[[place]]
figure = "props/cart"
name = "the cart"
at = [20, 5]
over = "lamplighter"
"#;

#[test]
fn everything_a_scene_file_says_is_read() {
    let dawn = read("dawn.scene.toml", DAWN).unwrap();
    assert_eq!(dawn.name, "Dawn");
    assert_eq!((dawn.boards.count(), dawn.boards.rows(), dawn.boards.columns()), (6, 58, 87));
    let ground = &dawn.grounds[0];
    assert_eq!((ground.bead.name.as_str(), ground.bead.line), ("slate", 6));
    assert_eq!((ground.rows.clone(), ground.columns.clone()), (44..58, 1..87));
    assert_eq!(dawn.lines[0].row, Row(26));
    assert_eq!(dawn.lines[0].stand, Stand::Columns(vec![Column(3), Column(17)]));
    assert_eq!(dawn.lines[1].stand, Stand::Spread(29..58, 18));
    let cart = &dawn.places[0];
    assert_eq!((cart.figure.name.as_str(), cart.at), ("props/cart", (Row(19), Column(4))));
    assert_eq!(cart.name.as_ref().unwrap().name, "the cart");
    assert_eq!(cart.over.as_ref().map(|over| (over.name.as_str(), over.line)), Some(("lamplighter", 25)));
    assert!(cart.under.is_none());
}

#[test]
fn a_scene_need_say_no_more_than_its_boards() {
    let bare =
        read("dawn.scene.toml", "\u{feff}format = 1\r\nname = 'D'\r\nboards = { across = 1, down = 1 }\r\n");
    let bare = bare.unwrap();
    assert_eq!((bare.boards.rows(), bare.boards.columns()), (29, 29));
    assert!(bare.grounds.is_empty() && bare.lines.is_empty() && bare.places.is_empty());
}

/// What stands in place of a text of the scene, and what is said of it: line, field, why, what would be right.
const FAULTS: &[(&str, &str, usize, &str, &str, &str)] = &[
    ("format = 1", "", 1, "format", "does not say its format", "begin the file with format = 1"),
    ("format = 1", "format = 2", 1, "format", "scene file of format 2", "use a newer smallcast"),
    ("format = 1", "format = '1'", 1, "format", "the text \"1\"", "format = 1"),
    ("name = \"Dawn\"\n", "", 1, "name", "it is missing", "name = \"Dawn\""),
    ("\"Dawn\"", "\"\"", 2, "name", "it is empty", "name ="),
    ("\"Dawn\"", "Dawn", 2, "name", "not valid TOML", "name = \"Dawn\""),
    ("boards = { across = 3, down = 2, pegs = \"29x29\" }\n", "", 1, "boards", "missing", "across = 3"),
    ("across = 3, ", "", 3, "across", "it is missing", "boards = { across"),
    ("across = 3", "across = 0", 3, "boards", "0 times 2 boards", "boards = {"),
    ("across = 3", "across = -3", 3, "boards", "no -3 times 2 boards", "boards = {"),
    ("across = 3", "across = 9223372036854775807", 3, "boards", "more than", "boards = {"),
    ("across = 3", "across = 5000", 3, "boards", "more than 1048576 pegs", "boards = {"),
    ("across = 3", "accross = 3", 3, "accross", "no key of that name", "did you mean across?"),
    ("29x29", "29", 3, "pegs", "this is not a board size", "29x29"),
    ("[[ground]]", "[[grounds]]", 5, "grounds", "no key of that name", "did you mean ground?"),
    ("bead = \"slate\"\n", "", 5, "bead", "it is missing", "bead = \"slate\""),
    ("rows = [45, 58]", "rows = [45]", 7, "rows", "a list of 1, not a list of 2", "rows = [45, 58]"),
    ("rows = [45, 58]", "rows = [45, 59]", 7, "rows", "row 59 is on no board", "rows 1 to 58"),
    ("rows = [45, 58]", "rows = [0, 58]", 7, "rows", "row 0 is on no board", "rows 1 to 58"),
    ("rows = [45, 58]", "rows = [58, 45]", 7, "rows", "the last row comes before the first", "rows ="),
    ("columns = [2, 87]", "columns = [2, 88]", 8, "columns", "column 88 is on no board", "columns 1 to 87"),
    ("row = 27", "row = 59", 11, "row", "row 59 is on no board", "rows 1 to 58"),
    ("row = 27", "row = '27'", 11, "row", "the text", "row = 27"),
    ("[\"baker\", \"lamplighter\"]", "[]", 12, "figures", "no figure stands", "figures ="),
    ("[\"baker\", \"lamplighter\"]", "[\"baker\", \"\"]", 12, "figures", "it is empty", "figures ="),
    (
        "columns = [4, 18]",
        "columns = [4]",
        13,
        "columns",
        "1 columns for 2 figures",
        "each figure its column",
    ),
    ("columns = [4, 18]", "columns = [4, 99]", 13, "columns", "column 99 is on no board", "1 to 87"),
    ("columns = [4, 18]", "columns = [4, 18]\nspread = true", 13, "columns", "columns already say", "leave"),
    (
        "columns = [4, 18]",
        "columns = [4, 18]\nbetween = [1, 5]",
        13,
        "columns",
        "columns already say",
        "leave",
    ),
    ("columns = [4, 18]\n", "", 11, "spread", "nothing says where", "spread = true"),
    ("spread = true", "spread = false", 18, "spread", "nothing says where", "spread = true"),
    ("spread = true", "spred = true", 18, "spred", "no key of that name", "did you mean spread?"),
    ("between = [30, 58]", "between = [58, 30]", 19, "between", "comes before", "between = [30, 58]"),
    ("figure = \"props/cart\"\n", "", 21, "figure", "it is missing", "figure = \"milk-cart\""),
    ("at = [20, 5]\n", "", 21, "at", "it is missing", "at = [20, 5]"),
    ("at = [20, 5]", "at = [59, 5]", 24, "at", "row 59 is on no board", "rows 1 to 58"),
    ("at = [20, 5]", "at = [20, 'five']", 24, "at", "the text", "at = [20, 5]"),
    ("\"the cart\"", "\"the\\u0007cart\"", 23, "name", "control character", "type it again"),
    ("over = ", "ove = ", 25, "ove", "no key of that name", "did you mean over?"),
    ("over = \"lamplighter\"", "over = 3", 25, "over", "the number 3", "over = \"lamplighter\""),
];

#[test]
fn a_fault_says_its_line_and_what_would_be_right() {
    for (from, to, line, field, why, right) in FAULTS {
        assert!(DAWN.contains(from), "{from}");
        let text = DAWN.replacen(from, to, 1);
        let error = read("dawn.scene.toml", &text).expect_err(&format!("{from} -> {to}"));
        let (at, named, cause, hint) = told(&error);
        let said = format!("{from} -> {to}: {error}; {hint}");
        assert_eq!((at, named), (*line, *field), "{said}");
        assert!(cause.contains(why) && hint.contains(right), "{said}");
        assert!(!error.to_string().contains('\n'), "{said}");
    }
}

/// What is laid on two boards side by side, and what is said of it.
const UNLAID: &[(&str, usize, &str, &str, &str)] = &[
    (
        "[[place]]\nfigure = 'bakr'\nat = [1, 1]\n",
        5,
        "figure",
        "there is no figure 'bakr'",
        "did you mean baker?",
    ),
    ("[[place]]\nfigure = 'bare'\nat = [1, 1]\n", 5, "figure", "'bare' has no beads", "leave it out"),
    (
        "[[place]]\nfigure = 'baker'\nat = [19, 1]\n",
        5,
        "figure",
        "reach to row 30, and the boards end at 29",
        "move it",
    ),
    ("[[place]]\nfigure = 'baker'\nat = [1, 56]\n", 5, "figure", "reach to column 59", "add boards"),
    (
        "[[line]]\nrow = 11\nfigures = ['baker']\nspread = true\n",
        6,
        "row",
        "12 rows and cannot stand on row 11",
        "row 12",
    ),
    (
        "[[line]]\nrow = 20\nfigures = ['baker', 'baker']\ncolumns = [1, 57]\n",
        6,
        "figure",
        "'baker 2' would reach to column 60",
        "move it",
    ),
    (
        "[[place]]\nfigure = 'baker'\nname = 'one'\nat = [1, 1]\n[[place]]\nfigure = 'baker'\nname = 'one'\nat = [1, 9]\n",
        10,
        "name",
        "a 'one' is already defined on line 6",
        "its own name",
    ),
    (
        "[[place]]\nfigure = 'baker'\nat = [1, 1]\nover = 'baker'\n",
        7,
        "over",
        "'baker' is this figure itself",
        "name another",
    ),
    (
        "[[place]]\nfigure = 'baker'\nat = [1, 1]\nunder = 'cat'\n",
        7,
        "under",
        "nobody here is called 'cat'",
        "name a figure of this scene",
    ),
    (
        "[[line]]\nrow = 20\nfigures = ['baker', 'baker']\nspread = true\n[[place]]\nfigure = 'crate'\nat = [1, 1]\nover = 'baker'\n",
        11,
        "over",
        "2 of 'baker' stand in this scene",
        "say which: 'baker 1' to 'baker 2'",
    ),
    (
        "[[place]]\nfigure = 'crate'\nname = 'a'\nat = [1, 1]\nover = 'b'\n[[place]]\nfigure = 'crate'\nname = 'b'\nat = [1, 1]\nover = 'a'\n",
        10,
        "over",
        "in a circle: ",
        "leave one of them out",
    ),
    (
        "[[line]]\nrow = 12\nspread = true\nfigures = ['baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker', 'baker']\n",
        6,
        "spread",
        "6 of 25 figures do not fit on 58 columns",
        "another line",
    ),
];

#[test]
fn what_cannot_be_laid_says_its_line_too() {
    let bare = figure(&["...", "..."]);
    let all = figures(&[("baker", block(12, 4)), ("crate", block(3, 3)), ("bare", bare)]);
    for (rest, line, field, why, right) in UNLAID {
        let error = scene("across = 2, down = 1", rest, &all).expect_err(rest);
        let (at, named, cause, hint) = told(&error);
        assert_eq!((at, named), (*line, *field), "{rest}: {error}");
        assert!(cause.contains(why) && hint.contains(right), "{rest}: {error}; {hint}");
    }
}

#[test]
fn a_slip_of_thousands_is_refused_before_it_costs_anything() {
    let names = vec!["'baker'"; 5_001].join(", ");
    let rest = format!("[[line]]\nrow = 12\nfigures = [{names}]\nspread = true\n");
    let error = scene("across = 2, down = 1", &rest, &figures(&[("baker", block(12, 4))])).unwrap_err();
    assert!(error.to_string().contains("5001 figures"), "{error}");
}

proptest! {
    /// Whatever a file says, it is read or refused in one line.
    #[test]
    fn no_text_is_too_strange(at in 0..DAWN.len(), cut in 0..40_usize, put in "[\\[\\]a-z0-9='\",{}\n -]{0,12}") {
        let end = (at + cut).min(DAWN.len());
        let text = format!("{}{put}{}", &DAWN[..at], &DAWN[end..]);
        if let Err(error) = read("dawn.scene.toml", &text) {
            prop_assert!(!error.to_string().contains('\n'), "{error}");
        }
    }
}

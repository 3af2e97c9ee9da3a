//! Cast files: what they say is read, and every fault is one line with file, line, field and what would be right.
//! All casts here are invented.

use proptest::prelude::*;
use smallcast::cast::{Cast, laid_out, read};
use smallcast::error::Error;
use smallcast::plan::{Board, Facing, HeadShape, LegLook, Look, Zone};
use smallcast::tray::Tray;
use smallcast::units::Millimetres;

const STREET: &str = r#"format = 1
name = "The Early Street"
tray = "tray.csv"
guide = "guide.figure.toml"
pitch = "2.6mm"
board = "57x29"

[[class]]
name = "lanky"
rows = { head = 5, neck = 1, torso = 8, legs = 11, feet = 1 }

[[class]]
name = "child"
rows = { head = 5, torso = 5, legs = 4, feet = 1 }

[[group]]
name = "bakers"
figures = ["baker", "baker-boy"]
like = "children"
limbs = 3

[[group]]
name = "children"
figures = ["errand-boy"]
facing = "forward"
legs = "solid with a line"
arms = 7
head = "square"

[[thing]]
name = "the newspaper girl's hair"
bead = "hay"
figures = ["newspaper-girl"]

[check]
skip = ["weak-mark"]
"#;

fn street() -> Cast {
    read("cast.toml", STREET).unwrap()
}

#[test]
fn everything_a_cast_file_says_is_read() {
    let cast = street();
    assert_eq!(cast.name, "The Early Street");
    assert_eq!((cast.tray.as_deref(), cast.guide.as_deref()), (Some("tray.csv"), Some("guide.figure.toml")));
    assert_eq!((cast.pitch, cast.board), (Some(Millimetres(2.6)), Some(Board { columns: 57, rows: 29 })));
    assert_eq!(cast.classes.named("lanky").unwrap().rows.total(), 26);
    // In place of the trade's of that name, which are eight then; the others stay.
    assert_eq!(cast.classes.named("child").unwrap().rows.get(Zone::Neck), 0);
    assert_eq!(cast.classes.iter().count(), 8);
    assert_eq!(cast.things[0].bead, "hay");
    assert_eq!(cast.skip, ["weak-mark"]);
}

#[test]
fn a_group_takes_what_it_does_not_say_from_another() {
    let (cast, usual) = (street(), Look::USUAL);
    let children = Look {
        facing: Facing::Forward,
        legs: LegLook::SolidWithLine,
        arms: 7,
        head: HeadShape::Square,
        ..usual
    };
    assert_eq!(cast.look_of("errand-boy"), children);
    assert_eq!(cast.look_of("baker-boy"), Look { limbs: 3, ..children });
    assert_eq!(cast.look_of("nobody's"), usual);
    // Where a group is called everyone, all others begin with its look.
    let all = STREET.to_owned() + "[[group]]\nname = \"everyone\"\narms = 8\n";
    let text = all.replace("[check]\nskip = [\"weak-mark\"]\n", "").replace("arms = 7\n", "");
    let cast = read("cast.toml", &text).unwrap();
    assert_eq!(["errand-boy", "baker", "nobody's"].map(|figure| cast.look_of(figure).arms), [8, 8, 8]);
}

#[test]
fn a_cast_need_say_no_more_than_its_name() {
    let cast = read("cast.toml", "# a remark\nformat = 1\nname = 'Small'\n").unwrap();
    assert_eq!(cast, Cast::named("Small"));
    // Editors may begin a file with a byte order mark, and end lines in CR LF.
    assert_eq!(read("cast.toml", "\u{feff}format = 1\r\nname = 'Small'\r\n").unwrap(), cast);
}

/// What stands in place of a text of the street, and what is said of it: line, field, why, what would be right.
const FAULTS: &[(&str, &str, usize, &str, &str, &str)] = &[
    ("format = 1", "", 1, "format", "does not say its format", "begin the file with format = 1"),
    ("format = 1", "format = 2", 1, "format", "only format 1 is known", "use a newer smallcast"),
    ("format = 1", "format = '1'", 1, "format", "the text \"1\", not", "format = 1"),
    ("name = \"The Early Street\"\n", "", 1, "name", "it is missing", "name = \"The Early Street\""),
    ("\"The Early Street\"", "\" \"", 2, "name", "it is empty", "name ="),
    ("\"The Early Street\"", "\"The\\u0007\"", 2, "name", "control character", "type it again"),
    ("\"The Early Street\"", "\"The\\u202e\"", 2, "name", "control character", "type it again"),
    ("\"The Early Street\"", "The Early Street", 2, "name", "not valid TOML", "name = \"The Early Street\""),
    ("tray =", "try =", 3, "try", "no key of that name", "did you mean tray?"),
    ("tray =", "\"a\\nb\" =", 3, "a", "no key of that name", "write format"),
    ("\"tray.csv\"", "3", 3, "tray", "the number 3", "tray = \"tray.csv\""),
    ("\"tray.csv\"", "''", 3, "tray", "not a file name", "tray = \"tray.csv\""),
    ("guide =", "tray =", 4, "tray", "appears twice", "tray = \"tray.csv\""),
    ("\"2.6mm\"", "\"2.6 cm\"", 5, "pitch", "not a distance between beads", "5mm"),
    ("\"2.6mm\"", "2.6", 5, "pitch", "the number 2.6", "pitch = \"5mm\""),
    ("57x29", "57", 6, "board", "'57': this is not a board size", "29x29"),
    ("[[class]]\nname = \"lanky\"", "[[clas]]\nname = \"lanky\"", 8, "clas", "no key", "did you mean class?"),
    ("rows = { head = 5, neck = 1, ", "rows = { hed = 5, ", 10, "hed", "no zone", "did you mean head?"),
    (
        "rows = { head = 5, torso = 5, legs = 4, feet = 1 }",
        "rows = {}",
        14,
        "rows",
        "add up to 0",
        "head = 5",
    ),
    ("rows = { head = 5, torso = 5, legs = 4, feet = 1 }", "", 12, "rows", "it is missing", "rows = {"),
    ("legs = 11", "legs = -1", 10, "rows", "-1 is not a number of rows", "rows = {"),
    ("legs = 11", "legs = 9999", 10, "rows", "add up to 10014", "rows = {"),
    ("legs = 11", "legs = 9223372036854775807", 10, "rows", "add up to", "rows = {"),
    ("legs = 11", "legs = 'eleven'", 10, "legs", "the text \"eleven\"", "rows = {"),
    ("\"child\"", "\"lanky\"", 13, "name", "a class 'lanky' is already defined on line 9", "its own name"),
    (
        "\"children\"\nfigures",
        "\"bakers\"\nfigures",
        23,
        "name",
        "a group 'bakers' is already defined on line 17",
        "its own name",
    ),
    ("like = \"children\"", "like = \"childen\"", 19, "like", "no group 'childen'", "did you mean children?"),
    ("like = \"children\"", "like = \"bakers\"", 19, "like", "circle: bakers, then bakers", "without like"),
    ("facing =", "like = \"bakers\"\nfacing =", 25, "like", "in a circle", "without like"),
    ("\"forward\"", "\"foward\"", 25, "facing", "'foward' is not known", "did you mean forward?"),
    (
        "\"solid with a line\"",
        "\"solid with line\"",
        26,
        "legs",
        "not known",
        "did you mean solid with a line?",
    ),
    ("\"square\"", "\"pointed\"", 28, "head", "'pointed' is not known", "write round or square"),
    ("arms = 7", "arms = 3", 27, "arms", "3 beads cannot be made", "4 to 12"),
    ("limbs = 3", "limbs = 4000000000000", 20, "limbs", "cannot be made", "1 to 3"),
    (
        "[\"errand-boy\"]",
        "[\"baker\"]",
        24,
        "figures",
        "'baker' is already in the group 'bakers'",
        "one group only",
    ),
    ("\"baker-boy\"]", "\"baker\"]", 18, "figures", "'baker' is listed twice", "one group only"),
    ("\"baker-boy\"]", "\"b.figure.toml\"]", 18, "figures", "a file's whole name", "write b"),
    ("\"baker-boy\"]", "\"../b\"]", 18, "figures", "in another folder", "a figure of this folder"),
    ("\"baker-boy\"]", "7]", 18, "figures", "the number 7", "figures = ["),
    ("bead = \"hay\"\n", "", 30, "bead", "it is missing", "bead = \"hay\""),
    ("[\"newspaper-girl\"]", "[\"a\", \"a\"]", 33, "figures", "'a' is listed twice", "once"),
    ("skip =", "skipp =", 36, "skipp", "no key", "did you mean skip?"),
    ("skip =", "skip", 36, "skip", "not valid TOML", "skip = ["),
];

#[test]
fn every_fault_is_one_line_with_its_line_its_field_and_what_would_be_right() {
    let mut wrong = Vec::new();
    for &(instead_of, put, at, named, because, mend) in FAULTS {
        assert!(STREET.contains(instead_of), "{instead_of}");
        let text = STREET.replacen(instead_of, put, 1);
        let Err(error) = read("cast.toml", &text) else {
            wrong.push(format!("{put}: no fault is seen"));
            continue;
        };
        let Error::CastFile { line, field, why, right, .. } = &error else { panic!("{error:?}") };
        let whole = format!("{error} {}", error.hint());
        let is_said = field.contains(named) && why.contains(because) && right.contains(mend);
        let is_placed = *line == at && whole.starts_with(&format!("cast.toml, line {at}, "));
        if !(is_said && is_placed) || whole.contains(char::is_control) {
            wrong.push(format!("{put:?} on line {at}: {whole}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_long_chain_of_groups_is_read_and_a_long_circle_refused() {
    let group = |at: usize, like: usize| format!("[[group]]\nname = \"g{at}\"\nlike = \"g{like}\"\n");
    let chain: String = (1..5000).map(|at| group(at, at - 1)).collect();
    let text =
        |first: &str| format!("format = 1\nname = \"Many\"\n[[group]]\nname = \"g0\"\n{first}\n{chain}");
    let cast = read("cast.toml", &text("arms = 5")).unwrap();
    assert!(cast.groups.iter().all(|group| group.look.arms == 5));
    let error = read("cast.toml", &text("like = \"g4999\"")).unwrap_err();
    assert!(error.to_string().contains("in a circle") && error.to_string().len() < 300, "{error}");
}

#[test]
fn what_a_new_cast_begins_with_reads_back() {
    for name in ["The Early Street", "Jeanne's \"quay\" \\ two", "Straße №5"] {
        let new = laid_out(name).unwrap();
        let cast = read("cast.toml", &new.cast).unwrap();
        assert_eq!((cast.name.as_str(), cast.groups.len(), cast.pitch), (name, 0, Some(Millimetres(5.0))));
        assert_eq!(Tray::parse("tray.csv", new.tray.as_bytes()).unwrap(), Tray::embedded());
        let guide = smallcast::figure::read("guide.figure.toml", &new.guide).unwrap();
        assert_eq!((guide.beads().rows(), guide.class()), (24, Some("guide")));
    }
}

#[test]
fn what_is_commented_out_in_a_new_cast_is_right_as_it_stands() {
    let new = laid_out("The Early Street").unwrap().cast;
    let said = |line: &str| match line.strip_prefix('#') {
        Some(rest) if !rest.starts_with(' ') => rest.to_owned(),
        _ => line.to_owned(),
    };
    let all: Vec<String> = new.lines().map(said).collect();
    let cast = read("cast.toml", &all.join("\n")).unwrap();
    assert_eq!(cast.look_of("baker"), Look::USUAL);
    assert_eq!((cast.groups.len(), cast.things.len()), (1, 1));
    assert_eq!(cast.classes.named("lanky").unwrap().rows.total(), 26);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn no_text_makes_the_reader_panic(text in "(?s).{0,300}") {
        let _ = read("cast.toml", &text);
    }

    #[test]
    fn no_cut_or_changed_cast_makes_the_reader_panic(
        cut in 0_usize..700, length in 0_usize..60, put in "[\\[\\]{}=\"'#a-z0-9,.\\-\n \u{0}é😀]{0,12}"
    ) {
        let whole: Vec<char> = STREET.chars().collect();
        let start = cut.min(whole.len());
        let end = (start + length).min(whole.len());
        let text: String = whole[..start].iter().copied().chain(put.chars()).chain(whole[end..].iter().copied()).collect();
        if let Err(error) = read("cast.toml", &text) {
            let (said, lines) = (format!("{error} {}", error.hint()), text.lines().count() + 1);
            prop_assert!(!said.contains(char::is_control), "{said:?}");
            if let Error::CastFile { line, .. } = error {
                prop_assert!((1..=lines.max(1)).contains(&line), "{said}");
            }
        }
    }
}

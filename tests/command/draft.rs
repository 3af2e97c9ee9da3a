//! `smallcast draft` and `smallcast compare` as a person types them.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use image::{Rgba, RgbaImage};
use smallcast::figure;

/// A folder of its own for each test, with a small figure drawn in it: `walker.png`, three colours, a gap
/// between the legs, 12 rows.
pub struct Bench {
    folder: tempfile::TempDir,
}

const WALKER: [&str; 12] = [
    "..rrr..", "..sss..", "..sss..", "...s...", ".bbbbb.", ".bbbbb.", "sbbbbbs", "..bbb..", "..n.n..",
    "..n.n..", "..n.n..", ".nn.nn.",
];

pub fn walker(bead: u32, ground: [u8; 4]) -> RgbaImage {
    let margin = 2 * bead;
    RgbaImage::from_fn(7 * bead + 2 * margin, 12 * bead + 2 * margin, |x, y| {
        let inside = |v: u32, most: u32| v.checked_sub(margin).map(|v| v / bead).filter(|v| *v < most);
        let mark = match (inside(x, 7), inside(y, 12)) {
            (Some(column), Some(row)) => WALKER[row as usize].as_bytes()[column as usize],
            _ => b'.',
        };
        Rgba(match mark {
            b'r' => [150, 40, 40, 255],
            b's' => [240, 195, 165, 255],
            b'b' => [60, 108, 176, 255],
            b'n' => [40, 34, 32, 255],
            _ => ground,
        })
    })
}

impl Bench {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        walker(14, [250, 250, 248, 255]).save(folder.path().join("walker.png")).unwrap();
        Self { folder }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn run(&self, arguments: &[&str]) -> Output {
        self.run_with(arguments, &[])
    }

    fn run_with(&self, arguments: &[&str], environment: &[(&str, &str)]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_smallcast"))
            .args(arguments)
            .current_dir(self.folder.path())
            .env_remove("NO_COLOR")
            .env_remove("CLICOLOR_FORCE")
            .env_remove("COLORTERM")
            .envs(environment.iter().copied())
            .output()
            .unwrap()
    }

    /// Names in the folder, sorted.
    pub fn files(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(self.folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The whole of a refusal: exit 2, one line of cause, one of advice, nothing on standard output.
pub fn refusal(output: &Output) -> String {
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(output.stdout.is_empty());
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(lines.len(), 2, "{said}");
    assert!(lines[0].starts_with("smallcast: ") && lines[1].starts_with("  try: "), "{said}");
    said
}

#[test]
fn a_draft_in_a_pipe_is_plain_and_eighty_columns_wide() {
    let bench = Bench::new();
    let output = bench.run(&["draft", "walker.png", "--rows", "12"]);
    assert!(output.status.success());
    let shown = text(&output.stdout);
    assert!(!shown.contains('\u{1b}'), "no colours in a pipe");
    assert!(shown.lines().all(|line| line.chars().count() <= 80), "{shown}");
    insta::assert_snapshot!(shown);
    assert!(
        text(&output.stderr).contains("next: smallcast draft walker.png --rows 12 --save walker.figure.toml")
    );
}

#[test]
fn colours_are_written_when_forced_and_never_under_no_color() {
    let bench = Bench::new();
    let arguments = ["draft", "walker.png", "--rows", "12"];
    let forced = [("CLICOLOR_FORCE", "1"), ("COLORTERM", "truecolor")];
    assert!(text(&bench.run_with(&arguments, &forced).stdout).contains("\u{1b}[38;2;"));
    let indexed = [("CLICOLOR_FORCE", "1"), ("TERM", "xterm-256color")];
    assert!(text(&bench.run_with(&arguments, &indexed).stdout).contains("48;5;"));
    let forbidden = [("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")];
    assert!(!text(&bench.run_with(&arguments, &forbidden).stdout).contains('\u{1b}'));
}

#[test]
fn the_json_document_has_what_scripts_rely_on() {
    let bench = Bench::new();
    let output = bench.run(&["draft", "walker.png", "--rows", "12", "--json"]);
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(document["format"], 1);
    let rows = document["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 12);
    let confidence = document["confidence"].as_array().unwrap();
    for (names, sure) in rows.iter().zip(confidence) {
        let (names, sure) = (names.as_array().unwrap(), sure.as_array().unwrap());
        assert_eq!(names.len(), sure.len());
        assert!(names.iter().zip(sure).all(|(n, p)| n.is_null() == p.is_null()));
    }
    let beads = rows.iter().flat_map(|r| r.as_array().unwrap()).filter(|b| !b.is_null()).count();
    let drawn = WALKER.iter().flat_map(|row| row.chars()).filter(|c| *c != '.').count();
    assert_eq!(beads, drawn);
    let counted: u64 =
        document["legend"].as_array().unwrap().iter().map(|line| line["count"].as_u64().unwrap()).sum();
    assert_eq!(counted as usize, beads);
    assert!(document["warnings"].is_array());
    assert_eq!(document["found"], "plain background");
    assert_eq!(document["rules_taken_out"], false);
}

#[test]
fn the_json_document_says_how_the_figure_was_found() {
    let bench = Bench::new();
    walker(14, [0, 0, 0, 0]).save(bench.path("cut.png")).unwrap();
    let mut page = walker(28, [250, 250, 248, 255]);
    let ground = *page.get_pixel(0, 0);
    page.enumerate_pixels_mut()
        .filter(|(_, y, pixel)| y % 37 == 9 && **pixel == ground)
        .for_each(|(_, _, pixel)| *pixel = Rgba([176, 203, 226, 255]));
    page.save(bench.path("ruled.png")).unwrap();
    let found = |arguments: &[&str]| {
        let all = [&["draft", "--rows", "12", "--json"], arguments].concat();
        let document: serde_json::Value = serde_json::from_slice(&bench.run(&all).stdout).unwrap();
        (document["found"].as_str().unwrap().to_owned(), document["rules_taken_out"].as_bool().unwrap())
    };
    assert_eq!(found(&["cut.png"]), ("cut-out".into(), false));
    assert_eq!(found(&["ruled.png"]), ("plain background".into(), true));
    assert_eq!(found(&["walker.png", "--as-taken"]), ("as taken".into(), false));
}

#[test]
fn an_answer_where_no_pale_area_lies_is_refused_and_nothing_written() {
    let bench = Bench::new();
    let arguments = ["draft", "walker.png", "--rows", "12", "--cloth", "3,3", "--save", "w.figure.toml"];
    let output = bench.run(&arguments);
    assert_eq!(output.status.code(), Some(2));
    let said = text(&output.stderr);
    assert!(said.contains("--cloth") && said.contains("3,3"), "{said}");
    assert!(!bench.path("w.figure.toml").exists());
}

#[test]
fn what_is_saved_is_a_figure_and_never_written_over_unasked() {
    let bench = Bench::new();
    let arguments =
        ["draft", "walker.png", "--rows", "12", "--save", "walker.figure.toml", "--picture", "look.png"];
    assert!(bench.run(&arguments).status.success());
    let saved = fs::read_to_string(bench.path("walker.figure.toml")).unwrap();
    let figure = figure::read("walker.figure.toml", &saved).unwrap();
    assert_eq!((figure.name(), figure.beads().rows()), ("Walker", 12));
    assert_eq!(figure.source().unwrap().picture, "walker.png");
    assert!(image::open(bench.path("look.png")).unwrap().width() > 600);

    fs::write(bench.path("walker.figure.toml"), "mine").unwrap();
    assert!(refusal(&bench.run(&arguments)).contains("already exists"));
    assert_eq!(fs::read_to_string(bench.path("walker.figure.toml")).unwrap(), "mine");
    let replace: Vec<&str> = arguments.iter().copied().chain(["--replace"]).collect();
    assert!(bench.run(&replace).status.success());
    assert_eq!(fs::read_to_string(bench.path("walker.figure.toml")).unwrap(), saved);
}

#[test]
fn the_same_input_gives_the_same_bytes_on_one_core_and_on_two() {
    let bench = Bench::new();
    let drafted = |cores: &str, name: &str| {
        let (figure, picture) = (format!("{name}.figure.toml"), format!("{name}.png"));
        let arguments = ["draft", "walker.png", "--save", &figure, "--picture", &picture];
        let output = bench.run_with(&arguments, &[("RAYON_NUM_THREADS", cores)]);
        assert!(output.status.success());
        let saved = fs::read_to_string(bench.path(&figure)).unwrap();
        // The figure is named after its file; all else must agree.
        (saved.replacen(&name.to_uppercase(), "X", 1), fs::read(bench.path(&picture)).unwrap(), output.stdout)
    };
    assert_eq!(drafted("1", "a"), drafted("2", "b"));
}

#[test]
fn every_bad_input_is_one_plain_line_and_leaves_nothing_behind() {
    let bench = Bench::new();
    fs::write(bench.path("notes.txt"), "not a picture").unwrap();
    fs::write(bench.path("empty.png"), "").unwrap();
    let whole = fs::read(bench.path("walker.png")).unwrap();
    fs::write(bench.path("cut.png"), &whole[..whole.len() / 2]).unwrap();
    fs::write(bench.path("phone.heic"), b"\0\0\0\x18ftypheic\0\0\0\0mif1heic").unwrap();
    RgbaImage::from_pixel(50, 50, Rgba([250, 250, 250, 255])).save(bench.path("blank.png")).unwrap();
    fs::write(bench.path("bad.csv"), "name,hex\ncoal,1f2023\nrust,zzz\n").unwrap();
    fs::create_dir(bench.path("folder")).unwrap();
    fs::create_dir(bench.path("folder.toml")).unwrap();
    let before = bench.files();
    let faults: &[(&[&str], &str)] = &[
        (&["draft", "missing.png"], "cannot read missing.png"),
        (&["draft", "folder"], "folder"),
        (&["draft", "notes.txt"], "not a picture"),
        (&["draft", "empty.png"], "the file is empty"),
        (&["draft", "cut.png"], "cut.png is damaged"),
        (&["draft", "phone.heic"], "HEIC"),
        (&["draft", "blank.png"], "no subject"),
        (&["draft", "walker.png", "--rows", "0"], "--rows 0"),
        (&["draft", "walker.png", "--rows", "999"], "--rows 999"),
        (&["draft", "walker.png", "--class", "gaint"], "--class gaint"),
        (&["draft", "walker.png", "--stands", "tall"], "--stands tall"),
        (&["draft", "walker.png", "--zones", "head=5,tail=2"], "there is no zone"),
        (&["draft", "walker.png", "--rows", "20", "--class", "guide"], "make it 24 rows"),
        (&["draft", "walker.png", "--rows", "12", "--marks", "crown=1,sole=9"], "--marks needs --class"),
        (&["draft", "walker.png", "--marks", "crown=90,chin=10"], "must not lie above"),
        (&["draft", "walker.png", "--crop", "0,0,9999,10"], "not inside the picture"),
        (&["draft", "walker.png", "--crop", "a,b"], "not an area"),
        (&["draft", "walker.png", "--tray", "bad.csv"], "bad.csv, line 3, hex"),
        (&["draft", "walker.png", "--tray", "none.csv"], "cannot read none.csv"),
        (&["draft", "walker.png", "--save", "nowhere/x.figure.toml"], "cannot write nowhere"),
        (
            &["draft", "walker.png", "--save", "folder.figure.toml", "--replace"],
            "cannot write folder.figure.toml",
        ),
        (&["draft", "."], "PICTURE .: it is a folder"),
        (&["draft", "walker.png", "--save", "x"], "end the name in .figure.toml"),
        (&["draft", "walker.png", "--save", "x2.toml"], "end the name in .figure.toml"),
        (&["draft", "walker.png", "--picture", "walker.png", "--replace"], "never overwritten"),
        (&["draft", "walker.png", "--save", "a.figure.toml", "--picture", "nowhere/b.png"], "no such folder"),
        (&["draft", "walker.png", "--marks", "chin=9999"], "lies below the picture"),
        (&["draft", "walker.png", "--crop", "-5,0,10,10"], "not an area"),
        (&["draft", "walker.png", "--zones", "head=0"], "add up to 0"),
        (&["compare", "walker.png", "--area", "900,0,5,5"], "not inside the picture"),
        (&["compare", "walker.png", "--figure", "none.figure.toml", "--mark", "k"], "cannot read none"),
    ];
    for (arguments, expected) in faults {
        let said = refusal(&bench.run(arguments));
        assert!(said.contains(expected), "{arguments:?}: {said}");
        assert_eq!(bench.files(), before, "{arguments:?} left something behind");
    }
}

#[test]
fn wrong_use_ends_with_two() {
    let bench = Bench::new();
    let wrong: [&[&str]; 4] = [&[], &["draft"], &["draft", "walker.png", "--no-such"], &["fly"]];
    for arguments in wrong {
        assert_eq!(bench.run(arguments).status.code(), Some(2), "{arguments:?}");
    }
}

#[test]
fn a_maker_s_file_names_stay_within_their_line() {
    let bench = Bench::new();
    let odd = "two\nlines.png";
    fs::copy(bench.path("walker.png"), bench.path("fine picture.png")).unwrap();
    let said = text(&bench.run(&["draft", "fine picture.png", "--rows", "12"]).stderr);
    assert!(said.contains("draft 'fine picture.png' --rows 12 --save 'fine picture.figure.toml'"), "{said}");
    assert_eq!(bench.run(&["draft", odd]).status.code(), Some(2));
}

#[test]
fn compare_says_what_colour_it_is_here_and_there() {
    let bench = Bench::new();
    // The same coat, once lighter and greener: as two references disagree.
    let mut other = walker(20, [250, 250, 248, 255]);
    for pixel in other.pixels_mut().filter(|p| p.0 == [60, 108, 176, 255]) {
        pixel.0 = [80, 140, 180, 255];
    }
    other.save(bench.path("other.png")).unwrap();
    let areas = ["compare", "walker.png", "other.png", "--area", "70,90,40,25", "--area", "100,130,50,30"];
    let output = bench.run(&areas);
    assert!(output.status.success(), "{}", text(&output.stderr));
    insta::assert_snapshot!(text(&output.stdout));

    let json: Vec<&str> = areas.iter().copied().chain(["--json"]).collect();
    let document: serde_json::Value = serde_json::from_slice(&bench.run(&json).stdout).unwrap();
    assert_eq!(document["pictures"].as_array().unwrap().len(), 2);
    assert_eq!(document["pictures"][0]["colours"][0]["hex"], "#3c6cb0");
    // CIEDE2000 of #3c6cb0 and #508cb4, by our own formula's published check.
    assert!(document["apart"].as_f64().unwrap() > 8.0);
    // No bead is within 5 of both, and how far each is from either is there.
    for served in document["serve_all"].as_array().unwrap() {
        let each: Vec<f64> = served["each"].as_array().unwrap().iter().map(|d| d.as_f64().unwrap()).collect();
        assert_eq!(each.len(), 2);
        assert_eq!(each[0].max(each[1]), served["worst"].as_f64().unwrap());
        assert_eq!(served["serves"], each.iter().all(|apart| *apart <= 5.0));
    }
    let same: Vec<&str> = ["compare", "walker.png", "--area", "70,90,40,25", "--json"].to_vec();
    let document: serde_json::Value = serde_json::from_slice(&bench.run(&same).stdout).unwrap();
    assert_eq!(document["serve_all"][0]["serves"], true);
}

#[test]
fn compare_finds_a_figure_s_mark_in_its_own_picture_and_in_another() {
    let bench = Bench::new();
    walker(23, [210, 225, 230, 255]).save(bench.path("again.png")).unwrap();
    assert!(bench.run(&["draft", "walker.png", "--rows", "12", "--save", "w.figure.toml"]).status.success());
    let figure = figure::read("w", &fs::read_to_string(bench.path("w.figure.toml")).unwrap()).unwrap();
    let coat = figure.counts().into_iter().max_by_key(|(_, count)| *count).unwrap().0.mark.get().to_string();
    for pictures in [&[][..], &["again.png"], &["walker.png", "again.png"]] {
        let mut arguments = vec!["compare"];
        arguments.extend(pictures);
        arguments.extend(["--figure", "w.figure.toml", "--mark", &coat, "--json"]);
        let output = bench.run(&arguments);
        let document: serde_json::Value =
            serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", text(&output.stderr)));
        for seen in document["pictures"].as_array().unwrap() {
            assert_eq!(seen["colours"][0]["hex"], "#3c6cb0", "{pictures:?}");
        }
        assert!(document["apart"].as_f64().unwrap() < 0.5);
    }
    let shown = ["compare", "--figure", "w.figure.toml", "--mark", &coat, "--picture", "candidates.png"];
    assert!(bench.run(&shown).status.success());
    assert!(Path::new(&bench.path("candidates.png")).exists());
    assert!(
        refusal(&bench.run(&["compare", "--figure", "w.figure.toml", "--mark", "Z"]))
            .contains("no such mark")
    );
}

/// The walker with hair hardly darker than the skin, and a tray whose nearest bead to both is one and the same.
fn fair_walker(bench: &Bench) {
    let mut picture = walker(14, [250, 250, 248, 255]);
    let is_hair = |pixel: &Rgba<u8>| pixel.0 == [150, 40, 40, 255];
    picture.pixels_mut().filter(|pixel| is_hair(pixel)).for_each(|pixel| *pixel = Rgba([230, 178, 140, 255]));
    picture.save(bench.path("fair.png")).unwrap();
    let tray = "name,hex\nreed,e9b794\nstraw,dba578\ndusk,3c6cb0\nsoot,282220\nchalk,fafaf8\n";
    fs::write(bench.path("fair.csv"), tray).unwrap();
}

#[test]
fn what_was_given_up_so_that_parts_differ_is_said() {
    let bench = Bench::new();
    fair_walker(&bench);
    let draft = ["draft", "fair.png", "--rows", "12", "--tray", "fair.csv"];
    let with = |more: &[&str]| bench.run(&[&draft[..], more].concat());
    let output = with(&[]);
    assert!(output.status.success(), "{}", text(&output.stderr));
    insta::assert_snapshot!(text(&output.stdout));
    assert!(text(&output.stdout).lines().all(|line| line.chars().count() <= 80));

    let document: serde_json::Value = serde_json::from_slice(&with(&["--json"]).stdout).unwrap();
    let trades = document["trades"].as_array().unwrap();
    assert_eq!(trades.len(), 1);
    assert_eq!((&trades[0]["nearest"], &trades[0]["taken"]), (&"reed".into(), &"straw".into()));
    assert_eq!(trades[0]["beside_bead"], "reed");
    let given_up = trades[0]["given_up"].as_f64().unwrap();
    assert!(given_up > 0.0 && given_up <= 5.0, "{given_up}");

    let plain: serde_json::Value = serde_json::from_slice(&with(&["--plain", "--json"]).stdout).unwrap();
    assert_eq!(plain["trades"].as_array().unwrap().len(), 0);
    assert_eq!(plain["rows"][0][2], "reed", "--plain takes the nearest bead");
}

/// A tray whose two blues are hardly to be told apart, so that the walker's coat may be either.
const TWO_BLUES: &str =
    "name,hex\nred,962828\nskin,f0c3a5\ndusk,3c6cb0\nlake,4270b2\nsoot,282220\nmist,5a86b2\nchalk,fafaf8\n";

#[test]
fn readings_are_numbered_shown_taken_and_saved() {
    let bench = Bench::new();
    fs::write(bench.path("tray.csv"), TWO_BLUES).unwrap();
    let draft = ["draft", "walker.png", "--rows", "12", "--tray", "tray.csv"];
    let with = |more: &[&str]| bench.run(&[&draft[..], more].concat());
    let output = with(&["--choices", "4", "--picture", "choices.png"]);
    assert!(output.status.success(), "{}", text(&output.stderr));
    insta::assert_snapshot!(text(&output.stdout));
    assert!(text(&output.stderr).contains("--choices 4 --take 1 --save walker.figure.toml"));
    let shown = image::open(bench.path("choices.png")).unwrap();
    assert!(shown.width() > 700 && shown.height() > 500);

    let document: serde_json::Value =
        serde_json::from_slice(&with(&["--choices", "4", "--take", "2", "--json"]).stdout).unwrap();
    let choices = document["choices"].as_array().unwrap();
    assert_eq!((choices.len(), &document["taken"]), (2, &serde_json::json!(2)));
    assert_eq!(choices[1]["differs"][0]["name"], "colour");
    assert_eq!(document["rows"], choices[1]["rows"]);
    assert_ne!(choices[0]["rows"], choices[1]["rows"]);
    assert_eq!((&choices[0]["number"], &choices[0]["likely"]), (&1.into(), &1.0.into()));

    let taken = with(&["--choices", "4", "--take", "2", "--save", "second.figure.toml"]);
    assert!(text(&taken.stdout).contains("lake") && taken.status.success());
    let saved =
        figure::read("second", &fs::read_to_string(bench.path("second.figure.toml")).unwrap()).unwrap();
    assert!(saved.legend().iter().any(|entry| entry.bead == "lake"));
    assert!(saved.legend().iter().all(|entry| entry.bead != "dusk"));

    let before = bench.files();
    for (more, expected) in [
        (&["--choices", "1"][..], "2 to 9"),
        (&["--choices", "10"], "2 to 9"),
        (&["--choices", "4", "--take", "0"], "counted from 1"),
        (&["--choices", "4", "--take", "3", "--save", "x.figure.toml"], "only 2 readings"),
        (&["--choices", "4", "--save", "x.figure.toml"], "--save needs one of them"),
    ] {
        let said = refusal(&with(more));
        assert!(said.contains(expected), "{said}");
        assert_eq!(bench.files(), before);
    }
    assert_eq!(with(&["--take", "2"]).status.code(), Some(2));
}

#[test]
fn several_references_give_their_colours_and_say_where_they_disagree() {
    let bench = Bench::new();
    fs::write(bench.path("tray.csv"), TWO_BLUES).unwrap();
    let mut faded = walker(20, [250, 250, 248, 255]);
    for pixel in faded.pixels_mut().filter(|p| p.0 == [60, 108, 176, 255]) {
        pixel.0 = [120, 160, 180, 255];
    }
    faded.save(bench.path("faded.png")).unwrap();
    RgbaImage::from_pixel(50, 50, Rgba([250, 250, 250, 255])).save(bench.path("blank.png")).unwrap();
    let arguments = ["draft", "walker.png", "faded.png", "blank.png", "--rows", "12", "--tray", "tray.csv"];
    let output = bench.run(&arguments);
    assert!(output.status.success(), "{}", text(&output.stderr));
    let shown = text(&output.stdout);
    assert!(shown.lines().all(|line| line.chars().count() <= 80), "{shown}");
    insta::assert_snapshot!(shown);
    assert!(text(&output.stderr).contains("left out of the colours: blank.png"));
    assert!(text(&output.stderr).contains("next: smallcast draft walker.png faded.png blank.png"));

    let json = bench.run(&[&arguments[..], &["--json"]].concat());
    let document: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let used: Vec<&str> =
        document["references"].as_array().unwrap().iter().map(|r| r["used"].as_str().unwrap()).collect();
    assert_eq!(used, ["shape and colours", "colours", "nothing"]);
    let coat = &document["disagreements"][0];
    assert_eq!((&coat["bead"], coat["colours"].as_array().unwrap().len()), (&"mist".into(), 2));
    assert!(coat["apart"].as_f64().unwrap() > coat["worst"].as_f64().unwrap());

    // The first must do: the others need not, but must be pictures.
    assert!(
        refusal(&bench.run(&["draft", "blank.png", "walker.png"]))
            .contains("no subject was found in blank.png")
    );
    assert!(refusal(&bench.run(&["draft", "walker.png", "none.png"])).contains("cannot read none.png"));
    let onto = ["draft", "walker.png", "faded.png", "--picture", "faded.png", "--replace"];
    assert!(refusal(&bench.run(&onto)).contains("never overwritten"));
}

//! `smallcast measure` as a maker types it.

use std::fs;
use std::path::{Path, PathBuf};

use image::{Rgba, RgbaImage};
use serde_json::Value;
use smallcast::draft::{DraftOptions, draft};
use smallcast::figure::{AtHand, Edit, Figure, NoOthers, write};
use smallcast::reference::open::{Limits, open};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};
use snapbox::cmd::{Command, OutputAssert, cargo_bin};

/// A folder of its own for each test.
pub struct Bench {
    folder: tempfile::TempDir,
}

impl Bench {
    pub fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    /// With the milk-carter of the demo as he is drafted now.
    fn with_milk_carter() -> Self {
        let bench = Self::new();
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/early-street");
        fs::copy(demo.join("milk-carter.png"), bench.path("milk-carter.png")).unwrap();
        let picture = open(&bench.path("milk-carter.png"), &Limits::default()).unwrap();
        let (tray, options) = (Tray::embedded(), DraftOptions::default());
        let draft = draft("milk-carter.png", &picture, &options, &tray).unwrap();
        let figure = draft.figure("milk-carter", "milk-carter.png", &options, &tray).unwrap();
        fs::write(bench.path("milk-carter.figure.toml"), write(&figure)).unwrap();
        bench
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn measure(&self, arguments: &[&str]) -> OutputAssert {
        // What the reader's own terminal says must not change the tests.
        ["NO_COLOR", "CLICOLOR_FORCE", "FORCE_COLOR", "COLORTERM", "CLICOLOR"]
            .into_iter()
            .fold(Command::new(cargo_bin!("smallcast")), Command::env_remove)
            .current_dir(self.folder.path())
            .arg("measure")
            .args(arguments)
            .assert()
    }

    fn edit(&self, name: &str, old: &str, new: &str) {
        let text = fs::read_to_string(self.path(name)).unwrap();
        assert!(text.contains(old), "{name} has no {old:?}");
        fs::write(self.path(name), text.replacen(old, new, 1)).unwrap();
    }

    /// Names in a folder of the bench, sorted.
    #[cfg(feature = "trial")]
    pub fn files(&self, folder: &str) -> Vec<String> {
        let entries = fs::read_dir(self.path(folder)).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }
}

pub fn out(assert: &OutputAssert) -> String {
    String::from_utf8(assert.get_output().stdout.clone()).unwrap()
}

pub fn said(assert: &OutputAssert) -> String {
    String::from_utf8(assert.get_output().stderr.clone()).unwrap()
}

pub fn json(assert: &OutputAssert) -> Value {
    serde_json::from_str(&out(assert)).expect("one JSON document and nothing else")
}

/// The two lines of a refusal: exit 2, nothing on standard output.
pub fn refusal(assert: OutputAssert) -> String {
    let assert = assert.code(2).stdout_eq("");
    let said = said(&assert);
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(lines.len(), 2, "{said}");
    assert!(lines[0].starts_with("smallcast: ") && lines[1].starts_with("  try: "), "{said}");
    said
}

/// A maker needs no drawn trials; whoever asks for them learns how they are built in.
#[cfg(not(feature = "trial"))]
#[test]
fn what_is_not_built_in_is_said() {
    let bench = Bench::new();
    for words in
        [&[][..], &["--manner", "photo"], &["--figure", "butcher", "--seeds", "1"], &["--without", "eyes"]]
    {
        let said = refusal(bench.measure(words));
        assert!(said.contains("not built into") && said.contains("--features trial"), "{said}");
        assert!(said.contains("smallcast measure FOLDER"), "{said}");
    }
    let help = out(&bench.measure(&["--help"]).success());
    assert!(help.contains("--picture") && !help.contains("--manner"), "{help}");
}

#[test]
fn a_bead_changed_by_hand_is_a_bead_to_mend() {
    let bench = Bench::with_milk_carter();
    let before = json(&bench.measure(&[".", "--json"]).success());
    let (figure, mend) = (&before["drafts"][0]["figure"], before["all"]["mend"].as_f64().unwrap());
    assert_eq!(figure, "milk-carter");
    assert!(before["manners"].as_array().unwrap().is_empty() && before["drafts"][0]["manner"].is_null());
    // One bead of his trousers in pink.
    let file = bench.path("milk-carter.figure.toml");
    let figure = Figure::open(&file).unwrap();
    const ROW: usize = 19;
    let beads = figure.beads();
    let column = (0..beads.columns()).find(|&c| beads[(Row(ROW), Column(c))].is_some()).unwrap();
    let edit = Edit::parse(&format!("place {},{} candy", ROW + 1, column + 1)).unwrap();
    let tray = Tray::embedded();
    let at_hand = AtHand::new(&tray, &NoOthers);
    fs::write(&file, write(&figure.edited(&edit, &at_hand).unwrap().figure)).unwrap();
    let after = json(&bench.measure(&[".", "--json"]).success());
    assert_eq!(after["all"]["mend"].as_f64().unwrap(), mend + 1.0);
    assert!(after["all"]["right"].as_f64() < before["all"]["right"].as_f64());
    assert!(after["all"]["difference"].as_f64() > before["all"]["difference"].as_f64());
}

#[test]
fn figures_that_cannot_be_compared_are_named_and_the_others_measured() {
    let bench = Bench::with_milk_carter();
    for copy in ["gone", "mute", "blank"] {
        fs::copy(bench.path("milk-carter.figure.toml"), bench.path(&format!("{copy}.figure.toml"))).unwrap();
    }
    bench.edit("gone.figure.toml", "milk-carter.png", "gone.png");
    bench.edit("mute.figure.toml", "reference =", "# reference =");
    bench.edit("blank.figure.toml", "milk-carter.png", "blank.png");
    RgbaImage::from_pixel(600, 900, Rgba([250, 250, 250, 255])).save(bench.path("blank.png")).unwrap();
    let answer = bench.measure(&[".", "--json"]).success();
    let document = json(&answer);
    let drafts = document["drafts"].as_array().unwrap();
    assert_eq!(
        drafts.iter().map(|d| d["figure"].as_str().unwrap()).collect::<Vec<_>>(),
        ["blank", "milk-carter"]
    );
    // Where nothing was found, every bead of the figure is to be laid.
    let figure = smallcast::figure::Figure::open(&bench.path("blank.figure.toml")).unwrap();
    let beads = figure.beads().iter().filter(|(_, _, bead)| bead.is_some()).count();
    assert_eq!(drafts[0]["mend"], beads);
    assert!(drafts[0]["failed"].as_str().unwrap().contains("no subject"), "{}", drafts[0]);
    assert!(drafts[1]["failed"].is_null());
    let said = said(&answer);
    let named = |line: &str, why: &str| said.lines().any(|l| l.contains(line) && l.contains(why));
    assert!(named("left out: ./mute.figure.toml", "no reference"), "{said}");
    assert!(named("left out: ./gone.figure.toml", "cannot read"), "{said}");
    assert!(named("not drafted: blank", "no subject"), "{said}");
}

#[test]
fn a_folder_with_nothing_to_measure_is_refused() {
    let bench = Bench::with_milk_carter();
    fs::create_dir(bench.path("empty")).unwrap();
    let empty = refusal(bench.measure(&["empty"]));
    assert!(empty.contains("no figure file") && empty.contains("smallcast draft"), "{empty}");
    assert!(refusal(bench.measure(&["nowhere"])).contains("cannot read nowhere"));
    assert!(refusal(bench.measure(&["milk-carter.png"])).contains("not a folder"));
    fs::write(bench.path("other.csv"), "name,hex\nonly,#808080\n").unwrap();
    let other = refusal(bench.measure(&[".", "--tray", "other.csv"]));
    assert!(other.contains("not in the tray") && other.contains("--tray"), "{other}");
    bench.edit("milk-carter.figure.toml", "reference =", "# reference =");
    let mute = bench.measure(&["."]).code(2).stdout_eq("");
    assert!(said(&mute).contains("names a reference picture"), "{}", said(&mute));
}

#[test]
fn the_picture_never_takes_another_s_place_unasked() {
    let bench = Bench::with_milk_carter();
    fs::write(bench.path("trust.png"), "mine").unwrap();
    assert!(refusal(bench.measure(&[".", "--picture", "trust.png"])).contains("already exists"));
    assert_eq!(fs::read(bench.path("trust.png")).unwrap(), b"mine");
    let reference = fs::read(bench.path("milk-carter.png")).unwrap();
    let own = refusal(bench.measure(&[".", "--picture", "milk-carter.png", "--replace"]));
    assert!(own.contains("never overwritten"), "{own}");
    assert_eq!(fs::read(bench.path("milk-carter.png")).unwrap(), reference);
    assert!(refusal(bench.measure(&[".", "--picture", "trust.jpg"])).contains(".png"));
    let answer = bench.measure(&[".", "--picture", "trust.png", "--replace"]).success();
    assert!(image::open(bench.path("trust.png")).unwrap().width() > 700);
    assert_eq!(said(&answer), "next: smallcast draft ./milk-carter.png\n");
}

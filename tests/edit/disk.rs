//! Every confirmed change is on disk, and nobody's work is written over.

use std::fs;
use std::path::PathBuf;

use proptest::strategy::{Strategy, ValueTree};
use smallcast::error::Error;
use smallcast::figure::{
    AtHand, ELSEWHERE, Edit, History, MOST_STEP_BYTES, MOST_STEPS, NoOthers, Workbench, history_file, read,
};
use smallcast::tray::Tray;

use crate::common::{WALKER, after, walker};
use crate::laws::edit;

struct Desk {
    folder: tempfile::TempDir,
}

impl Desk {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("walker.figure.toml"), WALKER).unwrap();
        Self { folder }
    }

    fn file(&self) -> PathBuf {
        self.folder.path().join("walker.figure.toml")
    }

    fn text(&self) -> String {
        fs::read_to_string(self.file()).unwrap()
    }

    fn bench(&self) -> Workbench {
        Workbench::open(&self.file()).unwrap()
    }
}

fn apply(bench: &mut Workbench, line: &str) -> Result<(), Error> {
    let tray = Tray::embedded();
    bench.apply(&[Edit::parse(line).unwrap()], &AtHand::new(&tray, &NoOthers)).map(|_| ())
}

#[test]
fn yesterday_s_steps_are_undone_today() {
    let desk = Desk::new();
    apply(&mut desk.bench(), "swap navy moss").unwrap();
    apply(&mut desk.bench(), "place 1,1 poppy").unwrap();
    assert!(fs::read_to_string(history_file(&desk.file())).unwrap().contains("swap navy moss"));
    let mut bench = desk.bench();
    assert_eq!(bench.undo(2).unwrap(), ["place 1,1 poppy", "swap navy moss"]);
    assert_eq!(desk.text(), WALKER, "comments and all");
    assert!(matches!(bench.undo(1), Err(Error::NoStep { .. })));
    assert_eq!(desk.bench().redo(1).unwrap(), ["swap navy moss"]);
}

#[test]
fn of_two_at_one_figure_the_second_is_refused_and_nothing_is_lost() {
    let desk = Desk::new();
    let (mut one, mut two) = (desk.bench(), desk.bench());
    apply(&mut one, "swap navy moss").unwrap();
    let after_one = desk.text();
    assert!(matches!(apply(&mut two, "swap navy poppy"), Err(Error::ChangedElsewhere { .. })));
    assert_eq!(desk.text(), after_one);
    two.reload().unwrap();
    apply(&mut two, "swap moss poppy").unwrap();
    assert_eq!(two.history().done().len(), 2);
}

#[test]
fn a_figure_that_another_program_saves_is_not_replaced() {
    let desk = Desk::new();
    let target = desk.folder.path().join("other.figure.toml");
    fs::copy(desk.file(), &target).unwrap();
    let replace = || {
        let (tray, edits) = (Tray::embedded(), [Edit::parse("swap navy moss").unwrap()]);
        desk.bench().apply_to(&target, &edits, &AtHand::new(&tray, &NoOthers), None, true)
    };
    let saving = fs::File::create(desk.folder.path().join(".other.figure.toml.lock")).unwrap();
    saving.lock().unwrap();
    assert!(matches!(replace(), Err(Error::InUse { .. })));
    assert_eq!(fs::read_to_string(&target).unwrap(), WALKER);
    assert!(!history_file(&target).exists());
    saving.unlock().unwrap();
    replace().unwrap();
    assert!(history_file(&target).exists());
}

#[test]
fn a_change_in_an_editor_becomes_a_step_of_its_own() {
    let desk = Desk::new();
    apply(&mut desk.bench(), "swap navy moss").unwrap();
    fs::write(desk.file(), desk.text().replace("hazel", "fox")).unwrap();
    let mut bench = desk.bench();
    let lines: Vec<&str> = bench.history().done().iter().map(|step| step.line()).collect();
    assert_eq!(lines, ["swap navy moss", ELSEWHERE]);
    bench.undo(1).unwrap();
    assert!(desk.text().contains("hazel"));
}

/// The program may end between its two files, the history before the figure: it then stands ahead by a step that
/// nobody was told of.
#[test]
fn an_end_between_the_two_files_loses_nothing() {
    let desk = Desk::new();
    apply(&mut desk.bench(), "swap navy moss").unwrap();
    let before = desk.text();
    apply(&mut desk.bench(), "place 1,1 poppy").unwrap();
    fs::write(desk.file(), &before).unwrap();
    let bench = desk.bench();
    assert_eq!(*bench.figure(), read("f", &before).unwrap());
    assert_eq!((bench.history().done().len(), bench.history().undone().len()), (1, 1));
}

#[test]
fn a_history_is_bounded() {
    let mut figure = walker();
    let mut history = History::new(&figure);
    for step in 0..MOST_STEPS + 20 {
        let line = format!("name \"Walker {step}\"");
        figure = after(&figure, &line).unwrap().figure;
        history.record(&line, &figure);
    }
    assert_eq!(history.done().len(), MOST_STEPS);
    let first = history.done()[0].line().to_owned();
    assert_eq!(first, "name \"Walker 20\"");
    for _ in 0..MOST_STEPS {
        figure = history.undo("f", &figure).unwrap().figure;
    }
    assert_eq!(figure.name(), "Walker 19");
}

/// Whatever a maker does in weeks can be taken back: the file's bytes are the first ones, the maker's comments with them.
#[test]
fn ten_thousand_lines_are_undone_to_the_byte() {
    let desk = Desk::new();
    let tray = Tray::embedded();
    let at_hand = AtHand::new(&tray, &NoOthers);
    let first = desk.text();
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut figure = walker();
    let mut lines = Vec::new();
    let lines_of_any_kind = edit();
    while lines.len() < MOST_STEPS {
        let line = lines_of_any_kind.new_tree(&mut runner).unwrap().current();
        if let Ok(edited) = figure.edited(&line, &at_hand) {
            figure = edited.figure;
            lines.push(line);
        }
    }
    let mut bench = desk.bench();
    // A figure's file is written once for many lines.
    for lines in lines.chunks(MOST_STEPS / 20) {
        bench.apply(lines, &at_hand).unwrap();
    }
    assert_eq!(*desk.bench().figure(), figure);
    let history = fs::metadata(history_file(&desk.file())).unwrap().len();
    assert!(history < 2 * MOST_STEP_BYTES as u64, "{history} bytes");
    assert_eq!(bench.undo(usize::MAX).unwrap().len(), MOST_STEPS);
    assert_eq!(desk.text(), first);
}

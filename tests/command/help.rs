//! What the program says of itself: the short answer, pages, completions, man pages, and what was likely meant.

use std::collections::BTreeSet;
use std::fs;

use smallcast::help::TOPICS;
use unicode_width::UnicodeWidthStr;

use crate::typing::{err, out, smallcast};

const COMMANDS: [&str; 15] = [
    "start", "plan", "draft", "edit", "reuse", "compare", "rematch", "tray", "check", "count", "sheet",
    "show", "lineup", "scene", "measure",
];

fn page(name: &str, columns: &str) -> String {
    out(&smallcast().env("COLUMNS", columns).args(["help", name]).assert().success())
}

/// A line that is kept as it is, so that it can be copied: code stands four columns in.
fn is_code(line: &str) -> bool {
    line.starts_with("    ")
}

#[test]
fn the_bare_name_is_answered_with_the_job_and_where_to_begin() {
    let answer = smallcast().assert().code(2).stdout_eq("");
    let said = err(&answer);
    assert_eq!(said.lines().count(), 5, "{said}");
    assert!(said.lines().all(|line| line.width() <= 80), "{said}");
    for word in ["smallcast draft PICTURE", "smallcast edit", "smallcast sheet", "smallcast help"] {
        assert!(said.contains(word), "{said}");
    }
}

#[test]
fn what_was_likely_meant_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/early-street");
    for (words, meant) in [
        (&["drfat"][..], "draft"),
        (&["help", "pictrues"], "pictures"),
        (&["help", "completions", "bsh"], "bash"),
        (&["help", "man", "chekc"], "check"),
        (&["draft", "x.png", "--clas", "guide"], "--class"),
        (&["draft", "x.png", "--class", "guied"], "guide"),
        (&["sheet", "x.figure.toml", "--save", "a.pdf", "--paper", "lettre"], "letter"),
        #[cfg(feature = "trial")]
        (&["measure", "--manner", "crayn"], "crayon"),
        #[cfg(feature = "trial")]
        (&["measure", "--figure", "butchr"], "butcher"),
        #[cfg(feature = "trial")]
        (&["measure", "--without", "eyse"], "eyes"),
        (&["plan", "--class", "child", "--build", "stuot", "--save", "x.figure.toml"], "stout"),
        (&["plan", demo, "--class", "child", "--group", "bakry", "--save", "x.figure.toml"], "bakery"),
        (&["plan", "--zones", "hed=5,neck=1,torso=8,legs=9,feet=1"], "head"),
        (&["check", &format!("{demo}/baker.figure.toml"), "--only", "lose"], "loose"),
        (&["check", &format!("{demo}/milk-cartr.figure.toml")], "milk-carter.figure.toml"),
        (&["count", demo, "--tray", &format!("{demo}/tary.csv")], "tray.csv"),
    ] {
        let answer = smallcast().current_dir(folder.path()).args(words).assert().code(2).stdout_eq("");
        let said = err(&answer);
        let said = said.replace('\n', " ");
        assert!(said.contains("did you mean ") && said.contains(&format!("{meant}?")), "{words:?}: {said}");
    }
    // What is like nothing is not guessed at.
    let said = err(&smallcast().arg("zzzz").assert().code(2));
    assert!(!said.contains("did you mean"), "{said}");
}

#[test]
fn pages_fit_the_terminal_and_keep_what_is_to_be_copied() {
    for topic in TOPICS {
        for columns in [40, 80, 100] {
            let text = page(topic.name, &columns.to_string());
            for line in text.lines().filter(|line| !is_code(line)) {
                let fits =
                    line.width() <= columns || !line.trim_start().trim_start_matches("- ").contains(' ');
                assert!(fits, "{}: {line}", topic.name);
            }
            assert!(!text.contains('\u{1b}') && !text.contains("**"), "{}", topic.name);
        }
        // Every line of code of the page stands in it, whole, and none is too long for 80 columns.
        let text = page(topic.name, "80");
        for block in topic.text.split("```").skip(1).step_by(2) {
            for line in block.lines().skip(1).filter(|line| !line.is_empty()) {
                assert!(text.contains(line), "{}: {line}", topic.name);
                assert!(line.width() + 4 <= 80, "{}: {line}", topic.name);
            }
        }
    }
}

/// Commands, options and pages that a page names are there.
#[test]
fn pages_name_nothing_that_is_not_there() {
    let option = |word: &str| {
        let name = word.strip_prefix("--")?;
        let end = name.find(|c: char| !(c.is_ascii_lowercase() || c == '-')).unwrap_or(name.len());
        let name = name[..end].trim_end_matches('-');
        (!name.is_empty()).then(|| format!("--{name}"))
    };
    let options_of = |text: &str| -> BTreeSet<String> {
        let words = text.split(|c: char| c.is_whitespace() || "`'\"([{|,;".contains(c));
        words.filter_map(option).collect()
    };
    let mut known: BTreeSet<String> = COMMANDS
        .iter()
        .chain(&["help"])
        .flat_map(|command| options_of(&out(&smallcast().args([command, "--help"]).assert().success())))
        .collect();
    if cfg!(not(feature = "trial")) {
        // Known, and not shown, where no known figures can be drawn.
        let hidden = ["--manner", "--figure", "--seeds", "--without", "--drawings", "--fit", "--save"];
        known.extend(hidden.map(str::to_owned));
    }
    // What only a program with drawn trials has is hidden elsewhere.
    let is_here = |name: &str| cfg!(feature = "trial") || name != "measuring";
    for topic in TOPICS.iter().filter(|topic| is_here(topic.name)) {
        // Cargo's options are its own.
        let ours: Vec<&str> = topic.text.lines().filter(|line| !line.contains("cargo ")).collect();
        let unknown: Vec<_> = options_of(&ours.join("\n")).difference(&known).cloned().collect();
        assert!(unknown.is_empty(), "{} names {unknown:?}", topic.name);
        for rest in topic.text.split("`smallcast ").skip(1) {
            let words: Vec<&str> = rest.split('`').next().unwrap().split_whitespace().collect();
            assert!(words[0] == "help" || COMMANDS.contains(&words[0]), "{}: {words:?}", topic.name);
            if let ("help", Some(about)) = (words[0], words.get(1).filter(|word| **word != "TOPIC")) {
                smallcast().args(["help", about]).assert().success();
            }
        }
    }
}

#[test]
fn help_lists_commands_and_pages_and_each_command_names_its_page() {
    let all = out(&smallcast().arg("help").assert().success());
    assert_eq!(all, out(&smallcast().arg("--help").assert().success()));
    for topic in TOPICS {
        assert!(all.contains(&format!("\n  {}", topic.name)), "{}", topic.name);
    }
    for command in COMMANDS {
        let options = out(&smallcast().args(["help", command]).assert().success());
        assert_eq!(options, out(&smallcast().args([command, "--help"]).assert().success()));
        assert!(options.contains("More: smallcast help "), "{command}");
    }
    smallcast().args(["help", "draft", "more"]).assert().code(2).stdout_eq("");
    smallcast().args(["help", "draft", "--save", "x"]).assert().code(2).stdout_eq("");
}

#[test]
fn completions_and_man_pages_have_every_command() {
    for shell in ["bash", "zsh", "fish"] {
        let script = out(&smallcast().args(["help", "completions", shell]).assert().success());
        for word in COMMANDS.iter().chain(&["pictures", "--class", "--tray"]) {
            assert!(script.contains(word.trim_start_matches('-')), "{shell}: {word}");
        }
    }
    let how = page("completions", "80");
    for shell in ["bash", "zsh", "fish"] {
        assert!(how.contains(&format!("smallcast help completions {shell} >")), "{how}");
    }
    let folder = tempfile::tempdir().unwrap();
    let save = ["help", "man", "--save", "."];
    smallcast().current_dir(folder.path()).args(save).assert().success().stdout_eq("");
    for command in COMMANDS {
        let file = fs::read_to_string(folder.path().join(format!("smallcast-{command}.1"))).unwrap();
        assert!(file.contains(&format!(".TH SMALLCAST-{} 1", command.to_uppercase())), "{file}");
        assert_eq!(out(&smallcast().args(["help", "man", command]).assert().success()), file);
    }
    assert!(folder.path().join("smallcast.1").is_file());
    // What is there is not written over.
    smallcast().current_dir(folder.path()).args(save).assert().code(2);
    smallcast().current_dir(folder.path()).args(save).arg("--replace").assert().success();
}

/// The shell itself reads them (bash: `man bash`, -n).
#[cfg(unix)]
#[test]
fn bash_can_read_its_completions() {
    let script = out(&smallcast().args(["help", "completions", "bash"]).assert().success());
    let file = tempfile::NamedTempFile::new().unwrap();
    fs::write(file.path(), script).unwrap();
    let Ok(answer) = std::process::Command::new("bash").arg("-n").arg(file.path()).output() else { return };
    assert!(answer.status.success(), "{}", String::from_utf8_lossy(&answer.stderr));
}

#[test]
fn the_cautions_are_found_by_the_words_one_asks_for_them_by() {
    let text = page("ironing", "80");
    for caution in
        ["bead maker's instructions", "local rules", "an adult irons", "stop if beads smoke", "Small parts"]
    {
        assert!(text.replace('\n', " ").contains(caution), "{caution}: {text}");
    }
    assert_eq!(page("safety", "80"), text);
}

#[test]
fn the_list_of_pages_fits_the_terminal_where_a_page_is_unknown() {
    for columns in [40, 80] {
        let answer = smallcast().env("COLUMNS", columns.to_string()).args(["help", "zzzz"]).assert().code(2);
        let said = err(&answer);
        assert!(said.lines().all(|line| line.width() <= columns), "{said}");
        assert!(
            said.replace('\n', " ").contains("printing") && said.contains("  try: smallcast help\n"),
            "{said}"
        );
    }
}

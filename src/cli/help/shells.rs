//! What a shell and a reader of manuals are given, made from the same list of commands and options as the help.

use std::borrow::Cow;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use clap::Command;
use clap::builder::PossibleValuesParser;
use clap_complete::Shell;
use clap_mangen::Man;
use smallcast::error::{Error, Result, did_you_mean};
use smallcast::plan::Classes;

use super::{COMPLETIONS, MAN, page};
use crate::cli::{output, report, save};

const NAME: &str = "smallcast";

const VERSION: &str = concat!("smallcast ", env!("CARGO_PKG_VERSION"));

/// How completions are installed.
const HOW: &str = include_str!("shells.md");

/// How man pages are installed and read.
const HOW_MAN: &str = include_str!("man.md");

/// The shells there are completions for.
const SHELLS: [(&str, Shell); 3] = [("bash", Shell::Bash), ("zsh", Shell::Zsh), ("fish", Shell::Fish)];

/// Prints the completions of a shell, or how they are installed.
pub fn completions(shell: Option<&str>) -> Result<()> {
    let Some(word) = shell else { return output::print(&page(HOW)) };
    let names = SHELLS.map(|(name, _)| name);
    let Some((_, shell)) = SHELLS.into_iter().find(|(name, _)| *name == word) else {
        let meant = did_you_mean(word, names);
        return Err(bad(word, format!("there are no completions for it{meant}"), names.join(", ")));
    };
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut offered(crate::cli::command()), NAME, &mut script);
    output::print_script(&String::from_utf8_lossy(&script))
}

/// The commands with values to offer where any may be typed: a cast may have classes of its own.
fn offered(all: Command) -> Command {
    all.mut_subcommands(|command| {
        command.mut_args(|arg| match arg.get_long() {
            Some("class") => arg.value_parser(PossibleValuesParser::new(class_names())),
            _ => arg,
        })
    })
}

/// The names of the trade's height classes.
fn class_names() -> Vec<&'static str> {
    let names = Classes::trade().iter().map(|class| class.name.clone()).collect::<Vec<_>>();
    let known = names.into_iter().filter_map(|name| match name {
        Cow::Borrowed(name) => Some(name),
        Cow::Owned(_) => None,
    });
    known.collect()
}

/// Prints one man page, or saves all in a folder.
pub fn man(command: Option<&str>, folder: Option<&Path>, replace: bool) -> Result<()> {
    let pages = pages();
    if let Some(folder) = folder {
        let files: Vec<(PathBuf, Vec<u8>)> =
            pages.into_iter().map(|(name, text)| (folder.join(format!("{name}.1")), text)).collect();
        let files: Vec<(&Path, Vec<u8>)> =
            files.iter().map(|(file, text)| (file.as_path(), text.clone())).collect();
        save::save_all(&files, replace)?;
        report::note(&format!("{} man pages saved in {}", files.len(), folder.display()));
        report::next(&format!("man -l {}", report::typed(&folder.join("smallcast.1"))));
        return Ok(());
    }
    if command.is_none() && std::io::stdout().is_terminal() {
        return output::print(&page(HOW_MAN));
    }
    let name = command.map_or(NAME.to_owned(), |command| format!("{NAME}-{command}"));
    match pages.iter().find(|(page, _)| *page == name) {
        Some((_, text)) => output::print_script(&String::from_utf8_lossy(text)),
        None => {
            let names: Vec<&str> =
                pages.iter().filter_map(|(page, _)| page.strip_prefix("smallcast-")).collect();
            let word = command.unwrap_or_default();
            let meant = did_you_mean(word, names.iter().copied());
            Err(bad(word, format!("there is no command of that name{meant}"), names.join(", ")))
        }
    }
}

/// The man page of the program and of each command, by the names of their files.
fn pages() -> Vec<(String, Vec<u8>)> {
    let mut all = crate::cli::command().after_help(super::pages_in_a_paragraph());
    all.build();
    let each = all.get_subcommands().filter(|command| command.get_name() != "help");
    let named = each.map(|command| (format!("{NAME}-{}", command.get_name()), command.clone()));
    let pages: Vec<(String, Command)> =
        std::iter::once((NAME.to_owned(), all.clone())).chain(named).collect();
    let rendered = pages.into_iter().map(|(name, command)| {
        let mut text = Vec::new();
        // Writing to memory does not fail.
        let _ = Man::new(command).title(name.to_uppercase()).source(VERSION).manual(NAME).render(&mut text);
        (name, text)
    });
    rendered.collect()
}

/// A page of help is printed; man pages are what is saved.
pub fn not_saved(about: &str) -> Error {
    let right = format!("leave --save out, or write smallcast help {MAN} --save FOLDER");
    Error::BadValue { option: "--save", value: about.into(), why: "it is printed".into(), right }
}

/// A second word means something after two words only.
pub fn one_word(about: &str) -> Error {
    let why = "help takes one word here".to_owned();
    let right = format!("write smallcast help {about}; only {COMPLETIONS} and {MAN} take a second word");
    Error::BadValue { option: "help", value: about.into(), why, right }
}

fn bad(word: &str, why: String, known: String) -> Error {
    Error::BadValue { option: "help", value: word.into(), why, right: format!("choose one of {known}") }
}

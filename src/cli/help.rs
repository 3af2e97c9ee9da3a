//! `smallcast help`: a page of help, the options of a command, completions for a shell, man pages.

mod layout;
mod markdown;
mod shells;

use std::path::PathBuf;

use clap::builder::{PossibleValue, PossibleValuesParser};
use smallcast::error::{Result, likely};
use smallcast::help::TOPICS;

use super::output::{self, Paint};
use super::report;
use super::table::wrapped;

/// The words that ask for completions, and for man pages.
const COMPLETIONS: &str = "completions";
const MAN: &str = "man";

/// Other words that ask for a page.
const OTHER_WORDS: [(&str, &str); 2] = [("safety", "ironing"), ("care", "ironing")];

/// A page is no wider than this: longer lines are hard to read.
pub const WIDEST: usize = 100;

/// Which page says more than a command's options.
const MORE: [(&str, &str); 15] = [
    ("start", "casts"),
    ("plan", "heights"),
    ("draft", "pictures"),
    ("edit", "changes"),
    ("reuse", "casts"),
    ("compare", "pictures"),
    ("rematch", "beads"),
    ("tray", "beads"),
    ("check", "checking"),
    ("count", "checking"),
    ("sheet", "printing"),
    ("show", "showing"),
    ("lineup", "showing"),
    ("scene", "showing"),
    ("measure", "measuring"),
];

/// What a call without any word is answered: the job and where to begin.
pub const SHORT: &str = "\
smallcast turns a reference picture into a figure of fuse beads you own:
  smallcast draft PICTURE --save NAME.figure.toml --picture NAME.png
  smallcast edit NAME.figure.toml                  clean it up by hand
  smallcast sheet NAME.figure.toml --save NAME.pdf   the page to peg from
Your own beads, casts and all else: smallcast help";

/// Show a page of help or the options of a command; completions for your shell, and man pages
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A page, a command, completions or man; without it, all there is
    #[arg(value_name = "TOPIC|COMMAND", value_parser = words(), hide_possible_values = true)]
    about: Option<String>,
    /// For completions the shell: bash, zsh or fish; for man a command
    #[arg(value_name = "WORD", requires = "about")]
    of: Option<String>,
    /// Save the man pages of all commands in this folder
    #[arg(long, value_name = "FOLDER", requires = "about", conflicts_with = "of")]
    save: Option<PathBuf>,
    /// Overwrite existing man pages
    #[arg(long, requires = "save")]
    replace: bool,
}

impl Arguments {
    /// Prints what was asked for, or saves man pages.
    ///
    /// # Errors
    /// [`smallcast::error::Error::BadValue`] for a word that means nothing here; what writing may say.
    pub fn execute(&self) -> Result<()> {
        let of = self.of.as_deref();
        match self.about.as_deref() {
            Some(MAN) => shells::man(of, self.save.as_deref(), self.replace),
            Some(about) if self.save.is_some() => Err(shells::not_saved(about)),
            Some(COMPLETIONS) => shells::completions(of),
            Some(about) if of.is_some() => Err(shells::one_word(about)),
            about => match TOPICS.iter().find(|topic| Some(topic.name) == about.map(as_named)) {
                Some(topic) => output::print(&page(topic.text)),
                None => options(about),
            },
        }
    }
}

/// A page laid out for standard output.
fn page(text: &str) -> String {
    layout::lay_out(&markdown::blocks(text), Paint::for_stdout(), output::width().min(WIDEST))
}

/// The options of a command, or all commands.
fn options(command: Option<&str>) -> Result<()> {
    let words = ["smallcast"].into_iter().chain(command).chain(["--help"]);
    match super::command().try_get_matches_from(words) {
        // A closed pipe is no fault of the maker's.
        Err(answer) => answer.print().or(Ok(())),
        Ok(_) => Ok(()),
    }
}

/// Whether a word is one that stands after `help`, and is no command.
pub fn is_page(word: &str) -> bool {
    [COMPLETIONS, MAN].contains(&word) || TOPICS.iter().any(|topic| topic.name == word)
}

/// Says that there is no such page, what is most like it, and what there is.
pub fn tell_unknown(word: &str) {
    let pages: Vec<&str> = TOPICS.iter().map(|topic| topic.name).chain([COMPLETIONS, MAN]).collect();
    let commands = MORE.map(|(command, _)| command);
    let right = match likely(word, pages.iter().copied().chain(commands)) {
        Some(meant) => format!("did you mean {meant}? smallcast help lists all there is"),
        None => "smallcast help".to_owned(),
    };
    report::wrong_use(&format!("there is no page of help about '{word}', and no such command"), &right);
    let width = output::width().min(WIDEST);
    for (what, names) in [("Pages of help", pages.join(", ")), ("Commands", commands.join(", "))] {
        report::short(&wrapped(&format!("{what}: {names}"), width));
    }
}

/// The words that are known after `help`.
fn words() -> PossibleValuesParser {
    let commands = MORE.iter().map(|(command, _)| *command);
    let topics = TOPICS.iter().map(|topic| topic.name);
    let words = commands.chain(topics).chain([COMPLETIONS, MAN]);
    let also = OTHER_WORDS.iter().map(|(word, _)| PossibleValue::new(*word).hide(true));
    PossibleValuesParser::new(words.map(PossibleValue::new).chain(also).collect::<Vec<_>>())
}

/// The page's own name.
fn as_named(word: &str) -> &str {
    OTHER_WORDS.iter().find(|(other, _)| *other == word).map_or(word, |(_, page)| page)
}

/// What stands below the list of commands: the pages there are.
pub fn below_commands() -> String {
    let width = output::width().min(WIDEST);
    let named = TOPICS.iter().map(|topic| (topic.name.to_owned(), topic.about.to_owned()));
    let others = [
        (COMPLETIONS.to_owned(), "for bash, zsh and fish".to_owned()),
        (MAN.to_owned(), "man pages of all commands".to_owned()),
    ];
    let list = layout::terms(named.chain(others), width);
    format!("Pages of help (smallcast help TOPIC):\n{list}")
}

/// The same in running text, as a manual has it.
pub fn pages_in_a_paragraph() -> String {
    let pages = TOPICS.iter().map(|topic| format!("{} ({})", topic.name, topic.about));
    format!("Pages of help (smallcast help TOPIC): {}.", pages.collect::<Vec<_>>().join("; "))
}

/// What stands below a command's options: the page that says more.
pub fn below(command: &str) -> String {
    let page = MORE.iter().find(|(name, _)| *name == command).map(|(_, page)| *page);
    page.map_or(String::new(), |page| format!("More: smallcast help {page}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn every_command_names_a_page_that_there_is_and_no_page_has_a_commands_name() {
        let cli = crate::cli::Cli::command();
        let commands: Vec<&str> =
            cli.get_subcommands().map(clap::Command::get_name).filter(|n| *n != "help").collect();
        assert_eq!(commands, MORE.map(|(command, _)| command));
        for (command, page) in MORE {
            assert!(TOPICS.iter().any(|topic| topic.name == page), "{command}: {page}");
        }
        let taken = |name: &str| commands.contains(&name) || name == COMPLETIONS || name == MAN;
        assert!(!TOPICS.iter().any(|topic| taken(topic.name)));
    }
}

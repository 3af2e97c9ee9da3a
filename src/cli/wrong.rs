//! What is wrong with the words of a command, and what to type instead.

use std::num::{IntErrorKind, ParseFloatError, ParseIntError};

use clap::Command;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::{help, report};

/// Options that are likely typed and are none, each with those that may be meant.
const OTHER_OPTIONS: [(&str, &[&str]); 8] = [
    ("--output", &["save"]),
    ("--out", &["save"]),
    ("-o", &["save"]),
    ("--height", &["stands", "rows"]),
    ("--beads", &["tray"]),
    ("--force", &["replace"]),
    ("--overwrite", &["replace"]),
    ("--size", &["rows", "paper"]),
];

/// Options that are another command's, or have another name there.
const ELSEWHERE: [(&str, &str, &str); 2] = [
    ("show", "--picture", "to save what it shows, give --save FILE.png"),
    ("draft", "--age", "smallcast plan --age YEARS says the rows, for --rows"),
];

/// Says what is wrong and what to do about it.
pub fn tell(answer: &clap::Error) {
    let all = super::command();
    let typed: Vec<String> =
        std::env::args_os().skip(1).map(|word| word.to_string_lossy().into_owned()).collect();
    let command = typed.first().and_then(|first| all.find_subcommand(first));
    let named = command.map(Command::get_name);
    let value = || answer.get(ContextKind::InvalidValue).map(ToString::to_string).unwrap_or_default();
    match (answer.kind(), named) {
        (ErrorKind::InvalidValue, Some("help")) => help::tell_unknown(&value()),
        (ErrorKind::InvalidSubcommand, _) if typed.first().is_some_and(|first| help::is_page(first)) => {
            let why = format!("there is no command {}", typed[0]);
            report::wrong_use(&why, &format!("smallcast help {}", typed.join(" ")));
        }
        (_, Some(name)) => {
            report::wrong_use(&wrong_words(answer, command), &format!("smallcast {name} --help"));
        }
        _ => {
            report::wrong_use(&wrong_words(answer, command), "smallcast --help, or smallcast COMMAND --help")
        }
    }
}

/// The options of this command that may be meant by one that is none.
fn other_option(answer: &clap::Error, command: Option<&Command>) -> Option<String> {
    let typed =
        answer.get(ContextKind::InvalidArg).filter(|_| answer.kind() == ErrorKind::UnknownArgument)?;
    let typed = typed.to_string();
    let option = typed.split(['=', ' ']).next().unwrap_or_default();
    if option == "-v" {
        return Some("smallcast -V".into());
    }
    let (_, meant) = OTHER_OPTIONS.iter().find(|(other, _)| *other == option)?;
    let has = |name: &&&str| command?.get_arguments().find(|own| own.get_long() == Some(name)).map(|_| ());
    let there: Vec<String> =
        meant.iter().filter(|name| has(name).is_some()).map(|name| format!("--{name}")).collect();
    Some(there.join(" or ")).filter(|names| !names.is_empty())
}

/// What is wrong with the words of a command.
fn wrong_words(answer: &clap::Error, command: Option<&Command>) -> String {
    let said = |kind| answer.get(kind).map(ToString::to_string);
    let number = std::error::Error::source(answer).and_then(no_number);
    match (said(ContextKind::InvalidArg), said(ContextKind::InvalidValue), number) {
        (Some(option), Some(value), Some(why)) => format!("'{value}' for '{option}': {why}"),
        _ if answer.kind() == ErrorKind::InvalidUtf8 => "a word of the command is not text in UTF-8".into(),
        _ => format!("{}{}", in_one_line(&answer.to_string()), meant(answer, command)),
    }
}

/// What was likely meant, where a word is like one that there is.
fn meant(answer: &clap::Error, command: Option<&Command>) -> String {
    let option = answer.get(ContextKind::InvalidArg).map(ToString::to_string).unwrap_or_default();
    let is_of = |name: &str| command.is_some_and(|command| command.get_name() == name);
    if let Some((.., right)) = ELSEWHERE.iter().find(|(command, name, _)| is_of(command) && *name == option) {
        return format!(" ({right})");
    }
    if let Some(meant) = other_option(answer, command) {
        return format!(" (did you mean {meant}?)");
    }
    let kinds = [ContextKind::SuggestedSubcommand, ContextKind::SuggestedArg, ContextKind::SuggestedValue];
    let names = kinds.into_iter().find_map(|kind| match answer.get(kind) {
        Some(ContextValue::String(name)) => Some(name.clone()),
        Some(ContextValue::Strings(names)) => names.first().cloned(),
        _ => None,
    });
    names.map_or(String::new(), |name| format!(" (did you mean {name}?)"))
}

/// Why a text is no number, if that is what is wrong with it.
fn no_number(source: &(dyn std::error::Error + 'static)) -> Option<&'static str> {
    if let Some(whole) = source.downcast_ref::<ParseIntError>() {
        return Some(match whole.kind() {
            IntErrorKind::PosOverflow | IntErrorKind::NegOverflow => "the number is too large",
            _ => "it is not a whole number",
        });
    }
    source.downcast_ref::<ParseFloatError>().map(|_| "it is not a number")
}

/// What clap says of wrong words, without its "error:", its usage and its tips.
fn in_one_line(said: &str) -> String {
    let cause = said.trim_start_matches("error: ").split("\n\n").next().unwrap_or(said);
    cause.split_whitespace().collect::<Vec<_>>().join(" ")
}

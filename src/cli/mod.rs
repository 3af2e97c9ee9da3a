//! The command line: one file a command, each with its arguments and `execute`.
//!
//! Shared manners: results go to standard output, everything else to standard error; `--json` prints
//! one JSON document and nothing beside it; a command ends by naming the sensible next one.

mod check;
mod check_json;
mod check_text;
mod compare;
mod compare_json;
mod compare_picture;
mod compare_text;
mod count;
mod count_csv;
mod count_json;
mod count_text;
mod draft;
mod draft_choices;
mod draft_decisions;
mod draft_found;
mod draft_json;
mod draft_text;
mod edit;
mod edit_json;
mod edit_text;
mod figure_text;
mod figures;
mod help;
mod home;
mod ledger;
mod ledger_json;
mod ledger_text;
mod lineup;
mod lineup_json;
mod lineup_text;
mod little_memory;
mod measure;
#[cfg(feature = "trial")]
mod measure_choice;
#[cfg(feature = "trial")]
mod measure_drawings;
#[cfg(feature = "trial")]
mod measure_drawn;
#[cfg(feature = "trial")]
mod measure_fit;
mod measure_folder;
mod measure_json;
mod measure_run;
mod measure_text;
#[cfg(feature = "trial")]
mod measure_without;
mod output;
#[cfg(feature = "page")]
mod page;
mod places;
mod plan;
mod plan_asked;
mod plan_json;
mod plan_text;
mod progress;
mod references;
mod rematch;
mod rematch_json;
mod rematch_picture;
mod rematch_text;
mod report;
mod reuse;
mod save;
mod scene;
mod scene_json;
mod scene_text;
mod several_text;
mod sheet;
mod show;
mod start;
mod suggest;
mod suggest_json;
mod suggest_text;
mod table;
mod tray;
mod tray_photo;
mod tray_photo_json;
mod tray_photo_text;
mod wrong;

use std::process::ExitCode;

use clap::error::ErrorKind;
use clap::{CommandFactory, FromArgMatches, Parser};
use smallcast::error::Error;

use save::{check_target, first_to_last, left_behind, numbered, save_all, saved_in};

/// Drafts fuse-bead figures from reference pictures: bead by bead, to one scale, from the beads you own.
#[derive(Debug, Parser)]
#[command(name = "smallcast", bin_name = "smallcast", version, max_term_width = help::WIDEST, disable_help_subcommand = true)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, clap::Subcommand)]
enum Command {
    Start(start::Arguments),
    Plan(plan::Arguments),
    Draft(draft::Arguments),
    Edit(edit::Arguments),
    Reuse(reuse::Arguments),
    Compare(compare::Arguments),
    Rematch(rematch::Arguments),
    Tray(tray::Arguments),
    Check(check::Arguments),
    Count(count::Arguments),
    Sheet(sheet::Arguments),
    Show(show::Arguments),
    Lineup(lineup::Arguments),
    Scene(scene::Arguments),
    Measure(measure::Arguments),
    Help(help::Arguments),
}

/// Exit code for wrong use and bad input; clap's own errors have it too.
const WRONG_USE: u8 = 2;

/// All commands and options, with the pages of help that say more.
fn command() -> clap::Command {
    let all = Cli::command().after_help(help::below_commands());
    all.mut_subcommands(|one| {
        let more = help::below(one.get_name());
        if more.is_empty() { one } else { one.after_help(more) }
    })
}

/// Runs the command line of this process.
pub fn run() -> ExitCode {
    if let Some(code) = little_memory::watched() {
        return code;
    }
    let cli = match command().try_get_matches().and_then(|words| Cli::from_arg_matches(&words)) {
        Ok(cli) => cli,
        Err(answer) => return answered(&answer),
    };
    let done = |()| ExitCode::SUCCESS;
    let outcome = match cli.command {
        Command::Start(arguments) => arguments.execute().map(done),
        Command::Plan(arguments) => arguments.execute().map(done),
        Command::Draft(arguments) => arguments.execute().map(done),
        Command::Edit(arguments) => arguments.execute().map(done),
        Command::Reuse(arguments) => arguments.execute().map(done),
        Command::Compare(arguments) => arguments.execute().map(done),
        Command::Rematch(arguments) => arguments.execute().map(done),
        Command::Tray(arguments) => arguments.execute().map(done),
        Command::Check(arguments) => arguments.execute(),
        Command::Count(arguments) => arguments.execute().map(done),
        Command::Sheet(arguments) => arguments.execute().map(done),
        Command::Show(arguments) => arguments.execute().map(done),
        Command::Lineup(arguments) => arguments.execute().map(done),
        Command::Scene(arguments) => arguments.execute().map(done),
        Command::Measure(arguments) => arguments.execute().map(done),
        Command::Help(arguments) => arguments.execute().map(done),
    };
    outcome.unwrap_or_else(|error| {
        report::error(&error);
        if matches!(error, Error::Unprintable { .. }) {
            save::saved().iter().for_each(|file| report::note(&format!("saved in {}", file.display())));
        }
        ExitCode::from(WRONG_USE)
    })
}

/// Prints help where it was asked for, and else what is wrong.
fn answered(answer: &clap::Error) -> ExitCode {
    if answer.kind() == ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand {
        // A call without a command has done nothing: a script that lost its command must not go on, and whoever reads
        // its output gets none. A person sees both streams.
        report::short(help::SHORT);
        return ExitCode::from(WRONG_USE);
    }
    if answer.use_stderr() {
        wrong::tell(answer);
        return ExitCode::from(WRONG_USE);
    }
    // Help and version go to standard output; a closed pipe there is no fault of the maker's.
    let _ = answer.print();
    ExitCode::SUCCESS
}

//! `smallcast rematch --suggest`: which beads of a catalogue would help most.

use std::path::Path;

use smallcast::error::{Error, Result};
use smallcast::rematch::{MOST_SOUGHT, Older, Request, Suggestion, suggest};
use smallcast::tray::Tray;

use super::figures::Opened;
use super::home::{Home, opened as opened_tray};
use super::output::{self, Paint};
use super::progress::Progress;
use super::rematch::Arguments;
use super::{report, suggest_json, suggest_text};

/// What a suggestion is told with.
pub struct Told<'a> {
    /// The figures with their files.
    pub opened: &'a [Opened],
    /// The catalogue's file and its beads.
    pub catalogue: (&'a Path, &'a Tray),
    /// The beads to buy.
    pub suggestion: &'a Suggestion,
    /// How many were asked for.
    pub sought: usize,
    /// Whether beads settled by hand may change.
    pub by_hand: bool,
    /// What serves the figures.
    pub home: &'a Home,
}

/// Looks through the catalogue and says which beads to buy.
///
/// # Errors
/// [`Error::BadValue`] for a number that cannot be sought; as [`Tray::open`]; [`Error::TrayFile`] for a catalogue without
/// prices.
pub fn execute(
    arguments: &Arguments,
    opened: &[Opened],
    older: &[Older],
    request: &Request,
    home: &Home,
    progress: Progress,
) -> Result<()> {
    let (Some(sought), Some(file)) = (arguments.suggest, &arguments.from) else { return Ok(()) };
    if !(1..=MOST_SOUGHT).contains(&sought) {
        return Err(Error::BadValue {
            option: "--suggest",
            value: sought.to_string(),
            why: "that many beads cannot be searched for".into(),
            right: format!("give a number from 1 to {MOST_SOUGHT}"),
        });
    }
    let catalogue = opened_tray(file)?;
    if catalogue.iter().all(|(_, bead)| bead.price.is_none()) {
        return Err(Error::TrayFile {
            file: file.display().to_string(),
            why: "no bead in it has a price".into(),
            right: "add a column price, and a column pack for the beads in a pack".into(),
        });
    }
    progress.next("looking through the catalogue");
    let suggestion = suggest(older, request, &catalogue, sought);
    progress.done();
    home.warn();
    let told = Told {
        opened,
        catalogue: (file, &catalogue),
        suggestion: &suggestion,
        sought,
        by_hand: arguments.by_hand,
        home,
    };
    if arguments.json {
        return output::print_json(&suggest_json::document(&told));
    }
    output::print(&suggest_text::report(&told, Paint::for_stdout(), output::width()))?;
    report::next(&format!("smallcast rematch {}{}", arguments.typed(), home.tray_option()));
    Ok(())
}

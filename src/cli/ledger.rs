//! `smallcast compare FOLDER --thing`: which bead a named thing has in which figure, and the bead that serves all.

use std::path::{Path, PathBuf};

use smallcast::cast::{Thing, stem};
use smallcast::error::{Error, Result, did_you_mean};
use smallcast::rematch::{Held, Ledger, Older, ledger};

use super::figures::{self, READING};
use super::home::Home;
use super::output::{self, Paint};
use super::progress::Progress;
use super::{ledger_json, ledger_text, report};

/// Looks things up in the figures of a cast: those whose name has `named` in it, all without it.
///
/// # Errors
/// [`Error::BadValue`] where the cast has no thing of that name, or the figures are of no cast; as [`figures::open`].
pub fn execute(paths: &[PathBuf], named: &str, tray: Option<&Path>, json: bool) -> Result<()> {
    let progress = Progress::start(READING);
    let home = Home::of(paths, tray)?;
    let things = chosen(&home, named)?;
    let opened = figures::open_without_guide(paths, &home, progress.counts(READING))?;
    progress.next("looking up the named things");
    let stems: Vec<String> = opened.iter().map(|opened| stem(&opened.file)).collect();
    let older: Vec<Older> =
        opened.iter().zip(&stems).map(|(opened, stem)| Older { stem, figure: &opened.figure }).collect();
    let ledgers: Vec<Ledger> = things.into_iter().map(|thing| ledger(thing, &older, &home.tray)).collect();
    progress.done();
    home.warn();
    if json {
        return output::print_json(&ledger_json::document(&ledgers, &opened, &home));
    }
    let (paint, width) = (Paint::for_stdout(), output::width());
    output::print(&ledger_text::report(&ledgers, &opened, &home.tray, paint, width))?;
    name_next(&ledgers, paths, &home);
    Ok(())
}

/// The things whose names have a word in them, in any case.
fn chosen<'a>(home: &'a Home, named: &str) -> Result<Vec<&'a Thing>> {
    let refused =
        |why: String, right: String| Error::BadValue { option: "--thing", value: named.into(), why, right };
    let Some(cast) = home.cast() else {
        return Err(refused(
            "these figures belong to no cast, and only a cast has named things".into(),
            "name a folder whose cast.toml has a [[thing]]".into(),
        ));
    };
    if cast.things.is_empty() {
        return Err(refused(
            "the cast has no named thing".into(),
            "add to cast.toml, on lines of their own: [[thing]], name = \"her coat\", bead = \"navy\", \
            figures = [\"baker\"]"
                .into(),
        ));
    }
    let word = named.trim().to_lowercase();
    let found: Vec<&Thing> =
        cast.things.iter().filter(|thing| thing.name.to_lowercase().contains(&word)).collect();
    if found.is_empty() {
        let names: Vec<&str> = cast.things.iter().map(|thing| thing.name.as_str()).collect();
        return Err(refused(
            format!("the cast has no thing of that name{}", did_you_mean(&word, names.iter().copied())),
            format!("name one of {}", names.join("; ")),
        ));
    }
    Ok(found)
}

/// What comes next: where no figure differs, whether the tray has better beads by now. A swap would change other things
/// of the same bead, so none is offered; where another bead serves better, it is the cast's line that changes.
fn name_next(ledgers: &[Ledger], paths: &[PathBuf], home: &Home) {
    let better = ledgers.iter().find_map(|ledger| {
        let best = &home.tray.bead(ledger.serves.as_ref()?.bead).name;
        (*best != ledger.thing.bead).then_some((ledger, best))
    });
    let is_odd = |held: &Held, thing: &Thing| held.bead.as_ref().is_some_and(|bead| *bead != thing.bead);
    let differs = ledgers.iter().any(|ledger| ledger.held.iter().any(|held| is_odd(held, ledger.thing)));
    let file = home.cast_folder().map(|cast| report::typed(cast.file())).unwrap_or_default();
    match better {
        Some((Ledger { thing, .. }, best)) if differs => {
            report::next(&format!("write bead = \"{best}\" under \"{}\" in {file}", thing.name));
        }
        _ if differs => {}
        _ => {
            let paths: Vec<String> = paths.iter().map(|path| report::typed(path)).collect();
            report::next(&format!("smallcast rematch {}{}", paths.join(" "), home.tray_option()));
        }
    }
}

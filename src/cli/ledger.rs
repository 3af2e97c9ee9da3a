//! `smallcast compare FOLDER --thing`: which bead a named thing has in which figure, and the bead that serves all.

use std::path::{Path, PathBuf};

use smallcast::cast::{Thing, stem};
use smallcast::error::{Error, Result, did_you_mean};
use smallcast::rematch::{Ledger, Older, ledger};

use super::figures::{self, Opened, READING};
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
    name_next(&ledgers, &opened, paths, &home);
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
            "add a [[thing]] with name, bead and figures to cast.toml".into(),
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

fn name_next(ledgers: &[Ledger], opened: &[Opened], paths: &[PathBuf], home: &Home) {
    let tray = home.tray_option();
    let other = ledgers.iter().find_map(|ledger| {
        let odd = |held: &&smallcast::rematch::Held| {
            held.bead.as_ref().is_some_and(|bead| *bead != ledger.thing.bead)
        };
        let held = ledger.held.iter().find(odd)?;
        Some((held.figure, held.bead.clone()?, ledger.thing.bead.clone()))
    });
    match other {
        Some((figure, old, new)) => {
            let file = report::typed(&opened[figure].file);
            let [old, new] =
                [old, new].map(|name| if name.contains(' ') { format!("\"{name}\"") } else { name });
            report::next(&format!("smallcast edit {file} --do 'swap {old} {new} by-hand'{tray}"));
        }
        None => {
            let paths: Vec<String> = paths.iter().map(|path| report::typed(path)).collect();
            report::next(&format!("smallcast rematch {}{tray}", paths.join(" ")));
        }
    }
}

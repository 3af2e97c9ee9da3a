//! `smallcast measure` without a folder: known figures drawn, drafted and scored.

use std::path::Path;

use smallcast::error::Result;
use smallcast::tray::Tray;
use smallcast::trial::{BARE_PICTURES, KEPT_SKETCHES, Manner, SKETCH, is_taken_for_a_sheet};

use super::measure::{Arguments, DEFAULT_SEEDS, worst};
use super::measure_choice::{Choice, manner_names};
use super::measure_drawings::{Drawings, of_job};
use super::measure_run::{Beside, FalseSheets, Line, Trialled, in_order};
use super::output::{self, Paint};
use super::progress::Progress;
use super::{measure_fit, measure_text, measure_without, report};

/// Drafts, scores and shows.
pub fn execute(asked: &Arguments) -> Result<()> {
    let (tray, drawn) = (Tray::embedded(), &asked.drawn);
    let choice = Choice::of(&drawn.manner, &drawn.figure, &tray)?;
    match (drawn.save.as_deref().filter(|_| drawn.fit), &drawn.without) {
        (Some(target), _) => {
            let is_trial = !drawn.manner.is_empty() || !drawn.figure.is_empty();
            measure_fit::execute(target, asked.replace, &choice, is_trial)
        }
        (None, Some(name)) => without(asked, name, &choice, &tray),
        (None, None) => known(asked, &choice, &tray),
    }
}

fn known(asked: &Arguments, choice: &Choice, tray: &Tray) -> Result<()> {
    let drawn = &asked.drawn;
    let jobs = choice.jobs(drawn.seeds);
    asked.check_picture(&[])?;
    let drawings = drawn.drawings.as_deref().map(|folder| Drawings { folder, replace: asked.replace });
    if let Some(drawings) = &drawings {
        drawings.check(&jobs)?;
    }
    let progress = Progress::start("drafting");
    let drafts = in_order(&jobs, &progress, |job| of_job(job, asked.baseline, drawings.as_ref(), tray))?;
    // Whoever finds more sheets may find more where there are none.
    let bare = choice.manners.contains(&Manner::TableSheet).then(|| false_sheets(&progress)).transpose()?;
    progress.done();
    let of_manner = |name| drafts.iter().filter(move |draft| draft.manner == Some(name));
    let lines: Vec<Line> = manner_names()
        .filter(|name| of_manner(name).next().is_some())
        .map(|name| Line::of(name, of_manner(name)))
        .collect();
    let beside = Beside { bare, yardstick: yardstick(&drafts) };
    asked.answer("manner", &choice.title(drawn.seeds), &lines, &beside, &drafts)?;
    if !asked.json {
        name_next(asked, &lines);
    }
    Ok(())
}

fn without(asked: &Arguments, name: &str, choice: &Choice, tray: &Tray) -> Result<()> {
    let detector = measure_without::detector(name)?;
    let progress = Progress::start("drafting");
    let jobs = choice.jobs(asked.drawn.seeds);
    let pairs = in_order(&jobs, &progress, |job| measure_without::pair(job, detector, tray))?;
    progress.done();
    if asked.json {
        return output::print_json(&measure_without::document(detector, &pairs));
    }
    let (paint, width) = (Paint::for_stdout(), output::width());
    let title = choice.title(asked.drawn.seeds);
    output::print(&measure_without::report(detector, &title, &pairs, paint, width))
}

/// How near to a design by eye a draft of a sketch can be asked to come, and which sketches tell of any other.
fn yardstick(drafts: &[Trialled]) -> Option<String> {
    let apart = Line::of("all", drafts).apart?;
    Some(format!(
        "sketch: drawn in its own proportions, so that no one answer is right. Each was designed by eye twice; mend \
         is the mean to both designs, which differ from one another by {} beads: a draft as near as that is as good \
         as a design. Confidence is fitted on them, but for {}.",
        measure_text::beads(apart),
        KEPT_SKETCHES.join(" and ")
    ))
}

/// How many of the pictures without a sheet are taken for one.
fn false_sheets(progress: &Progress) -> Result<FalseSheets> {
    let seeds: Vec<u64> = (0..BARE_PICTURES).collect();
    let taken = in_order(&seeds, progress, |seed| Ok(is_taken_for_a_sheet(*seed)))?;
    Ok(FalseSheets { pictures: seeds.len(), taken: taken.into_iter().filter(|taken| *taken).count() })
}

/// What to do now: see how far the confidence can be trusted, then look at the hardest manner.
fn name_next(asked: &Arguments, lines: &[Line]) {
    if asked.shown.is_none() {
        return report::next(&format!("{} --picture reliability.png", again(asked)));
    }
    match worst(lines) {
        Some(line) if asked.drawn.drawings.is_none() => {
            // A sketch is drawn once, whatever the seeds.
            let seeds = if line.name == SKETCH { "" } else { " --seeds 1" };
            report::next(&format!("smallcast measure --manner {}{seeds} --drawings trials", line.name));
        }
        _ => report::next("smallcast measure FOLDER, to score drafts against your own figures"),
    }
}

/// This command as it was given, but for what it saves.
fn again(asked: &Arguments) -> String {
    let drawn = &asked.drawn;
    let mut words = vec!["smallcast measure".to_owned()];
    for (option, names) in [("--manner", &drawn.manner), ("--figure", &drawn.figure)] {
        names.iter().for_each(|name| words.extend([option.into(), report::typed(Path::new(name))]));
    }
    if drawn.seeds != DEFAULT_SEEDS {
        words.push(format!("--seeds {}", drawn.seeds));
    }
    words.join(" ")
}

//! `smallcast measure --fit`: the calibration of confidence, fitted anew.

use std::path::Path;

use smallcast::draft::Draft;
use smallcast::error::{Error, Result};
use smallcast::matching::{Calibration, Lesson};
use smallcast::tray::Tray;
use smallcast::trial::{
    FITTED_SEEDS, Judged, KEPT_FIGURES, KEPT_MANNERS, KEPT_SKETCHES, Manner, Score, Sketch, Trial,
    calibration_error, fitted_tray, is_fitted, is_fitted_sketch, lessons, ranking, weighed,
};
use smallcast::units::{Column, Row};

use super::measure_choice::{Choice, counted};
use super::measure_run::in_order;
use super::progress::Progress;
use super::{output, report, save_all};

/// The seed of what is kept apart: no fit sees it, and it drafts with the embedded tray.
const KEPT_SEED: u64 = 0;

/// Something to learn from, and the seed of the tray it is drafted with.
enum Source<'a> {
    Drawn(Trial<'a>),
    Sketched(&'a Sketch, u64),
}

/// What was learnt of beads by a fit, or to test one.
struct Learnt {
    drawn: Vec<Lesson>,
    drawings: usize,
    /// A sketch's beads once for each tray it was drafted with.
    sketched: Vec<Lesson>,
    sketches: usize,
}

/// Fits, tests on what was kept apart, and saves. `is_trial`: the choice is not everything there is.
///
/// # Errors
/// As [`save_all`]; [`Error::BadValue`] if no drawing could be drafted.
pub fn execute(target: &Path, replace: bool, choice: &Choice, is_trial: bool) -> Result<()> {
    super::check_target("--save", target, ".csv", &[], replace)?;
    let progress = Progress::start("drafting");
    let seen = learnt(&fitted(choice), &progress)?;
    let unseen = learnt(&kept(choice), &progress)?;
    progress.done();
    let all = weighed(seen.drawn.clone(), seen.sketched.clone());
    let calibration = Calibration::fit(&all).ok_or_else(|| Error::BadValue {
        option: "--fit",
        value: format!("{} beads", all.len()),
        why: "they do not settle the weights".into(),
        right: "name figures and manners that a fit may see, or leave --figure and --manner out".into(),
    })?;
    save_all(&[(target, calibration.to_csv().into_bytes())], replace)?;
    output::print(&format!(
        "fitted (seeds {} to {}):\n{}\n\nkept apart: {};\n  the manners {}; every other seed; the sketches {}:\n{}\n",
        FITTED_SEEDS.start,
        FITTED_SEEDS.end - 1,
        seen.judged(&calibration),
        KEPT_FIGURES.join(", "),
        KEPT_MANNERS.map(Manner::name).join(", "),
        KEPT_SKETCHES.join(", "),
        unseen.judged(&calibration),
    ))?;
    report::next(if is_trial {
        "smallcast measure --fit --save calibration.csv: this one saw only a part of what there is"
    } else {
        "build with it in the place of src/matching/calibration.csv, then smallcast measure"
    });
    Ok(())
}

/// What the fit sees of a choice; sketches once for each of its trays.
fn fitted(choice: &Choice) -> Vec<Source<'_>> {
    let drawn = choice
        .figures
        .iter()
        .flat_map(|figure| choice.manners.iter().map(move |&manner| (figure, manner)))
        .flat_map(|(figure, manner)| FITTED_SEEDS.map(move |seed| Trial { figure, manner, seed }))
        .filter(is_fitted);
    let sketched = choice.sketches.iter().filter(|sketch| is_fitted_sketch(sketch));
    let sketched = sketched.flat_map(|sketch| FITTED_SEEDS.map(move |seed| Source::Sketched(sketch, seed)));
    drawn.map(Source::Drawn).chain(sketched).collect()
}

/// Figures no fit sees, in every manner, from a seed no fit sees; and the sketches none sees.
fn kept(choice: &Choice) -> Vec<Source<'_>> {
    let figures = choice.figures.iter().filter(|figure| KEPT_FIGURES.contains(&figure.name.as_str()));
    let drawn = figures.flat_map(|figure| {
        choice.manners.iter().map(move |&manner| Trial { figure, manner, seed: KEPT_SEED })
    });
    let sketched = choice.sketches.iter().filter(|sketch| !is_fitted_sketch(sketch));
    drawn.map(Source::Drawn).chain(sketched.map(|sketch| Source::Sketched(sketch, KEPT_SEED))).collect()
}

fn learnt(sources: &[Source], progress: &Progress) -> Result<Learnt> {
    let embedded = Tray::embedded();
    let all = in_order(sources, progress, |source| {
        let (Source::Drawn(Trial { seed, .. }) | Source::Sketched(_, seed)) = source;
        let other = FITTED_SEEDS.contains(seed).then(|| fitted_tray(*seed));
        let tray = other.as_ref().unwrap_or(&embedded);
        let draft = match source {
            Source::Drawn(trial) => trial.draft(&trial.drawing(&embedded), tray),
            Source::Sketched(sketch, _) => sketch.draft(&sketch.picture()?, tray),
        };
        // What cannot be drafted teaches nothing of beads.
        Ok(draft.map_or_else(|_| Vec::new(), |draft| lessons(&draft, &scores(source, &draft, tray))))
    })?;
    let (mut drawn, mut sketched) = (Vec::new(), Vec::new());
    for (source, lessons) in sources.iter().zip(all) {
        match source {
            Source::Drawn(_) => drawn.extend(lessons),
            Source::Sketched(..) => sketched.extend(lessons),
        }
    }
    let drawings = sources.iter().filter(|source| matches!(source, Source::Drawn(_))).count();
    Ok(Learnt { drawn, drawings, sketched, sketches: sources.len() - drawings })
}

/// How near a draft comes to each answer.
fn scores(source: &Source, draft: &Draft, tray: &Tray) -> Vec<Score> {
    match source {
        Source::Drawn(trial) => vec![trial.score(Some(draft), tray)],
        Source::Sketched(sketch, _) => sketch.score(Some(draft), tray).into(),
    }
}

impl Learnt {
    fn judged(&self, calibration: &Calibration) -> String {
        let drawings = counted(self.drawings, "drawing", "s");
        let sketches = format!("{} of sketches", counted(self.sketches, "draft", "s"));
        format!(
            "{}\n{}",
            judged(&drawings, calibration, &self.drawn),
            judged(&sketches, calibration, &self.sketched)
        )
    }
}

/// How far the calibration can be trusted on some beads.
fn judged(of: &str, calibration: &Calibration, lessons: &[Lesson]) -> String {
    let beads: Vec<Judged> = lessons.iter().flat_map(|lesson| answers(calibration, lesson)).collect();
    let shown = |value: Option<f64>| value.map_or("-".into(), |value| format!("{value:.3}"));
    format!(
        "  {} beads of {of}: ECE {}, AUROC {}",
        lessons.len(),
        shown(calibration_error(&beads)),
        shown(ranking(&beads))
    )
}

/// A bead judged by two answers: those of a sketch may differ, that of a drawing is taken twice, which changes
/// neither number.
fn answers(calibration: &Calibration, lesson: &Lesson) -> [Judged; 2] {
    let confidence = calibration.confidence(&lesson.evidence).get();
    [0.25, 0.75].map(|least| Judged { confidence, right: lesson.kept > least, at: (Row(0), Column(0)) })
}

//! `smallcast measure --fit`: the calibration of confidence, fitted again.

use std::collections::BTreeSet;
use std::path::Path;

use rayon::prelude::*;

use smallcast::draft::Draft;
use smallcast::error::{Error, Result};
use smallcast::matching::{Calibration, Lesson};
use smallcast::score::{Judged, Score, calibration_error, ranking};
use smallcast::tray::Tray;
use smallcast::trial::{
    FITTED_SEEDS, KEPT_FIGURES, KEPT_MANNERS, KEPT_SKETCHES, Manner, Sketch, Trial, fitted_tray, is_fitted,
    is_fitted_sketch, lessons, weighed,
};
use smallcast::units::{Column, Row};

use super::measure_choice::Choice;
use super::measure_run::{counted, in_order};
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
    /// Each sketch's name and its beads, once for each tray it was drafted with.
    sketched: Vec<(String, Vec<Lesson>)>,
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
    let all = seen.but_for(None);
    let calibration = Calibration::fit(&all).ok_or_else(|| Error::BadValue {
        option: "--fit",
        value: format!("{} beads", all.len()),
        why: "there are too few beads to fit the weights".into(),
        right: "name figures and manners that a fit may see, or leave --figure and --manner out".into(),
    })?;
    save_all(&[(target, calibration.to_csv().into_bytes())], replace)?;
    output::print(&format!(
        "fitted (seeds {} to {}):\n{}\n{}\nkept apart (figures, manners, sketches, and every other seed):\n  \
         {}\n  {}\n  {}\n{}\n",
        FITTED_SEEDS.start,
        FITTED_SEEDS.end - 1,
        seen.judged(&calibration),
        seen.each_left_out(),
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
            Source::Sketched(sketch, _) => sketched.push((sketch.name.clone(), lessons)),
        }
    }
    Ok(Learnt { drawn, drawings: sources.len() - sketched.len(), sketched })
}

/// How near a draft comes to each answer.
fn scores(source: &Source, draft: &Draft, tray: &Tray) -> Vec<Score> {
    match source {
        Source::Drawn(trial) => vec![trial.score(Some(draft), tray)],
        Source::Sketched(sketch, _) => sketch.score(Some(draft), tray).into(),
    }
}

impl Learnt {
    /// All that a fit learns, except for one sketch.
    fn but_for(&self, left_out: Option<&str>) -> Vec<Lesson> {
        let others = self.sketched.iter().filter(|(name, _)| Some(name.as_str()) != left_out);
        weighed(self.drawn.clone(), others.flat_map(|(_, lessons)| lessons.iter().copied()).collect())
    }

    fn judged(&self, calibration: &Calibration) -> String {
        let drawings = counted(self.drawings, "drawing", "s");
        let sketches = format!("{} of sketches", counted(self.sketched.len(), "draft", "s"));
        let drawn = self.drawn.iter().flat_map(|lesson| answers(calibration, lesson)).collect();
        let sketched = self.sketched.iter().flat_map(|(_, lessons)| lessons);
        let sketched = sketched.flat_map(|lesson| answers(calibration, lesson)).collect();
        format!("{}\n{}", judged(&drawings, drawn), judged(&sketches, sketched))
    }

    /// How far confidence can be trusted on a sketch the fit has not seen: each judged by a fit on the others.
    /// Nothing where there are no others.
    fn each_left_out(&self) -> String {
        let names: BTreeSet<&str> = self.sketched.iter().map(|(name, _)| name.as_str()).collect();
        if names.len() < 2 {
            return String::new();
        }
        let names: Vec<&str> = names.into_iter().collect();
        let of = |name: &&str| -> Vec<Judged> {
            let Some(calibration) = Calibration::fit(&self.but_for(Some(name))) else { return Vec::new() };
            let own = self.sketched.iter().filter(|(sketch, _)| sketch == name);
            own.flat_map(|(_, lessons)| lessons).flat_map(|lesson| answers(&calibration, lesson)).collect()
        };
        let beads: Vec<Vec<Judged>> = names.par_iter().map(of).collect();
        format!("{}\n", judged("sketches, each by a fit on the others", beads.concat()))
    }
}

/// How far confidence can be trusted on some beads, each judged by two answers.
fn judged(of: &str, beads: Vec<Judged>) -> String {
    let shown = |value: Option<f64>| value.map_or("-".into(), |value| format!("{value:.3}"));
    format!(
        "  {} beads of {of}: ECE {}, AUROC {}",
        beads.len() / ANSWERS,
        shown(calibration_error(&beads)),
        shown(ranking(&beads))
    )
}

/// Answers that a bead is judged by.
const ANSWERS: usize = 2;

/// A bead judged by two answers: those of a sketch may differ, that of a drawing is taken twice, which changes
/// neither number.
fn answers(calibration: &Calibration, lesson: &Lesson) -> [Judged; ANSWERS] {
    let confidence = calibration.confidence(&lesson.evidence).get();
    [0.25, 0.75].map(|least| Judged { confidence, right: lesson.kept > least, at: (Row(0), Column(0)) })
}

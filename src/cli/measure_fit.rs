//! `smallcast measure --fit`: the calibration of confidence, fitted anew.

use std::path::Path;

use smallcast::error::{Error, Result};
use smallcast::matching::{Calibration, Evidence};
use smallcast::tray::Tray;
use smallcast::trial::{
    FITTED_SEEDS, Judged, KEPT_FIGURES, KEPT_MANNERS, KnownFigure, Manner, Trial, calibration_error,
    fitted_tray, fitted_trials, known_figures, lessons, ranking,
};
use smallcast::units::{Column, Row};

use super::measure_run::in_order;
use super::progress::Progress;
use super::{output, report, save_all};

/// What was known of each bead, and whether it was right.
type Lessons = Vec<(Evidence, bool)>;

/// Fits, tests on what was kept apart, and saves.
///
/// # Errors
/// As [`save_all`]; [`Error::BadValue`] if no drawing could be drafted.
pub fn execute(target: &Path, replace: bool) -> Result<()> {
    super::check_target("--save", target, ".csv", &[], replace)?;
    let figures = known_figures(&Tray::embedded())?;
    let (fitted, kept) = (fitted_trials(&figures), kept_trials(&figures));
    let progress = Progress::start("drafting");
    let seen = learnt(&fitted, &progress)?;
    let unseen = learnt(&kept, &progress)?;
    progress.done();
    let calibration = Calibration::fit(&seen).ok_or_else(|| Error::BadValue {
        option: "--fit",
        value: format!("{} beads", seen.len()),
        why: "they do not settle the weights".into(),
        right: "this is a fault of the program: its own drawings gave no drafts".into(),
    })?;
    save_all(&[(target, calibration.to_csv().into_bytes())], replace)?;
    output::print(&format!(
        "fitted to {} beads of {} drawings (seeds {} to {})\n{}\n\nkept apart: {};\n  the manners {}; every other \
         seed. On {} beads of {} drawings of those:\n{}\n",
        seen.len(),
        fitted.len(),
        FITTED_SEEDS.start,
        FITTED_SEEDS.end - 1,
        judged(&calibration, &seen),
        KEPT_FIGURES.join(", "),
        KEPT_MANNERS.map(Manner::name).join(", "),
        unseen.len(),
        kept.len(),
        judged(&calibration, &unseen),
    ))?;
    report::next("build with it in the place of src/matching/calibration.csv, then smallcast measure");
    Ok(())
}

/// Figures no fit sees, in every manner, from a seed no fit sees.
fn kept_trials(figures: &[KnownFigure]) -> Vec<Trial<'_>> {
    let kept = figures.iter().filter(|figure| KEPT_FIGURES.contains(&figure.name.as_str()));
    kept.flat_map(|figure| Manner::ALL.map(|manner| Trial { figure, manner, seed: 0 })).collect()
}

fn learnt(trials: &[Trial], progress: &Progress) -> Result<Lessons> {
    let tray = Tray::embedded();
    let all = in_order(trials, progress, |trial| {
        let other = FITTED_SEEDS.contains(&trial.seed).then(|| fitted_tray(trial.seed));
        let used = other.as_ref().unwrap_or(&tray);
        // What cannot be drafted teaches nothing of beads.
        let draft = trial.draft(&trial.drawing(&tray), used).ok();
        Ok(draft.map_or_else(Vec::new, |draft| lessons(&draft, &trial.score(Some(&draft), used))))
    })?;
    Ok(all.into_iter().flatten().collect())
}

fn judged(calibration: &Calibration, lessons: &Lessons) -> String {
    let beads: Vec<Judged> = lessons
        .iter()
        .map(|(evidence, right)| Judged {
            confidence: calibration.confidence(evidence).get(),
            right: *right,
            at: (Row(0), Column(0)),
        })
        .collect();
    let shown = |value: Option<f64>| value.map_or("-".into(), |value| format!("{value:.3}"));
    format!("  ECE {}, AUROC {}", shown(calibration_error(&beads)), shown(ranking(&beads)))
}

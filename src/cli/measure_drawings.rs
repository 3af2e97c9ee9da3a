//! Drawings of known figures, and sketches, drafted and scored for `smallcast measure`, and kept where that is asked.

use std::fs;
use std::path::{Path, PathBuf};

use smallcast::draft::Draft;
use smallcast::error::{Error, Result};
use smallcast::score::mean_of;
use smallcast::sheet::{draft_picture, png};
use smallcast::tray::Tray;
use smallcast::trial::{KEPT_SKETCHES, SKETCH, Sketch, Trial};

use super::measure_choice::Job;
use super::measure_run::{PLAIN, Trialled, drawing_name, timed};
use super::save_all;

/// Drafts and scores one drawing or sketch, and keeps its pictures where that was asked for.
///
/// # Errors
/// [`Error::Unwritable`] or [`Error::Exists`] of a picture to keep; a drawing that gave no draft is no error.
pub fn of_job(job: &Job, baseline: bool, drawings: Option<&Drawings>, tray: &Tray) -> Result<Trialled> {
    match job {
        Job::Drawn(trial) => of_trial(trial, baseline, drawings, tray),
        Job::Sketched(sketch) => of_sketch(sketch, baseline, drawings, tray),
    }
}

fn of_trial(trial: &Trial, baseline: bool, drawings: Option<&Drawings>, tray: &Tray) -> Result<Trialled> {
    let drawing = trial.drawing(tray);
    let (draft, seconds) = timed(|| trial.draft(&drawing, tray));
    if let Some(drawings) = drawings {
        let name = job_name(&Job::Drawn(*trial));
        let (ending, bytes) = match &drawing.jpeg {
            Some(bytes) => ("jpg", bytes.clone()),
            None => ("png", png(&drawing.pixels)),
        };
        drawings.save(&name, (ending, bytes), draft.as_ref().ok(), tray)?;
    }
    let plain = baseline.then(|| PLAIN.map(|method| trial.score_plain(method, &drawing, tray).mend as f64));
    Ok(Trialled {
        figure: trial.figure.name.clone(),
        manner: Some(trial.manner.name()),
        seed: Some(trial.seed),
        scores: vec![trial.score(draft.as_ref().ok(), tray)],
        apart: None,
        fitted: None,
        seconds,
        sheet: trial.sheet_score(&drawing, draft.as_ref().ok()),
        setting: drawing.setting.map(|setting| setting.to_string()),
        failed: draft.err().map(|error| error.to_string()),
        plain,
    })
}

fn of_sketch(sketch: &Sketch, baseline: bool, drawings: Option<&Drawings>, tray: &Tray) -> Result<Trialled> {
    let picture = sketch.picture()?;
    let (draft, seconds) = timed(|| sketch.draft(&picture, tray));
    if let Some(drawings) = drawings {
        let bytes = sketch.bytes().to_vec();
        let ending = sketch.file.rsplit_once('.').map_or("", |(_, ending)| ending);
        let name = job_name(&Job::Sketched(sketch));
        drawings.save(&name, (ending, bytes), draft.as_ref().ok(), tray)?;
    }
    let plainly = |method| mean_of(&sketch.score_plain(method, &picture, tray), |score| score.mend as f64);
    Ok(Trialled {
        figure: sketch.name.clone(),
        manner: Some(SKETCH),
        seed: None,
        scores: sketch.score(draft.as_ref().ok(), tray).into(),
        apart: Some(sketch.apart(tray)),
        fitted: Some(!KEPT_SKETCHES.contains(&sketch.name.as_str())),
        seconds,
        failed: draft.err().map(|error| error.to_string()),
        plain: baseline.then(|| PLAIN.map(plainly)),
        sheet: None,
        setting: None,
    })
}

fn job_name(job: &Job) -> String {
    match job {
        Job::Drawn(trial) => drawing_name(&trial.figure.name, trial.manner.name(), trial.seed),
        Job::Sketched(sketch) => format!("{}-{SKETCH}", sketch.name),
    }
}

/// Where drawings and the pictures of their drafts are kept.
pub struct Drawings<'a> {
    /// The folder.
    pub folder: &'a Path,
    /// Whether files that are there may be written over.
    pub replace: bool,
}

impl Drawings<'_> {
    /// Makes the folder, and sees before the work that nothing would be written over.
    ///
    /// # Errors
    /// [`Error::Unwritable`]; [`Error::Exists`].
    pub fn check(&self, jobs: &[Job]) -> Result<()> {
        fs::create_dir_all(self.folder).map_err(|e| Error::Unwritable {
            file: self.folder.display().to_string(),
            why: if self.folder.exists() { "it is not a folder".into() } else { e.kind().to_string() },
        })?;
        if self.replace {
            return Ok(());
        }
        for name in jobs.iter().map(job_name) {
            let there = ["png", "jpg", "draft.png"].map(|ending| self.file(&name, ending));
            if let Some(file) = there.iter().find(|file| fs::symlink_metadata(file).is_ok()) {
                return Err(Error::Exists { file: file.display().to_string() });
            }
        }
        Ok(())
    }

    fn file(&self, name: &str, ending: &str) -> PathBuf {
        self.folder.join(format!("{name}.{ending}"))
    }

    /// Saves a drawing, of which the ending and the bytes are given, and the picture of its draft.
    fn save(
        &self,
        name: &str,
        (ending, bytes): (&str, Vec<u8>),
        draft: Option<&Draft>,
        tray: &Tray,
    ) -> Result<()> {
        let (drawn, shown) = (self.file(name, ending), self.file(name, "draft.png"));
        let mut files = vec![(drawn.as_path(), bytes)];
        files.extend(draft.map(|draft| (shown.as_path(), png(&draft_picture(draft, tray)))));
        save_all(&files, self.replace)
    }
}

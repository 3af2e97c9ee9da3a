//! From evidence to confidence: a logistic fit to drawings of known figures.
//!
//! Logistic regression on each piece of evidence and its square (Cox 1958), fitted by Newton's method with a
//! small ridge. The weights are data, written by `smallcast measure --fit`.

use std::sync::LazyLock;

use crate::matching::evidence::{EVIDENCE, EVIDENCE_NAMES, Evidence, is_told_of_sketches};
use crate::units::Confidence;

/// Terms of the fit: a start, each evidence, each evidence squared.
const TERMS: usize = 1 + 2 * EVIDENCE;

/// The fit that is shipped.
static SHIPPED: LazyLock<Calibration> = LazyLock::new(|| {
    // A test reads the shipped file; it is part of the program.
    Calibration::parse(include_str!("calibration.csv")).expect("the shipped calibration is whole")
});

/// What a fit learns from one bead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lesson {
    /// What was known of it.
    pub evidence: Evidence,
    /// How far it was right, 0 to 1: between them where answers differ.
    pub kept: f64,
    /// How many beads it stands for, above 0.
    pub weight: f64,
}

/// Weights that turn evidence into confidence.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    weights: [f64; TERMS],
}

impl Calibration {
    /// The calibration this program was built with.
    pub fn shipped() -> &'static Self {
        &SHIPPED
    }

    /// How likely a maker keeps a bead, from what is known of it.
    pub fn confidence(&self, evidence: &Evidence) -> Confidence {
        /// No bead is as sure as one settled by hand, none is hopeless.
        const SUREST: f64 = 0.999;
        const LEAST: f64 = 0.01;
        Confidence::new(logistic(dot(&self.weights, &terms(evidence))).clamp(LEAST, SUREST))
    }

    /// Fits beads of which is known how far they were right; nothing of no beads. The same beads in the same
    /// order give the same weights.
    pub fn fit(beads: &[Lesson]) -> Option<Self> {
        /// Newton's method settles in ten; more harm nothing.
        const ROUNDS: usize = 25;
        /// A step of no weight larger than this changes no confidence that is shown.
        const SETTLED: f64 = 1e-9;
        let mut weights = [0.0; TERMS];
        if beads.is_empty() {
            return None;
        }
        for _ in 0..ROUNDS {
            let mut slope = [0.0; TERMS];
            let mut curve = vec![[0.0; TERMS]; TERMS];
            for lesson in beads {
                let terms = terms(&lesson.evidence);
                let p = logistic(dot(&weights, &terms));
                let (off, weight) = (lesson.weight * (lesson.kept - p), lesson.weight * p * (1.0 - p));
                // Half of the evidence is of the other way of reading, and 0.
                for i in (0..TERMS).filter(|&i| terms[i] != 0.0) {
                    slope[i] += off * terms[i];
                    for j in 0..=i {
                        curve[i][j] += weight * terms[i] * terms[j];
                    }
                }
            }
            for i in 1..TERMS {
                slope[i] -= ridge(i) * weights[i];
                curve[i][i] += ridge(i);
            }
            let step = solved(&curve, &slope)?;
            (0..TERMS).for_each(|i| weights[i] += step[i]);
            if step.iter().all(|by| by.abs() < SETTLED) {
                break;
            }
        }
        Some(Self { weights })
    }

    /// The weights as a CSV file: what, weight, weight of its square.
    pub fn to_csv(&self) -> String {
        let mut text = format!("evidence,weight,weight of its square\nstart,{:.6},0\n", self.weights[0]);
        for (at, name) in EVIDENCE_NAMES.iter().enumerate() {
            let (plain, square) = (self.weights[1 + at], self.weights[1 + EVIDENCE + at]);
            text.push_str(&format!("{name},{plain:.6},{square:.6}\n"));
        }
        text
    }

    /// Reads such a file; nothing if a line is missing, misnamed or holds no numbers.
    pub fn parse(text: &str) -> Option<Self> {
        let mut lines = text.lines().skip(1);
        let mut next = |name: &str| -> Option<(f64, f64)> {
            let mut cells = lines.next()?.split(',');
            let named = cells.next()? == name;
            let (plain, square) = (cells.next()?.parse().ok()?, cells.next()?.parse().ok()?);
            named.then_some((plain, square))
        };
        let mut weights = [0.0; TERMS];
        weights[0] = next("start")?.0;
        for (at, name) in EVIDENCE_NAMES.iter().enumerate() {
            (weights[1 + at], weights[1 + EVIDENCE + at]) = next(name)?;
        }
        Some(Self { weights })
    }
}

/// Ridge on the weight of a term, which is not the start: holds weights that the beads do not determine near 0.
fn ridge(term: usize) -> f64 {
    /// Tens of thousands of beads of a hundred drawings hold their weights themselves.
    const DRAWN: f64 = 1.0;
    /// A few sketches have as many beads, but each of them strays as a whole: what one bead says is held by as much as
    /// thirty beads. Of 1, 30 and 150, each sketch judged by a fit on the others was off least from 30 on.
    const SKETCHED: f64 = 30.0;
    if is_told_of_sketches((term - 1) % EVIDENCE) { SKETCHED } else { DRAWN }
}

/// From evidence to probability.
pub(super) fn logistic(evidence: f64) -> f64 {
    1.0 / (1.0 + (-evidence).exp())
}

fn terms(evidence: &Evidence) -> [f64; TERMS] {
    let mut terms = [1.0; TERMS];
    for (at, value) in evidence.0.iter().enumerate() {
        terms[1 + at] = *value;
        terms[1 + EVIDENCE + at] = value * value;
    }
    terms
}

fn dot(weights: &[f64; TERMS], terms: &[f64; TERMS]) -> f64 {
    weights.iter().zip(terms).map(|(w, t)| w * t).sum()
}

/// Solves a symmetric positive definite system given by its lower half (Cholesky); nothing if it is not.
fn solved(matrix: &[[f64; TERMS]], right: &[f64; TERMS]) -> Option<[f64; TERMS]> {
    let mut lower = [[0.0; TERMS]; TERMS];
    for i in 0..TERMS {
        for j in 0..=i {
            let sum: f64 = (0..j).map(|k| lower[i][k] * lower[j][k]).sum();
            let rest = matrix[i][j] - sum;
            lower[i][j] = if i == j { (rest > 0.0).then(|| rest.sqrt())? } else { rest / lower[j][j] };
        }
    }
    let mut found = *right;
    for i in 0..TERMS {
        let sum: f64 = (0..i).map(|k| lower[i][k] * found[k]).sum();
        found[i] = (found[i] - sum) / lower[i][i];
    }
    for i in (0..TERMS).rev() {
        let sum: f64 = (i + 1..TERMS).map(|k| lower[k][i] * found[k]).sum();
        found[i] = (found[i] - sum) / lower[i][i];
    }
    Some(found)
}

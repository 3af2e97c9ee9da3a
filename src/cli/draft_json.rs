//! The JSON document of `smallcast draft`; its fields are described in the README.

use serde::Serialize;
use smallcast::colour::Lab;
use smallcast::draft::Draft;
use smallcast::grid::Grid;
use smallcast::matching::MatchedBead;
use smallcast::reference::Step;
use smallcast::sample::Proportions;
use smallcast::tray::{BeadId, Tray};

/// The document's layout; grows when a reader would have to change.
const FORMAT: u32 = 1;

#[derive(Serialize)]
pub struct Document<'a> {
    format: u32,
    picture: &'a str,
    /// The used part in pixels of the upright picture: x, y, width, height.
    crop: [u32; 4],
    /// How the figure was told from what is about it.
    found: &'static str,
    /// Whether a page's printed rules were taken out.
    rules_taken_out: bool,
    proportions: &'static str,
    zones: Option<String>,
    /// Pixel rows at which the zones begin and end, as `--marks` takes them.
    marks: Option<String>,
    /// Names of beads, row by row; null where there is none.
    rows: Vec<Vec<Option<&'a str>>>,
    /// The same grid: how likely each bead is kept, 0 to 1.
    confidence: Vec<Vec<Option<f64>>>,
    /// The same grid: what else each place could be, likeliest first.
    runners_up: Vec<Vec<Option<Vec<Other<'a>>>>>,
    sure: f64,
    lattice_certainty: f64,
    legend: Vec<Line<'a>>,
    warnings: Vec<Said>,
}

#[derive(Serialize)]
struct Other<'a> {
    /// Null: an empty peg.
    bead: Option<&'a str>,
    confidence: f64,
}

#[derive(Serialize)]
struct Line<'a> {
    mark: char,
    bead: &'a str,
    count: usize,
    aim: [f64; 3],
    difference: f64,
    confidence: f64,
    runner_up: Option<RunnerUp<'a>>,
}

#[derive(Serialize)]
struct RunnerUp<'a> {
    bead: &'a str,
    lost_by: f64,
}

#[derive(Serialize)]
struct Said {
    name: &'static str,
    text: String,
}

/// Everything a script may want of a draft.
pub fn document<'a>(picture: &'a str, draft: &Draft, tray: &'a Tray) -> Document<'a> {
    let name = |id: BeadId| tray.bead(id).name.as_str();
    let beads = draft.matched.beads();
    let others = |bead: &MatchedBead| {
        let other = |r: &smallcast::matching::RunnerUp| Other {
            bead: r.bead.map(name),
            confidence: r.confidence.get(),
        };
        bead.runners_up.iter().map(other).collect()
    };
    let lattice = draft.samples.lattice();
    Document {
        format: FORMAT,
        picture,
        crop: draft.reference.used(),
        found: match draft.reference.step() {
            Step::CutOut => "cut-out",
            Step::PlainGround => "plain ground",
            Step::Sheet => "sheet",
            Step::Paper => "paper",
            Step::AsTaken => "as taken",
        },
        rules_taken_out: draft.reference.is_ruled(),
        proportions: match lattice.proportions() {
            Proportions::AsDrawn => "as drawn",
            Proportions::MarksGiven => "marks given",
            Proportions::MarksGuessed => "marks guessed",
        },
        zones: draft.zones.map(|zones| zones.to_string()),
        marks: draft.marks().map(|marks| marks.to_string()),
        rows: nested(beads, |bead| name(bead.bead)),
        confidence: nested(beads, |bead| bead.confidence.get()),
        runners_up: nested(beads, others),
        sure: draft.matched.confidence().get(),
        lattice_certainty: lattice.certainty(),
        legend: legend(draft, tray),
        warnings: draft.warnings.iter().map(|w| Said { name: w.name(), text: w.to_string() }).collect(),
    }
}

fn legend<'a>(draft: &Draft, tray: &'a Tray) -> Vec<Line<'a>> {
    let name = |id: BeadId| tray.bead(id).name.as_str();
    let line = |line: &smallcast::draft::LegendLine| {
        let Lab { l, a, b } = line.aim;
        Line {
            mark: line.mark.get(),
            bead: name(line.bead),
            count: line.count,
            aim: [l, a, b],
            difference: line.difference.0,
            confidence: line.confidence.get(),
            runner_up: line.runner_up.map(|(bead, lost_by)| RunnerUp { bead: name(bead), lost_by }),
        }
    };
    draft.legend.iter().map(line).collect()
}

fn nested<T>(beads: &Grid<Option<MatchedBead>>, of: impl Fn(&MatchedBead) -> T) -> Vec<Vec<Option<T>>> {
    let mut rows: Vec<Vec<Option<T>>> = (0..beads.rows()).map(|_| Vec::new()).collect();
    for (row, _, bead) in beads.iter() {
        rows[row.0].push(bead.as_ref().map(&of));
    }
    rows
}

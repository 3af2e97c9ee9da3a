//! What `smallcast draft` prints for a person: the figure, its legend, and where to look first.

use std::path::Path;

use smallcast::draft::{Draft, LegendLine};
use smallcast::matching::MatchedBead;
use smallcast::sample::Proportions;
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

use super::figure_text::figure;
use super::output::Paint;
use super::report::plain;
use super::table::{Side, Table, cut};

/// Doubtful beads named at the end: enough to start with, few enough to read.
const MOST_DOUBTS: usize = 5;

/// Below this a bead is named as doubtful.
const DOUBTFUL: f64 = 0.7;

/// The whole report, in `width` columns.
pub fn report(file: &str, size: &str, draft: &Draft, tray: &Tray, paint: Paint, width: usize) -> String {
    let beads: usize = draft.legend.iter().map(|line| line.count).sum();
    let name = Path::new(file).file_name().map_or(file.into(), |name| name.to_string_lossy());
    let title = format!("{}: {size}, {beads} beads, {} sure", plain(&name), draft.matched.confidence());
    [
        format!("{}\n{}\n", paint.heading(&cut(&title, width)), paint.faint(&cut(&how(draft), width))),
        figure(draft, tray, paint, width),
        legend(draft, tray, paint, width),
        doubts(draft, tray, paint, width),
    ]
    .join("\n")
}

/// What was done to the picture, in one line.
fn how(draft: &Draft) -> String {
    let proportions = match draft.samples.lattice().proportions() {
        Proportions::AsDrawn if draft.zones.is_some() => "it is drawn in bead proportions",
        Proportions::AsDrawn => "kept the drawing's own proportions",
        Proportions::MarksGiven => "stretched it to the plan by your marks",
        Proportions::MarksGuessed => "guessed its landmarks",
    };
    format!("{}; {proportions}.", draft.reference.step().describe())
}

fn legend(draft: &Draft, tray: &Tray, paint: Paint, width: usize) -> String {
    let mut table = Table::new(&[
        ("mark", Side::Left),
        ("bead", Side::Left),
        ("count", Side::Right),
        ("asked for", Side::Left),
        ("apart", Side::Right),
        ("sure", Side::Right),
        ("next best", Side::Left),
    ]);
    for line in &draft.legend {
        let bead = tray.bead(line.bead);
        let cells = vec![
            line.mark.get().to_string(),
            bead.name.clone(),
            line.count.to_string(),
            line.aim.srgb().to_string(),
            line.difference.to_string(),
            line.confidence.to_string(),
            next_best(line, tray),
        ];
        table.row(&[line.aim.srgb(), bead.lab.srgb()], cells);
    }
    const BEAD: usize = 1;
    const NEXT_BEST: usize = 6;
    table.render(paint, width, &[NEXT_BEST, BEAD])
}

fn next_best(line: &LegendLine, tray: &Tray) -> String {
    match line.runner_up {
        Some((bead, lost)) if lost >= 0.0 => format!("{}, {lost:.1} farther", tray.bead(bead).name),
        Some((bead, lost)) => format!("{}, {:.1} nearer: kept apart", tray.bead(bead).name, -lost),
        None => "none".into(),
    }
}

/// The least sure beads, worst first.
fn doubts(draft: &Draft, tray: &Tray, paint: Paint, width: usize) -> String {
    let mut doubtful: Vec<(Row, Column, &MatchedBead)> = draft
        .matched
        .beads()
        .iter()
        .filter_map(|(row, column, bead)| bead.as_ref().map(|bead| (row, column, bead)))
        .filter(|(_, _, bead)| bead.confidence.get() < DOUBTFUL)
        .collect();
    doubtful.sort_by(|a, b| a.2.confidence.get().total_cmp(&b.2.confidence.get()));
    if doubtful.is_empty() {
        return "No bead is less than 70 % sure; your eye decides all the same.\n".into();
    }
    let count = doubtful.len();
    let plural = if count == 1 { "bead is" } else { "beads are" };
    let mut text = paint.heading(&format!("Look here first: {count} {plural} less than 70 % sure"));
    text.push('\n');
    for (row, column, bead) in doubtful.into_iter().take(MOST_DOUBTS) {
        let other = bead.runners_up.first().map_or(String::new(), |other| {
            let name = other.bead.map_or("an empty peg", |id| tray.bead(id).name.as_str());
            format!(", or {name}")
        });
        let line = format!(
            "  row {}, column {}: {} ({}){other}",
            row.0 + 1,
            column.0 + 1,
            tray.bead(bead.bead).name,
            bead.confidence
        );
        text.push_str(&cut(&line, width));
        text.push('\n');
    }
    text
}

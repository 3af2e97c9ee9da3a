//! What `smallcast draft` prints for a person: the figure, its legend, and where to look first.

use std::path::Path;

use smallcast::draft::{Draft, LegendLine, Traded};
use smallcast::reference::{Photograph, Sheet, Step, in_words};
use smallcast::sample::Proportions;
use smallcast::tray::{BeadId, Tray};

use super::draft_decisions;
use super::figure_text::of_draft;
use super::output::Paint;
use super::report::plain;
use super::table::{Side, Table, headline, indented, wrapped};

/// What two columns of the legend measure, for those who have not met them.
const COLUMNS: &str = "apart: CIEDE2000 between the colour asked for and the bead; 1 can just be seen side by side, 5 is \
                       another colour. sure: how likely you would keep the bead.";

/// The whole report, in `width` columns; `references` is what several of them say, or nothing.
pub fn report(
    (file, size): (&str, &str),
    draft: &Draft,
    references: Option<String>,
    tray: &Tray,
    paint: Paint,
    width: usize,
) -> String {
    let beads: usize = draft.legend.iter().map(|line| line.count).sum();
    let name = Path::new(file).file_name().map_or(file.into(), |name| name.to_string_lossy());
    let plural = if beads == 1 { "bead" } else { "beads" };
    let title = format!("{}: {size}, {beads} {plural}, {} sure", plain(&name), draft.matched.confidence());
    let done = [Some(how(draft)), sheet(draft)].into_iter().flatten().collect::<Vec<_>>().join("\n");
    let said: Vec<String> = done.lines().map(|line| wrapped(line, width)).collect();
    let heading = format!("{}\n{}\n", headline(&title, paint, width), paint.faint(&said.join("\n")));
    let legend = legend(draft, tray, paint, width) + &paint.faint(&wrapped(COLUMNS, width)) + "\n";
    let mut parts = vec![heading, of_draft(draft, tray, paint, width), legend];
    parts.extend(traded(draft, tray, paint, width));
    parts.extend(references);
    parts.push(draft_decisions::report(draft, tray, paint, width));
    parts.join("\n")
}

/// One of several people: its number and size, the figure and its legend.
pub fn short(
    (number, size): (usize, &str),
    draft: &Draft,
    tray: &Tray,
    paint: Paint,
    width: usize,
) -> String {
    let beads: usize = draft.legend.iter().map(|line| line.count).sum();
    let title = format!("{number}: {size}, {beads} beads, {} sure", draft.matched.confidence());
    let heading = format!("{}\n", headline(&title, paint, width));
    [heading, of_draft(draft, tray, paint, width), legend(draft, tray, paint, width)].join("\n")
}

/// What was done to the picture. Guessed landmarks are given as they could be typed, for mending.
fn how(draft: &Draft) -> String {
    let proportions = match draft.samples.lattice().proportions() {
        Proportions::AsDrawn if draft.zones.is_some() => "it is drawn in bead proportions",
        Proportions::AsDrawn => "kept the drawing's own proportions",
        Proportions::MarksGiven => "stretched it to the plan by your marks",
        Proportions::MarksGuessed => {
            let marks = draft.marks().map_or(String::new(), |marks| marks.to_string());
            let unsure = unsure_landmarks(draft);
            return format!(
                "{}; guessed its landmarks{unsure}. To correct them: --marks {marks}",
                done(draft)
            );
        }
    };
    format!("{}; {proportions}.", done(draft))
}

/// Where the sheet was found, as it could be typed, for mending; what was given is known.
fn sheet(draft: &Draft) -> Option<String> {
    let Sheet { corners, confidence } = draft.reference.sheet()?;
    if draft.reference.step() == Step::SheetGiven {
        return None;
    }
    let in_view = |photograph: &Photograph| corners.points().into_iter().all(|place| photograph.shows(place));
    // The option stands on a line of its own, to be pasted whole; what lies outside could not be typed.
    Some(match draft.reference.photograph().is_some_and(in_view) {
        true => format!("The sheet is {confidence} sure. To correct its corners:\n--corners {corners}"),
        false => {
            format!("The sheet is {confidence} sure and goes on beyond the picture; its corners:\n{corners}")
        }
    })
}

/// The landmarks to look at first, in words.
fn unsure_landmarks(draft: &Draft) -> String {
    /// Below this a landmark is worth a look.
    const SURE: f64 = 0.7;
    let found = draft.landmarks();
    let unsure = found.iter().filter(|(_, _, confidence)| confidence.get() < SURE);
    let mut said: Vec<String> =
        unsure.map(|(landmark, _, confidence)| format!("{} {confidence} sure", landmark.name())).collect();
    match said.len() {
        0 => return String::new(),
        few if few < found.len() => said.push("the others surer".into()),
        _ => {}
    }
    format!(" ({})", said.join(", "))
}

/// What was done to the picture.
fn done(draft: &Draft) -> String {
    let rules = if draft.reference.is_ruled() { "; removed the page's printed lines" } else { "" };
    let left_out =
        in_words(draft.reference.left_out()).map_or(String::new(), |what| format!("; left out {what}"));
    format!("{}{rules}{left_out}", draft.reference.step().describe())
}

/// The legend; on a narrow terminal without its last columns.
fn legend(draft: &Draft, tray: &Tray, paint: Paint, width: usize) -> String {
    /// Columns that hold all titles, with room for a bead's name behind the last.
    const FOR_NEXT_BEST: usize = 76;
    const FOR_ASKED: usize = 54;
    let mut titles = vec![("mark", Side::Left), ("bead", Side::Left), ("count", Side::Right)];
    if width >= FOR_ASKED {
        titles.push(("asked for", Side::Left));
    }
    titles.extend([("apart", Side::Right), ("sure", Side::Right)]);
    if width >= FOR_NEXT_BEST {
        titles.push(("next best", Side::Left));
    }
    let mut table = Table::new(&titles);
    for line in &draft.legend {
        let bead = tray.bead(line.bead);
        let cell = |title: &str| match title {
            "mark" => line.mark.get().to_string(),
            "bead" => bead.name.clone(),
            "count" => line.count.to_string(),
            "asked for" => line.aim.srgb().to_string(),
            "apart" => line.difference.to_string(),
            "sure" => line.confidence.to_string(),
            _ => next_best(line, tray),
        };
        table.row(&[line.aim.srgb(), bead.lab.srgb()], titles.iter().map(|(title, _)| cell(title)).collect());
    }
    const BEAD: usize = 1;
    let last = titles.len() - 1;
    table.render(paint, width, &[last, BEAD])
}

/// Colours that got another bead than the nearest, so that parts that touch differ.
fn traded(draft: &Draft, tray: &Tray, paint: Paint, width: usize) -> Option<String> {
    let traded = draft.traded();
    if traded.is_empty() {
        return None;
    }
    let name = |bead: BeadId| plain(&tray.bead(bead).name);
    let title = "* Not the nearest bead: parts that touch must look different";
    let mut lines = vec![paint.heading(&wrapped(title, width))];
    lines.extend(traded.iter().map(|Traded { part, beside, trade }| {
        let colours = draft.matched.colours();
        let said = format!(
            "{part} {}: {} instead of {}, {:.1} farther; it touches {} ({beside})",
            colours[trade.colour].aim.srgb(),
            name(trade.taken.bead),
            name(trade.nearest.bead),
            trade.given_up(),
            name(colours[trade.beside].chosen.bead),
        );
        indented(&said, width)
    }));
    lines.push(String::new());
    Some(lines.join("\n"))
}

fn next_best(line: &LegendLine, tray: &Tray) -> String {
    match line.runner_up {
        Some((bead, lost)) if lost >= 0.0 => format!("{}, {lost:.1} farther", tray.bead(bead).name),
        Some((bead, lost)) => {
            let star = if line.kept_apart { " *" } else { "" };
            format!("{}, {:.1} nearer{star}", tray.bead(bead).name, -lost)
        }
        None => "none".into(),
    }
}

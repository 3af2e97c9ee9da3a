//! What `smallcast measure` prints for a person.

use smallcast::score::Sheets;

use super::measure_run::{Beside, FalseSheets, Line};
use super::output::Paint;
use super::report::plain;
use super::table::{Side, Table, headline, wrapped};

/// What the columns are, for those who have not met them.
const IN_WORDS: &str = "right: beads that are the same; mend: beads to change, add or take off, on average and \
as the median; overlap: of the silhouettes; apart: mean CIEDE2000 of beads in their place; ECE: how \
    far confidence is off, 0 is best; AUROC: whether right beads are surer than wrong ones, 1 is best; caught: \
    wrong beads among the least sure fifth; s: seconds for one draft.";

/// The first column, which is cut where the terminal is narrow.
const NAME: usize = 0;

/// The whole report, in `width` columns; `kind` says what a line is.
pub fn report(
    (kind, title): (&'static str, &str),
    lines: &[Line],
    all: &Line,
    beside: &Beside,
    paint: Paint,
    width: usize,
) -> String {
    let rows: Vec<&Line> = lines.iter().chain([all]).collect();
    // Where each line is one draft, the title says how many there are.
    let count = rows.iter().rev().skip(1).any(|line| line.summary.drafts != 1);
    let mut parts = vec![
        format!(
            "{}\n{}",
            headline(&plain(title), paint, width),
            scores(kind, &rows, count).render(paint, width, &[NAME])
        ),
        format!("{}\n", paint.faint(&wrapped(IN_WORDS, width))),
    ];
    if let Some(yardstick) = &beside.yardstick {
        parts.insert(1, format!("{}\n", paint.faint(&wrapped(yardstick, width))));
    }
    let sheets = lines.iter().filter_map(of_sheets).chain(beside.bare.map(of_bare));
    let sheets: Vec<String> = sheets.map(|said| wrapped(&said, width)).collect();
    if !sheets.is_empty() {
        parts.insert(1, format!("{}\n", sheets.join("\n")));
    }
    if let Some(table) = beside_plain(kind, &rows) {
        let title = paint.heading("Beads to mend, beside two plain methods");
        parts.push(format!("{title}\n{}", table.render(paint, width, &[NAME])));
    }
    parts.join("\n")
}

/// How many of a line's sheets were found, and how nearly.
fn of_sheets(line: &Line) -> Option<String> {
    let Sheets { drawn, found, off } = line.sheets?;
    let off = off.map_or(String::new(), |off| {
        format!(", their corners off by {:.2} % of the sheet's longer side on average", off * 100.0)
    });
    Some(format!("{}: {found} of {drawn} sheets found{off}", plain(&line.name)))
}

/// How many pictures without a sheet were taken for one.
fn of_bare(FalseSheets { pictures, taken }: FalseSheets) -> String {
    format!("without a sheet: {taken} of {pictures} pictures taken for one")
}

fn scores(kind: &'static str, rows: &[&Line], count: bool) -> Table {
    let mut titles = vec![(kind, Side::Left)];
    let numbers = ["drafts", "right", "mend", "median", "overlap", "apart", "ECE", "AUROC", "caught", "s"];
    titles.extend(numbers.into_iter().filter(|title| count || *title != "drafts").map(|t| (t, Side::Right)));
    let mut table = Table::new(&titles);
    for line in rows {
        let of = &line.summary;
        let cell = |title: &str| match title {
            "drafts" => of.drafts.to_string(),
            "right" => share(Some(of.right)),
            "mend" => beads(of.mend),
            "median" => beads(of.mend_median),
            "overlap" => share(Some(of.overlap)),
            "apart" => format!("{:.1}", of.difference),
            "ECE" => thousandths(of.calibration),
            "AUROC" => thousandths(of.ranking),
            "caught" => share(of.caught),
            "s" => seconds(line.seconds),
            _ => plain(&line.name),
        };
        table.row(&[], titles.iter().map(|(title, _)| cell(title)).collect());
    }
    table
}

fn beside_plain(kind: &'static str, rows: &[&Line]) -> Option<Table> {
    let titles = [
        (kind, Side::Left),
        ("smallcast", Side::Right),
        ("box average", Side::Right),
        ("majority", Side::Right),
    ];
    let mut table = Table::new(&titles);
    for line in rows {
        let [average, majority] = line.plain?;
        table.row(&[], vec![plain(&line.name), beads(line.summary.mend), beads(average), beads(majority)]);
    }
    Some(table)
}

const NONE: &str = "-";

fn share(part: Option<f64>) -> String {
    part.map_or(NONE.into(), |part| format!("{:.0} %", part * 100.0))
}

fn thousandths(value: Option<f64>) -> String {
    value.map_or(NONE.into(), |value| format!("{value:.3}"))
}

/// In four columns up to 9999: the table has just room for them.
pub fn beads(count: f64) -> String {
    if count < 99.95 { format!("{count:.1}") } else { format!("{count:.0}") }
}

/// In four columns up to 9999, as [`beads`].
fn seconds(value: f64) -> String {
    if value < 9.995 { format!("{value:.2}") } else { beads(value) }
}

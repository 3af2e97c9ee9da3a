//! What `smallcast draft --choices` prints for a person: the readings and in what they differ.

use std::path::Path;

use smallcast::draft::Choice;

use super::output::Paint;
use super::report::plain;
use super::table::{headline, wrapped};

/// Columns of a number and the space behind it.
const NUMBER: usize = 4;

/// The whole report, in `width` columns.
pub fn report(
    (file, size): (&str, &str),
    (choices, asked): (&[Choice], usize),
    paint: Paint,
    width: usize,
) -> String {
    let name = Path::new(file).file_name().map_or(file.into(), |name| name.to_string_lossy());
    let readings = if choices.len() == 1 { "reading" } else { "readings" };
    let title = format!("{}: {size}, {} {readings} of it", plain(&name), choices.len());
    let mut text = format!("{}\n", headline(&title, paint, width));
    for (at, choice) in choices.iter().enumerate() {
        let words = wrapped(&in_words(choice), width - NUMBER);
        for (line, words) in words.lines().enumerate() {
            let number = if line == 0 { format!("{:>2}: ", at + 1) } else { " ".repeat(NUMBER) };
            text.push_str(&format!("{number}{words}\n"));
        }
    }
    text.push('\n');
    text.push_str(&paint.faint(&wrapped(&about(choices.len(), asked), width)));
    text.push('\n');
    text
}

fn about(found: usize, asked: usize) -> String {
    let order = "Readings that differ in one thing come first, the likeliest at the top. Your eye decides.";
    match found {
        1 => "The picture allows no other reading: nothing in it is doubtful enough.".into(),
        _ if found < asked => format!("There are no more readings than these. {order}"),
        _ => order.into(),
    }
}

/// A reading in words: in what it differs from the first, and in how many beads.
fn in_words(choice: &Choice) -> String {
    let sure = choice.draft.matched.confidence();
    if choice.differs.is_empty() {
        let beads: usize = choice.draft.legend.iter().map(|line| line.count).sum();
        return format!("the ordinary draft, {beads} beads, {sure} sure");
    }
    let differs: Vec<String> = choice.differs.iter().map(|d| plain(&d.to_string())).collect();
    let beads = if choice.changed.len() == 1 {
        "1 bead differs"
    } else {
        &format!("{} beads differ", choice.changed.len())
    };
    format!("{} ({beads})", differs.join("; "))
}

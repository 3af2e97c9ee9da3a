//! What several references of one character say of its colours, in words.

use std::path::Path;

use smallcast::draft::{Disagreement, Used};
use smallcast::matching::{Agreement, Served};
use smallcast::tray::Tray;

use super::draft_found::Found;
use super::output::Paint;
use super::report::plain;
use super::table::{headline, indented};

/// What became of the references and where they disagree; nothing of a single one.
pub fn section(found: &Found, tray: &Tray, paint: Paint, width: usize) -> Option<String> {
    if found.references.len() < 2 {
        return None;
    }
    let names: Vec<String> = found.references.iter().map(|reference| short(&reference.file)).collect();
    let mut lines =
        vec![headline(&format!("What the {} references say", found.references.len()), paint, width)];
    let all = found.draft().matched.colours().iter().filter(|colour| colour.count > 0).count();
    for (name, reference) in names.iter().zip(&found.references) {
        let said = match &reference.used {
            Used::Shape => format!("{name} gives the shape and {all} colours"),
            Used::Colours { found, .. } => format!("{name} shows {found} of them"),
            Used::Nothing { why } => format!("{name} is left out: {why}"),
        };
        lines.push(indented(&said, width));
    }
    let clear: Vec<&Disagreement> = found.disagreements.iter().filter(|d| d.is_clear()).collect();
    lines.extend(clear.iter().map(|disagreement| indented(&one(found, disagreement, &names, tray), width)));
    let agreed = found.disagreements.len() - clear.len();
    if agreed > 0 {
        let others = if clear.is_empty() { "" } else { "other " };
        let colours = if agreed == 1 { "colour" } else { "colours" };
        lines.push(indented(&format!("they agree, or nearly, on {agreed} {others}{colours}"), width));
    }
    lines.push(String::new());
    Some(lines.join("\n"))
}

fn one(found: &Found, disagreement: &Disagreement, names: &[String], tray: &Tray) -> String {
    let mark = found.draft().legend.iter().find(|line| line.bead == disagreement.chosen.bead);
    let mark = mark.map_or(String::new(), |line| format!(" ({})", line.mark.get()));
    let name = |at: usize| names.get(at).map(String::as_str).unwrap_or_default();
    let shown: Vec<&str> = disagreement.used.iter().map(|(at, _)| name(*at)).collect();
    let mut words = Vec::new();
    if shown.len() > 1 {
        words.push(agreement(&shown, &disagreement.agreement, &disagreement.chosen, tray));
    }
    words.extend(
        disagreement
            .ignored
            .iter()
            .map(|(at, apart)| format!("{} shows another colour, {apart} away, and is ignored", name(*at))),
    );
    format!("{}{mark}: {}", disagreement.what, words.join("; "))
}

/// How far the farthest two references lie apart and how well a bead serves all; `names` are those that show the
/// colour.
pub fn agreement(names: &[&str], agreement: &Agreement, chosen: &Served, tray: &Tray) -> String {
    let name = |served: &Served| plain(&tray.bead(served.bead).name);
    let apart = match agreement.farthest {
        Some((one, other)) => {
            let of = |at: usize| names.get(at).copied().unwrap_or_default();
            format!("{} {} from {}, {}; ", of(one), agreement.apart, of(other), agreement.in_words())
        }
        None => String::new(),
    };
    let both = if names.len() == 2 { "both" } else { "all" };
    let best = agreement.serve_all.first().filter(|best| best.worst.0 < chosen.worst.0);
    let other = best.map_or(String::new(), |best| {
        format!("; {}, at most {} away, is needed for a colour it touches", name(best), best.worst)
    });
    let serves = match chosen.serves_all() {
        true => format!("{} serves {both}, at most {} away", name(chosen), chosen.worst),
        false => {
            format!("no bead within {} of {both}: {} is {}", Served::WITHIN, name(chosen), far(names, chosen))
        }
    };
    format!("{apart}{serves}{other}")
}

/// How far a bead is from each reference: `3.2 from anna.jpg, 8.1 from anna-old.png`.
fn far(names: &[&str], served: &Served) -> String {
    let each = names.iter().zip(&served.each).map(|(name, apart)| format!("{apart} from {name}"));
    each.collect::<Vec<_>>().join(", ")
}

/// A file's own name.
pub fn short(file: &str) -> String {
    plain(&Path::new(file).file_name().map_or(file.into(), |name| name.to_string_lossy()))
}

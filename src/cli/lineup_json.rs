//! What `smallcast lineup --json` prints. Figures stand in their order, from the left.

use serde::Serialize;
use smallcast::cast::TOO_ALIKE;

use super::lineup::Standing;

/// The layout of the document; grows when a reader would have to change.
const FORMAT: u32 = 1;

/// The document of a line-up.
#[derive(Serialize)]
pub struct Document {
    format: u32,
    cast: Option<String>,
    tray: String,
    by: &'static str,
    guide: GuideJson,
    figures: Vec<FigureJson>,
    /// Up to which difference, 0 to 1, two are too alike.
    alike_up_to: f64,
    too_alike: Vec<PairJson>,
}

#[derive(Serialize)]
struct GuideJson {
    name: String,
    /// Null where it is the trade's.
    file: Option<String>,
    rows: usize,
}

#[derive(Serialize)]
struct FigureJson {
    name: String,
    file: String,
    /// From the left, counted from 1; the guide stands before the first.
    place: usize,
    rows: usize,
    class: Option<String>,
    group: Option<String>,
}

#[derive(Serialize)]
struct PairJson {
    /// The two figures by their places.
    places: [usize; 2],
    names: [String; 2],
    /// The share that differs, 0 to 1.
    difference: f64,
    /// Whether they are this alike with one of them turned round.
    turned: bool,
}

/// The document of figures in their order.
pub fn document(standing: &Standing, tray: String) -> Document {
    let name = |at: usize| standing.figures[at].1.name.clone();
    let figures = standing.figures.iter().enumerate().map(|(at, (one, member))| FigureJson {
        name: member.name.clone(),
        file: one.file.display().to_string(),
        place: at + 1,
        rows: member.rows,
        class: member.class.clone(),
        group: standing.group_of(member).map(str::to_owned),
    });
    let pairs = standing.pairs.iter().map(|pair| PairJson {
        places: [pair.one + 1, pair.other + 1],
        names: [name(pair.one), name(pair.other)],
        difference: thousandths(pair.difference.share()),
        turned: pair.turned,
    });
    let cast = standing.cast.name.clone();
    Document {
        format: FORMAT,
        cast: (!cast.is_empty()).then_some(cast),
        tray,
        by: standing.by.name(),
        guide: GuideJson {
            name: standing.guide.name.clone(),
            file: standing.guide_file.as_ref().map(|file| file.display().to_string()),
            rows: standing.guide.rows(),
        },
        figures: figures.collect(),
        alike_up_to: TOO_ALIKE.share(),
        too_alike: pairs.collect(),
    }
}

fn thousandths(share: f64) -> f64 {
    (share * 1000.0).round() / 1000.0
}

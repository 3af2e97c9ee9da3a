//! The JSON document of `smallcast draft`; its fields are described in the README.

use serde::Serialize;
use smallcast::colour::Lab;
use smallcast::draft::{Choice, Disagreement, Draft, ReferenceUse, Traded, Used};
use smallcast::grid::Grid;
use smallcast::matching::MatchedBead;
use smallcast::reference::{Person, Step};
use smallcast::sample::Proportions;
use smallcast::tray::{BeadId, Tray};

use super::draft_decisions::{self, Asked};
use super::draft_found::{Found, Readings};

/// The document's layout; grows when a reader would have to change.
pub const FORMAT: u32 = 1;

#[derive(Serialize)]
pub struct Document<'a> {
    format: u32,
    /// The beads that serve: the tray's file, or `embedded`.
    tray: String,
    picture: &'a str,
    /// The used part in pixels of the upright picture: x, y, width, height.
    crop: [u32; 4],
    /// How the figure was told from what is about it.
    found: &'static str,
    /// The sheet of paper that was found or given; null where there is none.
    sheet: Option<SheetJson>,
    /// Whether a page's printed rules were taken out.
    rules_taken_out: bool,
    /// What was found on the page and left out, because it is not part of the figure.
    left_out: Vec<Said>,
    /// The people on the page, in reading order; where several are there, the draft is of one of them.
    people: Vec<PersonJson>,
    proportions: &'static str,
    zones: Option<String>,
    /// Pixel rows at which the zones begin and end, as `--marks` takes them.
    marks: Option<String>,
    /// The landmarks a sketch was brought to the plan by; none where the drawing shows a lattice of its own.
    landmarks: Vec<LandmarkJson>,
    /// Names of beads, row by row; null where there is none.
    rows: Vec<Vec<Option<&'a str>>>,
    /// The same grid: how likely each bead is kept, 0 to 1.
    confidence: Vec<Vec<Option<f64>>>,
    /// The same grid: what else each place could be, likeliest first.
    runners_up: Vec<Vec<Option<Vec<Other<'a>>>>>,
    sure: f64,
    /// What to ask the maker, the dearest first.
    decisions: Vec<Asked<'a>>,
    lattice_certainty: f64,
    legend: Vec<Line<'a>>,
    /// Colours that got another bead than the nearest, so that parts that touch differ; the dearest first.
    trades: Vec<TradeJson<'a>>,
    /// What became of each reference, the first among them.
    references: Vec<Reference<'a>>,
    /// The older figure it was laid on; null without one.
    on: Option<OnJson<'a>>,
    /// How they go together, for each colour that more than one shows.
    disagreements: Vec<Disagreeing<'a>>,
    /// The readings of the picture; null unless they were asked for.
    choices: Option<Vec<ReadingJson<'a>>>,
    /// The number of the reading that this document describes; null unless readings were asked for.
    taken: Option<usize>,
    warnings: Vec<Said>,
}

/// What became of an older figure under a draft.
#[derive(Serialize)]
struct OnJson<'a> {
    figure: &'a str,
    /// Beads on which it and the picture agree.
    agreed: usize,
    /// Beads that it decided.
    decided: usize,
    /// Beads in whose place the picture shows something else.
    overruled: usize,
}

#[derive(Serialize)]
pub struct PersonJson {
    /// As `--crop` takes it: x, y, width, height in pixels of the upright picture.
    crop: [u32; 4],
    /// Beside the tallest, which is 1.
    height: f64,
    /// The rows of this one beside the guide, or beside the tallest where none is named.
    rows: usize,
}

impl PersonJson {
    /// One of the people where one `tallest` stands beside; `rows` is how many this one has.
    pub fn of(person: &Person, tallest: f64, rows: usize) -> Self {
        Self { crop: person.crop(), height: person.height / tallest, rows }
    }
}

fn people(draft: &Draft) -> Vec<PersonJson> {
    let people = draft.reference.people();
    let rows = draft.samples.lattice().rows();
    let tallest = tallest(people);
    let rows_of = |person: &Person| if people.len() == 1 { rows } else { person.rows_beside(tallest, rows) };
    people.iter().map(|person| PersonJson::of(person, tallest, rows_of(person))).collect()
}

/// How tall the tallest is drawn.
pub fn tallest<'a>(people: impl IntoIterator<Item = &'a Person>) -> f64 {
    people.into_iter().map(|person| person.height).fold(f64::MIN_POSITIVE, f64::max)
}

#[derive(Serialize)]
struct SheetJson {
    /// In pixels of the upright picture, x and y, clockwise from the top left; outside it where the frame cuts the
    /// sheet.
    corners: [[f64; 2]; 4],
    confidence: f64,
    /// Whether the maker gave the corners.
    given: bool,
}

fn sheet(draft: &Draft) -> Option<SheetJson> {
    let sheet = draft.reference.sheet()?;
    Some(SheetJson {
        corners: sheet.corners.points().map(|(x, y)| [x, y]),
        confidence: sheet.confidence.get(),
        given: draft.reference.step() == Step::SheetGiven,
    })
}

#[derive(Serialize)]
struct LandmarkJson {
    name: &'static str,
    /// Pixel row of the upright picture.
    row: f64,
    confidence: f64,
}

fn landmarks(draft: &Draft) -> Vec<LandmarkJson> {
    let found = draft.landmarks().into_iter();
    found
        .map(|(landmark, row, confidence)| LandmarkJson {
            name: landmark.name(),
            row,
            confidence: confidence.get(),
        })
        .collect()
}

#[derive(Serialize)]
struct TradeJson<'a> {
    /// What has the colour, told by where it lies.
    part: String,
    /// The colour asked for, Lab (D65).
    aim: [f64; 3],
    nearest: &'a str,
    taken: &'a str,
    /// CIEDE2000 by which the bead taken is farther.
    given_up: f64,
    /// What it touches and was to differ from.
    beside: String,
    beside_bead: &'a str,
}

#[derive(Serialize)]
struct Reference<'a> {
    picture: &'a str,
    /// `shape and colours`, `colours` or `nothing`.
    used: &'static str,
    /// How many of the first's colours were found in it.
    found: Option<usize>,
    /// The share of the figure's beads that lie on its subject.
    fits: Option<f64>,
    why: Option<&'a str>,
}

#[derive(Serialize)]
struct Disagreeing<'a> {
    /// What has the colour, told by where it lies.
    what: &'a str,
    mark: Option<char>,
    bead: &'a str,
    /// The largest CIEDE2000 between any two references that were used.
    apart: f64,
    in_words: &'static str,
    colours: Vec<Shown<'a>>,
    /// References that show another colour there and were ignored.
    ignored: Vec<Ignored<'a>>,
    /// How far the bead lies from the used ones at worst and on average.
    worst: f64,
    mean: f64,
}

#[derive(Serialize)]
struct Shown<'a> {
    picture: &'a str,
    lab: [f64; 3],
}

#[derive(Serialize)]
struct Ignored<'a> {
    picture: &'a str,
    /// CIEDE2000 from the first reference's colour.
    apart: f64,
}

#[derive(Serialize)]
struct ReadingJson<'a> {
    number: usize,
    /// Beside the ordinary reading, which is 1.
    likely: f64,
    differs: Vec<Differing>,
    /// How many beads differ from the ordinary reading.
    beads_that_differ: usize,
    sure: f64,
    rows: Vec<Vec<Option<&'a str>>>,
}

#[derive(Serialize)]
struct Differing {
    name: &'static str,
    text: String,
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
pub fn document<'a>(found: &'a Found, tray: &'a Tray, tray_name: String) -> Document<'a> {
    let draft = found.draft();
    let (choices, taken) = match &found.readings {
        Readings::One(_) => (None, None),
        Readings::Several { choices, taken, .. } => {
            (Some(readings(choices, tray)), Some(taken.unwrap_or(0) + 1))
        }
    };
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
        tray: tray_name,
        picture: found.file(),
        crop: draft.reference.used(),
        found: match draft.reference.step() {
            Step::CutOut => "cut-out",
            Step::PlainGround => "plain background",
            Step::Sheet | Step::SheetGiven => "sheet",
            Step::Paper => "paper",
            Step::AsTaken => "as taken",
        },
        sheet: sheet(draft),
        rules_taken_out: draft.reference.is_ruled(),
        left_out: draft
            .reference
            .left_out()
            .iter()
            .map(|w| Said { name: w.name(), text: w.to_string() })
            .collect(),
        people: people(draft),
        proportions: match lattice.proportions() {
            Proportions::AsDrawn => "as drawn",
            Proportions::MarksGiven => "marks given",
            Proportions::MarksGuessed => "marks guessed",
        },
        zones: draft.zones.map(|zones| zones.to_string()),
        marks: draft.marks().map(|marks| marks.to_string()),
        landmarks: landmarks(draft),
        rows: nested(beads, |bead| name(bead.bead)),
        confidence: nested(beads, |bead| bead.confidence.get()),
        runners_up: nested(beads, others),
        sure: draft.matched.confidence().get(),
        decisions: draft_decisions::asked(draft, tray),
        lattice_certainty: lattice.certainty(),
        legend: legend(draft, tray),
        trades: trades(draft, tray),
        references: found.references.iter().map(reference).collect(),
        on: found.on.as_ref().map(|on| OnJson {
            figure: &on.file,
            agreed: on.laid.agreed,
            decided: on.laid.decided,
            overruled: on.laid.overruled,
        }),
        disagreements: found.disagreements.iter().map(|d| disagreeing(found, d, tray)).collect(),
        choices,
        taken,
        warnings: draft.warnings.iter().map(|w| Said { name: w.name(), text: w.to_string() }).collect(),
    }
}

fn trades<'a>(draft: &Draft, tray: &'a Tray) -> Vec<TradeJson<'a>> {
    let name = |id: BeadId| tray.bead(id).name.as_str();
    let traded = draft.traded().into_iter();
    traded
        .map(|Traded { part, beside, trade }| {
            let colours = draft.matched.colours();
            let Lab { l, a, b } = colours[trade.colour].aim;
            TradeJson {
                part,
                aim: [l, a, b],
                nearest: name(trade.nearest.bead),
                taken: name(trade.taken.bead),
                given_up: trade.given_up(),
                beside,
                beside_bead: name(colours[trade.beside].chosen.bead),
            }
        })
        .collect()
}

fn reference(of: &ReferenceUse) -> Reference<'_> {
    let (used, found, fits, why) = match &of.used {
        Used::Shape => ("shape and colours", None, None, None),
        Used::Colours { found, fits } => ("colours", Some(*found), Some(*fits), None),
        Used::Nothing { why } => ("nothing", None, None, Some(why.as_str())),
    };
    Reference { picture: &of.file, used, found, fits, why }
}

fn disagreeing<'a>(found: &'a Found, of: &'a Disagreement, tray: &'a Tray) -> Disagreeing<'a> {
    let line = found.draft().legend.iter().find(|line| line.bead == of.chosen.bead);
    let shown = |(at, Lab { l, a, b }): &(usize, Lab)| Shown {
        picture: &found.references[*at].file,
        lab: [*l, *a, *b],
    };
    Disagreeing {
        what: &of.what,
        mark: line.map(|line| line.mark.get()),
        bead: &tray.bead(of.chosen.bead).name,
        apart: of.agreement.apart.0,
        in_words: of.agreement.in_words(),
        colours: of.used.iter().map(shown).collect(),
        ignored: of
            .ignored
            .iter()
            .map(|(at, apart)| Ignored { picture: &found.references[*at].file, apart: apart.0 })
            .collect(),
        worst: of.chosen.worst.0,
        mean: of.chosen.mean.0,
    }
}

fn readings<'a>(choices: &[Choice], tray: &'a Tray) -> Vec<ReadingJson<'a>> {
    let reading = |(at, choice): (usize, &Choice)| ReadingJson {
        number: at + 1,
        likely: choice.likely,
        differs: choice.differs.iter().map(|d| Differing { name: d.name(), text: d.to_string() }).collect(),
        beads_that_differ: choice.changed.len(),
        sure: choice.draft.matched.confidence().get(),
        rows: nested(choice.draft.matched.beads(), |bead| tray.bead(bead.bead).name.as_str()),
    };
    choices.iter().enumerate().map(reading).collect()
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

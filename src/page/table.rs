//! The table: everything the page shows of a figure, in one document.

use std::collections::BTreeMap;

use serde::Serialize;

use super::decisions::{DecisionLine, decisions};
use super::doubts::{Doubt, doubts};
use super::guide::Guide;
use super::parts::{PartLine, parts};
use super::reading::{Laid, ReadAgain};
use super::shared::Shared;
use super::vision::Visions;
use super::why;
use crate::colour::{Lab, Srgb};
use crate::count::{Batch, Owned, Spare, count};
use crate::figure::{ChosenBy, Figure, LegendEntry, Placed, Sure};
use crate::grid::Grid;
use crate::rules::Finding;
use crate::tray::{Bead, Tray};
use crate::units::{Column, Row};

/// For a bead that is not in the tray and that no picture asked for.
const UNKNOWN: Srgb = Srgb::new(128, 128, 128);

/// What every figure is laid beside.
#[derive(Clone, Copy)]
pub struct Beside<'a> {
    /// The beads that serve, and the cast.
    pub shared: &'a Shared,
    /// The guide.
    pub guide: &'a Guide,
    /// The tray as other eyes see it.
    pub visions: &'a Visions,
}

/// What stands beside a figure's beads: where it is kept and what was done to it.
#[derive(Clone, Debug, Default)]
pub struct Standing {
    /// The file, as the page calls it; empty before it is saved.
    pub file: String,
    /// Which state of the file this is; empty before it is saved.
    pub version: String,
    /// The step that can be undone.
    pub undo: Option<String>,
    /// The step that can be done again.
    pub redo: Option<String>,
    /// The last steps, oldest first.
    pub history: Vec<String>,
    /// The steps that can be done again, the next one first.
    pub undone: Vec<String>,
    /// What the change just made did, in words.
    pub said: Option<String>,
    /// What of it the maker should know: gaps that it opened, or that it changed nothing.
    pub note: Option<String>,
    /// Beads placed by hand that it would have met and that stayed.
    pub kept_by_hand: usize,
}

/// What is known of the figure's picture.
pub enum Picture<'a> {
    /// There is none to show: why, where it is not plain; and the pictures of the folder that could be it, where it was
    /// not found.
    None(Option<String>, Vec<String>),
    /// It is being read.
    Pending,
    /// It was read.
    Read(&'a ReadAgain),
}

/// The whole table. Rows and columns count from 0.
#[derive(Debug, Serialize)]
pub struct Table<'a> {
    file: &'a str,
    name: &'a str,
    version: &'a str,
    class: Option<&'a str>,
    stature_cm: Option<f64>,
    rows: usize,
    columns: usize,
    zones: Vec<ZoneLine>,
    legend: Vec<LegendLine<'a>>,
    tray: Vec<TrayLine<'a>>,
    parts: Vec<PartLine<'a>>,
    beads: Vec<Vec<Option<Peg<'a>>>>,
    /// What is asked, the dearest first.
    decisions: Vec<DecisionLine<'a>>,
    /// What each detector that set beads finds.
    why: BTreeMap<&'a str, &'static str>,
    /// Every peg that is not sure, whether it is asked about or not.
    doubts: Vec<Doubt<'a>>,
    settled: usize,
    asked: usize,
    findings: Vec<FindingLine>,
    count: CountLine,
    reference: Option<ReferenceLine>,
    /// Why there is no picture, or nothing could be read in it.
    reference_note: Option<String>,
    /// The pictures of the folder, where the figure's own was not found.
    pictures: &'a [String],
    guide: &'a Guide,
    vision: &'a Visions,
    undo: Option<&'a str>,
    redo: Option<&'a str>,
    history: &'a [String],
    undone: &'a [String],
    said: Option<&'a str>,
    /// What of it the maker should know.
    note: Option<&'a str>,
    kept_by_hand: usize,
}

#[derive(Debug, Serialize)]
struct ZoneLine {
    zone: &'static str,
    first: usize,
    rows: usize,
}

#[derive(Debug, Serialize)]
struct LegendLine<'a> {
    mark: char,
    bead: &'a str,
    hex: String,
    needed: usize,
    owned: Option<u32>,
    short: u64,
    /// How many stay in the box; nothing where nobody counted them.
    left: Option<u64>,
    /// Whether it is tried: there is none of it.
    tried: bool,
    by: &'static str,
}

#[derive(Debug, Serialize)]
struct TrayLine<'a> {
    bead: &'a str,
    hex: String,
    owned: Option<u32>,
    /// Whether it can be tried only: there is none of it.
    tried: bool,
    finish: Option<&'a str>,
    note: Option<&'a str>,
}

#[derive(Debug, Serialize)]
struct Peg<'a> {
    /// Its mark.
    m: char,
    /// How likely it is kept.
    s: Option<f64>,
    /// Whether the maker's hand settled it.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    h: bool,
    /// The part that shows here.
    p: usize,
    /// The detector that set it.
    #[serde(skip_serializing_if = "Option::is_none")]
    w: Option<&'a str>,
}

#[derive(Debug, Serialize)]
struct FindingLine {
    rule: &'static str,
    what: String,
    could: String,
    beads: Vec<[usize; 2]>,
    meant: bool,
    /// The maker's reason where it is meant so.
    why: Option<String>,
}

/// The count of a figure.
#[derive(Debug, Serialize)]
pub struct CountLine {
    beads: u64,
    /// Beads that the tray has too few of.
    pub short: Vec<ShortLine>,
}

/// A bead that the tray has too few of.
#[derive(Debug, Serialize)]
pub struct ShortLine {
    bead: String,
    needed: u64,
    owned: u32,
}

#[derive(Debug, Serialize)]
#[serde(untagged)]
enum ReferenceLine {
    Pending { pending: bool },
    Shown { width: u32, height: u32, windows: Vec<Vec<Option<[f64; 4]>>> },
}

impl ShortLine {
    /// How many are missing.
    pub fn missing(&self) -> u64 {
        self.needed.saturating_sub(u64::from(self.owned))
    }
}

/// A colour as the page writes it.
pub fn hex(colour: Srgb) -> String {
    format!("{:02x}{:02x}{:02x}", colour.r, colour.g, colour.b)
}

/// The colour of a line of the legend; of a bead the tray lacks, the colour the reference asked for.
pub fn colour_of(entry: &LegendEntry, tray: &Tray) -> Option<Lab> {
    tray.find(&entry.bead).map(|bead| tray.bead(bead).lab).or(entry.aim)
}

impl<'a> Table<'a> {
    /// Lays a figure on the table.
    pub fn new(
        figure: &'a Figure,
        standing: &'a Standing,
        Beside { shared, guide, visions }: Beside<'a>,
        picture: &'a Picture,
    ) -> Self {
        let tray = &shared.tray;
        let pegs = pegs(figure);
        let laid: Option<Laid> = match picture {
            Picture::Read(ReadAgain { read: Ok(read), .. }) => Some(read.under(figure)),
            _ => None,
        };
        let doubts = doubts(figure, &pegs, tray, laid);
        let by_hand = |placed: &Placed| placed.sure == Some(Sure::ByHand);
        let settled = settled(figure, &pegs);
        let (reference, reference_note) = reference(&pegs, picture, laid);
        Self {
            file: &standing.file,
            name: figure.name(),
            version: &standing.version,
            class: figure.class(),
            stature_cm: figure.stature().map(|stature| stature.0),
            rows: pegs.rows(),
            columns: pegs.columns(),
            zones: zones(figure),
            legend: legend(figure, &pegs, tray),
            tray: tray_lines(tray),
            parts: parts(figure),
            beads: nested(&pegs, |(bead, part)| Peg {
                m: bead.mark.get(),
                s: match bead.sure {
                    Some(Sure::Likely(step)) => Some(step.confidence().get()),
                    Some(Sure::ByHand) => Some(1.0),
                    None => None,
                },
                h: by_hand(bead),
                p: *part,
                w: figure.set_by(*bead),
            }),
            decisions: decisions(figure, tray, &doubts, laid),
            why: why::detectors(figure),
            asked: settled + doubts.len(),
            settled,
            doubts,
            findings: findings(figure, standing, shared),
            count: counted(figure, tray),
            reference,
            reference_note,
            pictures: match picture {
                Picture::None(_, pictures) => pictures,
                Picture::Pending | Picture::Read(_) => &[],
            },
            guide,
            vision: visions,
            undo: standing.undo.as_deref(),
            redo: standing.redo.as_deref(),
            history: &standing.history,
            undone: &standing.undone,
            said: standing.said.as_deref(),
            note: standing.note.as_deref(),
            kept_by_hand: standing.kept_by_hand,
        }
    }
}

/// The bead that shows at each peg, and the place of its part: one walk over the parts, as
/// [`Figure::beads`] lays them.
pub fn pegs(figure: &Figure) -> Grid<Option<(Placed, usize)>> {
    let shown = figure.beads();
    let mut pegs = Grid::from_fn(shown.rows(), shown.columns(), |_, _| None);
    for (at, part) in figure.parts().iter().enumerate() {
        for (row, column, placed) in part.beads.iter() {
            if let Some(placed) = placed {
                let place = (Row(part.at.0.0 + row.0), Column(part.at.1.0 + column.0));
                pegs[place] = Some((*placed, at));
            }
        }
    }
    pegs
}

/// Places the maker's hand settled: beads, and pegs left empty on purpose.
pub fn settled(figure: &Figure, pegs: &Grid<Option<(Placed, usize)>>) -> usize {
    let is_settled = |(row, column, peg): &(Row, Column, &Option<(Placed, usize)>)| match peg {
        Some((bead, _)) => bead.sure == Some(Sure::ByHand),
        None => figure.is_bare(*row, *column),
    };
    pegs.iter().filter(is_settled).count()
}

fn zones(figure: &Figure) -> Vec<ZoneLine> {
    let spans = figure.rows().into_iter().flat_map(|rows| rows.spans());
    spans.map(|(zone, first, rows)| ZoneLine { zone: zone.name(), first, rows }).collect()
}

fn legend<'a>(figure: &'a Figure, pegs: &Grid<Option<(Placed, usize)>>, tray: &Tray) -> Vec<LegendLine<'a>> {
    let mut needed: BTreeMap<_, usize> = BTreeMap::new();
    pegs.iter()
        .filter_map(|(_, _, peg)| *peg)
        .for_each(|(bead, _)| *needed.entry(bead.mark).or_default() += 1);
    let needed_of = |entry: &LegendEntry| needed.get(&entry.mark).copied().unwrap_or(0);
    let line = |entry: &'a LegendEntry| {
        // Two lines may stand for one bead: both take from the same box.
        let same = figure.legend().iter().filter(|other| other.bead == entry.bead);
        let together: usize = same.map(needed_of).sum();
        let own = tray.find(&entry.bead).map(|bead| tray.bead(bead));
        let owned = own.map_or(Some(0), |bead| bead.count);
        LegendLine {
            mark: entry.mark.get(),
            bead: &entry.bead,
            hex: hex(colour_of(entry, tray).map_or(UNKNOWN, Lab::srgb)),
            needed: needed_of(entry),
            owned,
            short: owned.map_or(0, |owned| (together as u64).saturating_sub(owned.into())),
            left: owned.map(|owned| u64::from(owned).saturating_sub(together as u64)),
            tried: owned == Some(0),
            by: match entry.by {
                ChosenBy::Match => "match",
                ChosenBy::Hand => "hand",
            },
        }
    };
    figure.legend().iter().map(line).collect()
}

/// The beads of the tray, and behind them those that can be tried.
fn tray_lines(tray: &Tray) -> Vec<TrayLine<'_>> {
    fn line(bead: &Bead, owned: Option<u32>) -> TrayLine<'_> {
        TrayLine {
            bead: &bead.name,
            hex: hex(bead.lab.srgb()),
            owned,
            tried: owned == Some(0),
            finish: bead.finish.as_deref(),
            note: bead.note.as_deref(),
        }
    }
    let own = tray.iter().map(|(_, bead)| line(bead, bead.count));
    own.chain(tray.to_try().map(|bead| line(bead, Some(0)))).collect()
}

fn findings(figure: &Figure, standing: &Standing, shared: &Shared) -> Vec<FindingLine> {
    let line = |finding: Finding, why: Option<String>| FindingLine {
        rule: finding.rule,
        what: finding.what,
        could: finding.could,
        beads: finding.beads.iter().map(|(row, column)| [row.0, column.0]).collect(),
        meant: why.is_some(),
        why,
    };
    shared.findings(&standing.file, figure).into_iter().map(|(finding, why)| line(finding, why)).collect()
}

/// The count of a figure against the tray.
pub fn counted(figure: &Figure, tray: &Tray) -> CountLine {
    let counted = count(&[Batch { figure, times: 1 }], tray, Spare::NONE);
    let short = counted.needs.iter().filter(|need| need.short() > 0);
    let line = |need: &crate::count::Need| ShortLine {
        bead: need.bead.clone(),
        needed: need.needed,
        owned: match need.owned {
            Owned::Told(owned) => owned,
            Owned::NotTold | Owned::NotInTray => 0,
        },
    };
    CountLine { beads: counted.used(), short: short.map(line).collect() }
}

fn reference(
    pegs: &Grid<Option<(Placed, usize)>>,
    picture: &Picture,
    laid: Option<Laid>,
) -> (Option<ReferenceLine>, Option<String>) {
    match picture {
        Picture::None(why, _) => (None, why.clone()),
        Picture::Pending => (Some(ReferenceLine::Pending { pending: true }), None),
        Picture::Read(reading) => {
            let window = |row, column| laid.and_then(|laid| laid.window(row, column));
            let mut windows: Vec<Vec<_>> = (0..pegs.rows()).map(|_| Vec::new()).collect();
            pegs.iter().for_each(|(row, column, _)| windows[row.0].push(window(row, column)));
            let (width, height) = reading.shown.size;
            (Some(ReferenceLine::Shown { width, height, windows }), reading.read.as_ref().err().cloned())
        }
    }
}

fn nested<T, U>(grid: &Grid<Option<T>>, of: impl Fn(&T) -> U) -> Vec<Vec<Option<U>>> {
    let mut rows: Vec<Vec<Option<U>>> = (0..grid.rows()).map(|_| Vec::new()).collect();
    grid.iter().for_each(|(row, _, cell)| rows[row.0].push(cell.as_ref().map(&of)));
    rows
}

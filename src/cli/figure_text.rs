//! The figure on a terminal: in its beads' colours where there are colours, in its marks always.

use smallcast::draft::Draft;
use smallcast::matching::MatchedBead;
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

use super::output::Paint;

/// Columns for the row's number and a space.
const NUMBER: usize = 4;

/// Columns for a zone's name and two spaces.
const ZONE: usize = 10;

/// Every so many columns have their number above them.
const RULER: usize = 5;

/// The figure with its rows numbered and its zones named. A bead is two columns wide, so that it looks
/// square, or one where the terminal is too narrow.
pub fn figure(draft: &Draft, tray: &Tray, paint: Paint, width: usize) -> String {
    let beads = draft.matched.beads();
    if NUMBER + beads.columns() > width {
        return format!(
            "The figure is {} columns wide, too wide to show here: see --picture.\n",
            beads.columns()
        );
    }
    let wide = NUMBER + 2 * beads.columns() + ZONE <= width;
    let view = View { draft, tray, paint, bead: if wide { 2 } else { 1 } };
    let mut text = paint.faint(&view.ruler());
    for row in (0..beads.rows()).map(Row) {
        text.push('\n');
        text.push_str(view.row(row).trim_end());
    }
    text.push('\n');
    text
}

struct View<'a> {
    draft: &'a Draft,
    tray: &'a Tray,
    paint: Paint,
    /// Columns of the terminal to one bead.
    bead: usize,
}

impl View<'_> {
    fn ruler(&self) -> String {
        let columns = self.draft.matched.beads().columns();
        let mut line = " ".repeat(NUMBER);
        for column in (1..=columns).filter(|c| *c == 1 || c % RULER == 0) {
            let at = NUMBER + (column - 1) * self.bead;
            line.push_str(&" ".repeat(at.saturating_sub(line.len())));
            line.push_str(&column.to_string());
        }
        line
    }

    fn row(&self, row: Row) -> String {
        let beads = self.draft.matched.beads();
        let number = self.paint.faint(&format!("{:>width$} ", row.0 + 1, width = NUMBER - 1));
        let pegs: String = (0..beads.columns()).map(|c| self.peg(&beads[(row, Column(c))])).collect();
        let zone = self.zone_from(row).map_or(String::new(), |name| format!("  {}", self.paint.faint(name)));
        format!("{number}{pegs}{zone}")
    }

    fn peg(&self, bead: &Option<MatchedBead>) -> String {
        let blank = " ".repeat(self.bead - 1);
        match bead {
            Some(bead) => {
                let line = self.draft.legend.iter().find(|line| line.bead == bead.bead);
                let mark = line.map_or('?', |line| line.mark.get());
                self.paint.bead(self.tray.bead(bead.bead).lab.srgb(), &format!("{mark}{blank}"))
            }
            None => self.paint.faint(&format!(".{blank}")),
        }
    }

    /// The zone that begins in a row.
    fn zone_from(&self, row: Row) -> Option<&'static str> {
        let zones = self.draft.zones.as_ref()?;
        zones.spans().find(|&(_, first, _)| first == row.0).map(|(zone, ..)| zone.name())
    }
}

//! Other beads for colours that keep what was asked for: the change that a new tray makes.

use super::layers::{Layers, Peg};
use super::legend::likely;
use super::{Done, Refused, counted};
use crate::colour::{Lab, ciede2000};
use crate::figure::{ChosenBy, LegendEntry, Mark, Sure};
use crate::matching::{CANDIDATES, bead_odds};
use crate::tray::Tray;
use crate::units::{Confidence, DeltaE};

impl Layers {
    /// Each line of the legend gets another bead and keeps its aim; pegs that a hand settled keep the old bead, on the
    /// old line, unless `by_hand` says that they change too. A line that the maker chose is never changed.
    pub(super) fn rematch(
        &mut self,
        beads: &[(String, String)],
        by_hand: bool,
        tray: &Tray,
    ) -> Result<Done, Refused> {
        // All lines are found before one is changed: two beads may change places.
        let mut found = Vec::new();
        for (old, new) in beads {
            let mark = self.line_to_rematch(old)?;
            self.check_bead(new, tray)?;
            if found.iter().any(|(other, _)| *other == mark) {
                return Err((format!("{old} is listed twice"), "name each line once".into()));
            }
            found.push((mark, new.as_str()));
        }
        let mut said = Vec::new();
        let mut kept_by_hand = 0;
        for (mark, new) in found {
            let (text, kept) = self.rematch_line(mark, new, by_hand, tray)?;
            said.push(text);
            kept_by_hand += kept;
        }
        Ok(Done { said: said.join("; "), kept_by_hand, in_the_way: Vec::new() })
    }

    /// The line of a mark, else of a bead.
    fn line_to_rematch(&self, old: &str) -> Result<Mark, Refused> {
        let legend = &self.about.legend;
        let of_mark = legend.iter().find(|entry| entry.mark.get().to_string() == old);
        let Some(entry) = of_mark.or_else(|| legend.iter().find(|entry| entry.bead == old)) else {
            let names = legend.iter().map(|entry| entry.bead.as_str());
            return Err((
                format!("the legend has neither a mark nor a bead {old}"),
                likely(old, names, "its beads"),
            ));
        };
        match entry.by {
            ChosenBy::Match => Ok(entry.mark),
            ChosenBy::Hand => Err((
                format!("{} was chosen by hand for its colour and stays", entry.bead),
                "use swap to have another bead there".into(),
            )),
        }
    }

    /// What was done with one line, and how many of its beads stayed.
    fn rematch_line(
        &mut self,
        mark: Mark,
        new: &str,
        by_hand: bool,
        tray: &Tray,
    ) -> Result<(String, usize), Refused> {
        let Some(line) = self.about.legend.iter().position(|entry| entry.mark == mark) else {
            return Err((format!("the mark {} is gone", mark.get()), "name a line of the legend".into()));
        };
        let (free, kept) = self.beads_of_mark(mark, by_hand);
        let old = self.about.legend[line].bead.clone();
        if free == 0 && kept > 0 {
            return Err((
                format!("every {old} was settled by hand ({kept}) and stays"),
                "add by-hand to change them too".into(),
            ));
        }
        let aim = self.about.legend[line].aim;
        let confidence = aim.and_then(|aim| odds(new, aim, tray));
        if kept == 0 {
            let entry = &mut self.about.legend[line];
            (entry.bead, entry.confidence) = (new.into(), confidence);
        } else {
            let entry =
                LegendEntry { mark: Mark::first(), bead: new.into(), aim, confidence, by: ChosenBy::Match };
            let own = self.add_line(entry);
            self.move_free_beads(mark, own);
        }
        let stayed = match kept {
            0 => String::new(),
            _ => format!(", and {} settled by hand stayed", counted(kept, "bead")),
        };
        let is = if free == 1 { "is" } else { "are" };
        Ok((format!("{} {is} {new} instead of {old}{stayed}", counted(free, "bead")), kept))
    }

    /// Beads of a mark that may change, and those that a hand settled.
    fn beads_of_mark(&self, mark: Mark, by_hand: bool) -> (usize, usize) {
        let pegs = self.layers.iter().flat_map(|layer| layer.pegs.iter().flatten());
        let own = pegs.filter_map(|peg| peg.bead()).filter(|placed| placed.mark == mark);
        own.fold((0, 0), |(free, kept), placed| match placed.sure {
            Some(Sure::ByHand) if !by_hand => (free, kept + 1),
            _ => (free + 1, kept),
        })
    }

    fn move_free_beads(&mut self, from: Mark, to: Mark) {
        for peg in self.layers.iter_mut().flat_map(|layer| layer.pegs.iter_mut().flatten()) {
            if let Peg::Bead(placed) = peg
                && placed.mark == from
                && placed.sure != Some(Sure::ByHand)
            {
                placed.mark = to;
            }
        }
    }
}

/// How likely the maker keeps a bead for a colour. As in a draft, nearer beads were left for a reason and do not count.
fn odds(bead: &str, aim: Lab, tray: &Tray) -> Option<Confidence> {
    let own = tray.find(bead)?;
    let apart = ciede2000(aim, tray.bead(own).lab);
    let others = tray.nearest(aim, CANDIDATES).into_iter();
    let farther = others.filter(|(id, far)| *id != own && *far >= apart).map(|(_, far)| far);
    let differences: Vec<DeltaE> = std::iter::once(apart).chain(farther).collect();
    bead_odds(&differences).first().copied()
}

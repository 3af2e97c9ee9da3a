//! Changes of the legend, the notes and the name, and the names that were likely meant.

use super::layers::Layers;
use super::{Done, Refused, Spot, place_in_words};
use crate::figure::{ChosenBy, LegendEntry, Mark, Meant, Second, Source, Sure};
use crate::tray::Tray;
use crate::units::{Centimetres, Column, Confidence, Row};

/// From this likeness of spelling on (Jaro-Winkler) a name was likely meant.
const LIKELY: f64 = 0.75;

/// Most names that are listed where none was likely meant.
const FEW: usize = 8;

/// "did you mean moss?", or the first few names there are.
pub(super) fn likely<'a>(word: &str, names: impl IntoIterator<Item = &'a str>, of_these: &str) -> String {
    let small = word.to_lowercase();
    let names: Vec<&str> = names.into_iter().collect();
    let alike = names.iter().map(|name| (strsim::jaro_winkler(&name.to_lowercase(), &small), *name));
    // The first of equals, in the order given.
    let best = alike.fold(None, |best: Option<(f64, &str)>, one| match best {
        Some(best) if best.0 >= one.0 => Some(best),
        _ => Some(one),
    });
    match best {
        Some((alike, name)) if alike >= LIKELY => format!("did you mean {name}?"),
        None => format!("there are no {of_these} yet"),
        Some(_) => {
            let more = if names.len() > FEW { ", ..." } else { "" };
            format!("{of_these}: {}{more}", names[..names.len().min(FEW)].join(", "))
        }
    }
}

impl Layers {
    /// Refuses a bead that neither the tray nor the figure has, for the figure may be older than the tray, and that
    /// cannot be tried.
    pub(super) fn check_bead(&self, bead: &str, tray: &Tray) -> Result<(), Refused> {
        let in_figure = self.about.legend.iter().any(|entry| entry.bead == bead);
        if in_figure || tray.find(bead).is_some() || tray.to_try().any(|other| other.name == bead) {
            return Ok(());
        }
        let names = tray.iter().map(|(_, bead)| bead.name.as_str());
        let right = likely(bead, names, "beads of the tray");
        Err((
            format!("the tray has no bead {bead}"),
            format!("{right} (smallcast tray FILE lists a tray's beads)"),
        ))
    }

    /// The bead that a word names: the bead of that name, else that of the line with this mark, else the word as it is.
    pub(super) fn bead_named(&self, word: &str, tray: Option<&Tray>) -> String {
        let legend = &self.about.legend;
        let is_bead = legend.iter().any(|entry| entry.bead == word)
            || tray.is_some_and(|tray| {
                tray.find(word).is_some() || tray.to_try().any(|other| other.name == word)
            });
        let of_mark = legend.iter().find(|entry| !is_bead && entry.mark.get().to_string() == word);
        of_mark.map_or(word, |entry| &entry.bead).to_owned()
    }

    /// The place of a part among the layers: the topmost of that name.
    pub(super) fn part(&self, name: &str) -> Result<usize, Refused> {
        self.layers.iter().rposition(|layer| layer.name == name).ok_or_else(|| {
            let names = self.layers.iter().map(|layer| layer.name.as_str());
            (format!("the figure has no part {name}"), likely(name, names, "its parts"))
        })
    }

    /// The bead of a colour is settled, and so it is no longer asked whether another bead lies at one of its pegs; how
    /// sure each peg is stays as it was, and a peg that may be empty, or was put among the doubts, is still asked about.
    pub(super) fn keep_bead(&mut self, bead: &str) -> Result<Done, Refused> {
        let own = |entry: &&mut LegendEntry| entry.bead == bead;
        let settled = self.about.legend.iter_mut().filter(own).map(|entry| entry.by = ChosenBy::Hand).count();
        if settled == 0 {
            let names = self.about.legend.iter().map(|entry| entry.bead.as_str());
            return Err((format!("the figure has no {bead}"), likely(bead, names, "its beads")));
        }
        let marks: Vec<Mark> =
            self.about.legend.iter().filter(|entry| entry.bead == bead).map(|entry| entry.mark).collect();
        for peg in self.layers.iter_mut().flat_map(|layer| layer.pegs.iter_mut().flatten()) {
            let super::layers::Peg::Bead(placed) = peg else { continue };
            let is_doubted =
                matches!(placed.sure, Some(Sure::Likely(step)) if step.confidence() == Confidence::NONE);
            if marks.contains(&placed.mark) && matches!(placed.or, Some(Second::Bead(_))) && !is_doubted {
                placed.or = Some(Second::Itself);
            }
        }
        Ok(format!("{bead} is kept for its colour").into())
    }

    pub(super) fn remark(&mut self, old: &str, new: char) -> Result<Done, Refused> {
        let legend = &mut self.about.legend;
        let wrong = || (format!("'{new}' cannot be a mark"), "use one printable character".to_owned());
        let new = Mark::new(new).ok_or_else(wrong)?;
        let place = legend.iter().position(|entry| entry.mark.get().to_string() == old);
        let place = place.or_else(|| legend.iter().position(|entry| entry.bead == old)).ok_or_else(|| {
            let names = legend.iter().map(|entry| entry.bead.as_str());
            (format!("the legend has neither a mark nor a bead {old}"), likely(old, names, "its beads"))
        })?;
        if let Some(other) = legend.iter().find(|entry| entry.mark == new && entry.mark != legend[place].mark)
        {
            let why = format!("'{}' already stands for {}", new.get(), other.bead);
            return Err((why, "choose a mark that is free".into()));
        }
        let was = std::mem::replace(&mut legend[place].mark, new);
        let said = format!("{} has the mark {} instead of {}", legend[place].bead, new.get(), was.get());
        for peg in self.layers.iter_mut().flat_map(|layer| layer.pegs.iter_mut().flatten()) {
            let super::layers::Peg::Bead(placed) = peg else { continue };
            if placed.mark == was {
                placed.mark = new;
            }
            if placed.or == Some(Second::Bead(was)) {
                placed.or = Some(Second::Bead(new));
            }
        }
        self.renamed(was, new);
        Ok(said.into())
    }

    pub(super) fn meant(&mut self, rule: &str, at: Option<Spot>, why: &str) -> Result<Done, Refused> {
        if rule.trim().is_empty() || why.trim().is_empty() {
            return Err((
                "a rule and a reason are needed".into(),
                "say which rule, and why it is meant so".into(),
            ));
        }
        let place = at.map(|spot| usize::try_from(spot.row).ok().zip(usize::try_from(spot.column).ok()));
        let at = match place {
            None => None,
            Some(Some((row, column))) => Some((Row(row), Column(column))),
            Some(None) => {
                return Err(("there is no such place".into(), "count row and column from 1".into()));
            }
        };
        if let Some((row, column)) = at
            && !self.reaches(Spot::at(row, column))
        {
            let why = format!("the figure does not reach {}", place_in_words(Spot::at(row, column)));
            return Err((why, "name a bead of the finding, as check prints it".into()));
        }
        let meant = Meant { rule: rule.into(), at, why: why.into() };
        if self.about.meant.contains(&meant) {
            return Err(("this is already noted".into(), "leave it out".into()));
        }
        self.about.meant.push(meant);
        let place =
            at.map_or("the whole figure".into(), |(row, column)| place_in_words(Spot::at(row, column)));
        Ok(format!("noted: {rule} at {place} is meant so").into())
    }

    /// Takes notes out: that of a place, or all on a rule.
    pub(super) fn not_meant(&mut self, rule: &str, at: Option<Spot>) -> Result<Done, Refused> {
        let place = |meant: &Meant| meant.at.map(|(row, column)| Spot::at(row, column));
        let in_words = |rule: &str, at: Option<Spot>| {
            format!("{rule}{}", at.map_or(String::new(), |at| format!(" at {}", place_in_words(at))))
        };
        let notes = &mut self.about.meant;
        let (gone, stay): (Vec<Meant>, _) = std::mem::take(notes)
            .into_iter()
            .partition(|meant| meant.rule == rule && (at.is_none() || place(meant) == at));
        *notes = stay;
        if gone.is_empty() {
            let there: Vec<String> = notes.iter().map(|meant| in_words(&meant.rule, place(meant))).collect();
            let right = match there.is_empty() {
                true => "the figure has no notes".to_owned(),
                false => format!("its notes are on {}", there.join("; ")),
            };
            return Err((format!("there is no note on {}", in_words(rule, at)), right));
        }
        let said: Vec<String> = gone.iter().map(|meant| in_words(rule, place(meant))).collect();
        Ok(format!("no longer meant so: {}", said.join("; ")).into())
    }

    pub(super) fn rename(&mut self, name: &str) -> Result<Done, Refused> {
        if name.trim().is_empty() {
            return Err(("a figure needs a name".into(), "write name \"NEW NAME\"".into()));
        }
        self.about.name = name.into();
        Ok(format!("the figure is now called {name}").into())
    }

    /// The reference picture alone: which part of it was used is not asked again.
    pub(super) fn drafted_from(&mut self, picture: &str) -> Result<Done, Refused> {
        if picture.trim().is_empty() {
            return Err(("the picture's file is missing".into(), "write reference FILE".into()));
        }
        match &mut self.about.source {
            Some(source) => source.picture = picture.into(),
            none => *none = Some(Source { picture: picture.into(), crop: None, corners: None }),
        }
        Ok(format!("its reference is now {picture}").into())
    }

    /// The height class by name alone: which rows it has is the cast's to say. A standing height that was noted was
    /// of the class before, and is forgotten.
    pub(super) fn classed(&mut self, name: &str) -> Result<Done, Refused> {
        if name.trim().is_empty() {
            return Err(("the name of the height class is missing".into(), "write class guide".into()));
        }
        self.about.class = Some(name.into());
        self.about.stature = None;
        Ok(format!("the height class is {name}").into())
    }

    pub(super) fn stands(&mut self, millimetres: u16) -> Result<Done, Refused> {
        let stature = Centimetres(f64::from(millimetres) / 10.0);
        self.about.stature = Some(stature);
        Ok(format!("it stands {} cm", stature.0).into())
    }
}

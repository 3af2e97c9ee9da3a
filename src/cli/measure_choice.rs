//! What `smallcast measure` drafts: known figures in manners of drawing, and sketches.

use smallcast::error::{Error, Result, did_you_mean};
use smallcast::score::KnownFigure;
use smallcast::tray::Tray;
use smallcast::trial::{Manner, SKETCH, Sketch, Trial, known_figures, sketches};

use super::measure_run::counted;

/// What is drafted.
pub struct Choice {
    /// In which manners known figures are drawn, in their usual order.
    pub manners: Vec<Manner>,
    /// The known figures, in their usual order.
    pub figures: Vec<KnownFigure>,
    /// The sketches, in their usual order.
    pub sketches: Vec<Sketch>,
}

/// One thing to draft.
pub enum Job<'a> {
    Drawn(Trial<'a>),
    Sketched(&'a Sketch),
}

impl Choice {
    /// What was asked for by names; no names are everything.
    ///
    /// # Errors
    /// [`Error::BadValue`] for an unknown name, or where nothing is left.
    pub fn of(manners: &[String], figures: &[String], tray: &Tray) -> Result<Self> {
        let (mut known, mut drawn_by_hand) = (known_figures(tray)?, sketches(tray)?);
        let every_manner: Vec<&str> = manner_names().collect();
        all_known("--manner", manners, "manner of drawing", &every_manner)?;
        let names = known.iter().map(|figure| &figure.name);
        let names: Vec<&str> =
            names.chain(drawn_by_hand.iter().map(|s| &s.name)).map(String::as_str).collect();
        all_known("--figure", figures, "known figure or sketch", &names)?;
        known.retain(|figure| chosen(figures, &figure.name));
        drawn_by_hand.retain(|sketch| chosen(manners, SKETCH) && chosen(figures, &sketch.name));
        let manners = Manner::ALL.into_iter().filter(|manner| chosen(manners, manner.name())).collect();
        let choice = Self { manners, figures: known, sketches: drawn_by_hand };
        if choice.jobs(1).is_empty() {
            return Err(nothing(figures, tray)?);
        }
        Ok(choice)
    }

    /// Everything to draft, manner by manner, figure by figure, the sketches last.
    pub fn jobs(&self, seeds: u64) -> Vec<Job<'_>> {
        let drawn = self
            .manners
            .iter()
            .flat_map(|&manner| self.figures.iter().map(move |figure| (manner, figure)))
            .flat_map(|(manner, figure)| (0..seeds).map(move |seed| Trial { figure, manner, seed }));
        drawn.map(Job::Drawn).chain(self.sketches.iter().map(Job::Sketched)).collect()
    }

    /// The same in words.
    pub fn title(&self, seeds: u64) -> String {
        let drawn = format!(
            "{} in {}, {}",
            counted(self.figures.len(), "known figure", "s"),
            counted(self.manners.len(), "manner", "s"),
            if seeds == 1 { "seed 0".into() } else { format!("seeds 0 to {}", seeds - 1) },
        );
        let sketched = counted(self.sketches.len(), "sketch", "es");
        let drafts = counted(self.jobs(seeds).len(), "draft", "s");
        match (self.manners.is_empty() || self.figures.is_empty(), self.sketches.is_empty()) {
            (true, _) => format!("{sketched}: {drafts}"),
            (false, true) => format!("{drawn}: {drafts}"),
            (false, false) => format!("{drawn}, and {sketched}: {drafts}"),
        }
    }
}

/// Every manner's name in the order of the table, that of sketches last.
pub fn manner_names() -> impl Iterator<Item = &'static str> {
    Manner::ALL.into_iter().map(Manner::name).chain([SKETCH])
}

/// Nothing chosen is everything chosen.
fn chosen(names: &[String], name: &str) -> bool {
    names.is_empty() || names.iter().any(|chosen| chosen == name)
}

fn all_known(option: &'static str, asked: &[String], kind: &str, known: &[&str]) -> Result<()> {
    match asked.iter().find(|name| !known.contains(&name.as_str())) {
        None => Ok(()),
        Some(name) => Err(Error::BadValue {
            option,
            value: name.clone(),
            why: format!("there is no such {kind}{}", did_you_mean(name, known.iter().copied())),
            right: format!("choose from {}", known.join(", ")),
        }),
    }
}

/// Figures that are not drawn in the manners asked for.
fn nothing(figures: &[String], tray: &Tray) -> Result<Error> {
    let names: Vec<String> = sketches(tray)?.into_iter().map(|sketch| sketch.name).collect();
    Ok(Error::BadValue {
        option: "--figure",
        value: figures.join(", "),
        why: "the manners asked for have no drawing of it".into(),
        right: format!("{SKETCH} has {}; the other manners have every other figure", names.join(", ")),
    })
}

//! What `smallcast rematch` prints for a person: beads that are gone first, then what is nearer, then what stays and why.

use std::collections::BTreeSet;

use smallcast::rematch::{Fate, Holds, Judged, Lost, Other, WORTH};
use smallcast::units::DeltaE;

use super::output::Paint;
use super::rematch::Told;
use super::report::plain;
use super::table::{NARROW, Side, Table, indented, wrapped};

/// The whole report, in `width` columns.
pub fn report(told: &Told, paint: Paint, width: usize) -> String {
    let view = View { told, paint, width };
    let gone = |judged: &&Judged| judged.line.gone;
    let changes = |judged: &&Judged| matches!(judged.fate, Fate::Changes(_));
    let loses = |judged: &&Judged| matches!(judged.fate, Fate::AtALoss(_));
    let judged = || told.plan.judged().iter();
    let gone_change: Vec<&Judged> = judged().filter(gone).filter(changes).collect();
    let gone_stay: Vec<&Judged> = judged().filter(gone).filter(|judged| !changes(judged)).collect();
    let nearer: Vec<&Judged> = judged().filter(|judged| !gone(judged)).filter(changes).collect();
    let at_a_loss: Vec<&Judged> = judged().filter(|judged| !gone(judged)).filter(loses).collect();
    let mut parts = vec![view.summary()];
    parts.extend(view.section("Gone from the tray, the best that is left", &gone_change));
    parts.extend(view.gone_and_stays(&gone_stay));
    parts.extend(view.section("Nearer now", &nearer));
    parts.extend(view.section("Nearer, but something would be lost: these stay", &at_a_loss));
    parts.extend(view.by_hand());
    parts.push(view.rest());
    parts.extend(view.applied());
    parts.join("\n")
}

struct View<'a> {
    told: &'a Told<'a>,
    paint: Paint,
    width: usize,
}

impl View<'_> {
    fn summary(&self) -> String {
        let plan = self.told.plan;
        let figures = plan.changed().len();
        let changes = plan.judged().iter().filter(|judged| matches!(judged.fate, Fate::Changes(_)));
        let (colours, beads) = changes.fold((0, 0), |(n, beads), judged| (n + 1, beads + judged.line.shown));
        let tray = self.told.home.tray_name();
        let of = self.told.opened.len();
        let text = match colours {
            0 => format!("Against {tray} nothing changes in {}.", many(of, "figure")),
            _ => format!(
                "Against {tray} {} in {figures} of {} {}: {}.",
                many(colours, "colour"),
                many(of, "figure"),
                if self.told.applied { "changed" } else { "would change" },
                many(beads, "bead"),
            ),
        };
        format!("{}\n", self.paint.heading(&wrapped(&plain(&text), self.width)))
    }

    /// Lines of a kind, figure by figure.
    fn section(&self, title: &str, judged: &[&Judged]) -> Option<String> {
        if judged.is_empty() {
            return None;
        }
        let figures: BTreeSet<usize> = judged.iter().map(|judged| judged.line.figure).collect();
        let mut text = format!("{}\n", self.paint.heading(&wrapped(title, self.width)));
        for figure in figures {
            let own: Vec<&Judged> =
                judged.iter().copied().filter(|judged| judged.line.figure == figure).collect();
            text.push_str(&format!("{}\n{}", plain(self.name(figure)), self.table(&own)));
            let notes: Vec<String> = own.iter().flat_map(|judged| self.notes(judged)).collect();
            notes.iter().for_each(|note| text.push_str(&self.item(note)));
        }
        Some(text)
    }

    fn table(&self, judged: &[&Judged]) -> String {
        let mut table = Table::new(&[
            ("bead", Side::Left),
            ("beads", Side::Right),
            ("apart", Side::Right),
            ("other", Side::Left),
            ("apart", Side::Right),
        ]);
        for judged in judged {
            let Some(other) = other(&judged.fate) else { continue };
            let new = self.told.home.tray.bead(other.bead);
            let old = self.told.home.tray.find(&judged.line.bead).map(|id| self.told.home.tray.bead(id).lab);
            // Of a bead that is gone the other one is all there is to see.
            let swatches = [old.unwrap_or(new.lab).srgb(), new.lab.srgb()];
            let cells = vec![
                plain(&judged.line.bead),
                judged.line.shown.to_string(),
                judged.line.apart.map_or("?".into(), |apart| apart.to_string()),
                plain(&new.name),
                other.apart.to_string(),
            ];
            table.row(if self.width < NARROW { &[] } else { &swatches }, cells);
        }
        table.render(self.paint, self.width, &[0, 3])
    }

    /// What is to be said of a line beside its numbers.
    fn notes(&self, judged: &Judged) -> Vec<String> {
        let line = &judged.line;
        let mut notes = Vec::new();
        if let Some(other) = other(&judged.fate) {
            let new = &self.told.home.tray.bead(other.bead).name;
            notes.extend(other.lost.iter().map(|lost| match lost {
                Lost::Contrast { beside, .. } if beside == new => format!("{new} is what it touches"),
                Lost::Contrast { beside, apart } => {
                    format!("{new} is hard to tell from {beside}, which it touches ({apart} apart)")
                }
                Lost::Short { missing } => format!("{new} is {missing} short for these figures"),
            }));
        }
        if line.by_hand > 0 {
            notes.push(format!("{} settled by hand stay {}", many(line.by_hand, "bead"), line.bead));
        }
        for thing in &line.things {
            let elsewhere: Vec<&str> = self
                .told
                .plan
                .judged()
                .iter()
                .filter(|other| other.line.figure != line.figure && other.line.things.contains(thing))
                .map(|other| self.name(other.line.figure))
                .collect();
            if !elsewhere.is_empty() {
                notes.push(format!("{thing}: the same in {}", elsewhere.join(", ")));
            }
        }
        notes
    }

    /// Beads that are gone and stay all the same: by hand, with a thing, or for want of an aim.
    fn gone_and_stays(&self, judged: &[&Judged]) -> Option<String> {
        let items: Vec<String> = judged.iter().map(|judged| self.gone_item(judged)).collect();
        let title = "Gone from the tray, and left as they are: choose by eye";
        (!items.is_empty())
            .then(|| format!("{}\n{}", self.paint.heading(&wrapped(title, self.width)), items.concat()))
    }

    fn gone_item(&self, judged: &Judged) -> String {
        let line = &judged.line;
        let beads = many(line.by_hand + line.shown, "bead");
        let (why, nearer) = match &judged.fate {
            Fate::ByHand(nearer) => ("by hand".to_owned(), nearer.as_ref()),
            Fate::Together { thing, why, nearer } => {
                (format!("{thing} {}", self.holds(why)), nearer.as_ref())
            }
            _ => ("no reference colour is stored for it".to_owned(), None),
        };
        let nearer = nearer.map_or(String::new(), |other| format!("; {} is the best left", self.with(other)));
        self.item(&format!("{}: {} ({beads}), {why}{nearer}", self.name(line.figure), line.bead))
    }

    /// Beads set by hand where another would be nearer, and things that cannot change everywhere.
    fn by_hand(&self) -> Option<String> {
        let mut items = Vec::new();
        let mut said: BTreeSet<&str> = BTreeSet::new();
        for judged in self.told.plan.judged().iter().filter(|judged| !judged.line.gone) {
            let line = &judged.line;
            match &judged.fate {
                Fate::ByHand(Some(other)) => {
                    let now = line.apart.map_or(String::new(), |apart| format!(", {apart} apart"));
                    let beads = many(line.by_hand, "bead");
                    let name = self.name(line.figure);
                    items.push(format!(
                        "{name}: {} ({beads}{now}); {} is nearer",
                        line.bead,
                        self.with(other)
                    ));
                }
                Fate::Together { thing, why, nearer: Some(other) } if said.insert(thing) => {
                    let bead = &self.told.home.tray.bead(other.bead).name;
                    let held = self.holds(why);
                    items.push(format!(
                        "{thing}: stays {} everywhere, because it {held}; {bead} would serve it better",
                        line.bead
                    ));
                }
                _ => {}
            }
        }
        let text: String = items.iter().map(|item| self.item(item)).collect();
        let title = "Set by hand: these stay";
        (!items.is_empty()).then(|| format!("{}\n{text}", self.paint.heading(&wrapped(title, self.width))))
    }

    /// What keeps a thing from changing.
    fn holds(&self, why: &Holds) -> String {
        match why {
            Holds::Hand(at) => format!("is set by hand in {}", self.name(*at)),
            Holds::NoAim(at) => format!("has no reference colour in {}", self.name(*at)),
            Holds::NotChosen(stem) => format!("is also in {stem}, which is not looked at"),
        }
    }

    fn with(&self, other: &Other) -> String {
        let Other { bead, apart: DeltaE(apart), .. } = other;
        format!("{} ({apart:.1})", self.told.home.tray.bead(*bead).name)
    }

    /// What stays and is not named, and lines without a colour, which are.
    fn rest(&self) -> String {
        let count = |is: fn(&Fate) -> bool| {
            self.told.plan.judged().iter().filter(|judged| is(&judged.fate) && !judged.line.gone).count()
        };
        let stays = [
            (count(|fate| matches!(fate, Fate::Best)), "have the nearest bead".to_owned()),
            (
                count(|fate| matches!(fate, Fate::Slight)),
                format!("would come nearer by less than {WORTH}, which half of all people do not see"),
            ),
            (
                count(|fate| matches!(fate, Fate::ByHand(None) | Fate::Together { nearer: None, .. })),
                "are set by hand, and nothing nearer is known".to_owned(),
            ),
        ];
        let stays: Vec<String> =
            stays.into_iter().filter(|(n, _)| *n > 0).map(|(n, why)| format!("{n} {why}")).collect();
        let mut text = match stays.is_empty() {
            true => String::new(),
            false => {
                format!("{}\n", wrapped(&format!("Of the other colours {}.", stays.join("; ")), self.width))
            }
        };
        let without = self.told.plan.judged().iter().filter(|judged| judged.fate == Fate::NoAim);
        let without: Vec<String> = without
            .map(|judged| format!("{} in {}", judged.line.bead, self.name(judged.line.figure)))
            .collect();
        if !without.is_empty() {
            let said =
                format!("Left as they are, without a stored reference colour: {}.", without.join(", "));
            text.push_str(&format!("{}\n", wrapped(&plain(&said), self.width)));
        }
        text
    }

    /// Where the changes are, and what the cast's own file still says.
    fn applied(&self) -> Option<String> {
        if !self.told.applied || self.told.edits.is_empty() {
            return None;
        }
        let mut text =
            format!("{} saved, each by one step in its own history.", many(self.told.edits.len(), "figure"));
        let things: BTreeSet<(String, &str)> = self
            .told
            .plan
            .judged()
            .iter()
            .filter_map(|judged| Some((other_if_changed(&judged.fate)?, &judged.line.things)))
            .flat_map(|(other, things)| {
                let bead = &self.told.home.tray.bead(other.bead).name;
                things.iter().map(move |thing| (thing.clone(), bead.as_str()))
            })
            .collect();
        for (thing, bead) in things {
            text.push_str(&format!(" In cast.toml, change this thing to {bead}: {thing}."));
        }
        Some(format!("{}\n", wrapped(&plain(&text), self.width)))
    }

    fn name(&self, figure: usize) -> &str {
        self.told.opened[figure].figure.name()
    }

    fn item(&self, text: &str) -> String {
        format!("{}\n", indented(&plain(text), self.width))
    }
}

fn other(fate: &Fate) -> Option<&Other> {
    match fate {
        Fate::Changes(other) | Fate::AtALoss(other) => Some(other),
        _ => None,
    }
}

fn other_if_changed(fate: &Fate) -> Option<&Other> {
    match fate {
        Fate::Changes(other) => Some(other),
        _ => None,
    }
}

/// `1 bead`, `3 beads`.
pub fn many(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}

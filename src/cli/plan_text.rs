//! What `smallcast plan` prints for a person.

use std::fmt::Write as _;

use smallcast::figure::{Figure, Placed};
use smallcast::plan::{Apart, Difference, Heard, Look, Sources, Zone, ZoneRows};
use smallcast::sheet::figure_colours;
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

use super::output::Paint;
use super::plan::Table;
use super::plan_asked::{OfAge, Planned};
use super::report::plain;
use super::table::{Side, Table as Lines, headline, indented, wrapped};

/// Narrower terminals have a class in three lines instead of one.
const NARROW: usize = 74;

/// What is shown, and the room for it.
pub struct View<'a> {
    pub table: &'a Table,
    pub paint: Paint,
    pub width: usize,
}

impl View<'_> {
    /// All classes.
    pub fn all(&self) -> String {
        let classes = Planned::classes(self.table);
        let mut text = format!("{}\n\n", self.paint.heading(&self.wrapped(&self.guide())));
        if self.width < NARROW {
            classes.iter().for_each(|one| text.push_str(&self.class_in_lines(one)));
        } else {
            text.push_str(&self.class_table(&classes));
        }
        let notes = [
            "The head keeps its rows. A shorter adult loses a torso row, a taller one gains a leg row, a very \
             tall one a leg row, a torso row and a headwear row; a child has a torso of five, and differs by the leg; \
             a small child is three beads wide.",
            &format!(
                "A row is {:.1} cm: people whose heights are on the same line come out equal.",
                self.table.guide.row_height().0
            ),
        ];
        for note in notes {
            let _ = write!(text, "\n{}\n", self.wrapped(note));
        }
        text
    }

    /// The guide in one line.
    fn guide(&self) -> String {
        let guide = &self.table.guide;
        let whose = match &self.table.guide_file {
            Some(name) => format!("Beside the cast's guide, {}", plain(name)),
            None => "Beside the guide".into(),
        };
        let assumed = if self.table.is_stature_said { "" } else { ", the usual height being assumed" };
        format!("{whose}: {} rows for {} cm{assumed}", guide.rows().total(), number(guide.stature().0))
    }

    fn class_table(&self, classes: &[Planned]) -> String {
        let right = |title| (title, Side::Right);
        let titles = [
            ("class", Side::Left),
            right("rows"),
            right("headwear"),
            right("head"),
            right("neck"),
            right("torso"),
            right("legs"),
            right("feet"),
            right("stands, cm"),
        ];
        let mut lines = Lines::new(&titles);
        for one in classes {
            let differences = self.table.guide.differences(&one.rows);
            let mut cells = vec![plain(&one.name), one.rows.total().to_string()];
            cells.extend(Zone::ALL.map(|zone| zone_cell(&one.rows, zone, &differences)));
            cells.push(self.range(one, "-"));
            lines.row(&[], cells);
        }
        lines.render(self.paint, self.width, &[0])
    }

    fn class_in_lines(&self, one: &Planned) -> String {
        let name = self.paint.heading(&plain(&one.name));
        let mut text = format!("{name}: {} rows, {} cm\n", one.rows.total(), self.range(one, " to "));
        let _ = writeln!(text, "{}", indented(&spoken(&one.rows), self.width));
        let differences: Vec<String> =
            self.table.guide.differences(&one.rows).iter().map(ToString::to_string).collect();
        if !differences.is_empty() {
            let _ = writeln!(text, "{}", indented(&differences.join(", "), self.width));
        }
        text
    }

    fn range(&self, one: &Planned, between: &str) -> String {
        let (from, to) = self.table.guide.range_of(one.rows.total());
        format!("{:.1}{between}{:.1}", from.0, to.0)
    }

    /// One figure's rows, why they are so, and its plain body.
    pub fn one(&self, planned: &Planned, body: &Figure, tray: &Tray) -> String {
        let total = planned.rows.total();
        let class = planned.class.as_ref().filter(|class| **class != planned.name);
        let class = class.map_or(String::new(), |class| format!(", class {class}"));
        let title = format!("{}: {}{class}", planned.name, many(total, "row"));
        let mut text = format!(
            "{}\n{}\n\n",
            headline(&plain(&title), self.paint, self.width),
            self.wrapped(&spoken(&planned.rows))
        );
        text.push_str(&self.body(&planned.rows, body, tray));
        let _ = write!(text, "\n{}\n", self.why(planned));
        if let Some(age) = &planned.age {
            let _ = write!(text, "\n{}", self.age(age));
        } else if let Some(sources) = &planned.sources {
            let _ = write!(text, "\n{}", self.sources(sources));
        }
        let build = planned.build(self.table);
        let legs = beads(build.leg);
        let _ = write!(
            text,
            "\n{}\n",
            self.wrapped(&format!(
                "Built {}: a torso of {}, a leg of {legs}. {}",
                self.table.kind.name(),
                beads(build.torso),
                look(&self.table.look)
            ))
        );
        text
    }

    fn why(&self, planned: &Planned) -> String {
        let mut lines = vec![self.wrapped(&self.guide())];
        let differences = self.table.guide.differences(&planned.rows);
        if differences.is_empty() {
            lines.push(indented("no row differs", self.width));
        }
        lines.extend(
            differences.iter().map(|one| indented(&format!("{one}: {}", one.why.words()), self.width)),
        );
        lines.push(self.wrapped(&format!(
            "These rows stand for {} cm. A row is {:.1} cm: people who differ by less come out equal, or one \
            row different where a border lies between them.",
            self.range(planned, " to "),
            self.table.guide.row_height().0
        )));
        lines.join("\n")
    }

    /// What each source gives, and whether it matters which is right.
    fn sources(&self, sources: &Sources) -> String {
        let mut lines =
            Lines::new(&[("source", Side::Left), ("exactly", Side::Right), ("rows", Side::Right)]);
        let mut add = |name: String, heard: &Heard| {
            lines.row(&[], vec![name, format!("{:.2}", heard.share), heard.rows.to_string()]);
        };
        for heard in &sources.each {
            add(format!("{} cm", number(heard.stature.0)), heard);
        }
        if sources.each.len() < 2 {
            return lines.render(self.paint, self.width, &[]);
        }
        add(format!("{} cm, the middle", number(sources.middle.stature.0)), &sources.middle);
        let (lowest, highest) = sources.ends;
        let apart = number(highest.stature.0 - lowest.stature.0);
        let row = self.table.guide.row_height().0;
        let verdict = match sources.apart() {
            Apart::Nothing => format!("They are {apart} cm apart, and that changes no row."),
            Apart::UnderARow => format!(
                "They are {apart} cm apart, less than a row of {row:.1} cm, with a border between: {} rows or {}. \
                 Either will do; the middle gives {}.",
                lowest.rows, highest.rows, sources.middle.rows
            ),
            Apart::Rows => format!(
                "They are {apart} cm apart, and that changes the figure: {} to {} rows. The middle gives {}.",
                lowest.rows, highest.rows, sources.middle.rows
            ),
        };
        format!("{}{}\n", lines.render(self.paint, self.width, &[]), self.wrapped(&verdict))
    }

    /// What the growth charts say of an age.
    fn age(&self, of: &OfAge) -> String {
        let between = if of.age.is_between() { ", halfway between two whole years" } else { "" };
        // In forty columns the unit stands over the table.
        let (unit, over) = if self.width < NARROW { ("", ", in cm") } else { (" cm", "") };
        let title = format!("Growth charts (CDC 2000), {} years{between}{over}:", of.age.years());
        let right = |title| (title, Side::Right);
        let mut lines =
            Lines::new(&[("", Side::Left), right("5th"), right("median"), right("95th"), right("rows")]);
        for &sex in &of.sexes {
            let heights = of.age.heights(sex);
            let [low, median, high] =
                [heights.low, heights.median, heights.high].map(|cm| Heard::new(cm, &self.table.guide));
            let cm = |heard: &Heard| format!("{:.1}{unit}", heard.stature.0);
            let rows = format!("{} ({}-{})", median.rows, low.rows, high.rows);
            lines.row(&[], vec![sex.name().into(), cm(&low), cm(&median), cm(&high), rows]);
        }
        let note = "A check on a figure's rows, not a judgement of a child: of a hundred children, ninety \
        stand \
                    between the 5th and the 95th percentile.";
        let table = lines.render(self.paint, self.width, &[]);
        format!("{}\n{table}{}\n", self.wrapped(&title), self.wrapped(note))
    }

    /// The body, its zones named where they begin.
    fn body(&self, zones: &ZoneRows, figure: &Figure, tray: &Tray) -> String {
        let (beads, colours) = (figure.beads(), figure_colours(figure, tray));
        let mut text = String::new();
        for row in (0..beads.rows()).map(Row) {
            let peg = |column| {
                let place = (row, Column(column));
                match (beads[place], colours[place]) {
                    (Some(Placed { mark, .. }), Some(colour)) => {
                        self.paint.bead(colour, &format!("{} ", mark.get()))
                    }
                    _ => self.paint.faint(". "),
                }
            };
            let pegs: String = (0..beads.columns()).map(peg).collect();
            let zone = zones.spans().find(|&(_, first, _)| first == row.0);
            let zone = zone.map_or(String::new(), |(zone, _, rows)| format!("  {} {rows}", zone.name()));
            let _ = writeln!(text, "  {}", format!("{pegs}{}", self.paint.faint(&zone)).trim_end());
        }
        text
    }

    fn wrapped(&self, text: &str) -> String {
        wrapped(text, self.width)
    }
}

/// A zone's rows, and by how many they differ from the guide's.
fn zone_cell(rows: &ZoneRows, zone: Zone, differences: &[Difference]) -> String {
    match (differences.iter().find(|one| one.zone == zone), rows.get(zone)) {
        (None, 0) => String::new(),
        (None, rows) => rows.to_string(),
        (Some(difference), rows) => format!("{rows} ({:+})", difference.rows),
    }
}

/// Rows by zone as they are spoken: `head 5, neck 1`.
fn spoken(rows: &ZoneRows) -> String {
    let parts: Vec<String> = rows.spans().map(|(zone, _, rows)| format!("{} {rows}", zone.name())).collect();
    parts.join(", ")
}

fn look(look: &Look) -> String {
    let Look { facing, legs, limbs, arms, head } = look;
    format!(
        "Look: {}, legs {}, limbs {} wide, arms {} long, a {} head.",
        facing.name(),
        legs.name(),
        beads((*limbs).into()),
        beads((*arms).into()),
        head.name()
    )
}

fn beads(count: i32) -> String {
    many(count.unsigned_abs() as usize, "bead")
}

fn many(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

/// Centimetres to at most a hundredth.
fn number(cm: f64) -> String {
    let hundredths = format!("{cm:.2}");
    hundredths.trim_end_matches('0').trim_end_matches('.').into()
}

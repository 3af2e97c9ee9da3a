//! What `smallcast plan --json` prints.

use std::path::Path;

use serde::Serialize;
use smallcast::plan::PlainBody;
use smallcast::plan::{Apart, Difference, Heard, Look, Sources, Zone, ZoneRows};

use super::plan::Table;
use super::plan_asked::{OfAge, Planned};

/// The layout of the document; grows when a reader would have to change.
const FORMAT: u32 = 1;

/// The document of a plan.
#[derive(Serialize)]
pub struct Document {
    format: u32,
    guide: GuideJson,
    classes: Vec<RowsJson>,
    /// Null where nobody was asked for.
    planned: Option<PlannedJson>,
    saved: Vec<String>,
}

#[derive(Serialize)]
struct GuideJson {
    /// Null where it is the embedded one.
    name: Option<String>,
    stature_cm: f64,
    /// Whether the guide's file says it, or the usual height was taken.
    stature_said: bool,
    row_cm: f64,
    rows: usize,
    zones: ZonesJson,
}

#[derive(Serialize)]
struct ZonesJson {
    headwear: usize,
    head: usize,
    neck: usize,
    torso: usize,
    legs: usize,
    feet: usize,
}

#[derive(Serialize)]
struct RowsJson {
    name: String,
    rows: usize,
    zones: ZonesJson,
    /// The standing heights that come to this many rows, from the first to below the second.
    from_cm: f64,
    to_cm: f64,
    differences: Vec<DifferenceJson>,
}

#[derive(Serialize)]
struct DifferenceJson {
    zone: &'static str,
    rows: isize,
    why: &'static str,
    words: &'static str,
}

#[derive(Serialize)]
struct PlannedJson {
    #[serde(flatten)]
    rows: RowsJson,
    class: Option<String>,
    build: BuildJson,
    look: LookJson,
    sources: Option<SourcesJson>,
    age: Option<AgeJson>,
    beads: Vec<String>,
}

#[derive(Serialize)]
struct BuildJson {
    name: &'static str,
    torso: i32,
    leg: i32,
}

#[derive(Serialize)]
struct LookJson {
    facing: &'static str,
    legs: &'static str,
    limbs: u8,
    arms: u8,
    head: &'static str,
}

#[derive(Serialize)]
struct SourcesJson {
    each: Vec<HeardJson>,
    middle: HeardJson,
    apart_cm: f64,
    apart: &'static str,
    changes_a_row: bool,
}

#[derive(Serialize)]
struct HeardJson {
    stature_cm: f64,
    share: f64,
    rows: usize,
}

#[derive(Serialize)]
struct AgeJson {
    years: f64,
    halfway_between_years: bool,
    source: &'static str,
    heights: Vec<HeightsJson>,
}

#[derive(Serialize)]
struct HeightsJson {
    sex: &'static str,
    p5: HeardJson,
    median: HeardJson,
    p95: HeardJson,
}

/// What was planned, and what was saved.
pub fn document(table: &Table, planned: Option<&Planned>, files: &[(&Path, Vec<u8>)]) -> Document {
    let guide = &table.guide;
    Document {
        format: FORMAT,
        guide: GuideJson {
            name: table.guide_file.clone(),
            stature_cm: hundredths(guide.stature().0),
            stature_said: table.is_stature_said,
            row_cm: hundredths(guide.row_height().0),
            rows: guide.rows().total(),
            zones: zones(guide.rows()),
        },
        classes: Planned::classes(table).iter().map(|one| rows(one, table)).collect(),
        planned: planned.map(|one| of(one, table)),
        saved: files.iter().map(|(file, _)| file.display().to_string()).collect(),
    }
}

fn of(planned: &Planned, table: &Table) -> PlannedJson {
    let build = planned.build(table);
    let Look { facing, legs, limbs, arms, head } = table.look;
    let body = PlainBody::new(&planned.rows, build, table.look);
    PlannedJson {
        rows: rows(planned, table),
        class: planned.class.clone(),
        build: BuildJson { name: table.kind.name(), torso: build.torso, leg: build.leg },
        look: LookJson { facing: facing.name(), legs: legs.name(), limbs, arms, head: head.name() },
        sources: planned.sources.as_ref().filter(|_| planned.age.is_none()).map(sources),
        age: planned.age.as_ref().map(|of| age(of, table)),
        beads: body.text().lines().map(Into::into).collect(),
    }
}

fn rows(planned: &Planned, table: &Table) -> RowsJson {
    let (from, to) = table.guide.range_of(planned.rows.total());
    RowsJson {
        name: planned.name.clone(),
        rows: planned.rows.total(),
        zones: zones(&planned.rows),
        from_cm: hundredths(from.0),
        to_cm: hundredths(to.0),
        differences: table.guide.differences(&planned.rows).into_iter().map(difference).collect(),
    }
}

fn difference(Difference { zone, rows, why }: Difference) -> DifferenceJson {
    DifferenceJson { zone: zone.name(), rows, why: why.name(), words: why.words() }
}

fn zones(rows: &ZoneRows) -> ZonesJson {
    let [headwear, head, neck, torso, legs, feet] = Zone::ALL.map(|zone| rows.get(zone));
    ZonesJson { headwear, head, neck, torso, legs, feet }
}

fn sources(sources: &Sources) -> SourcesJson {
    let (lowest, highest) = sources.ends;
    SourcesJson {
        each: sources.each.iter().map(heard).collect(),
        middle: heard(&sources.middle),
        apart_cm: hundredths(highest.stature.0 - lowest.stature.0),
        apart: match sources.apart() {
            Apart::Nothing => "nothing",
            Apart::UnderARow => "under-a-row",
            Apart::Rows => "rows",
        },
        changes_a_row: sources.apart() != Apart::Nothing,
    }
}

fn heard(heard: &Heard) -> HeardJson {
    HeardJson { stature_cm: hundredths(heard.stature.0), share: hundredths(heard.share), rows: heard.rows }
}

fn age(of: &OfAge, table: &Table) -> AgeJson {
    let height = |stature| heard(&Heard::new(stature, &table.guide));
    let of_sex = |&sex: &smallcast::plan::Sex| {
        let own = of.age.heights(sex);
        let (p5, median, p95) = (height(own.low), height(own.median), height(own.high));
        HeightsJson { sex: sex.name(), p5, median, p95 }
    };
    AgeJson {
        years: of.age.years(),
        halfway_between_years: of.age.is_between(),
        source: "CDC growth charts 2000, stature for age",
        heights: of.sexes.iter().map(of_sex).collect(),
    }
}

/// To a hundredth, as the published heights are.
fn hundredths(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

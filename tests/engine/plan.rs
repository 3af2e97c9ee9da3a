//! Rows of the trade (common practice, no source), and what the options say of them.

use std::collections::HashMap;

use proptest::prelude::*;
use smallcast::error::Error;
use smallcast::plan::{
    Age, Apart, Build, BuildKind, Classes, GUIDE_STATURE, Guide, HeightClass, Landmark, Look, MOST_ROWS,
    Marks, Sex, Sources, Why, Zone, ZoneRows, zones_for_rows,
};
use smallcast::units::Centimetres;

fn rows(class: &str) -> [usize; 6] {
    let class = Classes::trade().named(class).unwrap();
    Zone::ALL.map(|zone| class.rows.get(zone))
}

/// Common practice, no source: the guide has head 5, neck 1, torso 8, legs 9, feet 1; a shorter adult loses
/// a torso row, a taller one gains a leg row, a very tall one a leg row, a torso row and a headwear row;
/// older children have a torso of five rows.
#[test]
fn the_trade_s_classes_have_the_trade_s_rows() {
    assert_eq!(rows("guide"), [0, 5, 1, 8, 9, 1]);
    assert_eq!(rows("guide").iter().sum::<usize>(), 24);
    assert_eq!(rows("shorter"), [0, 5, 1, 7, 9, 1]);
    assert_eq!(rows("taller"), [0, 5, 1, 8, 10, 1]);
    assert_eq!(rows("very-tall"), [1, 5, 1, 9, 10, 1]);
    assert_eq!(rows("older-child")[3], 5);
    assert_eq!(rows("child")[3], 5);
}

#[test]
fn a_height_between_classes_keeps_head_neck_and_feet() {
    for total in 13..=40 {
        let zones = zones_for_rows(total);
        assert_eq!(zones.total(), total);
        assert_eq!(
            (zones.get(Zone::Head), zones.get(Zone::Neck), zones.get(Zone::Feet)),
            (5, 1, 1),
            "{total}"
        );
    }
}

#[test]
fn a_misspelt_class_is_answered_with_the_one_meant() {
    let Err(Error::BadValue { why, right, .. }) = Classes::trade().named("shortr") else {
        panic!("accepted")
    };
    assert!(why.contains("did you mean shorter?"), "{why}");
    assert!(right.ends_with("very-tall, taller, guide, shorter, older-child, child, small-child"), "{right}");
}

#[test]
fn marks_are_checked_against_one_another_and_the_picture() {
    let marks = Marks::parse("crown=10,chin=110,sole=860").unwrap();
    assert_eq!(marks.get(Landmark::Chin), Some(110.0));
    assert_eq!(marks.get(Landmark::Hip), None);
    assert_eq!(marks.to_string(), "crown=10,chin=110,sole=860");
    let guide = HeightClass::GUIDE.rows;
    assert!(marks.check_against(&guide, 900).is_ok());
    assert!(marks.check_against(&guide, 800).is_err(), "the sole lies below the picture");
    let flat = Marks::parse("crown=10,chin=10").unwrap();
    assert!(flat.check_against(&guide, 900).is_err(), "a head without height");
    for fault in ["chin=5,crown=9", "chin", "chin=x", "chin=-3", "knee=4", "chin=1,chin=2", ""] {
        assert!(Marks::parse(fault).is_err(), "{fault}");
    }
}

#[test]
fn zones_are_read_as_they_are_written() {
    let zones = ZoneRows::parse("headwear=1, head=5,neck=1,torso=8,legs=9,feet=1").unwrap();
    assert_eq!(zones.to_string(), "headwear=1,head=5,neck=1,torso=8,legs=9,feet=1");
    let spans: Vec<(Zone, usize, usize)> = zones.spans().collect();
    assert_eq!(spans[1], (Zone::Head, 1, 5));
    for fault in ["head=5,head=5", "head", "hat=1", "head=x", "head=0", "legs=9999", ""] {
        assert!(ZoneRows::parse(fault).is_err(), "{fault}");
    }
}

/// Rows of `fixtures/published/stature-by-age.csv`: CDC 2000 growth charts, stature for age (Kuczmarski et al., Vital
/// Health Stat 11(246), 2002), by the names of their columns.
fn charts() -> Vec<HashMap<String, String>> {
    let text = include_str!("../../fixtures/published/stature-by-age.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    reader.deserialize().collect::<Result<_, _>>().unwrap()
}

fn cm(row: &HashMap<String, String>, column: &str) -> Centimetres {
    Centimetres(row[column].parse().unwrap())
}

/// CDC 2000 medians against a guide of 24 rows that stands 176.85 cm, the median man of 20 years: every age has the rows
/// of its height's share, and the rows the trade gives them (common practice, no source).
#[test]
fn men_and_women_of_every_age_have_their_share_of_the_guide_s_rows() {
    let guide = Guide::new(HeightClass::GUIDE.rows, Centimetres(176.85));
    let charts = charts();
    assert_eq!(charts.len(), 2 * 19);
    let mut rows = HashMap::new();
    for row in &charts {
        let median = cm(row, "median_cm");
        let share = (24.0 * median.0 / 176.85).round() as usize;
        let zones = guide.zones_for(guide.rows_for(median));
        let who = format!("{}, {} years", row["sex"], row["age_years"]);
        assert_eq!(zones.total(), share, "{who}");
        assert_eq!(
            (zones.get(Zone::Headwear), zones.get(Zone::Head), zones.get(Zone::Feet)),
            (0, 5, 1),
            "{who}"
        );
        let torso = zones.get(Zone::Torso);
        assert!(if share < 22 { torso <= 5 } else { torso >= 7 }, "{who}: torso {torso}");
        rows.insert((row["sex"].clone(), row["age_years"].clone()), zones);
    }
    let of = |sex: &str, age: &str| rows[&(sex.to_owned(), age.to_owned())];
    assert_eq!(of("male", "20"), HeightClass::GUIDE.rows);
    assert_eq!(of("female", "20").to_string(), "head=5,neck=1,torso=7,legs=8,feet=1");
    assert_eq!(of("female", "20").total(), 22);
    for sex in ["male", "female"] {
        assert_eq!(of(sex, "10"), Classes::trade().named("older-child").unwrap().rows);
        assert_eq!(of(sex, "10").total(), 19);
        assert_eq!(of(sex, "5"), Classes::trade().named("small-child").unwrap().rows);
        assert_eq!(of(sex, "5").total(), 15);
        assert_eq!(of(sex, "2").total(), 12);
        // The smallest have a torso three beads wide.
        assert_eq!(Build::of(BuildKind::Usual, &of(sex, "2"), Look::USUAL).torso, 3);
    }
}

/// The growth charts compiled in are the published ones, to the hundredth; half years lie halfway.
#[test]
fn ages_have_the_published_heights() {
    for row in charts() {
        let sex = Sex::named(&row["sex"]).unwrap();
        let heights = Age::parse(&row["age_years"]).unwrap().heights(sex);
        let published = ["median_cm", "p5_cm", "p95_cm"].map(|column| cm(&row, column));
        assert_eq!(
            [heights.median, heights.low, heights.high],
            published,
            "{} {}",
            row["sex"],
            row["age_years"]
        );
    }
    let [seven, half, eight] = ["7", "7.5", "8"].map(|age| Age::parse(age).unwrap());
    let median = |age: Age| age.heights(Sex::Female).median.0;
    assert!(half.is_between() && !seven.is_between());
    assert!((median(half) - f64::midpoint(median(seven), median(eight))).abs() < 1e-9);
    for fault in ["1.5", "20.5", "40", "-3", "seven", "", "7.25", "nan", "inf", "1e300"] {
        assert!(Age::parse(fault).is_err(), "{fault}");
    }
}

/// Common practice, no source: where the trade puts what a figure has more or fewer than the guide.
#[test]
fn the_difference_lies_where_the_trade_puts_it() {
    let why = |class: &str| {
        let rows = Classes::trade().named(class).unwrap().rows;
        let differences = Guide::TRADE.differences(&rows);
        differences.iter().map(|one| (one.zone, one.rows, one.why)).collect::<Vec<_>>()
    };
    assert_eq!(why("guide"), []);
    assert_eq!(why("shorter"), [(Zone::Torso, -1, Why::ShorterTorso)]);
    assert_eq!(why("taller"), [(Zone::Legs, 1, Why::TallerLegs)]);
    let very_tall = [
        (Zone::Headwear, 1, Why::TallerHeadwear),
        (Zone::Torso, 1, Why::TallerTorso),
        (Zone::Legs, 1, Why::TallerLegs),
    ];
    assert_eq!(why("very-tall"), very_tall);
    assert_eq!(why("older-child"), [(Zone::Torso, -3, Why::ChildTorso), (Zone::Legs, -2, Why::ChildLegs)]);
    assert_eq!(
        why("small-child"),
        [(Zone::Torso, -4, Why::SmallChildTorso), (Zone::Legs, -5, Why::ChildLegs)]
    );
    let hat = ZoneRows::parse("headwear=2,head=5,neck=1,torso=8,legs=9,feet=1").unwrap();
    assert_eq!(Guide::TRADE.differences(&hat)[0].why, Why::Worn, "a hat is no height");
    // Each class is what its number of rows comes to beside the guide.
    for class in HeightClass::ALL {
        assert_eq!(zones_for_rows(class.rows.total()), class.rows, "{}", class.name);
    }
}

/// A cast's own guide may have other rows and another height: everything follows from them.
#[test]
fn a_guide_of_one_s_own_sets_the_scale() {
    let rows = ZoneRows::parse("headwear=3,head=7,neck=1,torso=10,legs=11,feet=1").unwrap();
    let guide = Guide::new(rows, Centimetres(180.0));
    assert_eq!((guide.rows().total(), guide.row_height()), (30, Centimetres(6.0)), "without its hat");
    assert_eq!(guide.rows_for(Centimetres(180.0)), 30);
    assert_eq!(guide.zones_for(29).to_string(), "head=7,neck=1,torso=9,legs=11,feet=1");
    assert_eq!(guide.zones_for(31).to_string(), "head=7,neck=1,torso=10,legs=12,feet=1");
    assert_eq!(guide.zones_for(24).get(Zone::Torso), guide.child_torso());
    let (from, to) = guide.range_of(30);
    assert_eq!((from, to), (Centimetres(177.0), Centimetres(183.0)));
    assert_eq!((guide.rows_for(from), guide.rows_for(to)), (30, 31), "from the first to below the second");
}

#[test]
fn sources_that_disagree_are_told_apart_by_what_they_change() {
    let sources = |cm: &[f64]| {
        let cm: Vec<Centimetres> = cm.iter().copied().map(Centimetres).collect();
        Sources::new(&cm, &Guide::TRADE).unwrap()
    };
    // A row is 7.37 cm: 24 rows are 173.2 to 180.5 cm.
    assert_eq!(sources(&[174.0, 180.0]).apart(), Apart::Nothing);
    let near = sources(&[178.0, 185.0]);
    assert_eq!((near.each[0].rows, near.each[1].rows, near.apart()), (24, 25, Apart::UnderARow));
    assert_eq!((near.middle.stature, near.middle.rows), (Centimetres(181.5), 25));
    let far = sources(&[190.0, 165.0, 170.0]);
    assert_eq!((far.apart(), far.middle.stature), (Apart::Rows, Centimetres(170.0)), "the one between");
    assert_eq!((far.ends.0.rows, far.ends.1.rows), (22, 26));
    assert!(Sources::new(&[], &Guide::TRADE).is_none());
}

proptest! {
    /// Whatever the guide, rows add up, a taller person never has fewer, and the differences are all there is.
    #[test]
    fn any_guide_gives_rows_that_add_up(
        rows in prop::array::uniform6(0..=16_usize).prop_filter_map("rows", |rows| ZoneRows::new(rows).ok()),
        stature in 40.0..400.0_f64,
        asked in 0.0..500.0_f64,
        total in 0..=MOST_ROWS + 5,
    ) {
        let guide = Guide::new(rows, Centimetres(stature));
        let zones = guide.zones_for(total);
        prop_assert_eq!(zones.total(), total.clamp(1, MOST_ROWS));
        let told: isize = guide.differences(&zones).iter().map(|one| one.rows).sum();
        let own = guide.rows().total() as isize;
        prop_assert!(told == zones.total() as isize - own || rows.get(Zone::Headwear) as isize == own);
        let rows = guide.rows_for(Centimetres(asked));
        prop_assert!((1..=MOST_ROWS).contains(&rows));
        prop_assert!(guide.rows_for(Centimetres(asked + 1.0)) >= rows);
        let (from, to) = guide.range_of(rows);
        let inside = from.0 <= asked + 1e-9 && asked < to.0 + 1e-9;
        prop_assert!(inside || rows == 1 || rows == MOST_ROWS, "{asked}: {rows} rows, {from:?} to {to:?}");
        prop_assert_eq!(guide.zones_for(guide.rows().total()), *guide.rows());
    }

    #[test]
    fn the_trade_s_guide_keeps_head_neck_and_feet_of_people(total in 13..=60_usize) {
        let guide = Guide::new(HeightClass::GUIDE.rows, GUIDE_STATURE);
        prop_assert_eq!(guide, Guide::TRADE);
        let (zones, next) = (guide.zones_for(total), guide.zones_for(total + 1));
        prop_assert_eq!((zones.get(Zone::Head), zones.get(Zone::Neck), zones.get(Zone::Feet)), (5, 1, 1));
        // One row more moves no zone by more than two: but from a child's torso to a grown one's.
        let moved = Zone::ALL.iter().all(|&zone| next.get(zone).abs_diff(zones.get(zone)) <= 2);
        prop_assert!(moved, "{} to {}", zones, next);
    }
}

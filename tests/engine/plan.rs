//! Rows of the trade (common practice, no source), and what the options say of them.

use smallcast::error::Error;
use smallcast::plan::{Classes, HeightClass, Landmark, Marks, Zone, ZoneRows, zones_for_rows};

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

//! Counting: agrees with another road, reckons packs and money exactly, and makes the most of the stock.

use std::collections::BTreeMap;
use std::path::PathBuf;

use proptest::prelude::*;
use smallcast::count::{Batch, Counted, Owned, Spare, count};
use smallcast::figure::{Figure, read};
use smallcast::tray::{Price, Tray};

/// Figures of the demo, and the known figures the trials are drawn from.
fn figures() -> Vec<(PathBuf, Figure)> {
    let mut files = Vec::new();
    for folder in ["demo/early-street", "src/trial/figures"] {
        let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        files.extend(entries.filter(|path| path.to_string_lossy().ends_with(".figure.toml")));
    }
    files.sort();
    files.into_iter().map(|path| (path.clone(), Figure::open(&path).unwrap())).collect()
}

/// Beads by name, counted by marks in the file's own text: lines are looked at as a person would, without the
/// reader of figure files. The figures here have one part each.
fn by_marks(text: &str) -> BTreeMap<String, u64> {
    let quoted = |line: &str| line.split('"').nth(1).unwrap_or_default().to_owned();
    let mut names: BTreeMap<char, String> = BTreeMap::new();
    let mut mark = None;
    let mut counts = BTreeMap::new();
    let mut in_beads = false;
    assert_eq!(text.matches("[[part]]").count(), 1);
    for line in text.lines() {
        if in_beads && line.starts_with("\"\"\"") {
            in_beads = false;
        } else if in_beads {
            for mark in line.chars().filter(|c| *c != '.') {
                *counts.entry(names[&mark].clone()).or_insert(0) += 1;
            }
        } else if line.starts_with("mark = ") {
            mark = quoted(line).chars().next();
        } else if line.starts_with("bead = ") {
            names.insert(mark.unwrap(), quoted(line));
        } else if line.starts_with("beads = \"\"\"") {
            in_beads = true;
        }
    }
    counts
}

#[test]
fn counts_agree_with_the_marks_in_the_files_text() {
    let tray = Tray::embedded();
    let figures = figures();
    assert!(figures.len() > 20);
    for (file, figure) in &figures {
        let counted = count(&[Batch { figure, times: 1 }], &tray, Spare::NONE);
        let ours: BTreeMap<String, u64> =
            counted.needs.iter().map(|need| (need.bead.clone(), need.each[0])).collect();
        assert_eq!(ours, by_marks(&std::fs::read_to_string(file).unwrap()), "{}", file.display());
    }
}

#[test]
fn several_figures_add_up_in_copies() {
    let tray = Tray::embedded();
    let figures = figures();
    let batches: Vec<Batch> =
        figures.iter().zip(1..).map(|((_, figure), times)| Batch { figure, times }).collect();
    let counted = count(&batches, &tray, Spare::NONE);
    let mut all: BTreeMap<String, u64> = BTreeMap::new();
    for ((file, _), times) in figures.iter().zip(1..) {
        for (bead, beads) in by_marks(&std::fs::read_to_string(file).unwrap()) {
            *all.entry(bead).or_default() += times * beads;
        }
    }
    let ours: BTreeMap<String, u64> = counted.needs.iter().map(|n| (n.bead.clone(), n.used)).collect();
    assert_eq!(ours, all);
}

#[test]
fn covered_beads_are_not_counted() {
    let text = "format = 1\nname = \"x\"\n[[legend]]\nmark = \"a\"\nbead = \"ash\"\nby = \"hand\"\n\
        [[legend]]\nmark = \"b\"\nbead = \"bone\"\nby = \"hand\"\n[[part]]\nname = \"below\"\nbeads = \"aaaa\"\n\
        [[part]]\nname = \"above\"\nat = [0, 1]\nbeads = \"b.\"\n";
    let figure = read("x", text).unwrap();
    let counted = count(&[Batch { figure: &figure, times: 1 }], &Tray::embedded(), Spare::NONE);
    let each: Vec<(&str, u64)> = counted.needs.iter().map(|n| (n.bead.as_str(), n.used)).collect();
    assert_eq!(each, [("ash", 3), ("bone", 1)]);
}

/// A figure of so many beads of each name.
fn of(beads: &[(&str, u64)]) -> Figure {
    let mut text = String::from("format = 1\nname = \"x\"\n");
    let marks = || "abcdefgh".chars().zip(beads);
    marks().for_each(|(m, (bead, _))| {
        text.push_str(&format!("[[legend]]\nmark = \"{m}\"\nbead = \"{bead}\"\nby = \"hand\"\n"));
    });
    let row: String = marks().flat_map(|(m, (_, n))| std::iter::repeat_n(m, *n as usize)).collect();
    text.push_str(&format!("[[part]]\nname = \"body\"\nbeads = \"{row}.\"\n"));
    read("x", &text).unwrap()
}

fn counted(tray: &str, figures: &[Figure], spare: &str) -> Counted {
    let tray = Tray::parse("t", tray.as_bytes()).unwrap();
    let batches: Vec<Batch> = figures.iter().map(|figure| Batch { figure, times: 1 }).collect();
    count(&batches, &tray, Spare::parse(spare).unwrap())
}

#[test]
fn what_is_not_told_is_not_short_and_what_the_tray_has_not_is() {
    let figure = of(&[("coal", 5), ("ash", 3), ("midnight", 2)]);
    let counted = counted("name,hex,count\ncoal,1f2023,4\nash,96999b,\n", &[figure], "0");
    let owned: Vec<(&str, Owned, u64)> =
        counted.needs.iter().map(|n| (n.bead.as_str(), n.owned, n.short())).collect();
    assert_eq!(
        owned,
        [("coal", Owned::Told(4), 1), ("ash", Owned::NotTold, 0), ("midnight", Owned::NotInTray, 2)]
    );
    let order = counted.order();
    assert!(order.made.is_empty() && order.is_exact());
    assert_eq!(order.waiting[0].lacks, [(0, 1), (2, 2)]);
    assert!(!order.waiting[0].alone);
}

#[test]
fn packs_are_whole_and_money_is_exact() {
    // 0.10 is no binary fraction: three of them are 0.30 here, and 0.30000000000000004 elsewhere.
    let tray = "name,hex,count,pack,price\ncoal,1f2023,0,10,0.10\nash,96999b,1,4,0.20\nbone,d5ccb9,0,,\n";
    let counted = counted(tray, &[of(&[("coal", 21), ("ash", 9), ("bone", 1)])], "0%");
    let bought: Vec<_> = counted.needs.iter().map(|n| n.to_buy().unwrap()).collect();
    assert_eq!(bought.iter().map(|b| b.packs).collect::<Vec<_>>(), [Some(3), Some(2), None]);
    let cost = |at: usize| bought[at].cost.as_ref().map(ToString::to_string);
    assert_eq!((cost(0), cost(1), cost(2)), (Some("0.30".into()), Some("0.40".into()), None));
    let (sums, unknown) = counted.costs();
    assert_eq!((sums.iter().map(ToString::to_string).collect::<Vec<_>>(), unknown), (vec!["0.70".into()], 1));
}

#[test]
fn currencies_are_kept_as_written_and_never_added_together() {
    let tray = "name,hex,count,pack,price\na,1f2023,0,1,€2.50\nb,96999b,0,1,\"€3,2\"\nc,d5ccb9,0,1,12 kr\n";
    let counted = counted(tray, &[of(&[("a", 1), ("b", 1), ("c", 2)])], "0");
    let (sums, _) = counted.costs();
    assert_eq!(sums.iter().map(ToString::to_string).collect::<Vec<_>>(), ["€5.70", "24 kr"]);
}

#[test]
fn prices_that_could_be_read_two_ways_are_refused() {
    for good in ["2.50", "2,50", "€2.50", "$ 4", "2.50 EUR", "Fr. 2.50", "0", "1234.5678", "12 kr", "¥100"]
    {
        assert_eq!(good.parse::<Price>().map(|price| price.to_string()).as_deref(), Ok(good));
    }
    for bad in ["", "€", "-1", "1,000", "1.2.3", "1e5", ".5", "Fr.2", "€2 EUR", "1.23456", "=1", "9999999999"]
    {
        assert!(bad.parse::<Price>().is_err(), "{bad}");
    }
}

#[test]
fn spare_is_read_in_percent_and_refused_otherwise() {
    for (text, shown, of_200) in [
        ("5%", "5 %", 210),
        ("5", "5 %", 210),
        ("7.5 %", "7.5 %", 215),
        ("0,25%", "0.25 %", 201),
        ("100%", "100 %", 400),
    ] {
        let spare = Spare::parse(text).unwrap();
        assert_eq!((spare.to_string().as_str(), spare.on_top_of(200)), (shown, of_200));
    }
    for text in ["", "%", "-5%", "101%", "1.234", "five", "99999999999", "+5"] {
        assert!(Spare::parse(text).is_err(), "{text}");
    }
}

#[test]
fn many_figures_are_made_greedily_within_a_bound_that_is_said() {
    // 25 different figures: more ways than are looked through.
    let figures: Vec<Figure> = (1..=25).map(|n| of(&[("coal", n), ("ash", 26 - n)])).collect();
    let counted = counted("name,hex,count\ncoal,1f2023,60\nash,96999b,60\n", &figures, "0");
    let order = counted.order();
    check_order(&counted, &order.made);
    assert!(order.made.len() <= order.at_most && order.at_most <= 25);
    assert_eq!(order.made.len() + order.waiting.len(), 25);
}

/// Whether the stock lasts for these, taken one after the other.
fn check_order(counted: &Counted, made: &[usize]) {
    for need in &counted.needs {
        let taken: u64 = made.iter().map(|&figure| need.each[figure]).sum();
        match need.owned {
            Owned::Told(owned) => assert!(counted.spare.on_top_of(taken) <= owned.into(), "{}", need.bead),
            Owned::NotTold => {}
            Owned::NotInTray => assert_eq!(taken, 0),
        }
    }
}

/// The most figures that can be made: every choice is tried.
fn by_brute_force(counted: &Counted) -> usize {
    let figures = counted.times.len();
    let fits = |chosen: u32| {
        counted.needs.iter().all(|need| {
            let taken: u64 = (0..figures).filter(|at| chosen & (1 << at) != 0).map(|at| need.each[at]).sum();
            match need.owned {
                Owned::Told(owned) => counted.spare.on_top_of(taken) <= owned.into(),
                Owned::NotTold => true,
                Owned::NotInTray => taken == 0,
            }
        })
    };
    (0..1_u32 << figures)
        .filter(|&chosen| fits(chosen))
        .map(|chosen| chosen.count_ones() as usize)
        .max()
        .unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn no_choice_makes_more_figures(
        takes in proptest::collection::vec((0_u64..12, 0_u64..12, 0_u64..12, 0_u64..2), 1..9),
        owned in (0_u32..40, 0_u32..40, proptest::option::of(0_u32..40)), spare in 0_u32..30
    ) {
        let figures: Vec<Figure> =
            takes.iter().map(|t| of(&[("coal", t.0), ("ash", t.1), ("bone", t.2), ("gone", u64::from(t.3 > 0 && t.0 == 0))])).collect();
        let third = owned.2.map_or(String::new(), |n| n.to_string());
        let tray = format!("name,hex,count\ncoal,1f2023,{}\nash,96999b,{}\nbone,d5ccb9,{third}\n", owned.0, owned.1);
        let counted = counted(&tray, &figures, &format!("{spare}%"));
        let order = counted.order();
        check_order(&counted, &order.made);
        prop_assert_eq!(order.made.len(), by_brute_force(&counted));
        prop_assert!(order.is_exact());
        for waits in &order.waiting {
            // Whoever waits lacks something, and could be first if that is what is said.
            prop_assert!(!waits.lacks.is_empty());
            let alone = counted.needs.iter().all(|need| match need.owned {
                Owned::Told(owned) => counted.spare.on_top_of(need.each[waits.figure]) <= owned.into(),
                Owned::NotTold => true,
                Owned::NotInTray => need.each[waits.figure] == 0,
            });
            prop_assert_eq!(waits.alone, alone);
        }
    }

    #[test]
    fn copies_are_as_good_as_the_same_figure_named_again(
        takes in proptest::collection::vec((0_u64..12, 1_u64..12), 1..4),
        times in proptest::collection::vec(1_u32..4, 3), owned in (0_u32..60, 0_u32..60)
    ) {
        let tray = format!("name,hex,count\ncoal,1f2023,{}\nash,96999b,{}\n", owned.0, owned.1);
        let tray = Tray::parse("t", tray.as_bytes()).unwrap();
        let figures: Vec<Figure> = takes.iter().map(|t| of(&[("coal", t.0), ("ash", t.1)])).collect();
        let copies: Vec<Batch> =
            figures.iter().zip(&times).map(|(figure, &times)| Batch { figure, times }).collect();
        let again: Vec<Batch> = copies
            .iter()
            .flat_map(|batch| std::iter::repeat_n(Batch { times: 1, ..*batch }, batch.times as usize))
            .collect();
        let (copies, again) = (count(&copies, &tray, Spare::NONE), count(&again, &tray, Spare::NONE));
        prop_assert_eq!(copies.order().made.len(), again.order().made.len());
        prop_assert_eq!(copies.used(), again.used());
        check_order(&copies, &copies.order().made);
    }

    #[test]
    fn spare_is_rounded_so_that_it_is_there(owned in 0_u64..1_000_000, hundredths in 0_u32..=10_000) {
        let spare = Spare::parse(&format!("{}.{:02}%", hundredths / 100, hundredths % 100)).unwrap();
        let most = spare.leaves(owned);
        prop_assert!(spare.on_top_of(most) <= owned && spare.on_top_of(most + 1) > owned);
    }

    #[test]
    fn money_is_what_whole_cents_say(cents in 0_u64..1_000_000, packs in 0_u64..100_000, more in 0_u64..1_000_000) {
        let price = |cents: u64| format!("{}.{:02} kr", cents / 100, cents % 100).parse::<Price>().unwrap();
        let shown = |cents: u64| format!("{}.{:02} kr", cents / 100, cents % 100);
        prop_assert_eq!(price(cents).times(packs).to_string(), shown(cents * packs));
        prop_assert_eq!(price(cents).plus(&price(more)).map(|sum| sum.to_string()), Some(shown(cents + more)));
    }

    #[test]
    fn no_text_makes_a_price_panic(text in "\\PC{0,12}") {
        if let Ok(price) = text.parse::<Price>() {
            prop_assert_eq!(price.to_string(), text.trim());
        }
    }
}

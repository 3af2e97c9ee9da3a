//! Laws: what is counted is what shows, and nobody is hidden by more than is said.

use std::collections::BTreeMap;

use proptest::prelude::*;
use smallcast::count::{Batch, Spare, count};
use smallcast::figure::Figure;
use smallcast::tray::Tray;

use crate::common::{Figures, figure, figures, scene, told};

const NAMES: [&str; 4] = ["a", "b", "c", "d"];

/// Someone of up to so many rows and columns, with gaps; the first peg has a bead, so that there is one.
fn someone(rows: usize, columns: usize) -> impl Strategy<Value = Figure> {
    let row =
        move |wide| proptest::collection::vec(prop::sample::select(vec!['c', 'w', 'r', 'c', '.']), wide);
    (1..=rows, 1..=columns)
        .prop_flat_map(move |(high, wide)| proptest::collection::vec(row(wide), high))
        .prop_map(|mut rows| {
            rows[0][0] = 'c';
            let rows: Vec<String> = rows.into_iter().map(|row| row.into_iter().collect()).collect();
            figure(&rows.iter().map(String::as_str).collect::<Vec<_>>())
        })
}

fn cast(rows: usize, columns: usize) -> impl Strategy<Value = Figures> {
    let four = proptest::collection::vec(someone(rows, columns), NAMES.len());
    four.prop_map(|four| figures(&NAMES.into_iter().zip(four).collect::<Vec<_>>()))
}

/// Figures by their names.
fn named(most: usize) -> impl Strategy<Value = Vec<&'static str>> {
    proptest::collection::vec(prop::sample::select(NAMES.to_vec()), 1..=most)
}

fn quoted(names: &[&str]) -> String {
    names.iter().map(|name| format!("'{name}'")).collect::<Vec<_>>().join(", ")
}

proptest! {
    /// A scene's count is the sum of its visible beads: counted by boards as pegged, and painted anew by hand here.
    #[test]
    fn a_scenes_count_is_the_sum_of_its_visible_beads(
        cast in cast(9, 6),
        people in named(6),
        row in 9..=29_usize,
        props in proptest::collection::vec((prop::sample::select(NAMES.to_vec()), 1..=20_usize, 1..=50_usize), 0..5),
        ground in proptest::option::of((1..=29_usize, 1..=58_usize)),
    ) {
        let mut rest = format!("[[line]]\nrow = {row}\nfigures = [{}]\nspread = true\n", quoted(&people));
        for (figure, row, column) in &props {
            rest += &format!("[[place]]\nfigure = '{figure}'\nat = [{row}, {column}]\n");
        }
        if let Some((row, column)) = ground {
            rest += &format!("[[ground]]\nbead = 'milk'\nrows = [{row}, 29]\ncolumns = [{column}, 58]\n");
        }
        let laid = scene("across = 2, down = 1", &rest, &cast);
        // Of a crowd of small people too many may come: that is told, and has its own law.
        prop_assume!(laid.is_ok());
        let scene = laid.unwrap();
        let mut painted: BTreeMap<(usize, usize), String> = BTreeMap::new();
        if let Some((row, column)) = ground {
            painted.extend((row..=29).flat_map(|r| (column..=58).map(move |c| ((r - 1, c - 1), "milk".to_owned()))));
        }
        for standing in scene.standings() {
            let own = &cast[&standing.figure];
            let first = own.beads().iter().filter(|(.., bead)| bead.is_some()).map(|(r, c, _)| (r.0, c.0)).collect::<Vec<_>>();
            let (top, left) = (first.iter().map(|peg| peg.0).min().unwrap(), first.iter().map(|peg| peg.1).min().unwrap());
            for (r, c, bead) in own.beads().iter() {
                let Some(bead) = bead else { continue };
                let peg = (standing.at.0.0 + r.0 - top, standing.at.1.0 + c.0 - left);
                painted.insert(peg, own.entry(bead.mark).unwrap().bead.clone());
            }
        }
        let mut by_name: BTreeMap<String, u64> = BTreeMap::new();
        painted.values().for_each(|bead| *by_name.entry(bead.clone()).or_default() += 1);
        let boards = scene.by_board().unwrap();
        let batches: Vec<Batch> = boards.iter().map(|figure| Batch { figure, times: 1 }).collect();
        let counted = count(&batches, &Tray::embedded(), Spare::NONE);
        let needs: BTreeMap<String, u64> = counted.needs.iter().map(|need| (need.bead.clone(), need.used)).collect();
        prop_assert_eq!(needs, by_name);
        prop_assert_eq!(counted.used(), scene.beads() as u64);
        // What is hidden and what shows is all there is.
        let hidden: usize = scene.overlaps().iter().map(|overlap| overlap.beads()).sum();
        let (all, shows) = scene.showing().iter().fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        prop_assert_eq!(all - shows, hidden);
        // Every figure of a board is told there with the beads that show.
        let on_boards: usize = scene.on_boards().iter().flatten().map(|(_, beads)| beads).sum();
        prop_assert_eq!(on_boards, shows);
        let (many, loose) = scene.pieces();
        prop_assert_eq!(loose.len(), many.saturating_sub(1));
    }

    /// Nobody of a line that is spread is hidden by more than a third, and all stand on the line or above it; else it is
    /// told how many do not fit, and those that do fit do.
    #[test]
    fn spread_never_hides_more_than_it_says(cast in cast(12, 7), people in named(30), row in 12..=29_usize) {
        let line = |people: &[&str]| {
            let rest = format!("[[line]]\nrow = {row}\nfigures = [{}]\nspread = true\n", quoted(people));
            scene("across = 1, down = 1", &rest, &cast)
        };
        let check = |scene: &smallcast::scene::Scene| {
            for (all, shows) in scene.showing() {
                prop_assert!(3 * (all - shows) <= all, "{} of {all} hidden", all - shows);
            }
            prop_assert!(scene.standings().iter().all(|one| one.rows().end <= row && one.columns().end <= 29));
            Ok(())
        };
        match line(&people) {
            Ok(scene) => {
                prop_assert_eq!(scene.standings().len(), people.len());
                check(&scene)?;
            }
            Err(error) => {
                let (_, field, why, _) = told(&error);
                prop_assert_eq!(field, "spread");
                let over: usize = why.split(' ').next().unwrap().parse().unwrap();
                prop_assert!((1..=people.len()).contains(&over), "{why}");
                let fit = people.len() - over;
                if fit > 0 {
                    check(&line(&people[..fit]).unwrap())?;
                }
            }
        }
    }

    /// The same file gives the same scene.
    #[test]
    fn a_scene_is_laid_alike_each_time(cast in cast(12, 7), people in named(9)) {
        let rest = format!("[[line]]\nrow = 29\nfigures = [{}]\nspread = true\n", quoted(&people));
        let laid = || scene("across = 2, down = 1", &rest, &cast);
        prop_assert_eq!(laid(), laid());
    }
}

//! Several people on one page: found, told apart, drafted to one scale.

use smallcast::tray::Tray;
use smallcast::trial::{known_figures, people_page};

#[test]
#[ignore = "thirty pages take minutes: run it by name after a change to how people are found"]
fn thirty_pages_of_people_are_found_with_their_rows() {
    let tray = Tray::embedded();
    let figures = known_figures(&tray).unwrap();
    let (mut all, mut exact, mut missed, mut mend) = (0, 0, 0, 0);
    for seed in 0..30 {
        let page = people_page(&figures, seed, &tray);
        if let Some(folder) = std::env::var_os("PAGES") {
            page.drawing
                .pixels
                .save(std::path::Path::new(&folder).join(format!("people-{seed}.png")))
                .unwrap();
        }
        let rows: Vec<usize> = page.people.iter().map(|figure| figure.rows()).collect();
        all += rows.len();
        match page.drafted(&tray) {
            Ok(cast) => {
                let got: Vec<usize> = cast.people.iter().map(|m| m.draft.matched.beads().rows()).collect();
                let scores: Vec<usize> = page.scores(&cast, &tray).iter().map(|s| s.mend).collect();
                let names: Vec<&str> = page.people.iter().map(|f| f.name.as_str()).collect();
                println!("{seed}: {rows:?} {got:?} mend {scores:?} {names:?}");
                mend += scores.iter().sum::<usize>();
                if got.len() == rows.len() {
                    exact += rows.iter().zip(&got).filter(|(a, b)| a == b).count();
                } else {
                    missed += 1;
                }
            }
            Err(error) => {
                println!("{seed}: {rows:?} {error}");
                missed += 1;
            }
        }
    }
    println!("{all} people, rows exact {exact}, pages missed {missed}, mend {}", mend as f64 / all as f64);
    assert!(missed == 0 && exact * 10 >= all * 9);
}

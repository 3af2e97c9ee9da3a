//! Figures to print.

use smallcast::figure::{self, Figure};

/// A figure from its rows; each letter stands for the bead named beside it.
pub fn figure(name: &str, zones: &str, legend: &[(char, &str)], rows: &[String]) -> Figure {
    let mut text = format!("format = 1\nname = {name:?}\n");
    if !zones.is_empty() {
        text += &format!("[rows]\n{}\n", zones.replace(',', "\n"));
    }
    for (mark, bead) in legend {
        text += &format!("[[legend]]\nmark = \"{mark}\"\nbead = \"{bead}\"\nby = \"hand\"\n");
    }
    text += &format!("[[part]]\nname = \"body\"\nbeads = \"\"\"\n{}\n\"\"\"\n", rows.join("\n"));
    figure::read("test", &text).unwrap()
}

/// A block of one bead, so many rows and columns.
pub fn block(rows: usize, columns: usize) -> Figure {
    figure("Block", "", &[('p', "poppy")], &vec!["p".repeat(columns); rows])
}

/// The figures of the demo and of the trials that are shipped, as text and as figures.
pub fn shipped() -> Vec<(String, Figure)> {
    let mut files = vec!["demo/early-street/milk-carter.figure.toml".to_owned()];
    let known = ["butcher", "harvest-dancer", "miller", "peddler", "ball-toddler", "river-swimmer"];
    files.extend(known.map(|name| format!("src/trial/figures/{name}.figure.toml")));
    let read = |file: String| {
        let text = std::fs::read_to_string(&file).unwrap();
        let figure = figure::read(&file, &text).unwrap();
        (text, figure)
    };
    files.into_iter().map(read).collect()
}

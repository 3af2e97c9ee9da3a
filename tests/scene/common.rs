//! Figures from a few letters, and scenes of them.

use std::collections::BTreeMap;

use smallcast::error::{Error, Result};
use smallcast::figure::{self, Figure};
use smallcast::scene::{Scene, read};

/// A figure of beads: `c` coal, `w` chalk, `r` poppy; a blank peg is a dot.
pub fn figure(rows: &[&str]) -> Figure {
    let legend: String = [("c", "coal"), ("w", "chalk"), ("r", "poppy")]
        .map(|(mark, bead)| format!("[[legend]]\nmark = \"{mark}\"\nbead = \"{bead}\"\nby = \"hand\"\n"))
        .concat();
    let text = format!(
        "format = 1\nname = \"Someone\"\n{legend}[[part]]\nname = \"body\"\nbeads = \"\"\"\n{}\n\"\"\"\n",
        rows.join("\n")
    );
    figure::read("someone", &text).unwrap()
}

/// A full block of coal.
pub fn block(rows: usize, columns: usize) -> Figure {
    let row = "c".repeat(columns);
    figure(&vec![row.as_str(); rows])
}

pub type Figures = BTreeMap<String, Figure>;

pub fn figures(named: &[(&str, Figure)]) -> Figures {
    named.iter().map(|(name, figure)| ((*name).to_owned(), figure.clone())).collect()
}

/// A scene of some figures, its first three lines given.
pub fn scene(boards: &str, rest: &str, figures: &Figures) -> Result<Scene> {
    let text = format!("format = 1\nname = \"Dawn\"\nboards = {{ {boards} }}\n{rest}");
    Scene::laid("dawn.scene.toml", &read("dawn.scene.toml", &text)?, figures)
}

/// Line, field, cause and hint of a fault in a scene file.
pub fn told(error: &Error) -> (usize, &str, &str, String) {
    match error {
        Error::SceneFile { file, line, field, why, .. } => {
            assert_eq!(file, "dawn.scene.toml");
            (*line, field, why, error.hint())
        }
        other => panic!("not a fault of a scene file: {other}"),
    }
}

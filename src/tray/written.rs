//! A tray as the text of its file.

use super::columns::Column;
use super::{Bead, Tray};

/// Columns that stand only where a bead has something in them.
const WANTED: [Column; 6] =
    [Column::Uncertainty, Column::Count, Column::Finish, Column::Pack, Column::Price, Column::Note];

impl Tray {
    /// The text of a tray file with these beads, colours in Lab under D65 to two decimals; [`Tray::parse`] reads it.
    /// `remarks` stand before the header, a line each.
    ///
    /// ```
    /// use smallcast::{colour::Lab, tray::{Bead, Tray}};
    /// let tray = Tray::new("my beads", vec![Bead::new("coal", Lab::new(12.3, 0.3, -2.2))])?;
    /// assert_eq!(tray.written(&[]), "name,L,a,b\ncoal,12.30,0.30,-2.20\n");
    /// # Ok::<(), smallcast::error::Error>(())
    /// ```
    pub fn written(&self, remarks: &[String]) -> String {
        let mut text: String = remarks.iter().map(|remark| format!("# {remark}\n")).collect();
        let has = |column: &Column| self.beads.iter().any(|bead| cell(bead, *column).is_some());
        let lab = [Column::Name, Column::L, Column::A, Column::B];
        let columns: Vec<Column> = lab.into_iter().chain(WANTED.into_iter().filter(has)).collect();
        let own = self.own_columns();
        let names = columns.iter().map(|column| column.name()).chain(own.iter().copied());
        let names: Vec<String> = names.map(str::to_owned).collect();
        text.push_str(&line(&names));
        for bead in &self.beads {
            let known = columns.iter().map(|c| cell(bead, *c).unwrap_or_default());
            let own = own.iter().map(|name| own_cell(bead, name));
            text.push_str(&line(&known.chain(own).collect::<Vec<_>>()));
        }
        text
    }
}

/// What stands in a column; nothing where the bead says nothing.
fn cell(bead: &Bead, column: Column) -> Option<String> {
    // A noughts' minus sign says nothing.
    let number = |v: f64| Some(format!("{:.2}", (v * 100.0).round() / 100.0 + 0.0));
    match column {
        Column::Name => Some(bead.name.clone()),
        Column::L => number(bead.lab.l),
        Column::A => number(bead.lab.a),
        Column::B => number(bead.lab.b),
        Column::Uncertainty => bead.uncertainty.map(|u| u.to_string()),
        Column::Count => bead.count.map(|count| count.to_string()),
        Column::Finish => bead.finish.clone(),
        Column::Pack => bead.pack.map(|pack| pack.to_string()),
        Column::Price => bead.price.as_ref().map(ToString::to_string),
        Column::Note => bead.note.clone(),
        Column::Hex | Column::White => None,
    }
}

/// What stands in a column of the maker's own.
fn own_cell(bead: &Bead, name: &str) -> String {
    bead.own_columns.iter().find(|own| own.0 == name).map_or(String::new(), |own| own.1.clone())
}

/// A line of CSV (RFC 4180): a cell that holds a comma, another sign that may part columns, or a quotation mark stands
/// between marks.
fn line(cells: &[String]) -> String {
    let written = cells.iter().map(|cell| {
        let is_plain = !cell.contains([',', ';', '\t', '"']);
        if is_plain { cell.clone() } else { format!("\"{}\"", cell.replace('"', "\"\"")) }
    });
    written.collect::<Vec<_>>().join(",") + "\n"
}

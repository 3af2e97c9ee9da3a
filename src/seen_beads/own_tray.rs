//! From beads seen in a photograph to the maker's own tray, beside the tray there was before.

use super::{ReadColour, SeenBead, SeenBeads, Unreadable};
use crate::colour::{Lab, ciede2000};
use crate::error::{Error, Result};
use crate::tray::{Bead, Tray, decoded};
use crate::units::DeltaE;

/// The names of a file, one a line in reading order; empty lines are left out. `file` names it in errors.
///
/// # Errors
/// [`Error::BadValue`] where there is none, where one stands twice, or where one could not stand in a tray file;
/// [`Error::TrayFile`] for a file that is no text.
pub fn names_of(file: &str, bytes: &[u8]) -> Result<Vec<String>> {
    let refused = |why: String, right: &str| {
        Err(Error::BadValue { option: "--names", value: file.into(), why, right: right.into() })
    };
    let bytes = decoded(file, bytes)?;
    let Ok(text) = std::str::from_utf8(&bytes) else {
        return refused("it is not plain text in UTF-8".into(), "save it as plain text in UTF-8");
    };
    let right = "write one name a line, in the order in which the beads lie: row by row, from the left";
    let lines = text.lines().enumerate();
    let named = lines.map(|(at, line)| (at + 1, line.trim())).filter(|(_, name)| !name.is_empty());
    let named: Vec<(usize, &str)> = named.collect();
    if named.is_empty() {
        return refused("there is no name in it".into(), right);
    }
    for (at, (line, name)) in named.iter().enumerate() {
        if let Some((earlier, _)) = named[..at].iter().find(|(_, known)| known == name) {
            let why = format!("{name} is on line {earlier} and again on line {line}");
            return refused(why, "give each bead its own name");
        }
        if let Some(why) = Bead::name_fault(name) {
            return refused(format!("line {line}: {why}"), right);
        }
    }
    Ok(named.into_iter().map(|(_, name)| name.to_owned()).collect())
}

/// A bead of the photograph with its name.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedBead<'a> {
    /// The maker's name for it.
    pub name: &'a str,
    /// What was seen.
    pub seen: &'a SeenBead,
}

/// A bead that was in the older tray too.
#[derive(Clone, Debug, PartialEq)]
pub struct Renewed {
    /// Its name.
    pub name: String,
    /// Its colour there.
    pub was: Lab,
    /// Its colour now.
    pub is: Lab,
    /// How far the two are apart.
    pub apart: DeltaE,
    /// Whether that may be chance: no further apart than twice what both leave open together, as nineteen in twenty
    /// readings of one bead are.
    pub is_within: bool,
}

/// A tray read from a photograph.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnTray {
    /// The beads: those named in reading order, then those of the older tray that were not.
    pub tray: Tray,
    /// Beads that have no one colour and are not in the older tray: left out.
    pub left_out: Vec<(String, Unreadable)>,
    /// Beads whose line was taken from the older tray as it stood: none of the photograph, or without one colour.
    pub kept: Vec<String>,
    /// Beads of both.
    pub renewed: Vec<Renewed>,
}

impl OwnTray {
    /// The tray of these beads by these names. Of beads in the `older` tray count, finish, pack, price and note are kept.
    /// `file` names the photograph in errors, and `names_file` the names.
    ///
    /// # Errors
    /// [`Error::BadValue`] where names and beads are not as many; [`Error::NoSubject`] where no bead has one colour.
    pub fn of(
        (file, seen): (&str, &SeenBeads),
        (names_file, names): (&str, &[String]),
        older: Option<&Tray>,
    ) -> Result<Self> {
        check_number(seen, names_file, names)?;
        let mut own = Lines::default();
        for (seen, name) in seen.beads.iter().zip(names) {
            own.add(NamedBead { name, seen }, older.and_then(|tray| tray.find(name).map(|id| tray.bead(id))));
        }
        for bead in older.iter().flat_map(|tray| tray.iter()).map(|(_, bead)| bead) {
            if !names.contains(&bead.name) {
                own.keep(bead);
            }
        }
        if own.beads.is_empty() {
            let why = "none of its beads has a single colour: all are see-through or glitter".into();
            return Err(Error::NoSubject { file: file.into(), why });
        }
        let tray = Tray::new(file, own.beads)?;
        Ok(Self { tray, left_out: own.left_out, kept: own.kept, renewed: own.renewed })
    }
}

/// A tray as it grows.
#[derive(Default)]
struct Lines {
    beads: Vec<Bead>,
    left_out: Vec<(String, Unreadable)>,
    kept: Vec<String>,
    renewed: Vec<Renewed>,
}

impl Lines {
    fn add(&mut self, NamedBead { name, seen }: NamedBead, older: Option<&Bead>) {
        match (seen.colour, older) {
            (_, Some(older)) if is_said_unreadable(older) => self.keep(older),
            (Err(_), Some(older)) => self.keep(older),
            (Err(why), None) => self.left_out.push((name.into(), why)),
            (Ok(colour), Some(older)) => {
                self.renewed.push(renewed(older, colour));
                self.beads.push(Bead {
                    lab: colour.lab,
                    uncertainty: Some(colour.uncertainty),
                    ..older.clone()
                });
            }
            (Ok(colour), None) => {
                let bead = Bead::new(name, colour.lab);
                self.beads.push(Bead { uncertainty: Some(colour.uncertainty), ..bead });
            }
        }
    }

    fn keep(&mut self, older: &Bead) {
        self.kept.push(older.name.clone());
        self.beads.push(older.clone());
    }
}

/// Whether the maker wrote that a bead has no one colour: then its colour was chosen by eye.
fn is_said_unreadable(bead: &Bead) -> bool {
    /// Words for such finishes: common practice, no source.
    const WORDS: [&str; 6] = ["clear", "glitter", "see-through", "transparent", "translucent", "glow"];
    let said = bead.finish.as_deref().unwrap_or("").to_lowercase();
    WORDS.iter().any(|word| said.contains(word))
}

fn renewed(older: &Bead, colour: ReadColour) -> Renewed {
    let apart = ciede2000(older.lab, colour.lab);
    let before = older.uncertainty.map_or(0.0, |uncertainty| uncertainty.0);
    let is_within = apart.0 <= 2.0 * colour.uncertainty.0.hypot(before);
    Renewed { name: older.name.clone(), was: older.lab, is: colour.lab, apart, is_within }
}

fn check_number(seen: &SeenBeads, file: &str, names: &[String]) -> Result<()> {
    let (beads, named) = (seen.beads.len(), names.len());
    if beads == named {
        return Ok(());
    }
    let plural = |number: usize, one: &str| format!("{number} {one}{}", if number == 1 { "" } else { "s" });
    let why = format!(
        "it has {} for {} seen in the photograph, in {}",
        plural(named, "name"),
        plural(beads, "bead"),
        in_rows(&seen.rows)
    );
    let right = "to see what was found, leave --names and --save out and add --picture FILE.png; then name \
    each bead, or \
                 lay those that were missed farther apart";
    Err(Error::BadValue { option: "--names", value: file.into(), why, right: right.into() })
}

/// `3 rows of 8, 8 and 7`.
fn in_rows(rows: &[usize]) -> String {
    let lengths: Vec<String> = rows.iter().map(ToString::to_string).collect();
    match lengths.as_slice() {
        [one] => format!("1 row of {one}"),
        [first @ .., last] => format!("{} rows of {} and {last}", rows.len(), first.join(", ")),
        [] => "no row".into(),
    }
}

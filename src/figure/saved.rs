//! A changed figure in the text the maker has: comments, order and everything unchanged stay.

use std::collections::BTreeMap;

use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value};

use super::text::{GRIDS, number, numbers, quoted};
use super::{ChosenBy, Figure, LegendEntry, Mark, Meant, Part, Source, read, write};
use crate::colour::Lab;
use crate::plan::{Zone, ZoneRows};
use crate::units::{Column, Row};

/// The text of a figure after a change. `text` is the figure file as it was; what did not change keeps its
/// bytes. A text that is not this house's figure file gives [`write()`].
pub fn saved(text: &str, figure: &Figure) -> String {
    match read("", text) {
        Ok(old) => saved_from((text, &old), figure),
        Err(_) => write(figure),
    }
}

/// As [`saved`], where the figure that a text has is known.
pub(super) fn saved_from((text, old): (&str, &Figure), figure: &Figure) -> String {
    if old == figure {
        return text.into();
    }
    let patched = patched(text, old, figure).map(|new| with_line_ends_of(text, new));
    // A figure is worth more than its comments: what would not read back the same is written afresh.
    patched.filter(|text| read("", text).is_ok_and(|again| again == *figure)).unwrap_or_else(|| write(figure))
}

/// Whether [`saved`] alone leads from the text of one figure back to `before`, the text of another.
pub(super) fn leads_back((text, figure): (&str, &Figure), (before, old): (&str, &Figure)) -> bool {
    let back = patched(text, figure, old).map(|new| with_line_ends_of(text, new));
    back.is_some_and(|back| back == before)
}

/// The writer of TOML ends every line with a line feed; a file that ends all its lines with CR LF keeps doing so.
fn with_line_ends_of(old: &str, new: String) -> String {
    let (all, with_return) = (old.matches('\n').count(), old.matches("\r\n").count());
    if all == 0 || all != with_return {
        return new;
    }
    new.replace("\r\n", "\n").replace('\n', "\r\n")
}

/// The keys of one line of the legend, in the order they are written.
const ENTRY_KEYS: [&str; 5] = ["mark", "bead", "aim", "confidence", "by"];

/// The keys of a part, in the order they are written.
const PART_KEYS: [&str; 7] = ["name", "from", "at", "beads", "sure", "why", "or"];

fn patched(text: &str, old: &Figure, new: &Figure) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    let root = document.as_table_mut();
    if old.name() != new.name() {
        set(root, "name", new.name().into());
    }
    if old.class() != new.class() {
        set_or_remove(root, "class", new.class().map(Value::from));
    }
    if old.stature() != new.stature() {
        set_or_remove(root, "stature_cm", new.stature().map(|cm| cm.0.into()));
    }
    if old.source() != new.source() {
        set_or_remove(root, "reference", new.source().map(source_value));
    }
    if old.rows() != new.rows() {
        patch_rows(root, new.rows())?;
    }
    let same_mark = |one: &LegendEntry, other: &LegendEntry| one.mark == other.mark;
    patch_list(root, "legend", (old.legend(), new.legend()), same_mark, patch_entry)?;
    if old.why() != new.why() {
        patch_why(root, new.why())?;
    }
    let same_name = |one: &Part, other: &Part| one.name == other.name;
    patch_list(root, "part", (old.parts(), new.parts()), same_name, patch_part)?;
    let same_note = |one: &Meant, other: &Meant| one.rule == other.rule && one.why == other.why;
    patch_list(root, "meant", (old.meant(), new.meant()), same_note, patch_meant)?;
    Some(document.to_string())
}

/// Sets a value; what stands around the old one stays around the new one.
fn set(table: &mut dyn TableLike, key: &str, mut value: Value) {
    match table.get_mut(key).and_then(Item::as_value_mut) {
        Some(old) => {
            *value.decor_mut() = old.decor().clone();
            *old = value;
        }
        None => {
            table.insert(key, Item::Value(value));
        }
    }
}

/// A key that comes again stands where it is written in a new file, before those that follow it there.
fn in_order(table: &mut Table, keys: &[&str], key: &str) {
    let after = keys.iter().skip_while(|other| **other != key).skip(1);
    for follower in after {
        if let Some((follower, item)) = table.remove_entry(follower) {
            table.insert_formatted(&follower, item);
        }
    }
}

fn set_or_remove(table: &mut dyn TableLike, key: &str, value: Option<Value>) {
    match value {
        Some(value) => set(table, key, value),
        None => {
            table.remove(key);
        }
    }
}

fn source_value(source: &Source) -> Value {
    let mut table = InlineTable::new();
    table.insert("picture", source.picture.as_str().into());
    if let Some(crop) = source.crop {
        table.insert("crop", Value::Array(crop.iter().map(|n| i64::from(*n)).collect::<Array>()));
    }
    if let Some(corners) = source.corners.and_then(|corners| numbers(corners).parse().ok()) {
        table.insert("corners", corners);
    }
    table.into()
}

fn patch_rows(root: &mut Table, rows: Option<&ZoneRows>) -> Option<()> {
    let Some(rows) = rows else {
        root.remove("rows");
        return Some(());
    };
    let table = root.entry("rows").or_insert(Item::Table(Table::new())).as_table_like_mut()?;
    for zone in Zone::ALL {
        let now = rows.get(zone) as i64;
        let was = table.get(zone.name()).and_then(Item::as_integer);
        if was.unwrap_or(0) != now {
            set(table, zone.name(), now.into());
        }
    }
    Some(())
}

fn patch_why(root: &mut Table, why: &BTreeMap<Mark, String>) -> Option<()> {
    if why.is_empty() {
        root.remove("why");
        return Some(());
    }
    if !root.contains_key("why") {
        // Below the legend, as in a new file: tables of one place are written in the order they came.
        let legend = root.get("legend").and_then(Item::as_array_of_tables);
        let mut table = Table::new();
        table.set_position(legend.and_then(|legend| legend.iter().filter_map(Table::position).max()));
        root.insert("why", Item::Table(table));
    }
    let table = root.get_mut("why")?.as_table_like_mut()?;
    let gone = |key: &&str| !why.keys().any(|mark| mark.get().to_string() == **key);
    let gone: Vec<String> = table.iter().map(|(key, _)| key).filter(gone).map(str::to_owned).collect();
    gone.iter().for_each(|key| {
        table.remove(key);
    });
    for (mark, name) in why {
        let key = mark.get().to_string();
        if table.get(&key).and_then(Item::as_str) != Some(name) {
            set(table, &key, name.as_str().into());
        }
    }
    Some(())
}

/// Patches a list of tables. Each new one goes on from the old one that it `is`, or from the one at its place
/// where as many are left; what stands between tables goes with the table below it.
fn patch_list<T: PartialEq>(
    root: &mut Table,
    key: &str,
    (old, new): (&[T], &[T]),
    is: impl Fn(&T, &T) -> bool,
    patch: impl Fn(&mut Table, Option<&T>, &T) -> Option<()>,
) -> Option<()> {
    if old == new {
        return Some(());
    }
    let empty = ArrayOfTables::new();
    let tables: Vec<Table> = match root.get(key) {
        Some(item) => item.as_array_of_tables()?,
        None => &empty,
    }
    .iter()
    .cloned()
    .collect();
    let mut places: Vec<isize> = tables.iter().filter_map(Table::position).collect();
    places.sort_unstable();
    let mut free: Vec<bool> = vec![true; old.len()];
    let mut list = ArrayOfTables::new();
    for (at, now) in new.iter().enumerate() {
        let here = (old.len() == new.len() && free[at] && is(&old[at], now)).then_some(at);
        let from = here.or_else(|| (0..old.len()).find(|&at| free[at] && is(&old[at], now)));
        let from = from.or_else(|| (old.len() == new.len() && free[at]).then_some(at));
        let mut table = from.map_or_else(Table::new, |from| tables[from].clone());
        from.into_iter().for_each(|from| free[from] = false);
        patch(&mut table, from.map(|from| &old[from]), now)?;
        if from.is_none() {
            table.decor_mut().set_prefix("\n");
        }
        // Tables are written by their places in the old text: those of the list in its new order.
        table.set_position(places.get(at).or(places.last()).copied());
        list.push(table);
    }
    if list.is_empty() {
        root.remove(key);
    } else {
        root.insert(key, Item::ArrayOfTables(list));
    }
    Some(())
}

fn patch_entry(table: &mut Table, old: Option<&LegendEntry>, new: &LegendEntry) -> Option<()> {
    let differs = |of: fn(&LegendEntry, &LegendEntry) -> bool| old.is_none_or(|old| of(old, new));
    if differs(|old, new| old.mark != new.mark) {
        set(table, "mark", new.mark.get().to_string().into());
    }
    if differs(|old, new| old.bead != new.bead) {
        set(table, "bead", new.bead.as_str().into());
    }
    if differs(|old, new| old.aim != new.aim) {
        let lab = |Lab { l, a, b }: Lab| [l, a, b].map(number).join(", ");
        let comes = !table.contains_key("aim");
        set_or_remove(table, "aim", new.aim.and_then(|aim| format!("[{}]", lab(aim)).parse().ok()));
        if comes {
            in_order(table, &ENTRY_KEYS, "aim");
        }
    }
    if differs(|old, new| old.confidence != new.confidence) {
        let comes = !table.contains_key("confidence");
        set_or_remove(table, "confidence", new.confidence.map(|confidence| confidence.get().into()));
        if comes {
            in_order(table, &ENTRY_KEYS, "confidence");
        }
    }
    if differs(|old, new| old.by != new.by) {
        let by = match new.by {
            ChosenBy::Match => "match",
            ChosenBy::Hand => "hand",
        };
        set(table, "by", by.into());
    }
    Some(())
}

fn patch_meant(table: &mut Table, old: Option<&Meant>, new: &Meant) -> Option<()> {
    if old.is_none_or(|old| old.rule != new.rule) {
        set(table, "rule", new.rule.as_str().into());
    }
    if old.is_none_or(|old| old.at != new.at) {
        let from_one = |n: usize| Value::from(n as i64 + 1);
        set_or_remove(table, "row", new.at.map(|at| from_one(at.0.0)));
        set_or_remove(table, "column", new.at.map(|at| from_one(at.1.0)));
    }
    if old.is_none_or(|old| old.why != new.why) {
        set(table, "why", new.why.as_str().into());
    }
    Some(())
}

fn patch_part(table: &mut Table, old: Option<&Part>, new: &Part) -> Option<()> {
    if old.is_none_or(|old| old.name != new.name) {
        set(table, "name", quoted(&new.name).parse().ok()?);
    }
    if old.is_none_or(|old| old.from != new.from) {
        set_or_remove(table, "from", new.from.as_deref().map(Value::from));
    }
    if old.is_none_or(|old| old.at != new.at) {
        set(table, "at", format!("[{}, {}]", new.at.0.0, new.at.1.0).parse().ok()?);
    }
    if old.is_some_and(|old| old.beads == new.beads && old.bare == new.bare) {
        return Some(());
    }
    // A row that is as it was keeps its characters, which may be fewer than the part has columns.
    let stays: Vec<bool> =
        (0..new.beads.rows()).map(|row| old.is_some_and(|old| same_row(old, new, row))).collect();
    for grid in &GRIDS {
        let key = grid.name;
        if !(grid.is_said)(new) {
            table.remove(key);
            continue;
        }
        let written = table.get(key).and_then(Item::as_str).unwrap_or_default().to_owned();
        let written: Vec<&str> = written.lines().collect();
        let lines: Vec<String> = (0..new.beads.rows())
            .map(|row| match written.get(row).filter(|_| stays[row]) {
                Some(line) => line.trim_end().to_owned(),
                None => (0..new.beads.columns())
                    .map(|column| (grid.character)(new, (Row(row), Column(column))))
                    .collect(),
            })
            .collect();
        if lines != written {
            let comes = !table.contains_key(key);
            set(table, key, format!("\"\"\"\n{}\n\"\"\"", lines.join("\n")).parse().ok()?);
            if comes {
                in_order(table, &PART_KEYS, key);
            }
        }
    }
    Some(())
}

/// Whether a row has the same pegs as it had, and nothing is said that its text did not say.
fn same_row(old: &Part, new: &Part, row: usize) -> bool {
    let columns = old.beads.columns().max(new.beads.columns());
    let row = Row(row);
    old.beads.rows() == new.beads.rows()
        && GRIDS.iter().all(|grid| (grid.is_said)(old) == (grid.is_said)(new))
        && (0..columns).map(Column).all(|column| {
            let at = (row, column);
            let bead = |part: &Part| part.beads.get(row, column).copied().flatten();
            bead(old) == bead(new) && old.bare.contains(&at) == new.bare.contains(&at)
        })
}

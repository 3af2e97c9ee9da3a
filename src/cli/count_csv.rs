//! The count as a table for a spreadsheet.

use smallcast::count::{Counted, Owned};

/// The whole table: a line a bead, a column a figure. RFC 4180, lines end in CRLF.
pub fn table(names: &[String], counted: &Counted) -> Vec<u8> {
    let mut lines = vec![header(names, counted)];
    for need in &counted.needs {
        let mut line = vec![need.bead.clone()];
        line.extend(need.each.iter().map(u64::to_string));
        line.extend([need.used, need.needed].map(|n| n.to_string()));
        line.push(match need.owned {
            Owned::Told(owned) => owned.to_string(),
            Owned::NotTold => "unknown".into(),
            Owned::NotInTray => "not in tray".into(),
        });
        line.push(if need.owned == Owned::NotTold { String::new() } else { need.short().to_string() });
        let buy = need.to_buy();
        let packs = buy.as_ref().and_then(|buy| buy.packs);
        let cost = buy.as_ref().and_then(|buy| buy.cost.as_ref());
        line.push(need.pack.map(|pack| pack.to_string()).unwrap_or_default());
        line.push(packs.map(|packs| packs.to_string()).unwrap_or_default());
        // Plain numbers, so that a spreadsheet can add them; the currency stands beside them.
        line.push(need.price.as_ref().map(|price| price.number()).unwrap_or_default());
        line.push(cost.map(|cost| cost.number()).unwrap_or_default());
        line.push(need.price.as_ref().map(|price| price.currency().to_owned()).unwrap_or_default());
        lines.push(line);
    }
    let mut text = String::new();
    for line in lines {
        let cells: Vec<String> = line.iter().map(|text| cell(text)).collect();
        text.push_str(&cells.join(","));
        text.push_str("\r\n");
    }
    text.into_bytes()
}

fn header(names: &[String], counted: &Counted) -> Vec<String> {
    let times = |(name, times): (&String, &u32)| match times {
        1 => name.clone(),
        // The column holds the beads of one.
        _ => format!("{name} (one of {times})"),
    };
    let mut header = vec!["bead".to_owned()];
    header.extend(names.iter().zip(&counted.times).map(times));
    let rest = [
        "used",
        "with spare",
        "owned",
        "short",
        "beads in a pack",
        "packs to buy",
        "price of a pack",
        "cost",
    ];
    header.extend(rest.map(String::from));
    header.push("currency".into());
    header
}

/// A cell that no spreadsheet takes for a formula.
///
/// What begins with `=`, `+`, `-`, `@`, a tabulator, a line end (or the wide forms of the four signs, which some
/// spreadsheets read alike) gets an apostrophe before it; every text is put between quotation marks, those in it
/// doubled, so that it cannot end early and begin a new cell. After OWASP's page "CSV Injection" and RFC 4180.
fn cell(text: &str) -> String {
    const LIVE: [char; 11] = ['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'];
    let is_number = !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || c == '.');
    if text.is_empty() || is_number {
        return text.into();
    }
    // Blanks before a sign are skipped by some spreadsheets.
    let apostrophe = if text.trim_start_matches(' ').starts_with(LIVE) { "'" } else { "" };
    format!("\"{apostrophe}{}\"", text.replace('"', "\"\""))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cell_is_live() {
        for text in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "  =1", "＝1"] {
            assert!(cell(text).starts_with("\"'"), "{text:?} became {}", cell(text));
        }
        assert_eq!(cell("a\",=1"), "\"a\"\",=1\"");
        assert_eq!(
            (cell("12.50"), cell(""), cell("coal")),
            ("12.50".into(), String::new(), "\"coal\"".into())
        );
    }
}

//! `smallcast tray` as a maker types it, with pipes.

use std::io::Write;

use snapbox::str;

use crate::typing::{json, out, smallcast};

fn tray_file(text: &str) -> tempfile::NamedTempFile {
    let mut file = tempfile::Builder::new().suffix(".csv").tempfile().expect("a temporary file");
    file.write_all(text.as_bytes()).expect("room for it");
    file
}

const SMALL: &str = "name,hex,count,finish\ncoal,#1f2023,900,matt\nash,#96999b,40,\nsmoke,#989b9d,,\n";

#[test]
fn a_tray_is_listed_plainly_into_a_pipe() {
    let file = tray_file(SMALL);
    let answer = smallcast().arg("tray").arg(file.path()).assert().success();
    let text = out(&answer);
    let (_, table) = text.split_once("\n\n").expect("a heading, then the table");
    snapbox::assert_data_eq!(
        table,
        str![[r#"
bead   count  hex         L     a     b  note
coal     900  #1f2023  12.3   0.3  -2.2  matt
ash       40  #96999b  63.0  -0.7  -1.4
smoke      -  #989b9d  63.8  -0.7  -1.4

"#]]
    );
    assert!(text.lines().next().is_some_and(|line| line.ends_with(": 3 kinds, 940 pieces")));
}

#[test]
fn packs_and_prices_that_were_read_are_shown() {
    let file = tray_file("name;hex;pack;price\ncoal;#1f2023;1000;2,50 kr\nash;#96999b;;\n");
    let text = out(&smallcast().arg("tray").arg(file.path()).assert().success());
    let (_, table) = text.split_once("\n\n").expect("a heading, then the table");
    snapbox::assert_data_eq!(
        table,
        str![[r#"
bead  count  pack    price  hex         L     a     b
coal      -  1000  2,50 kr  #1f2023  12.3   0.3  -2.2
ash       -     -        -  #96999b  63.0  -0.7  -1.4

"#]]
    );
}

#[test]
fn the_embedded_tray_fits_80_columns_and_names_the_next_command() {
    let answer = smallcast().arg("tray").assert().success().stderr_eq("next: smallcast tray --alike\n");
    let text = out(&answer);
    assert!(text.starts_with("The embedded tray of invented beads: "));
    assert!(text.lines().all(|line| line.chars().count() <= 80));
    assert!(!text.contains('\u{1b}'));
}

#[test]
fn colours_go_as_far_as_asked() {
    let coloured = |name: &str, value: &str| {
        out(&smallcast().env("CLICOLOR_FORCE", "1").env(name, value).arg("tray").assert().success())
    };
    assert!(coloured("COLORTERM", "truecolor").contains("\u{1b}[48;2;31;32;35m"));
    let indexed = coloured("COLORTERM", "");
    assert!(indexed.contains("\u{1b}[48;5;") && !indexed.contains("\u{1b}[48;2;"));
    assert!(!coloured("NO_COLOR", "1").contains('\u{1b}'));
}

#[test]
fn pairs_hard_to_tell_apart_are_named_with_the_eyes() {
    let file = tray_file("name,hex\nclay,a2694a\nfern,24774a\nash,96999b\nsmoke,989b9d\n");
    smallcast().arg("tray").arg(file.path()).arg("--alike").assert().success().stdout_eq(str![[r#"
Hard to tell apart for ordinary eyes (CIEDE2000 up to 5)
bead  beside  ordinary  protan  deutan  tritan  at worst
ash   smoke        0.6     0.6     0.6     0.6  the same

Only with a colour-vision deficiency, simulated at its strongest
bead  beside  ordinary  protan  deutan  tritan  at worst
clay  fern           ·     0.8       ·       ·  the same

protan: no red cones, deutan: no green cones (each about 1 man in 100);
tritan: no blue cones (rare). A dot: these eyes tell the two apart.

"#]]);
}

#[test]
fn beads_near_a_colour_are_listed_with_a_word() {
    let file = tray_file(SMALL);
    smallcast().arg("tray").arg(file.path()).args(["--near", "#96999b"]).assert().success().stdout_eq(str![
        [r#"
Nearest to #96999b, by CIEDE2000

bead   apart  which is   hex      count
ash      0.0  the same   #96999b     40
smoke    0.6  the same   #989b9d      -
coal    43.3  different  #1f2023    900

"#]
    ]);
}

#[test]
fn json_is_one_document_for_each_question() {
    let file = tray_file(SMALL);
    let ask = |more: &[&str]| {
        let answer = smallcast().arg("tray").arg(file.path()).args(more).arg("--json").assert();
        json(&answer.success().stderr_eq(""))
    };
    let list = ask(&[]);
    assert_eq!(list["format"], 1);
    assert_eq!(list["beads"].as_array().map(Vec::len), Some(3));
    assert_eq!(list["beads"][0]["name"], "coal");
    assert_eq!(list["beads"][0]["hex"], "#1f2023");
    assert_eq!(list["beads"][0]["count"], 900);
    assert_eq!(list["beads"][2]["count"], serde_json::Value::Null);
    let alike = ask(&["--alike"]);
    assert_eq!(alike["limit"], 5.0);
    assert_eq!(alike["pairs"][0]["beads"], serde_json::json!(["ash", "smoke"]));
    assert_eq!(alike["pairs"][0]["alike_to"].as_array().map(Vec::len), Some(4));
    assert!(alike["pairs"][0]["apart"]["ordinary"].as_f64().is_some_and(|d| d > 0.5 && d < 0.8));
    let near = ask(&["--near", "000"]);
    assert_eq!(near["colour"], "#000000");
    assert_eq!(near["nearest"][0]["name"], "coal");
    assert_eq!(near["nearest"][0]["word"], "of a kind");
}

#[test]
fn wrong_use_and_bad_input_end_with_2_and_a_hint() {
    let file = tray_file("name,hex\ncoal,black\n");
    let answer = smallcast().arg("tray").arg(file.path()).assert().code(2).stdout_eq("");
    let said = String::from_utf8(answer.get_output().stderr.clone()).expect("UTF-8");
    assert!(said.starts_with("smallcast: "), "{said}");
    assert!(said.contains("line 2, hex: 'black' does not have six digits"), "{said}");
    assert!(said.contains("\n  try: write six hexadecimal digits"), "{said}");

    smallcast().args(["tray", "--near", "brown"]).assert().code(2).stdout_eq("").stderr_eq(str![[r#"
smallcast: --near 'brown': this is not a colour
  try: write six hexadecimal digits between quotation marks, such as '#a0522d'

"#]]);
    smallcast().args(["tray", "no-such-tray.csv"]).assert().code(2).stdout_eq("");
    smallcast().args(["tray", "--alike", "--near", "000000"]).assert().code(2);
    smallcast().arg("trai").assert().code(2).stdout_eq("");
    smallcast().assert().code(2);
    smallcast().args(["tray", "--help"]).assert().success();
}

#[test]
fn a_file_name_cannot_steer_the_terminal() {
    let answer = smallcast().args(["tray", "no\u{1b}[31msuch.csv"]).assert().code(2);
    assert!(!String::from_utf8_lossy(&answer.get_output().stderr).contains('\u{1b}'));
}

#[test]
fn long_and_wide_names_keep_the_columns_aligned() {
    use unicode_width::UnicodeWidthStr;
    let file = tray_file(&format!(
        "name,hex,count\n石炭の粒が並んでいる棚の上の黒,1f2023,5\n{},96999b,12\nash,989b9d,3\n",
        "long ".repeat(12)
    ));
    let text = out(&smallcast().arg("tray").arg(file.path()).assert().success());
    let before_hex: Vec<usize> =
        text.lines().filter_map(|line| line.split_once('#')).map(|(before, _)| before.width()).collect();
    assert_eq!(before_hex.len(), 3);
    assert!(before_hex.windows(2).all(|pair| pair[0] == pair[1]), "{text}");
    assert!(text.lines().skip(1).all(|line| line.width() <= 80), "{text}");
}

#[cfg(unix)]
#[test]
fn a_closed_pipe_is_no_fault() {
    use std::process::Stdio;
    let mut child = std::process::Command::new(snapbox::cmd::cargo_bin!("smallcast"))
        .args(["tray", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary starts");
    drop(child.stdout.take());
    let answer = child.wait_with_output().expect("it ends");
    assert!(answer.status.success());
    assert!(answer.stderr.is_empty(), "{}", String::from_utf8_lossy(&answer.stderr));
}

#[test]
fn pairs_of_long_names_fit_80_columns_with_their_swatches() {
    let file =
        tray_file(&format!("name,hex\n{},96999b\n{},989b9d\n", "long ".repeat(12), "石炭の粒".repeat(8)));
    let mut ask = smallcast().env("CLICOLOR_FORCE", "1").env("COLORTERM", "truecolor");
    ask = ask.arg("tray").arg(file.path()).arg("--alike");
    let text = out(&ask.assert().success());
    let row = text.lines().find(|line| line.contains("the same")).expect("a pair");
    let bare: String =
        row.split('\u{1b}').map(|part| part.split_once('m').map_or(part, |(_, rest)| rest)).collect();
    assert!(unicode_width::UnicodeWidthStr::width(bare.as_str()) <= 80, "{bare}");
    assert!(bare.matches('…').count() == 2, "{bare}");
}

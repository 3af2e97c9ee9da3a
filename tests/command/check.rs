//! `smallcast check` and `smallcast count` as a maker types them, with pipes.

use std::path::Path;

use snapbox::str;

use crate::typing::{err, json, out, smallcast};

const BAD: &str = "fixtures/rules/loose/bad.figure.toml";
const GOOD: &str = "fixtures/rules/loose/good.figure.toml";

#[test]
fn a_finding_is_shown_at_its_place() {
    let answer = smallcast().args(["check", BAD]).assert().code(1);
    snapbox::assert_data_eq!(
        out(&answer),
        str![[r#"
Waver: 1 finding

  loose: row 8, column 8
  1 bead touches the rest only at a corner.
  Could: put a bead at row 8, column 7 or at row 7, column 8
       6
    6  n  n  .
    7  n  n  .
    8  r  . [p]
    9  r  .  .
   10  r  .  .

1 finding in 1 figure. No bead was changed.
If one is meant so, say why, such as:
  smallcast edit fixtures/rules/loose/bad.figure.toml [..]
    --do 'meant loose 8,8 "WHY"'

"#]]
    );
}

#[test]
fn exit_codes_are_0_clean_1_found_2_wrong_use() {
    smallcast().args(["check", GOOD]).assert().code(0).stdout_eq("Nothing found: Waver\n");
    smallcast().args(["check", GOOD, BAD]).assert().code(1);
    smallcast().args(["check", BAD, "--skip", "loose"]).assert().code(0);
    smallcast().args(["check", BAD, "--only", "thin,heavy"]).assert().code(0);
    let answer = smallcast().args(["check", BAD, "--only", "lose"]).assert().code(2).stdout_eq("");
    assert!(
        err(&answer).contains("did you mean loose? the rules are loose, heavy, thin"),
        "{}",
        err(&answer)
    );
    smallcast().args(["check", "no-such.figure.toml"]).assert().code(2).stdout_eq("");
    smallcast().arg("check").assert().code(2);
    smallcast().args(["check", "tests"]).assert().code(2);
    let all: Vec<&str> = smallcast::rules::RULES.iter().map(|rule| rule.name).collect();
    smallcast().args(["check", GOOD, "--skip", &all.join(",")]).assert().code(2);
}

#[test]
fn rules_are_explained() {
    let text = out(&smallcast().args(["check", "--rules"]).assert().success());
    for rule in smallcast::rules::RULES {
        assert!(text.contains(&format!("{}: {}", rule.name, rule.title)));
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let document =
        json(&smallcast().args(["check", "--rules", "--only", "alike", "--json"]).assert().success());
    assert_eq!(document["rules"][0]["name"], "alike");
    assert_eq!(document["rules"].as_array().map(Vec::len), Some(1));
}

#[test]
fn json_has_the_finding_counted_from_1_and_the_files_bytes_stay() {
    let before = std::fs::read(BAD).unwrap();
    let document = json(&smallcast().args(["check", BAD, "--json"]).assert().code(1).stderr_eq(""));
    let finding = &document["figures"][0]["findings"][0];
    assert_eq!(finding["rule"], "loose");
    assert_eq!(finding["beads"], serde_json::json!([[8, 8]]));
    assert_eq!(
        (&finding["rows"], &finding["part"]),
        (&serde_json::json!([8, 8]), &serde_json::json!("body"))
    );
    assert_eq!(document["format"], 1);
    assert_eq!(std::fs::read(BAD).unwrap(), before);
}

#[test]
fn what_is_meant_is_said_with_its_reason_and_idle_notes_are_warned_of() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("waver.figure.toml");
    let note =
        |rule: &str| format!("\n[[meant]]\nrule = \"{rule}\"\nrow = 8\ncolumn = 8\nwhy = \"it flies off\"\n");
    let text = std::fs::read_to_string(BAD).unwrap() + &note("loose") + &note("lose");
    std::fs::write(&file, text).unwrap();
    let answer = smallcast().arg("check").arg(&file).assert().code(0);
    assert!(
        out(&answer).contains("Meant so in Waver:\n  loose, row 8, column 8: it flies off\n"),
        "{}",
        out(&answer)
    );
    assert!(err(&answer).contains("names an unknown rule, 'lose': did you mean loose?"));
}

/// A folder of two small figures, and a tray that lasts for one of them.
fn bench() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let figure = |name: &str, beads: &str| {
        format!(
            "format = 1\nname = \"{name}\"\n[[legend]]\nmark = \"c\"\nbead = \"coal\"\nby = \"hand\"\n\
             [[legend]]\nmark = \"e\"\nbead = \"=1+1\"\nby = \"hand\"\n[[part]]\nname = \"body\"\nbeads = \"{beads}\"\n"
        )
    };
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    write("b.figure.toml", &figure("@Berta", "cccccc"));
    write("a.figure.toml", &figure("Anna", "cccce"));
    write("notes.txt", "not a figure");
    write("tray.csv", "name,hex,count,pack,price\ncoal,1f2023,8,100,€2.40\n=1+1,aa0011,5,50,€1.10\n");
    folder
}

fn count(folder: &Path) -> snapbox::cmd::Command {
    smallcast().current_dir(folder).args(["count", ".", "--tray", "tray.csv"])
}

#[test]
fn a_folder_is_counted_in_the_order_of_names() {
    let folder = bench();
    let answer = count(folder.path()).args(["--spare", "10%"]).assert().success();
    snapbox::assert_data_eq!(
        out(&answer),
        str![[r#"
Anna: 5 beads
  4 coal, 1 =1+1

@Berta: 6 beads
  6 coal

In all, 2 figures: 11 beads of 2 kinds; 13 with 10 % to spare
bead  used  with spare  owned
coal    10          11      8  3 short
=1+1     1           2      5  enough

1 of 2 can be made today with 10 % to spare, in this order
  1  Anna
Not possible after that with 10 % to spare:
  @Berta lacks 3 coal (possible if made first)

To buy
bead  short  packs   of   cost
coal      3      1  100  €2.40
In all €2.40.

"#]]
    );
}

#[test]
fn copies_that_cannot_be_made_say_what_the_next_one_lacks() {
    let folder = bench();
    // 8 coal less a spare share of 5 %: one figure of 4 coal, and 3 of the 4 for the next.
    let answer = count(folder.path()).args(["--times", "Anna=20", "--spare", "5%"]).assert().success();
    let text = out(&answer);
    assert!(text.contains("1 of 21 can be made today with 5 % to spare"), "{text}");
    assert!(text.contains("19 more Anna: 1 coal short for the next"), "{text}");
    let answer = count(folder.path()).args(["--times", "@Berta=2", "--spare", "50%"]).assert().success();
    let text = out(&answer);
    assert!(text.contains("2 @Berta: 5 coal short for the first"), "{text}");
}

#[test]
fn a_bead_not_in_the_tray_was_misspelt_only_where_a_name_is_like_it() {
    let folder = bench();
    let could = |bead: &str| {
        let text = format!(
            "format = 1\nname = \"Cora\"\n[[legend]]\nmark = \"c\"\nbead = \"{bead}\"\nby = \"hand\"\n             [[part]]\nname = \"body\"\nbeads = \"c\"\n"
        );
        std::fs::write(folder.path().join("c.figure.toml"), text).unwrap();
        let words = ["check", "c.figure.toml", "--tray", "tray.csv", "--only", "not-in-tray"];
        out(&smallcast().current_dir(folder.path()).args(words).assert().code(1))
    };
    let near = could("coall");
    assert!(near.contains("spell it as in the tray (coal?)"), "{near}");
    let far = could("zebra");
    assert!(far.contains("swap it for a bead of the tray") && !far.contains("spell"), "{far}");
}

#[test]
fn a_share_that_can_be_read_in_two_ways_is_asked_for() {
    let folder = bench();
    let said = err(&count(folder.path()).args(["--spare", "0.05"]).assert().code(2));
    assert!(said.contains("this could be 5 % or 0.05 %") && said.contains("write 5% or 0.05%"), "{said}");
    let said = err(&count(folder.path()).args(["--spare", "-5%"]).assert().code(2));
    assert!(said.contains("nothing less than 0 % can be to spare"), "{said}");
    count(folder.path()).args(["--spare", "0.05%"]).assert().success();
}

#[test]
fn the_saved_table_has_no_live_formula() {
    let folder = bench();
    let answer = count(folder.path()).args(["--save", "out.csv"]).assert().success();
    assert!(out(&answer).ends_with("\n\nSaved in out.csv.\n"), "{}", out(&answer));
    let document = count(folder.path()).args(["--save", "out.csv", "--replace", "--json"]).assert().success();
    assert!(!out(&document).contains("Saved in"), "{}", out(&document));
    let text = std::fs::read_to_string(folder.path().join("out.csv")).unwrap();
    snapbox::assert_data_eq!(
        text.replace("\r\n", "\n"),
        str![[r#"
"bead","Anna","'@Berta","used","with spare","owned","short","beads in a pack","packs to buy","price of a pack","cost","currency"
"coal",4,6,10,10,8,2,100,1,2.40,2.40,"€"
"'=1+1",1,0,1,1,5,0,50,,1.10,,"€"

"#]]
    );
    assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
    // By the reader of CSV, not by our writer: no cell begins with what a spreadsheet would run.
    let mut table = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    for record in table.records() {
        assert!(record.unwrap().iter().all(|cell| !cell.starts_with(['=', '+', '-', '@', '\t', '\r'])));
    }
    // Never written over unasked, never over what is read.
    count(folder.path()).args(["--save", "out.csv"]).assert().code(2);
    count(folder.path()).args(["--save", "out.csv", "--replace"]).assert().success();
    count(folder.path()).args(["--save", "tray.csv", "--replace"]).assert().code(2);
}

#[test]
fn copies_are_asked_for_by_name_or_for_all() {
    let folder = bench();
    let ask =
        |more: &[&str]| json(&count(folder.path()).args(more).arg("--json").assert().success().stderr_eq(""));
    let used = |document: &serde_json::Value| document["used"].as_u64();
    assert_eq!(used(&ask(&[])), Some(11));
    assert_eq!(used(&ask(&["--times", "3"])), Some(33));
    assert_eq!(used(&ask(&["--times", "anna=3"])), Some(21));
    assert_eq!(used(&ask(&["--times", "2", "--times", "b=1"])), Some(16));
    let document = ask(&["--times", "anna=2"]);
    assert_eq!(document["order"]["made"], serde_json::json!([0, 0]));
    assert_eq!(document["order"]["waiting"][0]["lacks"][0], serde_json::json!({"bead": "coal", "count": 6}));
    assert_eq!(document["costs"][0], serde_json::json!({"amount": "2.40", "currency": "€"}));
    for wrong in ["0", "many", "Carl=2", "anna=", "anna=-1", "=2"] {
        count(folder.path()).args(["--times", wrong]).assert().code(2).stdout_eq("");
    }
    count(folder.path()).args(["--spare", "much"]).assert().code(2).stdout_eq("");
}

#[test]
fn a_tray_without_counts_says_so() {
    let folder = bench();
    std::fs::write(folder.path().join("tray.csv"), "name,hex\ncoal,1f2023\n=1+1,aa0011\n").unwrap();
    let text = out(&count(folder.path()).assert().success());
    assert!(text.contains("Stock unknown: add a column count"), "{text}");
    assert!(!text.contains("short") && !text.contains("today"), "{text}");
}

#[test]
fn reports_fit_80_columns_and_stay_plain_in_a_pipe() {
    for command in [&["check"][..], &["count"], &["count", "--spare", "5%"]] {
        let answer = smallcast().args(command).args(["src/trial/figures", "demo/early-street"]).assert();
        let text = out(&answer);
        assert!(text.len() > 1000);
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
        assert!(!text.contains('\u{1b}'));
    }
}

//! What a reader finds in the PDF: every row's runs, the legend, the cautions, the fonts they are set in.

use smallcast::figure;
use smallcast::sheet::{SheetOptions, Steps, Subject, build_sheet, pdf};
use smallcast::tray::Tray;
use smallcast::units::Millimetres;

use super::figures::{figure, shipped};
use super::tools::{Desk, are_there, run};

/// Text with every stretch of white as one blank: rows may be set on two lines.
fn flowing(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The runs of each row by another road: counted in the figure file's own text.
fn runs_in(text: &str) -> Vec<String> {
    let file: toml::Table = text.parse().unwrap();
    let named = |mark: char| {
        let legend = file["legend"].as_array().unwrap();
        let entry = legend.iter().find(|entry| entry["mark"].as_str() == Some(&mark.to_string())).unwrap();
        entry["bead"].as_str().unwrap().to_owned()
    };
    let parts = file["part"].as_array().unwrap();
    assert_eq!(parts.len(), 1, "the shipped figures are of one part");
    let rows = parts[0]["beads"].as_str().unwrap().lines().filter(|line| !line.is_empty());
    let in_words = |row: &str| {
        let mut runs: Vec<(char, usize)> = Vec::new();
        for mark in row.chars() {
            match runs.last_mut() {
                Some(run) if run.0 == mark => run.1 += 1,
                _ => runs.push((mark, 1)),
            }
        }
        let words = runs.into_iter().map(|(mark, count)| match mark {
            '.' => format!("gap {count}"),
            _ => format!("{count} {}", named(mark)),
        });
        words.collect::<Vec<_>>().join(", ")
    };
    rows.map(in_words).collect()
}

#[test]
fn every_row_s_runs_and_every_bead_s_count_are_found() {
    if !are_there(&["pdftotext"]) {
        return;
    }
    let (desk, tray) = (Desk::new(), Tray::embedded());
    for (text, figure) in shipped() {
        for pitch in [5.0, 2.6] {
            let options = SheetOptions { pitch: Millimetres(pitch), ..SheetOptions::default() };
            let sheet = build_sheet(&[Subject { figure: &figure, reference: None }], &tray, &options);
            let found = flowing(&run("pdftotext", &[&desk.keep("words.pdf", &pdf(&sheet)), "-"]));
            for runs in runs_in(&text) {
                assert!(found.contains(&runs), "{}, {pitch} mm: {runs} is not in: {found}", figure.name());
            }
            // A legend may keep a line whose last bead was changed by hand; nobody pegs it.
            for (entry, count) in figure.counts().into_iter().filter(|(_, count)| *count > 0) {
                let line = format!("{count} {}", entry.bead);
                assert!(found.contains(&line), "{}: {line} is not in: {found}", figure.name());
            }
            assert!(found.contains(figure.name()));
        }
    }
}

#[test]
fn a_figure_of_24_rows_takes_one_page_with_its_legend() {
    let tray = Tray::embedded();
    for paper in [smallcast::sheet::Paper::A4, smallcast::sheet::Paper::Letter] {
        for (_, figure) in shipped() {
            let options = SheetOptions { paper, ..SheetOptions::default() };
            let sheet = build_sheet(&[Subject { figure: &figure, reference: None }], &tray, &options);
            assert_eq!(sheet.pages.len(), 1, "{}", figure.name());
        }
    }
}

#[test]
fn cautions_stand_on_every_page_and_the_word_on_colours_once() {
    if !are_there(&["pdftotext"]) {
        return;
    }
    let (desk, tray) = (Desk::new(), Tray::embedded());
    let figures = shipped();
    let subjects: Vec<_> = figures.iter().map(|(_, figure)| Subject { figure, reference: None }).collect();
    let options = SheetOptions { steps: Some(Steps::Colour), ..SheetOptions::default() };
    let sheet = build_sheet(&subjects, &tray, &options);
    let file = desk.keep("cautions.pdf", &pdf(&sheet));
    assert!(sheet.pages.len() > 3);
    let cautions = [
        "bead maker's instructions and your local rules come first",
        "an adult irons",
        "Air the room",
        "not for children under three.",
        "not a safety-tested toy",
    ];
    for page in 1..=sheet.pages.len() {
        let number = page.to_string();
        let found = flowing(&run("pdftotext", &["-f", &number, "-l", &number, &file, "-"]));
        cautions.iter().for_each(|caution| assert!(found.contains(caution), "page {page}: {found}"));
        assert!(found.contains(&format!("page {page} of {}", sheet.pages.len())));
    }
    let all = flowing(&run("pdftotext", &[&file, "-"]));
    assert_eq!(all.matches("cannot show a bead's own colour").count(), 1);
}

#[test]
fn steps_name_every_place_of_every_colour() {
    if !are_there(&["pdftotext"]) {
        return;
    }
    let (desk, tray) = (Desk::new(), Tray::embedded());
    let rows = ["aab.a".to_owned(), "..b..".to_owned(), "ccbcc".to_owned()];
    let small = figure("Steps", "", &[('a', "coal"), ('b', "bone"), ('c', "moss")], &rows);
    let steps = |steps| {
        let options = SheetOptions { steps: Some(steps), ..SheetOptions::default() };
        let sheet = build_sheet(&[Subject { figure: &small, reference: None }], &tray, &options);
        flowing(&run("pdftotext", &[&desk.keep("steps.pdf", &pdf(&sheet)), "-"]))
    };
    let by_colour = steps(Steps::Colour);
    let moss = by_colour.find("moss, 4 row 3: 1–2, 4–5").unwrap_or_else(|| panic!("{by_colour}"));
    let coal = by_colour.find("coal, 3 row 1: 1–2, 5").unwrap_or_else(|| panic!("{by_colour}"));
    assert!(by_colour.contains("bone, 3 row 1: 3; row 2: 3; row 3: 3"), "{by_colour}");
    assert!(moss < coal, "the most beads first: {by_colour}");
    // At the margin, and as a step.
    let by_row = steps(Steps::Row);
    assert_eq!(by_row.matches("gap 2, 1 bone, gap 2").count(), 2, "{by_row}");
}

#[test]
fn fonts_are_embedded_subsets_and_the_file_is_sound() {
    if !are_there(&["pdffonts", "qpdf"]) {
        return;
    }
    let (desk, tray) = (Desk::new(), Tray::embedded());
    let figures = shipped();
    let subjects: Vec<_> =
        figures.iter().take(2).map(|(_, figure)| Subject { figure, reference: None }).collect();
    let sheet = build_sheet(&subjects, &tray, &SheetOptions::default());
    assert_eq!(sheet.pages.len(), 2);
    let bytes = pdf(&sheet);
    assert_eq!(
        bytes,
        pdf(&build_sheet(&subjects, &tray, &SheetOptions::default())),
        "the same bytes each time"
    );
    assert!(bytes.len() < 100 << 10, "two pages take {} bytes", bytes.len());
    let file = desk.keep("sound.pdf", &bytes);
    let fonts = run("pdffonts", &[&file]);
    let lines: Vec<&str> = fonts.lines().skip(2).collect();
    assert_eq!(lines.len(), 2, "{fonts}");
    for line in lines {
        assert!(line.contains("+NotoSans-") && line.contains("CID TrueType"), "{fonts}");
        // Embedded, subset, with a way back to Unicode.
        assert!(line.contains("yes yes yes"), "{fonts}");
    }
    assert!(run("qpdf", &["--check", &file]).contains("No syntax or stream encoding errors found"));
    let plain = run("qpdf", &["--json", &file]);
    assert!(plain.contains("\"/PrintScaling\": \"/None\""), "{plain}");
    assert!(plain.contains("\"/Lang\": \"u:en\""), "{plain}");
    assert!(
        plain.contains("\"/DisplayDocTitle\": true") && plain.contains("u:Milk carter · Butcher"),
        "{plain}"
    );
    assert!(!plain.contains("Date"), "a date would make other bytes tomorrow");
}

/// Latin, Greek and Cyrillic names are found again; letters the font lacks are told of, never lost silently.
#[test]
fn names_beyond_english_are_printed_or_told_of() {
    if !are_there(&["pdftotext"]) {
        return;
    }
    let (desk, tray) = (Desk::new(), Tray::embedded());
    let rows = ["aŁ★".to_owned()];
    let legend = [('a', "Ockergelb hell (groß)"), ('Ł', "Ζαφείρι"), ('★', "Жёлтый 灯")];
    let named = figure("Łucja Ångström <&>\"'", "", &legend, &rows);
    let sheet = build_sheet(&[Subject { figure: &named, reference: None }], &tray, &SheetOptions::default());
    let found = flowing(&run("pdftotext", &[&desk.keep("names.pdf", &pdf(&sheet)), "-"]));
    for name in ["Łucja Ångström <&>\"'", "Ockergelb hell (groß)", "Ζαφείρι", "Жёлтый ?"] {
        assert!(found.contains(name), "{name} is not in: {found}");
    }
    let said: Vec<String> = sheet.warnings.iter().map(|w| format!("{}: {w}", w.name())).collect();
    let said = said.join("\n");
    assert!(said.contains("letters-lacking: Жёлтый 灯 has letters"), "{said}");
    assert!(
        said.contains("mark-lacking: the mark ★ of Жёлтый 灯 cannot be printed: b is used instead"),
        "{said}"
    );
    assert!(said.contains("not-in-tray: "), "{said}");
}

/// Names without end are cut, not printed over every page a hundred times.
#[test]
fn boundless_names_are_cut() {
    let endless = "ab ".repeat(100_000);
    let rows = vec!["xyxyxyxyxyxyxyxyxyxyxyxyxyxy".to_owned(); 60];
    let long = figure(&endless, "", &[('x', &endless), ('y', "bone")], &rows);
    let sheet = build_sheet(
        &[Subject { figure: &long, reference: None }],
        &Tray::embedded(),
        &SheetOptions::default(),
    );
    assert!(sheet.title.chars().count() < 100 && sheet.pages.len() < 40, "{}", sheet.pages.len());
    assert!(pdf(&sheet).len() < 1 << 20);
}

/// A figure of no beads is still a sheet.
#[test]
fn an_empty_figure_is_a_page_with_its_name() {
    if !are_there(&["pdftotext"]) {
        return;
    }
    let empty = figure::read("test", "format = 1\nname = \"Nobody\"\n").unwrap();
    let sheet = build_sheet(
        &[Subject { figure: &empty, reference: None }],
        &Tray::embedded(),
        &SheetOptions::default(),
    );
    assert_eq!(sheet.pages.len(), 1);
    let desk = Desk::new();
    let found = run("pdftotext", &[&desk.keep("empty.pdf", &pdf(&sheet)), "-"]);
    assert!(found.contains("Nobody") && found.contains("0 beads"), "{found}");
}

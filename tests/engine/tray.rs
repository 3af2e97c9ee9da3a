//! The tray file: what is read, and what is refused with which line and field.

use smallcast::colour::{Lab, Srgb, ciede2000};
use smallcast::error::Error;
use smallcast::tray::{ACCEPTED, Bead, Eyes, HARD_TO_TELL, Likeness, MOST_BEADS, MOST_BYTES, Tray};
use smallcast::units::DeltaE;

fn read(text: &str) -> Tray {
    Tray::parse("my.csv", text.as_bytes()).unwrap_or_else(|e| panic!("{e}; {}", e.hint()))
}

fn only_bead(text: &str) -> Bead {
    let tray = read(text);
    assert_eq!(tray.len(), 1);
    tray.iter().next().expect("one bead").1.clone()
}

fn refused(bytes: impl AsRef<[u8]>) -> Error {
    Tray::parse("my.csv", bytes.as_ref()).expect_err("the file has a fault")
}

/// The line, the field and the hint of a fault at one place.
fn place(bytes: impl AsRef<[u8]>) -> (usize, String, String) {
    match refused(bytes) {
        Error::TrayLine { line, field, right, .. } => (line, field, right),
        other => panic!("not a fault at one place: {other}"),
    }
}

#[track_caller]
fn assert_fault(bytes: impl AsRef<[u8]>, line: usize, field: &str) {
    let (found_line, found_field, hint) = place(bytes);
    assert_eq!((found_line, found_field.as_str()), (line, field));
    assert!(!hint.is_empty());
}

#[test]
fn every_column_is_read() {
    let bead =
        only_bead("name,hex,count,finish,pack,price,note\ncoal,#1f2023,900,matt,1000,2.50,\"deep, warm\"\n");
    assert_eq!(bead.name, "coal");
    assert_eq!(bead.lab, Srgb::new(0x1f, 0x20, 0x23).lab());
    assert_eq!(bead.count, Some(900));
    assert_eq!(bead.finish.as_deref(), Some("matt"));
    assert_eq!(bead.pack, Some(1000));
    assert_eq!(bead.price, "2.50".parse().ok());
    assert_eq!(bead.note.as_deref(), Some("deep, warm"));
}

#[test]
fn byte_order_mark_crlf_remarks_and_blank_rows_are_accepted() {
    let tray = read("\u{feff}# mine\r\nCOUNT, Name ,hex,\r\n5,coal,1F2023,\r\n\r\n,,,\r\n,chalk,#f7f7f4,");
    assert_eq!(tray.len(), 2);
    assert_eq!(tray.find("chalk").map(|id| tray.bead(id).count), Some(None));
}

#[test]
fn measured_lab_is_read_under_both_whites() {
    let d65 = only_bead("name,L,a,b\nfox,54,34,47\n");
    assert_eq!(d65.lab, Lab::new(54.0, 34.0, 47.0));
    assert_eq!(only_bead("name,L,a,b,white\nfox,54,34,47,d65\n").lab, d65.lab);
    let d50 = only_bead("name,L,a,b,white\nfox,54,34,47,D50\n");
    assert_eq!(d50.lab, Lab::from_d50(54.0, 34.0, 47.0));
    assert_ne!(d50.lab, d65.lab);
}

#[test]
fn each_faulty_cell_is_named_by_line_and_field() {
    assert_fault("name,hex\ncoal,1f2023\n,1f2023\n", 3, "name");
    assert_fault("name,hex\ncoal,\n", 2, "hex");
    assert_fault("name,hex\ncoal,1f202g\n", 2, "hex");
    assert_fault("name,hex\ncoal,202\n", 2, "hex");
    assert_fault("name,hex\ncoal,éé23\n", 2, "hex");
    assert_fault("name,hex,count\ncoal,1f2023,many\n", 2, "count");
    assert_fault("name,hex,count\ncoal,1f2023,-1\n", 2, "count");
    assert_fault("name,hex,count\ncoal,1f2023,4294967296\n", 2, "count");
    assert_fault("name,hex,pack\ncoal,1f2023,0\n", 2, "pack");
    assert_fault("name,hex,price\ncoal,1f2023,-0.5\n", 2, "price");
    assert_fault("name,hex,price\ncoal,1f2023,inf\n", 2, "price");
    assert_fault("name,hex,price\ncoal,1f2023,NaN\n", 2, "price");
    assert_fault("name,L,a,b\nfox,101,0,0\n", 2, "L");
    assert_fault("name,L,a,b\nfox,50,NaN,0\n", 2, "a");
    assert_fault("name,L,a,b\nfox,50,0,\n", 2, "b");
    assert_fault("name,L,a,b,white\nfox,50,0,0,A\n", 2, "white");
    assert_fault("name,hex\ncoal,1f2023\nink,1c2238\ncoal,000000\n", 4, "name");
    assert_fault(format!("name,hex\n{},1f2023\n", "x".repeat(65)), 2, "name");
}

#[test]
fn a_name_listed_twice_says_where_the_first_stands() {
    let error = refused("name,hex\ncoal,1f2023\nink,1c2238\ncoal,000000\n");
    assert_eq!(error.to_string(), "my.csv, line 4, name: coal stands on line 2 already");
}

#[test]
fn characters_that_would_upset_a_terminal_are_refused() {
    assert_fault("name,hex\nco\u{1b}[31mal,1f2023\n", 2, "name");
    assert_fault("name,hex\nco\u{202e}al,1f2023\n", 2, "name");
    assert_fault("name,hex,note\ncoal,1f2023,ti\tred\n", 2, "note");
    assert_fault("name,hex\nco\0al,1f2023\n", 2, "name");
    assert_fault("name,hex\n\u{200b}\u{200d},1f2023\n", 2, "name");
    assert_fault(b"name,hex\nco\xffal,1f2023\n", 2, "name");
}

#[test]
fn lines_are_counted_as_an_editor_counts_them() {
    // CRLF, blank lines, quotes and remarks each upset the CSV reader's own count.
    assert_fault("name,hex\r\ncoal,1f2023\r\n\r\n\r\nink,blue\r\n", 5, "hex");
    assert_fault("\n\nname,hex\n\ncoal,black\n", 5, "hex");
    assert_fault("name,hex\rcoal,1f2023\rink,blue\r", 3, "hex");
    assert_fault("\u{feff}# one\n# two\nname,hex\ncoal,\"1f2023\"\nink,blue\n", 5, "hex");
}

#[test]
fn an_open_quotation_mark_is_found_where_it_opens() {
    assert_fault("name,hex\ncoal,1f2023\nink,\"1c2238\nchalk,f7f7f4\n", 3, "hex");
    assert_fault("name,hex\n\"coal,1f2023\nink,1c2238\n", 2, "name");
}

#[test]
fn rows_of_the_wrong_length_are_refused() {
    assert_fault("name,hex,count\ncoal,1f2023\n", 2, "count");
    assert_fault("name,hex\ncoal,1f2023,900\n", 2, "column 3");
    assert_fault("name,hex,\ncoal,1f2023,900\n", 2, "column 3");
}

#[test]
fn columns_that_are_a_slip_are_refused_with_the_likely_one() {
    for (typed, likely) in
        [("coutn", "count"), ("finnish", "finish"), ("pirce", "price"), ("L*", "L"), ("quantity", "count")]
    {
        let (line, field, hint) = place(format!("name,hex,{typed}\ncoal,1f2023,1\n"));
        assert_eq!((line, field.as_str()), (1, typed));
        assert!(hint.starts_with(&format!("did you mean {likely}?")), "{typed}: {hint}");
    }
    let (_, _, hint) = place("name,colour\ncoal,1f2023\n");
    assert!(hint.starts_with("did you mean hex?"), "{hint}");
    let (_, _, hint) = place("name,hex,coutn\ncoal,1f2023,1\n");
    assert!(hint.contains("the columns are name, hex, L, a, b"), "{hint}");
    assert_fault("name,hex,name\ncoal,1f2023,ink\n", 1, "name");
}

#[test]
fn faults_of_the_whole_file_are_named() {
    let why = |bytes: &[u8]| match refused(bytes) {
        Error::TrayFile { why, right, .. } => {
            assert!(!right.is_empty());
            why
        }
        other => panic!("not a fault of the whole file: {other}"),
    };
    assert_eq!(why(b""), "the tray holds no beads");
    assert_eq!(why(b"name,hex\n"), "the tray holds no beads");
    assert_eq!(why(b"coal,1f2023\n"), "its first line names no column");
    assert_eq!(why(b"hex,count\n1f2023,1\n"), "the header has no column name");
    assert!(why(b"name,count\ncoal,1\n").starts_with("the header has no colour"));
    assert!(why(b"name,L,a\ncoal,1,1\n").starts_with("the header has no colour"));
    assert!(why(b"name,hex,L,a,b\ncoal,1f2023,1,1,1\n").contains("both hex and Lab"));
    assert!(why(b"name,hex,white\ncoal,1f2023,D50\n").contains("both hex and Lab"));
    assert_eq!(why(b"\xff\xfen\0a"), "it is written in UTF-16, and line 1 is damaged");
}

#[test]
fn sizes_are_bounded() {
    let mut text = String::from("name,hex\n");
    for at in 0..=MOST_BEADS {
        text.push_str(&format!("bead{at},1f2023\n"));
    }
    assert!(refused(&text).to_string().contains("more than 2000 beads"));
    let large = vec![b'x'; MOST_BYTES as usize + 1];
    assert!(refused(&large).to_string().contains("larger than"));
}

#[test]
fn a_missing_file_says_so() {
    let error = Tray::open("no/such/tray.csv".as_ref()).expect_err("there is no such file");
    assert!(matches!(error, Error::Unreadable { .. }));
    assert!(error.to_string().starts_with("cannot read no/such/tray.csv"));
}

#[test]
fn the_embedded_tray_is_wide_counted_and_without_twins() {
    let tray = Tray::embedded();
    assert!((55..=70).contains(&tray.len()), "{} beads", tray.len());
    for (_, bead) in tray.iter() {
        assert!(bead.name.chars().all(|c| c.is_ascii_lowercase()), "{}", bead.name);
        assert!(bead.count.is_some_and(|count| count > 0), "{} is not counted", bead.name);
    }
    let twins: Vec<_> = tray
        .alike(HARD_TO_TELL)
        .into_iter()
        .filter(|pair| pair.apart(Eyes::Ordinary) <= HARD_TO_TELL)
        .map(|pair| tray.bead(pair.beads().0).name.clone())
        .collect();
    assert!(twins.is_empty(), "hard to tell apart: {twins:?}");
    let skins: Vec<f64> = tray
        .iter()
        .filter(|(_, bead)| bead.note.as_deref().is_some_and(|note| note.starts_with("skin")))
        .map(|(_, bead)| bead.lab.l)
        .collect();
    assert!(skins.len() >= 10);
    assert!(skins.iter().any(|&l| l > 85.0) && skins.iter().any(|&l| l < 25.0));
}

#[test]
fn nearest_beads_are_in_order_and_equals_by_name() {
    let tray = read("name,hex\nzinc,808080\nink,000000\nash,808080\niron,7f7f7f\n");
    let grey = Srgb::new(0x80, 0x80, 0x80).lab();
    let names: Vec<&str> = tray.nearest(grey, 3).iter().map(|(id, _)| tray.bead(*id).name.as_str()).collect();
    assert_eq!(names, ["ash", "zinc", "iron"]);
    assert_eq!(tray.nearest(grey, 9).len(), 4);
    assert!(tray.nearest(grey, 0).is_empty());
    let (id, apart) = tray.nearest(Lab::new(0.0, 0.0, 0.0), 1)[0];
    assert_eq!((tray.bead(id).name.as_str(), apart), ("ink", DeltaE(0.0)));
}

#[test]
fn pairs_alike_to_ordinary_eyes_come_first() {
    // A dull red beside a brown that protan eyes confuse; two near greys for everybody.
    let tray = read("name,hex\nclay,a2694a\nfern,24774a\nash,96999b\nsmoke,989b9d\nsky,8cc4ec\n");
    let pairs = tray.alike(HARD_TO_TELL);
    let name = |id| tray.bead(id).name.as_str();
    let named: Vec<_> = pairs.iter().map(|pair| (name(pair.beads().0), name(pair.beads().1))).collect();
    assert_eq!(named, [("ash", "smoke"), ("clay", "fern")]);
    assert_eq!(pairs[0].alike_to(HARD_TO_TELL).count(), Eyes::ALL.len());
    let eyes: Vec<_> = pairs[1].alike_to(ACCEPTED).map(Eyes::name).collect();
    assert_eq!(eyes, ["protan"]);
    assert!(pairs[1].apart(Eyes::Ordinary) > HARD_TO_TELL);
    for eyes in Eyes::ALL {
        let [one, other] = ["clay", "fern"].map(|n| eyes.see(tray.bead(tray.find(n).expect("listed")).lab));
        assert_eq!(pairs[1].apart(eyes), ciede2000(one, other), "{}", eyes.name());
    }
}

#[test]
fn a_difference_has_a_word() {
    let word = |v| Likeness::of(DeltaE(v)).word();
    assert_eq!(word(0.0), "the same");
    assert_eq!(word(0.8), "the same");
    assert_eq!(word(1.8), "a match");
    assert_eq!(word(5.0), "close");
    assert_eq!(word(10.0), "of a kind");
    assert_eq!(word(10.1), "different");
    assert_eq!(word(f64::NAN), "different");
}

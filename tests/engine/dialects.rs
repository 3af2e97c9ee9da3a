//! Tray files as spreadsheets save them in different places: all say the same, or are refused with what they may say.
//!
//! How numbers are written where: Unicode CLDR 45, number symbols. The line `sep=;` and semicolons beside decimal commas:
//! common practice of spreadsheets, no source. UTF-16 and byte order marks: The Unicode Standard 15, 3.10.

use proptest::prelude::*;
use smallcast::colour::Srgb;
use smallcast::tray::Tray;

/// What a maker sees of a bead: name, colour, count, pack, the price as a plain number, note.
type Line = (String, String, Option<u32>, Option<u32>, Option<String>, Option<String>);

fn lines(tray: &Tray) -> Vec<Line> {
    let line = |bead: &smallcast::tray::Bead| {
        let price = bead.price.as_ref().map(|price| price.number());
        let price = price.map(|number| format!("{:.4}", number.parse::<f64>().expect("a number")));
        let colour = bead.lab.srgb().to_string();
        (bead.name.clone(), colour, bead.count, bead.pack, price, bead.note.clone())
    };
    tray.iter().map(|(_, bead)| line(bead)).collect()
}

fn read(bytes: &[u8]) -> Tray {
    Tray::parse("my.csv", bytes).unwrap_or_else(|e| panic!("{e}; {}", e.hint()))
}

fn utf_16(text: &str, unit: fn(u16) -> [u8; 2]) -> Vec<u8> {
    format!("\u{feff}{text}").encode_utf16().flat_map(unit).collect()
}

/// The same two beads, as they come out of many programs.
#[test]
fn one_tray_in_many_spellings_reads_the_same() {
    let plain =
        "name,hex,count,pack,price,note\ncoal,1f2023,1200,1000,2.50,\"dark, warm\"\nbone,d5ccb9,,,,\n";
    let is = lines(&read(plain.as_bytes()));
    assert_eq!(is[0].2, Some(1200));
    let texts = [
        // Commas, everything in quotation marks, CRLF.
        "\"name\",\"hex\",\"count\",\"pack\",\"price\",\"note\"\r\n\"coal\",\"1f2023\",\"1200\",\"1000\",\"2.50\",\"dark, warm\"\r\n\"bone\",\"d5ccb9\",\"\",\"\",\"\",\"\"\r\n",
        // Semicolons beside decimal commas.
        "name;hex;count;pack;price;note\ncoal;1f2023;1200;1000;2,50;dark, warm\nbone;d5ccb9;;;;\n",
        // The same with the line that says so, and without quotation marks about it or with them.
        "sep=;\r\nname;hex;count;pack;price;note\r\ncoal;1f2023;1200;1000;2,50;dark, warm\r\nbone;d5ccb9;;;;\r\n",
        "\"sep=;\"\nname;hex;count;pack;price;note\ncoal;1f2023;1200;1000;2.5;dark, warm\nbone;d5ccb9;;;;\n",
        "SEP=,\nname,hex,count,pack,price,note\ncoal,1f2023,1200,1000,2.50,\"dark, warm\"\nbone,d5ccb9,,,,\n",
        // A sign that nothing but the line says.
        "sep=|\nname|hex|count|pack|price|note\ncoal|1f2023|1200|1000|2,50|dark, warm\nbone|d5ccb9||||\n",
        // Tabs, as a spreadsheet copies them.
        "name\thex\tcount\tpack\tprice\tnote\ncoal\t1f2023\t1200\t1000\t2,50\tdark, warm\nbone\td5ccb9\t\t\t\t\n",
        "sep=\t\nname\thex\tcount\tpack\tprice\tnote\ncoal\t1f2023\t1200\t1000\t2.50\tdark, warm\nbone\td5ccb9\t\t\t\t\n",
        // Thousands parted: points, commas, blanks that hold together, apostrophes; the price says which is which.
        "name;hex;count;pack;price;note\ncoal;1f2023;1.200;1.000;2,50;dark, warm\nbone;d5ccb9;;;;\n",
        "name,hex,count,pack,price,note\ncoal,1f2023,\"1,200\",\"1,000\",2.50,\"dark, warm\"\nbone,d5ccb9,,,,\n",
        "name;hex;count;pack;price;note\ncoal;1f2023;1\u{a0}200;1\u{a0}000;2,50;dark, warm\nbone;d5ccb9;;;;\n",
        "name;hex;count;pack;price;note\ncoal;1f2023;1\u{202f}200;1\u{202f}000;2,50;dark, warm\nbone;d5ccb9;;;;\n",
        "name;hex;count;pack;price;note\ncoal;1f2023;1'200;1\u{2019}000;2.50;dark, warm\nbone;d5ccb9;;;;\n",
        // Whole numbers with decimals, as a column of decimals has them.
        "name;hex;count;pack;price;note\ncoal;1f2023;1200,00;1000,00;2,50;dark, warm\nbone;d5ccb9;;;;\n",
        // Money with its sign.
        "name;hex;count;pack;price;note\ncoal;1f2023;1200;1000;2,50 €;dark, warm\nbone;d5ccb9;;;;\n",
        "name,hex,count,pack,price,note\ncoal,1f2023,1200,1000,$2.50,\"dark, warm\"\nbone,d5ccb9,,,,\n",
        // Other capitals, another order, blanks about the names, # and capitals in the colour.
        "Note; PRICE ;Pack;COUNT;Hex;NAME\ndark, warm;2,50;1000;1200;#1F2023;coal\n;;;;#D5CCB9;bone\n",
        // Columns of the maker's own, empty columns and empty rows.
        "article;name;hex;shelf;count;pack;price;note;;\n17;coal;1f2023;left;1200;1000;2,50;dark, warm;;\n;;;;;;;;;\n18;bone;d5ccb9;;;;;;;\n;;;;;;;;;\n",
        // A formula that keeps noughts at the head.
        "name,hex,count,pack,price,note\ncoal,\"=\"\"1f2023\"\"\",1200,1000,2.50,\"dark, warm\"\nbone,\"=\"\"d5ccb9\"\"\",,,,\n",
        // Remarks before the header and before the line that says what parts the columns.
        "# my beads\nsep=;\n# bought in spring\nname;hex;count;pack;price;note\ncoal;1f2023;1200;1000;2,50;dark, warm\nbone;d5ccb9;;;;\n",
        // Line ends of old machines.
        "name,hex,count,pack,price,note\rcoal,1f2023,1200,1000,2.50,\"dark, warm\"\rbone,d5ccb9,,,,\r",
    ];
    for text in texts {
        assert_eq!(lines(&read(text.as_bytes())), is, "{text}");
        for unit in [u16::to_le_bytes, u16::to_be_bytes] {
            assert_eq!(lines(&read(&utf_16(text, unit))), is, "UTF-16: {text}");
        }
        assert_eq!(lines(&read(format!("\u{feff}{text}").as_bytes())), is, "marked: {text}");
    }
}

#[test]
fn measured_colours_come_with_decimal_commas_too() {
    let points = read(b"name,L,a,b,uncertainty\nfox,54.25,34.125,-2.5,1.5\n");
    for text in [
        "name;L;a;b;uncertainty\nfox;54,25;34,125;-2,5;1,5\n",
        "name,L,a,b,uncertainty\nfox,\"54,25\",\"34,125\",\"\u{2212}2,5\",\"1,5\"\n",
        "name\tl\tA\tB\tUncertainty\nfox\t54,250\t34,125\t-2,50\t1,5\n",
    ] {
        assert_eq!(read(text.as_bytes()), points, "{text}");
    }
}

/// Each file with the line and column of what is asked, and both readings.
#[test]
fn what_may_be_read_in_two_ways_is_asked_with_both() {
    let files: [(&str, usize, &str, [&str; 2]); 7] = [
        (
            "name,hex,price\ncoal,1f2023,\"1,234\"\n",
            2,
            "price",
            ["1234 (the comma parts thousands)", "1.234"],
        ),
        ("name;hex;price\ncoal;1f2023;€1.234\n", 2, "price", ["1234 (the point parts thousands)", "1.234"]),
        ("name;hex;count\nash;96999b;12\ncoal;1f2023;2.000\n", 3, "count", ["2000", "2.000"]),
        ("name,hex,pack\ncoal,1f2023,\"1,000\"\n", 2, "pack", ["1000", "1.000"]),
        // Elsewhere the point stands before decimals.
        ("name,hex,count,price\ncoal,1f2023,1.234,2.50\n", 2, "count", ["1234", "1.234"]),
        // Both signs part the header.
        (
            "name,hex;count\ncoal,1f2023;5\n",
            1,
            "header",
            ["commas (name | hex;count)", "semicolons (name,hex | count)"],
        ),
        ("# mine\n\nname;L,a;b,count\n", 3, "header", ["commas", "semicolons"]),
    ];
    for (text, line, column, readings) in files {
        let error = Tray::parse("my.csv", text.as_bytes()).expect_err(text);
        let said = error.to_string();
        assert!(said.starts_with(&format!("my.csv, line {line}, {column}: ")), "{said}");
        assert!(readings.iter().all(|reading| said.contains(reading)), "{said}");
        assert!(!error.hint().is_empty());
    }
}

#[test]
fn the_rest_of_the_file_settles_what_one_cell_leaves_open() {
    let count = |text: &str| read(text.as_bytes()).iter().map(|(_, bead)| bead.count).collect::<Vec<_>>();
    // A count is whole: 1,250 is no count otherwise, and then 2,000 is two thousand as well.
    assert_eq!(count("name,hex,count\na,1f2023,\"2,000\"\nb,96999b,\"1,250\"\n"), [Some(2000), Some(1250)]);
    // The price shows that the comma stands before decimals, later in the file.
    let text = "name;hex;count;price\na;1f2023;2.000;\nb;96999b;3;2,75\n";
    assert_eq!(count(text), [Some(2000), Some(3)]);
    let price =
        |text: &str| read(text.as_bytes()).iter().find_map(|(_, bead)| bead.price.clone()).expect("a price");
    assert_eq!(price("name;hex;price;count\na;1f2023;1.234;\nb;96999b;;1.500\n").number(), "1234");
    assert_eq!(price("name;hex;price;uncertainty\na;1f2023;1,234;0,5\n").number(), "1.2340");
}

#[test]
fn files_that_are_no_text_are_named_with_what_to_do() {
    let ods = [b"PK\x03\x04".as_slice(), &[0; 26], b"mimetypeapplication/vnd.oasis.opendocument.spreadsheet"]
        .concat();
    for (bytes, what) in [
        (b"PK\x03\x04\x14\x00\x06\x00".as_slice(), ".xlsx or .ods"),
        (&ods, "(.ods)"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", ".xls"),
        (b"%PDF-1.7", "a PDF"),
    ] {
        let error = Tray::parse("beads.csv", bytes).expect_err("no text");
        let said = error.to_string();
        assert!(said.starts_with("beads.csv: it is ") && said.contains(what), "{said}");
        assert!(error.hint().contains("save it as CSV"), "{}", error.hint());
    }
}

#[test]
fn damaged_lines_are_named_where_they_are() {
    let fault = |bytes: &[u8]| Tray::parse("my.csv", bytes).expect_err("a fault").to_string();
    assert!(fault(b"sep=;;\nname;hex\n").starts_with("my.csv, line 1, sep=: ';;' is not one sign"));
    assert!(fault(b"sep=\nname;hex\n").starts_with("my.csv, line 1, sep=: "));
    assert!(
        fault(b"name,hex\ncoal;1f2023\n")
            .contains("line 2, hex: the line is parted by semicolons, the header by commas")
    );
    assert!(
        fault(b"name;hex,count;note\n")
            .starts_with("my.csv, line 1, hex,count: columns are parted by semicolons")
    );
    let mut odd = utf_16("name,hex\ncoal,1f2023\n", u16::to_le_bytes);
    odd.pop();
    assert!(fault(&odd).contains("UTF-16, and line 2 is damaged"));
    // Half a pair of surrogates.
    let lone = [utf_16("name,hex\n", u16::to_be_bytes), vec![0xd8, 0x3d, 0, b'x']].concat();
    assert!(fault(&lone).contains("UTF-16, and line 2 is damaged"));
}

#[test]
fn columns_of_the_makers_own_are_kept_and_written_again() {
    let tray = read(b"shelf;name;hex;bought on\nleft;coal;1f2023;\n;bone;d5ccb9;\"May; two\"\n");
    assert_eq!(tray.own_columns(), ["shelf", "bought on"]);
    let again = read(tray.written(&[]).as_bytes());
    let own = |tray: &Tray| tray.iter().map(|(_, bead)| bead.own_columns.clone()).collect::<Vec<_>>();
    assert_eq!(own(&again), own(&tray));
    assert_eq!(own(&again)[1], [("bought on".to_owned(), "May; two".to_owned())]);
}

/// How a file is written.
#[derive(Clone, Debug)]
struct Dialect {
    separator: char,
    says_separator: bool,
    decimal_comma: bool,
    thousands: Option<char>,
    quoted: bool,
    crlf: bool,
    capitals: bool,
    /// By how many places the columns are turned.
    turned: usize,
    encoding: usize,
}

fn any_dialect() -> impl Strategy<Value = Dialect> {
    let thousands = prop_oneof![Just(None), Just(Some('\u{a0}')), Just(Some('\'')), Just(Some('*'))];
    let separator = prop::sample::select(vec![',', ';', '\t']);
    let flags = any::<[bool; 5]>();
    (separator, flags, thousands, 0..6_usize, 0..4_usize).prop_map(
        |(
            separator,
            [says_separator, decimal_comma, quoted, crlf, capitals],
            thousands,
            turned,
            encoding,
        )| {
            // The star stands for the mark that is not before decimals.
            let thousands = thousands.map(|mark| match (mark, decimal_comma) {
                ('*', true) => '.',
                ('*', false) => ',',
                (mark, _) => mark,
            });
            Dialect {
                separator,
                says_separator,
                decimal_comma,
                thousands,
                quoted,
                crlf,
                capitals,
                turned,
                encoding,
            }
        },
    )
}

impl Dialect {
    fn cell(&self, text: &str) -> String {
        let needs = text.contains([self.separator, '"']);
        if self.quoted || needs { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.into() }
    }

    fn whole(&self, number: u32) -> String {
        let digits = number.to_string();
        let Some(mark) = self.thousands else { return digits };
        let mut text = String::new();
        for (at, digit) in digits.chars().enumerate() {
            if at > 0 && (digits.len() - at).is_multiple_of(3) {
                text.push(mark);
            }
            text.push(digit);
        }
        text
    }

    /// Hundredths of a coin.
    fn money(&self, cents: u32) -> String {
        let mark = if self.decimal_comma { ',' } else { '.' };
        format!("{}{mark}{:02}", self.whole(cents / 100), cents % 100)
    }

    fn row(&self, mut cells: Vec<String>) -> String {
        let by = self.turned % cells.len();
        cells.rotate_left(by);
        let cells: Vec<String> = cells.iter().map(|cell| self.cell(cell)).collect();
        cells.join(&self.separator.to_string()) + if self.crlf { "\r\n" } else { "\n" }
    }

    fn file(&self, beads: &[(String, [u8; 3], u32, u32, String)]) -> Vec<u8> {
        let head = ["name", "hex", "count", "price", "note", "my own"];
        let head = head.map(|name| if self.capitals { name.to_uppercase() } else { name.into() });
        let mut text = if self.says_separator { format!("sep={}\n", self.separator) } else { String::new() };
        text += &self.row(head.to_vec());
        for (name, [r, g, b], count, cents, note) in beads {
            let hex = Srgb::new(*r, *g, *b).to_string();
            let hex = if self.capitals { hex.to_uppercase() } else { hex.trim_start_matches('#').into() };
            text += &self.row(vec![
                name.clone(),
                hex,
                self.whole(*count),
                self.money(*cents),
                note.clone(),
                "shelf".into(),
            ]);
        }
        match self.encoding {
            0 => utf_16(&text, u16::to_le_bytes),
            1 => utf_16(&text, u16::to_be_bytes),
            2 => format!("\u{feff}{text}").into_bytes(),
            _ => text.into_bytes(),
        }
    }
}

proptest! {
    #[test]
    fn a_tray_written_in_any_dialect_reads_the_same(
        dialect in any_dialect(),
        beads in prop::collection::btree_map(
            "[a-zé][a-z\",;é ]{0,10}[a-z]",
            (any::<[u8; 3]>(), 0..3_000_000_u32, 0..2_000_000_u32, "[a-z][a-z,;\" ]{0,8}[a-z]"),
            1..8,
        ),
    ) {
        let beads: Vec<_> =
            beads.into_iter().map(|(name, (rgb, count, cents, note))| (name, rgb, count, cents, note)).collect();
        let file = dialect.file(&beads);
        let tray = Tray::parse("any.csv", &file).map_err(|e| TestCaseError::fail(format!("{e}")))?;
        let is: Vec<Line> = beads
            .iter()
            .map(|(name, [r, g, b], count, cents, note)| {
                let price = format!("{}.{:02}00", cents / 100, cents % 100);
                let colour = Srgb::new(*r, *g, *b).to_string();
                (name.clone(), colour, Some(*count), None, Some(price), Some(note.clone()))
            })
            .collect();
        prop_assert_eq!(lines(&tray), is);
        let own = if dialect.capitals { "MY OWN" } else { "my own" };
        prop_assert_eq!(tray.own_columns(), [own]);
    }
}

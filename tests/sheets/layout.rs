//! Laws of the layout: any figure up to the limits stands on its pages whole, each bead once, nothing beyond
//! the paper.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use smallcast::figure::{ChosenBy, Description, Figure, LegendEntry, Mark, Part, Placed};
use smallcast::grid::Grid;
use smallcast::plan::Board;
use smallcast::sheet::{Item, Page, Paper, PrinterScale, Sheet, SheetOptions, Steps, Subject, build_sheet};
use smallcast::tray::Tray;
use smallcast::units::{Column, Millimetres, Row};

/// Beads that stand on both of two parts.
const OVERLAP: usize = 2;

/// A figure whose every peg is given by a number: the bead of that place in the legend, or none.
fn figure(cells: &Grid<Option<usize>>, kinds: usize) -> Figure {
    figure_of(cells, kinds, |i| format!("bead {i} {}", "of a long name ".repeat(i % 5)))
}

/// The same with beads of other names.
fn figure_of(cells: &Grid<Option<usize>>, kinds: usize, bead: impl Fn(usize) -> String) -> Figure {
    let marks: Vec<Mark> = Mark::ORDER.chars().filter_map(Mark::new).take(kinds).collect();
    let entry = |(i, mark): (usize, &Mark)| LegendEntry {
        mark: *mark,
        bead: bead(i),
        aim: None,
        confidence: None,
        by: ChosenBy::Hand,
    };
    let beads = cells.map(|_, _, kind| kind.map(|kind| Placed::new(marks[kind], None)));
    let part =
        Part { name: "body".into(), from: None, at: (Row(0), Column(0)), beads, bare: BTreeSet::new() };
    Figure::new(
        "law",
        Description {
            name: "Anybody".into(),
            stature: None,
            class: None,
            source: None,
            rows: None,
            legend: marks.iter().enumerate().map(entry).collect(),
            why: BTreeMap::new(),
            parts: vec![part],
            meant: Vec::new(),
        },
    )
    .unwrap()
}

/// The mark of a bead's symbol.
fn mark_of(sheet: &Sheet, item: &Item) -> Option<char> {
    let Item::Symbol { symbol, .. } = item else { return None };
    sheet.symbol(*symbol).iter().find_map(|item| match item {
        Item::Text { text, .. } => text.chars().next(),
        _ => None,
    })
}

/// The pegs a page shows at true size, row by row: a mark, or nothing for an empty peg. Legends have beads
/// of another size.
fn field(sheet: &Sheet, page: &Page, pitch: f64) -> Vec<Vec<Option<char>>> {
    let rows = printed(sheet, page, pitch);
    rows.into_iter().map(|row| row.into_iter().map(|peg| peg.expect("no peg left out")).collect()).collect()
}

/// The same with nothing where no peg is printed.
fn printed(sheet: &Sheet, page: &Page, pitch: f64) -> Vec<Vec<Option<Option<char>>>> {
    let mut pegs: Vec<(f64, f64, Option<char>)> = Vec::new();
    for item in &page.items {
        let (left, top, right, bottom) = sheet.extent(item);
        let middle = ((left + right) / 2.0, (top + bottom) / 2.0);
        let bead = mark_of(sheet, item);
        let peg = matches!(item, Item::Disc { radius, .. } if (radius - 0.07 * pitch).abs() < 1e-9);
        if peg || bead.is_some() && ((right - left) - pitch).abs() < 1e-6 {
            pegs.push((middle.0, middle.1, bead));
        }
    }
    let first = |values: &mut dyn Iterator<Item = f64>| values.fold(f64::INFINITY, f64::min);
    let (x0, y0) = (first(&mut pegs.iter().map(|p| p.0)), first(&mut pegs.iter().map(|p| p.1)));
    let mut rows: Vec<Vec<Option<Option<char>>>> = Vec::new();
    for (x, y, bead) in &pegs {
        let (row, column) = (((y - y0) / pitch).round() as usize, ((x - x0) / pitch).round() as usize);
        assert!(((x - x0) / pitch - column as f64).abs() < 1e-6, "a bead off its peg");
        rows.resize(rows.len().max(row + 1), Vec::new());
        let line = &mut rows[row];
        line.resize(line.len().max(column + 1), None);
        assert_eq!(line[column].replace(*bead), None, "two beads on one peg");
    }
    rows
}

/// Puts parts together, so many across, and sees that they agree where they overlap.
fn joined(
    parts: &[Vec<Vec<Option<char>>>],
    across: usize,
    shape: (usize, usize),
) -> Option<Grid<Option<char>>> {
    let mut whole: Grid<Option<Option<char>>> = Grid::from_fn(shape.0, shape.1, |_, _| None);
    let (mut row, mut column) = (0, 0);
    for (i, part) in parts.iter().enumerate() {
        for (r, line) in part.iter().enumerate() {
            for (c, bead) in line.iter().enumerate() {
                let place = (Row(row + r), Column(column + c));
                whole.get(place.0, place.1)?;
                if whole[place].is_some_and(|other| other != *bead) {
                    return None;
                }
                whole[place] = Some(*bead);
            }
        }
        column += part.first()?.len().saturating_sub(OVERLAP);
        if (i + 1) % across == 0 {
            column = 0;
            row += part.len().saturating_sub(OVERLAP);
        }
    }
    whole.iter().all(|(_, _, peg)| peg.is_some()).then(|| whole.map(|_, _, peg| peg.flatten()))
}

fn options() -> impl Strategy<Value = SheetOptions> {
    let paper = prop_oneof![Just(Paper::A4), Just(Paper::Letter)];
    // None of them is the size of a legend's beads.
    let pitch = prop_oneof![Just(1.5), Just(2.6), Just(3.7), Just(5.1), Just(10.0), Just(20.0)];
    let steps = prop_oneof![Just(None), Just(Some(Steps::Colour)), Just(Some(Steps::Row))];
    let board = (4_usize..60, 4_usize..60).prop_map(|(rows, columns)| Board { rows, columns });
    let printer = (0.9..1.1_f64, 0.9..1.1_f64).prop_map(|(across, down)| PrinterScale { across, down });
    (paper, pitch, steps, board, printer).prop_map(|(paper, pitch, steps, board, printer)| SheetOptions {
        paper,
        pitch: Millimetres(pitch),
        printer,
        board,
        steps,
        together: false,
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn any_figure_stands_on_its_pages_whole(
        (rows, columns) in prop_oneof![(1_usize..=40, 1_usize..=40), (1_usize..=100, 1_usize..=150)],
        kinds in 1_usize..=70,
        seed in 0_usize..1000,
        options in options(),
    ) {
        let cells = Grid::from_fn(rows, columns, |row, column| {
            // The first place has a bead, so that there is one.
            let any = (row.0 * 31 + column.0 * 17 + row.0 * column.0 * 7 + seed) % (kinds + 1);
            if row.0 + column.0 == 0 { Some(0) } else { any.checked_sub(1) }
        });
        let figure = figure(&cells, kinds);
        let sheet = build_sheet(&[Subject { figure: &figure, reference: None }], &Tray::embedded(), &options);
        for page in &sheet.pages {
            for item in &page.items {
                let (left, top, right, bottom) = sheet.extent(item);
                let inside = left >= 0.0
                    && top >= 0.0
                    && right * page.scale.0 <= page.size.0
                    && bottom * page.scale.1 <= page.size.1;
                prop_assert!(inside, "{item:?} reaches beyond the paper");
            }
        }
        let fields = sheet.pages.iter().map(|page| field(&sheet, page, options.pitch.0));
        let parts: Vec<_> = fields.filter(|field| !field.is_empty()).collect();
        let whole = (1..=parts.len()).filter(|across| parts.len().is_multiple_of(*across));
        let found = whole.filter_map(|across| joined(&parts, across, (rows, columns))).any(|grid| are_one_to_one(&grid, &cells));
        prop_assert!(found, "{} parts do not make the figure of {rows} x {columns}", parts.len());
    }
}

/// Whether the marks of a grid are its kinds, each of them one mark that no other is taken for.
fn are_one_to_one(grid: &Grid<Option<char>>, cells: &Grid<Option<usize>>) -> bool {
    let (mut marks, mut kinds) = (BTreeMap::new(), BTreeMap::new());
    let agrees = |(row, column, mark): (Row, Column, &Option<char>)| match (*mark, cells[(row, column)]) {
        (None, None) => true,
        (Some(mark), Some(kind)) => {
            *marks.entry(kind).or_insert(mark) == mark && *kinds.entry(as_read(mark)).or_insert(kind) == kind
        }
        _ => false,
    };
    grid.iter().all(agrees)
}

/// Marks that are taken for one another as one of them (common practice, no source).
fn as_read(mark: char) -> char {
    match mark {
        'l' | 'I' | '1' | '|' => 'l',
        'O' | '0' => 'O',
        other => other,
    }
}

#[test]
fn marks_that_look_alike_are_never_used_together() {
    let marks: Vec<char> = Mark::ORDER.chars().collect();
    let cells = Grid::from_fn(7, 10, |row, column| Some(row.0 * 10 + column.0));
    let options = SheetOptions { pitch: Millimetres(5.1), ..SheetOptions::default() };
    let figures = [figure(&cells, 70)];
    let sheet = build_sheet(&subjects(&figures), &Tray::embedded(), &options);
    let shown = field(&sheet, &sheet.pages[0], 5.1).concat();
    let own: Vec<char> = marks[..70].to_vec();
    let shown: Vec<char> = shown.into_iter().flatten().collect();
    let changed: String =
        own.iter().zip(&shown).filter(|(own, shown)| own != shown).map(|(own, _)| own).collect();
    assert_eq!(changed, "I01", "the first of those that are alike keeps its mark, and so do all others");
    let read: BTreeSet<char> = shown.iter().copied().map(as_read).collect();
    assert_eq!(read.len(), 70);
}

/// The words of all pages.
fn words_of(sheet: &Sheet) -> Vec<String> {
    let items = sheet.pages.iter().flat_map(|page| &page.items);
    let words = items.filter_map(|item| match item {
        Item::Text { text, .. } => Some(text.to_string()),
        _ => None,
    });
    words.collect()
}

#[test]
fn a_figure_takes_no_more_boards_than_its_beads_need() {
    let tray = Tray::embedded();
    let figures = [figure(&Grid::from_fn(26, 13, |_, _| Some(0)), 1)];
    let head = |rows, columns| {
        let options = SheetOptions { board: Board { rows, columns }, ..SheetOptions::default() };
        let words = words_of(&build_sheet(&subjects(&figures), &tray, &options));
        words.into_iter().find(|text| text.contains("from bead to bead")).unwrap()
    };
    assert!(head(26, 13).ends_with("board 13 × 26"), "{}", head(26, 13));
    assert!(head(13, 13).ends_with("2 boards, 1 across and 2 down, of 13 × 13"), "{}", head(13, 13));
    assert!(head(10, 7).ends_with("6 boards, 2 across and 3 down, of 7 × 10"), "{}", head(10, 7));
}

#[test]
fn two_figures_that_fill_a_board_with_the_peg_between_them_share_it() {
    let options = SheetOptions { pitch: Millimetres(5.1), together: true, ..SheetOptions::default() };
    let block = |columns, kind| figure(&Grid::from_fn(26, columns, |_, _| Some(kind)), 2);
    let sheet = build_sheet(&subjects(&[block(13, 0), block(15, 1)]), &Tray::embedded(), &options);
    let pegs = printed(&sheet, &sheet.pages[0], 5.1);
    let wanted = [&[Some(Some('a')); 13][..], &[None], &[Some(Some('b')); 15]].concat();
    assert!(pegs.len() == 26 && pegs.iter().all(|line| *line == wanted), "{pegs:?}");
}

#[test]
fn a_part_without_a_bead_has_no_page() {
    // Beads stand in two opposite corners alone.
    let cells = Grid::from_fn(26, 13, |row, column| {
        let corner = row.0 < 4 && column.0 < 3 || row.0 > 22 && column.0 > 10;
        corner.then_some(0)
    });
    let figures = [figure(&cells, 1)];
    let options = SheetOptions { pitch: Millimetres(20.0), ..SheetOptions::default() };
    let sheet = build_sheet(&subjects(&figures), &Tray::embedded(), &options);
    let words = words_of(&sheet);
    let parts: Vec<&String> = words.iter().filter(|text| text.contains(" – part ")).collect();
    assert_eq!(parts, ["Anybody – part 1 of 2", "Anybody – part 2 of 2"]);
    let beads = |page: &&Page| {
        let own = |item: &&Item| mark_of(&sheet, item).is_some();
        page.items
            .iter()
            .any(|item| own(&item) && (sheet.extent(item).2 - sheet.extent(item).0 - 20.0).abs() < 1e-6)
    };
    assert_eq!(sheet.pages.iter().filter(beads).count(), 2);
}

#[test]
fn the_ink_on_a_bead_is_the_one_that_stands_out() {
    // WCAG 2.2, success criterion 1.4.3: 4.5 to 1 for text; of black and white one always reaches it.
    let tray = Tray::embedded();
    let rows = 1;
    let cells = Grid::from_fn(rows, tray.len().min(70), |_, column| Some(column.0));
    let marks: Vec<Mark> = Mark::ORDER.chars().filter_map(Mark::new).collect();
    let mut description_beads = Vec::new();
    for (i, (_, bead)) in tray.iter().take(70).enumerate() {
        description_beads.push(LegendEntry {
            mark: marks[i],
            bead: bead.name.clone(),
            aim: None,
            confidence: None,
            by: ChosenBy::Hand,
        });
    }
    let beads = cells.map(|_, column, _| Some(Placed::new(marks[column.0], None)));
    let part =
        Part { name: "body".into(), from: None, at: (Row(0), Column(0)), beads, bare: BTreeSet::new() };
    let all = Figure::new(
        "all",
        Description {
            name: "All".into(),
            stature: None,
            class: None,
            source: None,
            rows: None,
            legend: description_beads,
            why: BTreeMap::new(),
            parts: vec![part],
            meant: Vec::new(),
        },
    )
    .unwrap();
    let sheet = build_sheet(&[Subject { figure: &all, reference: None }], &tray, &SheetOptions::default());
    let mut seen = BTreeSet::new();
    for symbol in &sheet.symbols {
        let fill = symbol.iter().find_map(|item| match item {
            Item::Disc { fill, .. } => Some(*fill),
            _ => None,
        });
        let ink = symbol.iter().find_map(|item| match item {
            Item::Text { ink, .. } => Some(*ink),
            _ => None,
        });
        let (fill, ink) = (fill.unwrap(), ink.unwrap());
        assert!(smallcast::colour::contrast_ratio(fill, ink) >= 4.5, "{ink} on {fill}");
        seen.insert(ink);
    }
    assert_eq!(seen.len(), 2, "both inks are used");
}

#[test]
fn figures_share_a_page_where_they_fit_and_large_ones_take_their_own() {
    let tray = Tray::embedded();
    let block = |rows| figure(&Grid::from_fn(rows, 9, |_, _| Some(0)), 1);
    let pages = |figures: &[Figure], pitch: f64| {
        let subjects: Vec<_> = figures.iter().map(|figure| Subject { figure, reference: None }).collect();
        let options = SheetOptions { pitch: Millimetres(pitch), ..SheetOptions::default() };
        build_sheet(&subjects, &tray, &options).pages.len()
    };
    assert_eq!(pages(&[block(24)], 5.0), 1);
    assert_eq!(pages(&[block(24), block(24)], 5.0), 2);
    assert_eq!(pages(&[block(24), block(24)], 2.6), 1);
    assert_eq!(pages(&[block(12), block(12)], 5.0), 1);
    assert_eq!(pages(&[block(12), block(24), block(12)], 5.0), 3);
}

/// Subjects without references.
fn subjects(figures: &[Figure]) -> Vec<Subject<'_>> {
    figures.iter().map(|figure| Subject { figure, reference: None }).collect()
}

#[test]
fn figures_that_fit_share_a_board_a_peg_apart_with_their_first_rows_level() {
    // 29 pegs across, one of them for the numbers at the left where there is room.
    let options = SheetOptions { pitch: Millimetres(5.1), together: true, ..SheetOptions::default() };
    let tray = Tray::embedded();
    let block = |rows, columns, kind| figure(&Grid::from_fn(rows, columns, |_, _| Some(kind)), 3);
    let shared = [block(24, 9, 0), block(19, 9, 1), block(5, 8, 2)];
    let sheet = build_sheet(&subjects(&shared), &tray, &options);
    assert_eq!(sheet.pages.len(), 1);
    let pegs = printed(&sheet, &sheet.pages[0], 5.1);
    let columns = |kind: char, rows: usize, row: usize| Some((row < rows).then_some(kind));
    for (row, line) in pegs.iter().enumerate() {
        let (a, b, c) = (columns('a', 24, row), columns('b', 19, row), columns('c', 5, row));
        let wanted = [&[a; 9][..], &[None], &[b; 9], &[None], &[c; 8]].concat();
        assert_eq!(*line, wanted, "row {row}");
    }
    assert_eq!(pegs.len(), 24);
    // A column more takes that peg; one more still, and the last stands on a board of its own.
    let full = [block(24, 9, 0), block(19, 9, 1), block(5, 9, 2)];
    let sheet = build_sheet(&subjects(&full), &tray, &options);
    assert_eq!(sheet.pages.len(), 1);
    assert_eq!(printed(&sheet, &sheet.pages[0], 5.1)[0].len(), 29);
    let wider = [block(24, 9, 0), block(19, 9, 1), block(5, 10, 2)];
    let sheet = build_sheet(&subjects(&wider), &tray, &options);
    let of_page = |page| printed(&sheet, page, 5.1).first().map_or(0, Vec::len);
    let widths: Vec<usize> = sheet.pages.iter().map(of_page).filter(|width| *width > 0).collect();
    assert_eq!(widths, [19, 10]);
    let apart = SheetOptions { together: false, ..options };
    assert_eq!(build_sheet(&subjects(&shared[..2]), &tray, &apart).pages.len(), 2);
}

#[test]
fn a_mark_on_a_shared_board_is_one_bead_and_a_bead_has_one_mark() {
    let options = SheetOptions { pitch: Millimetres(5.1), together: true, ..SheetOptions::default() };
    let cells = Grid::from_fn(24, 2, |_, column| Some(column.0));
    // Both have the marks a and b; the first one's b is the other's a.
    let one = figure_of(&cells, 2, |i| ["coal", "moss"][i].into());
    let other = figure_of(&cells, 2, |i| ["moss", "poppy"][i].into());
    let figures = [one, other];
    let sheet = build_sheet(&subjects(&figures), &Tray::embedded(), &options);
    let pegs = printed(&sheet, &sheet.pages[0], 5.1);
    let row: Vec<Option<char>> = pegs[0].iter().map(|peg| peg.flatten()).collect();
    assert_eq!(row[..4], [Some('a'), Some('b'), None, Some('b')]);
    assert!(row[4].is_some_and(|poppy| !['a', 'b'].contains(&poppy)), "{row:?}");
    // On pages of their own too: they lie side by side while pegging.
    let apart = SheetOptions { together: false, ..options };
    let sheet = build_sheet(&subjects(&figures), &Tray::embedded(), &apart);
    let of_page = |page: usize| printed(&sheet, &sheet.pages[page], 5.1)[0].clone();
    assert_eq!(of_page(0)[1], of_page(1)[0], "moss is b on both pages");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    #[test]
    fn every_bead_of_figures_together_is_printed_once_and_inside_the_paper(
        shapes in proptest::collection::vec((1_usize..=32, 1_usize..=20, 1_usize..=9), 1..7),
        options in options(),
    ) {
        let cells = |rows, columns, kinds| {
            Grid::from_fn(rows, columns, |row, column| Some((row.0 * 3 + column.0) % kinds))
        };
        let figures: Vec<Figure> =
            shapes.iter().map(|&(rows, columns, kinds)| figure(&cells(rows, columns, kinds), kinds)).collect();
        let options = SheetOptions { together: true, ..options };
        let sheet = build_sheet(&subjects(&figures), &Tray::embedded(), &options);
        let mut beads = 0;
        for item in sheet.pages.iter().flat_map(|page| page.items.iter().map(move |item| (page, item))) {
            let (page, (left, top, right, bottom)) = (item.0, sheet.extent(item.1));
            let inside = left >= 0.0
                && top >= 0.0
                && right * page.scale.0 <= page.size.0
                && bottom * page.scale.1 <= page.size.1;
            prop_assert!(inside, "{:?} reaches beyond the paper", item.1);
            let is_bead = mark_of(&sheet, item.1).is_some();
            beads += usize::from(is_bead && ((right - left) - options.pitch.0).abs() < 1e-6);
        }
        let all: usize = shapes.iter().map(|(rows, columns, _)| rows * columns).sum();
        // A figure larger than a page is printed in parts that overlap.
        prop_assert!(beads >= all, "{beads} of {all}");
    }
}

//! `smallcast draft`: a draft figure from a reference picture.

use std::path::{Path, PathBuf};

use smallcast::draft::{DEFAULT_SEED, Draft, DraftOptions, Size, draft};
use smallcast::error::{Error, Result};
use smallcast::figure;
use smallcast::plan::{HeightClass, MOST_ROWS, Marks, ZoneRows, parse_stature};
use smallcast::reference::{Answer, Area, Enclosed, Limits, open};
use smallcast::sheet::{draft_picture, png};
use smallcast::tray::Tray;

use super::output::{self, Paint};
use super::progress::Progress;
use super::{draft_json, draft_text, report, tray_or_embedded};

/// Draft a figure from a reference picture
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The reference: PNG, JPEG, WebP, GIF, BMP or TIFF
    picture: PathBuf,
    /// Tray file of the beads you own; the embedded tray serves without one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// Bead rows of the figure; alone it keeps the drawing's own proportions
    #[arg(long, value_name = "N", help_heading = "How tall")]
    rows: Option<usize>,
    /// Height class: very-tall, taller, guide, shorter, older-child, child or small-child
    #[arg(long, value_name = "NAME", conflicts_with_all = ["stands", "zones"], help_heading = "How tall")]
    class: Option<String>,
    /// Standing height beside the guide (24 rows, 176.85 cm), such as 165cm or 5ft5in
    #[arg(long, value_name = "HEIGHT", conflicts_with = "zones", help_heading = "How tall")]
    stands: Option<String>,
    /// Rows by zone, such as head=5,neck=1,torso=8,legs=9,feet=1
    #[arg(long, value_name = "ZONES", help_heading = "How tall")]
    zones: Option<String>,
    /// Pixel rows of landmarks: top, crown, chin, shoulder, hip, ankle, sole, such as crown=10,chin=110
    #[arg(
        long,
        value_name = "MARKS",
        allow_hyphen_values = true,
        conflicts_with = "as_drawn",
        help_heading = "Reading the picture"
    )]
    marks: Option<String>,
    /// Keep the drawing's own proportions
    #[arg(long, help_heading = "Reading the picture")]
    as_drawn: bool,
    /// The part of the picture to use, in pixels: X,Y,WIDTH,HEIGHT
    #[arg(long, value_name = "X,Y,W,H", allow_hyphen_values = true, help_heading = "Reading the picture")]
    crop: Option<String>,
    /// The pale area around this pixel is cloth, not ground; again for more
    #[arg(long, value_name = "X,Y", help_heading = "Reading the picture")]
    cloth: Vec<String>,
    /// The pale area around this pixel is ground, not cloth; again for more
    #[arg(long, value_name = "X,Y", help_heading = "Reading the picture")]
    ground: Vec<String>,
    /// Leave photographed paper as it was taken: neither straighten it nor even its light
    #[arg(long, help_heading = "Reading the picture")]
    as_taken: bool,
    /// Start of every random choice
    #[arg(long, value_name = "N", default_value_t = DEFAULT_SEED, help_heading = "Reading the picture")]
    seed: u64,
    /// Save the figure: NAME.figure.toml
    #[arg(long, value_name = "FILE", help_heading = "What to keep")]
    save: Option<PathBuf>,
    /// Save a picture to look at: reference with lattice, beads, and where it is unsure
    #[arg(long = "picture", value_name = "FILE.png", help_heading = "What to keep")]
    shown: Option<PathBuf>,
    /// Write over files that exist already
    #[arg(long, help_heading = "What to keep")]
    replace: bool,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

impl Arguments {
    /// Drafts, saves what was asked for, and shows the rest.
    pub fn execute(&self) -> Result<()> {
        let options = self.options()?;
        let tray = tray_or_embedded(self.tray.as_deref())?;
        self.check_targets()?;
        let progress = Progress::start("opening the picture");
        let picture = open::open(&self.picture, &Limits::default())?;
        progress.next("drafting");
        let file = self.picture.display().to_string();
        let found = draft(&file, &picture, &options, &tray)?;
        progress.done();
        self.save_all(&found, &options, &tray)?;
        found.warnings.iter().for_each(report::warning);
        if self.json {
            output::print_json(&draft_json::document(&file, &found, &tray))?;
            return Ok(());
        }
        let size = self.size_in_words(&options);
        output::print(&draft_text::report(
            &file,
            &size,
            &found,
            &tray,
            Paint::for_stdout(),
            output::width(),
        ))?;
        self.name_next(&found);
        Ok(())
    }

    fn options(&self) -> Result<DraftOptions> {
        if let Some(rows) = self.rows.filter(|rows| !(1..=MOST_ROWS).contains(rows)) {
            return Err(Error::BadValue {
                option: "--rows",
                value: rows.to_string(),
                why: format!("a figure has 1 to {MOST_ROWS} rows"),
                right: "the guide has 24".into(),
            });
        }
        let options = DraftOptions {
            crop: self.crop.as_deref().map(|text| area("--crop", text)).transpose()?,
            size: self.size()?,
            marks: self.marks.as_deref().map(Marks::parse).transpose()?,
            as_drawn: self.as_drawn,
            as_taken: self.as_taken,
            answers: self.answers()?,
            seed: self.seed,
        };
        self.check_rows(&options)?;
        self.check_marks(&options)?;
        Ok(options)
    }

    fn answers(&self) -> Result<Vec<Answer>> {
        let given = [("--cloth", &self.cloth, Enclosed::Cloth), ("--ground", &self.ground, Enclosed::Gap)];
        let each = given.into_iter().flat_map(|(option, texts, is)| {
            texts.iter().map(move |text| Ok(Answer { at: pixel(option, text)?, is }))
        });
        each.collect()
    }

    fn size(&self) -> Result<Size> {
        Ok(match (&self.zones, &self.class, &self.stands, self.rows) {
            (Some(zones), ..) => Size::Zones(ZoneRows::parse(zones)?),
            (_, Some(class), ..) => Size::Class(HeightClass::named(class)?),
            (_, _, Some(stands), _) => Size::Stands(parse_stature(stands)?),
            (.., Some(rows)) => Size::Rows(rows),
            _ => Size::Class(HeightClass::GUIDE),
        })
    }

    /// `--rows` beside a class, a height or zones must say the same.
    fn check_rows(&self, options: &DraftOptions) -> Result<()> {
        match self.rows {
            Some(rows) if rows != options.rows() => Err(Error::BadValue {
                option: "--rows",
                value: rows.to_string(),
                why: format!("the other options make it {} rows", options.rows()),
                right: "leave --rows out, or let it agree".into(),
            }),
            _ => Ok(()),
        }
    }

    fn check_marks(&self, options: &DraftOptions) -> Result<()> {
        match (&self.marks, options.zones()) {
            (Some(marks), None) => Err(Error::BadValue {
                option: "--marks",
                value: marks.clone(),
                why: "landmarks bring a drawing to zones, and none were given".into(),
                right: "add --class NAME, --stands HEIGHT or --zones ZONES".into(),
            }),
            _ => Ok(()),
        }
    }

    fn size_in_words(&self, options: &DraftOptions) -> String {
        match (options.size, options.zones()) {
            (_, None) => format!("{} rows as drawn", options.rows()),
            (Size::Class(class), _) => format!("{} rows, class {}", options.rows(), class.name),
            (Size::Stands(stature), _) => format!("{} rows for {stature}", options.rows()),
            _ => format!("{} rows by zone", options.rows()),
        }
    }

    /// Sees before the work that nothing would be written over.
    fn check_targets(&self) -> Result<()> {
        let read: Vec<&Path> =
            [Some(&self.picture), self.tray.as_ref()].into_iter().flatten().map(PathBuf::as_path).collect();
        if let Some(target) = &self.save {
            super::check_target("--save", target, ".toml", &read, self.replace)?;
        }
        if let Some(target) = &self.shown {
            super::check_target("--picture", target, ".png", &read, self.replace)?;
        }
        Ok(())
    }

    fn save_all(&self, found: &Draft, options: &DraftOptions, tray: &Tray) -> Result<()> {
        let mut files: Vec<(&Path, Vec<u8>)> = Vec::new();
        if let Some(target) = &self.save {
            let picture = beside(&self.picture, target);
            let figure = found.figure(&name_of(target), &picture, options, tray)?;
            files.push((target, figure::write(&figure).into_bytes()));
        }
        if let Some(target) = &self.shown {
            files.push((target, png(&draft_picture(found, tray))));
        }
        super::save_all(&files, self.replace)
    }

    /// The command that carries on from here: save the figure, look at it, settle a colour.
    fn name_next(&self, found: &Draft) {
        let again = self.again();
        match (&self.save, &self.shown) {
            (None, _) => report::next(&format!("{again} --save {}", report::typed(&self.figure_name()))),
            (Some(_), None) => {
                let shown = self.picture.with_extension("draft.png");
                report::next(&format!("{again} --picture {}", report::typed(&shown)));
            }
            (Some(figure), Some(_)) => {
                // The colour that is least sure is the one to look into.
                let doubtful =
                    found.legend.iter().min_by(|a, b| a.confidence.get().total_cmp(&b.confidence.get()));
                let mark = doubtful
                    .map_or("a".into(), |line| report::typed(Path::new(&line.mark.get().to_string())));
                report::next(&format!("smallcast compare --figure {} --mark {mark}", report::typed(figure)));
            }
        }
    }

    /// This command as it was given, but for what it saves.
    fn again(&self) -> String {
        let mut words = vec!["smallcast draft".to_owned(), report::typed(&self.picture)];
        let mut add = |option: &str, value: &str| {
            words.extend([option.to_owned(), report::typed(Path::new(value))]);
        };
        let texts = [
            ("--class", &self.class),
            ("--stands", &self.stands),
            ("--zones", &self.zones),
            ("--marks", &self.marks),
            ("--crop", &self.crop),
        ];
        if let Some(tray) = &self.tray {
            add("--tray", &tray.display().to_string());
        }
        if let Some(rows) = self.rows {
            add("--rows", &rows.to_string());
        }
        texts
            .into_iter()
            .filter_map(|(option, text)| Some((option, text.as_ref()?)))
            .for_each(|(o, t)| add(o, t));
        self.cloth.iter().for_each(|at| add("--cloth", at));
        self.ground.iter().for_each(|at| add("--ground", at));
        if self.seed != DEFAULT_SEED {
            add("--seed", &self.seed.to_string());
        }
        if self.as_drawn {
            words.push("--as-drawn".into());
        }
        if self.as_taken {
            words.push("--as-taken".into());
        }
        words.join(" ")
    }

    fn figure_name(&self) -> PathBuf {
        let stem = self.picture.file_stem().map(Path::new).unwrap_or(Path::new("figure"));
        PathBuf::from(format!("{}.figure.toml", stem.display()))
    }
}

/// A figure's name from its file's: `anna.figure.toml` is Anna.
fn name_of(file: &Path) -> String {
    let name = file.file_name().map_or("figure".into(), |name| name.to_string_lossy());
    let stem = name.strip_suffix(".toml").unwrap_or(&name);
    let stem = stem.strip_suffix(".figure").unwrap_or(stem);
    let mut letters = stem.chars();
    letters.next().map_or("Figure".into(), |first| first.to_uppercase().chain(letters).collect())
}

/// A picture's path as it is found from beside the figure's file: a bare name in the same folder, a
/// full path elsewhere.
pub fn beside(picture: &Path, figure: &Path) -> String {
    let folder = |file: &Path| match file.parent() {
        Some(folder) if folder != Path::new("") => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    let same = match (folder(picture).canonicalize(), folder(figure).canonicalize()) {
        (Ok(one), Ok(other)) => one == other,
        _ => false,
    };
    let name = picture.file_name().map(|name| name.to_string_lossy().into_owned());
    match name {
        Some(name) if same => name,
        _ => picture.canonicalize().unwrap_or_else(|_| picture.to_owned()).display().to_string(),
    }
}

/// A pixel of the picture: x and y, whole numbers.
fn pixel(option: &'static str, text: &str) -> Result<(f64, f64)> {
    let numbers: Option<Vec<u32>> = text.split(',').map(|part| part.trim().parse().ok()).collect();
    match numbers.as_deref() {
        Some(&[x, y]) => Ok((f64::from(x), f64::from(y))),
        _ => Err(Error::BadValue {
            option,
            value: text.into(),
            why: "this is not a pixel".into(),
            right: "write x and y in whole pixels of the upright picture, such as 120,340".into(),
        }),
    }
}

/// Reads `X,Y,WIDTH,HEIGHT` in whole pixels.
pub fn area(option: &'static str, text: &str) -> Result<Area> {
    let numbers: Option<Vec<u32>> = text.split(',').map(|part| part.trim().parse().ok()).collect();
    match numbers.as_deref() {
        Some(&[x, y, width, height]) if width > 0 && height > 0 => {
            let [x, y, width, height] = [x, y, width, height].map(f64::from);
            Ok(Area { x, y, width, height })
        }
        _ => Err(Error::BadValue {
            option,
            value: text.into(),
            why: "this is not an area".into(),
            right: "write x, y, width and height in whole pixels, such as 120,40,600,980".into(),
        }),
    }
}

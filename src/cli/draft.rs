//! `smallcast draft`: a draft figure from a reference picture.

mod each;
mod next;
mod older;

use std::path::{Path, PathBuf};

use smallcast::draft::{DEFAULT_SEED, Draft, DraftOptions, Several, Size, choices_of, draft_of_several};
use smallcast::error::{Error, Result};
use smallcast::figure::{self, Figure};
use smallcast::plan::{Classes, Guide, HeightClass, MOST_ROWS, Marks, ZoneRows, parse_stature};
use smallcast::reference::{Answer, Corners, Enclosed, Limits, open};
use smallcast::sheet::{choices_picture, draft_picture, png};
use smallcast::tray::Tray;

use super::draft_found::{Found, Readings};
use super::figures::{ENDING, name_of};
use super::home::Home;
use super::output::{self, Paint};
use super::places::{area, pixel};
use super::progress::Progress;
use super::references::beside;
use super::{draft_choices, draft_json, draft_text, report, several_text};

/// Draft a figure from a reference picture
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The reference: PNG, JPEG, WebP, GIF, BMP or TIFF; others of the same character may follow: the first
    /// gives the shape, all give the colours
    #[arg(required = true, value_name = "PICTURE")]
    pictures: Vec<PathBuf>,
    /// Tray file of the beads you own; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// Bead rows of the figure; given alone, the drawing keeps its own proportions
    #[arg(long, value_name = "N", help_heading = "How tall")]
    rows: Option<usize>,
    /// Height class: very-tall, taller, guide, shorter, older-child, child, small-child, or one of the cast's own
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
    /// An older figure of yours to draft on: its shape, the picture's colours, and its rows if no height is
    /// given
    #[arg(
        long,
        value_name = "OLD.figure.toml",
        conflicts_with_all = ["choices", "each", "as_drawn", "plain"],
        help_heading = "Reading the picture"
    )]
    on: Option<PathBuf>,
    /// Keep the drawing's own proportions
    #[arg(long, help_heading = "Reading the picture")]
    as_drawn: bool,
    /// The part of the picture to use, in pixels: X,Y,WIDTH,HEIGHT
    #[arg(long, value_name = "X,Y,W,H", allow_hyphen_values = true, help_heading = "Reading the picture")]
    crop: Option<String>,
    /// The four corners of the sheet it is drawn on, in pixels and in any order: X,Y,X,Y,X,Y,X,Y
    #[arg(
        long,
        value_name = "CORNERS",
        allow_hyphen_values = true,
        conflicts_with = "as_taken",
        help_heading = "Reading the picture"
    )]
    corners: Option<String>,
    /// The pale area around this pixel is cloth, not background; may be repeated
    #[arg(long, value_name = "X,Y", help_heading = "Reading the picture")]
    cloth: Vec<String>,
    /// The pale area around this pixel is background, not cloth; may be repeated
    #[arg(long, alias = "ground", value_name = "X,Y", help_heading = "Reading the picture")]
    background: Vec<String>,
    /// There is no sheet: leave photographed paper as it was taken, with no straightening and no evening out
    /// of light
    #[arg(long, help_heading = "Reading the picture")]
    as_taken: bool,
    /// Read each bead's place as it is: no body plan, face, small marks or flat garments for a sketch, and
    /// the nearest bead for every colour, whatever it touches
    #[arg(long, help_heading = "Reading the picture")]
    plain: bool,
    /// Draft all the people on the page to one scale: rows follow from their heights; --save girl.figure.toml makes
    /// girl-1.figure.toml, girl-2.figure.toml and so on, in reading order, and --picture numbers its files likewise
    #[arg(long, conflicts_with_all = ["marks", "choices"], help_heading = "Several people on one page")]
    each: bool,
    /// The person, counted in reading order, who has the rows asked for; without it, the tallest
    #[arg(long, value_name = "N", requires = "each", help_heading = "Several people on one page")]
    guide: Option<usize>,
    /// Seed of every random choice
    #[arg(long, value_name = "N", default_value_t = DEFAULT_SEED, help_heading = "Reading the picture")]
    seed: u64,
    /// Read the picture in up to N ways, 2 to 9, where it allows that; --picture shows them side by side
    #[arg(long, value_name = "N", help_heading = "Where the picture leaves a choice")]
    choices: Option<usize>,
    /// Take the reading with this number: report it, and save it with --save
    #[arg(long, value_name = "NUMBER", requires = "choices")]
    #[arg(help_heading = "Where the picture leaves a choice")]
    take: Option<usize>,
    /// Save the figure: NAME.figure.toml
    #[arg(long, value_name = "FILE", help_heading = "What to keep")]
    save: Option<PathBuf>,
    /// Save a picture to check: the reference with its lattice, the beads, and where the draft is unsure
    #[arg(long = "picture", value_name = "FILE.png", help_heading = "What to keep")]
    shown: Option<PathBuf>,
    /// Overwrite existing files
    #[arg(long, help_heading = "What to keep")]
    replace: bool,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

impl Arguments {
    /// Drafts, saves what was asked for, and shows the rest.
    pub fn execute(&self) -> Result<()> {
        self.check_pictures()?;
        let home = self.home()?;
        let tray = &home.tray;
        let older = self.older()?;
        let options = self.options(home.classes(), home.scale()?, older.as_ref())?;
        self.check_choices()?;
        self.check_each()?;
        self.check_targets(&home)?;
        if self.each {
            return self.execute_each(&options, &home);
        }
        let found = self.find(&options, older.as_ref(), tray)?;
        self.save_all(&found, &options, &home)?;
        found.draft().warnings.iter().for_each(report::warning);
        found.left_out().for_each(|(file, why)| report::of_file("left out of the colours", file, why));
        if self.json {
            return output::print_json(&draft_json::document(&found, tray, home.tray_name()));
        }
        let (paint, width) = (Paint::for_stdout(), output::width());
        let size = self.size_in_words(&options, found.draft());
        let text = match &found.readings {
            Readings::Several { choices, taken: None, asked } => {
                draft_choices::report((found.file(), &size), (choices, *asked), paint, width)
            }
            _ => {
                let on = found.on.as_ref().map(|on| on.in_words(width));
                let several = several_text::section(&found, tray, paint, width);
                let references = match (on, several) {
                    (None, several) => several,
                    (Some(on), several) => Some([on, several.unwrap_or_default()].concat()),
                };
                draft_text::report((found.file(), &size), found.draft(), references, tray, paint, width)
            }
        };
        output::print(&text)?;
        output::print(&super::save::saved_in_words(output::width()))?;
        self.name_next(&found, &home);
        Ok(())
    }

    /// What serves: the cast the figure is saved in, else the one its picture is in, else the one around the maker.
    fn home(&self) -> Result<Home> {
        let pictures = self.pictures.iter().map(PathBuf::as_path);
        let paths: Vec<&Path> =
            self.save.as_deref().into_iter().chain(pictures).chain([Path::new(".")]).collect();
        Home::of_first(&paths, self.tray.as_deref())
    }

    /// The drafts that were asked for.
    fn find(&self, options: &DraftOptions, older: Option<&Figure>, tray: &Tray) -> Result<Found> {
        let progress = Progress::start(match self.pictures.len() {
            1 => "opening the picture",
            _ => "opening the pictures",
        });
        let open = |file: &PathBuf| Ok((file.display().to_string(), open::open(file, &Limits::default())?));
        let (file, picture) = open(self.picture())?;
        options.corners.map_or(Ok(()), |corners| corners.check_within(picture.size()))?;
        let others = self.pictures.iter().skip(1).map(open).collect::<Result<Vec<_>>>()?;
        progress.next("drafting");
        let several = draft_of_several(&file, &picture, &others, options, tray)?;
        for (other, picture) in &others {
            picture.warnings.iter().for_each(|warning| report::warning_of(other, warning));
        }
        let Several { draft, wishes, references, disagreements } = several;
        let (draft, on) = self.laid_on((&file, &picture), (draft, &wishes), (options, older), tray)?;
        let readings = match self.choices {
            None => Readings::One(Box::new(draft)),
            Some(asked) => {
                progress.next("reading it in other ways");
                let choices = choices_of((&file, &picture), draft, options, &wishes, tray, asked)?;
                if let Some(number) = self.take.filter(|number| *number > choices.len()) {
                    return Err(no_such_reading(number, choices.len()));
                }
                let taken = self.take.map(|number| number - 1);
                Readings::Several { choices, taken, asked }
            }
        };
        progress.done();
        Ok(Found { readings, references, disagreements, on })
    }

    fn check_pictures(&self) -> Result<()> {
        match self.pictures.iter().find(|picture| picture.is_dir()) {
            None => Ok(()),
            Some(folder) => Err(Error::BadValue {
                option: "PICTURE",
                value: folder.display().to_string(),
                why: "it is a folder".into(),
                right: "name a picture, or several of the same character; smallcast edit FOLDER shows what is in it"
                    .into(),
            }),
        }
    }

    /// The picture that gives the shape.
    fn picture(&self) -> &PathBuf {
        // The command line asks for one picture at least.
        &self.pictures[0]
    }

    fn check_choices(&self) -> Result<()> {
        /// More than nine are no choice.
        const MOST: std::ops::RangeInclusive<usize> = 2..=9;
        let bad = |option, value: String, why: &str, right: &str| {
            Err(Error::BadValue { option, value, why: why.into(), right: right.into() })
        };
        match (self.choices, self.take, &self.save) {
            (Some(asked), ..) if !MOST.contains(&asked) => {
                bad("--choices", asked.to_string(), "2 to 9 readings can be shown", "4 is a good start")
            }
            (Some(_), Some(0), _) => {
                bad("--take", "0".into(), "readings are counted from 1", "give 1 or more")
            }
            (Some(_), None, Some(target)) => bad(
                "--save",
                target.display().to_string(),
                "--choices gives several readings, and --save needs one of them",
                "look at them with --picture, then add --take NUMBER",
            ),
            _ => Ok(()),
        }
    }

    fn options(&self, classes: &Classes, guide: Guide, older: Option<&Figure>) -> Result<DraftOptions> {
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
            corners: self.corners.as_deref().map(Corners::parse).transpose()?,
            size: self.size(classes, &guide, older)?,
            classes: classes.clone(),
            guide,
            marks: self.marks.as_deref().map(Marks::parse).transpose()?,
            as_drawn: self.as_drawn,
            as_taken: self.as_taken,
            plain: self.plain,
            answers: self.answers()?,
            seed: self.seed,
            ..DraftOptions::default()
        };
        self.check_rows(&options)?;
        self.check_marks(&options)?;
        Ok(options)
    }

    fn answers(&self) -> Result<Vec<Answer>> {
        let given =
            [("--cloth", &self.cloth, Enclosed::Cloth), ("--background", &self.background, Enclosed::Gap)];
        let each = given.into_iter().flat_map(|(option, texts, is)| {
            texts.iter().map(move |text| Ok(Answer { at: pixel(option, text)?, is }))
        });
        each.collect()
    }

    fn size(&self, classes: &Classes, guide: &Guide, older: Option<&Figure>) -> Result<Size> {
        Ok(match (&self.zones, &self.class, &self.stands, self.rows) {
            (Some(zones), ..) => Size::Zones(ZoneRows::parse(zones)?),
            (_, Some(class), ..) => Size::Class(classes.named(class)?),
            (_, _, Some(stands), _) => Size::Stands(parse_stature(stands)?),
            (.., Some(rows)) => Size::Rows(rows),
            _ => match older {
                Some(older) => older::size_of(older, classes)?,
                // The cast's own guide, where it is another than the trade's.
                None if guide.rows() != Guide::TRADE.rows() => Size::Zones(*guide.rows()),
                None => Size::Class(classes.named(&HeightClass::GUIDE.name)?),
            },
        })
    }

    /// `--rows` beside a class, a height or zones must say the same.
    fn check_rows(&self, options: &DraftOptions) -> Result<()> {
        match self.rows {
            Some(rows) if rows != options.rows() => Err(Error::BadValue {
                option: "--rows",
                value: rows.to_string(),
                why: format!("the other options make it {} rows", options.rows()),
                right: "leave --rows out, or make it agree".into(),
            }),
            _ => Ok(()),
        }
    }

    fn check_marks(&self, options: &DraftOptions) -> Result<()> {
        match (&self.marks, options.zones()) {
            (Some(marks), None) => Err(Error::BadValue {
                option: "--marks",
                value: marks.clone(),
                why: "--marks needs --class, --stands or --zones".into(),
                right: "add --class NAME, --stands HEIGHT or --zones ZONES".into(),
            }),
            _ => Ok(()),
        }
    }

    fn size_in_words(&self, options: &DraftOptions, draft: &Draft) -> String {
        let above = draft.samples.plan().map_or(0, |plan| plan.total().saturating_sub(options.rows()));
        let rows = match above {
            0 => format!("{} rows", options.rows()),
            _ => format!("{} rows, {above} of them above the head", options.rows() + above),
        };
        match (&options.size, options.zones()) {
            (_, None) => format!("{} rows as drawn", options.rows()),
            (Size::Class(class), _) => format!("{rows}, class {}", class.name),
            (Size::Stands(stature), _) => format!("{rows} for {stature}"),
            _ => format!("{rows} by zone"),
        }
    }

    /// Sees before the work that nothing would be written over.
    fn check_targets(&self, home: &Home) -> Result<()> {
        // How many files are numbered is known when the people are.
        let first = |target: &Path| if self.each { each::numbered(target, 1) } else { target.to_owned() };
        if let Some(target) = &self.save {
            self.check_target("--save", &first(target), ENDING, home)?;
            home.check_name("--save", &name_of(&first(target)), &first(target))?;
        }
        if let Some(target) = &self.shown {
            self.check_target("--picture", &first(target), ".png", home)?;
        }
        Ok(())
    }

    fn check_target(&self, option: &'static str, target: &Path, ending: &str, home: &Home) -> Result<()> {
        let served = home.read();
        let read: Vec<&Path> =
            self.pictures.iter().chain(&served).chain(&self.on).map(PathBuf::as_path).collect();
        super::check_target(option, target, ending, &read, self.replace)
    }

    fn save_all(&self, found: &Found, options: &DraftOptions, home: &Home) -> Result<()> {
        let tray = &home.tray;
        let mut files: Vec<(&Path, Vec<u8>)> = Vec::new();
        if let Some(target) = &self.save {
            let picture = beside(self.picture(), target);
            let figure = found.draft().figure(&name_of(target), &picture, options, tray)?;
            files.push((target, figure::write(&figure).into_bytes()));
        }
        if let Some(target) = &self.shown {
            let drawn = match &found.readings {
                Readings::One(draft) => draft_picture(draft, tray),
                Readings::Several { choices, .. } => choices_picture(choices, tray),
            };
            files.push((target, png(&drawn)));
        }
        super::save_all(&files, self.replace)?;
        self.save.iter().try_for_each(|target| keep_tray(target, home))
    }
}

/// Keeps with a saved figure the tray that was typed for it, so that it need not be typed again.
fn keep_tray(figure: &Path, home: &Home) -> Result<()> {
    home.tray_to_keep(figure).map_or(Ok(()), |tray| figure::served_with(figure, &tray))
}

fn no_such_reading(number: usize, there_are: usize) -> Error {
    let why = match there_are {
        1 => "the picture allows only one reading".to_owned(),
        _ => format!("the picture allows only {there_are} readings"),
    };
    let right = format!("take 1 to {there_are}; --picture shows them side by side");
    Error::BadValue { option: "--take", value: number.to_string(), why, right }
}

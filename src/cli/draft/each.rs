//! `smallcast draft --each`: the people of a page, drafted to one scale.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use serde::Serialize;
use smallcast::draft::{DraftOptions, Member, PeopleDrafted, ReferenceUse, Used, draft_each};
use smallcast::error::{Error, Result};
use smallcast::figure;
use smallcast::reference::{Limits, open};
use smallcast::sheet::{draft_picture, png};
use smallcast::tray::Tray;

use super::{Arguments, name_of};
use crate::cli::draft_found::{Found, Readings};
use crate::cli::draft_json::{self, Document, PersonJson};
use crate::cli::figures::ENDING;
use crate::cli::home::Home;
use crate::cli::output::{self, Paint};
use crate::cli::progress::Progress;
use crate::cli::references::beside;
use crate::cli::table::{headline, wrapped};
use crate::cli::{draft_text, report as say, save_all};

impl Arguments {
    /// Drafts all the people on the page.
    pub(super) fn execute_each(&self, options: &DraftOptions, home: &Home) -> Result<()> {
        let tray = &home.tray;
        let file = self.picture().display().to_string();
        let progress = Progress::start("opening the picture");
        let picture = open::open(self.picture(), &Limits::default())?;
        options.corners.map_or(Ok(()), |corners| corners.check_within(picture.size()))?;
        progress.next("drafting");
        let guide = self.guide_place()?;
        let drafted = draft_each(&file, &picture, (options, guide), tray)?;
        progress.done();
        self.save_each(&drafted, home)?;
        warn(&drafted);
        if self.json {
            return print_json(&file, &drafted, home);
        }
        let sizes: Vec<String> =
            drafted.people.iter().map(|member| self.size_in_words(&member.options, &member.draft)).collect();
        output::print(&report((&file, &sizes), &drafted, tray, Paint::for_stdout(), output::width()))?;
        match (&self.save, &self.shown) {
            (None, _) => {
                say::next(&format!("{} --save {}", self.again(), say::typed(&self.figure_name(home))))
            }
            (Some(_), None) => {
                let shown = say::typed(&self.picture().with_extension("draft.png"));
                say::next(&format!("{} --picture {shown}", self.again()));
            }
            (Some(target), Some(_)) => {
                let first = say::typed(&numbered(target, 1));
                say::next(&format!("smallcast edit {first}{}", self.tray_for(&numbered(target, 1), home)));
            }
        }
        Ok(())
    }

    /// Saves the figures and their pictures under numbered names, all or none.
    fn save_each(&self, drafted: &PeopleDrafted, home: &Home) -> Result<()> {
        let tray = &home.tray;
        let mut files: Vec<(PathBuf, Vec<u8>)> = Vec::new();
        for (at, member) in drafted.people.iter().enumerate() {
            if let Some(target) = &self.save {
                let target = numbered(target, at + 1);
                self.check_target("--save", &target, ENDING, home)?;
                let picture = beside(self.picture(), &target);
                let figure = member.draft.figure(&name_of(&target), &picture, &member.options, tray)?;
                files.push((target, figure::write(&figure).into_bytes()));
            }
            if let Some(target) = &self.shown {
                let target = numbered(target, at + 1);
                self.check_target("--picture", &target, ".png", home)?;
                files.push((target, png(&draft_picture(&member.draft, tray))));
            }
        }
        let files: Vec<(&Path, Vec<u8>)> =
            files.iter().map(|(target, bytes)| (target.as_path(), bytes.clone())).collect();
        save_all(&files, self.replace)?;
        let mut saved = (1..=drafted.people.len())
            .flat_map(|number| self.save.iter().map(move |target| numbered(target, number)));
        saved.try_for_each(|figure| super::keep_tray(&figure, home))
    }

    /// Other pictures lend colours to one figure, and here are several.
    pub(super) fn check_each(&self) -> Result<()> {
        match self.pictures.get(1).filter(|_| self.each) {
            Some(second) => Err(Error::BadValue {
                option: "--each",
                value: second.display().to_string(),
                why: "it drafts the people on one page, and there is another picture".into(),
                right: "give one picture, or draft one of the people with --crop".into(),
            }),
            None => Ok(()),
        }
    }

    /// The guide's place from 0.
    fn guide_place(&self) -> Result<Option<usize>> {
        let from_one = |number: usize| {
            number.checked_sub(1).ok_or_else(|| Error::BadValue {
                option: "--guide",
                value: number.to_string(),
                why: "people are counted from 1".into(),
                right: "give 1 for the leftmost".into(),
            })
        };
        self.guide.map(from_one).transpose()
    }
}

/// Warns of what the maker should know of each.
fn warn(drafted: &PeopleDrafted) {
    let several = drafted.people.len() > 1;
    for (at, member) in drafted.people.iter().enumerate() {
        for warning in &member.draft.warnings {
            match several {
                true => say::warning_of(&format!("number {}", at + 1), warning),
                false => say::warning(warning),
            }
        }
    }
}

/// The whole report, in `width` columns; `sizes` says of each how tall it is.
fn report(
    (file, sizes): (&str, &[String]),
    drafted: &PeopleDrafted,
    tray: &Tray,
    paint: Paint,
    width: usize,
) -> String {
    let name = Path::new(file).file_name().map_or(file.into(), |name| name.to_string_lossy());
    let title = format!("{}: {}", say::plain(&name), counted(drafted.people.len()));
    let mut text = format!("{}\n", headline(&title, paint, width));
    if drafted.people.len() > 1 {
        text.push_str(&paint.faint(&wrapped(&scale(drafted), width)));
        text.push('\n');
    }
    for (at, (member, size)) in drafted.people.iter().zip(sizes).enumerate() {
        text.push('\n');
        text.push_str(&draft_text::short((at + 1, size), &member.draft, tray, paint, width));
    }
    text
}

fn counted(people: usize) -> String {
    match people {
        1 => "1 person".into(),
        _ => format!("{people} people, drafted to one scale"),
    }
}

/// How the rows of the others follow.
fn scale(drafted: &PeopleDrafted) -> String {
    let guide = &drafted.people[drafted.guide];
    let others = drafted.people.iter().enumerate().filter(|(at, _)| *at != drafted.guide);
    let each: Vec<String> = others
        .map(|(at, member)| {
            let percent = 100.0 * member.person.height / guide.person.height;
            format!("{} {percent:.0} % of that, {} rows", at + 1, rows_of(member))
        })
        .collect();
    format!("Number {} sets the scale with {} rows; {}.", drafted.guide + 1, rows_of(guide), each.join("; "))
}

fn rows_of(member: &Member) -> usize {
    member.draft.samples.lattice().rows()
}

/// The JSON document: the people, and a draft's document for each.
#[derive(Serialize)]
struct CastDocument<'a> {
    format: u32,
    tray: String,
    picture: &'a str,
    /// The number of the one that sets the scale, from 1.
    guide: usize,
    people: Vec<PersonJson>,
    drafts: Vec<Document<'a>>,
}

/// Prints everything a script may want of the drafts.
///
/// # Errors
/// As [`output::print`].
fn print_json(file: &str, drafted: &PeopleDrafted, home: &Home) -> Result<()> {
    let of = |member: &Member| Found {
        readings: Readings::One(Box::new(member.draft.clone())),
        references: vec![ReferenceUse { file: file.into(), used: Used::Shape }],
        disagreements: Vec::new(),
        on: None,
    };
    let found: Vec<Found> = drafted.people.iter().map(of).collect();
    let tallest = draft_json::tallest(drafted.people.iter().map(|member| &member.person));
    let person = |member: &Member| PersonJson::of(&member.person, tallest, rows_of(member));
    output::print_json(&CastDocument {
        format: draft_json::FORMAT,
        tray: home.tray_name(),
        picture: file,
        guide: drafted.guide + 1,
        people: drafted.people.iter().map(person).collect(),
        drafts: found.iter().map(|found| draft_json::document(found, &home.tray, home.tray_name())).collect(),
    })
}

/// A file's name with a number before all of its endings: `girl-2.figure.toml`.
pub fn numbered(file: &Path, number: usize) -> PathBuf {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let ending =
        [".figure.toml", ".toml", ".draft.png", ".png"].into_iter().find(|ending| name.ends_with(ending));
    let ending = ending.unwrap_or_default();
    let stem = name.strip_suffix(ending).unwrap_or(&name);
    file.with_file_name(OsString::from(format!("{stem}-{number}{ending}")))
}

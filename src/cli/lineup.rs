//! `smallcast lineup`: the cast on one ground line, to one scale, beside the guide.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use clap::ValueEnum;
use rayon::prelude::*;
use smallcast::cast::{By, Cast, Crowd, Member, Pair, stem};
use smallcast::error::{Error, Result};
use smallcast::figure::Figure;
use smallcast::sheet::{Guide, Lineup, Paper, Sheet, Standee, build_lineup, pdf, png_page, svg};

use super::figures::{self, Opened, READING};
use super::home::{Home, OneFile};
use super::output::{self, Paint};
use super::progress::Progress;
use super::sheet::PaperName;
use super::{lineup_json, lineup_text, report, save, save_all};

/// Pixels to the inch of a saved PNG: a bead of a full page is seven of them, and forty pages take seconds.
const RESOLUTION: f64 = 200.0;

/// The order, as it is typed.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum ByName {
    Height,
    Group,
    Name,
}

/// Stand a cast in one line, to one scale, beside its guide; point out figures too alike to tell apart
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Figure files; a folder stands for every figure in it
    #[arg(required = true, value_name = "FOLDER|FIGURE")]
    figures: Vec<PathBuf>,
    /// Save the line-up: F.png, F.svg or F.pdf; several pages of PNG or SVG become F-1, F-2, ...
    #[arg(long, value_name = "FILE")]
    save: Option<PathBuf>,
    /// The order; without it, by group where the cast has groups, else by height
    #[arg(long, value_enum, value_name = "ORDER")]
    by: Option<ByName>,
    /// The figure to stand beside; without it, the cast's own guide, else the usual one
    #[arg(long, value_name = "FIGURE")]
    guide: Option<PathBuf>,
    /// Tray file of the beads you own; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// Paper size of a saved line-up, in landscape
    #[arg(long, value_enum, default_value_t)]
    paper: PaperName,
    /// Overwrite existing files
    #[arg(long)]
    replace: bool,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

/// The format a file's name asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Format {
    Pdf,
    Svg,
    Png,
}

/// A cast in its order.
pub struct Standing {
    /// The figures, from the left, each with what a line-up asks of it.
    pub figures: Vec<(Opened, Member)>,
    pub by: By,
    /// Pairs too alike to be told apart, by their places.
    pub pairs: Vec<Pair>,
    pub guide: Guide,
    pub guide_file: Option<PathBuf>,
    pub cast: Cast,
}

impl Arguments {
    /// Stands them up, saves and shows.
    pub fn execute(&self) -> Result<()> {
        let format = self.save.as_deref().map(format_of).transpose()?;
        let progress = Progress::start(READING);
        let home = Home::of_figures(&self.figures, self.tray.as_deref())?;
        let opened = figures::open(&self.figures, progress.counts(READING))?;
        let read: Vec<PathBuf> = figures::files(&opened).map(Path::to_owned).chain(home.read()).collect();
        let read: Vec<&Path> = read.iter().map(PathBuf::as_path).chain(self.guide.as_deref()).collect();
        if let Some(target) = &self.save {
            super::check_target("--save", target, "", &read, self.replace)?;
        }
        progress.next("comparing the figures");
        let standing = self.standing(opened, &home)?;
        if matches!(self.by, Some(ByName::Group)) && standing.by != By::Group {
            report::note("there are no groups here: by height instead; a [[group]] in cast.toml makes one");
        }
        if let Some((target, format)) = self.save.as_deref().zip(format) {
            progress.next("laying out the line-up");
            let sheet = self.sheet(&standing, &home, format);
            progress.next("writing the line-up");
            let (names, bytes): (Vec<PathBuf>, Vec<Vec<u8>>) =
                files(target, &sheet, format).into_iter().unzip();
            for name in &names {
                super::check_target("--save", name, "", &read, self.replace)?;
            }
            let files: Vec<(&Path, Vec<u8>)> = names.iter().map(PathBuf::as_path).zip(bytes).collect();
            save_all(&files, self.replace)?;
            sheet.warnings.iter().for_each(report::warning);
        }
        progress.done();
        home.warn();
        if self.json {
            return output::print_json(&lineup_json::document(&standing, home.tray_name()));
        }
        let view = lineup_text::View {
            standing: &standing,
            tray: &home.tray,
            paint: Paint::for_stdout(),
            width: output::width(),
        };
        output::print(&if self.save.is_some() { view.report_of_saved() } else { view.report() })?;
        output::print(&save::saved_in_words(output::width()))?;
        self.name_next(&home);
        Ok(())
    }

    /// The figures in their order, without the guide, which stands beside them.
    fn standing(&self, opened: Vec<Opened>, home: &Home) -> Result<Standing> {
        let cast = home.cast().cloned().unwrap_or_else(|| Cast::named(""));
        let guide_file = self.guide.clone().or_else(|| home.cast_folder().and_then(|cast| cast.guide_file()));
        let own = self.guide.as_deref().map(Figure::open).transpose()?;
        let guide = Guide::of(own.as_ref().or(home.guide()));
        let own_guide = guide_file.as_deref().map(OneFile::at);
        let is_guide = |one: &Opened| own_guide.as_ref().is_some_and(|guide| guide.is(&one.file));
        let several = opened.len() > 1;
        let opened: Vec<Opened> = opened.into_par_iter().filter(|one| !several || !is_guide(one)).collect();
        let each = cast.groups.iter().enumerate();
        let groups: HashMap<&str, usize> = each
            .flat_map(|(at, group)| group.figures.iter().map(move |figure| (figure.as_str(), at)))
            .collect();
        let member = |one: &Opened| Member::of(&stem(&one.file), &one.figure, home.classes(), &groups);
        let members: Vec<Member> = opened.par_iter().map(member).collect();
        let by = match self.by {
            Some(ByName::Height) => By::Height,
            Some(ByName::Group) if cast.groups.is_empty() => By::Height,
            Some(ByName::Group) => By::Group,
            Some(ByName::Name) => By::Name,
            None => By::usual(&members),
        };
        let order = by.order(&members);
        let mut both: Vec<Option<(Opened, Member)>> = opened.into_iter().zip(members).map(Some).collect();
        let figures: Vec<(Opened, Member)> = order.into_iter().filter_map(|at| both[at].take()).collect();
        let looked: Vec<&Figure> = figures.iter().map(|(one, _)| &one.figure).collect();
        let pairs = Crowd::new(&looked, &home.tray).too_alike();
        Ok(Standing { figures, by, pairs, guide, guide_file, cast })
    }

    fn sheet(&self, standing: &Standing, home: &Home, format: Format) -> Sheet {
        let figures: Vec<Standee> = standing
            .figures
            .iter()
            .map(|(one, member)| Standee { figure: &one.figure, name: &member.name, group: member.group })
            .collect();
        let title = standing.title(&self.figures);
        let lineup = Lineup {
            title: &title,
            figures,
            guide: &standing.guide,
            classes: &standing.cast.classes,
            groups: standing.cast.groups.iter().map(|group| group.name.as_str()).collect(),
            by_group: standing.by == By::Group,
            pairs: &standing.pairs,
            paper: Paper::from(self.paper),
            // A page is printed; a picture is looked at.
            trimmed: format != Format::Pdf,
        };
        build_lineup(&lineup, &home.tray)
    }

    fn name_next(&self, home: &Home) {
        let figures: Vec<String> = self.figures.iter().map(|file| report::typed(file)).collect();
        let (figures, tray) = (figures.join(" "), home.tray_option());
        match &self.save {
            None => report::next(&format!("smallcast lineup {figures}{tray} --save lineup.pdf")),
            Some(_) => report::next(&format!("smallcast check {figures}{tray}")),
        }
    }
}

impl Standing {
    /// The cast's name, else the folder's, else how many there are.
    pub fn title(&self, named: &[PathBuf]) -> String {
        if !self.cast.name.trim().is_empty() {
            return self.cast.name.clone();
        }
        match named {
            [one] if one.is_dir() => {
                let whole = one.canonicalize().unwrap_or_else(|_| one.clone());
                whole.file_name().map_or("Line-up".into(), |name| name.to_string_lossy().into_owned())
            }
            _ => "Line-up".into(),
        }
    }

    /// The name of a member's group.
    pub fn group_of(&self, member: &Member) -> Option<&str> {
        self.cast.groups.get(member.group?).map(|group| group.name.as_str())
    }
}

fn format_of(target: &Path) -> Result<Format> {
    let ending = target.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("pdf") => Ok(Format::Pdf),
        Some("svg") => Ok(Format::Svg),
        Some("png") => Ok(Format::Png),
        _ => Err(Error::BadValue {
            option: "--save",
            value: target.display().to_string(),
            why: "the name does not say what kind of file it will be".into(),
            right: "end the name in .png, .svg or .pdf".into(),
        }),
    }
}

/// Names and bytes of what is saved.
fn files(target: &Path, sheet: &Sheet, format: Format) -> Vec<(PathBuf, Vec<u8>)> {
    let page = |page| match format {
        Format::Png => png_page(sheet, page, RESOLUTION),
        _ => svg(sheet, page).into_bytes(),
    };
    match (format, sheet.pages.as_slice()) {
        (Format::Pdf, _) => vec![(target.to_owned(), pdf(sheet))],
        (_, [only]) => vec![(target.to_owned(), page(only))],
        (_, pages) => {
            let pages = pages.par_iter().enumerate();
            pages.map(|(at, one)| (super::numbered(target, at + 1), page(one))).collect()
        }
    }
}

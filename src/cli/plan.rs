//! `smallcast plan`: how many rows somebody has, which rows carry the difference, and the plain body to dress.

use std::path::{Path, PathBuf};

use smallcast::cast::{Named, Outfit, plain_figure};
use smallcast::error::{Error, Result, did_you_mean};
use smallcast::figure::{Figure, write};
use smallcast::plan::{BuildKind, Guide, Look, PlainBody};
use smallcast::sheet::{PlanFigure, plan_picture, png};

use super::home::Home;
use super::output::{self, Paint};
use super::plan_asked::{Asked, Planned};
use super::{figures, plan_json, plan_text, report, save_all};

/// Plan the rows of a figure from its class, standing height or age; say which rows differ from the guide;
/// save a plain body to dress
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The cast's folder; without it, the one you are in
    #[arg(value_name = "FOLDER", default_value = ".")]
    folder: PathBuf,
    #[command(flatten)]
    asked: Asked,
    /// Build: usual, stout, thin or small
    #[arg(long, value_name = "BUILD", default_value = "usual", help_heading = "Build and look")]
    build: String,
    /// Use the look of this group of the cast
    #[arg(long, value_name = "NAME", help_heading = "Build and look")]
    group: Option<String>,
    /// Save the plain body to dress: BODY.figure.toml
    #[arg(long, value_name = "FILE")]
    save: Option<PathBuf>,
    /// Save a picture: all classes on one ground line, or the guide and the figure asked for
    #[arg(long, value_name = "FILE.png")]
    picture: Option<PathBuf>,
    /// Tray file of the beads you own; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// Overwrite existing files
    #[arg(long)]
    replace: bool,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

/// What all answers are made from.
#[derive(Clone)]
pub(super) struct Table {
    /// The cast's guide, or the trade's.
    pub guide: Guide,
    /// The guide's file, where the cast has one of its own.
    pub guide_file: Option<String>,
    /// Whether the guide says how tall it stands.
    pub is_stature_said: bool,
    /// The classes.
    pub classes: smallcast::plan::Classes,
    /// How the body is built.
    pub kind: BuildKind,
    /// How it is drawn.
    pub look: Look,
}

impl Arguments {
    /// Plans, saves and shows.
    pub fn execute(&self) -> Result<()> {
        if !self.folder.exists() {
            let why = "there is no such folder".into();
            return Err(Error::Unreadable { file: self.folder.display().to_string(), why });
        }
        let kind = BuildKind::named(&self.build)?;
        let home = Home::of(&[&self.folder], self.tray.as_deref())?;
        let table = self.table(&home, kind)?;
        let planned = self.asked.planned(&table)?;
        let read = home.read();
        let read: Vec<&Path> = read.iter().map(PathBuf::as_path).collect();
        for (option, target, ending) in
            [("--save", &self.save, figures::ENDING), ("--picture", &self.picture, ".png")]
        {
            if let Some(target) = target {
                super::check_target(option, target, ending, &read, self.replace)?;
            }
        }
        let outfit = Outfit::from_tray(&home.tray);
        // Where nobody is asked for, the guide is the body to dress.
        let one = planned.clone().unwrap_or_else(|| Planned::guide(&table));
        let mut files: Vec<(&Path, Vec<u8>)> = Vec::new();
        if let Some(target) = &self.save {
            let name = smallcast::cast::stem(target);
            files.push((target, write(&figure(&one, &name, &table, &outfit, &home)?).into_bytes()));
        }
        if let Some(target) = &self.picture {
            files.push((target, png(&picture(planned.as_ref(), &table, &outfit, &home)?)));
        }
        save_all(&files, self.replace)?;
        if self.json {
            return output::print_json(&plan_json::document(&table, planned.as_ref(), &files));
        }
        let body = figure(&one, &one.name, &table, &outfit, &home)?;
        let (paint, width) = (Paint::for_stdout(), output::width());
        let view = plan_text::View { table: &table, paint, width };
        output::print(&match &planned {
            Some(planned) => view.one(planned, &body, &home.tray),
            None => view.all(),
        })?;
        home.warn();
        self.name_next(&home);
        Ok(())
    }

    fn table(&self, home: &Home, kind: BuildKind) -> Result<Table> {
        let guide = home.scale()?;
        Ok(Table {
            guide,
            guide_file: home.guide().map(|guide| guide.name().to_owned()),
            is_stature_said: home.guide().is_none_or(|guide| guide.stature().is_some()),
            classes: home.classes().clone(),
            kind,
            look: self.look(home)?,
        })
    }

    fn look(&self, home: &Home) -> Result<Look> {
        let usual = || home.cast().map_or(Look::USUAL, smallcast::cast::Cast::usual_look);
        let Some(name) = &self.group else { return Ok(usual()) };
        let groups = home.cast().map_or(&[][..], |cast| &cast.groups);
        let group = home.cast().and_then(|cast| cast.group(name));
        group.map(|group| group.look).ok_or_else(|| {
            let names: Vec<&str> = groups.iter().map(|group| group.name.as_str()).collect();
            Error::BadValue {
                option: "--group",
                value: name.clone(),
                why: format!("there is no group of that name{}", did_you_mean(name, names.iter().copied())),
                right: match names.is_empty() {
                    true => "name the folder of a cast that has groups, such as smallcast plan FOLDER".into(),
                    false => format!("choose one of {}", names.join(", ")),
                },
            }
        })
    }

    fn name_next(&self, home: &Home) {
        let folder = match self.folder.as_path() {
            here if here == Path::new(".") => String::new(),
            folder => format!(" {}", report::typed(folder)),
        };
        let tray = home.tray_option();
        match &self.save {
            Some(saved) => report::next(&format!("smallcast edit {}{tray}", report::typed(saved))),
            None if self.asked.is_empty() => {
                report::next(&format!("smallcast plan{folder} --stands 165cm{tray}"));
            }
            None => {
                let asked = self.asked.typed();
                let target = report::typed(&home.figure_file("NAME"));
                report::next(&format!("smallcast plan{folder}{asked} --save {target}{tray}"));
            }
        }
    }
}

fn figure(planned: &Planned, name: &str, table: &Table, outfit: &Outfit, home: &Home) -> Result<Figure> {
    let body = PlainBody::new(&planned.rows, planned.build(table), table.look);
    let named = Named { name, class: planned.class.as_deref(), stature: planned.stature };
    plain_figure(&named, &body, &planned.rows, outfit, &home.tray)
}

/// The guide beside the one asked for; where nobody is, all classes.
fn picture(
    planned: Option<&Planned>,
    table: &Table,
    outfit: &Outfit,
    home: &Home,
) -> Result<image::RgbaImage> {
    // A guide is of plain build, whoever stands beside it.
    let of_guide = Table { kind: BuildKind::Usual, ..table.clone() };
    let shown: Vec<(&Table, Planned)> = match planned {
        Some(planned) => vec![(&of_guide, Planned::guide(table)), (table, planned.clone())],
        None => Planned::classes(table).into_iter().map(|class| (table, class)).collect(),
    };
    let figure = |(table, one): &(&Table, Planned)| {
        let figure = figure(one, &one.name, table, outfit, home)?;
        let (from, to) = table.guide.range_of(one.rows.total());
        Ok(PlanFigure { figure, caption: format!("{:.0} to {:.0} cm", from.0, to.0) })
    };
    let figures: Vec<PlanFigure> = shown.iter().map(figure).collect::<Result<_>>()?;
    Ok(plan_picture(&figures, table.guide.rows(), &home.tray))
}

//! The cast of the folder on one ground line, and new figures of it.

use std::collections::HashMap;
use std::path::Path;

use hyper::StatusCode;
use serde::Deserialize;

use super::answer::Refusal;
use super::folder::Folder;
use super::shared::Shared;
use crate::cast::{By, CastFolder, Crowd, Height, Member, Reused, Wish, beginning, reuse, stem};
use crate::error::{Error, Result};
use crate::figure::{AtHand, Figure, Workbench};
use crate::plan::Classes;
use crate::sheet::{Guide, Lineup, Paper, Sheet, Standee, build_lineup};

/// The figures of a folder side by side, the guide beside them. Files that cannot be read are left out: the shelf says
/// which those are.
///
/// # Errors
/// [`crate::error::Error::Unreadable`] where the folder cannot be read.
pub fn lineup(folder: &Folder, shared: &Shared, trimmed: bool) -> Result<Sheet> {
    let opened: Vec<(String, Figure)> = folder
        .figures()?
        .into_iter()
        .filter_map(|file| Some((stem(file.as_ref()), Figure::open(&folder.root().join(&file)).ok()?)))
        .filter(|(_, figure)| shared.guide.as_ref() != Some(figure))
        .collect();
    let named_groups = shared.cast.as_ref().map_or(&[][..], |cast| &cast.groups);
    let groups: HashMap<&str, usize> = named_groups
        .iter()
        .enumerate()
        .flat_map(|(at, group)| group.figures.iter().map(move |figure| (figure.as_str(), at)))
        .collect();
    let members: Vec<Member> =
        opened.iter().map(|(file, figure)| Member::of(file, figure, &shared.classes, &groups)).collect();
    let by = By::usual(&members);
    let order = by.order(&members);
    let looked: Vec<&Figure> = order.iter().map(|&at| &opened[at].1).collect();
    let pairs = Crowd::new(&looked, &shared.tray).too_alike();
    let standee =
        |&at: &usize| Standee { figure: &opened[at].1, name: &members[at].name, group: members[at].group };
    let cast_name = shared.cast.as_ref().map(|cast| cast.name.trim()).filter(|name| !name.is_empty());
    let folder_name = folder.root().file_name().map(|name| name.to_string_lossy().into_owned());
    let title = cast_name.map(str::to_owned).or(folder_name).unwrap_or_else(|| "Line-up".into());
    let lineup = Lineup {
        title: &title,
        figures: order.iter().map(standee).collect(),
        guide: &Guide::of(shared.guide.as_ref()),
        classes: &shared.classes,
        groups: named_groups.iter().map(|group| group.name.as_str()).collect(),
        by_group: by == By::Group,
        pairs: &pairs,
        paper: Paper::A4,
        trimmed,
    };
    Ok(build_lineup(&lineup, &shared.tray))
}

/// What is asked of a new figure from an older one.
#[derive(Debug, Deserialize)]
pub struct NewFrom {
    /// The older figure's file.
    pub from: String,
    /// The new one's.
    pub save: String,
    /// Its name.
    pub name: String,
    /// Its height class; the older one's height without it.
    pub class: Option<String>,
    /// Whether rows may go with beads placed by hand.
    #[serde(default)]
    pub rows_may_go: bool,
}

impl NewFrom {
    /// Makes the figure and saves it, with a history that leads back to the older one.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn make(&self, folder: &Folder, shared: &Shared) -> std::result::Result<(), Refusal> {
        let older = folder.figure_file(&self.from)?;
        let target = folder.new_figure(&self.save)?;
        check_name(folder, shared, &self.name, &target)?;
        let made = || -> Result<()> {
            let bench = Workbench::open(&older)?;
            let height = self.class.as_deref().map(|class| height(&shared.classes, class)).transpose()?;
            let name = Some(self.name.clone());
            let wish = Wish { name, height, rows_may_go: self.rows_may_go, ..Wish::default() };
            let at_hand = AtHand::new(&shared.tray, folder).with_classes(&shared.classes);
            let Reused { edits, .. } = reuse(&beginning(bench.figure()), &wish, &at_hand)?;
            bench.begin_in_one_step(&target, &edits, &at_hand)
        };
        made().map_err(|error| match error {
            // What the command line advises is no use here.
            Error::BadValue { why, .. } if !self.rows_may_go => Refusal::new(
                StatusCode::UNPROCESSABLE_ENTITY,
                why,
                "tick that rows may go with beads placed by hand, or take another height",
            ),
            other => Refusal::of_new(other, &target, &self.save),
        })
    }
}

/// In a cast every figure has a name of its own.
///
/// # Errors
/// The refusal to answer with, naming the figure that has it.
pub fn check_name(
    folder: &Folder,
    shared: &Shared,
    name: &str,
    target: &Path,
) -> std::result::Result<(), Refusal> {
    let other = shared.cast.as_ref().and_then(|_| CastFolder::named(folder.root(), name, target));
    let Some(other) = other else { return Ok(()) };
    let file = other.file_name().unwrap_or_default().to_string_lossy();
    Err(Refusal::new(
        StatusCode::UNPROCESSABLE_ENTITY,
        format!("{file} is already called {name}"),
        "give each figure of a cast its own name",
    ))
}

fn height(classes: &Classes, name: &str) -> Result<Height> {
    let class = classes.named(name)?;
    Ok(Height { rows: class.rows, class: Some(class.name.to_string()), stature: None })
}

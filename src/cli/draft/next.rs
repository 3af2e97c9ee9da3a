//! The command that carries on from a draft.

use std::path::{Path, PathBuf};

use smallcast::cast::CastFolder;
use smallcast::draft::DEFAULT_SEED;

use super::Arguments;
use crate::cli::draft_found::{Found, Readings};
use crate::cli::home::Home;
use crate::cli::report;

impl Arguments {
    /// The command that carries on from here: look at the readings, save the figure, clean it up and
    /// check it; or look at it, settle a colour.
    pub(super) fn name_next(&self, found: &Found, home: &Home) {
        let again = self.again();
        let shown = |ending: &str| report::typed(&self.picture().with_extension(ending));
        let save = || format!("--save {}", report::typed(&self.figure_name(home)));
        match (&found.readings, &self.save, &self.shown) {
            (Readings::Several { choices, .. }, _, None) if choices.len() > 1 => {
                report::next(&format!("{again} --picture {}", shown("choices.png")));
            }
            (Readings::Several { taken: None, .. }, ..) => {
                report::next(&format!("{again} --take 1 {}", save()));
            }
            (_, None, _) => report::next(&format!("{again} {}", save())),
            (_, Some(figure), None) => {
                let first = self.first_steps(figure, home);
                report::next(&format!("{first}, or {again} --picture {}", shown("draft.png")));
            }
            (_, Some(figure), Some(_)) => {
                // The colour that is least sure is the one to look into.
                let legend = found.draft().legend.iter();
                let doubtful = legend.min_by(|a, b| a.confidence.get().total_cmp(&b.confidence.get()));
                let mark = doubtful
                    .map_or("a".into(), |line| report::typed(Path::new(&line.mark.get().to_string())));
                report::next(&format!(
                    "{}, or smallcast compare{} --figure {} --mark {mark}{}",
                    self.first_steps(figure, home),
                    self.all_typed(),
                    report::typed(figure),
                    self.tray_for(figure, home)
                ));
            }
        }
    }

    /// What a figure that was saved is for: to be cleaned up and checked.
    fn first_steps(&self, figure: &Path, home: &Home) -> String {
        let (typed, tray) = (report::typed(figure), self.tray_for(figure, home));
        format!("smallcast edit {typed}{tray}, smallcast check {typed}{tray}")
    }

    /// ` --tray FILE` for a figure that was saved: also where its own folder would not say the same.
    pub(super) fn tray_for(&self, figure: &Path, home: &Home) -> String {
        let own = CastFolder::file_for(figure).is_some() || home.tray_file().is_none();
        match home.tray_file().filter(|_| self.tray.is_none() && !own) {
            Some(tray) => format!(" --tray {}", report::typed(&tray)),
            None => home.tray_option(),
        }
    }

    /// The pictures as they are typed after `compare`; none where the figure's own serves.
    fn all_typed(&self) -> String {
        match self.pictures.as_slice() {
            [_] => String::new(),
            all => all.iter().map(|picture| format!(" {}", report::typed(picture))).collect(),
        }
    }

    /// This command as it was given, except for what it saves.
    pub(super) fn again(&self) -> String {
        let mut words = vec!["smallcast draft".to_owned()];
        words.extend(self.pictures.iter().map(|picture| report::typed(picture)));
        let mut add = |option: &str, value: &str| {
            words.extend([option.to_owned(), report::typed(Path::new(value))]);
        };
        let texts = [
            ("--class", &self.class),
            ("--stands", &self.stands),
            ("--zones", &self.zones),
            ("--marks", &self.marks),
            ("--crop", &self.crop),
            ("--corners", &self.corners),
        ];
        if let Some(tray) = &self.tray {
            add("--tray", &tray.display().to_string());
        }
        if let Some(older) = &self.on {
            add("--on", &older.display().to_string());
        }
        let numbers = [
            ("--rows", self.rows),
            ("--choices", self.choices),
            ("--take", self.take),
            ("--guide", self.guide),
        ];
        for (option, number) in numbers.into_iter().filter_map(|(option, number)| Some((option, number?))) {
            add(option, &number.to_string());
        }
        texts
            .into_iter()
            .filter_map(|(option, text)| Some((option, text.as_ref()?)))
            .for_each(|(o, t)| add(o, t));
        self.cloth.iter().for_each(|at| add("--cloth", at));
        self.background.iter().for_each(|at| add("--background", at));
        if self.seed != DEFAULT_SEED {
            add("--seed", &self.seed.to_string());
        }
        if self.as_drawn {
            words.push("--as-drawn".into());
        }
        if self.as_taken {
            words.push("--as-taken".into());
        }
        if self.plain {
            words.push("--plain".into());
        }
        if self.each {
            words.push("--each".into());
        }
        words.join(" ")
    }

    /// A name for the figure that is free: in its cast, or where the maker stands.
    pub(super) fn figure_name(&self, home: &Home) -> PathBuf {
        let stem = self.picture().file_stem().map(Path::new).unwrap_or(Path::new("figure"));
        home.free_figure_file(&stem.display().to_string())
    }
}

//! What `smallcast draft` found: a draft or several readings, from one reference or several.

use smallcast::draft::{Choice, Disagreement, Draft, LaidOn, ReferenceUse, Used};

/// Everything the command shows.
pub struct Found {
    pub readings: Readings,
    /// What became of each reference, the first among them.
    pub references: Vec<ReferenceUse>,
    /// How they go together, colour by colour.
    pub disagreements: Vec<Disagreement>,
    /// The older figure it was laid on, where one was named.
    pub on: Option<OnOlder>,
}

/// What an older figure did for a draft.
pub struct OnOlder {
    /// Its file, as it was named.
    pub file: String,
    pub laid: LaidOn,
}

/// The draft, or the ways the picture can be read.
pub enum Readings {
    One(Box<Draft>),
    Several {
        /// Never empty; the first is the ordinary draft.
        choices: Vec<Choice>,
        /// The one the maker took, by its place.
        taken: Option<usize>,
        /// How many were asked for.
        asked: usize,
    },
}

impl Found {
    /// The draft that is reported and saved: the taken one, else the ordinary one.
    pub fn draft(&self) -> &Draft {
        match &self.readings {
            Readings::One(draft) => draft,
            Readings::Several { choices, taken, .. } => &choices[taken.unwrap_or(0)].draft,
        }
    }

    /// The reference that gives the shape.
    pub fn file(&self) -> &str {
        // The first reference is always there.
        &self.references[0].file
    }

    /// References that could not be used, and why.
    pub fn left_out(&self) -> impl Iterator<Item = (&str, &str)> {
        self.references.iter().filter_map(|reference| match &reference.used {
            Used::Nothing { why } => Some((reference.file.as_str(), why.as_str())),
            _ => None,
        })
    }
}

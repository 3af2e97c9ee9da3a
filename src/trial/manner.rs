//! The manners in which people draw the figures they want in beads.

/// How a drawing was made and how it came into the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Manner {
    /// Clean flat shapes on a plain ground.
    Shapes,
    /// Ink outlines and uneven marker on white paper, scanned.
    Marker,
    /// The same by an untidy hand.
    Untidy,
    /// A marker drawing photographed with a phone.
    Photo,
    /// Natural body proportions.
    Natural,
    /// A cut-out with a soft edge.
    CutOut,
    /// A small picture that has been through strong JPEG.
    Small,
    /// Wax crayon or coloured pencil.
    Crayon,
    /// A digital painting with light, shade and a shadow on the ground.
    Shade,
    /// A lined or squared page with a second doodle on it.
    Page,
    /// A marker drawing on a sheet on any table, photographed as people do.
    TableSheet,
    /// A bare page with all that lies on pages: writing, holes, folds, stains, rubbed-out lines, a second drawing.
    Clutter,
}

impl Manner {
    /// Every manner.
    pub const ALL: [Self; 12] = [
        Self::Shapes,
        Self::Marker,
        Self::Untidy,
        Self::Photo,
        Self::Natural,
        Self::CutOut,
        Self::Small,
        Self::Crayon,
        Self::Shade,
        Self::Page,
        Self::TableSheet,
        Self::Clutter,
    ];

    /// Its name on the command line and in tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Shapes => "shapes",
            Self::Marker => "marker",
            Self::Untidy => "untidy",
            Self::Photo => "photo",
            Self::Natural => "natural",
            Self::CutOut => "cut-out",
            Self::Small => "small",
            Self::Crayon => "crayon",
            Self::Shade => "shade",
            Self::Page => "page",
            Self::TableSheet => "table-sheet",
            Self::Clutter => "clutter",
        }
    }

    /// What it is, in a few words.
    pub fn describe(self) -> &'static str {
        match self {
            Self::Shapes => "clean flat shapes on a plain background",
            Self::Marker => "ink outlines and uneven marker, scanned",
            Self::Untidy => "the same by an untidy hand: parts off their place, stray strokes",
            Self::Photo => "a marker drawing photographed at 12 megapixels",
            Self::Natural => "natural body proportions",
            Self::CutOut => "a cut-out with a soft edge",
            Self::Small => "a hundred pixels high, through strong JPEG",
            Self::Crayon => "wax crayon or coloured pencil, paper showing through",
            Self::Shade => "a painting with light, shade and a shadow on the ground",
            Self::Page => "a lined or squared page with a doodle and a caption",
            Self::TableSheet => "a sheet on a table as people photograph it: any table, light and angle",
            Self::Clutter => "a page with writing, holes, folds, stains, rubbed-out lines, a doodle",
        }
    }

    /// The manner of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|manner| manner.name() == name)
    }
}

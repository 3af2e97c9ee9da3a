//! The pages that tell a maker more than a command's options: files, documents, measures.
//!
//! Each page is one Markdown file. It stands here for whoever uses the library, and the command line prints the same
//! text (`smallcast help TOPIC`).

/// A page of help.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Topic {
    /// The word it is asked for by; no command has the same.
    pub name: &'static str,
    /// What it is about, in half a line.
    pub about: &'static str,
    /// The whole page, Markdown.
    pub text: &'static str,
}

/// One module a page for the library's documentation, and the list of all.
macro_rules! topics {
    ($($module:ident $about:literal)*) => {
        $(
            #[doc = include_str!(concat!(stringify!($module), ".md"))]
            pub mod $module {}
        )*

        /// Every page, in the order in which a maker meets them.
        pub const TOPICS: &[Topic] = &[$(
            Topic {
                name: stringify!($module),
                about: $about,
                text: include_str!(concat!(stringify!($module), ".md")),
            },
        )*];
    };
}

topics! {
    commands "every command, exit codes, what is never written over"
    pictures "from a picture to a draft: sheets, sizes, several references, several readings"
    beads "your tray: the file, reading it from a photograph, when it changes"
    heights "how many rows somebody has beside the guide"
    changes "the maker's table, and changes as lines"
    casts "figures that belong together, and a figure from an older one"
    checking "the rules of check, what count reckons"
    printing "the sheet to peg from, at true size; with care"
    ironing "a hot iron, fumes, small parts: with care"
    showing "pictures to show, the cast in a line, scenes over boards"
    measuring "how colours, confidence and likeness are measured"
    formats "the figure file, the cast file, the scene file"
    documents "what --json prints, field by field"
}

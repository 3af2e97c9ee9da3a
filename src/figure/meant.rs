//! What the maker means so, though a rule would report it.

use crate::units::{Column, Row};

/// One line of "meant so": a rule, where, and the maker's reason.
///
/// In the file it is a table of its own; rows and columns are counted from 1, as reports print them:
///
/// ```toml
/// [[meant]]
/// rule = "thin"
/// row = 12
/// column = 3
/// why = "the pole is wired from behind"
/// ```
///
/// Without row and column it holds for the whole figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Meant {
    /// The rule's name. Which rules there are is not known in this room.
    pub rule: String,
    /// A bead of the finding; the whole figure where absent.
    pub at: Option<(Row, Column)>,
    /// The maker's reason, never empty.
    pub why: String,
}

//! What goes with a result that stands all the same.

use std::fmt;

use super::NAME_IT;

/// Something the maker should know about a result that stands all the same.
#[derive(Clone, Debug, PartialEq)]
pub enum Warning {
    /// The picture's data end early; what is missing is grey or empty.
    CutOff,
    /// Only the first picture of an animation was used.
    Animation,
    /// The embedded colour profile could not be read; the colours were taken as sRGB.
    ProfileUnread,
    /// Two colours that touch had to share one bead.
    SharedBead {
        /// The bead's name.
        bead: String,
        /// How far the two colours lie apart.
        apart: crate::units::DeltaE,
    },
    /// No owned bead comes near a colour.
    FarBead {
        /// The nearest bead's name.
        bead: String,
        /// How far it is.
        difference: crate::units::DeltaE,
    },
    /// The figure needs more beads than are owned.
    TooFew {
        /// The bead's name.
        bead: String,
        /// How many are needed.
        needed: usize,
        /// How many are owned.
        owned: u32,
    },
    /// The lattice could not be placed with certainty.
    LatticeUnsure,
    /// The picture holds fewer pixels than a bead should have.
    FewPixels {
        /// Pixels of the picture to one bead row.
        per_bead: f64,
    },
    /// Beside the largest piece of the subject lies another of like size.
    SeveralPieces,
    /// Several people are on the page, and none was named.
    SeveralPeople {
        /// A crop for each: x, y, width, height in pixels of the upright picture, in reading order.
        crops: Vec<[u32; 4]>,
    },
    /// An area in the ground's own colour, shut in by the figure: only its place speaks for what it is.
    OnlyLikely {
        /// A pixel of it in the upright picture, from the left.
        x: u32,
        /// The same pixel, from the top.
        y: u32,
        /// Whether it was taken for cloth rather than for ground.
        cloth: bool,
    },
    /// A large part of the draft touches the rest nowhere.
    HangsOnNothing {
        /// Its first row, counted from 1.
        first: usize,
        /// Its last row.
        last: usize,
        /// A pixel of the upright picture, x and y, between it and the rest: ground that may be pale cloth.
        at: Option<(u32, u32)>,
    },
    /// The subject touches an edge and may go on beyond it.
    TouchesEdge {
        /// `picture`, `crop` or `sheet`.
        of: &'static str,
    },
    /// What was found touches three sides of the picture or all four, as a table does.
    TouchesThree {
        /// What ends there: the picture, the crop or the sheet.
        of: &'static str,
    },
    /// What was found is all of one colour.
    OneColour,
    /// A note of the figure file names an unknown rule.
    NoSuchRule {
        /// The name in the note.
        rule: String,
        /// The rule whose name is most like it.
        likely: &'static str,
    },
    /// A note of the figure file speaks of nothing that was found.
    MeantNothing {
        /// The rule and the place of the note.
        note: String,
    },
    /// A name has letters that the printed font does not have.
    LettersLacking {
        /// The name.
        text: String,
        /// What is printed.
        shown: String,
    },
    /// A mark is not in the printed font; another is printed for it.
    MarkLacking {
        /// The mark.
        mark: char,
        /// Its bead.
        bead: String,
        /// What is printed.
        shown: char,
    },
    /// Beads of a figure are not in the tray: their colours are those the reference asked for, or grey.
    NotInTray {
        /// The beads' names.
        beads: Vec<String>,
    },
    /// A figure names no reference picture to show.
    NoReference {
        /// The figure's name.
        figure: String,
    },
    /// A cast file names something that is not there.
    NotThere {
        /// The cast file.
        file: String,
        /// Its line, counted from 1.
        line: usize,
        /// What it is: `figure`, `bead` or `rule`.
        kind: &'static str,
        /// Its name.
        name: String,
        /// What was likely meant.
        likely: Option<String>,
        /// How many more of this kind are not there.
        more: usize,
    },
    /// A figure that is in no cast is looked at together with a cast's.
    Guest {
        /// Its file.
        figure: String,
        /// The cast file that serves it too.
        cast: String,
    },
}

impl Warning {
    /// A short plain name, stable for scripts.
    pub fn name(&self) -> &'static str {
        match self {
            Self::CutOff => "cut-off",
            Self::Animation => "animation",
            Self::ProfileUnread => "profile-unread",
            Self::SharedBead { .. } => "shared-bead",
            Self::FarBead { .. } => "far-bead",
            Self::TooFew { .. } => "too-few",
            Self::LatticeUnsure => "lattice-unsure",
            Self::FewPixels { .. } => "few-pixels",
            Self::SeveralPieces => "several-pieces",
            Self::SeveralPeople { .. } => "several-people",
            Self::OnlyLikely { .. } => "only-likely",
            Self::HangsOnNothing { .. } => "hangs-on-nothing",
            Self::TouchesEdge { .. } => "touches-edge",
            Self::TouchesThree { .. } => "touches-three-sides",
            Self::OneColour => "one-colour",
            Self::NoSuchRule { .. } => "no-such-rule",
            Self::MeantNothing { .. } => "meant-nothing",
            Self::LettersLacking { .. } => "letters-lacking",
            Self::MarkLacking { .. } => "mark-lacking",
            Self::NotInTray { .. } => "not-in-tray",
            Self::NoReference { .. } => "no-reference",
            Self::NotThere { .. } => "not-there",
            Self::Guest { .. } => "guest",
        }
    }
}

/// Which rows hang.
fn hang(first: usize, last: usize) -> String {
    if first == last { format!("row {first} hangs") } else { format!("rows {first} to {last} hang") }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::CutOff => {
                write!(
                    f,
                    "the picture file is cut off: the missing part was drafted as it is; fetch the file again \
                    if you can"
                )
            }
            Self::Animation => write!(f, "the picture is animated: only its first frame was used"),
            Self::ProfileUnread => {
                write!(f, "the picture's colour profile could not be used: its colours were taken as sRGB")
            }
            Self::SharedBead { bead, apart } => write!(
                f,
                "two colours that touch ({apart} apart) both became {bead}: the tray has no other good bead for either"
            ),
            Self::FarBead { bead, difference } => {
                write!(f, "the best bead there is, {bead}, is {difference} away from the colour asked for")
            }
            Self::TooFew { bead, needed, owned } => {
                let needed = match needed {
                    1 => format!("1 {bead} bead is needed"),
                    _ => format!("{needed} {bead} beads are needed"),
                };
                match owned {
                    0 => write!(f, "{needed} and none is owned"),
                    1 => write!(f, "{needed} and 1 is owned"),
                    _ => write!(f, "{needed} and {owned} are owned"),
                }
            }
            Self::LatticeUnsure => {
                write!(f, "the drawing does not show clear bead edges: rows and columns may be a little off")
            }
            Self::FewPixels { per_bead } => {
                write!(
                    f,
                    "the picture is small ({per_bead:.1} pixels a bead): a larger copy would read better"
                )
            }
            Self::SeveralPieces => write!(
                f,
                "there are several large pieces: if they are several figures, name one with --crop X,Y,WIDTH,HEIGHT"
            ),
            Self::SeveralPeople { crops } => {
                let each: Vec<String> =
                    crops.iter().map(|[x, y, w, h]| format!("--crop {x},{y},{w},{h}")).collect();
                write!(
                    f,
                    "there are {} people on the page: draft all to one scale with --each, or one alone, in \
                     reading order with {}",
                    crops.len(),
                    each.join(" or ")
                )
            }
            Self::OnlyLikely { x, y, cloth: true } => write!(
                f,
                "treated the pale area at {x},{y} as cloth; if it is background, add --background {x},{y}"
            ),
            Self::OnlyLikely { x, y, cloth: false } => write!(
                f,
                "treated the pale area at {x},{y} as background; if it is cloth, add --cloth {x},{y}"
            ),
            Self::HangsOnNothing { first, last, at } => {
                write!(f, "{} on nothing: ", hang(*first, *last))?;
                match at {
                    Some((x, y)) => {
                        write!(f, "if the pale area at {x},{y} is cloth, add --cloth {x},{y}")
                    }
                    None => write!(f, "--picture FILE.png shows what was read between them and the rest"),
                }
            }
            Self::TouchesEdge { of } => {
                write!(f, "the figure touches the edge of the {of}: part of it may be missing")
            }
            Self::TouchesThree { of } => write!(
                f,
                "what was found touches three or more sides of the {of}: if it is not a figure but a table or paper, \
                 {NAME_IT}"
            ),
            Self::OneColour => write!(
                f,
                "what was found is all of one colour: if it is not a figure but a table or paper, {NAME_IT}"
            ),
            Self::NoSuchRule { rule, likely } => {
                write!(f, "[[meant]] names an unknown rule, '{rule}': did you mean {likely}?")
            }
            Self::MeantNothing { note } => {
                write!(
                    f,
                    "[[meant]] for {note} matches no finding: the figure has changed, or the note can go \
                     (edit --do 'not-meant ...')"
                )
            }
            Self::LettersLacking { text, shown } => {
                write!(f, "{text} has letters that cannot be printed: it is printed as {shown}")
            }
            Self::MarkLacking { mark, bead, shown } => {
                write!(f, "the mark {mark} of {bead} cannot be printed: {shown} is used instead")
            }
            Self::NotInTray { beads } => write!(
                f,
                "not in the tray: {}; shown in the reference's colour, or grey where it has none",
                beads.join(", ")
            ),
            Self::NoReference { figure } => write!(f, "{figure} names no reference picture: none is shown"),
            Self::NotThere { file, line, kind, name, likely, more } => {
                write!(f, "{file}, line {line}: there is no {kind} '{name}'")?;
                likely.iter().try_for_each(|likely| write!(f, ": did you mean {likely}?"))?;
                if *more > 0 { write!(f, "; {more} more do not exist either") } else { Ok(()) }
            }
            Self::Guest { figure, cast } => {
                write!(f, "{figure} belongs to no cast: {cast} is used for it too")
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_bead_is_and_several_are() {
        let said = |needed, owned| Warning::TooFew { bead: "slate".into(), needed, owned }.to_string();
        assert_eq!(said(1, 0), "1 slate bead is needed and none is owned");
        assert_eq!(said(2, 1), "2 slate beads are needed and 1 is owned");
        assert_eq!(said(61, 10), "61 slate beads are needed and 10 are owned");
    }
}

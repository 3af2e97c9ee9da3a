//! A sketch in its own proportions brought to the plan of the figure's class.
//!
//! Most references never lay on a grid of beads. There a lattice gains nothing: the plan gives the rows of each
//! zone and the widths of a build, the drawing gives where the zones begin and end and what colours they have.
//! Landmarks come from outline and colour (`landmarks`), each row is divided into the body's beads and what
//! lies beside them (`columns`; skirts as wide as they are, `skirts`; legs that walk as they are drawn, `stride`),
//! shaded sides join their garments (`flat`), each colour is brought from what was drawn to what is asked of the tray
//! (`aim`), signs smaller than a bead keep one (`signs`), stripes stay whole and a check is thinned to what reads
//! (`stripes`), a face has its eyes and its mouth (`face`), and what the drawing
//! joins is joined side to side (`join`).

mod aim;
mod beside;
mod columns;
mod detect;
mod face;
mod flat;
mod head;
mod join;
mod landmarks;
mod legs;
mod neck;
mod pale;
mod resolve;
mod scene;
mod shoes;
mod signs;
mod silhouette;
mod skin;
mod skirts;
mod socks;
mod stride;
mod stripes;
mod turns;

use ndarray::Array2;

pub use detect::{DETECTORS, Detector, detector_named};
pub use landmarks::Sighted;
pub(super) use neck::{AS_NARROW, NARROWER};
pub use pale::Asked;

use crate::grid::Grid;
use crate::plan::{Landmark, Marks, Measured, ZoneRows};
use crate::reference::{Reference, Step};
use crate::sample::labels::Labels;
use crate::sample::lattice::{Lattice, Proportions, Raised, ZoneLines};
use crate::sample::thin;
use crate::sample::{BeadSample, Supposed};
use landmarks::Landmarks;
use scene::Scene;
use silhouette::Silhouette;

/// A body brought to its plan.
pub(crate) struct Body {
    pub labels: Labels,
    pub lattice: Lattice,
    pub beads: Grid<BeadSample>,
    pub landmarks: Vec<Sighted>,
    pub measured: Measured,
    /// The plan, with the rows of what is above the head.
    pub zones: ZoneRows,
    /// Pale areas that were judged anew, on what the body tells of them.
    pub asked: Vec<Asked>,
}

/// Brings a body to the plan; what is supposed is heard where the maker said nothing. None where nothing is drawn.
pub(crate) fn read(
    reference: &Reference,
    mut labels: Labels,
    (zones, raised): (&ZoneRows, Raised),
    marks: Option<&Marks>,
    supposed: &Supposed,
) -> Option<Body> {
    let first = Silhouette::of(&labels.plane, zones.total())?;
    // Where a picture is clear nothing is drawn, pale cloth neither.
    let clear = reference.step() == Step::CutOut;
    let mut asked = Vec::new();
    if !clear {
        asked.extend(pale::open_frames(&mut labels, reference, first.pitch));
    }
    thin::keep(&mut labels, reference);
    if !clear {
        pale::clear_ground(&mut labels, reference, first.bottom, first.pitch);
        socks::fill(&mut labels, reference, first.bottom, first.pitch);
        let first = Silhouette::of(&labels.plane, zones.total())?;
        asked.extend(pale::keep_cloth(&mut labels, reference, first.axis, first.pitch));
    }
    flat::join_shades(&mut labels);
    let told = supposed.marks_with(marks);
    let Stance { outline, found, zones } =
        Stance::of(&labels.plane, (zones, raised), told.as_ref().or(marks), reference)?;
    let zones = &zones;
    let lines = found.row_lines(zones);
    let columns = columns::lay(&labels.plane, &outline, &found, zones, &lines, supposed.build);
    let pale_is_cloth = |row| !clear && pale::is_closed(zones, row, columns.legs_seen);
    let scene = Scene::new((reference, labels), zones, &lines, &columns.rows, outline.pitch, pale_is_cloth);
    let aim = aim::Aim::of(&scene);
    let claims = detect::claims(&scene, &supposed.without);
    let mut beads = resolve::resolve(scene, claims);
    aim.settle(&mut beads);
    beads.join_what_is_joined(&outline);
    let proportions = if marks.is_some() { Proportions::MarksGiven } else { Proportions::MarksGuessed };
    let (lattice, laid) = beads.finish(outline.pitch, proportions);
    Some(Body {
        labels: beads.scene.labels,
        lattice,
        beads: laid,
        landmarks: found.sighted(),
        measured: columns.measured,
        zones: *zones,
        asked,
    })
}

/// Where the zones of a drawn body lie, from the figure's own top to its end but where the maker gave others; none
/// where nothing is drawn.
pub(crate) fn zone_lines(
    plane: &Array2<u8>,
    zones: &ZoneRows,
    given: &Marks,
    reference: &Reference,
) -> Option<ZoneLines> {
    let outline = Silhouette::of(plane, zones.total())?;
    let mut lines = landmarks::find(plane, &outline, zones, Some(given), reference).zone_lines(zones);
    let is_given = |landmark| given.get(landmark).is_some();
    if !is_given(Landmark::Top) && !is_given(Landmark::Crown) {
        lines[0].1 = (outline.top as f64).min(lines[1].1 - 1.0);
    }
    Some(lines)
}

/// Where a body stands, and the plan with rows for what it has above its head.
struct Stance {
    outline: Silhouette,
    found: Landmarks,
    zones: ZoneRows,
}

impl Stance {
    fn of(
        plane: &Array2<u8>,
        (zones, raised): (&ZoneRows, Raised),
        told: Option<&Marks>,
        reference: &Reference,
    ) -> Option<Self> {
        let outline = Silhouette::of(plane, zones.total())?;
        let find = |outline: &Silhouette, zones| landmarks::find(plane, outline, zones, told, reference);
        let found = find(&outline, zones);
        let above = match raised {
            Raised::GetsRows => Self::rows_above_head(&found, &outline, zones),
            Raised::LeftOut => 0,
        };
        let Some(taller) = (above > 0).then(|| zones.raised(above)).flatten() else {
            return Some(Self { outline, found, zones: *zones });
        };
        let outline = Silhouette::of(plane, taller.total())?;
        let found = find(&outline, zones).raised_to(outline.top, zones);
        Some(Self { outline, found, zones: taller })
    }

    /// How many rows what is drawn above the head is worth, beside those of the plan below it.
    fn rows_above_head(found: &Landmarks, outline: &Silhouette, zones: &ZoneRows) -> usize {
        /// Less is a stray line, in beads of width; it is so wide over this share of its height.
        const WIDE: f64 = 0.2;
        const OVER: f64 = 0.5;
        let (top, head) = (outline.top, found.head_top.max(0.0) as usize);
        let pitch = (found.get(Landmark::Sole) - found.head_top) / zones.total() as f64;
        let is_wide = |y: &usize| outline.spans_at(*y as f64).iter().any(|span| span.width() >= WIDE * pitch);
        let wide = (top..head).filter(is_wide).count() as f64;
        if pitch < 1.0 || wide < OVER * head.saturating_sub(top) as f64 {
            return 0;
        }
        (head.saturating_sub(top) as f64 / pitch).round() as usize
    }
}

//! The part of a sheet that a crop leaves to look at.

use super::shrink::{Area, Overview};
use super::sight::{COARSE, Sight, View, size_within};

impl Sight {
    /// Looks only at the part of the sheet that an area of the picture shows; nothing where the two lie apart.
    pub(super) fn narrowed(self, overview: &Overview, area: Area) -> Option<Self> {
        let View::Sheet { sheet, .. } = self.view else { return Some(self) };
        let part = self.part_in(area)?;
        let near = self.near(overview, sheet, part, size_within(part, COARSE));
        // Who is meant, and what else lies about, is asked again of this part alone.
        let unknown = Self { afar: None, ruled: None, several: false, left_out: Vec::new(), ..near };
        Some(Self { within: part, ..unknown })
    }

    /// The box around the pixels of this look that an area of the picture holds, in the view's own coordinates.
    fn part_in(&self, area: Area) -> Option<Area> {
        let (View::Straight { area: seen, .. } | View::Sheet { area: seen, .. }) = self.view;
        let (rows, columns) = self.light.dim();
        let (dx, dy) = (seen.width / columns as f64, seen.height / rows as f64);
        let (mut low, mut high) = ((usize::MAX, usize::MAX), (0, 0));
        for (y, x) in (0..rows).flat_map(|y| (0..columns).map(move |x| (y, x))) {
            if area.holds(self.view.to_picture((x as f64 + 0.5, y as f64 + 0.5))) {
                low = (low.0.min(x), low.1.min(y));
                high = (high.0.max(x + 1), high.1.max(y + 1));
            }
        }
        (low.0 < high.0).then(|| Area {
            x: seen.x + low.0 as f64 * dx,
            y: seen.y + low.1 as f64 * dy,
            width: (high.0 - low.0) as f64 * dx,
            height: (high.1 - low.1) as f64 * dy,
        })
    }

    /// Whether an area of the picture holds all of a part of the view.
    pub(super) fn is_held(&self, part: Area, by: Area) -> bool {
        let (View::Straight { area, columns, rows } | View::Sheet { area, columns, rows, .. }) = self.view;
        let Area { x, y, width, height } = part;
        let corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)];
        corners.into_iter().all(|(u, v)| {
            let working = ((u - area.x) / area.width * columns, (v - area.y) / area.height * rows);
            by.holds(self.view.to_picture(working))
        })
    }
}

//! Changes of whole parts.

use super::layers::{Layer, Layers};
use super::{Done, Refused, Spot, Way, counted};

impl Layers {
    pub(super) fn shift(&mut self, part: &str, way: Way, by: i32) -> Result<Done, Refused> {
        let at = self.part(part)?;
        let (down, right) = match way {
            Way::Left => (0, -by),
            Way::Right => (0, by),
            Way::Up => (-by, 0),
            Way::Down => (by, 0),
        };
        let mut alone = self.layers.len() == 1;
        alone &= matches!(way, Way::Left | Way::Up);
        let layer = &self.layers[at];
        if alone && (layer.top + down < 0 || layer.left + right < 0) {
            let why = format!("{part} is the only part and already begins at the edge");
            return Err((why, "there is nothing to move it against".into()));
        }
        // What would begin before the first peg moves all the rest instead.
        let (up, left) = (-(layer.top + down).min(0), -(layer.left + right).min(0));
        self.move_all(up, left);
        self.notes_follow(at, |spot| Spot { row: spot.row + down, column: spot.column + right });
        let layer = &mut self.layers[at];
        layer.top += down;
        layer.left += right;
        let pegs = counted(by as usize, "peg");
        Ok(format!("{part} moved {} by {pegs}", way.word()).into())
    }

    pub(super) fn mirror(&mut self, part: &str) -> Result<Done, Refused> {
        let at = self.part(part)?;
        let (left, columns) = (self.layers[at].left, self.layers[at].columns());
        self.notes_follow(at, |spot| Spot { column: 2 * left + columns - 1 - spot.column, ..spot });
        self.layers[at].pegs.iter_mut().for_each(|row| row.reverse());
        Ok(format!("{part} is mirrored").into())
    }

    /// Notes on beads that a part shows move with it.
    fn notes_follow(&mut self, part: usize, to: impl Fn(Spot) -> Spot) {
        let mut meant = std::mem::take(&mut self.about.meant);
        for at in meant.iter_mut().filter_map(|meant| meant.at.as_mut()) {
            let spot = Spot::at(at.0, at.1);
            if self.shown(spot) == Some(part)
                && let Some(place) = to(spot).inside()
            {
                *at = place;
            }
        }
        self.about.meant = meant;
    }

    pub(super) fn new_part(&mut self, name: &str) -> Result<Done, Refused> {
        self.check_free(name, "choose another name")?;
        self.layers.push(Layer::empty(name, Spot { row: 0, column: 0 }));
        Ok(format!("{name} is a new, empty part on top").into())
    }

    pub(super) fn check_free(&self, name: &str, right: &str) -> Result<(), Refused> {
        if name.trim().is_empty() {
            return Err(("a part needs a name".into(), "write part NAME".into()));
        }
        match self.layers.iter().any(|layer| layer.name == name) {
            true => Err((format!("there is already a part {name}"), right.into())),
            false => Ok(()),
        }
    }

    pub(super) fn remove(&mut self, part: &str) -> Result<Done, Refused> {
        let at = self.part(part)?;
        let beads = self.layers.remove(at).pegs.iter().flatten().filter(|peg| peg.bead().is_some()).count();
        Ok(format!("{part} with its {} is removed", counted(beads, "bead")).into())
    }

    pub(super) fn call(&mut self, part: &str, name: &str) -> Result<Done, Refused> {
        let at = self.part(part)?;
        if part != name {
            self.check_free(name, "choose another name")?;
        }
        self.layers[at].name = name.into();
        Ok(format!("{part} is now called {name}").into())
    }

    pub(super) fn reorder(&mut self, part: &str, other: Option<&str>, order: Order) -> Result<Done, Refused> {
        let at = self.part(part)?;
        let up = order == Order::Over;
        let next = if up { Some(at + 1).filter(|at| *at < self.layers.len()) } else { at.checked_sub(1) };
        let next = next.ok_or_else(|| {
            let end = if up { "on top" } else { "at the bottom" };
            (format!("{part} is already {end}"), "leave it out".into())
        });
        let to = other.map_or_else(|| next, |other| self.part(other))?;
        let side = order.word();
        if other.is_some() && (to == at || (to < at) == up) {
            return Err((
                format!("{part} already lies {side} {}", self.layers[to].name),
                "leave it out".into(),
            ));
        }
        let name = self.layers[to].name.clone();
        let layer = self.layers.remove(at);
        self.layers.insert(to, layer);
        Ok(format!("{part} now lies {side} {name}").into())
    }
}

/// On which side of another part one is laid.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Order {
    Over,
    Under,
}

impl Order {
    /// The word for it in a line.
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Over => "over",
            Self::Under => "under",
        }
    }
}

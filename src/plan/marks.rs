//! Landmarks of a drawing: where in the picture the zones begin and end.

use super::{Zone, ZoneRows};
use crate::error::{Error, Result, did_you_mean};

/// A place on the body that the maker, or the tool, can point at in a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Landmark {
    /// Top of the headwear.
    Top,
    /// Top of the head.
    Crown,
    /// Bottom of the head.
    Chin,
    /// Bottom of the neck.
    Shoulder,
    /// Bottom of the torso.
    Hip,
    /// Bottom of the legs.
    Ankle,
    /// Bottom of the feet.
    Sole,
}

impl Landmark {
    /// All landmarks, top to bottom.
    pub const ALL: [Self; 7] =
        [Self::Top, Self::Crown, Self::Chin, Self::Shoulder, Self::Hip, Self::Ankle, Self::Sole];

    /// Its name in files and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Top => "top",
            Self::Crown => "crown",
            Self::Chin => "chin",
            Self::Shoulder => "shoulder",
            Self::Hip => "hip",
            Self::Ankle => "ankle",
            Self::Sole => "sole",
        }
    }

    /// The landmark at which a zone begins.
    pub fn above(zone: Zone) -> Self {
        Self::ALL[zone as usize]
    }

    /// The landmark at which a zone ends.
    pub fn below(zone: Zone) -> Self {
        Self::ALL[zone as usize + 1]
    }
}

/// Landmarks given by the maker: pixel rows of the upright picture, strictly growing downwards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marks([Option<f64>; 7]);

impl Marks {
    /// The pixel row of a landmark, where it was given.
    pub fn get(&self, landmark: Landmark) -> Option<f64> {
        self.0[landmark as usize]
    }

    /// Reads `top=10,crown=10,chin=110,shoulder=130,hip=420,ankle=800,sole=860`; any may be left out.
    ///
    /// # Errors
    /// [`Error::BadValue`] that names the faulty part.
    pub fn parse(text: &str) -> Result<Self> {
        let mut rows = [None; 7];
        for part in text.split(',').map(str::trim) {
            let (name, number) = part
                .split_once('=')
                .ok_or_else(|| fault(text, format!("'{part}' is not LANDMARK=PIXELROW")))?;
            let landmark = Landmark::ALL.into_iter().find(|l| l.name() == name.trim()).ok_or_else(|| {
                let meant = did_you_mean(name.trim(), Landmark::ALL.map(Landmark::name));
                fault(text, format!("there is no landmark '{name}'{meant}"))
            })?;
            let row: f64 = number
                .trim()
                .parse()
                .ok()
                .filter(|v: &f64| v.is_finite() && *v >= 0.0)
                .ok_or_else(|| fault(text, format!("'{number}' is not a pixel row")))?;
            if rows[landmark as usize].replace(row).is_some() {
                return Err(fault(text, format!("{name} is given twice")));
            }
        }
        let marks = Self(rows);
        marks.check_order(text)?;
        Ok(marks)
    }

    /// These landmarks, downwards.
    pub fn of(marks: &[(Landmark, f64)]) -> Self {
        let mut rows = [None; 7];
        marks.iter().for_each(|&(landmark, row)| rows[landmark as usize] = Some(row));
        Self(rows)
    }

    /// Checks that the landmarks lie in a picture this many pixels high, and leave height to every zone.
    ///
    /// # Errors
    /// [`Error::BadValue`] that names the landmark.
    pub fn check_against(&self, zones: &ZoneRows, height: u32) -> Result<()> {
        let outside = |l: &Landmark| self.get(*l).is_some_and(|row| row > f64::from(height));
        if let Some(landmark) = Landmark::ALL.into_iter().find(outside) {
            let why = format!("{} lies below the picture, which is {height} pixels high", landmark.name());
            return Err(fault(&self.to_string(), why));
        }
        for (zone, _, _) in zones.spans() {
            let (above, below) = (Landmark::above(zone), Landmark::below(zone));
            if let (Some(top), Some(bottom)) = (self.get(above), self.get(below))
                && bottom <= top
            {
                let why = format!("{} must lie below {}", below.name(), above.name());
                return Err(fault(&self.to_string(), why));
            }
        }
        Ok(())
    }

    fn check_order(&self, text: &str) -> Result<()> {
        let given: Vec<(Landmark, f64)> =
            Landmark::ALL.into_iter().filter_map(|l| self.get(l).map(|row| (l, row))).collect();
        for pair in given.windows(2) {
            let ((above, top), (below, bottom)) = (pair[0], pair[1]);
            // A figure without headwear or neck has two landmarks in one place.
            if bottom < top {
                return Err(fault(text, format!("{} must not lie above {}", below.name(), above.name())));
            }
        }
        Ok(())
    }
}

fn fault(text: &str, why: String) -> Error {
    Error::BadValue {
        option: "--marks",
        value: text.into(),
        why,
        right: "write pixel rows downwards, as crown=10,chin=110,shoulder=130,hip=420,ankle=800,sole=860"
            .into(),
    }
}

impl std::fmt::Display for Marks {
    /// As [`Marks::parse`] reads it.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let parts: Vec<String> = Landmark::ALL
            .into_iter()
            .filter_map(|l| self.get(l).map(|row| format!("{}={row}", l.name())))
            .collect();
        f.write_str(&parts.join(","))
    }
}

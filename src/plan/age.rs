//! How tall people of an age stand: a check on a figure's rows, and no judgement of a child.
//!
//! Medians, 5th and 95th percentiles of standing height for boys and girls of 2 to 20 years in the United States: CDC
//! 2000 growth charts, stature for age (Kuczmarski et al., Vital Health Stat 11(246), 2002), a work of the US
//! government and in the public domain. Whole years other than 2 and 20 are the mean of the two half months beside them,
//! as in `fixtures/published/stature-by-age.csv`, which the tests compare these with.

use crate::error::{Error, Result};
use crate::units::Centimetres;

/// The sex a growth chart is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sex {
    /// Boys and men.
    Male,
    /// Girls and women.
    Female,
}

impl Sex {
    /// Both, as the charts have them.
    pub const ALL: [Self; 2] = [Self::Male, Self::Female];

    /// Its name on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Male => "male",
            Self::Female => "female",
        }
    }

    /// The sex of that name.
    ///
    /// # Errors
    /// [`Error::BadValue`].
    pub fn named(name: &str) -> Result<Self> {
        Self::ALL.into_iter().find(|sex| sex.name() == name).ok_or_else(|| Error::BadValue {
            option: "--sex",
            value: name.into(),
            why: "the charts have only male and female".into(),
            right: "say male or female, or leave it out to see both".into(),
        })
    }
}

/// An age in half years, 2 to 20 years.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Age(usize);

/// Half years of the charts' first and last age.
const HALVES: std::ops::RangeInclusive<usize> = 4..=40;

impl Age {
    /// Reads whole or half years: `7`, `7.5`.
    ///
    /// # Errors
    /// [`Error::BadValue`] if it is no age, or one that the charts do not have.
    pub fn parse(text: &str) -> Result<Self> {
        let fault = |why: &str, right: &str| Error::BadValue {
            option: "--age",
            value: text.into(),
            why: why.into(),
            right: right.into(),
        };
        let years = text.trim().parse::<f64>().ok().filter(|years| years.is_finite());
        let halves = years.ok_or_else(|| fault("this is not an age", "write years, as 7 or 7.5"))? * 2.0;
        if halves < *HALVES.start() as f64 || halves > *HALVES.end() as f64 {
            let right = "give the standing height instead, as in --stands 165cm";
            return Err(fault("the charts go from 2 to 20 years", right));
        }
        if halves.fract() != 0.0 {
            return Err(fault("ages are whole or half years", "write years, as 7 or 7.5"));
        }
        Ok(Self(halves as usize))
    }

    /// In years.
    pub fn years(self) -> f64 {
        self.0 as f64 / 2.0
    }

    /// Whether it lies between two ages of the table, so that its heights are means of theirs.
    pub fn is_between(self) -> bool {
        self.0 % 2 == 1
    }

    /// How tall people of this age stand; half years lie halfway between the whole ones beside them.
    pub fn heights(self, sex: Sex) -> Heights {
        let table = match sex {
            Sex::Male => &MALE,
            Sex::Female => &FEMALE,
        };
        let year = (self.0 - HALVES.start()) / 2;
        // The last age is a whole year: nothing is asked for beyond the table.
        let next = year + usize::from(self.is_between());
        let mean = |of: fn(&Heights) -> Centimetres| {
            Centimetres(f64::midpoint(of(&table[year]).0, of(&table[next]).0))
        };
        Heights { median: mean(|h| h.median), low: mean(|h| h.low), high: mean(|h| h.high) }
    }
}

/// Standing heights of one age and sex.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heights {
    /// Half stand taller, half shorter.
    pub median: Centimetres,
    /// The 5th percentile: five of a hundred stand shorter.
    pub low: Centimetres,
    /// The 95th percentile: five of a hundred stand taller.
    pub high: Centimetres,
}

const fn of(median: f64, low: f64, high: f64) -> Heights {
    Heights { median: Centimetres(median), low: Centimetres(low), high: Centimetres(high) }
}

/// Ages in years of the charts, from 2.
const YEARS: usize = 19;

const MALE: [Heights; YEARS] = [
    of(86.45, 80.73, 92.2),
    of(94.96, 88.89, 101.6),
    of(102.22, 95.33, 109.22),
    of(108.9, 101.21, 116.46),
    of(115.39, 107.06, 123.63),
    of(121.77, 112.96, 130.73),
    of(127.88, 118.58, 137.55),
    of(133.51, 123.6, 143.88),
    of(138.62, 127.99, 149.67),
    of(143.52, 132.22, 155.3),
    of(149.05, 137.1, 161.58),
    of(156.09, 143.28, 169.12),
    of(163.84, 150.26, 176.74),
    of(169.94, 156.44, 182.27),
    of(173.51, 160.65, 185.37),
    of(175.29, 163.02, 186.96),
    of(176.16, 164.21, 187.79),
    of(176.6, 164.78, 188.25),
    of(176.85, 165.04, 188.53),
];

const FEMALE: [Heights; YEARS] = [
    of(84.98, 79.26, 90.66),
    of(93.92, 87.53, 100.51),
    of(100.75, 93.78, 108.11),
    of(107.66, 100.12, 115.81),
    of(114.71, 106.6, 123.59),
    of(121.49, 112.81, 131.0),
    of(127.59, 118.33, 137.64),
    of(132.92, 123.04, 143.53),
    of(137.99, 127.27, 149.35),
    of(143.98, 132.16, 156.07),
    of(151.19, 138.91, 163.18),
    of(157.15, 145.66, 168.44),
    of(160.39, 149.56, 171.24),
    of(161.86, 151.22, 172.57),
    of(162.55, 151.92, 173.22),
    of(162.91, 152.27, 173.56),
    of(163.12, 152.46, 173.76),
    of(163.25, 152.58, 173.88),
    of(163.34, 152.65, 173.95),
];

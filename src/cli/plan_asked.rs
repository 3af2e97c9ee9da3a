//! Whose rows `plan` is asked for.

use smallcast::error::{Error, Result};
use smallcast::plan::{Age, Build, HeightClass, Sex, Sources, ZoneRows, parse_stature};
use smallcast::units::Centimetres;

use super::plan::Table;

/// Most sources of one height: more are a slip.
const MOST_SOURCES: usize = 20;

/// By what somebody's rows are told; one of them at most.
#[derive(Debug, clap::Args)]
pub struct Asked {
    /// A height class by name: the trade's, or one of the cast's own
    #[arg(long, value_name = "NAME", help_heading = "Whose rows", group = "who")]
    class: Option<String>,
    /// Standing height, such as 165cm or 5ft5in; several, where sources disagree
    #[arg(long, value_name = "HEIGHT[,HEIGHT...]", help_heading = "Whose rows", group = "who")]
    stands: Option<String>,
    /// Age in years, 2 to 20, by the CDC growth charts of 2000: a check, not a judgement of a child
    #[arg(long, value_name = "YEARS", help_heading = "Whose rows", group = "who")]
    age: Option<String>,
    /// Which growth chart, male or female; without it, both
    #[arg(long, value_name = "SEX", help_heading = "Whose rows", requires = "age")]
    sex: Option<String>,
    /// Rows by zone, such as head=5,neck=1,torso=8,legs=9,feet=1
    #[arg(long, value_name = "ZONES", help_heading = "Whose rows", group = "who")]
    zones: Option<String>,
}

/// An age on the growth charts.
#[derive(Clone, Debug, PartialEq)]
pub struct OfAge {
    pub age: Age,
    pub sexes: Vec<Sex>,
}

/// Somebody's rows, and what they were told by.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// What it is called.
    pub name: String,
    pub rows: ZoneRows,
    /// The class with just these rows, or the one asked for.
    pub class: Option<String>,
    /// How tall it stands, where that was said.
    pub stature: Option<Centimetres>,
    /// The heights it was told by.
    pub sources: Option<Sources>,
    pub age: Option<OfAge>,
}

impl Planned {
    /// The guide itself.
    pub fn guide(table: &Table) -> Self {
        let stature = Some(table.guide.stature());
        Self { stature, ..Self::of("guide".into(), *table.guide.rows(), table) }
    }

    /// Every class, the guide before them where the cast's own is none of them.
    pub fn classes(table: &Table) -> Vec<Self> {
        let one = |class: &HeightClass| Self {
            class: Some(class.name.clone().into_owned()),
            ..Self::of(class.name.clone().into_owned(), class.rows, table)
        };
        let mut all: Vec<Self> = table.classes.iter().map(one).collect();
        if table.classes.with_rows(table.guide.rows()).is_none() {
            all.push(Self { name: "the cast's guide".into(), ..Self::guide(table) });
        }
        // Tallest first; the cast's own order stays among equals.
        all.sort_by_key(|one| std::cmp::Reverse(one.rows.total()));
        all
    }

    fn of(name: String, rows: ZoneRows, table: &Table) -> Self {
        let class = table.classes.with_rows(&rows).map(|class| class.name.clone().into_owned());
        Self { name, rows, class, stature: None, sources: None, age: None }
    }

    fn told(name: String, statures: &[Centimetres], table: &Table) -> Option<Self> {
        let sources = Sources::new(statures, &table.guide)?;
        let rows = table.guide.zones_for(sources.middle.rows);
        let stature = Some(sources.middle.stature);
        Some(Self { stature, sources: Some(sources), ..Self::of(name, rows, table) })
    }

    /// How wide its parts are.
    pub fn build(&self, table: &Table) -> Build {
        Build::of(table.kind, &self.rows, table.look)
    }
}

impl Asked {
    /// Whether nobody is asked for.
    pub fn is_empty(&self) -> bool {
        self.class.is_none() && self.stands.is_none() && self.age.is_none() && self.zones.is_none()
    }

    /// As it is typed again, with a space before it.
    pub fn typed(&self) -> String {
        let options = [
            ("--class", &self.class),
            ("--stands", &self.stands),
            ("--age", &self.age),
            ("--sex", &self.sex),
            ("--zones", &self.zones),
        ];
        let typed = |value: &str| super::report::typed(std::path::Path::new(value));
        let given = options.into_iter().filter_map(|(option, value)| Some((option, value.as_deref()?)));
        given.map(|(option, value)| format!(" {option} {}", typed(value))).collect()
    }

    /// The rows asked for; nothing where nobody is.
    ///
    /// # Errors
    /// [`Error::BadValue`].
    pub fn planned(&self, table: &Table) -> Result<Option<Planned>> {
        if let Some(name) = &self.class {
            let class = table.classes.named(name)?;
            let own = Planned::of(name.clone(), class.rows, table);
            return Ok(Some(Planned { class: Some(name.clone()), ..own }));
        }
        if let Some(text) = &self.zones {
            return Ok(Some(Planned::of("these rows".into(), ZoneRows::parse(text)?, table)));
        }
        if let Some(text) = &self.stands {
            let statures = text.split(',').map(parse_stature).collect::<Result<Vec<_>>>()?;
            if statures.len() > MOST_SOURCES {
                return Err(Error::BadValue {
                    option: "--stands",
                    value: format!("{} heights", statures.len()),
                    why: "there are too many heights".into(),
                    right: format!("give at most {MOST_SOURCES}"),
                });
            }
            let name = text.split(',').map(str::trim).collect::<Vec<_>>().join(", ");
            return Ok(Planned::told(name, &statures, table));
        }
        let Some(text) = &self.age else { return Ok(None) };
        let age = Age::parse(text)?;
        let sexes = match &self.sex {
            Some(name) => vec![Sex::named(name)?],
            None => Sex::ALL.to_vec(),
        };
        let medians: Vec<Centimetres> = sexes.iter().map(|&sex| age.heights(sex).median).collect();
        let told = Planned::told(format!("{} years", age.years()), &medians, table);
        Ok(told.map(|told| Planned { age: Some(OfAge { age, sexes }), ..told }))
    }
}

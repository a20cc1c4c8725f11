//! What is recorded of a pull: what was known before it, and what it gave. Every value is read from a text in one place, so that what
//! is typed, amended, and taken in from a package is held to the same.

use super::dates;
use super::field::{Field, GATES, OUTCOMES};
use super::peak::Peak;
use super::value::{NamedFile, Problem, one_count, one_file, one_number, one_text, several_pairs};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What is known before a pull: sample, model and rig.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// Name of the sample.
    #[schemars(length(min = 1))]
    pub sample: String,
    /// What kind of connector it is, in words; null when not told, as everything here.
    pub kind: Option<String>,
    /// Its age, years.
    #[schemars(range(min = 0))]
    pub age_years: Option<f64>,
    /// Hours of use.
    #[schemars(range(min = 0))]
    pub hours_of_use: Option<f64>,
    /// How often it was pulled before.
    pub earlier_pulls: Option<u32>,
    /// What is marked along the major axis, gate closed, kN.
    #[schemars(range(min = 0))]
    pub marked_closed_kn: Option<f64>,
    /// The same, gate open, kN.
    #[schemars(range(min = 0))]
    pub marked_open_kn: Option<f64>,
    /// Measured dimensions, each as KEY=VALUE.
    pub measured: Vec<String>,
    /// The model that stands for it.
    pub model: Option<NamedFile>,
    /// What was set over that model, each as KEY=VALUE.
    pub sets: Vec<String>,
    /// What pulled at the upper end.
    pub upper: Option<String>,
    /// Its width or diameter, mm.
    #[schemars(range(min = 0))]
    pub upper_size_mm: Option<f64>,
    /// Where it lay, mm from the middle of the window, above 0 toward the gate.
    pub upper_offset_mm: Option<f64>,
    /// What pulled at the lower end.
    pub lower: Option<String>,
    /// Its width or diameter, mm.
    #[schemars(range(min = 0))]
    pub lower_size_mm: Option<f64>,
    /// Where it lay, mm from the middle of the window, above 0 toward the gate.
    pub lower_offset_mm: Option<f64>,
    /// State of the gate.
    #[schemars(extend("enum" = ["closed", "half", "open", null]))]
    pub gate: Option<String>,
    /// How far the pin of a half-shut gate was engaged, mm.
    #[schemars(range(min = 0))]
    pub engaged_mm: Option<f64>,
    /// The rig in free words.
    pub rig: Option<String>,
}

/// What a pull gave.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Pulled {
    /// The day, or the day and the time in universal time.
    pub pulled_on: String,
    /// The highest load.
    pub peak: Peak,
    /// How it ended; null when not told, as everything below.
    #[schemars(extend("enum" = ["broke", "opened", "strap broke", "stopped", null]))]
    pub outcome: Option<String>,
    /// Where it was found broken, as `explain --where` has it.
    pub place: Option<String>,
    /// A photo, which is not kept here.
    pub photo: Option<NamedFile>,
    /// Whatever else there is to say.
    pub remark: Option<String>,
    /// What the load cell wrote, which is kept here.
    pub trace: Option<NamedFile>,
}

/// A value that a field may not have.
#[derive(Clone, Debug, PartialEq)]
pub struct Mistake {
    /// The field.
    pub field: Field,
    /// What was found.
    pub found: String,
    /// What is wrong with it.
    pub problem: Problem,
}

/// Reads fields one by one, keeping every mistake.
///
/// # Errors
/// Values that may not be: the fields without mistakes have theirs all the same.
pub fn fill(
    record: &mut Record,
    values: impl IntoIterator<Item = (Field, Option<String>)>,
) -> Result<(), Vec<Mistake>> {
    let mistakes: Vec<Mistake> = values
        .into_iter()
        .filter_map(|(field, value)| {
            let problem = record.set(field, value.as_deref()).err()?;
            Some(Mistake { field, found: value.unwrap_or_default(), problem })
        })
        .collect();
    if mistakes.is_empty() { Ok(()) } else { Err(mistakes) }
}

/// Sample, model and rig, and what the pull gave where it was done.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// What was known before.
    pub plan: Plan,
    /// What it gave.
    pub pulled: Option<Pulled>,
}

/// A result of which nothing is told yet.
#[must_use]
pub fn untold() -> Pulled {
    Pulled {
        pulled_on: String::new(),
        peak: Peak { entered: String::new(), kn: 0.0 },
        outcome: None,
        place: None,
        photo: None,
        remark: None,
        trace: None,
    }
}

impl Record {
    /// The value of a field as a text: as [`Self::set`] reads it again.
    #[must_use]
    pub fn get(&self, field: Field) -> Option<String> {
        let plan = &self.plan;
        let number = |value: Option<f64>| value.map(|number| number.to_string());
        let pairs = |pairs: &[String]| (!pairs.is_empty()).then(|| pairs.join("\n"));
        let file = |file: &Option<NamedFile>| {
            let file = file.as_ref()?;
            Some(format!("{} {}", file.sha256.as_deref().unwrap_or("-"), file.name))
        };
        match field {
            Field::Sample => Some(plan.sample.clone()),
            Field::Kind => plan.kind.clone(),
            Field::AgeYears => number(plan.age_years),
            Field::HoursOfUse => number(plan.hours_of_use),
            Field::EarlierPulls => plan.earlier_pulls.map(|count| count.to_string()),
            Field::MarkedClosedKn => number(plan.marked_closed_kn),
            Field::MarkedOpenKn => number(plan.marked_open_kn),
            Field::Measured => pairs(&plan.measured),
            Field::Model => file(&plan.model),
            Field::Sets => pairs(&plan.sets),
            Field::Upper => plan.upper.clone(),
            Field::UpperSizeMm => number(plan.upper_size_mm),
            Field::UpperOffsetMm => number(plan.upper_offset_mm),
            Field::Lower => plan.lower.clone(),
            Field::LowerSizeMm => number(plan.lower_size_mm),
            Field::LowerOffsetMm => number(plan.lower_offset_mm),
            Field::Gate => plan.gate.clone(),
            Field::EngagedMm => number(plan.engaged_mm),
            Field::Rig => plan.rig.clone(),
            _ => {
                let pulled = self.pulled.as_ref()?;
                match field {
                    Field::PulledOn => Some(pulled.pulled_on.clone()),
                    Field::Peak => Some(pulled.peak.entered.clone()),
                    Field::Outcome => pulled.outcome.clone(),
                    Field::Place => pulled.place.clone(),
                    Field::Photo => file(&pulled.photo),
                    Field::Remark => pulled.remark.clone(),
                    _ => file(&pulled.trace),
                }
            }
        }
    }

    /// Gives a field a value, or none.
    ///
    /// # Errors
    /// The text is no value of the field, or the field is one of a result that is not there.
    pub fn set(&mut self, field: Field, text: Option<&str>) -> Result<(), Problem> {
        let shape = field.shape();
        if text.is_none() && field.is_needed() {
            return Err(Problem::Needed);
        }
        let word = || text.map(|text| one_text(text, shape)).transpose();
        let number = || text.map(|text| one_number(text, shape)).transpose();
        let file = || text.map(|text| one_file(text, field.is_kept())).transpose();
        let plan = &mut self.plan;
        match field {
            Field::Sample => plan.sample = word()?.unwrap_or_default(),
            Field::Kind => plan.kind = word()?,
            Field::AgeYears => plan.age_years = number()?,
            Field::HoursOfUse => plan.hours_of_use = number()?,
            Field::EarlierPulls => {
                plan.earlier_pulls = text.map(|text| one_count(text, shape)).transpose()?
            }
            Field::MarkedClosedKn => plan.marked_closed_kn = number()?,
            Field::MarkedOpenKn => plan.marked_open_kn = number()?,
            Field::Measured => plan.measured = text.map_or(Ok(Vec::new()), several_pairs)?,
            Field::Model => plan.model = file()?,
            Field::Sets => plan.sets = text.map_or(Ok(Vec::new()), several_pairs)?,
            Field::Upper => plan.upper = word()?,
            Field::UpperSizeMm => plan.upper_size_mm = number()?,
            Field::UpperOffsetMm => plan.upper_offset_mm = number()?,
            Field::Lower => plan.lower = word()?,
            Field::LowerSizeMm => plan.lower_size_mm = number()?,
            Field::LowerOffsetMm => plan.lower_offset_mm = number()?,
            Field::Gate => plan.gate = word()?,
            Field::EngagedMm => plan.engaged_mm = number()?,
            Field::Rig => plan.rig = word()?,
            _ => {
                let pulled = self.pulled.as_mut().ok_or(Problem::NoResult)?;
                match field {
                    Field::PulledOn => {
                        pulled.pulled_on = dates::read(text.unwrap_or_default()).ok_or(Problem::NoDate)?;
                    }
                    Field::Peak => {
                        pulled.peak = Peak::read(text.unwrap_or_default()).map_err(Problem::NoPeak)?;
                    }
                    Field::Outcome => pulled.outcome = word()?,
                    Field::Place => pulled.place = word()?,
                    Field::Photo => pulled.photo = file()?,
                    Field::Remark => pulled.remark = word()?,
                    _ => pulled.trace = file()?,
                }
            }
        }
        Ok(())
    }

    /// Every value of it that it may not have. One that was put together otherwise than by [`Self::set`] may have some.
    #[must_use]
    pub fn mistakes(&self, is_place: &dyn Fn(&str) -> bool) -> Vec<Mistake> {
        let mut copy = Self { plan: Plan::default(), pulled: self.pulled.is_some().then(untold) };
        let fields = Field::ALL.into_iter().filter(|field| !field.is_result() || self.pulled.is_some());
        let mut found: Vec<Mistake> = fields
            .clone()
            .filter_map(|field| {
                let value = self.get(field);
                let problem = copy.set(field, value.as_deref()).err()?;
                Some(Mistake { field, found: value.unwrap_or_default(), problem })
            })
            .collect();
        let place = self.pulled.as_ref().and_then(|pulled| pulled.place.as_deref());
        if let Some(place) = place.filter(|place| !is_place(place)) {
            found.push(Mistake { field: Field::Place, found: place.to_owned(), problem: Problem::NoPlace });
        }
        if found.is_empty() && copy != *self {
            // A value that is not written as it is kept: with white space around it, a peak whose kN are not those of its text.
            found.extend(fields.filter(|field| copy.get(*field) != self.get(*field)).map(|field| Mistake {
                field,
                found: self.get(field).unwrap_or_default(),
                problem: Problem::NotAsKept,
            }));
            if found.is_empty() {
                let entered = self.get(Field::Peak).unwrap_or_default();
                found.push(Mistake { field: Field::Peak, found: entered, problem: Problem::OtherKn });
            }
        }
        found
    }
}

/// Whether an outcome is a break of the connector: what ends a pull otherwise is a lower bound of its strength.
#[must_use]
pub fn is_break(outcome: &str) -> bool {
    outcome == OUTCOMES[0] || outcome == OUTCOMES[1]
}

/// Whether an outcome is that of a strap.
#[must_use]
pub fn is_strap(outcome: &str) -> bool {
    outcome == OUTCOMES[2]
}

/// Whether a gate is half shut: only then is its pin engaged by so much.
#[must_use]
pub fn is_half(gate: &str) -> bool {
    gate == GATES[1]
}

//! What may have been other than told, and how often that happens.
//!
//! All ranges are those of `crate::uncertain`: the model's own as it states them, the suspected ones where it states none.
//! The chances here are engineering judgement: they order what to look at first, and claim no more.

mod gate;
mod loads;
mod metals;
mod shape;
mod stated;

use super::solving::Setting;
use crate::model_file::{Model, Source};
use crate::uncertain::{Unknown, unknowns};
use solver::causes::Prior;
use solver::forecast::Law;
use solver::system::System;

/// Chance, against all others, that everything was as told.
pub const AS_TOLD: f64 = 0.5;
/// What the model itself gives as a range is other than its middle.
const STATED_RANGE: f64 = 0.5;

/// Values nearer than this to one that is solved anyway are not solved, as a part of their range.
const BESIDE: f64 = 0.04;

/// The family of nothing being other than told.
pub const AS_TOLD_FAMILY: &str = "as told";
/// The family of everything about where the loads lay.
pub const OFFSET: &str = "offset";

/// What a value of a cause is told as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// Nothing: the cause has no value.
    Nothing,
    /// A plain number and its unit.
    Plain(&'static str),
    /// A number with its sign: to the gate is positive.
    Signed(&'static str),
}

/// Makes a setting from the nominal one and a value; `None` where the value makes no sense.
type Apply = Box<dyn Fn(&Setting, f64) -> Option<Setting> + Send + Sync>;

/// Something that may have been other than told.
pub struct Cause {
    /// Causes of one family are one line of the ranking.
    pub family: String,
    /// What was other than told, without its value.
    pub what: String,
    /// How its value is told.
    pub told: Told,
    /// What to measure.
    pub measure: String,
    /// What its reading is called, before its value; empty where the value says it all.
    pub reading: String,
    /// Chance that it was.
    pub chance: f64,
    /// Chance of each value of its range.
    pub prior: Prior,
    /// Values to solve.
    pub values: Vec<f64>,
    /// The value that everything being as told would be.
    pub nominal: Option<f64>,
    /// Whether it may come together with straps off centre.
    pub pairs: bool,
    /// The family of which it is the same and something more.
    pub more_than: Option<&'static str>,
    /// Makes the setting.
    pub apply: Apply,
}

/// Values at even steps over a law's range.
fn steps(law: Law, count: u32) -> Vec<f64> {
    let [low, high] = law.ends();
    (0..count).map(|i| low + (high - low) * f64::from(i) / f64::from(count - 1)).collect()
}

/// The same without what all but repeats the value as told, which is solved anyway.
fn steps_beside(law: Law, count: u32, nominal: f64) -> Vec<f64> {
    let [low, high] = law.ends();
    let mut values = steps(law, count);
    values.retain(|v| (v - nominal).abs() > BESIDE * (high - low));
    values
}

/// Everything that may have been other than told. The first causes are offsets; the very first moves both loads, if they
/// have room.
pub fn causes(
    source: &Source,
    model: &Model,
    sets: &[(String, String)],
    nominal: &Setting,
    system: &System,
) -> Vec<Cause> {
    let mut all = loads::offsets(model, system);
    gate::gates(model, &mut all);
    shape::dimensions(model, &mut all);
    shape::far_off(model, &mut all);
    let asked = Asked { source, model, sets };
    let unknowns = unknowns(model);
    metals::metals(&asked, nominal, &unknowns, &mut all);
    stated::stated_ranges(&asked, &unknowns, &mut all);
    all
}

/// A model and where it is from.
struct Asked<'a> {
    source: &'a Source,
    model: &'a Model,
    sets: &'a [(String, String)],
}

impl Asked<'_> {
    /// A setting with an unknown at a value as it is told; each value goes through the model's own checks.
    fn with(&self, unknown: &Unknown) -> Apply {
        let (source, model, sets) = (self.source.clone(), self.model.clone(), self.sets.to_vec());
        let unknown = unknown.clone();
        Box::new(move |setting, value| {
            let mut told = model.clone();
            (told.connector, told.materials, told.rig) =
                (setting.connector.clone(), setting.materials.clone(), setting.rig);
            let changed = unknown.at(unknown.told_as(value), &source, &sets, &told)?.model;
            Some(Setting { connector: changed.connector, materials: changed.materials, rig: changed.rig })
        })
    }
}

impl Cause {
    /// Whether it has a value that can be told.
    pub fn has_value(&self) -> bool {
        self.told != Told::Nothing
    }

    /// The cause with its value.
    pub fn with_value(&self, value: f64) -> String {
        match self.told {
            Told::Nothing => self.what.clone(),
            Told::Plain(_) | Told::Signed(_) => format!("{} {}", self.what, self.value_in_words(value)),
        }
    }

    /// A value and its unit.
    pub fn value_in_words(&self, value: f64) -> String {
        match self.told {
            Told::Nothing => String::new(),
            Told::Plain(unit) => format!("{} {unit}", digits(value, self.fine())),
            Told::Signed(unit) => {
                let sign = if value < 0.0 { "-" } else { "+" };
                format!("{sign}{} {unit}", digits(value.abs(), self.fine()))
            }
        }
    }

    /// From where to where, in words.
    pub fn range_in_words(&self, range: [f64; 2]) -> String {
        let [low, high] = range.map(|v| self.value_in_words(v));
        if low == high {
            return low;
        }
        let unit = match self.told {
            Told::Plain(unit) | Told::Signed(unit) => format!(" {unit}"),
            Told::Nothing => String::new(),
        };
        format!("{} to {high}", low.trim_end_matches(&unit))
    }

    /// Decimals that a value of this range deserves.
    fn fine(&self) -> usize {
        let range = match (self.values.first(), self.values.last()) {
            (Some(a), Some(b)) => (b - a).abs(),
            _ => 0.0,
        };
        if range < 2.0 {
            2
        } else if range < 50.0 {
            1
        } else {
            0
        }
    }
}

fn digits(value: f64, decimals: usize) -> String {
    format!("{value:.decimals$}")
}

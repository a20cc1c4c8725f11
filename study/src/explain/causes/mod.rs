//! What may differ from what was entered, and how often that happens.
//!
//! All ranges are those of [`crate::unknowns`]: the model's own as it states them, the suspected ones where it states none.
//! The chances here are engineering judgement: they order what to look at first, and claim no more.

mod chance;
mod family;
mod gate;
mod loads;
mod metals;
mod of;
mod rounding;
mod shape;
mod stated;

pub use chance::Chance;
pub use family::{Family, Kind};
pub use of::{CauseOf, Loads, Moved, Size, Stated, Stood};
pub use rounding::{Rounded, RoundedRange, Unit, ValueKind};

use crate::Case;
use crate::model::Model;
use crate::unknowns::{Unknown, unknowns};
use solver::causes::Prior;
use solver::forecast::Law;
use solver::system::System;

/// Values nearer than this to one that is solved anyway are not solved, as a part of their range.
const BESIDE: f64 = 0.04;

/// What a user types to have a cause, beside what it does to the rig.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Typed {
    /// Nothing but the rig's own keys.
    Nothing,
    /// A key, with the cause's value.
    Value(String),
    /// A key with a word.
    Word(String, &'static str),
    /// No key has it.
    NoKey,
}

/// Makes a setting from the nominal one and a value; `None` where the value makes no sense.
type Apply = Box<dyn Fn(&Case, f64) -> Option<Case> + Send + Sync>;

/// Something that may differ from what was entered.
pub struct Cause {
    /// What may differ.
    pub of: CauseOf,
    /// What kind of value it has.
    pub told: ValueKind,
    /// Chance that it was.
    pub chance: Chance,
    /// Chance of each value of its range.
    pub prior: Prior,
    /// Values to solve.
    pub values: Vec<f64>,
    /// The value that everything being as entered would be.
    pub nominal: Option<f64>,
    /// Whether it may come together with straps off centre.
    pub pairs: bool,
    /// Of which kind it is the same and something more.
    pub more_than: Option<Kind>,
    /// What to type for it.
    pub typed: Typed,
    /// Makes the setting.
    pub apply: Apply,
}

impl Cause {
    /// Whether it is about where the loads lay, and nothing else.
    pub fn is_offset(&self) -> bool {
        matches!(self.of, CauseOf::Offset(..))
    }
}

/// Values at even steps over a law's range.
fn steps(law: Law, count: u32) -> Vec<f64> {
    let [low, high] = law.ends();
    (0..count).map(|i| low + (high - low) * f64::from(i) / f64::from(count - 1)).collect()
}

/// The same without what all but repeats the value as entered, which is solved anyway.
fn steps_beside(law: Law, count: u32, nominal: f64) -> Vec<f64> {
    let [low, high] = law.ends();
    let mut values = steps(law, count);
    values.retain(|v| (v - nominal).abs() > BESIDE * (high - low));
    values
}

/// Everything that may differ from what was entered. The first causes are offsets; the very first moves both loads, if they
/// have room.
pub fn causes(model: &Model, nominal: &Case, system: &System) -> Vec<Cause> {
    let mut all = loads::offsets(model, system);
    gate::gates(model, &mut all);
    shape::dimensions(model, &mut all);
    shape::far_off(model, &mut all);
    let unknowns = unknowns(model);
    metals::metals(model, nominal, &unknowns, &mut all);
    stated::stated_ranges(model, &unknowns, &mut all);
    all
}

/// A setting with an unknown of a model at a value as it is told; each value goes through the model's own checks.
fn with(model: &Model, unknown: &Unknown) -> Apply {
    let (model, unknown) = (model.clone(), unknown.clone());
    Box::new(move |setting, value| {
        let mut told = model.clone();
        (told.connector, told.materials, told.rig, told.constants) =
            (setting.connector.clone(), setting.materials.clone(), setting.rig, setting.constants);
        let changed = unknown.at(unknown.told_as(value), &told)?;
        Some(Case {
            connector: changed.connector,
            materials: changed.materials,
            rig: changed.rig,
            constants: changed.constants,
            mesh: setting.mesh,
        })
    })
}

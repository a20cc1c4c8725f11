//! The calibration that a forecast was made with.

use crate::calibration::{name, value};
use crate::logbook::pulls;
use lab::logbook::KeptCalibration;
use schemars::JsonSchema;
use serde::Serialize;
use solver::forecast::Calibration;
use solver::strength::Constant;

/// A calibration, by its name and what it says.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Calibrated {
    /// Its name.
    pub name: String,
    /// Numbers of the pulls that it is made of.
    pub pulls: Vec<i64>,
    /// Those of them that were corrected or withdrawn since.
    pub changed_since: Vec<i64>,
    /// Its constants.
    pub constants: Vec<Used>,
}

/// A constant as it is used.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Used {
    /// Which.
    #[schemars(with = "String", extend("enum" = ["lip", "pins", "friction", "strength", "flow", "press"]))]
    pub constant: Constant,
    /// Its mean: of a factor the geometric one.
    pub mean: f64,
    /// From where to where 90 of 100 draws lie.
    pub range: [f64; 2],
}

impl Calibrated {
    /// Tells a calibration.
    #[must_use]
    pub fn new(kept: &KeptCalibration, changed_since: &[i64], told: &Calibration) -> Self {
        let mean = told.mean();
        let constants = Constant::ALL.iter().map(|of| Used {
            constant: *of,
            mean: mean.get(*of),
            range: [0.05, 0.95].map(|p| told.quantile(*of, p)),
        });
        Self {
            name: kept.name.clone(),
            pulls: kept.pulls.clone(),
            changed_since: changed_since.to_vec(),
            constants: constants.collect(),
        }
    }

    /// It in a sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let each: Vec<String> = self
            .constants
            .iter()
            .map(|used| {
                let [low, high] = used.range.map(|end| value(used.constant, end));
                format!("{} {} ({low} to {high})", name(used.constant), value(used.constant, used.mean))
            })
            .collect();
        let changed = match self.changed_since.as_slice() {
            [] => String::new(),
            changed => format!(" Corrected or withdrawn since: {}; calibrate anew.", pulls(changed)),
        };
        format!("Calibrated by {} of {}: {}.{changed}", self.name, pulls(&self.pulls), each.join(", "))
    }
}

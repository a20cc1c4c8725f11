//! The calibrations that are kept.

use super::document::Values;
use crate::caution::CAUTION;
use crate::logbook::pulls;
use lab::logbook::KeptCalibration;
use schemars::JsonSchema;
use serde::Serialize;
use solver::forecast::Calibration;
use std::fmt::Write;

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-calibrations-1";

/// All calibrations of a logbook.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct KeptDocument {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// Each, in the order of their recording.
    calibrations: Vec<One>,
    /// What the numbers are not.
    caution: &'static str,
}

/// One of them.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct One {
    /// Its name.
    name: String,
    /// When it was recorded, universal time.
    recorded_at: String,
    /// Version of the program that made it.
    program: String,
    /// Numbers of the pulls that it is made of.
    pulls: Vec<i64>,
    /// The means of its constants.
    mean: Values,
}

impl KeptDocument {
    /// Tells them.
    #[must_use]
    pub fn new(all: &[(KeptCalibration, Calibration)]) -> Self {
        let each = all.iter().map(|(kept, told)| One {
            name: kept.name.clone(),
            recorded_at: kept.recorded_at.clone(),
            program: kept.program.clone(),
            pulls: kept.pulls.clone(),
            mean: told.mean().into(),
        });
        Self { format: FORMAT, calibrations: each.collect(), caution: CAUTION }
    }
}

/// The calibrations as a table.
#[must_use]
pub fn kept(all: &[(KeptCalibration, Calibration)]) -> String {
    if all.is_empty() {
        return "No calibration is kept here: log calibrate NAME makes one of pulls that broke or opened.\n"
            .to_owned();
    }
    let wide = all.iter().map(|one| one.0.name.chars().count()).max().unwrap_or(0).max(4);
    let mut text = format!(
        "{:<wide$}  {:<20}  {:>4} {:>4} {:>8} {:>8} {:>5} {:>5}  of\n",
        "name", "recorded", "lip", "pins", "friction", "strength", "flow", "press"
    );
    for (kept, told) in all {
        let mean = told.mean();
        let _ = writeln!(
            text,
            "{:<wide$}  {:<20}  {:>4.2} {:>4.2} {:>8.2} {:>8.2} {:>5.2} {:>5.2}  {}",
            kept.name,
            kept.recorded_at,
            mean.lip,
            mean.pins,
            mean.friction,
            mean.strength,
            mean.flow,
            mean.press,
            pulls(&kept.pulls)
        );
    }
    text
}

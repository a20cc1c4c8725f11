//! The load in use beside what was computed, in words and numbers, without a verdict.

use crate::failure_modes;
use crate::numbers::{kilonewtons_alone, typed};
use schemars::JsonSchema;
use serde::Serialize;
use std::fmt::Write;
use study::in_use;

/// A load beside the load in use.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Above {
    /// The load, kN.
    #[schemars(range(min = 0))]
    pub at_kn: f64,
    /// How far it lies above the load in use, kN; below 0 where it lies under it.
    pub by_kn: f64,
    /// It over the load in use.
    #[schemars(range(min = 0))]
    pub times: f64,
}

/// What lies above the load in use, and how far; no verdict.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct InUse {
    /// The load in use, kN.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub working_kn: f64,
    /// Where the frame first yields; null where that was not found.
    pub first_yield: Option<Above>,
    /// The load up to which nothing breaks, with everything at its middle.
    pub failure: Above,
    /// The part that fails first, in words.
    pub fails_first: &'static str,
    /// The load that 5 of 100 pulls stay below; null in a map, which draws no range.
    pub low_end: Option<Above>,
    /// What is marked for this state of the gate; null where nothing is.
    pub marked: Option<Above>,
}

impl From<in_use::Above> for Above {
    fn from(above: in_use::Above) -> Self {
        let in_use::Above { at_kn, by_kn, times } = above;
        Self { at_kn, by_kn, times }
    }
}

impl From<in_use::InUse> for InUse {
    fn from(found: in_use::InUse) -> Self {
        Self {
            working_kn: found.working_kn,
            first_yield: found.first_yield.map(Above::from),
            failure: found.failure.into(),
            fails_first: failure_modes::name(found.fails_first),
            low_end: found.low_end.map(Above::from),
            marked: found.marked.map(Above::from),
        }
    }
}

/// What an answer prints: a line for each.
#[must_use]
pub fn table(found: &InUse) -> String {
    let mut text = format!("In use at {} kN:\n", typed(found.working_kn));
    let mut row = |name: &str, above: Option<Above>, without: &str| {
        let rest = match above {
            Some(Above { at_kn, by_kn, times }) => {
                let side = if by_kn < 0.0 { "below" } else { "above" };
                format!(
                    "{:>6} kN  {:>6} kN {side} it  {times:>5.2} times it",
                    kilonewtons_alone(at_kn),
                    kilonewtons_alone(by_kn.abs())
                )
            }
            None => without.to_owned(),
        };
        // Writing to a string cannot fail.
        let _ = writeln!(text, "  {name:<46}{rest}");
    };
    row("the frame first yields", found.first_yield, "not found");
    row(&format!("failure: {}", found.fails_first), Some(found.failure), "");
    match found.low_end {
        Some(_) => row("5 of 100 pulls end below", found.low_end, ""),
        None => row("5 of 100 pulls end below", None, "as `forecast` tells"),
    }
    row("marked", found.marked, "nothing for this state of the gate");
    if found.marked.is_some_and(|marked| marked.at_kn > found.failure.at_kn) {
        text.push_str("  (the marking lies above the failure: it is no strength that is left)\n");
    }
    text
}

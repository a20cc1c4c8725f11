//! How a limit is stated: what it is of, how it ends, by what it is computed, what went in.

use super::failure_mode::FailureMode;
use super::formula::{Formula, Input, Quantity, input};
use schemars::JsonSchema;
use serde::Serialize;

/// How a limit shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum LimitKind {
    /// Metal yields somewhere; the part still carries.
    Yields,
    /// A bar is permanently bent: its sections have yielded through.
    Bends,
    /// The frame opens and tears.
    Opens,
    /// A part breaks.
    Breaks,
    /// The pin leaves the notch.
    Slips,
    /// The strap breaks, not the connector.
    Strap,
}

/// The force along the line of the two pins that a part of the gate line holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Capacity {
    /// The part.
    pub what: FailureMode,
    /// The force it holds, N.
    pub force_n: f64,
    /// How its limit shows.
    pub kind: LimitKind,
    /// The force by hand, N, where the force above is computed by finite elements.
    pub by_hand_n: Option<f64>,
    /// By what it is computed.
    pub formula: Formula,
    /// What went in.
    pub inputs: Vec<Input>,
}

/// A force by hand that lies farther than this from the computed one is told, as a part of it.
pub(super) const FAR: f64 = 0.15;

/// A check by hand of a computed limit.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub struct ByHand {
    /// Force by hand along the line of the pins, kN.
    #[schemars(range(min = 0))]
    pub force_kn: f64,
    /// By how much it lies above the computed one, as a part of it; negative below.
    pub excess: f64,
    /// True where that is more than 15 %.
    pub far: bool,
}

impl Capacity {
    /// Holds so many times what is computed: a calibration says so.
    pub(super) fn times(&mut self, by: f64) {
        if by == 1.0 {
            return;
        }
        self.force_n *= by;
        self.inputs.push(input(Quantity::Calibrated, by, ""));
    }

    /// The check by hand, where the force is computed.
    #[must_use]
    pub fn by_hand(&self) -> Option<ByHand> {
        let force_n = self.by_hand_n?;
        let excess = force_n / self.force_n - 1.0;
        Some(ByHand { force_kn: 1e-3 * force_n, excess, far: excess.abs() > FAR })
    }
}

/// A force between the one as it is and those at both ends: `at` is -1 at the low end, 0 as it is, 1 at the high end; between
/// them evenly in the logarithm.
pub(super) fn between_ends(at: f64, as_it_is: f64, end: f64) -> f64 {
    as_it_is * (end / as_it_is).powf(at.abs())
}

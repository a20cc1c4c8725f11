//! What the story of a pull is told from, beside its limits.

use super::capacity::LimitKind;
use crate::response::Hold;
use crate::rig::GateState;

/// The course of a pull up to its first failure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Course {
    /// How the part that fails first does.
    pub kind: LimitKind,
    /// The gate's share of the load there, 0 to 1.
    pub gate_fraction: f64,
    /// The state of the gate.
    pub gate: GateState,
    /// The coefficient of friction that may be relied on.
    pub friction: f64,
    /// How the notch holds the pin.
    pub held: Hold,
    /// Where the open hook is permanently bent, kN.
    pub hook_bends_kn: f64,
    /// Friction that the upper and the lower strap need to stay where they are, where it is more than may be relied on.
    pub slides: [Option<f64>; 2],
    /// The lowest load at which the contact did not settle, kN.
    pub unsettled_from_kn: Option<f64>,
}

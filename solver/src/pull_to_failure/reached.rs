//! What one step of a pull reached, and what a pull came to.

use crate::plastic::NoStep;
use crate::rig::RigEnd;
use crate::strength::{Capacity, FailureMode};
use geometry::curve::Point;

/// An equilibrium on the way.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reached {
    /// Load, kN.
    pub load_kn: f64,
    /// How much farther apart the two load centres are than before the pull, mm.
    pub stretch_mm: f64,
    /// How far the two grips have moved apart, mm: the stretch of the connector and what straps give.
    pub stroke_mm: f64,
    /// Pull along the axis that goes over the gate, kN, positive in tension.
    pub gate_kn: f64,
    /// Pull along the axis over the middle of the spine, kN, positive in tension: from the forces of its elements.
    pub spine_kn: f64,
    /// Pull in the gate along the line of its pins, kN.
    pub gate_line_kn: f64,
    /// Part of the load that goes over the gate.
    pub gate_fraction: f64,
    /// Clear distance between nose and gate along the line of the pins, mm more than before the pull: what the notch has opened by.
    pub nose_opening_mm: f64,
    /// How far the middle of the nose pin stands toward the mouth from where it stood before the pull, mm.
    pub pin_out_mm: f64,
    /// By how much the spine end of the upper bar has turned against that of the lower bar, degrees: a hook that opens.
    pub opened_deg: f64,
    /// Largest plastic strain of the frame away from nose and lug.
    pub plastic_strain: f64,
    /// Where, mm, on the undeformed frame.
    pub plastic_at: Point,
    /// Largest part of the metal's ductility that is used up, over the averaging length; nothing where no ductility is known.
    pub ductility_used: Option<f64>,
    /// Where, mm, on the undeformed frame.
    pub ductility_at: Point,
    /// Work turned into heat since the pull began, J.
    pub heat_j: f64,
    /// Iterations of the step.
    pub iterations: usize,
}

/// What ended a pull.
#[derive(Clone, Debug, PartialEq)]
pub enum End {
    /// A part of the gate line at the force that it holds, by the same formula as in a forecast.
    Part(Capacity),
    /// The pin left the notch.
    GateLost,
    /// The load fell: its greatest value is that of an earlier step.
    Maximum,
    /// Ductility was used up somewhere in the frame.
    Torn,
    /// The hook has opened by so much that nothing lies in it any more.
    Opened,
    /// A hook has turned as far as it was to be followed: friction no longer holds what pulls on it.
    Slides,
    /// A strap at its strength.
    Strap(RigEnd),
    /// The bench's stroke.
    Stroke,
    /// The load that was asked for.
    Asked,
    /// Whoever asked for the pull stopped it.
    Stopped,
    /// No further equilibrium was found, however short the step.
    NoFurther(NoStep),
    /// More steps than any pull needs.
    Steps,
}

impl End {
    /// The failure that it is, where it is one of the forecast's.
    #[must_use]
    pub fn failure(&self) -> Option<FailureMode> {
        match self {
            Self::Part(capacity) => Some(capacity.what),
            Self::GateLost => Some(FailureMode::RidesOut),
            Self::Maximum | Self::Torn | Self::Opened => Some(FailureMode::FrameOpens),
            Self::Strap(end) => Some(FailureMode::Strap(*end)),
            Self::Slides | Self::Stroke | Self::Asked | Self::Stopped | Self::NoFurther(_) | Self::Steps => {
                None
            }
        }
    }

    /// True where the gate no longer carries afterwards, but the frame may.
    #[must_use]
    pub fn leaves_a_hook(&self) -> bool {
        matches!(self, Self::Part(_) | Self::GateLost)
    }
}

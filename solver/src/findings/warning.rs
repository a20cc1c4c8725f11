//! What the reader of findings must know.

use crate::contact::engagement::EngagementError;
use crate::rig::RigEnd;

/// A warning.
#[derive(Clone, Debug, PartialEq)]
pub enum Warning {
    /// At which load the gate engages could not be found.
    EngagementUnknown(EngagementError),
    /// The notch does not hold the pin: treated as an open gate.
    PinNotHeld {
        /// How far the line of the pins leans toward the mouth from the flank's normal, degrees.
        lean_deg: f64,
        /// The coefficient of friction of the rig.
        friction: f64,
    },
    /// The pin of a half-shut gate would slide home; it is taken to be kept where it is.
    PinBlocked {
        /// How far the line of the pins leans into the notch, degrees.
        lean_deg: f64,
        /// The coefficient of friction of the rig.
        friction: f64,
    },
    /// Only friction keeps the pin where it is.
    HeldByFriction {
        /// The coefficient needed before the pull bends anything.
        needed: f64,
    },
    /// The pin line stands square to the flank.
    SquareToFlank,
    /// The pin's centre is outside the mouth: it stands on the lip's corner.
    OnTheCorner {
        /// The coefficient of friction of the rig.
        friction: f64,
        /// The engagement from which it holds the pin there, mm.
        held_from_mm: Option<f64>,
    },
    /// The gaps of the contact did not settle.
    Unsettled {
        /// By how much they still changed, mm.
        gap_change_mm: f64,
        /// After how many linearisations.
        linearisations: usize,
    },
    /// A load that friction does not keep.
    Slides {
        /// Which.
        load: RigEnd,
        /// The coefficient needed.
        needed: f64,
        /// The coefficient of friction of the rig.
        friction: f64,
    },
    /// The straps' stiffness, halved or doubled, moves the gate's share by so much of the load.
    StiffnessMatters(f64),
    /// The lips are inside the gate.
    LipsInGate,
    /// The mesh ran out of its budget before all triangles were well shaped.
    MeshBudget,
    /// The mesh is too coarse.
    CoarseMesh {
        /// Estimated error in the energy norm, percent.
        energy_error_percent: f64,
        /// The error from which on that is told, percent.
        limit_percent: f64,
    },
}

//! Why parameters give no outline, as types.

use super::corner::Corner;
use crate::connector::Pin;
use thiserror::Error;

/// A side of the window, or what hinge and nose leave of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WindowSide {
    /// The gate side, from the hinge to the lower end.
    GateAtHinge,
    /// The lower end.
    LowerEnd,
    /// The side of the spine.
    Spine,
    /// The upper end.
    UpperEnd,
    /// The gate side, from the upper end to the tip of the nose.
    GateAtNose,
}

/// Why parameters give no outline: each holds what was found and what is allowed. Displayed as it is held, for logs; people read
/// `report::building`.
#[derive(Clone, Debug, Error, PartialEq)]
#[error("{self:?}")]
pub enum OutlineError {
    /// Two neighbouring sides of the window are nearly in line, or fold back.
    CornerTurn {
        /// Which corner.
        corner: Corner,
        /// By how much the sides turn, degrees.
        turn_deg: f64,
    },
    /// Corner arcs need more of a side than there is.
    RadiiDoNotFit {
        /// Which side.
        side: WindowSide,
        /// Its length, mm.
        length_mm: f64,
        /// What the arcs need, mm.
        needed_mm: f64,
    },
    /// The notch leaves too little behind it.
    NotchTooDeep {
        /// Depth of the notch, mm.
        depth_mm: f64,
        /// Depth of the nose leg, mm.
        nose_mm: f64,
        /// What must stay, mm.
        wall_mm: f64,
    },
    /// The notch is shallower than the radius of its round end.
    NotchTooShallow {
        /// Depth of the notch, mm.
        depth_mm: f64,
        /// Least depth, mm.
        least_mm: f64,
    },
    /// A flank of the notch does not come out at the window's side.
    NotchMissesTheEdge,
    /// The notch in the gate leaves too little.
    NotchTooDeepForGate {
        /// Depth of the notch, mm.
        depth_mm: f64,
        /// Width of the gate, mm.
        width_mm: f64,
    },
    /// The head of the nose is as wide as its leg.
    HeadWiderThanNose {
        /// Diameter of the head, mm.
        diameter_mm: f64,
        /// Depth of the nose leg, mm.
        nose_mm: f64,
    },
    /// A pin is too wide for the gate.
    PinWiderThanGate {
        /// Which pin.
        pin: Pin,
        /// Its diameter, mm.
        diameter_mm: f64,
        /// Width of the gate, mm.
        width_mm: f64,
    },
    /// The lug is thinner than the hole needs.
    LugTooSmall {
        /// Diameter of the hole, mm.
        hole_mm: f64,
        /// Radius of the lug, mm.
        lug_mm: f64,
    },
    /// The lug is so large that it would fold into the corner beside it.
    LugTooLarge {
        /// Radius of the lug, mm.
        lug_mm: f64,
        /// Largest radius, mm.
        most_mm: f64,
    },
    /// Nose and lug meet, or the gate is shorter than it is wide.
    GateTooShort {
        /// Distance of the pin centres, mm.
        length_mm: f64,
        /// Width, mm.
        width_mm: f64,
    },
    /// Nose tip and lug end do not leave an opening.
    NoOpening {
        /// What is left, mm.
        opening_mm: f64,
        /// Least opening, mm.
        least_mm: f64,
    },
    /// The pin of a half-shut gate does not stand in the notch.
    Engagement {
        /// What was asked for, mm.
        engaged_mm: f64,
        /// Least, mm.
        least_mm: f64,
        /// Most, mm.
        most_mm: f64,
    },
}

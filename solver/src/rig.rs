//! A rig: what loads the connector, where, how hard, and what state its gate is in. Input to a solve, not to geometry.

use geometry::connector::GatePlace;
use serde::{Deserialize, Serialize};
use strum::VariantArray;

/// Default stiffness of a strap per mm of width and mm of stretch, N/mm^2 (webbing: 20 to 150; engineering judgement).
pub const DEFAULT_STRAP_STIFFNESS: f64 = 100.0;

/// Default coefficient of friction, metal on metal and strap on metal, unlubricated (engineering judgement).
pub const DEFAULT_FRICTION: f64 = 0.2;

/// One of the two ends at which a rig pulls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, VariantArray, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RigEnd {
    /// The nose end.
    Upper,
    /// The hinge end.
    Lower,
}

/// State of the gate during a pull.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "lowercase", tag = "state")]
pub enum GateState {
    /// Shut, the pin in its notch.
    Closed,
    /// The pin only partly in the notch.
    Half {
        /// How far the pin's leading edge is past the mouth, mm.
        engaged_mm: f64,
    },
    /// Held open: it carries nothing.
    Open,
}

impl GateState {
    /// The word for it in files and sentences.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Closed => "closed",
            Self::Half { .. } => "half",
            Self::Open => "open",
        }
    }

    /// Where the gate stands in the drawing: shut for a shut and for an open gate.
    #[must_use]
    pub fn place(self) -> GatePlace {
        match self {
            Self::Half { engaged_mm } => GatePlace::Half { engaged_mm },
            Self::Closed | Self::Open => GatePlace::Shut,
        }
    }
}

/// What pulls at one end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "lowercase", tag = "kind")]
pub enum Loader {
    /// A strap of tension-only fibres, bedded in.
    Strap {
        /// Width, mm.
        width_mm: f64,
        /// Offset of its middle from the window's middle, mm, positive toward the gate.
        offset_mm: f64,
        /// Stiffness per mm of width and mm of stretch, N/mm^2.
        stiffness_n_per_mm2: f64,
        /// Strength of the strap itself, kN, where it is known.
        strength_kn: Option<f64>,
    },
    /// A bench bar: a rigid round pin held at its offset.
    Bar {
        /// Diameter, mm.
        diameter_mm: f64,
        /// Offset of its centre from the window's middle, mm, positive toward the gate.
        offset_mm: f64,
    },
}

impl Loader {
    /// The same with a strap's stiffness scaled; a bench bar stays as it is.
    #[must_use]
    pub fn with_stiffness_scaled(self, factor: f64) -> Self {
        match self {
            Self::Strap { width_mm, offset_mm, stiffness_n_per_mm2, strength_kn } => Self::Strap {
                width_mm,
                offset_mm,
                stiffness_n_per_mm2: factor * stiffness_n_per_mm2,
                strength_kn,
            },
            pin @ Self::Bar { .. } => pin,
        }
    }

    /// The same at another offset from the window's middle, mm, positive toward the gate.
    #[must_use]
    pub fn placed(self, offset_mm: f64) -> Self {
        match self {
            Self::Strap { width_mm, stiffness_n_per_mm2, strength_kn, .. } => {
                Self::Strap { width_mm, offset_mm, stiffness_n_per_mm2, strength_kn }
            }
            Self::Bar { diameter_mm, .. } => Self::Bar { diameter_mm, offset_mm },
        }
    }

    /// Offset of the load from the window's middle, mm, positive toward the gate.
    #[must_use]
    pub fn offset_mm(self) -> f64 {
        match self {
            Self::Strap { offset_mm, .. } | Self::Bar { offset_mm, .. } => offset_mm,
        }
    }
}

/// Friction is told with two decimals: what is needed and what may be relied on are the same to a reader within half of the
/// last one.
const FRICTION_TOLD: f64 = 0.005;

/// A load case along the major axis.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Rig {
    /// Load along the pull axis, kN, above zero.
    pub load_kn: f64,
    /// State of the gate.
    pub gate: GateState,
    /// Coefficient of friction that may be relied on.
    pub friction: f64,
    /// What pulls up.
    pub upper: Loader,
    /// What pulls down.
    pub lower: Loader,
}

impl Rig {
    /// A rig for examples and tests: 10 kN between two centred straps of 12 mm, the gate closed.
    #[must_use]
    pub fn example() -> Self {
        let strap =
            Loader::Strap { width_mm: 12.0, offset_mm: 0.0, stiffness_n_per_mm2: 100.0, strength_kn: None };
        Self { load_kn: 10.0, gate: GateState::Closed, friction: 0.2, upper: strap, lower: strap }
    }

    /// The same with its loads at other offsets from the window's middle, mm, positive toward the gate.
    #[must_use]
    pub fn placed(&self, upper_mm: f64, lower_mm: f64) -> Self {
        Self { upper: self.upper.placed(upper_mm), lower: self.lower.placed(lower_mm), ..*self }
    }

    /// The largest coefficient of friction needed at which the one that may be relied on still holds.
    #[must_use]
    pub fn friction_holds(&self) -> f64 {
        self.friction + FRICTION_TOLD
    }
}

//! Numbers of a connector that do not fit each other.

use super::dimension::Dimension;
use geometry::connector::LipOn;
use serde::Serialize;
use solver::rig::Loader;

/// A side of the window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The end at the nose.
    UpperEnd,
    /// The side of the gate.
    Gate,
    /// The end at the hinge.
    LowerEnd,
    /// The side of the spine.
    Spine,
}

/// Why a length may not be larger.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Most {
    /// The breadth of an oval: its depth.
    OvalDepth,
    /// A flange: some web is left between both.
    WebBetweenFlanges,
    /// A web: the breadth of its bar.
    BarBreadth,
    /// The depth of a notch: metal stays behind it.
    BehindNotch {
        /// How much, mm.
        wall_mm: f64,
        /// Which part has the notch.
        lip_on: LipOn,
    },
    /// A pin: metal of the gate stays around it.
    AroundPin {
        /// How much, mm.
        wall_mm: f64,
    },
    /// A cheek: half the breadth of the gate.
    HalfGateBreadth,
    /// How far a pin is engaged: the depth of the notch.
    NotchDepth,
}

/// Why a length may not be smaller.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Least {
    /// The tip of the nose is past the arc of its corner.
    TipPastCorner,
    /// Lip and notch have room.
    LipAndNotch,
    /// The hinge pin is on the straight part of the leg.
    PinOnStraight,
}

/// What pulls at one end, by its kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum LoaderKind {
    /// A strap.
    Strap,
    /// A bench bar.
    Bar,
}

impl LoaderKind {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Strap, Self::Bar];

    /// The kind of what pulls.
    #[must_use]
    pub fn of(loader: &Loader) -> Self {
        match loader {
            Loader::Strap { .. } => Self::Strap,
            Loader::Bar { .. } => Self::Bar,
        }
    }

    /// Its word in a model file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Strap => "strap",
            Self::Bar => "bar",
        }
    }

    /// Name of the key of its size.
    #[must_use]
    pub fn size_key(self) -> &'static str {
        match self {
            Self::Strap => "width_mm",
            Self::Bar => "diameter_mm",
        }
    }
}

/// Numbers that do not fit each other. Lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Misfit {
    /// A length that is too large.
    OverMost {
        /// The length.
        found_mm: f64,
        /// The largest that fits.
        most_mm: f64,
        /// Why.
        reason: Most,
    },
    /// A length that is too small.
    UnderLeast {
        /// The length.
        found_mm: f64,
        /// The smallest that fits.
        least_mm: f64,
        /// Why.
        reason: Least,
    },
    /// Two corner radii that take more of a side than its length.
    Radii {
        /// The radii at both ends of the side.
        radii_mm: [f64; 2],
        /// What they take of it.
        take_mm: f64,
        /// The side.
        side: Side,
        /// Its length.
        length_mm: f64,
    },
    /// Ends of the window that meet.
    EndsMeet {
        /// What their slopes leave of the window's length where it is shortest.
        left_mm: f64,
    },
    /// Too little metal beside the hinge hole.
    HingeWall {
        /// How much there is.
        found_mm: f64,
        /// How much there must be.
        least_mm: f64,
        /// Radius of the hole.
        hole_radius_mm: f64,
        /// Radius of the lug.
        lug_radius_mm: f64,
        /// Half the depth of the leg.
        half_leg_mm: f64,
    },
    /// No room for the gate between nose and hinge.
    NoGate {
        /// What is between the nose and the lug of the hinge.
        between_mm: f64,
        /// Length of the gate side.
        side_mm: f64,
    },
    /// A reading of a caliper that no connector has.
    NoneReads {
        /// The reading, mm.
        found_mm: f64,
        /// From where to where one can be read, everything else as it is, mm; absent where nothing can be drawn.
        possible_mm: Option<[f64; 2]>,
    },
    /// A strap or bench bar wider than the window.
    LoaderTooWide {
        /// What pulls.
        kind: LoaderKind,
        /// Its width or diameter.
        size_mm: f64,
        /// From where to where across the window it may lie.
        room_mm: [f64; 2],
    },
    /// A strap or bench bar that reaches over the side of the window.
    LoaderOutside {
        /// What pulls.
        kind: LoaderKind,
        /// Its width or diameter.
        size_mm: f64,
        /// From where to where it lies.
        lies_mm: [f64; 2],
        /// From where to where across the window it may lie.
        room_mm: [f64; 2],
    },
    /// A strength above the ultimate one.
    OverUltimate {
        /// The strength, MPa.
        found_mpa: f64,
        /// The ultimate strength, MPa.
        ultimate_mpa: f64,
    },
    /// A value with more or less that leaves what is allowed.
    RangeLeaves {
        /// The value, in the base unit.
        middle: f64,
        /// How much more or less.
        more: f64,
        /// What is allowed.
        allowed: [f64; 2],
        /// What it measures.
        dimension: Dimension,
    },
    /// A range with its larger end first.
    RangeReversed {
        /// The first number, in the base unit.
        first: f64,
        /// The second.
        second: f64,
    },
}

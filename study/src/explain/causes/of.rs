//! What may differ from what was entered.

use super::family::Kind;
use crate::unknowns::{Body, Strength};
use solver::material::library::Handbook;

/// Which loads lay elsewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moved {
    /// Both, by as much.
    Both,
    /// The upper one.
    Upper,
    /// The lower one.
    Lower,
    /// Both, by as much in opposite directions.
    Diagonal,
}

/// What the loads of a rig are called together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Loads {
    /// Both are straps.
    Straps,
    /// At least one is a bench bar.
    Mixed,
}

/// A state of the gate that is another one than half shut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stood {
    /// Open.
    Open,
    /// Shut.
    Shut,
}

/// A size or clearance that a model gives without a range.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// Height of the lip.
    LipHeight,
    /// Breadth of the lip.
    LipBreadth,
    /// Depth of the notch.
    NotchDepth,
    /// Diameter of the nose pin.
    NosePin,
    /// Diameter of the hinge pin.
    HingePin,
    /// Clearance of the nose pin in its notch.
    NoseClearance,
    /// Clearance of the hinge pin in its hole.
    HingeClearance,
}

impl Size {
    /// Its key.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::LipHeight => "nose.lip_height_mm",
            Self::LipBreadth => "nose.lip_breadth_mm",
            Self::NotchDepth => "nose.notch_depth_mm",
            Self::NosePin => "nose.pin_diameter_mm",
            Self::HingePin => "hinge.pin_diameter_mm",
            Self::NoseClearance => "nose.pin_clearance_mm",
            Self::HingeClearance => "hinge.pin_clearance_mm",
        }
    }
}

/// What a model states as a range.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stated {
    /// A strength of a metal.
    Strength(Body, Strength),
    /// One corner radius of the window, from 0: it has no key of its own to set.
    Corner(usize),
    /// Any other key.
    Key(String),
}

/// What may differ from what was entered.
#[derive(Clone, Debug, PartialEq)]
pub enum CauseOf {
    /// Where the loads lay.
    Offset(Moved, Loads),
    /// How the gate stood; with the loads that lay elsewhere as well, both together, where they did.
    Gate(Stood, Option<Loads>),
    /// How far the gate was engaged.
    Engaged {
        /// Whether it was entered as half shut.
        as_entered: bool,
    },
    /// Another alloy of a part.
    Alloy(Body, &'static Handbook),
    /// A stronger or weaker lot of a part's metal.
    Lot(Body),
    /// Pins of the entered size that are soft.
    SoftPins,
    /// A size a little off.
    Off(Size),
    /// A size far off: a lip far lower or narrower, a shallower notch.
    FarOff(Size),
    /// Another value than the middle of a range that the model states.
    Stated(Stated),
}

impl CauseOf {
    /// What it is a kind of.
    #[must_use]
    pub fn kind(&self) -> Kind {
        match self {
            Self::Offset(..) => Kind::Offset,
            Self::Gate(Stood::Open, None) => Kind::GateOpen,
            Self::Gate(Stood::Open, Some(_)) => Kind::GateOpenAndOffset,
            Self::Gate(Stood::Shut, None) => Kind::GateShut,
            Self::Gate(Stood::Shut, Some(_)) => Kind::GateShutAndOffset,
            Self::Engaged { .. } => Kind::GateHalfShut,
            Self::Alloy(body, _) => Kind::Alloy(*body),
            Self::Lot(body) => Kind::Lot(*body),
            Self::SoftPins => Kind::SoftPins,
            Self::Off(size) | Self::FarOff(size) => Kind::Key(size.key().to_owned()),
            Self::Stated(Stated::Strength(body, _)) => Kind::Strength(*body),
            Self::Stated(Stated::Corner(corner)) => Kind::Key(format!("{CORNER}[{}]", corner + 1)),
            Self::Stated(Stated::Key(key)) => Kind::Key(key.clone()),
        }
    }
}

/// The key of all corner radii.
const CORNER: &str = "window.corner_radius_mm";

impl Stated {
    /// What a key of a stated range is.
    pub(super) fn of_key(key: &str) -> Self {
        let corner = key.strip_prefix(CORNER).and_then(|rest| rest.strip_prefix('[')?.strip_suffix(']'));
        match corner.and_then(|number| number.parse::<usize>().ok()?.checked_sub(1)) {
            Some(corner) => Self::Corner(corner),
            None => Self::Key(key.to_owned()),
        }
    }
}

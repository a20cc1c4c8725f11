//! What reaches a limit, and how.

use crate::rig::RigEnd;
use geometry::connector::Pin;
use serde::{Deserialize, Serialize};
use strum::{EnumDiscriminants, VariantArray};

/// How a pin reaches a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, VariantArray, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PinFailure {
    /// Sheared through at two planes.
    Sheared,
    /// Its outermost fibre yields in bending.
    Bent,
    /// All of its section has yielded in bending.
    BentThrough,
}

/// How a lug reaches a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, VariantArray, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LugFailure {
    /// Torn out toward its end.
    TornOut,
    /// Torn across the hole.
    TornAcross,
    /// Crushed by the pin.
    Crushed,
}

/// A part and how it reaches its limit. As serde has it, it is an identifier; people read the names of `report`.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, EnumDiscriminants, Deserialize, Serialize,
)]
#[serde(rename_all = "snake_case")]
#[strum_discriminants(name(FailureKind), vis(), derive(VariantArray))]
pub enum FailureMode {
    /// The frame first yields.
    FrameYields,
    /// The frame is permanently bent.
    FrameBends,
    /// The frame opens.
    FrameOpens,
    /// The pin rides out of the notch.
    RidesOut,
    /// The lip of the notch.
    Lip,
    /// The flank of the notch, pressed by the pin.
    Flank,
    /// The head of a nose whose lips are in the gate, sheared.
    NoseHead,
    /// The root of the nose.
    NoseRoot,
    /// The metal of the gate behind its notch.
    BehindNotch,
    /// A pin.
    Pin(Pin, PinFailure),
    /// The gate, as the lug around a pin.
    Gate(Pin, LugFailure),
    /// The hinge lug.
    HingeLug(LugFailure),
    /// The strap at that end breaks.
    Strap(RigEnd),
}

impl FailureMode {
    /// Every part with every way in which it fails.
    #[must_use]
    pub fn all() -> Vec<Self> {
        let of_pins = |of: &dyn Fn(Pin) -> Vec<Self>| Pin::BOTH.into_iter().flat_map(of).collect();
        let of_kind = |kind: &FailureKind| match kind {
            FailureKind::FrameYields => vec![Self::FrameYields],
            FailureKind::FrameBends => vec![Self::FrameBends],
            FailureKind::FrameOpens => vec![Self::FrameOpens],
            FailureKind::RidesOut => vec![Self::RidesOut],
            FailureKind::Lip => vec![Self::Lip],
            FailureKind::Flank => vec![Self::Flank],
            FailureKind::NoseHead => vec![Self::NoseHead],
            FailureKind::NoseRoot => vec![Self::NoseRoot],
            FailureKind::BehindNotch => vec![Self::BehindNotch],
            FailureKind::Pin => {
                of_pins(&|pin| PinFailure::VARIANTS.iter().map(|how| Self::Pin(pin, *how)).collect())
            }
            FailureKind::Gate => {
                of_pins(&|pin| LugFailure::VARIANTS.iter().map(|how| Self::Gate(pin, *how)).collect())
            }
            FailureKind::HingeLug => LugFailure::VARIANTS.iter().map(|how| Self::HingeLug(*how)).collect(),
            FailureKind::Strap => RigEnd::VARIANTS.iter().map(|end| Self::Strap(*end)).collect(),
        };
        FailureKind::VARIANTS.iter().flat_map(of_kind).collect()
    }

    /// True for a lug that is torn out.
    #[must_use]
    pub const fn is_torn_out(self) -> bool {
        matches!(self, Self::Gate(_, LugFailure::TornOut) | Self::HingeLug(LugFailure::TornOut))
    }

    /// True for a limit of the frame as a whole.
    #[must_use]
    pub const fn is_of_frame(self) -> bool {
        matches!(self, Self::FrameYields | Self::FrameBends | Self::FrameOpens)
    }
}

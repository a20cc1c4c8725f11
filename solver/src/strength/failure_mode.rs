//! What reaches a limit, and how.

use crate::rig::RigEnd;

/// One of the two pins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Pin {
    /// Through the nose end of the gate.
    Nose,
    /// Through its hinge end.
    Hinge,
}

/// How a pin reaches a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PinFailure {
    /// Sheared through at two planes.
    Sheared,
    /// Its outermost fibre yields in bending.
    Bent,
    /// All of its section has yielded in bending.
    BentThrough,
}

/// How a lug reaches a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LugFailure {
    /// Torn out toward its end.
    TornOut,
    /// Torn across the hole.
    TornAcross,
    /// Crushed by the pin.
    Crushed,
}

/// A part and how it reaches its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
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
        let mut all = vec![
            Self::FrameYields,
            Self::FrameBends,
            Self::FrameOpens,
            Self::RidesOut,
            Self::Lip,
            Self::Flank,
            Self::NoseHead,
            Self::NoseRoot,
            Self::BehindNotch,
        ];
        let torn = [LugFailure::TornOut, LugFailure::TornAcross, LugFailure::Crushed];
        for pin in [Pin::Nose, Pin::Hinge] {
            let bent = [PinFailure::Sheared, PinFailure::Bent, PinFailure::BentThrough];
            all.extend(bent.map(|how| Self::Pin(pin, how)));
            all.extend(torn.map(|how| Self::Gate(pin, how)));
        }
        all.extend(torn.map(Self::HingeLug));
        all.extend([RigEnd::Upper, RigEnd::Lower].map(Self::Strap));
        all
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

//! The places at which a connector may be found broken.

use crate::rig::RigEnd;
use crate::strength::{FailureMode, LugFailure};
use geometry::connector::Pin;
use geometry::outline::{Along, Bar, Corner, FrameLocation};
use strum::VariantArray;

/// A place that was found broken. What is found broken at a pin may be the pin or what it is in: the gate's lug, and at the hinge
/// the frame's lug.
#[derive(Clone, Copy, Debug, PartialEq, Eq, VariantArray)]
pub enum Place {
    /// Lip or flank of the notch.
    Lip,
    /// The notch: lip, flank, or a pin that rode out.
    Notch,
    /// A pin that rode out.
    RidingOut,
    /// The nose pin and what it is in.
    NosePin,
    /// The hinge pin and what it is in.
    HingePin,
    /// One of the pins themselves.
    Pin,
    /// The hinge lug.
    HingeLug,
    /// The hinge lug, or one of the gate's.
    Lug,
    /// Everything there is at the hinge.
    Hinge,
    /// The gate.
    Gate,
    /// The root of the nose.
    NoseRoot,
    /// The nose, its pin and what that is in.
    Nose,
    /// The head of a nose whose lips are in the gate.
    Head,
    /// One of the straps.
    Strap,
    /// The upper strap.
    UpperStrap,
    /// The lower strap.
    LowerStrap,
    /// The spine.
    Spine,
    /// The corners of the upper bar.
    UpperCorner,
    /// The corners of the lower bar.
    LowerCorner,
    /// One of the corners.
    Corner,
    /// The upper bar.
    UpperBar,
    /// The lower bar.
    LowerBar,
    /// The frame.
    Frame,
}

impl Place {
    /// All places, the more particular before the more general.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// True for a part of this place.
    #[must_use]
    pub fn is_part(self, mode: FailureMode) -> bool {
        use FailureMode as F;
        let at = |pin: Pin| matches!(mode, F::Pin(p, _) | F::Gate(p, _) if p == pin);
        match self {
            Self::Lip => matches!(mode, F::Lip | F::Flank),
            Self::Notch => matches!(mode, F::Lip | F::Flank | F::RidesOut),
            Self::RidingOut => mode == F::RidesOut,
            Self::NosePin => at(Pin::Nose),
            Self::HingePin | Self::Hinge => at(Pin::Hinge) || matches!(mode, F::HingeLug(_)),
            Self::Pin => matches!(mode, F::Pin(..)),
            Self::HingeLug => matches!(mode, F::HingeLug(_)),
            Self::Lug => {
                matches!(mode, F::HingeLug(_) | F::Gate(_, LugFailure::TornOut | LugFailure::TornAcross))
            }
            Self::Gate => matches!(mode, F::Gate(..) | F::BehindNotch),
            Self::NoseRoot => mode == F::NoseRoot,
            Self::Nose => at(Pin::Nose) || matches!(mode, F::NoseRoot | F::NoseHead | F::Lip | F::Flank),
            Self::Head => mode == F::NoseHead,
            Self::Strap => matches!(mode, F::Strap(_)),
            Self::UpperStrap => mode == F::Strap(RigEnd::Upper),
            Self::LowerStrap => mode == F::Strap(RigEnd::Lower),
            Self::Frame => mode == F::FrameOpens,
            Self::Spine
            | Self::UpperCorner
            | Self::LowerCorner
            | Self::Corner
            | Self::UpperBar
            | Self::LowerBar => false,
        }
    }

    /// The most particular place that a part belongs to; `None` for what ends no pull.
    #[must_use]
    pub const fn of_part(mode: FailureMode) -> Option<Self> {
        use FailureMode as F;
        Some(match mode {
            F::FrameYields | F::FrameBends => return None,
            F::FrameOpens => Self::Frame,
            F::RidesOut => Self::RidingOut,
            F::Lip | F::Flank => Self::Lip,
            F::NoseHead => Self::Head,
            F::NoseRoot => Self::NoseRoot,
            F::BehindNotch | F::Gate(..) => Self::Gate,
            F::Pin(Pin::Nose, _) => Self::NosePin,
            F::Pin(Pin::Hinge, _) => Self::HingePin,
            F::HingeLug(_) => Self::HingeLug,
            F::Strap(RigEnd::Upper) => Self::UpperStrap,
            F::Strap(RigEnd::Lower) => Self::LowerStrap,
        })
    }

    /// True where a pull that this part ends may be found broken here. A frame that opens gives way at its bars, its corners and its
    /// spine.
    #[must_use]
    pub fn may_show(self, mode: FailureMode) -> bool {
        let of_frame = matches!(
            self,
            Self::Spine
                | Self::UpperCorner
                | Self::LowerCorner
                | Self::Corner
                | Self::UpperBar
                | Self::LowerBar
                | Self::Frame
        );
        self.is_part(mode) || of_frame && mode == FailureMode::FrameOpens
    }

    /// True for a tear at this place.
    #[must_use]
    pub fn is_tear(self, at: FrameLocation) -> bool {
        let corners = Corners::beside(at);
        let of = |bar: Bar| matches!(at, FrameLocation::Bar(b, ..) if b == bar);
        match self {
            Self::Nose => matches!(at, FrameLocation::NoseLeg(_)),
            Self::Spine => of(Bar::Spine) || corners.spine,
            Self::UpperCorner => corners.upper,
            Self::LowerCorner => corners.lower,
            Self::Corner => corners.upper || corners.lower,
            Self::UpperBar => of(Bar::Upper),
            Self::LowerBar => of(Bar::Lower),
            Self::Frame => matches!(at, FrameLocation::Bar(..) | FrameLocation::Corner(..)),
            _ => false,
        }
    }
}

/// Which corners a location is at or beside.
#[derive(Clone, Copy, Debug, Default)]
struct Corners {
    upper: bool,
    lower: bool,
    /// One of those of the spine.
    spine: bool,
}

impl Corners {
    fn beside(at: FrameLocation) -> Self {
        let none = Self::default();
        let (upper, lower) = (Self { upper: true, ..none }, Self { lower: true, ..none });
        match at {
            FrameLocation::Corner(Corner::UpperGate, _) | FrameLocation::Bar(Bar::Upper, Along::End, _) => {
                upper
            }
            FrameLocation::Corner(Corner::LowerGate, _) | FrameLocation::Bar(Bar::Lower, Along::Start, _) => {
                lower
            }
            FrameLocation::Corner(Corner::UpperSpine, _)
            | FrameLocation::Bar(Bar::Upper, Along::Start, _)
            | FrameLocation::Bar(Bar::Spine, Along::End, _) => Self { spine: true, ..upper },
            FrameLocation::Corner(Corner::LowerSpine, _)
            | FrameLocation::Bar(Bar::Lower, Along::End, _)
            | FrameLocation::Bar(Bar::Spine, Along::Start, _) => Self { spine: true, ..lower },
            FrameLocation::Bar(_, Along::EitherEnd, _) => Self { upper: true, lower: true, spine: true },
            _ => none,
        }
    }
}

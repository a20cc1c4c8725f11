//! What a cause is a kind of: causes of one family are one line of the ranking.

use crate::unknowns::Body;

/// A kind of cause.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Nothing differs from what was entered.
    AsEntered,
    /// Where the loads lay.
    Offset,
    /// The gate open.
    GateOpen,
    /// The gate shut after all.
    GateShut,
    /// The gate open, and both loads off their place.
    GateOpenAndOffset,
    /// The gate shut after all, and both loads off their place.
    GateShutAndOffset,
    /// The gate half shut, or engaged otherwise.
    GateHalfShut,
    /// Another alloy.
    Alloy(Body),
    /// A stronger or weaker lot.
    Lot(Body),
    /// Pins that are soft.
    SoftPins,
    /// A strength whose range the model states.
    Strength(Body),
    /// A key of the model; corners of the window as `window.corner_radius_mm[1]` to `[4]`.
    Key(String),
}

/// A line of the ranking: a kind of cause, by itself or together with both loads off their place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Family {
    /// The kind.
    pub kind: Kind,
    /// Whether both loads are off their place as well.
    pub with_offset: bool,
}

impl Family {
    /// Nothing differs from what was entered.
    pub const AS_ENTERED: Self = Self { kind: Kind::AsEntered, with_offset: false };

    /// A kind by itself.
    #[must_use]
    pub fn alone(kind: Kind) -> Self {
        Self { kind, with_offset: false }
    }
}

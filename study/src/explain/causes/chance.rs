//! How often what may differ does, beforehand: a kind, whose number is judged.

use solver::causes::Judgement;

/// A kind of chance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chance {
    /// Of both loads beside where they were entered.
    Offsets,
    /// Of one of them, or of both in opposite directions.
    OneOffset,
    /// Of the gate in another state.
    Gate,
    /// Of that and of both loads beside where they were entered.
    GateAndOffsets,
    /// Of one of so many other alloys.
    Alloy {
        /// How many share the chance of another alloy.
        among: usize,
    },
    /// Of a stronger or weaker lot.
    Lot,
    /// Of soft pins.
    Soft,
    /// Of a machined dimension that is off.
    Size,
    /// Of another clearance.
    Clearance,
    /// Of a pin of another diameter.
    Pin,
    /// Of a lip far lower or narrower.
    FarLip,
    /// Of a shallower notch.
    Shallow,
    /// Of another value than the middle of a range that the model states.
    StatedRange,
}

impl Chance {
    /// Its number, 0 to 1.
    pub fn by(self, judgement: &Judgement) -> f64 {
        match self {
            Self::Offsets => judgement.offsets,
            Self::OneOffset => judgement.one_offset,
            Self::Gate => judgement.gate,
            Self::GateAndOffsets => judgement.gate * judgement.offsets,
            Self::Alloy { among } => judgement.alloy / among as f64,
            Self::Lot => judgement.lot,
            Self::Soft => judgement.soft,
            Self::Size => judgement.dimension,
            Self::Clearance => judgement.clearance,
            Self::Pin => judgement.pin,
            Self::FarLip => judgement.far_lip,
            Self::Shallow => judgement.shallow,
            Self::StatedRange => judgement.stated_range,
        }
    }
}

//! In which regime a shape is: what it does with loaders that are left to themselves.

use super::rests::{Rest, Seating};
use schemars::JsonSchema;
use serde::Serialize;

/// Part of all positions that must run to one kind of place before the shape is named after it.
const MOST: f64 = 2.0 / 3.0;
/// Less room than this is no room, mm.
const ROOM_MM: f64 = 2.0;

/// What a shape does with straps and bars.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Regime {
    /// They run to the spine.
    HeldAtTheSpine,
    /// They run to the middle of the room they have.
    HeldInTheMiddle,
    /// Nothing leads them to one place: flat ground, or rests far apart.
    NoPreferredPlace,
    /// They run to the gate.
    DrawnToTheGate,
    /// They run apart, one to the gate and one to the spine, always the same way.
    Diagonal,
    /// They fill the window: there is nowhere to go.
    NoRoom,
}

/// The regime that the rests of a seating make.
#[must_use]
pub fn regime(seating: &Seating, rests: &[Rest]) -> Regime {
    let (u, l) = (seating.upper.range(), seating.lower.range());
    let (low, high) = (0.5 * (u.0 + l.0), 0.5 * (u.1 + l.1));
    let room = high - low;
    if room < ROOM_MM {
        return Regime::NoRoom;
    }
    let mut parts = [0.0; 3];
    for rest in rests {
        let diagonal = (rest.upper_mm - rest.lower_mm - 0.5 * (u.0 + u.1 - l.0 - l.1)).abs();
        // Straps far apart from each other are not in one place.
        if diagonal > 0.5 * room {
            if rest.share_of_starting_places >= MOST {
                return Regime::Diagonal;
            }
            continue;
        }
        let place = (0.5 * (rest.upper_mm + rest.lower_mm) - low) / room;
        let third = if place < 1.0 / 3.0 {
            0
        } else if place <= 2.0 / 3.0 {
            1
        } else {
            2
        };
        parts[third] += rest.share_of_starting_places;
    }
    let regimes = [Regime::HeldAtTheSpine, Regime::HeldInTheMiddle, Regime::DrawnToTheGate];
    let found = regimes.iter().zip(parts).find(|(_, part)| *part >= MOST);
    found.map_or(Regime::NoPreferredPlace, |(regime, _)| *regime)
}

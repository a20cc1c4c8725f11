//! Whether the reason of a refusal is one: what it says was found lies beyond what it says is allowed.

use geometry::outline::OutlineError;

/// What a head leaves of its leg at least, mm.
const HEAD_WALL_MM: f64 = 1.0;

/// Whether what was found lies beyond what is allowed. Of a notch whose flanks do not come out where they should no number is told
/// that could be held against a limit.
#[must_use]
pub fn is_borne_out(error: &OutlineError) -> bool {
    match *error {
        OutlineError::CornerTurn { turn_deg, .. } => !(10.0..=170.0).contains(&turn_deg),
        OutlineError::RadiiDoNotFit { length_mm, needed_mm, .. } => needed_mm > length_mm,
        OutlineError::NotchTooDeep { depth_mm, nose_mm, wall_mm } => depth_mm > nose_mm - wall_mm,
        OutlineError::NotchTooShallow { depth_mm, least_mm } => depth_mm <= least_mm,
        OutlineError::HeadWiderThanNose { diameter_mm, nose_mm } => diameter_mm > nose_mm - HEAD_WALL_MM,
        OutlineError::PinWiderThanGate { diameter_mm, width_mm, .. } => diameter_mm > width_mm - 1.0,
        OutlineError::LugTooSmall { hole_mm, lug_mm } => lug_mm < 0.5 * hole_mm + 1.0,
        OutlineError::LugTooLarge { lug_mm, most_mm } => lug_mm > most_mm,
        OutlineError::GateTooShort { length_mm, width_mm } => length_mm < 1.5 * width_mm,
        OutlineError::NoOpening { opening_mm, least_mm } => opening_mm < least_mm,
        OutlineError::Engagement { engaged_mm, least_mm, most_mm } => {
            !(least_mm..=most_mm).contains(&engaged_mm)
        }
        OutlineError::NotchMissesTheEdge | OutlineError::NotchTooDeepForGate { .. } => true,
    }
}

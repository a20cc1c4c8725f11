//! Dimensions that make no connector: what was found and what is allowed.

use crate::locations::corner_of_window;
use crate::reason::Reason;
use geometry::connector::Pin;
use geometry::outline::{OutlineError, WindowSide};

/// Why dimensions give no outline.
pub(super) fn reason(error: &OutlineError) -> Reason {
    let (found, allowed) = match *error {
        OutlineError::CornerTurn { corner: of, turn_deg } => (
            format!("a window whose {} corner turns by {turn_deg:.1} deg", corner_of_window(of)),
            "10 to 170 deg".to_owned(),
        ),
        OutlineError::RadiiDoNotFit { side: of, length_mm, needed_mm } => (
            format!("corner radii that need {needed_mm:.2} mm of the window's {}", side(of)),
            format!(
                "at most its length, {length_mm:.2} mm (use smaller radii, or move hinge or nose away from the corner)"
            ),
        ),
        OutlineError::NotchTooDeep { depth_mm, nose_mm, wall_mm } => (
            format!("{depth_mm:.2} mm"),
            format!(
                "at most {:.2} mm, so that {wall_mm:.2} mm of the nose stay behind the notch",
                nose_mm - wall_mm
            ),
        ),
        OutlineError::NotchTooShallow { depth_mm, least_mm } => (
            format!("{depth_mm:.2} mm"),
            format!("more than {least_mm:.2} mm, which the round end of the notch alone needs"),
        ),
        OutlineError::NotchMissesTheEdge => (
            "a flank of the notch that does not come out at the inner side of the leg".to_owned(),
            "both flanks between the upper bar and the tip of the nose".to_owned(),
        ),
        OutlineError::NotchTooDeepForGate { depth_mm, width_mm } => (
            format!("{depth_mm:.2} mm"),
            format!(
                "a notch whose flanks both come out at the gate's side, and that leaves 1 mm of its {width_mm:.2} mm behind it"
            ),
        ),
        OutlineError::HeadWiderThanNose { diameter_mm, nose_mm } => (
            format!("a head of {diameter_mm:.2} mm"),
            format!("less than the nose leg of {nose_mm:.2} mm has room for"),
        ),
        OutlineError::PinWiderThanGate { pin: of, diameter_mm, width_mm } => (
            format!("a {} of {diameter_mm:.2} mm", pin(of)),
            format!("at most {:.2} mm, so that the gate keeps 0.5 mm on each side", width_mm - 1.0),
        ),
        OutlineError::LugTooSmall { hole_mm, lug_mm } => (
            format!("{lug_mm:.2} mm"),
            format!(
                "at least {:.2} mm, so that 1 mm of lug stays around the hinge hole",
                0.5 * hole_mm + 1.0
            ),
        ),
        OutlineError::LugTooLarge { lug_mm, most_mm } => (
            format!("{lug_mm:.2} mm"),
            format!("at most {most_mm:.2} mm, half the lower bar's depth and half the corner's radius"),
        ),
        OutlineError::GateTooShort { length_mm, width_mm } => (
            format!("a gate of {length_mm:.2} mm between its pins"),
            format!("at least 1.5 times its width of {width_mm:.2} mm"),
        ),
        OutlineError::NoOpening { opening_mm, least_mm } => (
            format!("{opening_mm:.2} mm between the nose's tip and the lug of the hinge"),
            format!("at least {least_mm:.2} mm"),
        ),
        OutlineError::Engagement { engaged_mm, least_mm, most_mm } => {
            (format!("{engaged_mm:.2} mm"), format!("{least_mm:.2} to {most_mm:.2} mm in this notch"))
        }
    };
    Reason::Found { found, allowed }
}

fn side(of: WindowSide) -> &'static str {
    match of {
        WindowSide::GateAtHinge => "gate side (hinge)",
        WindowSide::LowerEnd => "lower end",
        WindowSide::Spine => "spine side",
        WindowSide::UpperEnd => "upper end",
        WindowSide::GateAtNose => "gate side (nose)",
    }
}

fn pin(of: Pin) -> &'static str {
    match of {
        Pin::Nose => "nose pin",
        Pin::Hinge => "hinge pin",
    }
}

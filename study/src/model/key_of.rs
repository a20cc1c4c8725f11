//! Which key of the model a mistake of shape or rig is best told beside.
//!
//! Outline and response know measures, not keys. Whoever has to mend a file looks for the key.

use geometry::connector::Pin;
use geometry::outline::{Corner, OutlineError};
use geometry::region::Stretch;
use solver::response::RigError;
use solver::rig::RigEnd;

/// The key that an outline's mistake is best told beside.
#[must_use]
pub fn of_outline(error: &OutlineError) -> &'static str {
    match error {
        OutlineError::CornerTurn { corner: Corner::UpperSpine | Corner::UpperGate, .. } => {
            "window.upper_slope_deg"
        }
        OutlineError::CornerTurn { corner: Corner::LowerSpine | Corner::LowerGate, .. } => {
            "window.lower_slope_deg"
        }
        OutlineError::RadiiDoNotFit { .. } => "window.corner_radius_mm",
        OutlineError::NotchTooDeep { .. }
        | OutlineError::NotchTooShallow { .. }
        | OutlineError::NotchTooDeepForGate { .. } => "nose.notch_depth_mm",
        OutlineError::NotchMissesTheEdge | OutlineError::NoOpening { .. } => "nose.tip_mm",
        OutlineError::PinWiderThanGate { pin: Pin::Hinge, .. } => "hinge.pin_diameter_mm",
        OutlineError::PinWiderThanGate { pin: Pin::Nose, .. } | OutlineError::HeadWiderThanNose { .. } => {
            "nose.pin_diameter_mm"
        }
        OutlineError::LugTooSmall { .. } | OutlineError::LugTooLarge { .. } => "hinge.lug_radius_mm",
        OutlineError::GateTooShort { .. } => "gate.width_mm",
        OutlineError::Engagement { .. } => "rig.engaged_mm",
    }
}

/// The key that a rig's mistake is best told beside; `None` where no single one is to blame.
#[must_use]
pub fn of_rig(error: &RigError) -> Option<&'static str> {
    match error {
        RigError::Load { .. } => Some("rig.load_kn"),
        RigError::OffSeat { end: RigEnd::Upper, .. } => Some("rig.upper.offset_mm"),
        RigError::OffSeat { end: RigEnd::Lower, .. } => Some("rig.lower.offset_mm"),
        RigError::NoBalance(_) | RigError::Engagement(_) => None,
    }
}

/// The keys that move a stretch of the outline, the likeliest first.
fn of_stretch(stretch: Stretch) -> &'static [&'static str] {
    match stretch {
        Stretch::SpineInner | Stretch::SpineMid => &["window.inside_length_mm", "window.corner_radius_mm"],
        Stretch::SpineOuter => &["section.spine.depth_mm"],
        Stretch::UpperInner | Stretch::UpperMid => &["window.upper_width_mm", "window.upper_slope_deg"],
        Stretch::UpperOuter => &["section.upper.depth_mm"],
        Stretch::LowerInner | Stretch::LowerMid => &["window.lower_width_mm", "window.lower_slope_deg"],
        Stretch::LowerOuter => &["section.lower.depth_mm"],
        Stretch::NoseInner | Stretch::NoseTip => &["nose.tip_mm"],
        Stretch::NoseOuter => &["nose.tip_mm", "section.upper.depth_mm"],
        Stretch::LipFlank | Stretch::BackFlank | Stretch::NotchEnd | Stretch::NoseRoot => {
            &["nose.flank_angle_deg", "nose.notch_depth_mm", "nose.lip_height_mm", "nose.tip_mm"]
        }
        Stretch::LugInner | Stretch::HingeRoot => &["hinge.height_mm"],
        Stretch::LugOuter => &["hinge.height_mm", "section.lower.depth_mm"],
        Stretch::LugEnd => &["hinge.lug_radius_mm", "hinge.height_mm"],
        Stretch::HingeHole | Stretch::HingeDisc => &["hinge.pin_diameter_mm", "hinge.height_mm"],
        Stretch::NoseDisc => &["nose.pin_diameter_mm"],
        Stretch::GateEdge | Stretch::GateMid => &["gate.width_mm"],
        // Not of a connector.
        Stretch::Side(_) => &[],
    }
}

/// The keys that move two curves of an outline which run into each other, those of the second first.
#[must_use]
pub fn of_crossing([first, second]: [Stretch; 2]) -> Vec<&'static str> {
    let mut keys = of_stretch(second).to_vec();
    keys.extend(of_stretch(first).iter().filter(|key| !of_stretch(second).contains(key)));
    keys
}

#[cfg(test)]
mod tests {
    use super::super::keys;
    use super::*;

    #[test]
    fn outline_mistakes_name_a_key_of_the_model() {
        let errors = [
            OutlineError::NotchMissesTheEdge,
            OutlineError::PinWiderThanGate { pin: Pin::Hinge, diameter_mm: 9.0, width_mm: 9.0 },
            OutlineError::Engagement { engaged_mm: 9.0, least_mm: 1.0, most_mm: 4.0 },
            OutlineError::CornerTurn { corner: Corner::LowerGate, turn_deg: 3.0 },
        ];
        for error in &errors {
            assert!(keys::find(of_outline(error)).is_some(), "{error}");
        }
        assert_eq!(of_outline(&errors[1]), "hinge.pin_diameter_mm");
        assert_eq!(of_outline(&errors[3]), "window.lower_slope_deg");
        for stretch in [Stretch::SpineOuter, Stretch::NoseRoot, Stretch::LugEnd, Stretch::GateMid] {
            assert!(of_stretch(stretch).iter().all(|key| keys::find(key).is_some()), "{stretch:?}");
        }
        assert_eq!(of_rig(&RigError::Load { load_kn: 0.0 }), Some("rig.load_kn"));
    }
}

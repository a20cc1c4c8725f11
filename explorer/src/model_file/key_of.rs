//! Which key of the model a mistake of shape or rig is best told beside.
//!
//! Outline and response know measures, not keys. Whoever has to mend a file looks for the key.

use geometry::mesh::MeshError;
use geometry::outline::OutlineError;
use geometry::region::Stretch;
use solver::response::RigError;
use solver::system::SystemError;

/// The key that an outline's mistake is best told beside.
#[must_use]
pub fn of_outline(error: &OutlineError) -> &'static str {
    match error {
        OutlineError::CornerTurn { corner, .. } if corner.contains("upper") => "window.upper_slope_deg",
        OutlineError::CornerTurn { .. } => "window.lower_slope_deg",
        OutlineError::RadiiDoNotFit { .. } => "window.corner_radius_mm",
        OutlineError::NotchTooDeep { .. }
        | OutlineError::NotchTooShallow { .. }
        | OutlineError::NotchTooDeepForGate { .. } => "nose.notch_depth_mm",
        OutlineError::NotchMissesTheEdge | OutlineError::NoOpening { .. } => "nose.tip_mm",
        OutlineError::HeadWiderThanNose { .. } => "nose.pin_diameter_mm",
        OutlineError::PinWiderThanGate { pin, .. } if pin.contains("hinge") => "hinge.pin_diameter_mm",
        OutlineError::PinWiderThanGate { .. } => "nose.pin_diameter_mm",
        OutlineError::EarTooSmall { .. } | OutlineError::EarTooLarge { .. } => "hinge.ear_radius_mm",
        OutlineError::GateTooShort { .. } => "gate.width_mm",
        OutlineError::Engagement { .. } => "rig.engaged_mm",
    }
}

/// The key that a rig's mistake is best told beside; `None` where no single one is to blame.
#[must_use]
pub fn of_rig(error: &RigError) -> Option<&'static str> {
    match error {
        RigError::Load { .. } => Some("rig.load_kn"),
        RigError::OffSeat { end: "upper", .. } => Some("rig.upper.offset_mm"),
        RigError::OffSeat { .. } => Some("rig.lower.offset_mm"),
        RigError::NoBalance(_) | RigError::TakeUp(_) => None,
    }
}

/// The keys that move a stretch of the outline.
fn of_stretch(stretch: Stretch) -> &'static str {
    match stretch {
        Stretch::SpineInner | Stretch::SpineOuter | Stretch::SpineMid => "window.inside_length_mm",
        Stretch::UpperInner | Stretch::UpperOuter | Stretch::UpperMid => "window.upper_width_mm",
        Stretch::LowerInner | Stretch::LowerOuter | Stretch::LowerMid => "window.lower_width_mm",
        Stretch::NoseInner | Stretch::NoseOuter | Stretch::NoseTip | Stretch::NoseRoot => "nose.tip_mm",
        Stretch::LipFlank | Stretch::BackFlank => "nose.flank_angle_deg",
        Stretch::NotchEnd => "nose.notch_depth_mm",
        Stretch::EarInner | Stretch::EarOuter | Stretch::HingeRoot => "hinge.height_mm",
        Stretch::EarEnd => "hinge.ear_radius_mm",
        Stretch::HingeHole | Stretch::HingeDisc => "hinge.pin_diameter_mm",
        Stretch::NoseDisc => "nose.pin_diameter_mm",
        Stretch::GateEdge | Stretch::GateMid | Stretch::Side(_) => "gate.width_mm",
    }
}

/// Two parts of an outline that run into each other, after the keys that move them.
fn crossing_told(body: &str, [first, second]: [Stretch; 2], near: [f64; 2]) -> String {
    let mut keys = vec![of_stretch(first), of_stretch(second)];
    keys.dedup();
    format!(
        "{}: found {first} and {second} running into each other near ({:.1}, {:.1}) mm; allowed: an outline of the {body} whose \
         parts keep apart",
        keys.join(", "),
        near[0],
        near[1]
    )
}

/// Why a system could not be built, each mistake of the outline after its key.
#[must_use]
pub fn system_told(error: &SystemError) -> String {
    let errors = match error {
        SystemError::Outline(errors) => errors,
        SystemError::Mesh { body, reason: MeshError::Crossing { first, second, near } } => {
            return crossing_told(body, [*first, *second], *near);
        }
        _ => return error.to_string(),
    };
    let told = |error: &OutlineError| {
        let hint = match error {
            OutlineError::NotchMissesTheEdge => {
                "\n  hint: nose.flank_angle_deg turns the flanks, nose.notch_depth_mm makes them longer"
            }
            _ => "",
        };
        format!("{}: {error}{hint}", of_outline(error))
    };
    let all: Vec<String> = errors.iter().map(told).collect();
    all.join("\n")
}

/// Why a rig cannot be pulled, after its key.
#[must_use]
pub fn rig_told(error: &RigError) -> String {
    match of_rig(error) {
        Some(key) => format!("{key}: {error}"),
        None => error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::keys;
    use super::*;

    #[test]
    fn outline_mistakes_name_a_key_of_the_model() {
        let errors = [
            OutlineError::NotchMissesTheEdge,
            OutlineError::PinWiderThanGate { pin: "hinge pin", diameter_mm: 9.0, width_mm: 9.0 },
            OutlineError::Engagement { engaged_mm: 9.0, least_mm: 1.0, most_mm: 4.0 },
        ];
        for error in &errors {
            assert!(keys::find(of_outline(error)).is_some(), "{error}");
        }
        assert_eq!(of_outline(&errors[1]), "hinge.pin_diameter_mm");
        assert_eq!(
            system_told(&SystemError::Outline(errors[2..].to_vec())),
            "rig.engaged_mm: found 9.00 mm; allowed: 1.00 to 4.00 mm in this notch"
        );
        let crossing =
            MeshError::Crossing { first: Stretch::UpperMid, second: Stretch::NoseRoot, near: [0.0, 44.5] };
        assert_eq!(
            system_told(&SystemError::Mesh { body: "frame", reason: crossing }),
            "window.upper_width_mm, nose.tip_mm: found cut across the upper bar and root of the nose running into each other \
             near (0.0, 44.5) mm; allowed: an outline of the frame whose parts keep apart"
        );
        let told = system_told(&SystemError::Outline(vec![OutlineError::NotchMissesTheEdge]));
        assert!(
            told.starts_with("nose.tip_mm: found ") && told.contains("hint: nose.flank_angle_deg"),
            "{told}"
        );
        assert!(rig_told(&RigError::Load { load_kn: 0.0 }).starts_with("rig.load_kn: found 0 kN; allowed: "));
    }
}

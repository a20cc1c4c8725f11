//! The lip of the notch, which the pin pushes off the nose, and the flank that it presses on.
//!
//! The lip's limit is computed by finite elements on its own shape ([`crate::plastic`]): perfectly plastic metal under a rigid,
//! smooth pin that has bedded in. Beside it stands a formula by hand: a short cantilever that stands out from the notch's
//! closed end, about as long as it is high, so that bending and shear share the section as on an ellipse. The formula leaves
//! out the round of the closed end, which helps the lip's root, and presses at one line: it lies below. The flank is crushed
//! over the width of the pin that lies inside the mouth.
//!
//! Left out: hardening, and a crack that is already there.

use super::capacity::{Capacity, LimitKind, between_ends};
use super::failure_mode::FailureMode;
use super::formula::{Formula, Quantity, input};
use crate::collapse::{PlasticError, Press, Pressed, lip_under_pin};
use crate::material::Material;
use geometry::connector::{Connector, Nose};
use geometry::outline::{Outline, Seats};

/// Bearing strength over ultimate tensile strength. Handbook ratios for 7075-T6 bar are 1.30 at an edge distance of 1.5
/// diameters and 1.60 at 2.0 (MIL-HDBK-5J table 3.7.6.0); between them, as engineering judgement.
pub const BEARING_OVER_ULTIMATE: f64 = 1.5;

/// Force square to a lip at which it gives, N: `arm_mm` from the force to the lip's root, `breadth_mm` across the plane,
/// `height_mm` along the force; strengths in MPa.
#[must_use]
pub fn lip_force_n(
    arm_mm: f64,
    breadth_mm: f64,
    height_mm: f64,
    ultimate_mpa: f64,
    shear_ultimate_mpa: f64,
) -> f64 {
    let moment = ultimate_mpa * breadth_mm * height_mm * height_mm / 4.0;
    let shear = shear_ultimate_mpa * breadth_mm * height_mm;
    1.0 / (arm_mm / moment).hypot(1.0 / shear)
}

/// Width of flank that a pin of `radius_mm` presses on when its centre lies `inside_mm` inside the mouth, mm.
#[must_use]
pub fn engaged_width_mm(radius_mm: f64, inside_mm: f64) -> f64 {
    (radius_mm + inside_mm).clamp(0.0, 2.0 * radius_mm)
}

/// The lip as computed for metal of strength 1 MPa: -1 for a narrow patch, 0 for a pin that has bedded in, 1 for one that
/// has bedded in deeply.
fn computed(
    connector: &Connector,
    outline: &Outline,
    friction: f64,
    press: f64,
) -> Result<Pressed, PlasticError> {
    let under = |press| lip_under_pin(connector, outline, friction, press);
    let bedded = under(Press::Bedded)?;
    let end = match press {
        p if p < 0.0 => under(Press::Narrow),
        p if p > 0.0 => under(Press::Deep),
        _ => return Ok(bedded),
    };
    // An end that gives no limit widens nothing.
    let Ok(end) = end else { return Ok(bedded) };
    // A narrow patch holds no more than a wide one; near the mouth the mesh may say otherwise.
    let end_n = if press < 0.0 { end.force_n.min(bedded.force_n) } else { end.force_n.max(bedded.force_n) };
    Ok(Pressed { force_n: between_ends(press, bedded.force_n, end_n), ..bedded })
}

/// The same with the lip by hand, which lies below the lip computed: what it holds is held, without solving anything.
pub(super) fn lip_capacities_by_hand(
    connector: &Connector,
    outline: &Outline,
    material: &Material,
) -> [Capacity; 2] {
    let seats = &outline.seats;
    [lip_by_hand(&connector.nose, seats, material), flank(&connector.nose, seats, material)]
}

/// The lip, and bearing on its flank. `material` is that of the part that carries the lip; `press` says how wide the pin
/// presses under `friction`: -1 on a narrow patch, 0 where it beds in, 1 where it has bedded in deeply.
#[must_use]
pub fn lip_capacities(
    connector: &Connector,
    outline: &Outline,
    material: &Material,
    friction: f64,
    press: f64,
) -> [Capacity; 2] {
    let (nose, seats) = (&connector.nose, &outline.seats);
    let su = material.ultimate_mpa;
    let mut lip = lip_by_hand(nose, seats, material);
    if let Ok(pressed) = computed(connector, outline, friction, press) {
        let hand = std::mem::replace(&mut lip.force_n, su * pressed.force_n);
        lip.by_hand_n = Some(hand);
        lip.formula = Formula::LipComputed;
        lip.inputs.push(input(Quantity::ForceByHand, 1e-3 * hand, "kN"));
        if let Some(patch) = pressed.patch {
            lip.inputs.push(input(Quantity::FlankPressed, patch.flank_mm, "mm"));
            lip.inputs.push(input(Quantity::RoundEndPressed, patch.arc_deg, "deg"));
        }
    }
    [lip, flank(nose, seats, material)]
}

/// Bearing on the flank.
fn flank(nose: &Nose, seats: &Seats, material: &Material) -> Capacity {
    let inside = seats.pin_inside_mouth_mm();
    let breadth = nose.lip_breadth_mm;
    let width = engaged_width_mm(seats.nose_pin.radius, inside);
    let bearing = BEARING_OVER_ULTIMATE * material.ultimate_mpa;
    Capacity {
        what: FailureMode::Flank,
        force_n: width * breadth * bearing,
        kind: LimitKind::Breaks,
        by_hand_n: None,
        formula: Formula::FlankBearing,
        inputs: vec![
            input(Quantity::PinInsideMouth, inside, "mm"),
            input(Quantity::PinWidthInsideMouth, width, "mm"),
            input(Quantity::LipBreadth, breadth, "mm"),
            input(Quantity::BearingStrength, bearing, "MPa"),
        ],
    }
}

/// The lip by hand.
fn lip_by_hand(nose: &Nose, seats: &Seats, material: &Material) -> Capacity {
    // A pin whose centre is outside the mouth presses on the mouth's corner.
    let arm = seats.pin_to_closed_end_mm() + seats.pin_inside_mouth_mm().min(0.0);
    let (breadth, height) = (nose.lip_breadth_mm, nose.lip_height_mm);
    let (su, fsu) = (material.ultimate_mpa, material.shear_ultimate_mpa);
    Capacity {
        what: FailureMode::Lip,
        force_n: lip_force_n(arm, breadth, height, su, fsu),
        kind: LimitKind::Breaks,
        by_hand_n: None,
        formula: Formula::LipByHand,
        inputs: vec![
            input(Quantity::ArmToClosedEnd, arm, "mm"),
            input(Quantity::LipBreadth, breadth, "mm"),
            input(Quantity::LipHeight, height, "mm"),
            input(Quantity::UltimateStrength, su, "MPa"),
            input(Quantity::UltimateShearStrength, fsu, "MPa"),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_lip_bends_and_a_stub_shears() {
        // Mp = 572 * 9 * 4.5^2 / 4 = 26 061.75 N mm; at 2.15 mm 12 121.7 N; shear 331 * 9 * 4.5 = 13 405.5 N; together
        // 1 / sqrt(12 121.7^-2 + 13 405.5^-2) = 8 991 N.
        let force = lip_force_n(2.15, 9.0, 4.5, 572.0, 331.0);
        assert!((force - 8991.0).abs() < 1.0, "{force}");
        // C5: a long one is a cantilever, su b h^2 / (4 L).
        let long = lip_force_n(450.0, 9.0, 4.5, 572.0, 331.0);
        assert!((long / (572.0 * 9.0 * 4.5 * 4.5 / (4.0 * 450.0)) - 1.0).abs() < 1e-4);
        let stub = lip_force_n(0.0, 9.0, 4.5, 572.0, 331.0);
        assert!((stub - 13_405.5).abs() < 1e-6);
    }

    #[test]
    fn the_engaged_width_grows_with_depth_and_is_then_the_pins() {
        // Pin radius 2, clearance 0.15: shut, the centre is depth - 2.15 inside; the kink is at a depth of 4.15.
        for (depth, width) in [(2.0, 1.85), (2.5, 2.35), (4.15, 4.0), (6.0, 4.0)] {
            let found = engaged_width_mm(2.0, depth - 2.15);
            assert!((found - width).abs() < 1e-12, "{found} at {depth}");
        }
        assert_eq!(engaged_width_mm(2.0, -3.0), 0.0);
    }
}

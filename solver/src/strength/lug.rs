//! A lug: a plate with a hole near its end, pulled by a pin. It tears out toward its end, tears across the hole, or is
//! crushed beside the pin. The hinge lug and both ends of the gate are lugs.
//!
//! Tear-out is computed by finite elements ([`crate::plastic`], tabulated over hole and width for full-round ends): perfectly
//! plastic metal under a rigid, smooth pin that presses on all of the side that it is pulled to. The range runs down to a pin
//! that presses on 60 degrees to either side. The lug method's form with 40 degrees stands beside it as the check by hand.

use super::capacity::{Capacity, LimitKind, between_ends};
use super::failure_mode::{FailureMode, LugFailure};
use super::formula::{Formula, Input, Quantity, input};
use super::lip::BEARING_OVER_ULTIMATE;
use crate::collapse::lug_factor_tabulated;
use crate::material::Material;

/// A lug. Lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lug {
    /// Thickness that carries.
    pub thickness_mm: f64,
    /// Centre of the hole to the end that it is pulled toward.
    pub end_mm: f64,
    /// Diameter of the hole.
    pub hole_mm: f64,
    /// Diameter of the pin.
    pub pin_mm: f64,
    /// Width across the hole.
    pub width_mm: f64,
}

/// Half the angle under which a pin presses on its hole when the lug tears out: 40 degrees (Bruhn D1).
const TEAR_OUT_DEG: f64 = 40.0;
/// Half the angle on which a pin presses that fills its hole or has bedded into it: all of the side that it is pulled to.
const BEDDED_DEG: f64 = 90.0;
/// Half the angle of a narrow patch (engineering judgement).
const NARROW_DEG: f64 = 60.0;

impl Lug {
    /// Area torn along two lines straight ahead of the hole's sides, least form, mm^2.
    #[must_use]
    pub fn least_tear_out_mm2(&self) -> f64 {
        2.0 * self.thickness_mm * (self.end_mm - 0.5 * self.hole_mm)
    }

    /// Area torn along two lines that start 40 degrees from the line of pull, mm^2.
    #[must_use]
    pub fn tear_out_mm2(&self) -> f64 {
        2.0 * self.thickness_mm * (self.end_mm - 0.5 * self.hole_mm * TEAR_OUT_DEG.to_radians().cos())
    }

    /// Limit load over the strength, computed for a full-round end about the hole, mm^2. `press`: -1 for a pin that presses on
    /// a narrow patch, 0 and above for one that presses on all of the side that it is pulled to.
    #[must_use]
    pub fn limit_mm2(&self, press: f64) -> f64 {
        let at = |deg: f64| lug_factor_tabulated(self.hole_mm / self.width_mm, deg.to_radians());
        let factor = match press < 0.0 {
            true => between_ends(press, at(BEDDED_DEG), at(NARROW_DEG)),
            false => at(BEDDED_DEG),
        };
        factor * self.thickness_mm * self.width_mm
    }

    /// Net area across the hole, mm^2.
    #[must_use]
    pub fn net_mm2(&self) -> f64 {
        self.thickness_mm * (self.width_mm - self.hole_mm)
    }

    /// Area that the pin presses on, mm^2.
    #[must_use]
    pub fn bearing_mm2(&self) -> f64 {
        self.thickness_mm * self.pin_mm
    }
}

/// The three limits of a lug with a full-round end, as `of` that lug: tear-out, net section, bearing. `press` as for
/// [`Lug::limit_mm2`].
#[must_use]
pub fn lug_capacities(
    lug: Lug,
    material: &Material,
    of: &dyn Fn(LugFailure) -> FailureMode,
    press: f64,
) -> [Capacity; 3] {
    let (su, fsu) = (material.ultimate_mpa, material.shear_ultimate_mpa);
    let bearing = BEARING_OVER_ULTIMATE * su;
    let shape = |strength: Input| {
        vec![
            input(Quantity::Thickness, lug.thickness_mm, "mm"),
            input(Quantity::HoleToEnd, lug.end_mm, "mm"),
            input(Quantity::HoleDiameter, lug.hole_mm, "mm"),
            input(Quantity::Width, lug.width_mm, "mm"),
            strength,
        ]
    };
    let by_hand_n = lug.tear_out_mm2() * fsu;
    let mut tear_out = shape(input(Quantity::UltimateStrength, su, "MPa"));
    tear_out.push(input(Quantity::UltimateShearStrength, fsu, "MPa"));
    tear_out.push(input(Quantity::ForceByHand, 1e-3 * by_hand_n, "kN"));
    [
        Capacity {
            what: of(LugFailure::TornOut),
            force_n: lug.limit_mm2(press) * su,
            kind: LimitKind::Breaks,
            by_hand_n: Some(by_hand_n),
            formula: Formula::LugTornOut,
            inputs: tear_out,
        },
        Capacity {
            what: of(LugFailure::TornAcross),
            force_n: lug.net_mm2() * su,
            kind: LimitKind::Breaks,
            by_hand_n: None,
            formula: Formula::LugTornAcross,
            inputs: shape(input(Quantity::UltimateStrength, su, "MPa")),
        },
        Capacity {
            what: of(LugFailure::Crushed),
            force_n: lug.bearing_mm2() * bearing,
            kind: LimitKind::Yields,
            by_hand_n: None,
            formula: Formula::LugBearing,
            inputs: vec![
                input(Quantity::PinDiameter, lug.pin_mm, "mm"),
                input(Quantity::Thickness, lug.thickness_mm, "mm"),
                input(Quantity::BearingStrength, bearing, "MPa"),
            ],
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tear_out_areas_are_those_of_the_lug_method() {
        // B10: e = 16, D = 12, t = 10: 200 and 228.07 mm^2 in the handbook's two forms.
        let lug = Lug { thickness_mm: 10.0, end_mm: 16.0, hole_mm: 12.0, pin_mm: 12.0, width_mm: 32.0 };
        assert!((lug.least_tear_out_mm2() - 200.0).abs() < 1e-9);
        assert!((lug.tear_out_mm2() - 228.07).abs() < 0.01, "{}", lug.tear_out_mm2());
        assert!((lug.net_mm2() - 200.0).abs() < 1e-9);
    }

    #[test]
    fn a_lug_at_its_limit_lies_between_its_bounds_by_hand() {
        // Two shear planes straight ahead of the hole's sides at su / sqrt 3 from below where the pin does not crush the
        // hole first; the net section and a pressure of 2 / sqrt 3 of the strength all over the pin from above.
        for hole_mm in [0.5, 1.0, 2.0, 4.0, 6.0, 8.0, 9.0, 9.5] {
            let lug = Lug { thickness_mm: 1.0, end_mm: 5.0, hole_mm, pin_mm: hole_mm, width_mm: 10.0 };
            let [ahead, limit, net] =
                [lug.least_tear_out_mm2() / 3.0_f64.sqrt(), lug.limit_mm2(0.0), lug.net_mm2()];
            assert!(ahead.min(1.05 * hole_mm) < limit, "{hole_mm}: {ahead} {limit}");
            assert!(limit < net && limit <= 1.154_701 * hole_mm, "{hole_mm}: {limit} {net}");
            assert!(lug.limit_mm2(-1.0) < limit && lug.limit_mm2(1.0) == limit);
            assert!((lug.limit_mm2(-0.5).powi(2) / (lug.limit_mm2(-1.0) * limit) - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn a_pin_connected_plate_is_that_of_the_design_example() {
        // B9 (AISC 360 D5, example D.7), kip and inch: w 4.25, t 0.5, d 1, hole 1.03, a 2.25, Fy 36, Fu 58.
        let lug =
            Lug { thickness_mm: 0.5, end_mm: 2.25 + 1.03 / 2.0, hole_mm: 1.03, pin_mm: 1.0, width_mm: 4.25 };
        // Rupture over the effective width b = min(2 t + 0.63, distance to the edge) = 1.61 (1.63 capped by the edge).
        let edge: f64 = (4.25 - 1.03) / 2.0;
        let effective = (2.0 * 0.5 + 0.63_f64).min(edge);
        let narrowed = Lug { width_mm: 1.03 + 2.0 * effective, ..lug };
        assert!((narrowed.net_mm2() * 58.0 / 93.4 - 1.0).abs() < 5e-3);
        assert!(lug.least_tear_out_mm2() < lug.tear_out_mm2());
        assert!((1.8 * 36.0 * lug.bearing_mm2() / 32.4 - 1.0).abs() < 5e-3);
    }
}

//! A lug: a plate with a hole near its end, pulled by a pin. It tears out toward its end, tears across the hole, or is
//! crushed beside the pin. The hinge ear and both ends of the gate are lugs.
//!
//! Tear-out has three published forms, which differ in the length that is torn. The limit uses the middle one, with 40
//! degrees; the least form and that of building codes stand among its inputs. Which of them holds for short lugs is not known
//! here, so a forecast's range runs from the least to the largest, as likely below the one used as above it.

use super::capacity::{Capacity, Input, LimitKind, input};
use super::lip::BEARING_OVER_ULTIMATE;
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

    /// Area torn by the form of building codes (AISC 360 D5, shear rupture of a pin-connected plate): clear distance from hole
    /// to end plus half the pin, largest form, mm^2.
    #[must_use]
    pub fn building_code_tear_out_mm2(&self) -> f64 {
        2.0 * self.thickness_mm * (self.end_mm - 0.5 * self.hole_mm + 0.5 * self.pin_mm)
    }

    /// Net area across the hole, mm^2.
    #[must_use]
    pub fn net_mm2(&self) -> f64 {
        self.thickness_mm * (self.width_mm - self.hole_mm)
    }

    /// Area that the pin bears on, mm^2.
    #[must_use]
    pub fn bearing_mm2(&self) -> f64 {
        self.thickness_mm * self.pin_mm
    }
}

/// The three limits of a lug, named: tear-out, net section, bearing.
#[must_use]
pub fn lug_capacities(lug: Lug, material: &Material, names: [&'static str; 3]) -> [Capacity; 3] {
    let (su, fsu) = (material.ultimate_mpa, material.shear_ultimate_mpa);
    let bearing = BEARING_OVER_ULTIMATE * su;
    let shape = |strength: Input| {
        vec![
            input("thickness", lug.thickness_mm, "mm"),
            input("hole centre to end", lug.end_mm, "mm"),
            input("hole diameter", lug.hole_mm, "mm"),
            input("width", lug.width_mm, "mm"),
            strength,
        ]
    };
    let mut tear_out = shape(input("ultimate shear strength", fsu, "MPa"));
    let [least, largest] =
        [lug.least_tear_out_mm2(), lug.building_code_tear_out_mm2()].map(|area| area * fsu);
    tear_out.push(input("force by the least form", 1e-3 * least, "kN"));
    tear_out.push(input("force by the form of building codes", 1e-3 * largest, "kN"));
    [
        Capacity {
            what: names[0],
            force_n: lug.tear_out_mm2() * fsu,
            kind: LimitKind::Breaks,
            other_forms_n: Some([least, largest]),
            source: "tear-out of a lug, Bruhn D1 (from memory), the form with 40 degrees, between its least form and that of AISC 360 D5",
            formula: "ultimate shear x 2 x thickness x (hole centre to end - hole / 2 x cos 40 degrees)",
            inputs: tear_out,
        },
        Capacity {
            what: names[1],
            force_n: lug.net_mm2() * su,
            kind: LimitKind::Breaks,
            other_forms_n: None,
            source: "net section of a lug, Bruhn D1 (from memory)",
            formula: "ultimate x thickness x (width - hole)",
            inputs: shape(input("ultimate strength", su, "MPa")),
        },
        Capacity {
            what: names[2],
            force_n: lug.bearing_mm2() * bearing,
            kind: LimitKind::Yields,
            other_forms_n: None,
            source: "bearing strength 1.5 x ultimate, engineering judgement between the handbook's 1.30 and 1.60 (MIL-HDBK-5J table \
                     3.7.6.0, from memory)",
            formula: "pin diameter x thickness x bearing strength",
            inputs: vec![
                input("pin diameter", lug.pin_mm, "mm"),
                input("thickness", lug.thickness_mm, "mm"),
                input("bearing strength", bearing, "MPa"),
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
    fn the_form_used_lies_between_the_others() {
        // t 10, e 16, D = d = 12: areas 200, 228.07 and 320 mm^2; shear strength 331 MPa.
        let lug = Lug { thickness_mm: 10.0, end_mm: 16.0, hole_mm: 12.0, pin_mm: 12.0, width_mm: 32.0 };
        let metal = crate::material::Material {
            shear_ultimate_mpa: 331.0,
            ..crate::material::library::all()[0].material()
        };
        let [tear_out, net, _] = lug_capacities(lug, &metal, ["a", "b", "c"]);
        for (form, area) in [(-1.0, 200.0), (0.0, 228.07), (1.0, 320.0), (0.5, 270.152)] {
            assert!((tear_out.by_form_n(form) / (331.0 * area) - 1.0).abs() < 1e-4, "{form}");
        }
        assert_eq!(net.by_form_n(-1.0), net.force_n);
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
        // Shear rupture, 0.6 Fu over 2 t (a + d / 2), 95.7 kip: the largest of the three forms.
        assert!((0.6 * 58.0 * lug.building_code_tear_out_mm2() / 95.7 - 1.0).abs() < 1e-3);
        assert!(lug.least_tear_out_mm2() < lug.tear_out_mm2());
        assert!(lug.tear_out_mm2() < lug.building_code_tear_out_mm2());
        assert!((1.8 * 36.0 * lug.bearing_mm2() / 32.4 - 1.0).abs() < 5e-3);
    }
}

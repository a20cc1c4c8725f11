//! The hinge lug: a lug that the hinge pin pulls toward the nose.

use super::capacity::Capacity;
use super::failure_mode::FailureMode;
use super::lug::{Lug, lug_capacities};
use crate::material::Material;
use geometry::connector::Hinge;

/// The hinge lug, for the method that serves all lugs.
#[must_use]
pub fn hinge_lug(hinge: &Hinge) -> Lug {
    Lug {
        thickness_mm: hinge.lug_breadth_mm,
        end_mm: hinge.lug_radius_mm,
        hole_mm: hinge.pin_diameter_mm + 2.0 * hinge.pin_clearance_mm,
        pin_mm: hinge.pin_diameter_mm,
        width_mm: 2.0 * hinge.lug_radius_mm,
    }
}

/// Tear-out, net tension and bearing of the hinge lug; `press` as for a lug.
#[must_use]
pub fn hinge_lug_capacities(hinge: &Hinge, material: &Material, press: f64) -> [Capacity; 3] {
    lug_capacities(hinge_lug(hinge), material, &FailureMode::HingeLug, press)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_ear_is_a_lug_toward_the_nose() {
        // Radius 7, breadth 9, pin 5 with 0.05: 2 * 9 * (7 - 2.55 cos 40) = 90.84 mm^2 at 331 MPa: 30.07 kN.
        let hinge = Hinge {
            height_mm: 10.0,
            pin_diameter_mm: 5.0,
            pin_clearance_mm: 0.05,
            lug_radius_mm: 7.0,
            lug_breadth_mm: 9.0,
        };
        let lug = hinge_lug(&hinge);
        assert!((lug.tear_out_mm2() * 331.0 - 30_068.0).abs() < 10.0, "{}", lug.tear_out_mm2() * 331.0);
        assert!((lug.net_mm2() - 9.0 * 8.9).abs() < 1e-9);
    }
}

//! The elastic problems: one body, no contact.

use crate::problem::Problem;
use crate::{
    bearing_law, cook_panel, curved_bar, curved_bars, deep_cantilever, elliptic_membrane, hole_in_plate,
    hole_in_strip, hooks, patch, pinched_disc, pressed_ring, shoulder_fillet, slender_cantilever,
    straight_bars, thick_cylinder, thin_ring,
};

/// All elastic problems, in a fixed order.
#[must_use]
pub fn elastic() -> Vec<Problem> {
    vec![
        elliptic_membrane::PROBLEM,
        cook_panel::PROBLEM,
        patch::PLANE_STRESS,
        patch::PLANE_STRAIN,
        slender_cantilever::PROBLEM,
        deep_cantilever::PROBLEM,
        hole_in_plate::PROBLEM,
        hole_in_strip::PROBLEM,
        hole_in_strip::NET_FITS,
        shoulder_fillet::TENSION,
        shoulder_fillet::BENDING,
        pressed_ring::PROBLEM,
        thick_cylinder::PROBLEM,
        curved_bar::PROBLEM,
        curved_bars::ROUND,
        curved_bars::OVAL,
        curved_bars::RECTANGLE,
        curved_bars::I_SECTION,
        straight_bars::ROUND,
        straight_bars::OVAL,
        hooks::TRAPEZOID,
        hooks::RECTANGLE,
        hooks::ROUND_LINK,
        thin_ring::PROBLEM,
        pinched_disc::PROBLEM,
        bearing_law::PROBLEM,
    ]
}

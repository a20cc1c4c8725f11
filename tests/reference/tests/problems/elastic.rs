//! Runs every elastic problem and asks whether it meets its published numbers.

use crate::meets;

meets::problems! {
    all of reference::elastic::elastic();
    elliptic_membrane: reference::elliptic_membrane::PROBLEM;
    skewed_panel: reference::cook_panel::PROBLEM;
    patch_in_plane_stress: reference::patch::PLANE_STRESS;
    patch_in_plane_strain: reference::patch::PLANE_STRAIN;
    slender_cantilever: reference::slender_cantilever::PROBLEM;
    deep_cantilever: reference::deep_cantilever::PROBLEM;
    hole_in_plate: reference::hole_in_plate::PROBLEM;
    hole_in_strip: reference::hole_in_strip::PROBLEM;
    hole_in_strip_formulas: reference::hole_in_strip::NET_FITS;
    shoulder_fillet_in_tension: reference::shoulder_fillet::TENSION;
    shoulder_fillet_in_bending: reference::shoulder_fillet::BENDING;
    pressed_ring: reference::pressed_ring::PROBLEM;
    thick_cylinder: reference::thick_cylinder::PROBLEM;
    curved_bar: reference::curved_bar::PROBLEM;
    curved_round_bars: reference::curved_bars::ROUND;
    curved_oval_bars: reference::curved_bars::OVAL;
    curved_rectangular_bars: reference::curved_bars::RECTANGLE;
    curved_i_bars: reference::curved_bars::I_SECTION;
    straight_round_bar: reference::straight_bars::ROUND;
    straight_oval_bar: reference::straight_bars::OVAL;
    trapezoid_hook: reference::hooks::TRAPEZOID;
    rectangle_hook: reference::hooks::RECTANGLE;
    round_link: reference::hooks::ROUND_LINK;
    thin_ring: reference::thin_ring::PROBLEM;
    pinched_disc: reference::pinched_disc::PROBLEM;
    cosine_bearing: reference::bearing_law::PROBLEM;
}

//! Published problems with their numbers and sources, run by the tests and by the binary alike.

pub mod bearing_law;
pub mod convergence;
pub mod cook_panel;
pub mod curved_bar;
pub mod curved_bars;
pub mod deep_cantilever;
pub mod elastic;
pub mod elliptic_membrane;
pub mod fibre_model;
pub mod hole_in_plate;
pub mod hole_in_strip;
pub mod hooks;
pub mod model;
pub mod patch;
pub mod pinched_disc;
pub mod pressed_ring;
pub mod problem;
pub mod shapes;
pub mod shoulder_fillet;
pub mod slender_cantilever;
pub mod straight_bars;
pub mod thick_cylinder;
pub mod thin_ring;
pub mod winkler;

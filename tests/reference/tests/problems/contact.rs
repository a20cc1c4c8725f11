//! Runs every contact problem and asks whether it meets its published numbers.

use crate::meets;

meets::problems! {
    all of reference::contact::contact();
    neat_rigid_pin: reference::neat_pin::RIGID;
    neat_elastic_pin: reference::neat_pin::ELASTIC;
    pin_with_clearance: reference::neat_pin::CLEARANCE;
    rigid_cylinder_on_block: reference::hertz::RIGID_ON_BLOCK;
    steel_cylinder_on_block: reference::hertz::ELASTIC_ON_BLOCK;
    rigid_pin_in_groove: reference::hertz::RIGID_IN_GROOVE;
    steel_pin_in_groove: reference::hertz::ELASTIC_IN_GROOVE;
    ring_over_pins: reference::pulled_ring::PINS;
    ring_in_straps: reference::pulled_ring::STRAPS;
    pinned_lug: reference::pinned_lug::PROBLEM;
}

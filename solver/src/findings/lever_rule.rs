//! The lever rule: the share at which the gate would take all bending from the spine.

use crate::response::Response;
use crate::system::System;

/// Gate fraction at which the moment at mid spine vanishes, with strap forces through the load centres and the gate's
/// force along the line of its pins. For comparison only: a real spine bends, so the gate carries less.
#[must_use]
pub fn lever_rule(system: &System, response: &Response) -> f64 {
    let about = system.outline.frame_stations[0].centroid;
    let seats = &system.outline.seats;
    let axis = response.axis;
    let [nx, ny] = seats.nose_pin.centre;
    let [hx, hy] = seats.hinge_pin.centre;
    let length = (nx - hx).hypot(ny - hy);
    // Unit force of the gate on the upper part, toward the hinge.
    let pull = [(hx - nx) / length, (hy - ny) / length];
    let moment = |at: [f64; 2], f: [f64; 2]| (at[0] - about[0]) * f[1] - (at[1] - about[1]) * f[0];
    let load = moment(axis.upper, axis.direction);
    let gate = moment([nx, ny], pull);
    let along_axis = -(pull[0] * axis.direction[0] + pull[1] * axis.direction[1]);
    -load / gate * along_axis
}

//! The gate of a pull, as what its two pins make of it: a link.
//!
//! Pins are round and press without friction, so the two forces on the gate lie on the line of their centres: it turns freely, and only its
//! stretch along that line resists. How stiff it is comes from its own mesh.

use crate::system::{Joint, Side, System};
use geometry::curve::Point;

/// A gate between its pins.
#[derive(Clone, Copy, Debug)]
pub(super) struct GateLink {
    /// Hinge pin before the pull.
    pub hinge: Point,
    /// From hinge to nose, mm.
    pub length_mm: f64,
    /// Direction from hinge to nose, rad.
    pub angle: f64,
    /// Force per stretch, N/mm.
    pub stiffness: f64,
}

/// Where a gate is: hinge pin moved along x and y (mm), turned (rad), stretched (mm).
pub(super) type Place = [f64; 4];

/// A point of the gate and its derivatives by the gate's place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Carried {
    /// Where it is.
    pub at: Point,
    /// Derivatives.
    pub by: [Point; 4],
    /// Second derivatives that are not zero: by the turn twice, by turn and stretch.
    pub second: [Point; 2],
}

impl GateLink {
    /// The gate of a system.
    pub fn new(system: &System) -> Self {
        let seats = &system.outline.seats;
        let nose = match system.disc(Joint::Nose).0 {
            Side::Gate => seats.nose_pin.centre,
            Side::Frame => seats.notch.end.centre,
        };
        let hinge = seats.hinge_pin.centre;
        let [x, y] = [nose[0] - hinge[0], nose[1] - hinge[1]];
        let length_mm = x.hypot(y);
        let mut link = Self { hinge, length_mm, angle: y.atan2(x), stiffness: 1.0 };
        link.stiffness = link.stiffness_of(system);
        link
    }

    /// Force per stretch of the meshed gate, N/mm.
    fn stiffness_of(&self, system: &System) -> f64 {
        let (sine, cosine) = self.angle.sin_cos();
        let ports =
            |side: Side, disc: u32| (side == Side::Gate).then_some([(disc, cosine), (disc + 1, sine)]);
        let (nose_side, _, nose) = system.disc(Joint::Nose);
        let pull: Vec<(u32, f64)> = match ports(*nose_side, *nose) {
            Some(pull) => pull.to_vec(),
            None => {
                // The head presses on the lip where its normal lies along the line: on all points within 60 degrees of it, by the cosine,
                // as a round seat spreads it.
                let mut rows: Vec<(u32, f64, Point)> = Vec::new();
                for (row, port) in system.rows.iter().zip(&system.row_ports) {
                    let along = row.normal[0] * cosine + row.normal[1] * sine;
                    if row.joint == Joint::Nose && along > 0.5 {
                        rows.push((*port, along, row.normal));
                    }
                }
                let total: f64 =
                    rows.iter().map(|(_, w, normal)| w * (normal[0] * cosine + normal[1] * sine)).sum();
                rows.iter().map(|(port, w, _)| (*port, w / total)).collect()
            }
        };
        let (_, _, hinge) = system.disc(Joint::Hinge);
        let ends: Vec<(u32, f64)> =
            pull.iter().copied().chain([(*hinge, -cosine), (hinge + 1, -sine)]).collect();
        let wanted: Vec<u32> = ends.iter().map(|(port, _)| *port).collect();
        let between = system.gate.compliance.between(&system.gate.factor, &wanted);
        let mut stretch = 0.0;
        for (i, (_, a)) in ends.iter().enumerate() {
            for (j, (_, b)) in ends.iter().enumerate() {
                stretch += a * b * between[i * ends.len() + j];
            }
        }
        stretch.recip()
    }

    /// A point that moves with the nose end of the gate, given where it was before the pull.
    pub fn carried(&self, place: Place, before: Point) -> Carried {
        let [x, y, turn, stretch] = place;
        let (sine, cosine) = (self.angle + turn).sin_cos();
        let along = [cosine, sine];
        let (turned_sine, turned_cosine) = turn.sin_cos();
        let from = [before[0] - self.hinge[0], before[1] - self.hinge[1]];
        let arm = [
            turned_cosine * from[0] - turned_sine * from[1] + stretch * along[0],
            turned_sine * from[0] + turned_cosine * from[1] + stretch * along[1],
        ];
        Carried {
            at: [self.hinge[0] + x + arm[0], self.hinge[1] + y + arm[1]],
            by: [[1.0, 0.0], [0.0, 1.0], [-arm[1], arm[0]], along],
            second: [[-arm[0], -arm[1]], [-along[1], along[0]]],
        }
    }

    /// The hinge pin.
    pub fn hinge_at(&self, place: Place) -> Point {
        [self.hinge[0] + place[0], self.hinge[1] + place[1]]
    }

    /// Pull in the gate, N.
    pub fn force(&self, place: Place) -> f64 {
        self.stiffness * place[3]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derivatives_are_those_of_the_place() {
        const STEP: f64 = 1e-6;
        let link = GateLink { hinge: [29.0, -20.0], length_mm: 42.77, angle: 1.6445, stiffness: 1e5 };
        let place = [0.1, -0.2, 0.3, 0.05];
        let before = [26.5, 21.9];
        let here = link.carried(place, before);
        for k in 0..4 {
            let moved = |by: f64| {
                let mut place = place;
                place[k] += by;
                link.carried(place, before)
            };
            let (low, high) = (moved(-STEP), moved(STEP));
            for axis in 0..2 {
                let slope = (high.at[axis] - low.at[axis]) / (2.0 * STEP);
                assert!((slope - here.by[k][axis]).abs() < 1e-6, "{k} {axis}");
                let second = (high.by[2][axis] - low.by[2][axis]) / (2.0 * STEP);
                let told = match k {
                    2 => here.second[0][axis],
                    3 => here.second[1][axis],
                    _ => 0.0,
                };
                assert!((second - told).abs() < 1e-6, "{k} {axis}: {second} {told}");
            }
        }
    }
}

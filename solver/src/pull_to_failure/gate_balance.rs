//! The gate's own balance: where it stands between its pins while the frame stays as it is.
//!
//! A gate that is loose, or held by one pin, wanders along surfaces that are firm within a micrometre; Newton's iterations of the whole
//! would follow it there by small steps. It has four unknowns, and all forces on it come from one energy: its lowest place nearby is found
//! first, each time the frame has moved.

use super::border::dot;
use super::face::Pressed;
use super::gate_link::{Carried, Place};
use super::joints::{At, Joints, Pressing, product};
use geometry::curve::Point;
use nalgebra::{Matrix4, Vector4};

/// Steps at most.
const MOST: usize = 200;
/// No step moves the gate by more than this along any of its four principal directions, mm (turns by what they move the nose): a
/// fraction of a pin's radius, so that none is passed through.
const FARTHEST_MM: f64 = 0.05;
/// Forces out of balance that may be left, N, and as a part of the largest of the forces.
const CLOSE_N: f64 = 1e-6;
const CLOSE: f64 = 1e-9;

/// What keeps a gate that nothing touches where it was.
#[derive(Clone, Copy, Debug)]
pub(super) struct Drag {
    /// Force per motion, N/mm.
    pub stiffness: f64,
    /// The gate's place after the last step.
    pub since: Place,
}

/// What presses on the gate: a point of a surface on a pin that the gate carries, or a point of a surface of the gate.
pub(super) struct OnGate<'p> {
    pub pressed: &'p Pressed,
    /// Pin or point.
    pub carried: Carried,
    /// Whether it is a pin.
    pub carried_pin: bool,
}

/// The gate's energy, and its derivatives by the gate's place.
pub(super) struct Own {
    energy: f64,
    /// First derivatives: N, N, N mm, N.
    pub value: [f64; 4],
    /// Second derivatives.
    pub by: [[f64; 4]; 4],
}

pub(super) fn times([xx, xy, yy]: [f64; 3], [x, y]: Point) -> Point {
    [xx * x + xy * y, xy * x + yy * y]
}

impl Joints<'_> {
    /// All that presses on the gate.
    pub fn on_gate<'p>(&self, at: &At, pressing: &'p Pressing) -> impl Iterator<Item = OnGate<'p>> {
        let place = at.gate;
        let hinge = Carried {
            at: self.link.hinge_at(place),
            by: [[1.0, 0.0], [0.0, 1.0], [0.0; 2], [0.0; 2]],
            second: [[0.0; 2]; 2],
        };
        let carried_pin = self.head.is_none();
        let nose = self.link.carried(place, self.nose_before.centre);
        let touching = self.touching(place, &at.head);
        let link = self.link;
        let of_gate = move |pressed: &Pressed, pin: Carried| {
            if carried_pin { pin } else { link.carried(place, pressed.facing.at) }
        };
        let at_hinge =
            pressing.hinge.iter().map(move |pressed| OnGate { pressed, carried: hinge, carried_pin: true });
        let at_nose = pressing.nose.iter().map(move |p| (p, nose));
        let rubbed = pressing.rubbed.iter().map(move |p| (p, touching));
        at_hinge.chain(at_nose.chain(rubbed).map(move |(pressed, pin)| OnGate {
            pressed,
            carried: of_gate(pressed, pin),
            carried_pin,
        }))
    }

    /// The gate's own equations.
    pub fn own(&self, at: &At, pressing: &Pressing, drag: &Drag) -> Own {
        let place = at.gate;
        let mut own = Own { energy: 0.0, value: [0.0; 4], by: [[0.0; 4]; 4] };
        for OnGate { pressed: p, carried, carried_pin } in self.on_gate(at, pressing) {
            own.energy += p.energy;
            // Force on a pin is that on the surface turned round; energy grows against it.
            let force = if carried_pin { p.force } else { p.force.map(|f| -f) };
            for (k, by) in carried.by.iter().enumerate() {
                if *by == [0.0; 2] {
                    continue;
                }
                own.value[k] += product(force, *by);
                let turned = times(p.by, *by);
                for (l, other) in carried.by.iter().enumerate() {
                    own.by[k][l] += product(turned, *other);
                }
            }
            // A motion that is not straight.
            own.by[2][2] += product(force, carried.second[0]);
            let mixed = product(force, carried.second[1]);
            own.by[2][3] += mixed;
            own.by[3][2] += mixed;
        }
        own.energy += 0.5 * self.link.stiffness * place[3] * place[3];
        own.value[3] += self.link.force(place);
        own.by[3][3] += self.link.stiffness;
        let scale = [1.0, 1.0, self.link.length_mm.powi(2), 0.0];
        for k in 0..4 {
            let (stiffness, moved) = (drag.stiffness * scale[k], place[k] - drag.since[k]);
            own.energy += 0.5 * stiffness * moved * moved;
            own.value[k] += stiffness * moved;
            own.by[k][k] += stiffness;
        }
        own
    }

    /// Takes the gate down to where its energy is lowest, from where it is, on a frame that stays as it is. Where that is not found in so many
    /// trials it is left where it came to: its equations are not met then, and the balance of the whole is not either.
    pub fn settle(&self, u: &[f64], at: &mut At, drag: &Drag) -> Pressing {
        if let Some(ports) = self.head {
            at.head.moved = ports.map(|port| port.displacement(u));
        }
        let length = self.link.length_mm;
        // Turns are counted as what they move the nose by.
        let unit = [1.0, 1.0, length.recip(), 1.0];
        let mut pressing = self.pressing(u, at);
        let mut own = self.own(at, &pressing, drag);
        let size = |own: &Own| (0..4).map(|k| (unit[k] * own.value[k]).abs()).fold(0.0, f64::max);
        let (mut damping, mut tried) = (0.0, 0);
        while tried < MOST && size(&own) > CLOSE_N + CLOSE * pressing.largest_n() {
            let slope = Vector4::from_fn(|k, _| unit[k] * own.value[k]);
            let bend = Matrix4::from_fn(|k, l| unit[k] * own.by[k][l] * unit[l]).symmetric_eigen();
            let lowest = bend.eigenvalues.min();
            let least = 1e-9 * bend.eigenvalues.amax();
            let along = bend.eigenvectors.transpose() * slope;
            let moved = loop {
                tried += 1;
                let shift = damping + (least - lowest).max(0.0);
                let step = Vector4::from_fn(|i, _| -along[i] / (bend.eigenvalues[i] + shift));
                let far = step.amax();
                let short = (FARTHEST_MM / far).min(1.0);
                let change = bend.eigenvectors * step * short;
                let mut trial = *at;
                for k in 0..4 {
                    trial.gate[k] += unit[k] * change[k];
                }
                let there = self.pressing(u, &trial);
                let then = self.own(&trial, &there, drag);
                let promised = -short * dot(step.as_slice(), along.as_slice())
                    - 0.5
                        * short
                        * short
                        * (0..4).map(|i| bend.eigenvalues[i] * step[i] * step[i]).sum::<f64>();
                let kept = own.energy - then.energy;
                // Close to the bottom energies no longer tell, but slopes do.
                let better =
                    kept > 1e-3 * promised || (promised < 1e-9 * own.energy && size(&then) < size(&own));
                if better {
                    damping = if kept > 0.5 * promised { 0.1 * damping } else { damping };
                    break Some((trial, there, then));
                }
                damping = (4.0 * damping).max(1e-3 * bend.eigenvalues.amax());
                if tried >= MOST {
                    break None;
                }
            };
            let Some(moved) = moved else { break };
            (*at, pressing, own) = moved;
        }
        if self.head.is_some() {
            at.head.force = pressing.on_gate[1].map(|f| -f);
        }
        pressing
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::Materials;
    use crate::response::Hold;
    use crate::system::{System, SystemSettings};
    use geometry::connector::{Connector, GatePlace, LipOn};

    #[test]
    fn a_gate_comes_to_rest_where_it_stands_clear() {
        for lip_on in [LipOn::Frame, LipOn::Gate] {
            let mut connector = Connector::example();
            connector.nose.lip_on = lip_on;
            let settings = SystemSettings { unknowns: 5000.0, ..SystemSettings::default() };
            let system =
                System::try_new(&connector, GatePlace::Shut, &Materials::example(), &settings).unwrap();
            let joints = Joints::new(&system, 0.2, Hold::Held);
            let u = vec![0.0; system.frame.body.unknowns()];
            // Pushed and turned into metal at both ends, and stretched: as a step of the frame may leave it.
            let mut at = At { gate: [0.1, 0.3, 8e-3, 0.02], ..joints.at_rest() };
            let drag = Drag { stiffness: 1.0, since: Place::default() };
            let before = joints.own(&at, &joints.pressing(&u, &at), &drag);
            assert!(before.energy > 1.0, "{lip_on:?}: nothing presses: {}", before.energy);
            let pressing = joints.settle(&u, &mut at, &drag);
            let after = joints.own(&at, &pressing, &drag);
            // It has room: what is left is the drag of a motion that never was.
            assert!(
                after.energy < 1e-9 && after.value.iter().all(|v| v.abs() < 1e-5),
                "{lip_on:?}: {:?}",
                after.value
            );
            assert!(at.gate.iter().all(|p| p.abs() < 1e-5), "{lip_on:?}: {:?}", at.gate);
            // On a frame that has grown along the gate it stays pressed, and in balance.
            let mesh = system.frame.body.mesh();
            let u: Vec<f64> = mesh.points.iter().flat_map(|p| [0.0, 0.008 * p[1]]).collect();
            let mut at = joints.at_rest();
            let pressing = joints.settle(&u, &mut at, &drag);
            let own = joints.own(&at, &pressing, &drag);
            let pull = joints.link.force(at.gate);
            assert!(pull > 1.0, "{lip_on:?}: {pull} N along the gate");
            assert!(own.value.iter().all(|v| v.abs() < 1e-4), "{lip_on:?}: {:?}", own.value);
        }
    }
}

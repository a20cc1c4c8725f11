//! The unknowns that nose and hinge bring beside the frame's displacements: where the gate is, and a head of the frame.
//!
//! All forces come from one energy, whose derivatives these are.

use super::border::{Beyond, Border, Equation, PLACES};
use super::gate_balance::{Drag, OnGate, times};
use super::joints::{At, Joints, Pressing};
use crate::system::Port;

impl Joints<'_> {
    /// A border of the joints' unknowns; [`Drag`] keeps a gate that nothing touches where it is.
    pub fn border(&self, u: &[f64], at: &At, pressing: &Pressing, drag: &Drag) -> Border {
        let size = self.unknowns();
        let mut border = Border {
            unknowns: vec![Beyond { column: vec![0.0; u.len()], moves: Vec::new() }; size],
            equations: vec![Equation { row: vec![0.0; u.len()], inner: Vec::new(), value: 0.0 }; size],
        };
        let own = self.own(at, pressing, drag);
        for (k, equation) in border.equations.iter_mut().take(4).enumerate() {
            equation.value = own.value[k];
            equation.inner.extend(own.by[k].into_iter().enumerate());
        }
        let on_frame = self.on_gate(at, pressing).filter(|on| on.carried_pin);
        for OnGate { pressed, carried, .. } in on_frame {
            for (k, by) in carried.by.iter().enumerate() {
                let turned = times(pressed.by, *by);
                for (n, w) in pressed.facing.nodes.iter().zip(pressed.facing.shape) {
                    for (axis, turned) in turned.iter().enumerate() {
                        let value = -w * turned;
                        border.unknowns[k].column[2 * *n as usize + axis] += value;
                        border.equations[k].row[2 * *n as usize + axis] += value;
                    }
                }
            }
        }
        if let Some(ports) = self.head {
            self.with_head(&mut border, u, at, pressing, ports);
        }
        border
    }

    /// A head of the frame that a face of the gate presses on.
    fn with_head(&self, border: &mut Border, u: &[f64], at: &At, pressing: &Pressing, ports: [&Port; 2]) {
        let head = at.head;
        for OnGate { pressed: p, carried, .. } in self.on_gate(at, pressing).filter(|on| !on.carried_pin) {
            for (k, by) in carried.by.iter().enumerate() {
                for (axis, turned) in times(p.by, *by).iter().enumerate() {
                    border.equations[k].inner.push((4 + axis, -turned));
                    border.equations[4 + axis].inner.push((k, -turned));
                }
            }
            for axis in 0..2 {
                border.equations[4 + axis].value += p.force[axis];
            }
            let [xx, xy, yy] = p.by;
            for (i, j, value) in [(4, 4, xx), (4, 5, xy), (5, 4, xy), (5, 5, yy)] {
                border.equations[i].inner.push((j, value));
            }
        }
        for (axis, port) in ports.into_iter().enumerate() {
            // Force on the head from the notch goes on into the frame.
            border.equations[4 + axis].value += head.force[axis];
            border.equations[4 + axis].inner.push((6 + axis, 1.0));
            // The head is where its disc is.
            border.equations[6 + axis].value = PLACES * (head.moved[axis] - port.displacement(u));
            border.equations[6 + axis].inner.push((4 + axis, PLACES));
            for (unknown, weight) in port.entries() {
                border.equations[6 + axis].row[unknown as usize] -= PLACES * weight;
                border.unknowns[6 + axis].column[unknown as usize] -= weight;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::Materials;
    use crate::pull_to_failure::gate_link::Place;
    use crate::response::Hold;
    use crate::system::System;
    use crate::system::SystemSettings;
    use geometry::connector::{Connector, GatePlace, LipOn};

    /// Values of the equations, their derivatives by the border's unknowns, and by the displacements.
    fn equations(joints: &Joints<'_>, u: &[f64], at: &At) -> (Vec<f64>, Vec<Vec<f64>>, Vec<Vec<f64>>) {
        let pressing = joints.pressing(u, at);
        let border = joints.border(u, at, &pressing, &Drag { stiffness: 1.0, since: Place::default() });
        let size = border.equations.len();
        let inner = border.equations.iter().map(|e| {
            let mut row = vec![0.0; size];
            e.inner.iter().for_each(|(j, value)| row[*j] += value);
            row
        });
        (
            border.equations.iter().map(|e| e.value).collect(),
            inner.collect(),
            border.equations.iter().map(|e| e.row.clone()).collect(),
        )
    }

    fn shifted(at: &At, unknown: usize, by: f64) -> At {
        let mut at = *at;
        let At { gate, head, .. } = &mut at;
        let all = gate.iter_mut().chain(&mut head.moved).chain(&mut head.force);
        if let Some(value) = all.into_iter().nth(unknown) {
            *value += by;
        }
        at
    }

    #[test]
    fn the_border_holds_the_derivatives_of_its_equations() {
        const STEP: f64 = 1e-7;
        for lip_on in [LipOn::Frame, LipOn::Gate] {
            let mut connector = Connector::example();
            connector.nose.lip_on = lip_on;
            let settings = SystemSettings { unknowns: 5000.0, ..SystemSettings::default() };
            let system =
                System::try_new(&connector, GatePlace::Shut, &Materials::example(), &settings).unwrap();
            let joints = Joints::new(&system, 0.2, Hold::Held);
            let mut u = vec![0.0; system.frame.body.unknowns()];
            u.iter_mut().enumerate().for_each(|(n, u)| *u = 1e-3 * (0.37 * n as f64).sin());
            // Both pins pressed, the nose pin rubbing.
            let sign = if lip_on == LipOn::Frame { -1.0 } else { 1.0 };
            let at = At {
                gate: [0.01, 0.06, 2e-4, sign * 0.01 - 0.22],
                pressed_n: 2000.0,
                anchor_mm: joints.at_rest().anchor_mm - 1e-3,
                ..At::default()
            };
            let (_, inner, rows) = equations(&joints, &u, &at);
            let most = |row: &[f64]| row.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
            assert!(most(&inner[1]) > 1e4 && most(&inner[2]) > 1e5, "{lip_on:?}: nothing presses: {inner:?}");
            let size = joints.unknowns();
            for l in 0..size {
                let [low, high] = [-STEP, STEP].map(|by| equations(&joints, &u, &shifted(&at, l, by)).0);
                for k in 0..size {
                    let slope = (high[k] - low[k]) / (2.0 * STEP);
                    assert!(
                        (slope - inner[k][l]).abs() < 1e-3 * most(&inner[k]).max(1.0),
                        "{lip_on:?}, equation {k} by {l}: {slope} and {}",
                        inner[k][l]
                    );
                }
            }
            for (k, row) in rows.iter().enumerate() {
                let largest = (0..u.len()).max_by(|a, b| row[*a].abs().total_cmp(&row[*b].abs())).unwrap();
                if row[largest] == 0.0 {
                    continue;
                }
                let moved = |by: f64| {
                    let mut u = u.clone();
                    u[largest] += by;
                    equations(&joints, &u, &at).0[k]
                };
                let slope = (moved(STEP) - moved(-STEP)) / (2.0 * STEP);
                assert!(
                    (slope / row[largest] - 1.0).abs() < 2e-3,
                    "{lip_on:?}, equation {k} by displacement {largest}: {slope} and {}",
                    row[largest]
                );
            }
        }
    }
}

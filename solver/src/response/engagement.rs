//! The load at which the gate first carries.

use super::extent::Extent;
use super::unknowns::{Unknown, row_unknown, stick_unknown};
use super::{Hold, Pull, RigError, SETTLED_MM, hold};
use crate::contact::engagement::engagement;
use crate::rig::{GateState, Loader, Rig};
use crate::system::{Joint, System};

impl System {
    /// True when the pin of one joint at least has room all around.
    fn has_clearance(&self) -> bool {
        [Joint::Nose, Joint::Hinge].into_iter().any(|joint| {
            (0..self.rows.len())
                .filter(|i| self.rows[*i].joint == joint)
                .filter_map(|i| row_unknown(self, i))
                .all(|unknown| unknown.gap > 0.0)
        })
    }

    /// The load at which the gate first carries, kN: the largest at which some rigid motion of the gate keeps every gap
    /// open on the open-gate response. `None` when it never does.
    ///
    /// # Errors
    /// [`RigError`].
    pub fn gate_engages_at_kn(&self, rig: &Rig) -> Result<Option<f64>, RigError> {
        self.check_rig(rig)?;
        let hold = hold(self, rig.gate, rig.friction);
        if !hold.holds() {
            return Ok(None);
        }
        let proportional = matches!((rig.upper, rig.lower), (Loader::Strap { .. }, Loader::Strap { .. }));
        let mut load = if proportional { rig.load_kn } else { 1.0 };
        let mut found = None;
        for _ in 0..if proportional { 1 } else { 6 } {
            let open = Rig { load_kn: load, gate: GateState::Open, ..*rig };
            let response = Pull::held(self, &open, Hold::Open)?.solve(load, Extent::Whole)?;
            let mut gaps = Vec::new();
            let mut opening = Vec::new();
            let mut rigid = Vec::new();
            let ports = self.frame.compliance.ports();
            let mut rows: Vec<_> = (0..self.rows.len()).filter_map(|i| row_unknown(self, i)).collect();
            if hold.sticks() {
                // Sticking: the relative motion is neither positive nor negative.
                if let Some(unknown) = stick_unknown(self) {
                    let turned = Unknown {
                        frame: unknown.frame.iter().map(|(p, w)| (*p, -w)).collect(),
                        on_gate: unknown.on_gate.map(|f| -f),
                        ..unknown.clone()
                    };
                    rows.extend([unknown, turned]);
                }
            }
            for unknown in rows {
                let displacement: f64 = unknown
                    .frame
                    .iter()
                    .map(|(port, w)| w * ports[*port as usize].displacement(&response.frame_u))
                    .sum();
                let ([fx, fy], [x, y]) = (unknown.on_gate, unknown.at);
                gaps.push(unknown.gap);
                opening.push(displacement / load);
                rigid.push([-fx, -fy, -(x * fy - y * fx)]);
            }
            // Where there is clearance at all, a neat joint that pinches its pin by less than a micrometre as the frame deforms
            // does not make the gate carry.
            if self.has_clearance() {
                gaps.iter_mut().for_each(|gap| *gap = gap.max(SETTLED_MM));
            }
            found = engagement(&gaps, &opening, &rigid).map_err(RigError::Engagement)?;
            match found {
                Some(f) if f > 1e-6 && (f / load - 1.0).abs() > 1e-3 => load = f,
                _ => break,
            }
        }
        Ok(found)
    }
}

//! The loads at which a pull can end: parts of the gate line, riding out, the opening of the frame, the straps.
//!
//! The same numbers as in [`limits`](crate::strength::limits), without what ends no pull. Strengths do not enter the
//! elastic solution: one load path serves every set of strengths.

use crate::response::{Hold, Pull, RigError, hold};
use crate::rig::{GateState, Rig};
use crate::strength::{
    Capacity, Ends, FailureMode, FrameStatics, LimitKind, LoadPath, Strengths, cuts_under, ending, gate_line,
    gate_line_force_n, gate_parts, load_parts, open_load_parts, riding_out, strap_limits,
};
use crate::system::System;

/// A part and the load that ends a pull there.
#[derive(Clone, Debug, PartialEq)]
pub struct Ending {
    /// The part.
    pub what: FailureMode,
    /// How its limit shows: breaks, opens, slips or strap.
    pub kind: LimitKind,
    /// The load, kN; absent when no load brings it there.
    pub at_kn: Option<f64>,
}

/// All loads at which a pull can end.
#[derive(Clone, Debug, PartialEq)]
pub struct Endings {
    /// The parts.
    pub parts: Vec<Ending>,
    /// What the hook holds once the gate no longer carries, kN.
    pub open_hook_kn: f64,
}

impl Endings {
    /// The same with every load so many times as high.
    #[must_use]
    pub fn times(&self, by: f64) -> Self {
        let part = |part: &Ending| Ending { at_kn: part.at_kn.map(|kn| by * kn), ..part.clone() };
        Self { parts: self.parts.iter().map(part).collect(), open_hook_kn: by * self.open_hook_kn }
    }
}

/// What parts and frame hold, before any load path.
#[derive(Clone, Debug, PartialEq)]
pub struct Capacities {
    /// Parts of the gate line that break; empty when the gate takes no part.
    parts: Vec<Capacity>,
    opens_kn: f64,
    open_hook_kn: f64,
}

impl Capacities {
    /// What the parts of a system hold under a rig.
    ///
    /// # Errors
    /// [`RigError`]: a rig that does not fit, or that no forces balance.
    pub fn of(system: &System, strengths: &Strengths, rig: &Rig) -> Result<Self, RigError> {
        let holds = hold(system, rig.gate, rig.friction).holds();
        let mut parts = match holds {
            true => gate_line(system, strengths, rig.friction),
            false => Vec::new(),
        };
        parts.retain(|p| p.kind == LimitKind::Breaks);
        let cuts = &*cuts_under(system, rig);
        let flow = strengths.frame_flow_mpa();
        let limit_kn = |load: Vec<[f64; 2]>, capacity_n: f64| {
            let statics = FrameStatics {
                sections: cuts.iter().map(|c| &c.limit).collect(),
                load,
                gate: gate_parts(system, cuts),
            };
            1e-3 * statics.limit(capacity_n, flow).load_n
        };
        let open_hook_kn = limit_kn(open_load_parts(system, rig, cuts)?, 0.0);
        let opens_kn = match holds {
            true => limit_kn(load_parts(system, rig, cuts), gate_line_force_n(&parts)),
            false => open_hook_kn,
        };
        Ok(Self { opens_kn, open_hook_kn, parts })
    }
}

/// The loads that end a pull, for every set of capacities, on one load path. The first set says how far the path is solved.
///
/// # Errors
/// [`RigError`]: a rig that does not fit, or that no forces balance.
pub fn endings(system: &System, rig: &Rig, sets: &[Capacities]) -> Result<Vec<Endings>, RigError> {
    let mut pull = Pull::new(system, rig)?;
    let held = pull.hold();
    let mut path = match sets.first() {
        Some(first) if held.holds() => Some(LoadPath::new(&mut pull, first.opens_kn)?),
        _ => None,
    };
    sets.iter()
        .map(|set| {
            let mut parts = Vec::new();
            if let Some(path) = &mut path {
                for part in &set.parts {
                    parts.push(Ending {
                        what: part.what,
                        kind: part.kind,
                        at_kn: path.load_at(part.force_n, &|s| s.nose_n)?,
                    });
                }
            }
            if rig.gate != GateState::Open {
                let at_kn = match (held, &mut path) {
                    (_, Some(path)) => riding_out(system, rig.friction, path, set.opens_kn)?.leaves_at_kn,
                    (Hold::NotHeld(_), None) => Some(0.0),
                    (_, None) => None,
                };
                let what = FailureMode::RidesOut;
                parts.push(Ending { what, kind: LimitKind::Slips, at_kn });
            }
            let what = FailureMode::FrameOpens;
            parts.push(Ending { what, kind: LimitKind::Opens, at_kn: Some(set.opens_kn) });
            parts.extend(strap_limits(rig).into_iter().map(|(end, strength, _)| Ending {
                what: FailureMode::Strap(end),
                kind: LimitKind::Strap,
                at_kn: Some(strength),
            }));
            Ok(Endings { parts, open_hook_kn: set.open_hook_kn })
        })
        .collect()
}

/// What fails first among parts given by kind and load: its place, the highest load of the pull in kN, and how it ends.
/// Parts that no load brings to their limit have an infinite load.
pub(super) fn decide(parts: &[(LimitKind, f64)], open_hook_kn: f64) -> Option<(usize, f64, Ends)> {
    let mut first: Option<usize> = None;
    for (i, part) in parts.iter().enumerate() {
        if part.1.is_finite() && first.is_none_or(|f| part.1 < parts[f].1) {
            first = Some(i);
        }
    }
    let straps = parts.iter().filter(|p| p.0 == LimitKind::Strap);
    let strap_kn = straps.map(|p| p.1).fold(f64::INFINITY, f64::min);
    first.map(|i| {
        let (peak_kn, ends) = ending(parts[i].0, parts[i].1, open_hook_kn, strap_kn);
        (i, peak_kn, ends)
    })
}

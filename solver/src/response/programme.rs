//! The small convex problem of a loaded connector: compliance between all unknown forces, balance of both bodies.

use super::unknowns::{Source, Unknown};
use super::{Motion, RigError};
use crate::contact::quadratic::{Params, Prepared};
use crate::system::{Part, System};
use geometry::curve::Point;

/// The solved forces.
pub(super) struct Forces {
    pub forces: Vec<f64>,
    pub frame: Motion,
    pub gate: Motion,
    pub optimality: f64,
}

/// Compliance of all unknowns and the equilibrium rows, ready for any gaps and load.
#[derive(Debug)]
pub(super) struct Assembled {
    programme: Prepared,
    kinds: Vec<Balance>,
    moment_scale: f64,
}

/// Where a solve begins.
#[derive(Clone, Copy, Debug)]
pub(super) enum Start<'s> {
    /// Which forces were zero in a similar problem.
    Zero(&'s [bool]),
    /// Which forces are likely to act.
    Likely(&'s [bool]),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Balance {
    FrameX,
    FrameY,
    FrameTurn,
    GateX,
    GateY,
    GateTurn,
    Load,
}

impl Assembled {
    pub fn try_new(system: &System, unknowns: &[Unknown]) -> Result<Self, RigError> {
        let n = unknowns.len();
        let mut hessian = vec![0.0; n * n];
        add_compliance(&system.frame, unknowns, |u| &u.frame, &mut hessian);
        add_compliance(&system.gate, unknowns, |u| &u.gate, &mut hessian);
        for (i, unknown) in unknowns.iter().enumerate() {
            hessian[i * n + i] += unknown.soft;
        }
        let has = |f: &dyn Fn(Source) -> bool| unknowns.iter().any(|u| f(u.source));
        let mut kinds = Vec::new();
        if has(&|s| matches!(s, Source::Row(_))) {
            kinds.extend([Balance::GateX, Balance::GateY, Balance::GateTurn]);
        }
        // With straps at both ends sideways balance of the frame follows from the rest.
        if has(&|s| matches!(s, Source::Bar(_))) {
            kinds.push(Balance::FrameX);
        }
        kinds.extend([Balance::FrameY, Balance::FrameTurn, Balance::Load]);
        let moment_scale = 2.0 / system.connector.window.inside_length_mm;
        let mut rows = Vec::with_capacity(kinds.len() * n);
        for kind in &kinds {
            rows.extend(unknowns.iter().map(|u| {
                let turn = |f: Point| moment_scale * (u.at[0] * f[1] - u.at[1] * f[0]);
                match kind {
                    Balance::FrameX => u.on_frame[0],
                    Balance::FrameY => u.on_frame[1],
                    Balance::FrameTurn => turn(u.on_frame),
                    Balance::GateX => u.on_gate[0],
                    Balance::GateY => u.on_gate[1],
                    Balance::GateTurn => turn(u.on_gate),
                    Balance::Load => u.toward_load,
                }
            }));
        }
        let one_sided: Vec<bool> = unknowns.iter().map(|u| u.one_sided).collect();
        let programme = Prepared::try_new(&hessian, &rows, &one_sided).map_err(RigError::NoBalance)?;
        Ok(Self { programme, kinds, moment_scale })
    }

    /// Where to begin: with the forces that were zero in a similar problem, or with those that are likely to act.
    pub fn solve(&mut self, gaps: &[f64], load_n: f64, start: Start<'_>) -> Result<Forces, RigError> {
        let right: Vec<f64> =
            self.kinds.iter().map(|k| if *k == Balance::Load { load_n } else { 0.0 }).collect();
        let params = Params::default();
        let solution = match start {
            Start::Zero(zero) => self.programme.solve(gaps, &right, &params, zero),
            Start::Likely(likely) => self.programme.solve_from_likely(gaps, &right, &params, likely),
        }
        .map_err(RigError::NoBalance)?;
        let (mut frame, mut gate) = (Motion::default(), Motion::default());
        for (kind, multiplier) in self.kinds.iter().zip(&solution.multipliers) {
            // Gap = compliance . force + gap before - rows' . multiplier: the multipliers are the motions, turned round.
            match kind {
                Balance::FrameX => frame.x = -multiplier,
                Balance::FrameY => frame.y = -multiplier,
                Balance::FrameTurn => frame.turn = -multiplier * self.moment_scale,
                Balance::GateX => gate.x = -multiplier,
                Balance::GateY => gate.y = -multiplier,
                Balance::GateTurn => gate.turn = -multiplier * self.moment_scale,
                Balance::Load => {}
            }
        }
        Ok(Forces { forces: solution.x, frame, gate, optimality: solution.info.optimality })
    }
}

/// Adds the compliance of one body between the unknowns to `hessian`.
fn add_compliance(
    part: &Part,
    unknowns: &[Unknown],
    pattern: impl Fn(&Unknown) -> &Vec<(u32, f64)>,
    hessian: &mut [f64],
) {
    let mut wanted: Vec<u32> = unknowns.iter().flat_map(|u| pattern(u).iter().map(|p| p.0)).collect();
    wanted.sort_unstable();
    wanted.dedup();
    if wanted.is_empty() {
        return;
    }
    let mut index = vec![0usize; part.compliance.ports().len()];
    for (i, port) in wanted.iter().enumerate() {
        index[*port as usize] = i;
    }
    let compliance = part.compliance.between(&part.factor, &wanted);
    let (n, m) = (unknowns.len(), wanted.len());
    let mut column = vec![0.0; m];
    for (j, unknown) in unknowns.iter().enumerate() {
        if pattern(unknown).is_empty() {
            continue;
        }
        column.fill(0.0);
        for (port, value) in pattern(unknown) {
            let row = &compliance[index[*port as usize] * m..][..m];
            for (c, r) in column.iter_mut().zip(row) {
                *c += value * r;
            }
        }
        for (i, other) in unknowns.iter().enumerate().take(j + 1) {
            let value: f64 = pattern(other).iter().map(|(p, v)| v * column[index[*p as usize]]).sum();
            hessian[i * n + j] += value;
            if i != j {
                hessian[j * n + i] += value;
            }
        }
    }
}

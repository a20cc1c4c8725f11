//! The cheap response: every part's load at any draw, from a few full solves.
//!
//! ln(load) = ln(load as it is) + the sum over the unknowns of a parabola through low end, middle and high end. An unknown
//! whose middle is one of its ends gives a straight line; one that is a choice between formulas, with the middle between two
//! others, gives two.
//!
//! Two unknowns whose ranges are too wide for that may be given as a [`Grid`] of full solves instead.
//!
//! A part that some end does not have (a pin that is no longer held), or that gives without load there, has no logarithm
//! to go through: it then keeps what it is in the middle half of the range and takes what it is at the end beyond. Of
//! several such jumps the largest each way counts.

use super::endings::{Endings, decide};
use super::grid::{Grid, Rates};
use super::law::Law;
use super::philox::Counter;
use crate::strength::{Ends, FailureMode, LimitKind, ending};

/// Loads that no pull reaches, and loads that are none, kN: they stand for absent and for zero.
const BOUNDS_KN: [f64; 2] = [1e-6, 1e6];

/// One unknown: its law, and the endings at both ends of its range.
#[derive(Clone, Debug)]
pub struct Arm {
    /// How it is spread. Its ends are where it was solved.
    pub law: Law,
    /// The value at which the connector is solved as it is.
    pub middle: f64,
    /// Endings at the low end; absent when the middle is the low end.
    pub low: Option<Endings>,
    /// Endings at the high end; absent when the middle is the high end.
    pub high: Option<Endings>,
    /// Whether ln(load) runs straight from the middle to either end, with a kink between.
    pub kinked: bool,
}

/// What one unknown does to one load.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Shift {
    /// ln(load) changes by a parabola through (low, first), (middle, 0), (high, second), or by two straight lines.
    Smooth([f64; 2]),
    /// ln(load) jumps halfway.
    Jump([f64; 2]),
}

#[derive(Clone, Debug)]
struct Unknown {
    law: Law,
    middle: f64,
    kinked: bool,
    /// For every part, then for the open hook.
    shifts: Vec<Shift>,
}

/// The response of all endings to all unknowns.
#[derive(Clone, Debug)]
pub struct Response {
    names: Vec<FailureMode>,
    kinds: Vec<LimitKind>,
    /// ln of the loads as they are: parts, then the open hook.
    base: Vec<f64>,
    unknowns: Vec<Unknown>,
    grid: Option<Rates>,
    together: Option<Together>,
}

/// Unknowns that are drawn together, each draw one of a list.
#[derive(Clone, Debug)]
struct Together {
    /// The first of them: they follow each other.
    from: usize,
    draws: Vec<Vec<f64>>,
}

/// What some unknowns do to the loads of every part and, last, of the open hook: sums of logarithms, and the largest jumps each way.
#[derive(Clone, Debug, PartialEq)]
pub struct Sum {
    ln: Vec<f64>,
    jumps: Vec<[f64; 2]>,
}

impl Sum {
    /// One that does nothing, as long as another.
    #[must_use]
    pub fn nothing(&self) -> Self {
        Self { ln: vec![0.0; self.ln.len()], jumps: vec![[0.0; 2]; self.jumps.len()] }
    }
}

/// A pull at one draw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pull {
    /// Index of the part that fails first.
    pub first: usize,
    /// Highest load of the pull, kN.
    pub peak_kn: f64,
    /// How it ends.
    pub ends: Ends,
}

fn logarithm(kn: Option<f64>) -> f64 {
    kn.unwrap_or(f64::INFINITY).clamp(BOUNDS_KN[0], BOUNDS_KN[1]).ln()
}

/// The load of a logarithm with jumps each way, kN.
fn load_kn(ln: f64, [down, up]: [f64; 2]) -> f64 {
    let limit = BOUNDS_KN[1].ln() - 1.0;
    match ln + down + up {
        ln if ln >= limit => f64::INFINITY,
        ln if ln <= -limit => 0.0,
        ln => ln.exp(),
    }
}

fn is_bound(ln: f64) -> bool {
    BOUNDS_KN.iter().any(|b| b.ln() == ln)
}

impl Response {
    /// The response around the endings as they are.
    #[must_use]
    pub fn new(nominal: &Endings, arms: Vec<Arm>) -> Self {
        let mut names: Vec<FailureMode> = Vec::new();
        let mut kinds = Vec::new();
        let ends = arms.iter().flat_map(|a| [&a.low, &a.high]).flatten();
        for part in std::iter::once(nominal).chain(ends).flat_map(|e| &e.parts) {
            if !names.contains(&part.what) {
                names.push(part.what);
                kinds.push(part.kind);
            }
        }
        let loads = |at: &Endings| -> Vec<f64> {
            let part = |name: &FailureMode| at.parts.iter().find(|p| p.what == *name).and_then(|p| p.at_kn);
            let hook = logarithm(Some(at.open_hook_kn));
            names.iter().map(|name| logarithm(part(name))).chain([hook]).collect()
        };
        let base = loads(nominal);
        let unknowns = arms
            .into_iter()
            .map(|arm| {
                let [low, high] =
                    [&arm.low, &arm.high].map(|end| end.as_ref().map_or_else(|| base.clone(), &loads));
                let shifts = base
                    .iter()
                    .zip(low.iter().zip(&high))
                    .map(|(base, (low, high))| {
                        let by = [low - base, high - base];
                        let all = [*base, *low, *high];
                        let constant = by == [0.0, 0.0];
                        if !constant && all.into_iter().any(is_bound) {
                            Shift::Jump(by)
                        } else {
                            Shift::Smooth(by)
                        }
                    })
                    .collect();
                Unknown { law: arm.law, middle: arm.middle, kinked: arm.kinked, shifts }
            })
            .collect();
        Self { names, kinds, base, unknowns, grid: None, together: None }
    }

    /// The same with what two of its unknowns do taken from a grid of full solves, everything else being at its middle. Parts
    /// that only a node of the grid has are left out.
    #[must_use]
    pub fn with_grid(mut self, grid: Grid) -> Self {
        self.grid = Some(Rates::new(grid, &self.names));
        self
    }

    /// The same with its last unknowns drawn together: each draw takes one of these at random. Values beyond the ends of an unknown's
    /// law are those ends.
    #[must_use]
    pub fn with_last_together(mut self, draws: Vec<Vec<f64>>) -> Self {
        let Some(count) = draws.first().map(Vec::len) else { return self };
        self.together = Some(Together { from: self.unknowns.len().saturating_sub(count), draws });
        self
    }

    /// The parts, in the order of their loads.
    #[must_use]
    pub fn names(&self) -> &[FailureMode] {
        &self.names
    }

    /// Names of the parts and how they give, in the order of [`Response::loads_kn`].
    pub fn parts(&self) -> impl Iterator<Item = (FailureMode, LimitKind)> {
        self.names.iter().copied().zip(self.kinds.iter().copied())
    }

    /// The values of all unknowns at a draw: the same for the same seed, whoever asks.
    #[must_use]
    #[expect(clippy::cast_possible_truncation, reason = "a model has far fewer keys than 2^32")]
    pub fn draw(&self, draw: u32, seed: u64) -> Vec<f64> {
        let counter = Counter::new(seed);
        let mut values: Vec<f64> =
            (0..self.unknowns()).map(|i| self.value(i, counter.even(draw, i as u32))).collect();
        if let Some(Together { from, draws }) = &self.together {
            let part = counter.even(draw, self.unknowns() as u32);
            #[expect(clippy::cast_sign_loss, reason = "above zero")]
            let chosen = &draws[((part * draws.len() as f64) as usize).min(draws.len() - 1)];
            for ((value, unknown), drawn) in
                values[*from..].iter_mut().zip(&self.unknowns[*from..]).zip(chosen)
            {
                let [low, high] = unknown.law.ends();
                *value = drawn.clamp(low, high);
            }
        }
        values
    }

    /// The first of those that are drawn together.
    #[must_use]
    pub fn together_from(&self) -> Option<usize> {
        self.together.as_ref().map(|together| together.from)
    }

    /// Number of unknowns.
    #[must_use]
    pub fn unknowns(&self) -> usize {
        self.unknowns.len()
    }

    /// The value of an unknown at a chance of 0 to 1.
    pub(super) fn value(&self, unknown: usize, chance: f64) -> f64 {
        self.unknowns[unknown].law.value(chance)
    }

    /// The middles of all unknowns.
    #[must_use]
    pub fn middles(&self) -> Vec<f64> {
        self.unknowns.iter().map(|u| u.middle).collect()
    }

    /// Loads in kN at given values of the unknowns: every part, then the open hook. Infinite where a part has none.
    #[must_use]
    pub fn loads_kn(&self, values: &[f64]) -> Vec<f64> {
        let mut sum = self.nominal();
        self.add(&mut sum, values, |_| true);
        sum.ln.iter().zip(&sum.jumps).map(|(ln, jumps)| load_kn(*ln, *jumps)).collect()
    }

    /// The loads as they are.
    #[must_use]
    pub fn nominal(&self) -> Sum {
        Sum { ln: self.base.clone(), jumps: vec![[0.0; 2]; self.base.len()] }
    }

    /// Adds to a sum what those unknowns do that are asked for. What stands on a grid takes the place of the loads as they are, so it
    /// comes first, and both of its unknowns together.
    pub fn add(&self, sum: &mut Sum, values: &[f64], of: impl Fn(usize) -> bool) {
        let on_grid = self.grid.as_ref().map_or([usize::MAX; 2], |grid| grid.unknowns);
        if let Some(grid) = self.grid.as_ref().filter(|grid| of(grid.unknowns[0])) {
            let at = grid.unknowns.map(|unknown| values[unknown]);
            for (sum, ln) in sum.ln.iter_mut().zip(grid.logarithms(at)) {
                *sum = ln;
            }
        }
        for (index, (unknown, value)) in self.unknowns.iter().zip(values).enumerate() {
            if on_grid.contains(&index) || !of(index) {
                continue;
            }
            let [low, high] = unknown.law.ends();
            let way = Way::new([low, unknown.middle, high], *value, unknown.kinked);
            for ((sum, jump), shift) in sum.ln.iter_mut().zip(&mut sum.jumps).zip(&unknown.shifts) {
                match *shift {
                    Shift::Smooth(by) => *sum += way.smooth(by),
                    Shift::Jump(by) => {
                        let by = way.jump(by);
                        *jump = [jump[0].min(by), jump[1].max(by)];
                    }
                }
            }
        }
    }

    /// What the connector itself does where two sums come together, the second one of shifts alone: the part that fails first and the
    /// logarithm of the highest load in kN, straps taken as strong. None where nothing ends the pull.
    #[must_use]
    pub fn own_end(&self, sum: &Sum, shifts: &Sum) -> Option<(usize, f64)> {
        let ln = |part: usize| {
            let [a, b] = [sum.jumps[part], shifts.jumps[part]];
            sum.ln[part] + shifts.ln[part] + a[0].min(b[0]) + a[1].max(b[1])
        };
        let mut first = (usize::MAX, BOUNDS_KN[1].ln() - 1.0);
        for (part, kind) in self.kinds.iter().enumerate() {
            if *kind == LimitKind::Strap {
                continue;
            }
            let ln = ln(part);
            if ln < first.1 {
                first = (part, ln);
            }
        }
        let (part, fails_at) = first;
        let kind = *self.kinds.get(part)?;
        // Which load is the highest shows in their logarithms as well.
        Some((part, ending(kind, fails_at, ln(self.names.len()), f64::INFINITY).0))
    }

    /// What fails first at given values of the unknowns.
    #[must_use]
    pub fn pull(&self, values: &[f64]) -> Pull {
        let loads = self.loads_kn(values);
        let parts: Vec<(LimitKind, f64)> = self.kinds.iter().copied().zip(loads.iter().copied()).collect();
        let hook = loads.last().copied().unwrap_or(0.0);
        match decide(&parts, hook) {
            Some((first, peak_kn, ends)) => Pull { first, peak_kn, ends },
            // The frame always opens at some load.
            None => Pull { first: 0, peak_kn: hook, ends: Ends::Opens },
        }
    }
}

/// Where a value lies between low, middle and high.
struct Way {
    /// Weights of low and high end in the parabola (or lines).
    weights: [f64; 2],
    /// Whether it is nearer to the low or the high end than to the middle.
    beyond: [bool; 2],
}

impl Way {
    fn new([low, middle, high]: [f64; 3], value: f64, kinked: bool) -> Self {
        let x = value - middle;
        let (a, b) = (low - middle, high - middle);
        let weights = match (a < 0.0, b > 0.0) {
            (true, true) if kinked => [(x / a).max(0.0), (x / b).max(0.0)],
            (true, true) => [x * (x - b) / (a * (a - b)), x * (x - a) / (b * (b - a))],
            (true, false) => [x / a, 0.0],
            (false, true) => [0.0, x / b],
            (false, false) => [0.0, 0.0],
        };
        Self { weights, beyond: [a < 0.0 && x < 0.5 * a, b > 0.0 && x > 0.5 * b] }
    }

    fn smooth(&self, by: [f64; 2]) -> f64 {
        self.weights[0] * by[0] + self.weights[1] * by[1]
    }

    fn jump(&self, by: [f64; 2]) -> f64 {
        match self.beyond {
            [true, _] => by[0],
            [_, true] => by[1],
            _ => 0.0,
        }
    }
}

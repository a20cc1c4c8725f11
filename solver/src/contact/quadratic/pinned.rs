//! Equilibrium with some variables pinned at zero, and guessing which ones from its signs.

use std::sync::Arc;

use faer::linalg::solvers::{Llt, Solve};
use faer::{Mat, Side};

use super::{Factors, Patience, Point, Scaled, Shape, add_scaled, dot, factor};

/// Violation below which a point is as good as rounding allows and no further set is tried.
const EXACT: f64 = 1e-12;

/// A wrong sign beyond this is no rounding: the set is wrong, and its point is not worth refining.
const CLEARLY_WRONG: f64 = 1e-6;

/// Passes of refinement; the second matters when the free block's condition passes 1e8.
const REFINEMENTS: usize = 2;

/// Solves with `set` pinned at zero, moves every variable with a wrong sign to the other side, and repeats.
///
/// Returns the best point met, if any set could be solved, and the number of factors. `set` ends as the last set tried.
pub(super) fn settle(
    scaled: &Scaled,
    factors: &mut Factors<'_>,
    set: &mut Vec<bool>,
    rounds: usize,
    patience: Patience,
) -> (Option<Point>, usize) {
    let mut best: Option<Point> = None;
    let mut seen: Vec<Vec<bool>> = Vec::new();
    for round in 0..rounds {
        let Some((point, next)) = try_set(scaled, factors, set) else {
            return (best, round + 1);
        };
        let optimality = point.optimality;
        if best.as_ref().is_none_or(|b| optimality < b.optimality) {
            best = Some(point);
        }
        if optimality <= EXACT || next == *set || (patience == Patience::WhileNew && seen.contains(&next)) {
            return (best, round + 1);
        }
        seen.push(std::mem::replace(set, next));
    }
    (best, rounds)
}

/// The point in equilibrium with `set` pinned, and the set that its signs suggest.
fn try_set(scaled: &Scaled, factors: &mut Factors<'_>, set: &[bool]) -> Option<(Point, Vec<bool>)> {
    let shape = scaled.shape;
    let equilibrium = factors.equilibrium(shape, set)?;
    let free = &equilibrium.free;
    let mut x = vec![0.0; shape.n];
    let mut multipliers = vec![0.0; shape.m];
    let mut pass = 0;
    loop {
        let residual = Residual::of(scaled, free, &x, &multipliers);
        if pass > 0 {
            let judged = residual.judge(scaled, set, &x)?;
            if pass > REFINEMENTS || judged.wrong_sign > CLEARLY_WRONG {
                let Judged { x, slack, optimality, next, .. } = judged;
                return Some((Point { x, multipliers, slack, optimality }, next));
            }
        }
        let force = free.iter().map(|&i| -residual.slack[i]).collect();
        let (dx, dy) = equilibrium.correct(force, residual.lack);
        for (&i, change) in free.iter().zip(&dx) {
            x[i] += change;
        }
        add_scaled(&mut multipliers, 1.0, &dy);
        pass += 1;
    }
}

/// What a point leaves over.
struct Residual {
    /// `Hx + g - A'y`.
    slack: Vec<f64>,
    /// `b - Ax`.
    lack: Vec<f64>,
}

/// A point with its signs put right, and how wrong they were.
struct Judged {
    x: Vec<f64>,
    slack: Vec<f64>,
    wrong_sign: f64,
    optimality: f64,
    next: Vec<bool>,
}

impl Residual {
    fn of(scaled: &Scaled, free: &[usize], x: &[f64], multipliers: &[f64]) -> Self {
        let mut slack = scaled.gradient.clone();
        for &i in free {
            if x[i] != 0.0 {
                add_scaled(&mut slack, x[i], scaled.shape.column(i));
            }
        }
        let mut lack = scaled.right.clone();
        for (r, y) in multipliers.iter().enumerate() {
            add_scaled(&mut slack, -y, scaled.shape.row(r));
            lack[r] -= dot(scaled.shape.row(r), x);
        }
        Self { slack, lack }
    }

    /// `None` when the point is not finite.
    fn judge(&self, scaled: &Scaled, set: &[bool], x: &[f64]) -> Option<Judged> {
        let size = scaled.size(x);
        if !x.iter().chain(&self.slack).chain(&self.lack).all(|v| v.is_finite()) {
            return None;
        }
        let noise = 0.1 * EXACT * size;
        let mut worst = self.lack.iter().fold(0.0, |a: f64, v| a.max(v.abs()));
        let mut wrong: f64 = 0.0;
        let (mut x, mut slack, mut next) = (x.to_vec(), self.slack.clone(), set.to_vec());
        for i in 0..scaled.shape.n {
            if set[i] {
                wrong = wrong.max(-slack[i]);
                next[i] = slack[i] >= -noise;
                slack[i] = slack[i].max(0.0);
            } else {
                worst = worst.max(slack[i].abs());
                slack[i] = 0.0;
                if scaled.shape.nonnegative[i] {
                    wrong = wrong.max(-x[i]);
                    next[i] = x[i] < -noise;
                    x[i] = x[i].max(0.0);
                }
            }
        }
        let (wrong_sign, optimality) = (wrong / size, worst.max(wrong) / size);
        Some(Judged { x, slack, wrong_sign, optimality, next })
    }
}

/// Factors of the system `H x - A'y = p`, `A x = q` over the free variables.
#[derive(Debug)]
pub(super) struct Equilibrium {
    set: Vec<bool>,
    /// The variables not in the set.
    free: Vec<usize>,
    /// Absent when no variable is free.
    factor: Option<Arc<Llt<f64>>>,
    rows: Mat<f64>,
    /// Factor of `A H^-1 A'`; absent without equality rows.
    row_factor: Option<Llt<f64>>,
}

impl Equilibrium {
    pub fn try_new(shape: &Shape, factors: &mut Factors<'_>, set: &[bool]) -> Option<Self> {
        let free: Vec<usize> = (0..shape.n).filter(|&i| !set[i]).collect();
        let (k, m) = (free.len(), shape.m);
        if k < m {
            return None;
        }
        let rows = Mat::from_fn(k, m, |i, r| shape.row(r)[free[i]]);
        let block_factor = match k {
            0 => None,
            _ if k == shape.n => Some(factors.whole(shape).ok()?),
            _ => Some(Arc::new(factor(gathered(shape, &free))?)),
        };
        let row_factor = match &block_factor {
            Some(f) if m > 0 => {
                let spread = f.solve(&rows);
                Some(Llt::new((rows.transpose() * &spread).as_ref(), Side::Lower).ok()?)
            }
            _ => None,
        };
        Some(Self { set: set.to_vec(), free, factor: block_factor, rows, row_factor })
    }

    /// Which variables are at zero.
    pub fn set(&self) -> &[bool] {
        &self.set
    }

    fn correct(&self, mut force: Vec<f64>, mut lack: Vec<f64>) -> (Vec<f64>, Vec<f64>) {
        if let Some(row_factor) = &self.row_factor {
            let alone = self.spread(&force);
            for (r, value) in lack.iter_mut().enumerate() {
                *value -= dot(self.rows.col_as_slice(r), &alone);
            }
            lack = solved(row_factor, &lack);
            for (r, y) in lack.iter().enumerate() {
                add_scaled(&mut force, *y, self.rows.col_as_slice(r));
            }
        }
        (self.spread(&force), lack)
    }

    fn spread(&self, force: &[f64]) -> Vec<f64> {
        self.factor.as_ref().map_or_else(Vec::new, |f| solved(f, force))
    }
}

/// Rows and columns of the free variables.
fn gathered(shape: &Shape, free: &[usize]) -> Mat<f64> {
    let mut block = Mat::<f64>::zeros(free.len(), free.len());
    for (j, &from) in free.iter().enumerate() {
        let column = shape.column(from);
        for (to, &i) in block.col_as_slice_mut(j).iter_mut().zip(free) {
            *to = column[i];
        }
    }
    block
}

fn solved(factor: &Llt<f64>, right: &[f64]) -> Vec<f64> {
    let mut column = Mat::from_fn(right.len(), 1, |i, _| right[i]);
    factor.solve_in_place(&mut column);
    column.col_as_slice(0).to_vec()
}

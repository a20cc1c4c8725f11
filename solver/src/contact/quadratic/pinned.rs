//! Equilibrium with some variables pinned at zero, and guessing which ones from its signs.

use faer::Mat;
use faer::linalg::solvers::{Llt, Solve};

use super::{Patience, Point, Scaled, add_scaled, dot, factor};

/// Violation below which a point is as good as rounding allows and no further set is tried.
const EXACT: f64 = 1e-12;

/// Passes of refinement; the second matters when the free block's condition passes 1e8.
const REFINEMENTS: usize = 2;

/// Solves with `set` pinned at zero, moves every variable with a wrong sign to the other side, and repeats.
///
/// Returns the best point met, if any set could be solved, and the number of factors. `set` ends as the last set tried.
pub(super) fn settle(
    scaled: &Scaled,
    set: &mut Vec<bool>,
    rounds: usize,
    patience: Patience,
) -> (Option<Point>, usize) {
    let mut best: Option<Point> = None;
    let mut seen: Vec<Vec<bool>> = Vec::new();
    for round in 0..rounds {
        let Some((point, next)) = try_set(scaled, set) else {
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
fn try_set(scaled: &Scaled, set: &[bool]) -> Option<(Point, Vec<bool>)> {
    let free: Vec<usize> = (0..scaled.n).filter(|&i| !set[i]).collect();
    let (inner, multipliers) = Equilibrium::try_new(scaled, &free)?.solve(scaled, &free);

    let mut x = vec![0.0; scaled.n];
    let mut slack = scaled.gradient.clone();
    for (&i, &value) in free.iter().zip(&inner) {
        x[i] = value;
        add_scaled(&mut slack, value, scaled.column(i));
    }
    let mut off_row: f64 = 0.0;
    for (r, y) in multipliers.iter().enumerate() {
        add_scaled(&mut slack, -y, scaled.row(r));
        off_row = f64::max(off_row, (dot(scaled.row(r), &x) - scaled.right[r]).abs());
    }
    let size = scaled.size(&x);
    if !size.is_finite() || !off_row.is_finite() || slack.iter().any(|s| !s.is_finite()) {
        return None;
    }

    let noise = 0.1 * EXACT * size;
    let mut worst = off_row;
    let mut next = set.to_vec();
    for i in 0..scaled.n {
        if set[i] {
            worst = worst.max(-slack[i]);
            next[i] = slack[i] >= -noise;
            slack[i] = slack[i].max(0.0);
        } else {
            worst = worst.max(slack[i].abs());
            slack[i] = 0.0;
            if scaled.nonnegative[i] {
                worst = worst.max(-x[i]);
                next[i] = x[i] < -noise;
                x[i] = x[i].max(0.0);
            }
        }
    }
    Some((Point { x, multipliers, slack, optimality: worst / size }, next))
}

/// Factors of the system `H x - A'y = p`, `A x = q` over the free variables.
struct Equilibrium {
    block: Mat<f64>,
    /// Absent when no variable is free.
    factor: Option<Llt<f64>>,
    rows: Mat<f64>,
    /// Factor of `A H^-1 A'`; absent without equality rows.
    row_factor: Option<Llt<f64>>,
}

impl Equilibrium {
    fn try_new(scaled: &Scaled, free: &[usize]) -> Option<Self> {
        let (k, m) = (free.len(), scaled.m);
        if k < m {
            return None;
        }
        let mut block = Mat::<f64>::zeros(k, k);
        for (j, &from) in free.iter().enumerate() {
            let column = scaled.column(from);
            for (to, &i) in block.col_as_slice_mut(j).iter_mut().zip(free) {
                *to = column[i];
            }
        }
        let rows = Mat::from_fn(k, m, |i, r| scaled.row(r)[free[i]]);
        let block_factor = if k == 0 { None } else { Some(factor(block.clone())?) };
        let row_factor = match &block_factor {
            Some(f) if m > 0 => {
                let spread = f.solve(&rows);
                Some(Llt::new((rows.transpose() * &spread).as_ref(), faer::Side::Lower).ok()?)
            }
            _ => None,
        };
        Some(Self { block, factor: block_factor, rows, row_factor })
    }

    /// Free variables and multipliers of the programme, refined.
    fn solve(&self, scaled: &Scaled, free: &[usize]) -> (Vec<f64>, Vec<f64>) {
        let (k, m) = (free.len(), scaled.m);
        let (mut x, mut y) = (vec![0.0; k], vec![0.0; m]);
        for _ in 0..=REFINEMENTS {
            let mut force: Vec<f64> = free.iter().map(|&i| -scaled.gradient[i]).collect();
            for (j, value) in x.iter().enumerate() {
                add_scaled(&mut force, -value, self.block.col_as_slice(j));
            }
            let mut lack = scaled.right.clone();
            for r in 0..m {
                add_scaled(&mut force, y[r], self.rows.col_as_slice(r));
                lack[r] -= dot(self.rows.col_as_slice(r), &x);
            }
            let (dx, dy) = self.correct(force, lack);
            add_scaled(&mut x, 1.0, &dx);
            add_scaled(&mut y, 1.0, &dy);
        }
        (x, y)
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

fn solved(factor: &Llt<f64>, right: &[f64]) -> Vec<f64> {
    let mut column = Mat::from_fn(right.len(), 1, |i, _| right[i]);
    factor.solve_in_place(&mut column);
    column.col_as_slice(0).to_vec()
}

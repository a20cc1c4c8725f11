//! The dual active-set method of Goldfarb and Idnani for bounds whose normals are unit vectors.
//!
//! Starts at the minimiser under the equality rows, takes up the most violated bound and follows the dual until that
//! bound holds, dropping bounds whose multiplier reaches zero. The objective rises at every full step, so no set of
//! active bounds comes back and the walk ends.
//!
//! Kept up to date: `J = L^-T Q` by columns and the triangle `R`, with `J'N = [R; 0]` for the normals `N` of the active
//! constraints. A bound enters by one reflection, which costs a rank-one change because its product with `J` is known
//! from the step; it leaves by plane rotations. Both are `O(n^2)`.

use faer::linalg::solvers::Llt;
use faer::linalg::triangular_solve::solve_upper_triangular_in_place;
use faer::{Mat, Par};

use super::{QuadraticError, Scaled, add_scaled, dot};

/// Part of a normal outside the active ones, relative, below which it counts as dependent.
const DEPENDENT: f64 = 1e-12;

/// Largest negative variable, relative to [`Scaled::size`], that counts as zero.
const ZERO: f64 = 1e-11;

/// A violation below this that no step can mend is rounding and left to the polish; above it, infeasible.
const HOPELESS: f64 = 1e-9;

/// Walks to the optimal set of variables at zero. Returns it with the number of steps.
pub(super) fn walk(
    scaled: &Scaled,
    factor: &Llt<f64>,
    max_steps: usize,
) -> Result<(Vec<bool>, usize), QuadraticError> {
    let mut state = State::at_equality_minimum(scaled, factor)?;
    let mut steps = 0;
    let mut fresh = true;
    loop {
        let (variable, value) = state.most_negative();
        if value < -ZERO * scaled.size(&state.x) {
            fresh = false;
            if state.take_up(variable, &mut steps, max_steps)? == Outcome::Stuck {
                break;
            }
        } else if fresh {
            break;
        } else {
            // Steps pile up rounding from the large numbers of the start: judge only what the factors say.
            state.refresh();
            fresh = true;
        }
    }
    let mut set = vec![false; scaled.shape.n];
    for constraint in &state.active {
        if let Constraint::Bound(i) = *constraint {
            set[i] = true;
        }
    }
    Ok((set, steps))
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Constraint {
    Row(usize),
    Bound(usize),
}

#[derive(PartialEq, Eq)]
enum Outcome {
    Holds,
    /// No step mends a violation that is no more than rounding.
    Stuck,
}

struct State<'a> {
    scaled: &'a Scaled<'a>,
    /// `J`, `n * n`, by columns.
    j: Vec<f64>,
    /// `R`, upper triangle, column `k` from `k * n`.
    r: Vec<f64>,
    active: Vec<Constraint>,
    /// Multipliers of the active constraints.
    u: Vec<f64>,
    x: Vec<f64>,
}

/// A normal `v` seen by the factors.
struct Direction {
    /// `J'v`.
    d: Vec<f64>,
    /// Primal direction `J2 J2'v`.
    z: Vec<f64>,
    /// Length of `J2'v`; zero when the normal depends on the active ones.
    outside: f64,
}

impl<'a> State<'a> {
    fn at_equality_minimum(scaled: &'a Scaled, factor: &Llt<f64>) -> Result<Self, QuadraticError> {
        let n = scaled.shape.n;
        let mut inverse = Mat::<f64>::identity(n, n);
        solve_upper_triangular_in_place(factor.L().transpose(), inverse.as_mut(), Par::Seq);
        let mut j = Vec::with_capacity(n * n);
        for k in 0..n {
            j.extend_from_slice(inverse.col_as_slice(k));
        }
        let (active, u) = (Vec::with_capacity(n), Vec::with_capacity(n));
        let mut state = Self { scaled, j, r: vec![0.0; n * n], active, u, x: vec![0.0; n] };
        for row in 0..scaled.shape.m {
            let d = (0..n).map(|k| dot(state.column(k), scaled.shape.row(row))).collect();
            let direction = state.direction(d);
            if direction.outside == 0.0 {
                return Err(QuadraticError::DependentRows { row });
            }
            state.enter(Constraint::Row(row), 0.0, direction);
        }
        state.refresh();
        Ok(state)
    }

    fn column(&self, k: usize) -> &[f64] {
        &self.j[k * self.scaled.shape.n..(k + 1) * self.scaled.shape.n]
    }

    /// The variable furthest below zero that must not be, the first of equals.
    fn most_negative(&self) -> (usize, f64) {
        let mut found = (0, 0.0);
        for (i, &x) in self.x.iter().enumerate() {
            if self.scaled.shape.nonnegative[i] && x < found.1 {
                found = (i, x);
            }
        }
        found
    }

    /// Steps until variable `i` holds at zero.
    fn take_up(&mut self, i: usize, steps: &mut usize, max_steps: usize) -> Result<Outcome, QuadraticError> {
        let n = self.scaled.shape.n;
        let mut u_new = 0.0;
        loop {
            if *steps >= max_steps {
                return Err(QuadraticError::OutOfSteps { steps: *steps });
            }
            *steps += 1;
            let direction = self.direction((0..n).map(|k| self.j[k * n + i]).collect());
            let r = self.triangle_solve(&direction.d);
            let blocking = self.blocking(&r);
            let full = if direction.outside > 0.0 {
                -self.x[i] / (direction.outside * direction.outside)
            } else {
                f64::INFINITY
            };
            let partial = blocking.map_or(f64::INFINITY, |k| self.u[k] / r[k]);
            let t = full.min(partial);
            if !t.is_finite() {
                self.refresh();
                return if self.x[i] < -HOPELESS * self.scaled.size(&self.x) {
                    Err(QuadraticError::Infeasible)
                } else {
                    Ok(Outcome::Stuck)
                };
            }
            add_scaled(&mut self.u, -t, &r);
            u_new += t;
            if full.is_finite() {
                add_scaled(&mut self.x, t, &direction.z);
            }
            match blocking {
                Some(k) if partial < full => self.leave(k),
                _ => {
                    self.x[i] = 0.0;
                    self.enter(Constraint::Bound(i), u_new, direction);
                    return Ok(Outcome::Holds);
                }
            }
        }
    }

    /// The active bound whose multiplier reaches zero first along `-r`, the lowest variable of equals.
    fn blocking(&self, r: &[f64]) -> Option<usize> {
        let mut first: Option<(usize, usize)> = None;
        for (k, constraint) in self.active.iter().enumerate() {
            let Constraint::Bound(i) = *constraint else { continue };
            if r[k] <= 0.0 {
                continue;
            }
            let sooner = first.is_none_or(|(best, variable)| {
                let (mine, theirs) = (self.u[k] / r[k], self.u[best] / r[best]);
                mine < theirs || (mine == theirs && i < variable)
            });
            if sooner {
                first = Some((k, i));
            }
        }
        first.map(|(k, _)| k)
    }

    fn direction(&self, d: Vec<f64>) -> Direction {
        let q = self.active.len();
        let mut outside = dot(&d[q..], &d[q..]).sqrt();
        if outside <= DEPENDENT * dot(&d, &d).sqrt() {
            outside = 0.0;
        }
        let mut z = vec![0.0; self.scaled.shape.n];
        if outside > 0.0 {
            for (k, &value) in d.iter().enumerate().skip(q) {
                add_scaled(&mut z, value, self.column(k));
            }
        }
        Direction { d, z, outside }
    }

    /// `R^-1` of the first entries of `d`.
    fn triangle_solve(&self, d: &[f64]) -> Vec<f64> {
        let (n, q) = (self.scaled.shape.n, self.active.len());
        let mut r = d[..q].to_vec();
        for k in (0..q).rev() {
            let column = &self.r[k * n..k * n + k + 1];
            r[k] /= column[k];
            let value = r[k];
            add_scaled(&mut r[..k], -value, &column[..k]);
        }
        r
    }

    /// Adds a constraint: reflects the columns outside the active ones so that only the first sees its normal.
    fn enter(&mut self, constraint: Constraint, multiplier: f64, direction: Direction) {
        let (n, q) = (self.scaled.shape.n, self.active.len());
        let Direction { mut d, z: mut w, outside } = direction;
        let head = if d[q] > 0.0 { -outside } else { outside };
        // Reflection I - v v' / (v'v / 2) with v = d2 - head e1; J2 v = z - head * first column, already known.
        let half_square = outside * outside - head * d[q];
        add_scaled(&mut w, -head, self.column(q));
        d[q] -= head;
        for (k, &v) in d.iter().enumerate().skip(q) {
            add_scaled(&mut self.j[k * n..(k + 1) * n], -v / half_square, &w);
        }
        d[q] = head;
        self.r[q * n..=q * n + q].copy_from_slice(&d[..=q]);
        self.active.push(constraint);
        self.u.push(multiplier);
    }

    /// Drops the active constraint at position `k` and rotates `R` back to a triangle.
    fn leave(&mut self, k: usize) {
        let n = self.scaled.shape.n;
        self.active.remove(k);
        self.u.remove(k);
        let q = self.active.len();
        for column in k..q {
            self.r.copy_within((column + 1) * n..(column + 1) * n + column + 2, column * n);
        }
        for p in k..q {
            let (a, b) = (self.r[p * n + p], self.r[p * n + p + 1]);
            let length = a.hypot(b);
            if length == 0.0 {
                continue;
            }
            let (c, s) = (a / length, b / length);
            for column in p..q {
                let (upper, lower) = (self.r[column * n + p], self.r[column * n + p + 1]);
                self.r[column * n + p] = c * upper + s * lower;
                self.r[column * n + p + 1] = c * lower - s * upper;
            }
            let (left, right) = self.j[p * n..(p + 2) * n].split_at_mut(n);
            for (x, y) in left.iter_mut().zip(right) {
                (*x, *y) = (c * *x + s * *y, c * *y - s * *x);
            }
        }
    }

    /// Recomputes variables and multipliers from the factors: `x = J1 R^-T b - J2 J2'g`, `u = R^-1 (R^-T b + J1'g)`.
    fn refresh(&mut self) {
        let (n, q) = (self.scaled.shape.n, self.active.len());
        let mut along = vec![0.0; q];
        for k in 0..q {
            let right = match self.active[k] {
                Constraint::Row(row) => self.scaled.right[row],
                Constraint::Bound(_) => 0.0,
            };
            let column = &self.r[k * n..k * n + k + 1];
            along[k] = (right - dot(&column[..k], &along[..k])) / column[k];
        }
        let pull: Vec<f64> = (0..n).map(|k| dot(self.column(k), &self.scaled.gradient)).collect();
        let mut x = vec![0.0; n];
        for (k, p) in pull.iter().enumerate() {
            let weight = if k < q { along[k] } else { -p };
            add_scaled(&mut x, weight, self.column(k));
        }
        add_scaled(&mut along, 1.0, &pull[..q]);
        self.u = self.triangle_solve(&along);
        for (constraint, u) in self.active.iter().zip(&mut self.u) {
            if let Constraint::Bound(i) = *constraint {
                x[i] = 0.0;
                *u = u.max(0.0);
            }
        }
        self.x = x;
    }
}

//! Strictly convex quadratic programmes with equality rows and variables that are free or at least zero.
//!
//! Contact forces minimise complementary energy under balance of force and moment: minimise `1/2 x'Hx + g'x` subject
//! to `Ax = b` and `x_i >= 0` for the unilateral ones. `H` is a compliance; rows of neighbouring contact points are
//! nearly dependent, so its condition may pass 1e8, and a plain active-set loop cycles on it.
//!
//! Two methods work together on data scaled to a unit diagonal and a unit force. First a few rounds of guessing the
//! whole set of zero variables at once from the signs of the last round: nearly always right after three to ten
//! rounds, but it may cycle. If it has not ended by then, the dual method of Goldfarb and Idnani, whose objective rises
//! at every full step and which therefore ends. Either way the answer comes from a fresh factor of the free
//! variables, refined, and is returned only if it meets the optimality conditions.
//!
//! Limits: dense, meant for up to about a thousand variables. No thread is started; same input, same bits.
//!
//! Source: D. Goldfarb, A. Idnani, A numerically stable dual method for solving strictly convex quadratic programs,
//! Mathematical Programming 27 (1983) 1-33.

mod pinned;
mod scaled;
mod steps;
#[cfg(test)]
mod tests;

use faer::linalg::solvers::Llt;
use faer::{Mat, Side};
use pinned::Equilibrium;
use scaled::{Scaled, Shape};
use std::sync::Arc;

/// Rounds of polishing that the dual method's set of zero variables may take.
const POLISH_ROUNDS: usize = 4;

/// Shift of the unit diagonal when rounding has made the scaled matrix indefinite: about `n` units of rounding. It
/// changes the factor only; refinement and the final check use the matrix as given.
const SHIFT: f64 = 1e-12;

/// Minimise `1/2 x'Hx + g'x` subject to `Ax = b`, `x_i >= 0` where `nonnegative[i]`. `n` variables, `m` rows; units are
/// the caller's, consistent ones.
#[derive(Clone, Copy, Debug)]
pub struct QuadraticProgram<'a> {
    /// `H`, `n * n`, row-major, symmetric positive definite.
    pub hessian: &'a [f64],
    /// `g`, length `n`.
    pub gradient: &'a [f64],
    /// `A`, `m * n`, row-major, full row rank.
    pub rows: &'a [f64],
    /// `b`, length `m`.
    pub right: &'a [f64],
    /// Which variables must not be negative, length `n`; the others are free.
    pub nonnegative: &'a [bool],
}

/// How hard to try.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Params {
    /// Steps of the dual method; `None` for twenty per variable.
    pub max_steps: Option<usize>,
    /// Largest violation of the optimality conditions that is accepted, see [`Info::optimality`].
    pub tolerance: f64,
    /// Rounds of guessing all signs at once before the dual method starts; zero goes straight to it.
    pub guesses: usize,
}

impl Default for Params {
    fn default() -> Self {
        Self { max_steps: None, tolerance: 1e-9, guesses: 15 }
    }
}

/// A minimiser with the proof that it is one: `Hx + g - A'y - s = 0`, `x's = 0`.
#[must_use]
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// The variables; those that must not be negative are not, exactly.
    pub x: Vec<f64>,
    /// `y`, one per equality row: how fast the minimum rises with the row's right side.
    pub multipliers: Vec<f64>,
    /// `s`, one per variable: at least zero where `x` must be, and zero where `x` is positive or free.
    pub slack: Vec<f64>,
    /// How it went.
    pub info: Info,
}

/// How a solve went.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Info {
    /// Steps of the dual method; zero when the guesses were enough.
    pub steps: usize,
    /// Dense factors of free variables that were made.
    pub rounds: usize,
    /// Largest violation of stationarity, equality rows, signs and complementarity, with `H` scaled to a unit
    /// diagonal, rows to unit length and forces to the largest one.
    pub optimality: f64,
}

/// Why a quadratic programme has no answer. Displayed as it is held, for logs; people read `report::building`.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{self:?}")]
pub enum QuadraticError {
    /// A slice has the wrong length.
    Shape {
        /// Which slice.
        what: &'static str,
        /// Its length.
        found: usize,
        /// The length it should have.
        expected: usize,
    },
    /// A number is infinite or not a number, or became so when scaled.
    NotFinite {
        /// Which slice.
        what: &'static str,
        /// Index in it.
        index: usize,
    },
    /// `H` is not symmetric.
    NotSymmetric {
        /// Row of the first such entry.
        row: usize,
        /// Its column.
        column: usize,
    },
    /// `H` is not positive definite.
    NotConvex,
    /// An equality row is zero or depends on those before it.
    DependentRows {
        /// Index of the row.
        row: usize,
    },
    /// No `x` meets the equality rows and the signs.
    Infeasible,
    /// The dual method ran out of steps.
    OutOfSteps {
        /// Steps taken.
        steps: usize,
    },
    /// Rounding kept the answer from meeting the tolerance.
    NotOptimal {
        /// Best violation reached, see [`Info::optimality`].
        optimality: f64,
        /// What was wanted.
        tolerance: f64,
        /// Steps of the dual method.
        steps: usize,
    },
}

/// Minimises a strictly convex quadratic programme.
///
/// The minimiser is unique. Multipliers are unique unless active bounds and rows are dependent.
///
/// # Errors
/// Malformed, non-finite, indefinite, rank-deficient or contradictory input, each by its own variant;
/// [`QuadraticError::OutOfSteps`] and [`QuadraticError::NotOptimal`] when rounding wins (raise the limit, or look for a
/// condition beyond 1e12).
///
/// ```
/// use solver::contact::quadratic::{Params, QuadraticProgram, solve};
/// // Two springs share 3 N; the second is twice as soft and must first close a gap of 1: it takes (3 - 1) / 3 N.
/// let program = QuadraticProgram {
///     hessian: &[1.0, 0.0, 0.0, 2.0],
///     gradient: &[0.0, 1.0],
///     rows: &[1.0, 1.0],
///     right: &[3.0],
///     nonnegative: &[true, true],
/// };
/// let solution = solve(&program, &Params::default())?;
/// assert!((solution.x[1] - 2.0 / 3.0).abs() < 1e-12);
/// # Ok::<(), solver::contact::quadratic::QuadraticError>(())
/// ```
pub fn solve(program: &QuadraticProgram, params: &Params) -> Result<Solution, QuadraticError> {
    Prepared::try_new(program.hessian, program.rows, program.nonnegative)?.solve(
        program.gradient,
        program.right,
        params,
        &[],
    )
}

/// A programme without its loads: matrix, rows and signs, checked and scaled once, then solved for any gradients and right
/// sides. What one solve has factored serves the next: a load that changes little asks for no new factor.
#[derive(Debug)]
pub struct Prepared {
    shape: Shape,
    /// The latest set of zero variables, factored.
    latest: Option<Equilibrium>,
    whole: Option<Arc<Llt<f64>>>,
}

impl Prepared {
    /// Takes over `H` (`n * n`, row-major), `A` (`m * n`, row-major) and which variables must not be negative.
    ///
    /// # Errors
    /// As [`solve`], for what does not depend on gradient and right side.
    pub fn try_new(hessian: &[f64], rows: &[f64], nonnegative: &[bool]) -> Result<Self, QuadraticError> {
        Ok(Self { shape: Shape::try_new(hessian, rows, nonnegative)?, latest: None, whole: None })
    }

    /// Solves for a gradient and a right side. `zero`: variables to try at zero first (one entry per variable, or none): those
    /// of a similar programme. The start changes the time, and the answer by no more than rounding.
    ///
    /// # Errors
    /// As [`solve`].
    pub fn solve(
        &mut self,
        gradient: &[f64],
        right: &[f64],
        params: &Params,
        zero: &[bool],
    ) -> Result<Solution, QuadraticError> {
        let Self { shape, latest, whole } = self;
        let scaled = Scaled::try_new(shape, gradient, right)?;
        let mut factors = Factors { latest, whole };
        let n = shape.n;
        let mut set = if zero.len() == n { zero.to_vec() } else { vec![false; n] };
        // A programme that is tried from scratch is checked for convexity as a whole first.
        if !set.contains(&true) {
            factors.whole(shape)?;
        }
        let (guess, mut rounds) =
            pinned::settle(&scaled, &mut factors, &mut set, params.guesses, Patience::WhileNew);
        if let Some(point) = guess.filter(|p| p.optimality <= params.tolerance) {
            return Ok(scaled.restore(point, 0, rounds));
        }

        let max_steps = params.max_steps.unwrap_or(20 * n);
        let whole = factors.whole(shape)?;
        let (mut set, steps) = steps::walk(&scaled, &whole, max_steps)?;
        let (polished, extra) =
            pinned::settle(&scaled, &mut factors, &mut set, POLISH_ROUNDS, Patience::Always);
        rounds += extra;
        match polished {
            Some(point) if point.optimality <= params.tolerance => Ok(scaled.restore(point, steps, rounds)),
            other => Err(QuadraticError::NotOptimal {
                optimality: other.map_or(f64::INFINITY, |p| p.optimality),
                tolerance: params.tolerance,
                steps,
            }),
        }
    }
}

impl Prepared {
    /// As [`Prepared::solve`], for when nothing similar has been solved but most of what will be zero can be told: solves first
    /// for the variables in `likely` alone, then for all of them from there.
    ///
    /// # Errors
    /// As [`solve`].
    pub fn solve_from_likely(
        &mut self,
        gradient: &[f64],
        right: &[f64],
        params: &Params,
        likely: &[bool],
    ) -> Result<Solution, QuadraticError> {
        let kept: Vec<usize> = (0..self.shape.n).filter(|i| likely.get(*i) == Some(&true)).collect();
        let mut part = Self { shape: self.shape.among(&kept), latest: None, whole: None };
        let own: Vec<f64> = kept.iter().filter_map(|i| gradient.get(*i).copied()).collect();
        // Guesses from nothing cycle more often than not.
        let zero = match part.solve(&own, right, &Params { guesses: 0, ..*params }, &[]) {
            Ok(solution) => {
                let mut zero = vec![true; self.shape.n];
                for (i, x) in kept.iter().zip(&solution.x) {
                    zero[*i] = *x == 0.0;
                }
                zero
            }
            Err(_) => Vec::new(),
        };
        self.solve(gradient, right, params, &zero)
    }
}

/// What has been factored so far.
struct Factors<'p> {
    latest: &'p mut Option<Equilibrium>,
    whole: &'p mut Option<Arc<Llt<f64>>>,
}

impl Factors<'_> {
    /// The factor of the whole matrix, made when first asked for.
    fn whole(&mut self, shape: &Shape) -> Result<Arc<Llt<f64>>, QuadraticError> {
        if let Some(made) = &self.whole {
            return Ok(Arc::clone(made));
        }
        let matrix = Mat::from_fn(shape.n, shape.n, |i, j| shape.hessian[i * shape.n + j]);
        let made = Arc::new(factor(matrix).ok_or(QuadraticError::NotConvex)?);
        *self.whole = Some(Arc::clone(&made));
        Ok(made)
    }

    /// The factors with `set` at zero, made unless the latest are for that set.
    fn equilibrium(&mut self, shape: &Shape, set: &[bool]) -> Option<&Equilibrium> {
        if self.latest.as_ref().is_none_or(|made| made.set() != set) {
            *self.latest = None;
            let made = Equilibrium::try_new(shape, self, set)?;
            *self.latest = Some(made);
        }
        self.latest.as_ref()
    }
}

/// A point with its multipliers, in scaled numbers.
struct Point {
    x: Vec<f64>,
    multipliers: Vec<f64>,
    slack: Vec<f64>,
    optimality: f64,
}

/// When a run of guesses gives up early.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Patience {
    /// When a set of zero variables comes back: the guesses cycle.
    WhileNew,
    /// Not before the rounds are used up.
    Always,
}

/// Cholesky factor of a matrix with unit diagonal, shifted by [`SHIFT`] if rounding demands it.
fn factor(mut matrix: Mat<f64>) -> Option<Llt<f64>> {
    if let Ok(factor) = Llt::new(matrix.as_ref(), Side::Lower) {
        return Some(factor);
    }
    for i in 0..matrix.nrows() {
        matrix[(i, i)] += SHIFT;
    }
    Llt::new(matrix.as_ref(), Side::Lower).ok()
}

/// Dot product in eight interleaved sums, so that it fills vector registers; the order is fixed.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (left, left_rest) = a.as_chunks::<8>();
    let (right, right_rest) = b.as_chunks::<8>();
    let mut sums = [0.0; 8];
    for (x, y) in left.iter().zip(right) {
        for k in 0..8 {
            sums[k] += x[k] * y[k];
        }
    }
    sums.iter().sum::<f64>() + left_rest.iter().zip(right_rest).map(|(x, y)| x * y).sum::<f64>()
}

/// `to += factor * from`.
fn add_scaled(to: &mut [f64], factor: f64, from: &[f64]) {
    for (t, f) in to.iter_mut().zip(from) {
        *t += factor * f;
    }
}

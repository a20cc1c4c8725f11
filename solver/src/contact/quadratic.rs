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
mod steps;
#[cfg(test)]
mod tests;

use faer::linalg::solvers::Llt;
use faer::{Mat, Side};
use std::cell::OnceCell;

/// Rounds of polishing that the dual method's set of zero variables may take.
const POLISH_ROUNDS: usize = 4;

/// Shift of the unit diagonal when rounding has made the scaled matrix indefinite: about `n` units of rounding. It
/// changes the factor only; refinement and the final check use the matrix as given.
const SHIFT: f64 = 1e-12;

/// Least force that violations are measured by, as part of the largest scaled gradient.
const SIZE_FLOOR: f64 = 1e-4;

/// Relative asymmetry above which `H` is refused rather than averaged.
const ASYMMETRY: f64 = 1e-8;

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

/// Why a quadratic programme has no answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum QuadraticError {
    /// A slice has the wrong length.
    #[error("quadratic programme: {what} has {found} entries, expected {expected}")]
    Shape {
        /// Which slice.
        what: &'static str,
        /// Its length.
        found: usize,
        /// The length it should have.
        expected: usize,
    },
    /// A number is infinite or not a number, or became so when scaled.
    #[error("quadratic programme: {what} holds a number that is not finite, entry {index}")]
    NotFinite {
        /// Which slice.
        what: &'static str,
        /// Index in it.
        index: usize,
    },
    /// `H` is not symmetric.
    #[error("quadratic programme: the matrix is not symmetric at ({row}, {column})")]
    NotSymmetric {
        /// Row of the first such entry.
        row: usize,
        /// Its column.
        column: usize,
    },
    /// `H` is not positive definite.
    #[error("quadratic programme: the matrix is not positive definite")]
    NotConvex,
    /// An equality row is zero or depends on those before it.
    #[error("quadratic programme: equality row {row} is zero or depends on the rows before it")]
    DependentRows {
        /// Index of the row.
        row: usize,
    },
    /// No `x` meets the equality rows and the signs.
    #[error("quadratic programme: no point meets the equality rows and the signs")]
    Infeasible,
    /// The dual method ran out of steps.
    #[error("quadratic programme: no answer after {steps} steps")]
    OutOfSteps {
        /// Steps taken.
        steps: usize,
    },
    /// Rounding kept the answer from meeting the tolerance.
    #[error("quadratic programme: optimality {optimality:.1e} after {steps} steps, wanted {tolerance:.1e}")]
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
    solve_from(program, params, &[])
}

/// As [`solve`], first trying the variables that are zero in `zero` (one entry per variable, or none): the answer of a
/// programme that differs little. The start changes the time, not the answer.
///
/// # Errors
/// As [`solve`].
pub fn solve_from(
    program: &QuadraticProgram,
    params: &Params,
    zero: &[bool],
) -> Result<Solution, QuadraticError> {
    let scaled = Scaled::try_new(program)?;
    let whole = OnceCell::new();
    let mut set = if zero.len() == scaled.n { zero.to_vec() } else { vec![false; scaled.n] };
    let started = set.iter().any(|pinned| *pinned);
    // A programme that is tried from scratch is checked for convexity as a whole first.
    if !started {
        whole_factor(&scaled, &whole)?;
    }
    let (guess, mut rounds) = pinned::settle(&scaled, &whole, &mut set, params.guesses, Patience::WhileNew);
    if let Some(point) = guess.filter(|p| p.optimality <= params.tolerance) {
        return Ok(scaled.restore(point, 0, rounds));
    }

    let max_steps = params.max_steps.unwrap_or(20 * scaled.n);
    let (mut set, steps) = steps::walk(&scaled, whole_factor(&scaled, &whole)?, max_steps)?;
    let (polished, extra) = pinned::settle(&scaled, &whole, &mut set, POLISH_ROUNDS, Patience::Always);
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

/// The factor of the whole matrix, made when first asked for.
fn whole_factor<'c>(scaled: &Scaled, whole: &'c OnceCell<Llt<f64>>) -> Result<&'c Llt<f64>, QuadraticError> {
    if whole.get().is_none() {
        let matrix = Mat::from_fn(scaled.n, scaled.n, |i, j| scaled.hessian[i * scaled.n + j]);
        let made = factor(matrix).ok_or(QuadraticError::NotConvex)?;
        return Ok(whole.get_or_init(|| made));
    }
    whole.get().ok_or(QuadraticError::NotConvex)
}

/// The programme with a unit diagonal, unit rows and forces of about one.
struct Scaled<'a> {
    n: usize,
    m: usize,
    /// `n * n`; symmetric to the last bit, so rows and columns are the same.
    hessian: Vec<f64>,
    gradient: Vec<f64>,
    rows: Vec<f64>,
    right: Vec<f64>,
    nonnegative: &'a [bool],
    /// Variable = scale * unit * scaled variable.
    scale: Vec<f64>,
    /// Factor of each equality row.
    row_scale: Vec<f64>,
    unit: f64,
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

impl<'a> Scaled<'a> {
    fn try_new(program: &QuadraticProgram<'a>) -> Result<Self, QuadraticError> {
        check_input(program)?;
        let (n, m) = (program.gradient.len(), program.right.len());
        let diagonal = (0..n).map(|i| program.hessian[i * n + i]);
        if diagonal.clone().any(|d| d <= 0.0) {
            return Err(QuadraticError::NotConvex);
        }
        let scale: Vec<f64> = diagonal.map(|d| 1.0 / d.sqrt()).collect();
        let hessian = scaled_hessian(program.hessian, &scale)?;

        let mut rows = vec![0.0; m * n];
        let mut row_scale = vec![0.0; m];
        for (r, row) in rows.chunks_exact_mut(n.max(1)).enumerate() {
            for (to, (from, s)) in row.iter_mut().zip(program.rows[r * n..].iter().zip(&scale)) {
                *to = from * s;
            }
            // The largest entry first: squares of extreme entries would leave the range.
            let largest = largest(row);
            if largest == 0.0 {
                return Err(QuadraticError::DependentRows { row: r });
            }
            let length = largest * row.iter().map(|v| (v / largest).powi(2)).sum::<f64>().sqrt();
            row_scale[r] = 1.0 / length;
            row.iter_mut().for_each(|v| *v /= length);
        }
        if n == 0 && m > 0 {
            return Err(QuadraticError::DependentRows { row: 0 });
        }

        let mut gradient: Vec<f64> = program.gradient.iter().zip(&scale).map(|(g, s)| g * s).collect();
        let mut right: Vec<f64> = program.right.iter().zip(&row_scale).map(|(b, s)| b * s).collect();
        let unit = match largest(&gradient).max(largest(&right)) {
            0.0 => 1.0,
            unit => unit,
        };
        gradient.iter_mut().chain(right.iter_mut()).for_each(|v| *v /= unit);
        check_finite("scaled rows", &rows)?;
        check_finite("scaled gradient", &gradient)?;
        check_finite("scaled right", &right)?;
        let nonnegative = program.nonnegative;
        Ok(Self { n, m, hessian, gradient, rows, right, nonnegative, scale, row_scale, unit })
    }

    fn row(&self, r: usize) -> &[f64] {
        &self.rows[r * self.n..(r + 1) * self.n]
    }

    fn column(&self, i: usize) -> &[f64] {
        &self.hessian[i * self.n..(i + 1) * self.n]
    }

    /// What forces are measured by: the largest one, or the largest right side. Where nothing loads, `x` is rounding
    /// about zero, so gaps put a floor under it.
    fn size(&self, x: &[f64]) -> f64 {
        let floor = SIZE_FLOOR * largest(&self.gradient);
        largest(x).max(largest(&self.right)).max(floor).max(f64::MIN_POSITIVE)
    }

    fn restore(&self, point: Point, steps: usize, rounds: usize) -> Solution {
        let unit = self.unit;
        Solution {
            x: point.x.iter().zip(&self.scale).map(|(x, s)| x * s * unit).collect(),
            multipliers: point.multipliers.iter().zip(&self.row_scale).map(|(y, s)| y * s * unit).collect(),
            slack: point.slack.iter().zip(&self.scale).map(|(v, s)| v * unit / s).collect(),
            info: Info { steps, rounds, optimality: point.optimality },
        }
    }
}

fn check_input(program: &QuadraticProgram) -> Result<(), QuadraticError> {
    let (n, m) = (program.gradient.len(), program.right.len());
    for (what, found, expected) in [
        ("hessian", program.hessian.len(), n * n),
        ("rows", program.rows.len(), m * n),
        ("nonnegative", program.nonnegative.len(), n),
    ] {
        if found != expected {
            return Err(QuadraticError::Shape { what, found, expected });
        }
    }
    check_finite("hessian", program.hessian)?;
    check_finite("gradient", program.gradient)?;
    check_finite("rows", program.rows)?;
    check_finite("right", program.right)
}

fn check_finite(what: &'static str, values: &[f64]) -> Result<(), QuadraticError> {
    match values.iter().position(|v| !v.is_finite()) {
        Some(index) => Err(QuadraticError::NotFinite { what, index }),
        None => Ok(()),
    }
}

/// Unit diagonal, both triangles averaged.
fn scaled_hessian(hessian: &[f64], scale: &[f64]) -> Result<Vec<f64>, QuadraticError> {
    let n = scale.len();
    let mut scaled = vec![0.0; n * n];
    for i in 0..n {
        scaled[i * n + i] = 1.0;
        for j in 0..i {
            let lower = hessian[i * n + j] * scale[i] * scale[j];
            let upper = hessian[j * n + i] * scale[i] * scale[j];
            let mean = 0.5 * (lower + upper);
            if !mean.is_finite() {
                return Err(QuadraticError::NotFinite { what: "scaled hessian", index: i * n + j });
            }
            if (lower - upper).abs() > ASYMMETRY {
                return Err(QuadraticError::NotSymmetric { row: i, column: j });
            }
            scaled[i * n + j] = mean;
            scaled[j * n + i] = mean;
        }
    }
    Ok(scaled)
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

fn largest(values: &[f64]) -> f64 {
    values.iter().fold(0.0, |a, v| f64::max(a, v.abs()))
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

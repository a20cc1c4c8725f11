//! The programme in numbers near one: a unit diagonal, rows of unit length, forces of about one.

use super::{Info, Point, QuadraticError, Solution};

/// Least force that violations are measured by, as part of the largest scaled gradient.
const SIZE_FLOOR: f64 = 1e-4;

/// Relative asymmetry above which `H` is refused rather than averaged.
const ASYMMETRY: f64 = 1e-8;

/// Matrix, rows and signs.
#[derive(Debug)]
pub(super) struct Shape {
    pub n: usize,
    pub m: usize,
    /// `n * n`; symmetric to the last bit, so rows and columns are the same.
    pub hessian: Vec<f64>,
    rows: Vec<f64>,
    pub nonnegative: Vec<bool>,
    /// Variable = scale * unit * scaled variable.
    scale: Vec<f64>,
    /// Factor of each equality row.
    row_scale: Vec<f64>,
}

impl Shape {
    pub fn try_new(hessian: &[f64], rows: &[f64], nonnegative: &[bool]) -> Result<Self, QuadraticError> {
        let n = nonnegative.len();
        check_length("hessian", hessian.len(), n * n)?;
        let m = rows.len().checked_div(n).unwrap_or(0);
        check_length("rows", rows.len(), m * n)?;
        check_finite("hessian", hessian)?;
        check_finite("rows", rows)?;
        let diagonal = (0..n).map(|i| hessian[i * n + i]);
        if diagonal.clone().any(|d| d <= 0.0) {
            return Err(QuadraticError::NotConvex);
        }
        let scale: Vec<f64> = diagonal.map(|d| 1.0 / d.sqrt()).collect();
        let hessian = scaled_hessian(hessian, &scale)?;
        let mut scaled_rows = vec![0.0; m * n];
        let mut row_scale = vec![0.0; m];
        for (r, row) in scaled_rows.chunks_exact_mut(n.max(1)).enumerate() {
            for (to, (from, s)) in row.iter_mut().zip(rows[r * n..].iter().zip(&scale)) {
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
        check_finite("scaled rows", &scaled_rows)?;
        let nonnegative = nonnegative.to_vec();
        Ok(Self { n, m, hessian, rows: scaled_rows, nonnegative, scale, row_scale })
    }

    /// The same of some of the variables.
    pub fn among(&self, kept: &[usize]) -> Self {
        Self {
            n: kept.len(),
            m: self.m,
            hessian: kept.iter().flat_map(|i| kept.iter().map(|j| self.column(*i)[*j])).collect(),
            rows: (0..self.m).flat_map(|r| kept.iter().map(move |i| self.row(r)[*i])).collect(),
            nonnegative: kept.iter().map(|i| self.nonnegative[*i]).collect(),
            scale: kept.iter().map(|i| self.scale[*i]).collect(),
            row_scale: self.row_scale.clone(),
        }
    }

    pub fn row(&self, r: usize) -> &[f64] {
        &self.rows[r * self.n..(r + 1) * self.n]
    }

    pub fn column(&self, i: usize) -> &[f64] {
        &self.hessian[i * self.n..(i + 1) * self.n]
    }
}

/// A shape with gradient and right side.
pub(super) struct Scaled<'a> {
    pub shape: &'a Shape,
    pub gradient: Vec<f64>,
    pub right: Vec<f64>,
    unit: f64,
}

impl<'a> Scaled<'a> {
    pub fn try_new(shape: &'a Shape, gradient: &[f64], right: &[f64]) -> Result<Self, QuadraticError> {
        check_length("gradient", gradient.len(), shape.n)?;
        if shape.n == 0 && !right.is_empty() {
            return Err(QuadraticError::DependentRows { row: 0 });
        }
        check_length("right", right.len(), shape.m)?;
        check_finite("gradient", gradient)?;
        check_finite("right", right)?;
        let mut gradient: Vec<f64> = gradient.iter().zip(&shape.scale).map(|(g, s)| g * s).collect();
        let mut right: Vec<f64> = right.iter().zip(&shape.row_scale).map(|(b, s)| b * s).collect();
        let unit = match largest(&gradient).max(largest(&right)) {
            0.0 => 1.0,
            unit => unit,
        };
        gradient.iter_mut().chain(right.iter_mut()).for_each(|v| *v /= unit);
        check_finite("scaled gradient", &gradient)?;
        check_finite("scaled right", &right)?;
        Ok(Self { shape, gradient, right, unit })
    }

    /// What forces are measured by: the largest one, or the largest right side. Where nothing loads, `x` is rounding
    /// about zero, so gaps put a floor under it.
    pub fn size(&self, x: &[f64]) -> f64 {
        let floor = SIZE_FLOOR * largest(&self.gradient);
        largest(x).max(largest(&self.right)).max(floor).max(f64::MIN_POSITIVE)
    }

    pub fn restore(&self, point: Point, steps: usize, rounds: usize) -> Solution {
        let Shape { scale, row_scale, .. } = self.shape;
        let unit = self.unit;
        Solution {
            x: point.x.iter().zip(scale).map(|(x, s)| x * s * unit).collect(),
            multipliers: point.multipliers.iter().zip(row_scale).map(|(y, s)| y * s * unit).collect(),
            slack: point.slack.iter().zip(scale).map(|(v, s)| v * unit / s).collect(),
            info: Info { steps, rounds, optimality: point.optimality },
        }
    }
}

fn check_length(what: &'static str, found: usize, expected: usize) -> Result<(), QuadraticError> {
    if found == expected { Ok(()) } else { Err(QuadraticError::Shape { what, found, expected }) }
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

fn largest(values: &[f64]) -> f64 {
    values.iter().fold(0.0, |a, v| f64::max(a, v.abs()))
}

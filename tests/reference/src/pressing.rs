//! Contact of a circle with the edge of a body: one small convex problem for the forces at the edge's nodes.
//!
//! The circle is rigid, or the edge of an elastic body of its own whose displacement at a row is interpolated between its
//! nodes. Forces, not pressures, are the unknowns; widths are taken from their second moment, which a single node hardly
//! changes: for a half-ellipse of pressure over half width b the second moment of the force F is F b^2 / 4.

use crate::model::ModelError;
use geometry::curve::Point;
use geometry::mesh::NamedEdge;
use solver::contact::quadratic::{Params, QuadraticProgram, solve};
use solver::plane::{Body, Factor};

/// Unknowns and weights whose sum of displacements is the displacement of a row.
pub type Pattern = Vec<(u32, f64)>;

/// A point of an edge that the circle may press on.
#[derive(Clone, Debug)]
pub struct Row {
    /// Where.
    pub at: Point,
    /// Unit normal, from the circle into the body.
    pub normal: Point,
    /// Distance before loading, mm.
    pub gap: f64,
    /// Its displacement along the normal, on the body.
    pub body: Pattern,
    /// The same on the elastic circle; empty when the circle is rigid.
    pub circle: Pattern,
    /// What the row gives by itself, mm/N: the stretch of a fibre.
    pub soft: f64,
}

/// A circle pressed on: which of its rigid motions are free.
#[derive(Clone, Copy, Debug)]
pub struct Motions {
    /// Sideways (x).
    pub sideways: bool,
    /// Turning about the origin.
    pub turning: bool,
}

/// The row of one node of a body.
#[must_use]
pub fn node_row(node: u32, at: Point, normal: Point, gap: f64) -> Row {
    let body = vec![(2 * node, normal[0]), (2 * node + 1, normal[1])];
    Row { at, normal, gap, body, circle: Vec::new(), soft: 0.0 }
}

/// Where the edge of a circle's mesh crosses the line `x = at`, as a pattern along `normal`; the lower crossing.
#[must_use]
pub fn edge_pattern(body: &Body, edges: &[NamedEdge], at: f64, normal: Point) -> Option<(Pattern, f64)> {
    let shape = |s: f64| [0.5 * s * (s - 1.0), 0.5 * s * (s + 1.0), 1.0 - s * s];
    edges
        .iter()
        .filter_map(|edge| {
            let p = edge.nodes.map(|n| body.mesh().points[n as usize]);
            let x = |s: f64| shape(s).iter().zip(&p).map(|(w, q)| w * q[0]).sum::<f64>() - at;
            if x(-1.0) * x(1.0) > 0.0 {
                return None;
            }
            let (mut low, mut high) = (-1.0, 1.0);
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                if x(middle) * x(low) > 0.0 { low = middle } else { high = middle }
            }
            let weights = shape(0.5 * (low + high));
            let y: f64 = weights.iter().zip(&p).map(|(w, q)| w * q[1]).sum();
            let pattern = edge
                .nodes
                .iter()
                .zip(weights)
                .flat_map(|(n, w)| [(2 * n, w * normal[0]), (2 * n + 1, w * normal[1])])
                .collect();
            Some((pattern, y))
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

/// An elastic circle: its body, its factor, and the nodal forces that load it.
pub struct Circle<'a> {
    /// The factor of the circle, held at three unknowns.
    pub factor: &'a Factor,
    /// Nodal forces.
    pub load: &'a [f64],
}

/// Compliance between the rows of one body.
fn compliance(factor: &Factor, patterns: &[&Pattern]) -> Vec<f64> {
    let (n, unknowns) = (patterns.len(), factor.unknowns());
    let mut columns = vec![0.0; n * unknowns];
    for (column, pattern) in columns.chunks_exact_mut(unknowns).zip(patterns) {
        for (i, w) in *pattern {
            column[*i as usize] += w;
        }
    }
    factor.solve_in_place(&mut columns, n);
    let mut matrix = vec![0.0; n * n];
    for (j, column) in columns.chunks_exact(unknowns).enumerate() {
        for (i, pattern) in patterns.iter().enumerate() {
            matrix[i * n + j] = pattern.iter().map(|(k, w)| w * column[*k as usize]).sum();
        }
    }
    for i in 0..n {
        for j in 0..i {
            let mean = 0.5 * (matrix[i * n + j] + matrix[j * n + i]);
            matrix[i * n + j] = mean;
            matrix[j * n + i] = mean;
        }
    }
    matrix
}

/// Forces at the rows when the circle is pressed with `load` (on the body, N per mm of thickness times thickness).
///
/// # Errors
/// The contact problem has no answer.
pub fn press(
    factor: &Factor,
    circle: Option<&Circle<'_>>,
    rows: &[Row],
    load: Point,
    motions: Motions,
) -> Result<Vec<f64>, ModelError> {
    let mut hessian = compliance(factor, &rows.iter().map(|r| &r.body).collect::<Vec<_>>());
    let mut gaps: Vec<f64> = rows.iter().map(|r| r.gap).collect();
    if let Some(circle) = circle {
        let other = compliance(circle.factor, &rows.iter().map(|r| &r.circle).collect::<Vec<_>>());
        hessian.iter_mut().zip(other).for_each(|(a, b)| *a += b);
        let u = circle.factor.solve(circle.load);
        for (gap, row) in gaps.iter_mut().zip(rows) {
            *gap -= row.circle.iter().map(|(i, w)| w * u[*i as usize]).sum::<f64>();
        }
    }
    let mut balance = Balance::default();
    if motions.sideways {
        balance.add(rows.iter().map(|r| r.normal[0]), load[0]);
    }
    balance.add(rows.iter().map(|r| r.normal[1]), load[1]);
    if motions.turning {
        balance.add(rows.iter().map(|r| r.at[0] * r.normal[1] - r.at[1] * r.normal[0]), 0.0);
    }
    balance.forces(&hessian, &gaps)
}

/// What the forces of rows must sum up to.
#[derive(Clone, Debug, Default)]
pub struct Balance {
    rows: Vec<f64>,
    right: Vec<f64>,
}

impl Balance {
    /// Adds an equation: the forces, weighted, sum up to `right`.
    pub fn add(&mut self, weights: impl Iterator<Item = f64>, right: f64) {
        self.rows.extend(weights);
        self.right.push(right);
    }

    /// The forces, N, none negative, that close the gaps (mm) of rows of this compliance ([`compliance_of`]).
    ///
    /// # Errors
    /// As [`press`].
    pub fn forces(&self, hessian: &[f64], gaps: &[f64]) -> Result<Vec<f64>, ModelError> {
        let program = QuadraticProgram {
            hessian,
            gradient: gaps,
            rows: &self.rows,
            right: &self.right,
            nonnegative: &vec![true; gaps.len()],
        };
        Ok(solve(&program, &Params::default()).map_err(ModelError::Contact)?.x)
    }
}

/// Forces, N, at rows that belong to several rigid things, or to fibres. `factor`: of the body, held at three unknowns;
/// `balance` must leave nothing to these supports.
///
/// # Errors
/// As [`press`].
pub fn grip(factor: &Factor, rows: &[Row], balance: &Balance) -> Result<Vec<f64>, ModelError> {
    let gaps: Vec<f64> = rows.iter().map(|r| r.gap).collect();
    balance.forces(&compliance_of(factor, rows), &gaps)
}

/// Compliance between rows on a body, mm/N, row by row, with what each gives by itself.
#[must_use]
pub fn compliance_of(factor: &Factor, rows: &[Row]) -> Vec<f64> {
    let mut matrix = compliance(factor, &rows.iter().map(|r| &r.body).collect::<Vec<_>>());
    for (i, row) in rows.iter().enumerate() {
        matrix[i * rows.len() + i] += row.soft;
    }
    matrix
}

/// Half width of a half-ellipse of pressure with the same force and second moment about x = 0, mm.
#[must_use]
pub fn half_width(rows: &[Row], forces: &[f64]) -> f64 {
    let total: f64 = rows.iter().zip(forces).map(|(r, f)| f * r.normal[1].abs()).sum();
    let second: f64 = rows.iter().zip(forces).map(|(r, f)| f * r.normal[1].abs() * r.at[0] * r.at[0]).sum();
    2.0 * (second / total).sqrt()
}

//! The stiffness of a body with a border: a few unknowns beside its displacements, each with an equation of its own.
//!
//! Pins, grips and the swing of the whole hang on many nodes at once and would fill the sparse pattern; beside it they cost one triangular
//! solve each.

use crate::plane::Factor;
use nalgebra::{DMatrix, DVector};

/// What an equation of places is multiplied by, N/mm: it is then off by forces, as the others are.
pub(super) const PLACES: f64 = 1e5;

/// An unknown beside the displacements.
#[derive(Clone, Debug)]
pub(super) struct Beyond {
    /// What it adds to the forces out of balance (inner less outer), N per unit: one value for each unknown of the body.
    pub column: Vec<f64>,
    /// Held unknowns of the body that it moves, each with how far.
    pub moves: Vec<(u32, f64)>,
}

/// An equation beside equilibrium.
#[derive(Clone, Debug)]
pub(super) struct Equation {
    /// Its derivative by the displacements, held ones as well.
    pub row: Vec<f64>,
    /// Its derivative by the unknowns of the border, apart from what these do by moving held ones.
    pub inner: Vec<(usize, f64)>,
    /// What it is off by.
    pub value: f64,
}

/// Unknowns beside the displacements, and as many equations.
#[derive(Clone, Debug, Default)]
pub(super) struct Border {
    pub unknowns: Vec<Beyond>,
    pub equations: Vec<Equation>,
}

/// A change of all unknowns.
#[derive(Clone, Debug)]
pub(super) struct Change {
    /// Displacements; of held unknowns, what the border moves them by.
    pub body: Vec<f64>,
    /// The border's unknowns.
    pub border: Vec<f64>,
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

impl Border {
    /// What the equations are off by, at most.
    pub fn off(&self) -> f64 {
        if self.equations.iter().any(|e| !e.value.is_finite()) {
            return f64::INFINITY;
        }
        self.equations.iter().map(|e| e.value.abs()).fold(0.0, f64::max)
    }

    /// An equation for the force on held unknowns: `unit` is the sum of forces, `stiff` the stiffness times it, `value` the force. All unknowns
    /// must be there already.
    pub fn no_force(&mut self, unit: &[(u32, f64)], stiff: Vec<f64>, value: f64) {
        let inner = self
            .unknowns
            .iter()
            .enumerate()
            .filter(|(_, b)| b.moves.is_empty())
            .map(|(j, b)| (j, unit.iter().map(|(n, w)| w * b.column[*n as usize]).sum::<f64>()))
            .filter(|(_, value)| *value != 0.0)
            .collect();
        self.equations.push(Equation { row: stiff, inner, value });
    }

    /// The change that brings balance and equations to zero, of a body that is out of balance by `left` (inner less outer) at its free
    /// unknowns. `None` where they have no single answer.
    pub fn solve(&self, factor: &Factor, left: &[f64]) -> Option<Change> {
        let (size, length) = (self.unknowns.len(), left.len());
        let mut columns = Vec::with_capacity((size + 1) * length);
        columns.extend_from_slice(left);
        self.unknowns.iter().for_each(|b| columns.extend_from_slice(&b.column));
        factor.solve_in_place(&mut columns, size + 1);
        let solved = |j: usize| &columns[j * length..(j + 1) * length];
        let mut matrix = DMatrix::<f64>::zeros(size, size);
        let mut right = DVector::<f64>::zeros(size);
        for (i, equation) in self.equations.iter().enumerate() {
            // Few unknowns of the body stand in an equation.
            let row: Vec<(usize, f64)> =
                equation.row.iter().copied().enumerate().filter(|(_, value)| *value != 0.0).collect();
            let times = |x: &[f64]| row.iter().map(|(n, value)| value * x[*n]).sum::<f64>();
            right[i] = times(solved(0)) - equation.value;
            for (j, value) in &equation.inner {
                matrix[(i, *j)] += value;
            }
            for (j, unknown) in self.unknowns.iter().enumerate() {
                let moved: f64 = unknown.moves.iter().map(|(n, w)| w * equation.row[*n as usize]).sum();
                matrix[(i, j)] += moved - times(solved(j + 1));
            }
        }
        // Equations of forces stand beside equations of places: of like size, their pivots are told from rounding.
        for i in 0..size {
            let most = matrix.row(i).amax();
            if most > 0.0 {
                matrix.row_mut(i).scale_mut(most.recip());
                right[i] /= most;
            }
        }
        let border = matrix.full_piv_lu().solve(&right)?;
        let mut body: Vec<f64> = solved(0).iter().map(|z| -z).collect();
        for (j, (by, unknown)) in border.iter().zip(&self.unknowns).enumerate() {
            for (body, z) in body.iter_mut().zip(solved(j + 1)) {
                *body -= by * z;
            }
            for (n, w) in &unknown.moves {
                body[*n as usize] += by * w;
            }
        }
        let whole = body.iter().chain(border.iter()).all(|v| v.is_finite());
        whole.then(|| Change { body, border: border.iter().copied().collect() })
    }
}

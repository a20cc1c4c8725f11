//! Patterns of nodal force that loads and contacts are made of, and the compliance of a body between them.

use crate::plane::Factor;
use std::sync::Mutex;

/// A pattern of nodal forces on one body; the displacement that does work on it is the same sum over displacements.
#[derive(Clone, Debug, Default)]
pub struct Port {
    entries: Vec<(u32, f64)>,
}

impl Port {
    /// From pairs of unknown (2 node + axis) and force, N.
    #[must_use]
    pub fn new(entries: Vec<(u32, f64)>) -> Self {
        Self { entries }
    }

    /// Adds `scale` times the pattern to nodal forces.
    pub fn add_to(&self, scale: f64, forces: &mut [f64]) {
        for (unknown, value) in &self.entries {
            forces[*unknown as usize] += scale * value;
        }
    }

    /// The displacement of the port, mm (or rad for a moment).
    #[must_use]
    pub fn displacement(&self, u: &[f64]) -> f64 {
        self.entries.iter().map(|(unknown, value)| value * u[*unknown as usize]).sum()
    }
}

/// Compliance of one body between its ports, computed column by column when first asked for and then kept. Only the mutual
/// entries are stored.
#[derive(Debug)]
pub struct Compliance {
    ports: Vec<Port>,
    columns: Mutex<Vec<Option<Box<[f64]>>>>,
}

impl Compliance {
    /// No column computed yet.
    #[must_use]
    pub fn new(ports: Vec<Port>) -> Self {
        let columns = Mutex::new(vec![None; ports.len()]);
        Self { ports, columns }
    }

    /// The ports.
    #[must_use]
    pub fn ports(&self) -> &[Port] {
        &self.ports
    }

    /// Columns for the ports in `wanted` (sorted, without repeats), each of them restricted to `wanted`: a dense symmetric
    /// matrix, row-major, mm/N.
    #[must_use]
    pub fn between(&self, factor: &Factor, wanted: &[u32]) -> Vec<f64> {
        let mut columns = match self.columns.lock() {
            Ok(guard) => guard,
            // A panic elsewhere leaves whole columns or none: what is there can be used.
            Err(poisoned) => poisoned.into_inner(),
        };
        let missing: Vec<u32> = wanted.iter().copied().filter(|j| columns[*j as usize].is_none()).collect();
        if !missing.is_empty() {
            let n = factor.unknowns();
            let mut block = vec![0.0; n * missing.len()];
            for (column, j) in block.chunks_exact_mut(n).zip(&missing) {
                self.ports[*j as usize].add_to(1.0, column);
            }
            factor.solve_in_place(&mut block, missing.len());
            for (column, j) in block.chunks_exact(n).zip(&missing) {
                columns[*j as usize] = Some(self.ports.iter().map(|p| p.displacement(column)).collect());
            }
        }
        let mut matrix = Vec::with_capacity(wanted.len() * wanted.len());
        for j in wanted {
            if let Some(column) = &columns[*j as usize] {
                matrix.extend(wanted.iter().map(|i| column[*i as usize]));
            }
        }
        // Rounding of the solves aside the matrix is symmetric; make it so to the bit.
        let n = wanted.len();
        for i in 0..n {
            for j in 0..i {
                let mean = 0.5 * (matrix[i * n + j] + matrix[j * n + i]);
                matrix[i * n + j] = mean;
                matrix[j * n + i] = mean;
            }
        }
        matrix
    }
}

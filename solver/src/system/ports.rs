//! Patterns of nodal force that loads and contacts are made of, and the compliance of a body between them.

use crate::plane::Factor;
use rayon::prelude::*;
use std::ops::Range;
use std::sync::{Mutex, MutexGuard, PoisonError};

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

/// Columns that are computed together: a block starts at each multiple of it. Solving for several right sides at once
/// rounds otherwise than for one, so what is computed together must not depend on what was asked for first.
const TOGETHER: usize = 32;

/// Compliance of one body between its ports, computed in blocks of columns when first asked for and then kept. Only the
/// mutual entries are stored.
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

    fn open(&self) -> MutexGuard<'_, Vec<Option<Box<[f64]>>>> {
        // A panic elsewhere leaves whole columns or none: what is there can be used.
        self.columns.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The columns of a block of ports.
    fn solve(&self, factor: &Factor, block: Range<usize>) -> Vec<Box<[f64]>> {
        let n = factor.unknowns();
        let ports = &self.ports[block];
        let mut columns = vec![0.0; n * ports.len()];
        for (column, port) in columns.chunks_exact_mut(n).zip(ports) {
            port.add_to(1.0, column);
        }
        factor.solve_in_place(&mut columns, ports.len());
        columns.chunks_exact(n).map(|u| self.ports.iter().map(|p| p.displacement(u)).collect()).collect()
    }

    /// Columns for the ports in `wanted` (sorted, without repeats), each of them restricted to `wanted`: a dense symmetric
    /// matrix, row-major, mm/N.
    #[must_use]
    pub fn between(&self, factor: &Factor, wanted: &[u32]) -> Vec<f64> {
        // Not under the lock: a thread that waits for parallel work may be handed other work that wants the same columns.
        let missing = missing_blocks(&self.open(), wanted);
        let solved: Vec<Vec<Box<[f64]>>> =
            missing.par_iter().map(|block| self.solve(factor, block.clone())).collect();
        let mut columns = self.open();
        for (block, solved) in missing.into_iter().zip(solved) {
            for (j, column) in block.zip(solved) {
                columns[j] = Some(column);
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

/// The blocks that hold columns which are wanted and not there, in order.
fn missing_blocks(columns: &[Option<Box<[f64]>>], wanted: &[u32]) -> Vec<Range<usize>> {
    let mut blocks: Vec<Range<usize>> = Vec::new();
    for j in wanted.iter().map(|j| *j as usize).filter(|j| columns[*j].is_none()) {
        if blocks.last().is_none_or(|last| !last.contains(&j)) {
            let start = j - j % TOGETHER;
            blocks.push(start..(start + TOGETHER).min(columns.len()));
        }
    }
    blocks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blocks_start_at_multiples_whatever_is_wanted() {
        let mut columns = vec![None; 20];
        assert_eq!(missing_blocks(&columns, &[3, 5, 9, 19]), [0..8, 8..16, 16..20]);
        columns[8..16].fill(Some(Box::from([0.0])));
        assert_eq!(missing_blocks(&columns, &[1, 9, 12, 17]), [0..8, 16..20]);
        assert!(missing_blocks(&columns, &[8, 15]).is_empty());
    }
}

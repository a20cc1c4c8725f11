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

    /// 0 when all forces are along x, 1 when all are along y, 2 for any other.
    fn direction(&self) -> u32 {
        let mut axes = self.entries.iter().map(|(unknown, _)| unknown % 2);
        match axes.next() {
            Some(first) if axes.all(|axis| axis == first) => first,
            _ => 2,
        }
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

/// Columns that are computed together: a block starts at each multiple of it, in an order that puts ports of one direction side
/// by side (straps that pull straight need only half of their seat's). Solving for several right sides at once rounds
/// otherwise than for one, so what is computed together must not depend on what was asked for first.
const TOGETHER: usize = 16;

/// Compliance of one body between its ports, computed in blocks of columns when first asked for and then kept. Only the
/// mutual entries are stored.
#[derive(Debug)]
pub struct Compliance {
    ports: Vec<Port>,
    /// The ports in the order of blocks.
    order: Vec<u32>,
    /// The place of each port in that order.
    place: Vec<u32>,
    /// Columns by port.
    columns: Mutex<Vec<Option<Box<[f64]>>>>,
}

impl Compliance {
    /// No column computed yet.
    #[must_use]
    pub fn new(ports: Vec<Port>) -> Self {
        let columns = Mutex::new(vec![None; ports.len()]);
        let mut order: Vec<u32> = (0u32..).take(ports.len()).collect();
        order.sort_by_key(|j| (ports[*j as usize].direction(), *j));
        let mut place = vec![0; ports.len()];
        for (at, j) in (0u32..).zip(&order) {
            place[*j as usize] = at;
        }
        Self { ports, order, place, columns }
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
        let block = &self.order[block];
        let mut columns = vec![0.0; n * block.len()];
        for (column, j) in columns.chunks_exact_mut(n).zip(block) {
            self.ports[*j as usize].add_to(1.0, column);
        }
        factor.solve_in_place(&mut columns, block.len());
        columns.chunks_exact(n).map(|u| self.ports.iter().map(|p| p.displacement(u)).collect()).collect()
    }

    /// Columns for the ports in `wanted` (sorted, without repeats), each of them restricted to `wanted`: a dense symmetric
    /// matrix, row-major, mm/N.
    #[must_use]
    pub fn between(&self, factor: &Factor, wanted: &[u32]) -> Vec<f64> {
        // Not under the lock: a thread that waits for parallel work may be handed other work that wants the same columns.
        let missing = {
            let columns = self.open();
            let mut places: Vec<usize> = wanted
                .iter()
                .filter(|j| columns[**j as usize].is_none())
                .map(|j| self.place[*j as usize] as usize)
                .collect();
            places.sort_unstable();
            blocks_of(&places, self.ports.len())
        };
        let solved: Vec<Vec<Box<[f64]>>> =
            missing.par_iter().map(|block| self.solve(factor, block.clone())).collect();
        let mut columns = self.open();
        for (block, solved) in missing.into_iter().zip(solved) {
            for (j, column) in self.order[block].iter().zip(solved) {
                columns[*j as usize] = Some(column);
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

/// The blocks that hold these places (rising) of `count`, in order.
fn blocks_of(places: &[usize], count: usize) -> Vec<Range<usize>> {
    let mut blocks: Vec<Range<usize>> = Vec::new();
    for at in places {
        if blocks.last().is_none_or(|last| !last.contains(at)) {
            let start = at - at % TOGETHER;
            blocks.push(start..(start + TOGETHER).min(count));
        }
    }
    blocks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blocks_start_at_multiples_whatever_is_wanted() {
        assert_eq!(blocks_of(&[3, 5, 17, 39], 40), [0..16, 16..32, 32..40]);
        assert_eq!(blocks_of(&[1, 33], 40), [0..16, 32..40]);
        assert!(blocks_of(&[], 40).is_empty());
    }

    #[test]
    fn ports_of_one_direction_stand_side_by_side() {
        let port = |unknowns: &[u32]| Port::new(unknowns.iter().map(|u| (*u, 1.0)).collect());
        let compliance =
            Compliance::new(vec![port(&[0]), port(&[1, 3]), port(&[4, 6]), port(&[0, 1]), port(&[5])]);
        assert_eq!(compliance.order, [0, 2, 1, 4, 3]);
        assert_eq!(compliance.place, [0, 2, 1, 4, 3]);
    }
}

//! A sparse Cholesky factor whose symbolic part is kept while the values change.

use crate::plane::PlaneError;
use crate::plane::column::solve_column;
use crate::plane::element::PAIRS;
use crate::plane::factor::{analysed, factored};
use crate::plane::ordering::elimination_order;
use crate::plane::pattern::Pattern;
use faer::sparse::linalg::cholesky::SymbolicCholesky;
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use geometry::mesh::Mesh;

/// Marks an unknown that is held, and an entry that no equation has.
const HELD: u32 = u32::MAX;

/// The matrix of the free unknowns of a mesh, and its factor.
#[derive(Debug)]
pub struct Linear {
    /// Free unknowns in order of elimination.
    free: Vec<u32>,
    columns: Vec<u32>,
    rows: Vec<u32>,
    entries: Vec<f64>,
    /// For each triangle and each pair of nodes, the entries of `[xx, xy, yx, yy]`.
    slots: Vec<[[u32; 4]; 21]>,
    /// For each node its own block `[xx, xy, yx, yy]`; of xy and yx one is not stored.
    own: Vec<[u32; 4]>,
    symbolic: SymbolicCholesky<u32>,
    values: Vec<f64>,
}

impl Linear {
    /// Orders and analyses. `held`: true for each unknown that is left out.
    ///
    /// # Errors
    /// [`PlaneError::Memory`].
    pub fn new(mesh: &Mesh, held: &[bool]) -> Result<Self, PlaneError> {
        let unknowns = held.len();
        let memory = || PlaneError::Memory { unknowns };
        let pattern = Pattern::new(mesh).map_err(|_| memory())?;
        let order = elimination_order(&pattern)?;
        let mut place = vec![HELD; unknowns];
        let mut free = Vec::with_capacity(unknowns);
        for unknown in order.iter().flat_map(|node| [2 * node, 2 * node + 1]) {
            if !held[unknown as usize] {
                place[unknown as usize] = free.len() as u32;
                free.push(unknown);
            }
        }
        let lower = pattern.lower();
        // Block entries as the pattern has them, row >= column: (late, early) places or none.
        let mut scalars: Vec<[(u32, u32); 4]> = Vec::with_capacity(lower.nnz());
        for column in 0..lower.major_dim() {
            for &row in lower.lane(column) {
                scalars.push(std::array::from_fn(|n| {
                    let (p, q) = (place[2 * row + n / 2], place[2 * column + n % 2]);
                    let twice = row == column && n == 1;
                    if twice || p == HELD || q == HELD { (HELD, HELD) } else { (p.max(q), p.min(q)) }
                }));
            }
        }
        let mut columns = vec![0_u32; free.len() + 1];
        for (late, _) in scalars.iter().flatten().filter(|s| s.0 != HELD) {
            columns[*late as usize + 1] += 1;
        }
        for k in 1..columns.len() {
            columns[k] += columns[k - 1];
        }
        let mut next = columns.clone();
        let mut rows = vec![0_u32; columns[free.len()] as usize];
        let at: Vec<[u32; 4]> = scalars
            .iter()
            .map(|block| {
                block.map(|(late, early)| {
                    if late == HELD {
                        return HELD;
                    }
                    let at = next[late as usize];
                    rows[at as usize] = early;
                    next[late as usize] += 1;
                    at
                })
            })
            .collect();
        let slots = mesh
            .triangles
            .iter()
            .zip(pattern.slots())
            .map(|(nodes, slots)| {
                std::array::from_fn(|k| {
                    let (a, b) = PAIRS[k];
                    let block = at[slots[k] as usize];
                    // Local pairs have b <= a, the pattern row >= column: turn the block where the two disagree.
                    if nodes[a] >= nodes[b] { block } else { [block[0], block[2], block[1], block[3]] }
                })
            })
            .collect();
        let own = (0..pattern.nodes())
            .map(|node| at.get(lower.major_offsets()[node]).copied().unwrap_or([HELD; 4]))
            .collect();
        let shape =
            SymbolicSparseColMatRef::new_unsorted_checked(free.len(), free.len(), &columns, None, &rows);
        let symbolic = analysed(shape, unknowns)?;
        let values = vec![0.0; symbolic.len_val()];
        let entries = vec![0.0; rows.len()];
        Ok(Self { free, columns, rows, entries, slots, own, symbolic, values })
    }

    /// Sets every entry to zero.
    pub fn clear(&mut self) {
        self.entries.fill(0.0);
    }

    /// Adds the blocks `[xx, xy, yx, yy]` of a triangle's [`PAIRS`].
    pub fn add_triangle(&mut self, triangle: usize, blocks: &[[f64; 4]; 21]) {
        for (slots, block) in self.slots[triangle].iter().zip(blocks) {
            for (&slot, value) in slots.iter().zip(block) {
                if slot != HELD {
                    self.entries[slot as usize] += value;
                }
            }
        }
    }

    /// Adds `stiffness n n'` at a node.
    pub fn add_spring(&mut self, node: u32, n: [f64; 2], stiffness: f64) {
        let block = [n[0] * n[0], n[0] * n[1], n[0] * n[1], n[1] * n[1]];
        for (&slot, value) in self.own[node as usize].iter().zip(block) {
            if slot != HELD {
                self.entries[slot as usize] += stiffness * value;
            }
        }
    }

    /// Factors the matrix as it stands.
    ///
    /// # Errors
    /// [`PlaneError::Pivot`] when a pivot is not positive, [`PlaneError::Memory`].
    pub fn factor(&mut self) -> Result<(), PlaneError> {
        let size = self.free.len();
        let shape =
            SymbolicSparseColMatRef::new_unsorted_checked(size, size, &self.columns, None, &self.rows);
        self.values.fill(0.0);
        factored(&self.symbolic, SparseColMatRef::new(shape, &self.entries), &mut self.values)
    }

    /// Solves for a right-hand side given over all unknowns; held ones come back as zero.
    pub fn solve(&self, side: &mut [f64]) {
        let mut column: Vec<f64> = self.free.iter().map(|unknown| side[*unknown as usize]).collect();
        solve_column(&self.symbolic, &self.values, &mut column);
        side.fill(0.0);
        for (value, &unknown) in column.iter().zip(&self.free) {
            side[unknown as usize] = *value;
        }
    }
}

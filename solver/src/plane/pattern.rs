//! Which nodes share a triangle: the pattern of the stiffness, kept apart from its values.
//!
//! The pattern is over nodes, not unknowns: each entry stands for a 2 x 2 block. That makes it a quarter of the size, and the
//! ordering is found on it too. Only the lower part is held (row >= column), column by column with rows ascending.

use super::element::PAIRS;
use geometry::mesh::Mesh;
use nalgebra_sparse::pattern::{SparsityPattern, SparsityPatternFormatError};

/// The pattern of the stiffness of one mesh, and where each triangle's blocks go in it.
#[derive(Clone, Debug)]
pub struct Pattern {
    lower: SparsityPattern,
    slots: Vec<[u32; 21]>,
}

impl Pattern {
    /// Finds the pattern. Assumes that the mesh's indices are in range ([`super::Body`] has checked them).
    ///
    /// # Errors
    /// [`SparsityPatternFormatError`] cannot come from a checked mesh; it is passed on rather than hidden.
    pub fn new(mesh: &Mesh) -> Result<Self, SparsityPatternFormatError> {
        let nodes = mesh.points.len();
        let touching = Touching::new(nodes, &mesh.triangles);
        let mut offsets = Vec::with_capacity(nodes + 1);
        let mut rows: Vec<usize> = Vec::with_capacity(nodes * 7);
        offsets.push(0);
        let mut last_seen = vec![usize::MAX; nodes];
        for column in 0..nodes {
            let start = rows.len();
            for &triangle in touching.triangles_at(column) {
                for &row in &mesh.triangles[triangle as usize] {
                    let row = row as usize;
                    if row >= column && last_seen[row] != column {
                        last_seen[row] = column;
                        rows.push(row);
                    }
                }
            }
            rows[start..].sort_unstable();
            offsets.push(rows.len());
        }
        let lower = SparsityPattern::try_from_offsets_and_indices(nodes, nodes, offsets, rows)?;
        let slots = mesh
            .triangles
            .iter()
            .map(|t| {
                PAIRS.map(|(a, b)| {
                    let (row, column) = (t[a].max(t[b]) as usize, t[a].min(t[b]) as usize);
                    let lane = lower.lane(column);
                    // Present by construction: both nodes belong to this triangle.
                    let within = lane.partition_point(|r| *r < row);
                    (lower.major_offsets()[column] + within) as u32
                })
            })
            .collect();
        Ok(Self { lower, slots })
    }

    /// Node pairs that share a triangle, lower part: lane = column, indices = rows.
    #[must_use]
    pub fn lower(&self) -> &SparsityPattern {
        &self.lower
    }

    /// The place of a pair of nodes among the entries; `None` where they share no triangle.
    #[must_use]
    pub fn slot(&self, a: u32, b: u32) -> Option<usize> {
        let (row, column) = (a.max(b) as usize, a.min(b) as usize);
        let within = self.lower.lane(column).binary_search(&row).ok()?;
        Some(self.lower.major_offsets()[column] + within)
    }

    /// For each triangle the place of each of its [`PAIRS`] among the pattern's entries.
    #[must_use]
    pub fn slots(&self) -> &[[u32; 21]] {
        &self.slots
    }

    /// Number of nodes.
    #[must_use]
    pub fn nodes(&self) -> usize {
        self.lower.major_dim()
    }
}

/// The triangles at each node, ascending.
#[derive(Clone, Debug)]
pub struct Touching {
    offsets: Vec<u32>,
    triangles: Vec<u32>,
}

impl Touching {
    /// Counts and places. `nodes`: how many nodes there are.
    #[must_use]
    pub fn new(nodes: usize, triangles: &[[u32; 6]]) -> Self {
        let mut offsets = vec![0_u32; nodes + 1];
        for node in triangles.iter().flatten() {
            offsets[*node as usize + 1] += 1;
        }
        for n in 1..offsets.len() {
            offsets[n] += offsets[n - 1];
        }
        let mut next = offsets.clone();
        let mut touching = vec![0; 6 * triangles.len()];
        for (t, nodes) in triangles.iter().enumerate() {
            for &node in nodes {
                let place = &mut next[node as usize];
                touching[*place as usize] = t as u32;
                *place += 1;
            }
        }
        Self { offsets, triangles: touching }
    }

    /// The triangles at a node.
    #[must_use]
    pub fn triangles_at(&self, node: usize) -> &[u32] {
        &self.triangles[self.offsets[node] as usize..self.offsets[node + 1] as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::super::grid::grid;
    use super::*;

    #[test]
    fn one_cell_has_two_triangles_that_share_a_side() {
        // 9 nodes; 2 x 21 pairs less the 6 pairs of the shared side.
        let pattern = Pattern::new(&grid(1, 1, &|p| p)).unwrap();
        assert_eq!(pattern.nodes(), 9);
        assert_eq!(pattern.lower().nnz(), 36);
    }

    #[test]
    fn slots_name_their_own_pair() {
        let mesh = grid(3, 2, &|p| p);
        let pattern = Pattern::new(&mesh).unwrap();
        for (t, slots) in mesh.triangles.iter().zip(pattern.slots()) {
            for (&slot, (a, b)) in slots.iter().zip(PAIRS) {
                assert_eq!(pattern.lower().minor_indices()[slot as usize], t[a].max(t[b]) as usize);
            }
        }
    }
}

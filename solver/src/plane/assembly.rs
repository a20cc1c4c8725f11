//! Summing the triangles' stiffness into that of the body.
//!
//! Triangles are computed in parallel and summed one after the other in their own order: the sums do not depend on the
//! number of threads. Batches bound the memory at large sizes.

use super::body::Body;
use super::element::{Blocks, PAIRS};
use super::pattern::Pattern;
use rayon::prelude::*;
use std::sync::Arc;

/// Triangles computed before they are summed; 4096 blocks sets are 2.8 MB.
const BATCH: usize = 4096;

/// The stiffness of a free body, N/mm: symmetric, one 2 x 2 block `[xx, xy, yx, yy]` for each entry of the lower pattern.
#[derive(Clone, Debug)]
pub struct Stiffness {
    pattern: Arc<Pattern>,
    blocks: Vec<[f64; 4]>,
}

impl Stiffness {
    /// Assembles. `pattern` must be that of the body's mesh; it does not depend on positions, breadth or material.
    ///
    /// # Panics
    /// If the pattern has another number of triangles.
    #[must_use]
    pub fn assemble(body: &Body, pattern: Arc<Pattern>) -> Self {
        assert_eq!(pattern.slots().len(), body.triangles(), "the pattern belongs to another mesh");
        let mut sum = Self::nothing(pattern);
        let mut batch: Vec<Blocks> = Vec::with_capacity(BATCH.min(body.triangles()));
        for start in (0..body.triangles()).step_by(BATCH) {
            let end = (start + BATCH).min(body.triangles());
            (start..end)
                .into_par_iter()
                .with_min_len(64)
                .map(|t| body.element_stiffness(t))
                .collect_into_vec(&mut batch);
            for (t, element) in (start..end).zip(&batch) {
                sum.add(&body.mesh().triangles[t], t, element);
            }
        }
        sum
    }

    /// No stiffness yet, on a pattern.
    #[must_use]
    pub fn nothing(pattern: Arc<Pattern>) -> Self {
        Self { blocks: vec![[0.0; 4]; pattern.lower().nnz()], pattern }
    }

    /// Adds what one triangle, with these nodes, gives.
    ///
    /// # Panics
    /// If the pattern has no such triangle.
    pub fn add(&mut self, nodes: &[u32; 6], triangle: usize, element: &Blocks) {
        for ((block, &(a, b)), &slot) in element.iter().zip(&PAIRS).zip(&self.pattern.slots()[triangle]) {
            let sum = &mut self.blocks[slot as usize];
            // Local pairs have b <= a, the pattern row >= column: turn the block where the two disagree.
            let (xy, yx) = if nodes[a] >= nodes[b] { (1, 2) } else { (2, 1) };
            sum[0] += block[0];
            sum[1] += block[xy];
            sum[2] += block[yx];
            sum[3] += block[3];
        }
    }

    /// Adds a block `[xx, xy, yx, yy]` between two nodes that share a triangle (once for both of its places).
    ///
    /// # Panics
    /// If they share none.
    pub fn add_pair(&mut self, row: u32, column: u32, [xx, xy, yx, yy]: [f64; 4]) {
        let Some(slot) = self.pattern.slot(row, column) else {
            panic!("nodes {row} and {column} share no triangle");
        };
        let sum = &mut self.blocks[slot];
        let (xy, yx) = if row >= column { (xy, yx) } else { (yx, xy) };
        for (sum, by) in sum.iter_mut().zip([xx, xy, yx, yy]) {
            *sum += by;
        }
    }

    /// Adds a part of another stiffness on the same pattern.
    ///
    /// # Panics
    /// If the pattern is another one.
    pub fn add_part(&mut self, part: f64, of: &Self) {
        assert!(Arc::ptr_eq(&self.pattern, &of.pattern), "the pattern is another one");
        for (sum, block) in self.blocks.iter_mut().zip(&of.blocks) {
            for (sum, entry) in sum.iter_mut().zip(block) {
                *sum += part * entry;
            }
        }
    }

    /// The pattern.
    #[must_use]
    pub fn pattern(&self) -> &Arc<Pattern> {
        &self.pattern
    }

    /// The 2 x 2 blocks, in the order of the pattern's entries.
    #[must_use]
    pub fn blocks(&self) -> &[[f64; 4]] {
        &self.blocks
    }

    /// Forces at the nodes, N, that go with the displacements `u`, mm.
    ///
    /// # Panics
    /// If `u` does not have one value for each unknown.
    #[must_use]
    pub fn times(&self, u: &[f64]) -> Vec<f64> {
        let lower = self.pattern.lower();
        assert_eq!(u.len(), 2 * self.pattern.nodes(), "one value for each unknown");
        let mut force = vec![0.0; u.len()];
        let mut slot = 0;
        for column in 0..self.pattern.nodes() {
            let (ux, uy) = (u[2 * column], u[2 * column + 1]);
            let (mut fx, mut fy) = (0.0, 0.0);
            for &row in lower.lane(column) {
                let [xx, xy, yx, yy] = self.blocks[slot];
                slot += 1;
                force[2 * row] += xx * ux + xy * uy;
                force[2 * row + 1] += yx * ux + yy * uy;
                if row != column {
                    fx += xx * u[2 * row] + yx * u[2 * row + 1];
                    fy += xy * u[2 * row] + yy * u[2 * row + 1];
                }
            }
            force[2 * column] += fx;
            force[2 * column + 1] += fy;
        }
        force
    }
}

#[cfg(test)]
mod tests {
    use super::super::elastic::{Elastic, PlaneState};
    use super::super::grid::grid;
    use super::*;

    const STEEL: Elastic =
        Elastic { youngs_modulus_mpa: 210e3, poisson_ratio: 0.3, state: PlaneState::Stress };

    fn stiffness() -> (Body, Stiffness) {
        let mesh = grid(5, 4, &|p| [9.0 * p[0] + p[1] * p[1], 7.0 * p[1] - p[0] * p[0]]);
        let body = Body::new(mesh, &|p| 2.0 + 0.1 * p[0], &|t| t % 3 == 0, STEEL).unwrap();
        let pattern = Arc::new(Pattern::new(body.mesh()).unwrap());
        let stiffness = Stiffness::assemble(&body, pattern);
        (body, stiffness)
    }

    #[test]
    fn rigid_motions_need_no_force() {
        let (body, k) = stiffness();
        let motions: [&dyn Fn([f64; 2]) -> [f64; 2]; 3] =
            [&|_| [1.0, 0.0], &|_| [0.0, 1.0], &|p| [-0.1 * p[1], 0.1 * p[0]]];
        for motion in motions {
            let u: Vec<f64> = body.mesh().points.iter().flat_map(|p| motion(*p)).collect();
            let largest = k.times(&u).iter().fold(0.0_f64, |m, f| m.max(f.abs()));
            // Entries of the stiffness are of the order E * breadth = 4e5 N/mm.
            assert!(largest < 1e-9 * 4e5, "{largest:e}");
        }
    }

    #[test]
    fn product_agrees_with_the_sum_over_triangles() {
        let (body, k) = stiffness();
        let u: Vec<f64> = (0..body.unknowns()).map(|i| ((i * 37 % 101) as f64 - 50.0) * 1e-4).collect();
        let mut expected = vec![0.0; u.len()];
        for (t, nodes) in body.mesh().triangles.iter().enumerate() {
            for (block, (a, b)) in body.element_stiffness(t).iter().zip(PAIRS) {
                let (a, b) = (2 * nodes[a] as usize, 2 * nodes[b] as usize);
                for i in 0..2 {
                    for j in 0..2 {
                        expected[a + i] += block[2 * i + j] * u[b + j];
                        if a != b {
                            expected[b + j] += block[2 * i + j] * u[a + i];
                        }
                    }
                }
            }
        }
        let scale = expected.iter().fold(0.0_f64, |m, f| m.max(f.abs()));
        for (a, b) in k.times(&u).iter().zip(&expected) {
            assert!((a - b).abs() < 1e-12 * scale);
        }
    }

    #[test]
    fn the_product_is_symmetric() {
        let (body, k) = stiffness();
        let field = |seed: usize| -> Vec<f64> {
            (0..body.unknowns()).map(|i| ((i * seed % 97) as f64 - 48.0) / 97.0).collect()
        };
        let (u, v) = (field(31), field(53));
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        let (vku, ukv) = (dot(&v, &k.times(&u)), dot(&u, &k.times(&v)));
        assert!((vku - ukv).abs() < 1e-12 * dot(&u, &k.times(&u)));
    }
}

//! The Cholesky factor of a held body.
//!
//! Held unknowns are left out of the system rather than weighted, so no number depends on a penalty. The matrix is handed
//! over already permuted (upper part, identity ordering): the permutation then costs nothing beyond the gather that leaving
//! out the held unknowns needs anyway. One thread factors: at the sizes met here a second one makes it slower. Right-hand
//! sides are solved in blocks of fixed width, spread over threads, so that results do not depend on the number of threads.

use super::PlaneError;
use super::assembly::Stiffness;
use super::body::Body;
use super::column::solve_column;
use super::elimination_tree::EliminationTree;
use super::ordering::elimination_order;
use super::pattern::Pattern;
use super::supports::check_held;
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LltRef, SymbolicCholesky, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side};
use rayon::prelude::*;
use std::sync::{Arc, OnceLock};

/// Columns solved together. Wide enough that the factor is read from memory seldom, narrow enough to feed several threads.
const BLOCK: usize = 16;

/// Marks an unknown that is held.
pub(super) const HELD: u32 = u32::MAX;

/// Stiffness and Cholesky factor of a body with some unknowns held at zero.
#[derive(Debug)]
pub struct Factor {
    stiffness: Stiffness,
    /// Free unknowns in order of elimination.
    pub(super) free: Arc<[u32]>,
    /// The place of each unknown in that order, or [`HELD`].
    pub(super) place: Arc<[u32]>,
    pub(super) symbolic: Arc<SymbolicCholesky<u32>>,
    pub(super) values: Vec<f64>,
    /// The elimination tree, made when it is first asked for.
    pub(super) tree: OnceLock<EliminationTree>,
}

/// The symbolic factor of a matrix whose upper half is given in order of elimination; `unknowns` is told when memory runs out.
pub(crate) fn analysed(
    upper: SymbolicSparseColMatRef<'_, u32>,
    unknowns: usize,
) -> Result<SymbolicCholesky<u32>, PlaneError> {
    factorize_symbolic_cholesky(
        upper,
        Side::Upper,
        SymmetricOrdering::Identity,
        CholeskySymbolicParams {
            // Left to itself the library takes the column-by-column method up to some 50 thousand unknowns of these thin
            // bodies, where it takes more than twice as long.
            supernodal_flop_ratio_threshold: SupernodalThreshold::FORCE_SUPERNODAL,
            ..Default::default()
        },
    )
    .map_err(|_| PlaneError::Memory { unknowns })
}

/// The numeric factor, on one thread: threads go over bodies and cases.
pub(crate) fn factored(
    symbolic: &SymbolicCholesky<u32>,
    upper: SparseColMatRef<'_, u32, f64>,
    values: &mut [f64],
) -> Result<(), PlaneError> {
    let scratch = symbolic.factorize_numeric_llt_scratch::<f64>(Par::Seq, Default::default());
    let mut memory =
        MemBuffer::try_new(scratch).map_err(|_| PlaneError::Memory { unknowns: upper.ncols() })?;
    symbolic
        .factorize_numeric_llt(
            values,
            upper,
            Side::Upper,
            LltRegularization::default(),
            Par::Seq,
            MemStack::new(&mut memory),
            Default::default(),
        )
        .map_err(|_| PlaneError::Pivot)?;
    Ok(())
}

impl Factor {
    /// Assembles and factors. `held`: unknowns held at zero, each `2 * node + axis`, in any order: three statically
    /// determinate ones for a free body ([`super::three_supports`]), or whatever a problem asks for.
    ///
    /// # Errors
    /// [`PlaneError::NotHeld`] when a part can move; [`PlaneError::HeldUnknown`], [`PlaneError::Pivot`],
    /// [`PlaneError::Memory`].
    pub fn new(body: &Body, held: &[u32]) -> Result<Self, PlaneError> {
        let unknowns = body.unknowns();
        let pattern = Pattern::new(body.mesh()).map_err(|_| PlaneError::Memory { unknowns })?;
        let stiffness = Stiffness::assemble(body, Arc::new(pattern));
        Self::from_stiffness(stiffness, &body.mesh().points, held)
    }

    /// Factors a stiffness that is already there. `points`: the positions of its nodes, mm.
    ///
    /// # Errors
    /// As [`Factor::new`].
    pub fn from_stiffness(
        stiffness: Stiffness,
        points: &[[f64; 2]],
        held: &[u32],
    ) -> Result<Self, PlaneError> {
        check_held(points, stiffness.pattern(), held)?;
        let order = elimination_order(stiffness.pattern())?;
        let unknowns = 2 * order.len();
        let mut place = vec![0_u32; unknowns];
        for &unknown in held {
            place[unknown as usize] = HELD;
        }
        let mut free = Vec::with_capacity(unknowns);
        for unknown in order.iter().flat_map(|node| [2 * node, 2 * node + 1]) {
            if place[unknown as usize] != HELD {
                place[unknown as usize] = free.len() as u32;
                free.push(unknown);
            }
        }
        Self::filled(stiffness, free.into(), place.into(), None)
    }

    /// Factors another stiffness on the same pattern and supports: order and analysis are those of this one.
    ///
    /// # Errors
    /// [`PlaneError::Pivot`] where the stiffness is not positive definite.
    ///
    /// # Panics
    /// If the stiffness stands on another pattern.
    pub fn again(&self, stiffness: Stiffness) -> Result<Self, PlaneError> {
        assert!(Arc::ptr_eq(stiffness.pattern(), self.stiffness.pattern()), "the pattern is another one");
        let [free, place] = [&self.free, &self.place].map(Arc::clone);
        Self::filled(stiffness, free, place, Some(Arc::clone(&self.symbolic)))
    }

    /// The numeric factor, with the analysis that is there or one of its own.
    fn filled(
        stiffness: Stiffness,
        free: Arc<[u32]>,
        place: Arc<[u32]>,
        symbolic: Option<Arc<SymbolicCholesky<u32>>>,
    ) -> Result<Self, PlaneError> {
        let unknowns = 2 * stiffness.pattern().nodes();
        let size = free.len();
        let (columns, rows, entries) =
            permuted_upper(&stiffness, &place, size).ok_or(PlaneError::Memory { unknowns })?;
        let pattern = SymbolicSparseColMatRef::new_unsorted_checked(size, size, &columns, None, &rows);
        let symbolic = match symbolic {
            Some(symbolic) => symbolic,
            None => Arc::new(analysed(pattern, unknowns)?),
        };
        let mut values = vec![0.0; symbolic.len_val()];
        factored(&symbolic, SparseColMatRef::new(pattern, &entries), &mut values)?;
        Ok(Self { stiffness, free, place, symbolic, values, tree: OnceLock::new() })
    }

    /// Number of unknowns, held ones included.
    #[must_use]
    pub fn unknowns(&self) -> usize {
        2 * self.stiffness.pattern().nodes()
    }

    /// Number of entries stored in the factor.
    #[must_use]
    pub fn entries(&self) -> usize {
        self.values.len()
    }

    /// The stiffness of the free body.
    #[must_use]
    pub fn stiffness(&self) -> &Stiffness {
        &self.stiffness
    }

    /// Turns forces (N) into displacements (mm), in place. `columns`: `count` columns one after the other, each with one
    /// value for every unknown. Held unknowns come back as zero; forces on them go into the supports and are ignored.
    ///
    /// Columns are solved 16 at a time: the last bits of a column may depend on how many stand in its block, never on
    /// threads.
    ///
    /// # Panics
    /// If `columns` has another length, or memory for one block runs out.
    pub fn solve_in_place(&self, columns: &mut [f64], count: usize) {
        let unknowns = self.unknowns();
        assert_eq!(columns.len(), unknowns * count, "{count} columns of {unknowns} unknowns");
        if count <= BLOCK {
            self.solve_block(columns);
        } else {
            columns.par_chunks_mut(BLOCK * unknowns).for_each(|block| self.solve_block(block));
        }
    }

    /// The displacements (mm) of one set of forces (N).
    #[must_use]
    pub fn solve(&self, forces: &[f64]) -> Vec<f64> {
        let mut u = forces.to_vec();
        self.solve_in_place(&mut u, 1);
        u
    }

    fn solve_block(&self, columns: &mut [f64]) {
        let size = self.free.len();
        let width = columns.len() / self.unknowns();
        if size == 0 || width == 0 {
            columns.fill(0.0);
            return;
        }
        let mut block = vec![0.0; size * width];
        for (reduced, column) in block.chunks_exact_mut(size).zip(columns.chunks_exact(self.unknowns())) {
            for (value, &unknown) in reduced.iter_mut().zip(self.free.iter()) {
                *value = column[unknown as usize];
            }
        }
        if width == 1 {
            solve_column(&self.symbolic, &self.values, &mut block);
        } else {
            let scratch = self.symbolic.solve_in_place_scratch::<f64>(width, Par::Seq);
            let mut memory = MemBuffer::new(scratch);
            LltRef::new(&self.symbolic, &self.values).solve_in_place_with_conj(
                Conj::No,
                MatMut::from_column_major_slice_mut(&mut block, size, width),
                Par::Seq,
                MemStack::new(&mut memory),
            );
        }
        columns.fill(0.0);
        for (reduced, column) in block.chunks_exact(size).zip(columns.chunks_exact_mut(self.unknowns())) {
            for (value, &unknown) in reduced.iter().zip(self.free.iter()) {
                column[unknown as usize] = *value;
            }
        }
    }

    /// Forces at all nodes, N, that go with displacements `u`, mm, held rows included: reactions and residuals.
    #[must_use]
    pub fn stiffness_times(&self, u: &[f64]) -> Vec<f64> {
        self.stiffness.times(u)
    }
}

/// Columns, rows and values of the upper part of the permuted matrix of the free unknowns. None when the entries outgrow
/// the index type.
fn permuted_upper(
    stiffness: &Stiffness,
    place: &[u32],
    size: usize,
) -> Option<(Vec<u32>, Vec<u32>, Vec<f64>)> {
    let lower = stiffness.pattern().lower();
    if 4 * lower.nnz() > u32::MAX as usize {
        return None;
    }
    // Visits every stored scalar once as (late place, early place, value).
    let visit = |each: &mut dyn FnMut(u32, u32, f64)| {
        let mut blocks = stiffness.blocks().iter();
        for column in 0..lower.major_dim() {
            for (&row, block) in lower.lane(column).iter().zip(&mut blocks) {
                for (n, &value) in block.iter().enumerate() {
                    if row == column && n == 1 {
                        continue;
                    }
                    let (p, q) = (place[2 * row + n / 2], place[2 * column + n % 2]);
                    if p != HELD && q != HELD {
                        each(p.max(q), p.min(q), value);
                    }
                }
            }
        }
    };
    let mut columns = vec![0_u32; size + 1];
    visit(&mut |late, _, _| columns[late as usize + 1] += 1);
    for k in 1..=size {
        columns[k] += columns[k - 1];
    }
    let mut next = columns.clone();
    let entries = columns[size] as usize;
    let (mut rows, mut values) = (vec![0_u32; entries], vec![0.0; entries]);
    visit(&mut |late, early, value| {
        let at = next[late as usize] as usize;
        rows[at] = early;
        values[at] = value;
        next[late as usize] += 1;
    });
    Some((columns, rows, values))
}

#[cfg(test)]
mod tests {
    use super::super::elastic::{Elastic, PlaneState};
    use super::super::grid::grid;
    use super::super::three_supports;
    use super::*;

    const STEEL: Elastic =
        Elastic { youngs_modulus_mpa: 210e3, poisson_ratio: 0.3, state: PlaneState::Stress };

    fn bar() -> Body {
        let mesh = grid(24, 6, &|p| [24.0 * p[0], 6.0 * p[1]]);
        Body::new(mesh, &|p| 2.0 + (0.2 * p[0]).sin(), &|_| false, STEEL).unwrap()
    }

    fn load(unknowns: usize, seed: usize) -> Vec<f64> {
        (0..unknowns).map(|i| ((i * seed % 1009) as f64 - 504.0) / 504.0).collect()
    }

    #[test]
    fn forces_come_back_from_displacements() {
        let body = bar();
        let held = three_supports(body.mesh(), &|_| false).unwrap();
        let factor = Factor::new(&body, &held).unwrap();
        let f = load(body.unknowns(), 61);
        let u = factor.solve(&f);
        let back = factor.stiffness_times(&u);
        for (unknown, (a, b)) in back.iter().zip(&f).enumerate() {
            if held.contains(&(unknown as u32)) {
                assert_eq!(u[unknown], 0.0);
            } else {
                assert!((a - b).abs() < 1e-8, "unknown {unknown}: {a} {b}");
            }
        }
    }

    #[test]
    fn many_columns_do_not_depend_on_threads() {
        let body = bar();
        let factor = Factor::new(&body, &three_supports(body.mesh(), &|_| false).unwrap()).unwrap();
        let n = body.unknowns();
        let columns: Vec<f64> = (1..=50).flat_map(|seed| load(n, seed)).collect();
        let solve = |threads: usize| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            let mut columns = columns.clone();
            pool.install(|| factor.solve_in_place(&mut columns, 50));
            columns
        };
        let one = solve(1);
        assert_eq!(one, solve(3));
        // And each column is what it is alone, up to rounding.
        for k in [0, 17, 49] {
            let alone = factor.solve(&columns[k * n..(k + 1) * n]);
            let scale = alone.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
            for (a, b) in alone.iter().zip(&one[k * n..]) {
                assert!((a - b).abs() < 1e-10 * scale);
            }
        }
    }

    #[test]
    fn a_loose_body_is_an_error_not_a_panic() {
        let body = bar();
        assert_eq!(Factor::new(&body, &[]).unwrap_err(), PlaneError::NotHeld { node: 0 });
        assert_eq!(Factor::new(&body, &[0, 1]).unwrap_err(), PlaneError::NotHeld { node: 0 });
    }

    #[test]
    fn everything_held_moves_nowhere() {
        let body = bar();
        let all: Vec<u32> = (0..body.unknowns() as u32).collect();
        let factor = Factor::new(&body, &all).unwrap();
        assert!(factor.solve(&load(body.unknowns(), 7)).iter().all(|u| *u == 0.0));
        let halves = factor.halves(&[&[(3, 1.0)]]);
        let u = factor.solve_halves(halves.iter().map(|half| (half, 2.0)));
        assert!(u.len() == body.unknowns() && u.iter().all(|u| *u == 0.0));
    }
}

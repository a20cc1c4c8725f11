//! One column through a Cholesky factor, forward and back.
//!
//! The library solves blocks of columns well; a single one it takes through general products of matrices, supernode by
//! supernode, which takes two to three times as long as reading the factor along its columns.
//!
//! What sums long rows is compiled for wide registers too, and the machine's own are chosen as it runs. The order of every sum is
//! fixed and nothing is fused: the bits are the same on all of them.

use faer::sparse::linalg::cholesky::supernodal::{SupernodalLltRef, SupernodeRef};
use faer::sparse::linalg::cholesky::{SymbolicCholesky, SymbolicCholeskyRaw};
use pulp::{Arch, NullaryFnOnce};

/// Columns of a supernode taken together.
const WIDE: usize = 4;

/// Turns a right-hand side into the solution of `L L' x = b`, in place. `column`: one value for each unknown of the factor, in
/// order of elimination.
pub(crate) fn solve_column(symbolic: &SymbolicCholesky<u32>, values: &[f64], column: &mut [f64]) {
    // Where all is held the library makes no supernodes.
    if column.is_empty() {
        return;
    }
    let factor = supernodes(symbolic, values);
    let mut outside = vec![0.0; column.len()];
    for k in 0..factor.symbolic().n_supernodes() {
        forward(&factor.supernode(k), column, &mut outside);
    }
    solve_back(symbolic, values, column);
}

/// Turns `L^-1 b` into the solution of `L L' x = b`, in place.
pub(crate) fn solve_back(symbolic: &SymbolicCholesky<u32>, values: &[f64], column: &mut [f64]) {
    if column.is_empty() {
        return;
    }
    let factor = supernodes(symbolic, values);
    let supernodes = (0..factor.symbolic().n_supernodes()).rev();
    Arch::new().dispatch(Back { factor, supernodes, column });
}

/// The same for the unknowns of some supernodes, rising, which hold all that are above one of them.
pub(super) fn solve_back_on(
    way: &[u32],
    symbolic: &SymbolicCholesky<u32>,
    values: &[f64],
    column: &mut [f64],
) {
    if column.is_empty() {
        return;
    }
    let factor = supernodes(symbolic, values);
    Arch::new().dispatch(Back { factor, supernodes: way.iter().rev().map(|k| *k as usize), column });
}

/// The factor by its supernodes, for one unknown at least.
pub(super) fn supernodes<'a>(
    symbolic: &'a SymbolicCholesky<u32>,
    values: &'a [f64],
) -> SupernodalLltRef<'a, u32, f64> {
    let SymbolicCholeskyRaw::Supernodal(symbolic) = symbolic.raw() else {
        unreachable!("factors are made by the supernodal method")
    };
    SupernodalLltRef::new(symbolic, values)
}

/// The entries of column `j` of a supernode, its own rows first.
fn entries<'a>(block: &SupernodeRef<'a, u32, f64>, j: usize) -> &'a [f64] {
    let Some(column) = block.val().col(j).try_as_col_major() else {
        unreachable!("a supernode is stored by columns")
    };
    column.as_slice()
}

/// Solves for the unknowns of a supernode and takes their effect from those above it.
fn forward(block: &SupernodeRef<'_, u32, f64>, column: &mut [f64], outside: &mut [f64]) {
    let (start, pattern, size) = (block.start(), block.pattern(), block.val().ncols());
    for j in 0..size {
        let own = &entries(block, j)[..size];
        let (head, rest) = column[start + j..start + size].split_at_mut(1);
        head[0] /= own[j];
        for (to, entry) in rest.iter_mut().zip(&own[j + 1..]) {
            *to -= entry * head[0];
        }
    }
    let outside = &mut outside[..pattern.len()];
    outside.fill(0.0);
    let mut j = 0;
    while j + WIDE <= size {
        let [a, b, c, d] = [0, 1, 2, 3].map(|i| &entries(block, j + i)[size..]);
        let [x, y, z, w] = [0, 1, 2, 3].map(|i| column[start + j + i]);
        for ((((to, a), b), c), d) in outside.iter_mut().zip(a).zip(b).zip(c).zip(d) {
            *to += (a * x + b * y) + (c * z + d * w);
        }
        j += WIDE;
    }
    for j in j..size {
        let x = column[start + j];
        for (to, entry) in outside.iter_mut().zip(&entries(block, j)[size..]) {
            *to += entry * x;
        }
    }
    for (row, value) in pattern.iter().zip(&*outside) {
        column[*row as usize] -= value;
    }
}

/// One column back through some supernodes, falling.
struct Back<'a, I> {
    factor: SupernodalLltRef<'a, u32, f64>,
    supernodes: I,
    column: &'a mut [f64],
}

impl<I: Iterator<Item = usize> + Clone> NullaryFnOnce for Back<'_, I> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        let widest = self.supernodes.clone().map(|k| self.factor.supernode(k).pattern().len()).max();
        let mut outside = vec![0.0; widest.unwrap_or(0)];
        for k in self.supernodes {
            back(&self.factor.supernode(k), self.column, &mut outside);
        }
    }
}

/// Takes the effect of the unknowns above a supernode from its own, and solves for those.
#[inline(always)]
fn back(block: &SupernodeRef<'_, u32, f64>, column: &mut [f64], outside: &mut [f64]) {
    let (start, pattern, size) = (block.start(), block.pattern(), block.val().ncols());
    let outside = &mut outside[..pattern.len()];
    for (value, row) in outside.iter_mut().zip(pattern) {
        *value = column[*row as usize];
    }
    for j in (0..size).rev() {
        let entries = entries(block, j);
        let (own, above) = entries.split_at(size);
        let (head, rest) = column[start + j..start + size].split_at_mut(1);
        head[0] = (head[0] - product(&own[j + 1..], rest) - product(above, outside)) / own[j];
    }
}

/// Eight interleaved sums; the order is fixed.
#[inline(always)]
pub(super) fn product(a: &[f64], b: &[f64]) -> f64 {
    let ((a, a_rest), (b, b_rest)) = (a.as_chunks::<8>(), b.as_chunks::<8>());
    let mut sums = [0.0; 8];
    for (x, y) in a.iter().zip(b) {
        for k in 0..8 {
            sums[k] += x[k] * y[k];
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(x, y)| x * y).sum();
    let [a, b, c, d, e, f, g, h] = sums;
    ((a + b) + (c + d)) + ((e + f) + (g + h)) + rest
}

//! The elimination tree of a factor, by supernodes: what is found through what.

use faer::sparse::linalg::cholesky::supernodal::SymbolicSupernodalCholesky;

/// The elimination tree by supernodes.
#[derive(Debug)]
pub(super) struct EliminationTree {
    /// Supernode of each unknown.
    pub holder: Vec<u32>,
    /// Supernode above each supernode; itself at a root.
    above: Vec<u32>,
}

impl EliminationTree {
    pub fn new(symbolic: &SymbolicSupernodalCholesky<u32>) -> Self {
        let mut holder = vec![0; symbolic.nrows()];
        let ends = symbolic.supernode_begin().iter().zip(symbolic.supernode_end());
        for (supernode, (begin, end)) in (0..).zip(ends) {
            holder[*begin as usize..*end as usize].fill(supernode);
        }
        let above = (0..)
            .take(symbolic.n_supernodes())
            .map(|s: u32| {
                let pattern = symbolic.supernode(s as usize).pattern();
                // Rows rise, so that the first is the nearest above.
                debug_assert!(pattern.is_sorted());
                pattern.first().map_or(s, |row| holder[*row as usize])
            })
            .collect();
        Self { holder, above }
    }

    /// All supernodes from these up to their roots, rising: children before parents.
    pub fn ways_to_root(&self, from: Vec<u32>) -> Vec<u32> {
        let mut way = Vec::new();
        let mut seen = vec![false; self.above.len()];
        for mut at in from {
            while !std::mem::replace(&mut seen[at as usize], true) {
                way.push(at);
                at = self.above[at as usize];
            }
        }
        way.sort_unstable();
        way
    }
}

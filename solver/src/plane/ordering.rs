//! The order in which nodes are eliminated.
//!
//! Minimum degree on the node graph, then a postorder of the elimination tree. The node graph is a quarter of the size of
//! the graph of unknowns and gives the same fill. The postorder changes no fill either, but lets columns with like patterns
//! stand side by side: without it the numeric factorization took 1.6 to 1.9 times longer.

use super::PlaneError;
use super::pattern::Pattern;
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::SymbolicSparseColMatRef;
use faer::sparse::linalg::amd;

/// Nodes in order of elimination.
///
/// # Errors
/// [`PlaneError::Memory`] when the graph does not fit.
pub fn elimination_order(pattern: &Pattern) -> Result<Vec<u32>, PlaneError> {
    let nodes = pattern.nodes();
    let full = || PlaneError::Memory { unknowns: 2 * nodes };
    let lower = pattern.lower();
    if u32::try_from(lower.nnz()).is_err() {
        return Err(full());
    }
    let columns: Vec<u32> = lower.major_offsets().iter().map(|o| *o as u32).collect();
    let rows: Vec<u32> = lower.minor_indices().iter().map(|r| *r as u32).collect();
    let graph = SymbolicSparseColMatRef::new_checked(nodes, nodes, &columns, None, &rows);
    let (mut order, mut place) = (vec![0_u32; nodes], vec![0_u32; nodes]);
    let mut memory = MemBuffer::try_new(amd::order_scratch::<u32>(nodes, rows.len())).map_err(|_| full())?;
    amd::order(&mut order, &mut place, graph, amd::Control::default(), MemStack::new(&mut memory))
        .map_err(|_| full())?;
    let parents = elimination_tree(&columns, &rows, &place);
    Ok(postorder(&parents).into_iter().map(|k| order[k as usize]).collect())
}

/// Marks the root of a tree.
const NONE: u32 = u32::MAX;

/// Parent of each eliminated position (Liu's algorithm, with path compression). `place`: position of each node.
fn elimination_tree(columns: &[u32], rows: &[u32], place: &[u32]) -> Vec<u32> {
    let nodes = place.len();
    // Earlier neighbours of each position, by counting sort.
    let mut starts = vec![0_u32; nodes + 1];
    let pairs = || {
        (0..nodes).flat_map(move |c| {
            rows[columns[c] as usize..columns[c + 1] as usize].iter().map(move |r| {
                let (p, q) = (place[c], place[*r as usize]);
                (p.max(q), p.min(q))
            })
        })
    };
    for (late, _) in pairs() {
        starts[late as usize + 1] += 1;
    }
    for k in 1..=nodes {
        starts[k] += starts[k - 1];
    }
    let mut next = starts.clone();
    let mut earlier = vec![0_u32; rows.len()];
    for (late, early) in pairs() {
        earlier[next[late as usize] as usize] = early;
        next[late as usize] += 1;
    }
    let mut parents = vec![NONE; nodes];
    let mut ancestors = vec![NONE; nodes];
    for k in 0..nodes {
        for &early in &earlier[starts[k] as usize..starts[k + 1] as usize] {
            let mut at = early;
            while at != k as u32 {
                let above = std::mem::replace(&mut ancestors[at as usize], k as u32);
                if above == NONE {
                    parents[at as usize] = k as u32;
                    break;
                }
                at = above;
            }
        }
    }
    parents
}

/// Positions in postorder: every subtree stands together, children before parents, in ascending order.
fn postorder(parents: &[u32]) -> Vec<u32> {
    let nodes = parents.len();
    let (mut first_child, mut next_sibling) = (vec![NONE; nodes], vec![NONE; nodes]);
    let mut first_root = NONE;
    for k in (0..nodes).rev() {
        let head = if parents[k] == NONE { &mut first_root } else { &mut first_child[parents[k] as usize] };
        next_sibling[k] = std::mem::replace(head, k as u32);
    }
    let mut order = Vec::with_capacity(nodes);
    let mut stack = Vec::new();
    let mut root = first_root;
    while root != NONE {
        stack.push(root);
        while let Some(&top) = stack.last() {
            let child = std::mem::replace(&mut first_child[top as usize], NONE);
            if child == NONE {
                order.push(top);
                stack.pop();
                // Go on with the sibling in place of the finished node.
                let sibling = next_sibling[top as usize];
                if sibling != NONE && !stack.is_empty() {
                    stack.push(sibling);
                }
            } else {
                stack.push(child);
            }
        }
        root = next_sibling[root as usize];
    }
    order
}

#[cfg(test)]
mod tests {
    use super::super::grid::grid;
    use super::*;

    #[test]
    fn order_is_a_permutation() {
        let pattern = Pattern::new(&grid(7, 5, &|p| p)).unwrap();
        let mut order = elimination_order(&pattern).unwrap();
        order.sort_unstable();
        assert!(order.iter().enumerate().all(|(i, n)| i == *n as usize));
        assert_eq!(order.len(), 165);
    }

    #[test]
    fn postorder_keeps_subtrees_together() {
        // Two trees: 0 -> 4, 2 -> 4, 1 -> 3, 3 -> 5, 4 -> 5; and 6 alone.
        assert_eq!(postorder(&[4, 3, 4, 5, 5, NONE, NONE]), [1, 3, 0, 2, 4, 5, 6]);
    }

    #[test]
    fn tree_of_a_chain_is_the_chain() {
        // 0 - 1 - 2 - 3, eliminated in that order: lower columns with diagonal.
        let (columns, rows) = ([0, 2, 4, 6, 7], [0, 1, 1, 2, 2, 3, 3]);
        assert_eq!(elimination_tree(&columns, &rows, &[0, 1, 2, 3]), [1, 2, 3, NONE]);
    }
}

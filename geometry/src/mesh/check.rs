//! What must hold of every mesh, and what can be measured of it.

use super::{Mesh, NamedEdge};
use crate::curve::Point;
use thiserror::Error;

/// A way in which a mesh is broken. Displayed as it is held, for tests.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("{self:?}")]
pub enum MeshFault {
    /// A coordinate is not a number.
    NotFinite {
        /// The node.
        node: u32,
    },
    /// A triangle or edge names a node that is not there.
    NoSuchNode {
        /// The node.
        node: u32,
    },
    /// A node belongs to no triangle and would have no stiffness.
    Unused {
        /// The node.
        node: u32,
    },
    /// A triangle is turned over or folded.
    Folded {
        /// The triangle.
        triangle: usize,
        /// Which of its six nodes; 6 is its middle.
        corner: usize,
        /// The Jacobian there, mm^2; must be positive.
        jacobian: f64,
    },
    /// Two triangles run along a side in the same direction, or more than two meet there.
    Doubled {
        /// Start of the side.
        from: u32,
        /// End of the side.
        to: u32,
    },
    /// A side or named edge disagrees about which node is in its middle.
    Middle {
        /// Start of the side.
        from: u32,
        /// End of the side.
        to: u32,
    },
    /// A named edge is no side of the triangles it should be a side of.
    Edge {
        /// Start of the edge.
        from: u32,
        /// End of the edge.
        to: u32,
    },
    /// A side with material on one side only is missing from the boundary.
    FreeSide {
        /// Start of the side.
        from: u32,
        /// End of the side.
        to: u32,
    },
    /// Boundary edges do not join into loops.
    OpenBoundary {
        /// The node where it breaks.
        node: u32,
    },
}

impl Mesh {
    /// Tests everything the type promises, save what needs the curves: mid-side nodes on them.
    ///
    /// # Errors
    /// The first fault found.
    pub fn check(&self) -> Result<(), MeshFault> {
        self.check_nodes()?;
        for (triangle, nodes) in self.triangles.iter().enumerate() {
            let at = nodes.map(|node| self.points[node as usize]);
            if let Some((corner, jacobian)) = folded_at(&at) {
                return Err(MeshFault::Folded { triangle, corner, jacobian });
            }
        }
        self.check_sides()?;
        self.check_loops()
    }

    /// Area, mm^2, curved sides included; exact for the six-node shape up to rounding.
    #[must_use]
    pub fn area(&self) -> f64 {
        // The Jacobian is a quadratic polynomial, which these three points integrate exactly.
        const THIRDS: [Point; 3] = [[1.0 / 6.0, 1.0 / 6.0], [2.0 / 3.0, 1.0 / 6.0], [1.0 / 6.0, 2.0 / 3.0]];
        let mut sum = 0.0;
        for nodes in &self.triangles {
            let at = nodes.map(|node| self.points[node as usize]);
            sum += THIRDS.iter().map(|&[xi, eta]| jacobian(&at, xi, eta)).sum::<f64>() / 6.0;
        }
        sum
    }

    /// Length of a named edge along its parabola, mm; three Gauss points.
    #[must_use]
    pub fn edge_length(&self, edge: &NamedEdge) -> f64 {
        let [a, b, m] = edge.nodes.map(|node| self.points[node as usize]);
        let reach = 0.6_f64.sqrt();
        let mut sum = 0.0;
        for (s, weight) in [(-reach, 5.0 / 9.0), (0.0, 8.0 / 9.0), (reach, 5.0 / 9.0)] {
            let rate = [0, 1].map(|i| (s - 0.5) * a[i] + (s + 0.5) * b[i] - 2.0 * s * m[i]);
            sum += weight * rate[0].hypot(rate[1]);
        }
        sum
    }

    /// Number of nodes, corners and middles together.
    #[must_use]
    pub fn node_count(&self) -> usize {
        self.points.len()
    }

    /// Number of triangles.
    #[must_use]
    pub fn triangle_count(&self) -> usize {
        self.triangles.len()
    }

    fn check_nodes(&self) -> Result<(), MeshFault> {
        let mut used = vec![false; self.points.len()];
        for &node in self.triangles.iter().flatten() {
            *used.get_mut(node as usize).ok_or(MeshFault::NoSuchNode { node })? = true;
        }
        for &node in self.boundary.iter().chain(&self.lines).flat_map(|edge| &edge.nodes) {
            if node as usize >= used.len() {
                return Err(MeshFault::NoSuchNode { node });
            }
        }
        for (node, (point, used)) in self.points.iter().zip(used).enumerate() {
            let node = node as u32;
            if !used {
                return Err(MeshFault::Unused { node });
            }
            if !point.iter().all(|x| x.is_finite()) {
                return Err(MeshFault::NotFinite { node });
            }
        }
        Ok(())
    }

    /// Sides pair up in opposite directions; free ones are the boundary.
    fn check_sides(&self) -> Result<(), MeshFault> {
        let mut sides: Vec<[u32; 3]> = Vec::with_capacity(3 * self.triangles.len());
        for nodes in &self.triangles {
            sides.extend((0..3).map(|i| [nodes[i], nodes[(i + 1) % 3], nodes[3 + i]]));
        }
        sides.sort_unstable();
        for pair in sides.windows(2) {
            if pair[0][..2] == pair[1][..2] {
                return Err(MeshFault::Doubled { from: pair[0][0], to: pair[0][1] });
            }
        }
        let middle = |from: u32, to: u32| {
            sides.binary_search_by(|side| [side[0], side[1]].cmp(&[from, to])).ok().map(|i| sides[i][2])
        };
        let mut free = 0;
        for &[from, to, m] in &sides {
            match middle(to, from) {
                Some(other) if other != m => return Err(MeshFault::Middle { from, to }),
                Some(_) => {}
                None => free += 1,
            }
        }
        for (edges, is_free) in [(&self.boundary, true), (&self.lines, false)] {
            for edge in edges {
                let [from, to, m] = edge.nodes;
                if middle(from, to).is_none() || middle(to, from).is_none() != is_free {
                    return Err(MeshFault::Edge { from, to });
                }
                if middle(from, to) != Some(m) {
                    return Err(MeshFault::Middle { from, to });
                }
            }
        }
        let mut boundary: Vec<[u32; 2]> = self.boundary.iter().map(|e| [e.nodes[0], e.nodes[1]]).collect();
        boundary.sort_unstable();
        boundary.dedup();
        if boundary.len() != free || boundary.len() != self.boundary.len() {
            let lost = sides.iter().find(|&&[from, to, _]| {
                middle(to, from).is_none() && boundary.binary_search(&[from, to]).is_err()
            });
            let [from, to] = lost.map_or([0, 0], |&[from, to, _]| [from, to]);
            return Err(MeshFault::FreeSide { from, to });
        }
        Ok(())
    }

    /// Each edge starts where the one before ended, or closes its loop and a new one starts.
    fn check_loops(&self) -> Result<(), MeshFault> {
        let mut first = None;
        for (i, edge) in self.boundary.iter().enumerate() {
            let start = *first.get_or_insert(edge.nodes[0]);
            let end = edge.nodes[1];
            let next = self.boundary.get(i + 1).map(|edge| edge.nodes[0]);
            if end == start {
                first = None;
            } else if next != Some(end) {
                return Err(MeshFault::OpenBoundary { node: end });
            }
        }
        Ok(())
    }
}

/// Local coordinates of the six nodes, then of the middle.
const LOCAL: [Point; 7] =
    [[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.5, 0.0], [0.5, 0.5], [0.0, 0.5], [1.0 / 3.0, 1.0 / 3.0]];

/// The first of the six nodes and the middle where the Jacobian is not positive, with the Jacobian there.
pub(super) fn folded_at(at: &[Point; 6]) -> Option<(usize, f64)> {
    let jacobians = LOCAL.iter().map(|&[xi, eta]| jacobian(at, xi, eta));
    jacobians.enumerate().find(|&(_, jacobian)| jacobian.is_nan() || jacobian <= 0.0)
}

/// Determinant of the map from local coordinates, mm^2.
fn jacobian(at: &[Point; 6], xi: f64, eta: f64) -> f64 {
    // xi, eta: local coordinates; zeta = 1 - xi - eta belongs to corner 0.
    let zeta = 1.0 - xi - eta;
    let by_xi = [1.0 - 4.0 * zeta, 4.0 * xi - 1.0, 0.0, 4.0 * (zeta - xi), 4.0 * eta, -4.0 * eta];
    let by_eta = [1.0 - 4.0 * zeta, 0.0, 4.0 * eta - 1.0, -4.0 * xi, 4.0 * xi, 4.0 * (zeta - eta)];
    let sum =
        |weights: &[f64; 6], axis: usize| -> f64 { weights.iter().zip(at).map(|(w, p)| w * p[axis]).sum() };
    sum(&by_xi, 0) * sum(&by_eta, 1) - sum(&by_xi, 1) * sum(&by_eta, 0)
}

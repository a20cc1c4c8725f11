//! Six-node triangles over a region.

use crate::curve::Point;
use crate::region::Stretch;

/// A mesh of six-node triangles over one body.
///
/// Checked by [`Mesh::check`]: triangles counter-clockwise with positive Jacobian, every node used, boundary edges closed
/// into loops with material on the left, mid-side nodes on the true curves.
#[derive(Clone, Debug)]
pub struct Mesh {
    /// Node positions, mm.
    pub points: Vec<Point>,
    /// Nodes of each triangle: corners 0 1 2 counter-clockwise, then the middles of sides 01, 12, 20.
    pub triangles: Vec<[u32; 6]>,
    /// Edges on the outline, in order along each loop.
    pub boundary: Vec<NamedEdge>,
    /// Edges on inner lines, in order along each line.
    pub lines: Vec<NamedEdge>,
    /// Smallest corner angle over all triangles (straight-sided), degrees.
    pub min_angle_deg: f64,
    /// False when the refinement ran out of its budget.
    pub refinement_complete: bool,
}

/// A quadratic edge that keeps the name of the curve it came from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NamedEdge {
    /// Start, end, middle.
    pub nodes: [u32; 3],
    /// The stretch it lies on.
    pub stretch: Stretch,
}

//! The finite-element core for one elastic body in the plane.
//!
//! Six-node isoparametric triangles with a breadth that varies from point to point, a sparse Cholesky factor, stress
//! recovery and an estimate of the error. Nothing here knows connectors: a [`Body`] is a mesh, a breadth and a material.
//!
//! Conventions: mm, N, MPa. Unknown `2 * node + axis` is the displacement of a node along x (axis 0) or y (axis 1).
//! Stress is `[xx, yy, xy]`, tension positive, in global axes. Triangles run counter-clockwise; outline edges have material
//! on their left.
//!
//! Work that only depends on the mesh ([`Pattern`], [`Recovery`], [`Locator`]), on mesh, breadth and material ([`Stiffness`],
//! [`Factor`]) and on the load (a displacement field) is kept apart, because a change of rig must not repeat the former two.

pub mod assembly;
pub mod body;
pub(crate) mod column;
pub mod cut;
pub mod edge;
pub mod elastic;
pub mod element;
mod elimination_tree;
pub mod error_estimate;
pub mod factor;
pub mod grid;
pub mod half;
pub mod loads;
pub mod locate;
pub mod ordering;
mod patch;
pub mod pattern;
pub mod prescribed;
pub mod quadrature;
pub mod recovery;
pub mod stress;
mod summed;
pub mod supports;

#[cfg(test)]
mod conformance;
#[cfg(test)]
mod tests;

pub use assembly::Stiffness;
pub use body::Body;
pub use elastic::{Elastic, PlaneState};
pub use factor::Factor;
pub use half::{Half, Way};
pub use locate::{Locator, PointRow};
pub use pattern::Pattern;
pub use recovery::Recovery;
pub use summed::summed;
pub use supports::three_supports;

use geometry::curve::Point;
use thiserror::Error;

/// What keeps a body from being computed. Displayed as it is held, for logs; people read `report::building`.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("{self:?}")]
pub enum PlaneError {
    /// The material cannot hold a body together.
    Material {
        /// Modulus found, MPa.
        youngs_modulus_mpa: f64,
        /// Ratio found.
        poisson_ratio: f64,
    },
    /// The mesh has no triangles, or more nodes than an index can count.
    MeshSize {
        /// Triangles found.
        triangles: usize,
        /// Nodes found.
        nodes: usize,
    },
    /// A triangle names a node that does not exist.
    MissingNode {
        /// The triangle.
        triangle: usize,
        /// The node it names.
        node: u32,
    },
    /// A node that no triangle uses has no stiffness.
    UnusedNode {
        /// The node.
        node: u32,
    },
    /// A triangle is turned over or folded by its curved sides.
    Folded {
        /// The triangle.
        triangle: usize,
        /// Its first corner, mm.
        at: Point,
        /// Smallest Jacobian found, mm^2.
        jacobian: f64,
    },
    /// The breadth at an integration point is not a positive number.
    Breadth {
        /// Where, mm.
        at: Point,
        /// Breadth found, mm.
        breadth_mm: f64,
    },
    /// An unknown is held that does not exist.
    HeldUnknown {
        /// The unknown.
        unknown: u32,
        /// How many there are.
        unknowns: usize,
    },
    /// Some connected part can move as a rigid body.
    NotHeld {
        /// A node of the part.
        node: u32,
    },
    /// The stiffness is not positive definite although every part is held: numbers of very different size.
    Pivot,
    /// Not enough memory, or too many entries for the index type.
    Memory {
        /// Size of the system.
        unknowns: usize,
    },
}

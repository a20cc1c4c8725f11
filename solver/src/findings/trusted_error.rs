//! The mesh's error where stress is a result.
//!
//! Beside contacts and unfilleted corners stress grows with every refinement, and so does what its energy lacks: counted in,
//! it would hide how good the mesh is everywhere else, and no mesh would ever be fine enough.

use super::Untrusted;
use crate::plane::error_estimate::{ErrorEstimate, estimate};
use crate::response::Response;
use crate::system::{Side, System};

/// Estimated error of one body under a response.
#[derive(Clone, Debug)]
pub struct TrustedError {
    /// The estimate, triangle by triangle.
    pub estimate: ErrorEstimate,
    /// Smooth stress, row by row of the body's recovery.
    pub rows: Vec<[f64; 3]>,
    /// Of each triangle: true where stress is a result at all of its nodes.
    pub trusted: Vec<bool>,
}

impl TrustedError {
    /// Estimates one body.
    #[must_use]
    pub fn new(system: &System, response: &Response, side: Side) -> Self {
        let part = system.part(side);
        let u = response.displacements(side);
        let rows = part.recovery().row_stress(&part.body, u);
        let estimate = estimate(&part.body, part.recovery(), u, &rows);
        let untrusted = Untrusted::new(system, response, side);
        let mesh = part.body.mesh();
        let at_node: Vec<bool> = mesh.points.iter().map(|p| untrusted.trusts(*p)).collect();
        let trusted = mesh.triangles.iter().map(|t| t.iter().all(|n| at_node[*n as usize])).collect();
        Self { estimate, rows, trusted }
    }
}

/// Error of both bodies in the energy norm where stress is a result, percent of the energy norm there: 0 to 100. `None` where
/// stress is a result nowhere, or nothing is stressed.
#[must_use]
pub fn energy_error_percent(bodies: &[TrustedError; 2]) -> Option<f64> {
    let (mut error, mut energy) = (0.0, 0.0);
    for body in bodies {
        let triangles = body.estimate.per_triangle.iter().zip(&body.estimate.energy_per_triangle);
        for ((e, all), _) in triangles.zip(&body.trusted).filter(|(_, trusted)| **trusted) {
            error += e * e;
            energy += all * all;
        }
    }
    let whole = error + energy;
    (whole > 0.0).then(|| 100.0 * (error / whole).sqrt())
}

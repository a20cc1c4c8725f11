//! Bodies that cannot be computed.

use solver::plane::PlaneError;

/// Why a body has no stiffness, or none that can be factored.
pub(super) fn words(error: &PlaneError) -> String {
    match error {
        PlaneError::Material { youngs_modulus_mpa, poisson_ratio } => format!(
            "material: Young's modulus {youngs_modulus_mpa} MPa, Poisson's ratio {poisson_ratio}; the modulus must be \
             positive and the ratio between -1 and 0.5"
        ),
        PlaneError::MeshSize { triangles, nodes } => format!(
            "mesh of {triangles} triangles and {nodes} nodes; at least one triangle and at most 2^30 nodes are needed"
        ),
        PlaneError::MissingNode { triangle, node } => {
            format!("triangle {triangle} names node {node}, which does not exist")
        }
        PlaneError::UnusedNode { node } => format!("node {node} belongs to no triangle"),
        PlaneError::Folded { triangle, at: [x, y], jacobian } => format!(
            "triangle {triangle} near ({x:.3}, {y:.3}) mm is folded (Jacobian {jacobian:.3e} mm^2, must be positive)"
        ),
        PlaneError::Breadth { at: [x, y], breadth_mm } => {
            format!("breadth {breadth_mm} mm at ({x:.3}, {y:.3}) mm; it must be finite and positive")
        }
        PlaneError::HeldUnknown { unknown, unknowns } => {
            format!("unknown {unknown} is held, but there are only {unknowns}")
        }
        PlaneError::NotHeld { node } => format!(
            "the part around node {node} is not held: it can move or turn freely\nhold at least three of its unknowns, not all \
             through one point"
        ),
        PlaneError::Pivot => {
            "the stiffness could not be factored: a pivot is not positive\nlook for triangles or breadths of \
                              very different size"
                .to_owned()
        }
        PlaneError::Memory { unknowns } => {
            format!("the factor of {unknowns} unknowns does not fit in memory")
        }
    }
}

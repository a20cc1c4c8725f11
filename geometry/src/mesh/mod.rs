//! Six-node triangles over a region.
//!
//! Curves are cut into chords of the wanted length (`split`), points are spread over the material at the wanted distance
//! (`seed`), and one constrained Delaunay triangulation is refined once to an angle limit (`refine`). Seeding first and
//! refining once is some twenty times faster than inserting in passes until sizes fit. Points that refinement puts on
//! chords are moved to the true curve; where that spoils an angle, the moved points are triangulated again.
//!
//! Limits: angles between pieces of the outline that are sharper than the limit stay as sharp as they are, and sizes
//! should not grow by more than about a third of the distance walked.

mod check;
mod crossing;
mod estimate;
mod finish;
mod inside;
mod refine;
mod seed;
mod split;
#[cfg(test)]
mod tests;

pub use check::MeshFault;
pub use estimate::{wanted_nodes, wanted_triangles};

use crate::curve::Point;
use crate::region::{Region, Stretch};
use thiserror::Error;

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

/// How a mesh is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeshSettings {
    /// Most points that the refinement may add to what the size asks for.
    pub max_added_points: usize,
    /// Smallest corner angle that the refinement works towards, degrees; above 30 it may not end.
    pub angle_limit_deg: f64,
}

impl Default for MeshSettings {
    fn default() -> Self {
        Self { max_added_points: 60_000, angle_limit_deg: 30.0 }
    }
}

/// Why a region cannot be meshed. Displayed as it is held, for logs; people read `report::building`.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("{self:?}")]
pub enum MeshError {
    /// No outline.
    Empty,
    /// A curve has points that are no numbers.
    NotFinite {
        /// The stretch.
        stretch: Stretch,
    },
    /// A piece without length.
    NoLength {
        /// The stretch.
        stretch: Stretch,
        /// Where.
        near: Point,
    },
    /// Consecutive pieces of a loop do not meet.
    Open {
        /// The stretch that ends in the open.
        stretch: Stretch,
        /// Its end.
        near: Point,
        /// Distance to the start of the next piece, mm.
        gap_mm: f64,
    },
    /// Two pieces cross or touch away from their ends.
    Crossing {
        /// The stretch that comes first.
        first: Stretch,
        /// The other.
        second: Stretch,
        /// Where, to within an edge's distance from its curve.
        near: Point,
    },
    /// A loop has its material on the right, or lies in no material.
    WrongSide {
        /// The stretch.
        stretch: Stretch,
        /// Where.
        near: Point,
    },
    /// The wanted size is not a positive number.
    BadSize {
        /// Where.
        near: Point,
        /// What was asked for, mm.
        size_mm: f64,
    },
    /// The wanted size is far too small for the region.
    TooManyPoints {
        /// Most points allowed.
        limit: usize,
    },
    /// The outline bends more within one edge than a six-node triangle can follow.
    Folded {
        /// The stretch.
        stretch: Stretch,
        /// Where.
        near: Point,
    },
    /// Coordinates too large or too close together for the triangulation.
    OutOfRange,
    /// A chord is missing from the triangulation.
    LostChord {
        /// The stretch.
        stretch: Stretch,
        /// Where.
        near: Point,
    },
}

/// Angle that moving points to their curves may cost before they are triangulated again, degrees.
const ANGLE_LOSS_DEG: f64 = 1.0;
/// Triangulations at most; the first nearly always does.
const PASSES: usize = 4;

/// Meshes `region` with edges of length `size`.
///
/// `size`: wanted edge length at a point, mm, positive, smooth; asked a few times per triangle. A refinement that ran out of
/// its budget is reported in [`Mesh::refinement_complete`], not as an error. The result depends on the arguments alone, to
/// the bit.
///
/// ```
/// use geometry::connector::{Connector, GatePlace};
/// use geometry::mesh::{MeshSettings, triangulate};
/// use geometry::outline::Outline;
///
/// let outline = Outline::try_new(&Connector::example(), GatePlace::Shut).unwrap();
/// let mesh = triangulate(&outline.gate, &|_| 2.0, &MeshSettings::default()).unwrap();
/// assert!(mesh.refinement_complete && mesh.triangles.len() > 100);
/// ```
///
/// # Errors
/// When the region is open, crosses itself, or has its material on the wrong side, or when the size is not positive or
/// needs more than 400 000 points.
pub fn triangulate(
    region: &Region,
    size: &dyn Fn(Point) -> f64,
    settings: &MeshSettings,
) -> Result<Mesh, MeshError> {
    let mut outline = split::Chords::cut(region, size)?;
    crossing::check_crossings(&outline)?;
    let mut seeds = seed::spread(&outline, &inside::Inside::new(&outline), size)?;
    let mut budget = settings.max_added_points;
    for _ in 1..PASSES {
        let refined = refine::refine(&outline, &seeds, settings, budget)?;
        let spoilt = refined.min_angle_deg() < settings.angle_limit_deg - ANGLE_LOSS_DEG;
        if !(refined.complete && refined.moved && spoilt) {
            return finish::finish(&refined, &outline.pieces);
        }
        budget = budget.saturating_sub(refined.added);
        (outline, seeds) = refined.take_apart(&outline.pieces);
        // Points moved off their chords may, on a very coarse outline, have crossed another one.
        crossing::check_crossings(&outline)?;
    }
    let refined = refine::refine(&outline, &seeds, settings, budget)?;
    finish::finish(&refined, &outline.pieces)
}

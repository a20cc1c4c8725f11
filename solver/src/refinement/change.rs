//! How far a peak has moved from one mesh to the next: the stress at one and the same point on both.
//!
//! Peaks are not paired with peaks: on a slope, a fine mesh shows small local maxima that wander from mesh to mesh, and a
//! pair of them some tenths of a millimetre apart would read the slope as a change.

use crate::findings::{NodalStress, nodal_von_mises};
use crate::plane::Locator;
use crate::system::{Side, System};
use geometry::curve::Point;
use geometry::mesh::Mesh;
use std::sync::Arc;

/// A point of one mesh's outline may lie this far outside the other's, mm: sides are parabolas, each mesh has its own.
const OUTSIDE_MM: [f64; 5] = [0.0, 1e-5, 1e-4, 1e-3, 1e-2];

/// The stress on one mesh, to be asked for at the points of another.
pub struct Known {
    system: Arc<System>,
    sides: [(Locator, Vec<f64>); 2],
}

impl Known {
    /// Takes a solved mesh.
    #[must_use]
    pub fn new(system: Arc<System>, stress: &NodalStress) -> Self {
        let side = |side: Side, stress: &[[f64; 3]]| {
            (Locator::new(system.part(side).body.mesh()), nodal_von_mises(stress))
        };
        let sides = [side(Side::Frame, &stress.frame), side(Side::Gate, &stress.gate)];
        Self { system, sides }
    }

    /// Von Mises stress of a body at a point in mm, MPa; `None` where it has no metal.
    #[must_use]
    pub fn at(&self, side: Side, point: Point) -> Option<f64> {
        let mesh = self.system.part(side).body.mesh();
        let (locator, values) = &self.sides[usize::from(side == Side::Gate)];
        let inward = inward(mesh, point)?;
        let row = OUTSIDE_MM.iter().find_map(|out| {
            inward.iter().find_map(|d| locator.row(mesh, [point[0] + out * d[0], point[1] + out * d[1]]))
        })?;
        Some(row.nodes.iter().zip(row.weights).map(|(n, w)| w * values[*n as usize]).sum())
    }
}

/// Directions from a point to the middles of the triangles around the node nearest to it.
fn inward(mesh: &Mesh, point: Point) -> Option<Vec<Point>> {
    let away = |n: usize| (mesh.points[n][0] - point[0]).hypot(mesh.points[n][1] - point[1]);
    let nearest = (0..mesh.points.len()).min_by(|a, b| away(*a).total_cmp(&away(*b)))?;
    let around = mesh.triangles.iter().filter(|t| t.iter().any(|n| *n as usize == nearest));
    Some(
        around
            .filter_map(|t| {
                let middle = [0, 1]
                    .map(|axis| t[..3].iter().map(|n| mesh.points[*n as usize][axis]).sum::<f64>() / 3.0);
                let (dx, dy) = (middle[0] - point[0], middle[1] - point[1]);
                let length = dx.hypot(dy);
                (length > 0.0).then(|| [dx / length, dy / length])
            })
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::{Materials, library};
    use crate::system::SystemSettings;
    use geometry::connector::{Connector, GatePlace};

    #[test]
    fn stress_is_read_at_points_of_a_finer_mesh_outline_and_all() {
        let metal = library::find("7075-t6").unwrap().material();
        let materials = Materials { frame: metal.clone(), gate: metal.clone(), pins: metal };
        let system = |mesh_size_mm: f64| {
            let settings = SystemSettings { mesh_size_mm: Some(mesh_size_mm), ..SystemSettings::default() };
            Arc::new(System::try_new(&Connector::example(), GatePlace::Shut, &materials, &settings).unwrap())
        };
        let (coarse, fine) = (system(2.0), system(0.9));
        // A field that is linear in place, whatever the mesh: 100 + 2 x + y MPa of plain tension.
        let stress = |side: Side| -> Vec<[f64; 3]> {
            let points = &coarse.part(side).body.mesh().points;
            points.iter().map(|p| [100.0 + 2.0 * p[0] + p[1], 0.0, 0.0]).collect()
        };
        let known = Known::new(
            Arc::clone(&coarse),
            &NodalStress { frame: stress(Side::Frame), gate: stress(Side::Gate) },
        );
        for side in [Side::Frame, Side::Gate] {
            for p in &fine.part(side).body.mesh().points {
                let wanted = 100.0 + 2.0 * p[0] + p[1];
                let Some(found) = known.at(side, *p) else { panic!("{side:?} {p:?}") };
                // Below zero the plain tension is a compression, whose von Mises stress is its size: skip around there.
                assert!(wanted < 20.0 || (found - wanted).abs() < 0.1, "{side:?} {p:?}: {found} {wanted}");
            }
        }
        assert_eq!(known.at(Side::Frame, [0.0, 0.0]), None);
    }
}

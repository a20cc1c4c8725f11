//! Forces over the named cuts: by the applied forces on one side, and by element forces over the cut's edges.

use super::Response;
use crate::findings::SectionForces;
use crate::plane::cut::cut_forces;
use crate::system::{System, is_beyond};
use geometry::curve::Point;
use geometry::mesh::NamedEdge;
use geometry::outline::Station;
use geometry::region::Stretch;

/// +1 where the part beyond the cut (in the order of travel) pushed to the right of travel counts as positive shear.
/// Shear is positive when the upper part of spine, nose leg, hinge leg or gate (the tip, for the nose) moves toward the
/// gate, and when the gate-side part of an upper or lower bar moves up.
#[must_use]
pub fn station_sign(stretch: Stretch) -> f64 {
    match stretch {
        Stretch::UpperMid | Stretch::LowerMid | Stretch::NoseRoot => -1.0,
        _ => 1.0,
    }
}

/// Resultant in N and N mm (about the centroid) of a force on the part beyond a cut, as section forces.
fn as_section(station: &Station, force: Point, moment: f64) -> SectionForces {
    let [tx, ty] = station.along;
    let right = [ty, -tx];
    SectionForces {
        axial_kn: 1e-3 * (force[0] * tx + force[1] * ty),
        shear_kn: 1e-3 * station_sign(station.stretch) * (force[0] * right[0] + force[1] * right[1]),
        moment_nm: 1e-3 * moment,
    }
}

/// Section forces as the sum of the applied forces beyond the true plane of the cut.
#[must_use]
pub fn section_forces(system: &System, response: &Response, station: &Station) -> SectionForces {
    let in_gate = station.stretch == Stretch::GateMid;
    let (mut force, mut moment) = ([0.0; 2], 0.0);
    for applied in &response.applied {
        let beyond = if in_gate {
            station.is_beyond(applied.at)
        } else {
            is_beyond(&system.outline, station, applied.at)
        };
        if !beyond {
            continue;
        }
        let f = if in_gate { applied.on_gate } else { applied.on_frame };
        let arm = [applied.at[0] - station.centroid[0], applied.at[1] - station.centroid[1]];
        force[0] += f[0];
        force[1] += f[1];
        moment += arm[0] * f[1] - arm[1] * f[0];
    }
    as_section(station, force, moment)
}

/// Section forces from element nodal forces over the cut's edges.
#[must_use]
pub fn cut_resultant(system: &System, response: &Response, station: &Station) -> SectionForces {
    let in_gate = station.stretch == Stretch::GateMid;
    let (part, u) =
        if in_gate { (&system.gate, &response.gate_u) } else { (&system.frame, &response.frame_u) };
    let mesh = part.body.mesh();
    let beyond = |t: usize| {
        let corners = [0, 1, 2].map(|i| mesh.points[mesh.triangles[t][i] as usize]);
        let centre = [0, 1].map(|a| corners.iter().map(|c| c[a]).sum::<f64>() / 3.0);
        if in_gate { station.is_beyond(centre) } else { is_beyond(&system.outline, station, centre) }
    };
    // What the elements beyond the cut need there is what the rest does to them: the applied forces, turned round.
    let line: Vec<NamedEdge> = mesh.lines.iter().copied().filter(|e| e.stretch == station.stretch).collect();
    let sum = cut_forces(&part.body, u, &line, &beyond, station.centroid);
    as_section(station, sum.force.map(|f| -f), -sum.moment)
}

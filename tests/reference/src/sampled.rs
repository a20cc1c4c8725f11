//! Stress at the integration points of six-node triangles, brought to their nodes for a picture.

use geometry::curve::Point;
use geometry::mesh::Mesh;
use solver::collapse::Metal;
use solver::plane::Body;

/// Stress at each node: the mean over its triangles of the stress at the nearest integration point, for the middle of a side at
/// the nearest two. A mean of stresses within a yield surface is within it, so no picture shows more than the metal holds.
#[must_use]
pub fn at_nodes(metal: &Metal, stress: &[[f64; 3]]) -> Vec<[f64; 3]> {
    let Mesh { points, triangles, .. } = &metal.mesh;
    let mut sums = vec![[0.0; 3]; points.len()];
    let mut counts = vec![0.0; points.len()];
    // The three points of a triangle come in the order of its corners, one near each.
    for (nodes, three) in triangles.iter().zip(stress.chunks_exact(3)) {
        for (k, &node) in nodes.iter().enumerate() {
            let (one, other) = if k < 3 { (k, k) } else { (k - 3, (k - 2) % 3) };
            for (sum, (a, b)) in sums[node as usize].iter_mut().zip(three[one].iter().zip(&three[other])) {
                *sum += 0.5 * (a + b);
            }
            counts[node as usize] += 1.0;
        }
    }
    sums.iter().zip(counts).map(|(sum, count)| sum.map(|s| s / f64::max(count, 1.0))).collect()
}

/// The same for a body, whose triangles may have more points: each node takes the nearest of a triangle.
#[must_use]
pub fn at_nodes_of(body: &Body, stress: &[[f64; 3]]) -> Vec<[f64; 3]> {
    const NODES: [Point; 6] = [[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.5, 0.0], [0.5, 0.5], [0.0, 0.5]];
    let mesh = body.mesh();
    let mut sums = vec![[0.0; 3]; mesh.points.len()];
    let mut counts = vec![0.0; mesh.points.len()];
    for (t, nodes) in mesh.triangles.iter().enumerate() {
        let points = || body.samples(t).map(|s| s.station.local).zip(&stress[body.points_of(t)]);
        for (node, at) in nodes.iter().zip(NODES) {
            let away = |p: &Point| (p[0] - at[0]).hypot(p[1] - at[1]);
            let Some((_, nearest)) = points().min_by(|a, b| away(&a.0).total_cmp(&away(&b.0))) else {
                continue;
            };
            for (sum, s) in sums[*node as usize].iter_mut().zip(nearest) {
                *sum += s;
            }
            counts[*node as usize] += 1.0;
        }
    }
    sums.iter().zip(counts).map(|(sum, count)| sum.map(|s| s / f64::max(count, 1.0))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::plane_stress;
    use solver::plane::element::point;
    use solver::plane::grid::grid;

    #[test]
    fn a_stress_that_grows_along_x_does_so_at_the_nodes() {
        let metal = Metal::new(grid(12, 4, &|p| [12.0 * p[0], 4.0 * p[1]]), &|_| 1.0, 1.0);
        let at = |t: u32, k: usize| {
            let corners = metal.mesh.triangles[t as usize].map(|n| metal.mesh.points[n as usize][0]);
            (corners[0] + corners[1] + corners[2]) / 6.0 + 0.5 * corners[k]
        };
        let stress: Vec<[f64; 3]> =
            metal.samples.iter().enumerate().map(|(i, s)| [at(s.triangle, i % 3), 0.0, 7.0]).collect();
        for (p, [xx, _, xy]) in metal.mesh.points.iter().zip(at_nodes(&metal, &stress)) {
            // An integration point is at most a third of a cell from its corner.
            assert!((xx - p[0]).abs() < 0.34 && (xy - 7.0).abs() < 1e-12, "{p:?} {xx} {xy}");
        }
    }

    #[test]
    fn so_does_one_in_a_body_of_more_points() -> Result<(), solver::plane::PlaneError> {
        let mesh = grid(12, 4, &|p| [12.0 * p[0], 4.0 * p[1]]);
        let body = Body::new(mesh, &|_| 1.0, &|t| t % 2 == 0, plane_stress(1.0, 0.0))?;
        let stress: Vec<[f64; 3]> = (0..body.triangles())
            .flat_map(|t| {
                let nodes = body.nodes_of(t);
                body.samples(t).map(move |s| [point(&nodes, &s.station.shape)[0], 0.0, 7.0])
            })
            .collect();
        for (p, [xx, _, xy]) in body.mesh().points.iter().zip(at_nodes_of(&body, &stress)) {
            assert!((xx - p[0]).abs() < 0.12 && (xy - 7.0).abs() < 1e-12, "{p:?} {xx} {xy}");
        }
        Ok(())
    }
}

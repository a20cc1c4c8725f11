//! One meshed elastic body: everything about it that does not depend on load.

use super::PlaneError;
use super::elastic::Elastic;
use super::element::{self, Placed, Station};
use super::quadrature::Rule;
use geometry::curve::Point;
use geometry::mesh::Mesh;
use rayon::prelude::*;
use std::ops::Range;

/// A mesh with a material, a rule for each triangle and the breadth at each integration point.
///
/// Checked by [`Body::new`]: indices in range, every node used, triangles not folded, breadth and material positive.
#[derive(Clone, Debug)]
pub struct Body {
    mesh: Mesh,
    elastic: Elastic,
    rules: Vec<Rule>,
    /// Where the integration points of a triangle start; one more entry than triangles.
    starts: Vec<u32>,
    breadths_mm: Vec<f64>,
}

/// One integration point of a body, ready for integrating.
#[derive(Clone, Copy, Debug)]
pub struct Sample {
    /// What is the same in every triangle.
    pub station: &'static Station,
    /// The map to true coordinates.
    pub placed: Placed,
    /// Breadth, mm.
    pub breadth_mm: f64,
    /// Area that the point stands for, mm^2.
    pub area_mm2: f64,
}

impl Body {
    /// Prepares a body.
    ///
    /// `breadth`: mm, at a point of the plane in mm; called once at each integration point. `fine`: true for the triangles
    /// (by index) that take the degree 8 rule, which are those touching an edge where the breadth vanishes like a square
    /// root; the others take degree 4.
    ///
    /// # Errors
    /// [`PlaneError`] for a material, mesh or breadth that has no solution; the first fault found is named.
    pub fn new(
        mesh: Mesh,
        breadth: &(dyn Fn(Point) -> f64 + Sync),
        fine: &dyn Fn(usize) -> bool,
        elastic: Elastic,
    ) -> Result<Self, PlaneError> {
        elastic.check()?;
        let (triangles, nodes) = (mesh.triangles.len(), mesh.points.len());
        if triangles == 0 || nodes > 1 << 30 || triangles > (u32::MAX as usize) / Rule::Degree8.len() {
            return Err(PlaneError::MeshSize { triangles, nodes });
        }
        check_nodes(&mesh)?;
        let rules: Vec<Rule> =
            (0..triangles).map(|t| if fine(t) { Rule::Degree8 } else { Rule::Degree4 }).collect();
        let mut starts = Vec::with_capacity(triangles + 1);
        starts.push(0);
        let mut count = 0;
        for rule in &rules {
            count += rule.len();
            starts.push(u32::try_from(count).map_err(|_| PlaneError::MeshSize { triangles, nodes })?);
        }
        let places = || (0..triangles).into_par_iter().map(|t| (t, corners(&mesh, t), rules[t]));
        // The first fault in order, whichever thread meets one first.
        places()
            .map(|(t, points, rule)| check_shape(t, &points, rule))
            .find_map_first(Result::err)
            .map_or(Ok(()), Err)?;
        let breadths: Vec<(Point, f64)> = places()
            .flat_map_iter(|(_, points, rule)| {
                element::stations(rule).iter().map(move |station| {
                    let at = element::point(&points, &station.shape);
                    (at, breadth(at))
                })
            })
            .collect();
        if let Some((at, breadth_mm)) = breadths.iter().find(|(_, b)| !(b.is_finite() && *b > 0.0)) {
            return Err(PlaneError::Breadth { at: *at, breadth_mm: *breadth_mm });
        }
        let breadths_mm = breadths.into_iter().map(|(_, breadth)| breadth).collect();
        Ok(Self { mesh, elastic, rules, starts, breadths_mm })
    }

    /// The mesh.
    #[must_use]
    pub fn mesh(&self) -> &Mesh {
        &self.mesh
    }

    /// The material.
    #[must_use]
    pub fn elastic(&self) -> Elastic {
        self.elastic
    }

    /// Number of unknowns: two for each node.
    #[must_use]
    pub fn unknowns(&self) -> usize {
        2 * self.mesh.points.len()
    }

    /// Number of triangles.
    #[must_use]
    pub fn triangles(&self) -> usize {
        self.mesh.triangles.len()
    }

    /// Positions of the six nodes of a triangle, mm.
    #[must_use]
    pub fn nodes_of(&self, triangle: usize) -> [Point; 6] {
        corners(&self.mesh, triangle)
    }

    /// The integration rule of a triangle.
    #[must_use]
    pub fn rule(&self, triangle: usize) -> Rule {
        self.rules[triangle]
    }

    /// Where the integration points of a triangle stand among all of the body's, which are numbered triangle by triangle.
    #[must_use]
    pub fn points_of(&self, triangle: usize) -> Range<usize> {
        self.starts[triangle] as usize..self.starts[triangle + 1] as usize
    }

    /// Breadth at every integration point, mm.
    #[must_use]
    pub fn breadths_mm(&self) -> &[f64] {
        &self.breadths_mm
    }

    /// The integration points of a triangle in turn.
    pub fn samples(&self, triangle: usize) -> impl Iterator<Item = Sample> + '_ {
        let nodes = self.nodes_of(triangle);
        let breadths = &self.breadths_mm[self.points_of(triangle)];
        element::stations(self.rules[triangle]).iter().zip(breadths).map(move |(station, breadth_mm)| {
            let placed = element::place(&nodes, &station.gradient);
            let area_mm2 = station.weight * placed.jacobian;
            Sample { station, placed, breadth_mm: *breadth_mm, area_mm2 }
        })
    }

    /// Displacements of the six nodes of a triangle, mm, out of the field `u` (one value per unknown).
    #[must_use]
    pub fn displacements_of(&self, triangle: usize, u: &[f64]) -> [[f64; 2]; 6] {
        self.mesh.triangles[triangle].map(|node| [u[2 * node as usize], u[2 * node as usize + 1]])
    }

    /// Stiffness of one triangle, N/mm.
    #[must_use]
    pub fn element_stiffness(&self, triangle: usize) -> element::Blocks {
        let breadths = &self.breadths_mm[self.points_of(triangle)];
        element::stiffness(&self.nodes_of(triangle), self.rules[triangle], breadths, &self.elastic.moduli())
    }

    /// Area in the plane, mm^2.
    #[must_use]
    pub fn area_mm2(&self) -> f64 {
        (0..self.triangles()).flat_map(|t| self.samples(t)).map(|s| s.area_mm2).sum()
    }

    /// Volume: breadth integrated over the plane, mm^3.
    #[must_use]
    pub fn volume_mm3(&self) -> f64 {
        (0..self.triangles()).flat_map(|t| self.samples(t)).map(|s| s.area_mm2 * s.breadth_mm).sum()
    }
}

fn corners(mesh: &Mesh, triangle: usize) -> [Point; 6] {
    mesh.triangles[triangle].map(|node| mesh.points[node as usize])
}

fn check_nodes(mesh: &Mesh) -> Result<(), PlaneError> {
    let mut used = vec![false; mesh.points.len()];
    for (triangle, nodes) in mesh.triangles.iter().enumerate() {
        for &node in nodes {
            match used.get_mut(node as usize) {
                Some(flag) => *flag = true,
                None => return Err(PlaneError::MissingNode { triangle, node }),
            }
        }
    }
    match used.iter().position(|flag| !flag) {
        Some(node) => Err(PlaneError::UnusedNode { node: u32::try_from(node).unwrap_or(u32::MAX) }),
        None => Ok(()),
    }
}

/// The Jacobian must be positive at the nodes too: a side bent so far that it folds a corner passes at the inner points.
fn check_shape(triangle: usize, points: &[Point; 6], rule: Rule) -> Result<(), PlaneError> {
    const NODES: [Point; 6] = [[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.5, 0.0], [0.5, 0.5], [0.0, 0.5]];
    let at_nodes = NODES.iter().map(|p| element::place(points, &element::reference_gradient(*p)).jacobian);
    let inside = element::stations(rule).iter().map(|s| element::place(points, &s.gradient).jacobian);
    for jacobian in at_nodes.chain(inside) {
        if !(jacobian.is_finite() && jacobian > 0.0) {
            return Err(PlaneError::Folded { triangle, at: points[0], jacobian });
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::elastic::PlaneState;
    use super::super::grid::grid;
    use super::*;

    const STEEL: Elastic =
        Elastic { youngs_modulus_mpa: 210e3, poisson_ratio: 0.3, state: PlaneState::Stress };

    #[test]
    fn volume_of_a_wedge() {
        // Plate 6 x 4, breadth from 1 to 3 mm: mean 2, volume 48.
        let mesh = grid(3, 2, &|p| [6.0 * p[0], 4.0 * p[1]]);
        let body = Body::new(mesh, &|p| 1.0 + p[0] / 3.0, &|t| t % 2 == 0, STEEL).unwrap();
        assert!((body.volume_mm3() - 48.0).abs() < 1e-11);
        assert!((body.area_mm2() - 24.0).abs() < 1e-11);
    }

    #[test]
    fn faults_are_named() {
        let mesh = grid(2, 2, &|p| p);
        let with = |change: &dyn Fn(&mut Mesh)| {
            let mut mesh = mesh.clone();
            change(&mut mesh);
            Body::new(mesh, &|_| 1.0, &|_| false, STEEL).unwrap_err()
        };
        assert!(matches!(with(&|m| m.triangles[1].swap(0, 1)), PlaneError::Folded { triangle: 1, .. }));
        assert!(matches!(with(&|m| m.points.push([9.0, 9.0])), PlaneError::UnusedNode { node: 25 }));
        assert!(matches!(
            with(&|m| m.triangles[0][2] = 99),
            PlaneError::MissingNode { triangle: 0, node: 99 }
        ));
        assert!(matches!(with(&|m| m.points[0][0] = f64::NAN), PlaneError::Folded { .. }));
        assert!(matches!(with(&|m| m.triangles.clear()), PlaneError::MeshSize { triangles: 0, .. }));
        let flat = Body::new(mesh.clone(), &|p| p[0] - 0.5, &|_| false, STEEL).unwrap_err();
        assert!(matches!(flat, PlaneError::Breadth { .. }));
    }
}

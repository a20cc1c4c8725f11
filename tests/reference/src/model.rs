//! A body under load: what every problem builds, solves and asks.
//!
//! Any consistent units will do; the names say mm, N and MPa because most problems use them.

use geometry::curve::Point;
use geometry::mesh::{Mesh, MeshError};
use geometry::region::Stretch;
use solver::plane::loads::{self, Resultant, Traction, edges_on};
use solver::plane::{Body, Elastic, Locator, PlaneError, PlaneState, Recovery, prescribed};
use std::collections::BTreeSet;
use thiserror::Error;

use crate::problem_error::ProblemError;

/// Why a model could not be built or asked.
#[derive(Clone, Debug, Error)]
pub enum ModelError {
    /// The region could not be meshed.
    #[error(transparent)]
    Mesh(#[from] MeshError),
    /// The body could not be solved.
    #[error(transparent)]
    Plane(#[from] PlaneError),
    /// A point that should be in the body is not.
    #[error("no material at ({}, {})", at[0], at[1])]
    Outside {
        /// The point.
        at: Point,
    },
    /// A contact problem has no answer.
    #[error(transparent)]
    Contact(solver::contact::quadratic::QuadraticError),
    /// A body that yields did not come into balance with its loads.
    #[error("no balance with the loads after {steps} steps of Newton's method")]
    Unbalanced {
        /// Steps taken.
        steps: usize,
    },
    /// A body that yields could not go a step further.
    #[error("no further step: {0:?}")]
    NoStep(solver::plastic::NoStep),
    /// A reference solution has no answer.
    #[error("the equations of the {what} are singular")]
    Singular {
        /// Which solution.
        what: &'static str,
    },
}

impl ModelError {
    /// The same fault with the name of the problem it stopped.
    #[must_use]
    pub fn stops(&self, problem: &'static str) -> ProblemError {
        ProblemError { problem, reason: self.to_string() }
    }
}

/// An elastic material in plane stress.
#[must_use]
pub const fn plane_stress(youngs_modulus_mpa: f64, poisson_ratio: f64) -> Elastic {
    Elastic { youngs_modulus_mpa, poisson_ratio, state: PlaneState::Stress }
}

/// An elastic material in plane strain.
#[must_use]
pub const fn plane_strain(youngs_modulus_mpa: f64, poisson_ratio: f64) -> Elastic {
    Elastic { youngs_modulus_mpa, poisson_ratio, state: PlaneState::Strain }
}

/// A meshed body with loads and supports, not yet solved.
#[derive(Clone, Debug)]
pub struct Model {
    body: Body,
    forces: Vec<f64>,
    given: Vec<(u32, f64)>,
}

impl Model {
    /// A plate of constant thickness.
    ///
    /// # Errors
    /// [`PlaneError`] for a mesh or material that has no solution.
    pub fn plate(mesh: Mesh, thickness_mm: f64, elastic: Elastic) -> Result<Self, ModelError> {
        Self::bar(mesh, &|_| thickness_mm, &|_| false, elastic)
    }

    /// A body whose breadth varies. `fine`: triangles with the rule for a breadth that vanishes at an edge.
    ///
    /// # Errors
    /// As [`Model::plate`].
    pub fn bar(
        mesh: Mesh,
        breadth: &(dyn Fn(Point) -> f64 + Sync),
        fine: &dyn Fn(usize) -> bool,
        elastic: Elastic,
    ) -> Result<Self, ModelError> {
        let body = Body::new(mesh, breadth, fine, elastic)?;
        let forces = vec![0.0; body.unknowns()];
        Ok(Self { body, forces, given: Vec::new() })
    }

    /// The mesh.
    #[must_use]
    pub fn mesh(&self) -> &Mesh {
        self.body.mesh()
    }

    /// The loads so far, N, one per unknown.
    #[must_use]
    pub fn forces(&self) -> &[f64] {
        &self.forces
    }

    /// Adds a load along a stretch. `load`: force per length of edge (N/mm) at a point with the outward normal there.
    pub fn load(&mut self, stretch: Stretch, load: &dyn Fn(Point, Point) -> [f64; 2]) {
        let mesh = self.body.mesh();
        loads::add_traction(mesh, edges_on(mesh, stretch), Traction::PerLength(load), &mut self.forces);
    }

    /// Adds a force, N, at the node nearest to a point.
    pub fn load_node(&mut self, near: Point, force: [f64; 2]) {
        let node = nearest_node(self.mesh(), near) as usize;
        self.forces[2 * node] += force[0];
        self.forces[2 * node + 1] += force[1];
    }

    /// Gives the displacement, mm, along `axis` of all nodes of a stretch.
    pub fn hold(&mut self, stretch: Stretch, axis: u32, displacement: &dyn Fn(Point) -> f64) {
        for node in nodes_on(self.body.mesh(), stretch) {
            self.give(2 * node + axis, displacement(self.body.mesh().points[node as usize]));
        }
    }

    /// Gives the displacement, mm, along `axis` of the node nearest to a point.
    pub fn hold_node(&mut self, near: Point, axis: u32, displacement_mm: f64) {
        let node = nearest_node(self.mesh(), near);
        self.give(2 * node + axis, displacement_mm);
    }

    /// A corner may be on two stretches that both hold it: the first one counts.
    fn give(&mut self, unknown: u32, value: f64) {
        if self.given.iter().all(|(u, _)| *u != unknown) {
            self.given.push((unknown, value));
        }
    }

    /// Solves and recovers stress.
    ///
    /// # Errors
    /// [`PlaneError`] when the body is not held.
    pub fn solve(self) -> Result<Solved, ModelError> {
        let solution = prescribed::solve(&self.body, &self.forces, &self.given)?;
        let recovery = Recovery::new(&self.body, &|_| 0);
        let stress = recovery.nodal_stress(&self.body, &solution.displacements);
        let locator = Locator::new(self.body.mesh());
        Ok(Solved {
            body: self.body,
            forces: self.forces,
            displacements: solution.displacements,
            reactions: solution.reactions,
            recovery,
            stress,
            held: self.given.iter().map(|(unknown, _)| *unknown).collect(),
            locator,
        })
    }
}

/// A solved model.
#[derive(Clone, Debug)]
pub struct Solved {
    /// The body.
    pub body: Body,
    /// Loads, N, one per unknown.
    pub forces: Vec<f64>,
    /// Displacements, mm, one per unknown.
    pub displacements: Vec<f64>,
    /// What the supports exert, N, one per unknown.
    pub reactions: Vec<f64>,
    /// The operator that gave `stress`.
    pub recovery: Recovery,
    /// Recovered stress `[xx, yy, xy]` at each node, MPa.
    pub stress: Vec<[f64; 3]>,
    /// Unknowns whose displacement was given.
    pub held: BTreeSet<u32>,
    locator: Locator,
}

impl Solved {
    /// Recovered stress `[xx, yy, xy]` at a point, MPa.
    ///
    /// # Errors
    /// [`ModelError::Outside`].
    pub fn stress_at(&self, at: Point) -> Result<[f64; 3], ModelError> {
        let row = self.locator.row(self.body.mesh(), at).ok_or(ModelError::Outside { at })?;
        let mut sum = [0.0; 3];
        for (node, weight) in row.nodes.iter().zip(row.weights) {
            for (s, n) in sum.iter_mut().zip(self.stress[*node as usize]) {
                *s += weight * n;
            }
        }
        Ok(sum)
    }

    /// Recovered normal stress on the line through a point along `direction` (unit), MPa.
    ///
    /// # Errors
    /// [`ModelError::Outside`].
    pub fn stress_along(&self, at: Point, direction: Point) -> Result<f64, ModelError> {
        let [xx, yy, xy] = self.stress_at(at)?;
        let [x, y] = direction;
        Ok(x * x * xx + y * y * yy + 2.0 * x * y * xy)
    }

    /// Displacement of a point, mm.
    ///
    /// # Errors
    /// [`ModelError::Outside`].
    pub fn displacement_at(&self, at: Point) -> Result<Point, ModelError> {
        let row = self.locator.row(self.body.mesh(), at).ok_or(ModelError::Outside { at })?;
        let mut sum = [0.0; 2];
        for (node, weight) in row.nodes.iter().zip(row.weights) {
            for (axis, s) in sum.iter_mut().enumerate() {
                *s += weight * self.displacements[2 * *node as usize + axis];
            }
        }
        Ok(sum)
    }

    /// Work of the loads on the displacements, N mm.
    #[must_use]
    pub fn work(&self) -> f64 {
        self.forces.iter().zip(&self.displacements).map(|(f, u)| f * u).sum()
    }

    /// Strain energy, N mm.
    #[must_use]
    pub fn energy(&self) -> f64 {
        let supports: f64 = self.reactions.iter().zip(&self.displacements).map(|(r, u)| r * u).sum();
        0.5 * (self.work() + supports)
    }

    /// What the supports along a stretch exert, about a point.
    #[must_use]
    pub fn reaction(&self, stretch: Stretch, about: Point) -> Resultant {
        let mut sum = Resultant::default();
        for node in nodes_on(self.body.mesh(), stretch) {
            let i = 2 * node as usize;
            let force = [self.reactions[i], self.reactions[i + 1]];
            sum.add(force, self.body.mesh().points[node as usize], about);
        }
        sum
    }
}

/// Nodes of a stretch, ascending.
#[must_use]
pub fn nodes_on(mesh: &Mesh, stretch: Stretch) -> Vec<u32> {
    let mut nodes: Vec<u32> = edges_on(mesh, stretch).flat_map(|edge| edge.nodes).collect();
    nodes.sort_unstable();
    nodes.dedup();
    nodes
}

/// For each triangle, whether it touches one of the stretches.
#[must_use]
pub fn touching(mesh: &Mesh, stretches: &[Stretch]) -> Vec<bool> {
    let mut on_edge = vec![false; mesh.points.len()];
    for node in stretches.iter().flat_map(|stretch| nodes_on(mesh, *stretch)) {
        on_edge[node as usize] = true;
    }
    mesh.triangles.iter().map(|nodes| nodes.iter().any(|n| on_edge[*n as usize])).collect()
}

fn nearest_node(mesh: &Mesh, to: Point) -> u32 {
    let distance = |p: &Point| (p[0] - to[0]).hypot(p[1] - to[1]);
    let nearest = mesh.points.iter().enumerate().min_by(|(_, p), (_, q)| distance(p).total_cmp(&distance(q)));
    nearest.map_or(0, |(node, _)| node as u32)
}

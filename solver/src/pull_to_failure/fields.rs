//! Stress and plastic strain over the frame where a step has left it, at its nodes, for pictures.

use super::standing::Standing;
use crate::plane::stress::von_mises;
use geometry::curve::Point;

/// What a picture of one step shows.
#[derive(Clone, Debug)]
pub struct Fields {
    /// How far each node of the frame has moved, mm.
    pub moved: Vec<Point>,
    /// Von Mises stress at each node of the frame, MPa (force over the undeformed area): the mean of the integration points around it.
    pub von_mises_mpa: Vec<f64>,
    /// Accumulated plastic strain at each node of the frame, likewise.
    pub plastic_strain: Vec<f64>,
    /// Where the gate is; nothing where it is gone.
    pub gate: Option<GateAt>,
}

/// Where a gate is: turned and moved as a whole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GateAt {
    /// Middle of the hinge pin before the pull, mm.
    pub hinge: Point,
    /// How far it has moved, mm.
    pub moved: Point,
    /// How far the gate has turned, counter-clockwise, rad.
    pub turn: f64,
}

impl GateAt {
    /// Where a point of the gate is.
    #[must_use]
    pub fn at(&self, before: Point) -> Point {
        let (sine, cosine) = self.turn.sin_cos();
        let [x, y] = [before[0] - self.hinge[0], before[1] - self.hinge[1]];
        [
            self.hinge[0] + self.moved[0] + cosine * x - sine * y,
            self.hinge[1] + self.moved[1] + sine * x + cosine * y,
        ]
    }
}

impl Fields {
    pub(super) fn of(standing: &Standing<'_>) -> Self {
        let deformed = &standing.body;
        let body = deformed.body();
        let mesh = body.mesh();
        let nodes = mesh.points.len();
        let (mut stress, mut strain, mut weight) = (vec![0.0; nodes], vec![0.0; nodes], vec![0.0; nodes]);
        for (t, triangle) in mesh.triangles.iter().enumerate() {
            for (sample, point) in body.samples(t).zip(body.points_of(t)) {
                let mises = von_mises(deformed.stresses()[point]);
                let plastic = deformed.memories()[point].accumulated;
                for (node, shape) in triangle.iter().zip(sample.station.shape) {
                    // Shape functions of corners are below zero in parts: by their square each point counts where it is near.
                    let w = shape * shape * sample.area_mm2;
                    stress[*node as usize] += w * mises;
                    strain[*node as usize] += w * plastic;
                    weight[*node as usize] += w;
                }
            }
        }
        let mean = |sums: Vec<f64>| sums.iter().zip(&weight).map(|(s, w)| s / w).collect();
        let moved = deformed.displacements().chunks_exact(2).map(|u| [u[0], u[1]]).collect();
        let gate = standing.rigged().joints.as_ref().map(|joints| {
            let [x, y, turn, _] = standing.beside.joints.gate;
            GateAt { hinge: joints.link.hinge, moved: [x, y], turn }
        });
        Self { moved, von_mises_mpa: mean(stress), plastic_strain: mean(strain), gate }
    }
}

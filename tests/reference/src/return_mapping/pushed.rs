//! A body of yielding points, brought into balance step by step.

use super::law::{Law, Stress};
use crate::model::ModelError;
use solver::collapse::{Linear, Metal, add_stiffness};
use solver::plane::element::Blocks;

/// A stiff spring that pushes a node toward a rigid surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spring {
    /// The node.
    pub node: u32,
    /// Unit normal from the surface into the metal.
    pub normal: [f64; 2],
    /// Stiffness, N/mm.
    pub stiffness: f64,
    /// How far the surface has moved along the normal, mm.
    pub travel_mm: f64,
}

impl Spring {
    /// Force on the node along the normal, N, at the displacements `u`.
    #[must_use]
    pub fn force(&self, u: &[f64]) -> f64 {
        let at = 2 * self.node as usize;
        self.stiffness * (self.travel_mm - self.normal[0] * u[at] - self.normal[1] * u[at + 1])
    }
}

/// A body that yields, after the steps so far.
#[derive(Debug)]
pub struct Pushed {
    /// Mesh, integration points and what is held.
    pub metal: Metal,
    /// Stress at each integration point, MPa.
    pub stress: Vec<Stress>,
    /// Displacements, mm, one for each unknown.
    pub displacements: Vec<f64>,
    /// What is out of balance at each look at the last step, as a part of the greatest force on a node.
    pub residuals: Vec<f64>,
    law: Law,
    linear: Linear,
}

/// Looks at one step before it is given up.
const MOST: usize = 30;
/// Largest force out of balance, as a part of the greatest force on a node.
const BALANCED: f64 = 1e-9;

impl Pushed {
    /// A body at rest, held as `metal` says.
    ///
    /// # Errors
    /// [`ModelError::Plane`] when its matrix does not fit in memory.
    pub fn new(metal: Metal, law: Law) -> Result<Self, ModelError> {
        let linear = Linear::new(&metal.mesh, &metal.held)?;
        let (points, unknowns) = (metal.samples.len(), metal.held.len());
        Ok(Self {
            metal,
            stress: vec![[0.0; 4]; points],
            displacements: vec![0.0; unknowns],
            residuals: Vec::new(),
            law,
            linear,
        })
    }

    /// One step to the loads given: `forces`, N, one for each unknown, and springs. On an error the body stays as it was.
    ///
    /// # Errors
    /// [`ModelError::Unbalanced`] for loads that it does not hold; [`ModelError::Plane`] when the stiffness has no factor.
    pub fn step(&mut self, forces: &[f64], springs: &[Spring]) -> Result<(), ModelError> {
        let mut change = vec![0.0; self.displacements.len()];
        self.residuals.clear();
        for _ in 0..MOST {
            let now: Vec<f64> = self.displacements.iter().zip(&change).map(|(u, d)| u + d).collect();
            self.linear.clear();
            let mut stress = Vec::with_capacity(self.stress.len());
            let mut blocks: Blocks = [[0.0; 4]; 21];
            for (k, (sample, before)) in self.metal.samples.iter().zip(&self.stress).enumerate() {
                let point = self.law.step(before, self.metal.strain_at(sample, &change));
                stress.push(point.stress);
                let d = point.stiffness.map(|row| row.map(|x| sample.volume * x));
                add_stiffness(&mut blocks, &sample.gradient, &d);
                if self.metal.samples.get(k + 1).is_none_or(|next| next.triangle != sample.triangle) {
                    self.linear.add_triangle(sample.triangle as usize, &blocks);
                    blocks = [[0.0; 4]; 21];
                }
            }
            let plane: Vec<[f64; 3]> = stress.iter().map(|s| [s[0], s[1], s[2]]).collect();
            let inside = self.metal.nodal_forces(&plane);
            let mut outside = forces.to_vec();
            for spring in springs {
                let (force, at) = (spring.force(&now), 2 * spring.node as usize);
                outside[at] += force * spring.normal[0];
                outside[at + 1] += force * spring.normal[1];
                self.linear.add_spring(spring.node, spring.normal, spring.stiffness);
            }
            let greatest = inside.iter().chain(&outside).fold(f64::MIN_POSITIVE, |m, f| m.max(f.abs()));
            let mut out: Vec<f64> = outside
                .iter()
                .zip(&inside)
                .zip(&self.metal.held)
                .map(|((f, i), held)| if *held { 0.0 } else { f - i })
                .collect();
            let residual = out.iter().fold(0.0_f64, |m, r| m.max(r.abs())) / greatest;
            self.residuals.push(residual);
            if residual < BALANCED {
                self.stress = stress;
                self.displacements = now;
                return Ok(());
            }
            self.linear.factor()?;
            self.linear.solve(&mut out);
            for (d, by) in change.iter_mut().zip(&out) {
                *d += by;
            }
        }
        Err(ModelError::Unbalanced { steps: MOST })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::plane_strain;
    use crate::return_mapping::law::von_mises;
    use solver::plane::PlaneError;
    use solver::plane::grid::grid;

    const STRENGTH: f64 = 240.0;
    /// 2 / sqrt 3: what metal holds that is held along its third direction.
    const HELD_IN: f64 = 1.154_700_538_379_251_5;

    /// A block of 4 x 3 x 1 mm, held at its left side along x and its lower side along y, pulled along x by forces for 1 MPa.
    fn block() -> (Pushed, Vec<f64>) {
        let mut metal = Metal::new(grid(4, 3, &|p| [4.0 * p[0], 3.0 * p[1]]), &|_| 1.0, STRENGTH);
        metal.drive(&|p| p[0] < 1e-9, 0, 0.0);
        metal.drive(&|p| p[1] < 1e-9, 1, 0.0);
        let mut forces = metal.nodal_forces(&vec![[1.0, 0.0, 0.0]; metal.samples.len()]);
        for (node, p) in metal.mesh.points.iter().enumerate() {
            forces[2 * node + 1] = 0.0;
            if p[0] < 4.0 - 1e-9 {
                forces[2 * node] = 0.0;
            }
        }
        (
            Pushed::new(metal, Law { elastic: plane_strain(210e3, 0.3), strength_mpa: STRENGTH }).unwrap(),
            forces,
        )
    }

    fn pull(body: &mut Pushed, forces: &[f64], mpa: f64) -> Result<(), ModelError> {
        body.step(&forces.iter().map(|f| mpa * f).collect::<Vec<_>>(), &[])
    }

    #[test]
    fn a_block_bears_what_it_can_and_no_more() {
        let (mut body, forces) = block();
        for part in [0.5, 0.9, 0.97, 0.99] {
            pull(&mut body, &forces, part * HELD_IN * STRENGTH).unwrap();
        }
        for s in &body.stress {
            assert!((s[0] - 0.99 * HELD_IN * STRENGTH).abs() < 1e-4 && s[1].abs() < 1e-4, "{s:?}");
            assert!((von_mises(s) / STRENGTH - 1.0).abs() < 1e-6, "{s:?}");
        }
        let before = (body.stress.clone(), body.displacements.clone());
        let beyond = pull(&mut body, &forces, 1.01 * HELD_IN * STRENGTH);
        // A block that flows throughout has no stiffness left: rounding decides whether it cannot be factored or never balances.
        let refused = matches!(
            beyond,
            Err(ModelError::Unbalanced { steps: MOST } | ModelError::Plane(PlaneError::Pivot))
        );
        assert!(refused, "{beyond:?}");
        assert_eq!((body.stress, body.displacements), before);
    }

    #[test]
    fn what_is_out_of_balance_falls_with_its_square() {
        let (mut body, forces) = block();
        // It begins to yield at 0.97 of what it holds.
        pull(&mut body, &forces, 0.9 * HELD_IN * STRENGTH).unwrap();
        assert_eq!(body.residuals.len(), 2, "{:?}", body.residuals);
        pull(&mut body, &forces, 0.99 * HELD_IN * STRENGTH).unwrap();
        let [.., before, last] = body.residuals[..] else { panic!("{:?}", body.residuals) };
        assert!(before > 1e-8 && last < 100.0 * before * before, "{:?}", body.residuals);
    }

    #[test]
    fn a_spring_pushes_as_far_as_it_reaches() {
        let (mut body, forces) = block();
        let springs: Vec<Spring> = (0..forces.len() / 2)
            .filter(|node| body.metal.mesh.points[*node][0] > 4.0 - 1e-9)
            .map(|node| Spring { node: node as u32, normal: [1.0, 0.0], stiffness: 1e9, travel_mm: 0.001 })
            .collect();
        body.step(&vec![0.0; forces.len()], &springs).unwrap();
        // Plane strain: E / (1 - nu^2) times strain times 3 mm^2.
        let force: f64 = springs.iter().map(|s| s.force(&body.displacements)).sum();
        assert!((force / (210e3 / 0.91 * 0.001 / 4.0 * 3.0) - 1.0).abs() < 1e-3, "{force}");
    }
}

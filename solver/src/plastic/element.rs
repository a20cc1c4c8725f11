//! One triangle that has moved far: forces at its nodes, stiffness, and what its points remember.
//!
//! Everything is integrated over the undeformed triangle: Green's strain and its stress, which [`LogStrain`] makes of the law's. A turn of
//! the whole changes nothing, and thickness follows from the law.

use super::law::{Law, Memory, Point};
use super::log_strain::LogStrain;
use crate::plane::Body;
use crate::plane::element::{Blocks, PAIRS};

/// How motion is turned into strain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Motion {
    /// Logarithmic strain in axes that turn with the metal: what a pull does.
    Large,
    /// The strain of linear elasticity, forces on the undeformed body: for limit loads, which know no change of shape.
    Small,
}

/// A triangle under displacements.
#[derive(Clone, Debug)]
pub struct Moved {
    /// Forces that it exerts on its nodes' neighbours: what has to be put on them to hold it so, N.
    pub forces: [[f64; 2]; 6],
    /// Derivative of the forces by the displacements, N/mm.
    pub blocks: Blocks,
    /// Its integration points.
    pub points: Vec<Point>,
}

/// Deformation gradient `[[xx, xy], [yx, yy]]` at a point.
#[must_use]
pub fn deformation(gradient: &[[f64; 2]; 6], displacements: &[[f64; 2]; 6]) -> [[f64; 2]; 2] {
    let mut f = [[1.0, 0.0], [0.0, 1.0]];
    for (g, u) in gradient.iter().zip(displacements) {
        for (row, u) in f.iter_mut().zip(u) {
            row[0] += u * g[0];
            row[1] += u * g[1];
        }
    }
    f
}

/// A triangle of a body under the displacements of its nodes, from what its points remember of before. `None` where it is folded.
#[must_use]
pub fn moved(
    body: &Body,
    triangle: usize,
    displacements: &[[f64; 2]; 6],
    law: &Law,
    motion: Motion,
    before: &[Memory],
) -> Option<Moved> {
    let mut out =
        Moved { forces: [[0.0; 2]; 6], blocks: [[0.0; 4]; 21], points: Vec::with_capacity(before.len()) };
    for (sample, memory) in body.samples(triangle).zip(before) {
        let g = &sample.placed.gradient;
        let weight = sample.area_mm2 * sample.breadth_mm;
        let (f, point, stress, stiffness) = match motion {
            Motion::Large => {
                let f = deformation(g, displacements);
                let strain = LogStrain::of(f)?;
                let point = law.at(memory, strain.strain);
                let stiffness = strain.stiffness(point.stress, &point.stiffness);
                (f, point, strain.stress(point.stress), stiffness)
            }
            Motion::Small => {
                let point = law.at(memory, crate::plane::element::strain(g, displacements));
                ([[1.0, 0.0], [0.0, 1.0]], point, point.stress, point.stiffness)
            }
        };
        let (stress, stiffness) = (stress.map(|s| weight * s), stiffness.map(|row| row.map(|d| weight * d)));
        // Change of Green's strain by the displacement of each node: a column for x, one for y.
        let columns =
            g.map(|[gx, gy]| [0, 1].map(|i| [f[i][0] * gx, f[i][1] * gy, f[i][0] * gy + f[i][1] * gx]));
        for (force, columns) in out.forces.iter_mut().zip(&columns) {
            for (force, column) in force.iter_mut().zip(columns) {
                *force += column.iter().zip(stress).map(|(b, s)| b * s).sum::<f64>();
            }
        }
        let right = columns.map(|both| {
            both.map(|column| stiffness.map(|row| row.iter().zip(column).map(|(d, b)| d * b).sum::<f64>()))
        });
        for (block, &(a, b)) in out.blocks.iter_mut().zip(&PAIRS) {
            // What the stress that is there makes of a turn.
            let turning = match motion {
                Motion::Large => {
                    g[a][0] * (stress[0] * g[b][0] + stress[2] * g[b][1])
                        + g[a][1] * (stress[2] * g[b][0] + stress[1] * g[b][1])
                }
                Motion::Small => 0.0,
            };
            for i in 0..2 {
                for j in 0..2 {
                    let along: f64 = columns[a][i].iter().zip(right[b][j]).map(|(l, r)| l * r).sum();
                    block[2 * i + j] += along + if i == j { turning } else { 0.0 };
                }
            }
        }
        out.points.push(point);
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plane::grid::grid;
    use crate::plane::{Elastic, PlaneState};
    use crate::plastic::Hardening;

    fn body(state: PlaneState) -> (Body, Law) {
        let elastic = Elastic { youngs_modulus_mpa: 71_700.0, poisson_ratio: 0.33, state };
        let mesh = grid(1, 1, &|p| [3.0 * p[0] + 0.4 * p[1] * p[1], 2.0 * p[1] - 0.3 * p[0]]);
        let body = Body::new(mesh, &|p| 2.0 + 0.2 * p[0], &|_| false, elastic).unwrap();
        (
            body,
            Law {
                elastic,
                hardening: Hardening::Swift { yield_mpa: 503.0, offset: 0.002, exponent: 0.0564 },
            },
        )
    }

    fn motion(size: f64) -> [[f64; 2]; 6] {
        std::array::from_fn(|n| [size * (1.3 * n as f64).sin(), size * (0.7 * n as f64 + 0.4).cos()])
    }

    #[test]
    fn blocks_are_derivatives_of_the_forces() {
        const STEP: f64 = 1e-7;
        for state in [PlaneState::Stress, PlaneState::Strain] {
            let (body, law) = body(state);
            let fresh = vec![Memory::default(); body.points_of(0).len()];
            for size in [1e-3, 0.05, 0.2] {
                let bent: Vec<Memory> = moved(&body, 0, &motion(0.6 * size), &law, Motion::Large, &fresh)
                    .unwrap()
                    .points
                    .iter()
                    .map(|p| p.memory)
                    .collect();
                let at = |u: &[[f64; 2]; 6]| moved(&body, 0, u, &law, Motion::Large, &bent).unwrap();
                let u = motion(size);
                let here = at(&u);
                for (&(a, b), block) in PAIRS.iter().zip(&here.blocks) {
                    for j in 0..2 {
                        let side = |by: f64| {
                            let mut u = u;
                            u[b][j] += by;
                            at(&u).forces[a]
                        };
                        let (up, down) = (side(STEP), side(-STEP));
                        for i in 0..2 {
                            let slope = (up[i] - down[i]) / (2.0 * STEP);
                            assert!(
                                (slope - block[2 * i + j]).abs() < 1e-5 * 71_700.0,
                                "{state:?} {size} {a}{i} {b}{j}: {slope} {}",
                                block[2 * i + j]
                            );
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn a_turn_of_the_whole_turns_the_forces_and_nothing_else() {
        let (body, law) = body(PlaneState::Stress);
        let fresh = vec![Memory::default(); body.points_of(0).len()];
        let (here, u) = (body.nodes_of(0), motion(0.1));
        let still = moved(&body, 0, &u, &law, Motion::Large, &fresh).unwrap();
        // By 90 degrees: (x, y) goes to (-y, x).
        let turned: [[f64; 2]; 6] = std::array::from_fn(|n| {
            let [x, y] = [here[n][0] + u[n][0], here[n][1] + u[n][1]];
            [-y - here[n][0], x - here[n][1]]
        });
        let after = moved(&body, 0, &turned, &law, Motion::Large, &fresh).unwrap();
        for (a, b) in still.forces.iter().zip(&after.forces) {
            assert!((b[0] + a[1]).abs() < 1e-9 && (b[1] - a[0]).abs() < 1e-9, "{a:?} {b:?}");
        }
        for (a, b) in still.points.iter().zip(&after.points) {
            assert!((a.memory.accumulated - b.memory.accumulated).abs() < 1e-13);
            assert!(a.memory.accumulated > 1e-3);
        }
    }

    #[test]
    fn a_small_motion_is_linear_elasticity() {
        let (body, law) = body(PlaneState::Stress);
        let fresh = vec![Memory::default(); body.points_of(0).len()];
        let found = moved(&body, 0, &[[0.0; 2]; 6], &law, Motion::Large, &fresh).unwrap();
        for (a, b) in found.blocks.iter().flatten().zip(body.element_stiffness(0).iter().flatten()) {
            assert!((a - b).abs() < 1e-9 * 71_700.0);
        }
    }

    #[test]
    fn a_fold_is_seen() {
        let (body, law) = body(PlaneState::Stress);
        let fresh = vec![Memory::default(); body.points_of(0).len()];
        let flipped = body.nodes_of(0).map(|p| [-2.0 * p[0], 0.0]);
        assert!(moved(&body, 0, &flipped, &law, Motion::Large, &fresh).is_none());
    }
}

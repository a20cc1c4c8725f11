//! A surface that a round pin may press on, wherever both have moved.
//!
//! The pin is stiff but not rigid: a point of the surface that lies inside the circle is pushed out along the radius, in proportion to how
//! far in it lies. Points stand close on each edge, so that a pin slides over edges without steps. Force and stiffness come from one
//! energy: they turn with the motion, and the pair of forces on pin and surface has no couple.

use geometry::curve::Point;
use geometry::mesh::{Mesh, NamedEdge};
use geometry::outline::Circle;
use geometry::region::Stretch;

use crate::plane::quadrature::LINE_POINTS;
use crate::system::edge_shape;

/// Parts that an edge is cut into, each with the points of one rule: a pin presses on less than an edge of a lip.
const PARTS: u32 = 2;

/// A pin that has gone in no deeper than this meets a surface that gets firmer, as rough surfaces do: stiffness then has no jump, mm.
const FIRM_MM: f64 = 2e-5;

/// Energy, force and stiffness at a depth, all per stiffness of a firm surface.
fn resistance(depth: f64) -> [f64; 3] {
    if depth < FIRM_MM {
        [depth.powi(3) / (6.0 * FIRM_MM), 0.5 * depth * depth / FIRM_MM, depth / FIRM_MM]
    } else {
        let force = depth - 0.5 * FIRM_MM;
        [0.5 * force * force + FIRM_MM * FIRM_MM / 24.0, force, 1.0]
    }
}

/// A point of a face.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facing {
    /// Nodes of its edge.
    pub nodes: [u32; 3],
    /// Their shape functions.
    pub shape: [f64; 3],
    /// Length of edge that it stands for, mm.
    pub length_mm: f64,
    /// Where it is before the pull.
    pub at: Point,
    /// Away from the metal before the pull, of length one.
    pub outward: Point,
    /// How far it lies inside the pin before the pull, mm: an edge of a mesh is no true arc, and a neat pin touches it all round.
    pub inset_mm: f64,
}

/// A surface.
#[derive(Clone, Debug)]
pub(super) struct Face {
    /// Its points.
    pub points: Vec<Facing>,
    /// Force per length of edge and depth, N/mm^2.
    pub stiffness: f64,
}

/// A point that is pressed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pressed {
    /// Which.
    pub facing: Facing,
    /// How deep, mm.
    pub depth_mm: f64,
    /// Energy that it took, N mm.
    pub energy: f64,
    /// Force on the surface, N.
    pub force: Point,
    /// Derivative of the force by the pin's place, and less that by the point's, N/mm: `[xx, xy, yy]`.
    pub by: [f64; 3],
}

impl Face {
    /// The edges of a mesh that `take` names, pressed with `stiffness`, N/mm^2.
    pub fn new(mesh: &Mesh, stiffness: f64, take: impl Fn(Stretch, [Point; 3]) -> bool) -> Self {
        let mut points = Vec::new();
        for NamedEdge { nodes, stretch } in &mesh.boundary {
            let ends = nodes.map(|n| mesh.points[n as usize]);
            if !take(*stretch, ends) {
                continue;
            }
            for part in 0..PARTS {
                for (s, weight) in LINE_POINTS {
                    let s = (2.0 * f64::from(part) + 1.0 + s) / f64::from(PARTS) - 1.0;
                    let shape = edge_shape(s);
                    let slope = [s - 0.5, s + 0.5, -2.0 * s];
                    let sum =
                        |w: [f64; 3], axis: usize| -> f64 { (0..3).map(|i| w[i] * ends[i][axis]).sum() };
                    // Metal lies to the left of its edges.
                    let [x, y] = [sum(slope, 0), sum(slope, 1)];
                    let size = x.hypot(y);
                    points.push(Facing {
                        nodes: *nodes,
                        shape,
                        length_mm: weight / f64::from(PARTS) * size,
                        at: [sum(shape, 0), sum(shape, 1)],
                        outward: [y / size, -x / size],
                        inset_mm: 0.0,
                    });
                }
            }
        }
        Self { points, stiffness }
    }

    /// The same, touched by a circle at most where it stands before the pull.
    pub fn clear_of(mut self, circle: Circle) -> Self {
        for facing in &mut self.points {
            let from = (facing.at[0] - circle.centre[0]).hypot(facing.at[1] - circle.centre[1]);
            facing.inset_mm = (circle.radius - from).max(0.0);
        }
        self
    }

    /// What a circle presses; `place` tells where a point is.
    pub fn pressed(&self, circle: Circle, place: impl Fn(&Facing) -> Point) -> Vec<Pressed> {
        let mut pressed = Vec::new();
        for facing in &self.points {
            let at = place(facing);
            let [x, y] = [at[0] - circle.centre[0], at[1] - circle.centre[1]];
            let from = x.hypot(y);
            let depth = circle.radius - from - facing.inset_mm;
            if depth <= 0.0 || from <= 0.5 * circle.radius {
                continue;
            }
            let normal = [x / from, y / from];
            let [energy, force, stiffness] = resistance(depth).map(|r| self.stiffness * facing.length_mm * r);
            // Across the normal the force turns with the place.
            let turning = force / from;
            let by = [
                stiffness * normal[0] * normal[0] - turning * normal[1] * normal[1],
                (stiffness + turning) * normal[0] * normal[1],
                stiffness * normal[1] * normal[1] - turning * normal[0] * normal[0],
            ];
            let force = normal.map(|n| force * n);
            pressed.push(Pressed { facing: *facing, depth_mm: depth, energy, force, by });
        }
        pressed
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn face() -> Face {
        let points = (0..40)
            .map(|i| Facing {
                nodes: [0, 1, 2],
                shape: [0.2, 0.3, 0.5],
                length_mm: 0.05,
                at: [-1.0 + 0.05 * f64::from(i), -2.0],
                outward: [0.0, 1.0],
                inset_mm: 0.0,
            })
            .collect();
        Face { points, stiffness: 1e6 }
    }

    #[test]
    fn a_pin_on_a_flat_is_pushed_square_to_it() {
        let circle = Circle { centre: [0.0, -0.05], radius: 2.0 };
        let pressed = face().pressed(circle, |f| f.at);
        let sum = pressed.iter().fold([0.0; 2], |s, p| [s[0] + p.force[0], s[1] + p.force[1]]);
        // A parabola of depth 0.05 over a half width of the root of 2 * 2 * 0.05.
        let wanted = 1e6 * 4.0 / 3.0 * 0.05 * 0.2_f64.sqrt();
        assert!((sum[1] / -wanted - 1.0).abs() < 0.02, "{sum:?} {wanted}");
        assert!(sum[0].abs() < 0.05 * wanted);
    }

    #[test]
    fn resistance_comes_from_its_energy() {
        const STEP: f64 = 1e-9;
        for depth in [0.3, 0.99, 1.01, 7.0].map(|part| part * FIRM_MM) {
            let [low, high] = [-STEP, STEP].map(|by| resistance(depth + by));
            let [_, force, stiffness] = resistance(depth);
            assert!((0.5 * (high[0] - low[0]) / STEP / force - 1.0).abs() < 1e-6, "{depth}");
            assert!((0.5 * (high[1] - low[1]) / STEP / stiffness - 1.0).abs() < 1e-6, "{depth}");
        }
    }

    #[test]
    fn stiffness_is_the_derivative_of_the_force() {
        const STEP: f64 = 1e-7;
        let face = face();
        let at = |centre: Point| face.pressed(Circle { centre, radius: 2.0 }, |f| f.at);
        let sum =
            |centre: Point| at(centre).iter().fold([0.0; 2], |s, p| [s[0] + p.force[0], s[1] + p.force[1]]);
        let here = [0.013, -0.02];
        let by = at(here).iter().fold([0.0; 3], |s, p| [0, 1, 2].map(|i| s[i] + p.by[i]));
        for axis in 0..2 {
            let mut ends = [here; 2];
            ends[0][axis] -= STEP;
            ends[1][axis] += STEP;
            let [low, high] = ends.map(sum);
            for other in 0..2 {
                let slope = (high[other] - low[other]) / (2.0 * STEP);
                let told = by[axis + other];
                assert!((slope - told).abs() < 1e-4 * by[2].abs(), "{axis} {other}: {slope} {told}");
            }
        }
    }
}

//! Rigid, perfectly plastic metal on a mesh: where it is integrated and what it dissipates there.
//!
//! Yielding after von Mises in plane stress. The dissipation of a strain rate per unit of volume is the strength times
//! `sqrt(4/3 (xx^2 + yy^2 + xx yy) + engineering^2 / 3)`, which is the length of the vector that [`rate`] gives.

use crate::plane::element::{Blocks, PAIRS, map_gradient, place, point, stations};
use crate::plane::quadrature::Rule;
use geometry::curve::Point;
use geometry::mesh::Mesh;

/// An integration point.
#[derive(Clone, Debug)]
pub struct Sample {
    /// Its triangle.
    pub triangle: u32,
    /// Derivatives of the shape functions by x and y, 1/mm.
    pub gradient: [[f64; 2]; 6],
    /// Strength times volume, N mm.
    pub weight: f64,
    /// Volume, mm^3.
    pub volume: f64,
}

/// Metal on a mesh, some unknowns of which are held or driven.
#[derive(Clone, Debug)]
pub struct Metal {
    /// The mesh.
    pub mesh: Mesh,
    /// The integration points, triangle by triangle.
    pub samples: Vec<Sample>,
    /// True for each unknown (`2 node + axis`) whose velocity is given.
    pub held: Vec<bool>,
    /// Given velocities; zero where nothing is driven.
    pub driven: Vec<f64>,
}

impl Metal {
    /// Metal of `strength_mpa` and of the breadth given at each point, nothing held yet.
    #[must_use]
    pub fn new(mesh: Mesh, breadth: &dyn Fn(Point) -> f64, strength_mpa: f64) -> Self {
        let unknowns = 2 * mesh.points.len();
        let mut samples = Vec::with_capacity(mesh.triangles.len() * Rule::Degree2.len());
        for (t, triangle) in mesh.triangles.iter().enumerate() {
            let nodes = triangle.map(|n| mesh.points[n as usize]);
            for station in stations(Rule::Degree2) {
                let placed = place(&nodes, &station.gradient);
                let volume = station.weight * placed.jacobian * breadth(point(&nodes, &station.shape));
                samples.push(Sample {
                    triangle: t as u32,
                    gradient: placed.gradient,
                    weight: volume * strength_mpa,
                    volume,
                });
            }
        }
        Self { mesh, samples, held: vec![false; unknowns], driven: vec![0.0; unknowns] }
    }

    /// Holds every node for which `wanted` is true.
    pub fn hold(&mut self, wanted: &dyn Fn(Point) -> bool) {
        for (node, p) in self.mesh.points.iter().enumerate() {
            if wanted(*p) {
                self.held[2 * node] = true;
                self.held[2 * node + 1] = true;
            }
        }
    }

    /// Gives the velocity along `axis` to every node for which `wanted` is true.
    pub fn drive(&mut self, wanted: &dyn Fn(Point) -> bool, axis: usize, velocity: f64) {
        for (node, p) in self.mesh.points.iter().enumerate() {
            if wanted(*p) {
                self.held[2 * node + axis] = true;
                self.driven[2 * node + axis] = velocity;
            }
        }
    }

    /// Area of the mesh, mm^2.
    #[must_use]
    pub fn area_mm2(&self) -> f64 {
        let half = |t: &[u32; 6]| {
            let nodes = t.map(|n| self.mesh.points[n as usize]);
            stations(Rule::Degree2)
                .iter()
                .map(|s| {
                    let [[xr, xs], [yr, ys]] = map_gradient(&nodes, &s.gradient);
                    s.weight * (xr * ys - xs * yr)
                })
                .sum::<f64>()
        };
        self.mesh.triangles.iter().map(half).sum()
    }

    /// Strain `[xx, yy, engineering xy]` at a sample of the displacements `v` (mm, one for each unknown), or its rate when
    /// they are velocities.
    #[must_use]
    pub fn strain_at(&self, sample: &Sample, v: &[f64]) -> [f64; 3] {
        let mut strain = [0.0; 3];
        for (&node, g) in self.mesh.triangles[sample.triangle as usize].iter().zip(&sample.gradient) {
            let (x, y) = (v[2 * node as usize], v[2 * node as usize + 1]);
            strain[0] += g[0] * x;
            strain[1] += g[1] * y;
            strain[2] += g[1] * x + g[0] * y;
        }
        strain
    }

    /// Rate at a sample of the velocities `v`.
    #[must_use]
    pub fn rate_at(&self, sample: &Sample, v: &[f64]) -> [f64; 3] {
        rate(self.strain_at(sample, v))
    }

    /// Forces, N, one for each unknown, that keep balance with a stress `[xx, yy, xy]`, MPa, tension positive, at each sample:
    /// what acts on the metal from outside, held unknowns included. A sample without a stress counts as free of it.
    #[must_use]
    pub fn nodal_forces(&self, stress: &[[f64; 3]]) -> Vec<f64> {
        let mut forces = vec![0.0; self.held.len()];
        for (sample, [xx, yy, xy]) in self.samples.iter().zip(stress) {
            for (&node, g) in self.mesh.triangles[sample.triangle as usize].iter().zip(&sample.gradient) {
                forces[2 * node as usize] += sample.volume * (g[0] * xx + g[1] * xy);
                forces[2 * node as usize + 1] += sample.volume * (g[1] * yy + g[0] * xy);
            }
        }
        forces
    }

    /// Power dissipated by the velocities `v`, N mm per unit of time.
    #[must_use]
    pub fn dissipation(&self, v: &[f64]) -> f64 {
        self.samples.iter().map(|s| s.weight * length(&self.rate_at(s, v))).sum()
    }
}

/// Adds to the blocks of a triangle ([`crate::plane::element::PAIRS`]) what a symmetric matrix `d` over strains `[xx, yy,
/// engineering xy]`, of which the upper triangle is read, gives at a point with the shape functions' derivatives `gradient`.
pub fn add_stiffness(blocks: &mut Blocks, gradient: &[[f64; 2]; 6], d: &[[f64; 3]; 3]) {
    let stressed: [[f64; 6]; 6] = std::array::from_fn(|i| {
        let [x, y] = gradient[i];
        [
            d[0][0] * x + d[0][2] * y,
            d[0][1] * x + d[1][2] * y,
            d[0][2] * x + d[2][2] * y,
            d[0][1] * y + d[0][2] * x,
            d[1][1] * y + d[1][2] * x,
            d[1][2] * y + d[2][2] * x,
        ]
    });
    for (block, &(i, j)) in blocks.iter_mut().zip(&PAIRS) {
        let [x, y] = gradient[i];
        let s = &stressed[j];
        block[0] += x * s[0] + y * s[2];
        block[1] += x * s[3] + y * s[5];
        block[2] += y * s[1] + x * s[2];
        block[3] += y * s[4] + x * s[5];
    }
}

/// Length of a rate: the equivalent plastic strain rate.
#[must_use]
pub fn length(rate: &[f64; 3]) -> f64 {
    rate.iter().map(|x| x * x).sum::<f64>().sqrt()
}

/// 1 / sqrt 3.
const ROOT: f64 = 0.577_350_269_189_625_8;

/// The vector whose length is the equivalent plastic strain of `[xx, yy, engineering xy]`.
#[must_use]
pub fn rate([xx, yy, xy]: [f64; 3]) -> [f64; 3] {
    [ROOT * (2.0 * xx + yy), yy, ROOT * xy]
}

/// The transpose of [`rate`]: turns what is conjugate to a rate into a stress.
#[must_use]
pub fn rate_transposed([a, b, c]: [f64; 3]) -> [f64; 3] {
    [2.0 * ROOT * a, ROOT * a + b, ROOT * c]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_tension_and_shear_dissipate_as_they_should() {
        // Uniaxial: yy = xx of -1/2 each way; equivalent strain 1. Shear: gamma / sqrt 3.
        assert!((length(&rate([1.0, -0.5, 0.0])) - 1.0).abs() < 1e-12);
        assert!((length(&rate([0.0, 0.0, 1.0])) - ROOT).abs() < 1e-12);
        // Held across: 2 / sqrt 3.
        assert!((length(&rate([1.0, 0.0, 0.0])) - 2.0 * ROOT).abs() < 1e-12);
    }

    #[test]
    fn nodal_forces_are_those_of_a_pulled_block() {
        // 3 x 2 x 4 under 5 MPa along x and 1 MPa of shear: 40 N and 8 N on the right side, as much back on the left one.
        let mesh = crate::plane::grid::grid(2, 3, &|p| [3.0 * p[0], 2.0 * p[1]]);
        let metal = Metal::new(mesh, &|_| 4.0, 1.0);
        let forces = metal.nodal_forces(&vec![[5.0, 0.0, 1.0]; metal.samples.len()]);
        let sum = |axis: usize, on: &dyn Fn(Point) -> bool| -> f64 {
            let nodes = metal.mesh.points.iter().enumerate().filter(|(_, p)| on(**p));
            nodes.map(|(node, _)| forces[2 * node + axis]).sum()
        };
        let (right, inside) = (|p: Point| p[0] > 3.0 - 1e-9, |p: Point| p[0] > 1e-9 && p[0] < 3.0 - 1e-9);
        assert!((sum(0, &right) - 40.0).abs() < 1e-12, "{}", sum(0, &right));
        assert!(sum(0, &inside).abs() < 1e-12 && sum(1, &|_| true).abs() < 1e-12);
        // 1 MPa of shear on the upper side's 3 x 4 mm^2.
        let sheared = metal.nodal_forces(&vec![[0.0, 0.0, 1.0]; metal.samples.len()]);
        let upper = metal.mesh.points.iter().enumerate().filter(|(_, p)| p[1] > 2.0 - 1e-9);
        assert!((upper.map(|(node, _)| sheared[2 * node]).sum::<f64>() - 12.0).abs() < 1e-12);
    }

    #[test]
    fn the_transpose_is_one() {
        let (e, z) = ([0.3, -0.7, 1.1], [0.2, 0.5, -0.4]);
        let dot = |a: [f64; 3], b: [f64; 3]| a.iter().zip(&b).map(|(x, y)| x * y).sum::<f64>();
        assert!((dot(rate(e), z) - dot(e, rate_transposed(z))).abs() < 1e-12);
    }
}

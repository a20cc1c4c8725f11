//! Rigid, perfectly plastic metal on a mesh: where it is integrated and what it dissipates there.
//!
//! Yielding after von Mises in plane stress. The dissipation of a strain rate per unit of volume is the strength times
//! `sqrt(4/3 (xx^2 + yy^2 + xx yy) + engineering^2 / 3)`, which is the length of the vector that [`rate`] gives.

use crate::plane::element::{map_gradient, place, point, stations};
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

    /// Rate at a sample of the velocities `v`.
    #[must_use]
    pub fn rate_at(&self, sample: &Sample, v: &[f64]) -> [f64; 3] {
        let mut strain = [0.0; 3];
        for (&node, g) in self.mesh.triangles[sample.triangle as usize].iter().zip(&sample.gradient) {
            let (x, y) = (v[2 * node as usize], v[2 * node as usize + 1]);
            strain[0] += g[0] * x;
            strain[1] += g[1] * y;
            strain[2] += g[1] * x + g[0] * y;
        }
        rate(strain)
    }

    /// Power dissipated by the velocities `v`, N mm per unit of time.
    #[must_use]
    pub fn dissipation(&self, v: &[f64]) -> f64 {
        self.samples.iter().map(|s| s.weight * length(&self.rate_at(s, v))).sum()
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
    fn the_transpose_is_one() {
        let (e, z) = ([0.3, -0.7, 1.1], [0.2, 0.5, -0.4]);
        let dot = |a: [f64; 3], b: [f64; 3]| a.iter().zip(&b).map(|(x, y)| x * y).sum::<f64>();
        assert!((dot(rate(e), z) - dot(e, rate_transposed(z))).abs() < 1e-12);
    }
}

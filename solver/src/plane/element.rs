//! The six-node isoparametric triangle.
//!
//! Reference coordinates (r, s), corners 0 (0, 0), 1 (1, 0), 2 (0, 1), then the middles of sides 01, 12, 20. Position and
//! displacement use the same quadratic shape functions, so curved sides cost nothing extra. Quadratic, because bending
//! governs a connector and linear triangles are far too stiff in it.

use super::elastic::Moduli;
use super::quadrature::Rule;
use geometry::curve::Point;
use std::sync::LazyLock;

/// Pairs (a, b) of local nodes with b <= a, in the order of [`Blocks`].
pub const PAIRS: [(usize, usize); 21] = {
    let mut pairs = [(0, 0); 21];
    let (mut a, mut k) = (0, 0);
    while a < 6 {
        let mut b = 0;
        while b <= a {
            pairs[k] = (a, b);
            k += 1;
            b += 1;
        }
        a += 1;
    }
    pairs
};

/// Stiffness of one triangle, N/mm: a 2 x 2 block `[xx, xy, yx, yy]` for each of [`PAIRS`]. The rest follows by symmetry.
pub type Blocks = [[f64; 4]; 21];

/// Values of the six shape functions at the reference point (r, s).
#[must_use]
pub fn shape([r, s]: Point) -> [f64; 6] {
    let q = 1.0 - r - s;
    [q * (2.0 * q - 1.0), r * (2.0 * r - 1.0), s * (2.0 * s - 1.0), 4.0 * q * r, 4.0 * r * s, 4.0 * s * q]
}

/// Derivatives of the six shape functions by r and by s.
#[must_use]
pub fn reference_gradient([r, s]: Point) -> [[f64; 2]; 6] {
    let q = 1.0 - r - s;
    [
        [1.0 - 4.0 * q, 1.0 - 4.0 * q],
        [4.0 * r - 1.0, 0.0],
        [0.0, 4.0 * s - 1.0],
        [4.0 * (q - r), -4.0 * r],
        [4.0 * s, 4.0 * r],
        [-4.0 * s, 4.0 * (q - s)],
    ]
}

/// One integration point of a rule, with everything about it that is the same in every triangle.
#[derive(Clone, Copy, Debug)]
pub struct Station {
    /// Reference coordinates.
    pub local: Point,
    /// Weight; those of a rule sum to one half.
    pub weight: f64,
    /// Shape functions.
    pub shape: [f64; 6],
    /// Their derivatives by r and s.
    pub gradient: [[f64; 2]; 6],
}

static STATIONS: LazyLock<[Vec<Station>; 3]> = LazyLock::new(|| {
    [Rule::Degree2, Rule::Degree4, Rule::Degree8].map(|rule| {
        rule.points()
            .into_iter()
            .map(|(local, weight)| Station {
                local,
                weight,
                shape: shape(local),
                gradient: reference_gradient(local),
            })
            .collect()
    })
});

/// The stations of a rule.
#[must_use]
pub fn stations(rule: Rule) -> &'static [Station] {
    match rule {
        Rule::Degree2 => &STATIONS[0],
        Rule::Degree4 => &STATIONS[1],
        Rule::Degree8 => &STATIONS[2],
    }
}

/// The map from reference to true coordinates at one point of one triangle.
#[derive(Clone, Copy, Debug)]
pub struct Placed {
    /// Derivatives of the shape functions by x and y, 1/mm.
    pub gradient: [[f64; 2]; 6],
    /// Determinant of the map, mm^2: positive in a sound triangle.
    pub jacobian: f64,
}

/// Weighted sum of the six nodes' positions: the true point for the shape functions given.
#[must_use]
pub fn point(nodes: &[Point; 6], shape: &[f64; 6]) -> Point {
    let mut p = [0.0; 2];
    for (node, n) in nodes.iter().zip(shape) {
        p[0] += n * node[0];
        p[1] += n * node[1];
    }
    p
}

/// Derivatives of x and y by r and s: `[[dx/dr, dx/ds], [dy/dr, dy/ds]]`.
#[must_use]
pub fn map_gradient(nodes: &[Point; 6], gradient: &[[f64; 2]; 6]) -> [[f64; 2]; 2] {
    let mut map = [[0.0; 2]; 2];
    for (node, g) in nodes.iter().zip(gradient) {
        map[0][0] += node[0] * g[0];
        map[0][1] += node[0] * g[1];
        map[1][0] += node[1] * g[0];
        map[1][1] += node[1] * g[1];
    }
    map
}

/// Turns reference derivatives into true ones. A folded triangle gives a Jacobian that is not positive, and derivatives
/// that mean nothing: [`super::Body::new`] refuses it.
#[must_use]
pub fn place(nodes: &[Point; 6], gradient: &[[f64; 2]; 6]) -> Placed {
    let [[xr, xs], [yr, ys]] = map_gradient(nodes, gradient);
    let jacobian = xr * ys - xs * yr;
    let inverse = 1.0 / jacobian;
    let true_gradient =
        gradient.map(|[gr, gs]| [(gr * ys - gs * yr) * inverse, (gs * xr - gr * xs) * inverse]);
    Placed { gradient: true_gradient, jacobian }
}

/// Stiffness of one triangle. `breadths_mm`: one for each station of the rule.
///
/// The material is the same at every point, so the products of derivatives are integrated first and the moduli enter once
/// at the end: half the work of the textbook product of three matrices at every point.
#[must_use]
pub fn stiffness(nodes: &[Point; 6], rule: Rule, breadths_mm: &[f64], moduli: &Moduli) -> Blocks {
    let mut sums = [[0.0; 4]; 21];
    for (station, breadth) in stations(rule).iter().zip(breadths_mm) {
        let placed = place(nodes, &station.gradient);
        let weight = station.weight * placed.jacobian * breadth;
        let g = &placed.gradient;
        for (sum, &(a, b)) in sums.iter_mut().zip(&PAIRS) {
            let (x, y) = (weight * g[a][0], weight * g[a][1]);
            sum[0] += x * g[b][0];
            sum[1] += x * g[b][1];
            sum[2] += y * g[b][0];
            sum[3] += y * g[b][1];
        }
    }
    let Moduli { direct, cross, shear } = *moduli;
    sums.map(|[xx, xy, yx, yy]| {
        [direct * xx + shear * yy, cross * xy + shear * yx, cross * yx + shear * xy, direct * yy + shear * xx]
    })
}

/// Strain `[xx, yy, xy]` (engineering shear) of the displacements of the six nodes.
#[must_use]
pub fn strain(gradient: &[[f64; 2]; 6], displacements: &[[f64; 2]; 6]) -> [f64; 3] {
    let mut strain = [0.0; 3];
    for (g, u) in gradient.iter().zip(displacements) {
        strain[0] += g[0] * u[0];
        strain[1] += g[1] * u[1];
        strain[2] += g[1] * u[0] + g[0] * u[1];
    }
    strain
}

#[cfg(test)]
mod tests {
    use super::super::conformance;
    use super::*;

    #[test]
    fn six_node_triangle_conforms() {
        conformance::shape_functions(
            &[[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.5, 0.0], [0.5, 0.5], [0.0, 0.5]],
            |p| shape(p).to_vec(),
            |p| reference_gradient(p).to_vec(),
        );
        conformance::stiffness(stiffness);
    }

    #[test]
    fn straight_triangle_has_twice_its_area_as_jacobian() {
        // Legs 3 and 4: area 6.
        let nodes = [[0.0, 0.0], [3.0, 0.0], [0.0, 4.0], [1.5, 0.0], [1.5, 2.0], [0.0, 2.0]];
        for station in stations(Rule::Degree4) {
            assert!((place(&nodes, &station.gradient).jacobian - 12.0).abs() < 1e-12);
        }
    }
}

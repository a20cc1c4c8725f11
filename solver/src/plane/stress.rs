//! Stress out of displacements, and the measures drawn from it.

use super::body::Body;
use super::elastic::Elastic;
use super::element;
use geometry::curve::Point;

/// Von Mises stress of a plane-stress state.
///
/// `stress`: `[xx, yy, xy]`, MPa. Returns MPa, at least zero; NaN in, NaN out.
/// ```
/// // Pure shear yields at tau * sqrt(3).
/// assert!((solver::plane::stress::von_mises([0.0, 0.0, 100.0]) - 173.205).abs() < 1e-3);
/// ```
#[must_use]
pub fn von_mises([x, y, shear]: [f64; 3]) -> f64 {
    von_mises_across([x, y, shear], 0.0)
}

/// Von Mises stress with a stress `across` the plane, MPa (see [`Elastic::across`]).
#[must_use]
pub fn von_mises_across([x, y, shear]: [f64; 3], across: f64) -> f64 {
    // Half the sum of squared differences cannot come out below zero, unlike x^2 - x y + y^2.
    let squares = (x - y).powi(2) + (y - across).powi(2) + (across - x).powi(2);
    (0.5 * squares + 3.0 * shear * shear).sqrt()
}

/// Principal stresses in the plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Principal {
    /// The greater one, MPa.
    pub first: f64,
    /// The smaller one, MPa.
    pub second: f64,
    /// Direction of the greater one, radians counter-clockwise from +x, within -pi/2..=pi/2; 0 when both are equal.
    pub angle: f64,
}

/// Principal stresses of `[xx, yy, xy]`, MPa.
#[must_use]
pub fn principal([x, y, shear]: [f64; 3]) -> Principal {
    let (mean, half) = (0.5 * (x + y), 0.5 * (x - y));
    let radius = half.hypot(shear);
    Principal { first: mean + radius, second: mean - radius, angle: 0.5 * shear.atan2(half) }
}

/// Stress `[xx, yy, xy]`, MPa, at a reference point of a triangle, straight from the displacements `u`, mm.
#[must_use]
pub fn at(body: &Body, u: &[f64], triangle: usize, local: Point) -> [f64; 3] {
    let placed = element::place(&body.nodes_of(triangle), &element::reference_gradient(local));
    let strain = element::strain(&placed.gradient, &body.displacements_of(triangle, u));
    body.elastic().moduli().stress(strain)
}

/// Stress at every integration point, in the order of [`Body::points_of`], MPa.
#[must_use]
pub fn at_integration_points(body: &Body, u: &[f64]) -> Vec<[f64; 3]> {
    let moduli = body.elastic().moduli();
    (0..body.triangles())
        .flat_map(|t| {
            let displacements = body.displacements_of(t, u);
            body.samples(t).map(move |s| moduli.stress(element::strain(&s.placed.gradient, &displacements)))
        })
        .collect()
}

/// Von Mises stress of each state, with the stress across the plane that the material's state asks for.
#[must_use]
pub fn von_mises_of(elastic: &Elastic, stresses: &[[f64; 3]]) -> Vec<f64> {
    stresses.iter().map(|s| von_mises_across(*s, elastic.across(*s))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn von_mises_by_hand() {
        assert!((von_mises([100.0, 0.0, 0.0]) - 100.0).abs() < 1e-12);
        assert!((von_mises([100.0, 100.0, 0.0]) - 100.0).abs() < 1e-12);
        // 9 - 3 * 4 * ... : sqrt(9 - 12 + 16 + 3 * 4) = 5.
        assert!((von_mises([3.0, 4.0, 2.0]) - 5.0).abs() < 1e-12);
        // The same in all directions: nothing.
        assert!(von_mises_across([7.0, 7.0, 0.0], 7.0).abs() < 1e-12);
        assert!(von_mises([f64::NAN, 0.0, 0.0]).is_nan());
    }

    #[test]
    fn principal_by_hand() {
        let p = principal([5.0, -1.0, 4.0]);
        assert!((p.first - 7.0).abs() < 1e-12 && (p.second + 3.0).abs() < 1e-12);
        // tan of twice the angle is 4 / 3.
        assert!(((2.0 * p.angle).tan() - 4.0 / 3.0).abs() < 1e-12);
        let up = principal([0.0, 2.0, 0.0]);
        assert!((up.angle.abs() - std::f64::consts::FRAC_PI_2).abs() < 1e-12);
    }
}

//! What every element must satisfy; an element type is enrolled by calling these from its own tests.

use super::elastic::{Elastic, Moduli, PlaneState};
use super::element::{Blocks, PAIRS};
use super::quadrature::Rule;
use geometry::curve::Point;

/// Shape functions are one at their own node and zero at the others, sum to one, and have the derivatives they claim.
/// An element with one reference coordinate ignores the second and returns zero derivatives by it.
pub fn shape_functions(
    nodes: &[Point],
    shape: impl Fn(Point) -> Vec<f64>,
    gradient: impl Fn(Point) -> Vec<[f64; 2]>,
) {
    for (i, node) in nodes.iter().enumerate() {
        for (j, value) in shape(*node).into_iter().enumerate() {
            assert!((value - f64::from(u8::from(i == j))).abs() < 1e-15, "function {j} at node {i}: {value}");
        }
    }
    for p in [[0.2, 0.3], [0.6, 0.1], [0.05, 0.9], [0.4, 0.4]] {
        assert!((shape(p).iter().sum::<f64>() - 1.0).abs() < 1e-15);
        for axis in 0..2 {
            // Quadratics: the central difference is exact up to rounding.
            let at = |step: f64| {
                let mut q = p;
                q[axis] += step;
                shape(q)
            };
            for ((more, less), g) in at(1e-3).iter().zip(at(-1e-3)).zip(gradient(p)) {
                assert!(((more - less) / 2e-3 - g[axis]).abs() < 1e-11);
            }
        }
    }
}

/// Triangles from plain to badly bent, all with positive Jacobian.
fn shapes() -> Vec<[Point; 6]> {
    let straight = |a: Point, b: Point, c: Point| {
        let mid = |p: Point, q: Point| [0.5 * (p[0] + q[0]), 0.5 * (p[1] + q[1])];
        [a, b, c, mid(a, b), mid(b, c), mid(c, a)]
    };
    let mut bent = straight([0.0, 0.0], [4.0, 0.5], [1.0, 3.0]);
    bent[3][1] -= 0.4;
    bent[4][0] += 0.3;
    let mut off_middle = straight([10.0, -3.0], [11.0, -3.0], [10.2, -1.8]);
    off_middle[3][0] += 0.08;
    vec![
        straight([0.0, 0.0], [1.0, 0.0], [0.0, 1.0]),
        straight([0.0, 0.0], [10.0, 0.0], [5.0, 0.8]),
        bent,
        off_middle,
    ]
}

/// Full 12 x 12 matrix from the blocks.
fn dense(blocks: &Blocks) -> nalgebra::SMatrix<f64, 12, 12> {
    let mut k = nalgebra::SMatrix::zeros();
    for (block, (a, b)) in blocks.iter().zip(PAIRS) {
        for (n, value) in block.iter().enumerate() {
            let (row, column) = (2 * a + n / 2, 2 * b + n % 2);
            k[(row, column)] = *value;
            k[(column, row)] = *value;
        }
    }
    k
}

/// A stiffness is symmetric within its diagonal blocks, has exactly the three rigid motions as its zero-energy modes, and
/// gives the energy of a constant strain: breadth * area * strain . D . strain.
pub fn stiffness(element: impl Fn(&[Point; 6], Rule, &[f64], &Moduli) -> Blocks) {
    for state in [PlaneState::Stress, PlaneState::Strain] {
        let moduli = Elastic { youngs_modulus_mpa: 70e3, poisson_ratio: 0.33, state }.moduli();
        for nodes in shapes() {
            for rule in [Rule::Degree4, Rule::Degree8] {
                let breadth = 2.5;
                let blocks = element(&nodes, rule, &vec![breadth; rule.len()], &moduli);
                for (block, (a, b)) in blocks.iter().zip(PAIRS) {
                    assert!(a != b || (block[1] - block[2]).abs() < 1e-9 * moduli.direct);
                }
                let k = dense(&blocks);
                let largest = k.symmetric_eigenvalues().max();
                let zeros = k.symmetric_eigenvalues().iter().filter(|v| v.abs() < 1e-12 * largest).count();
                assert_eq!(zeros, 3, "{nodes:?}");

                let field = |f: &dyn Fn(Point) -> Point| {
                    nalgebra::SVector::<f64, 12>::from_iterator(nodes.iter().flat_map(|p| f(*p)))
                };
                let turn = k * field(&|p| [-p[1], p[0]]);
                assert!(turn.amax() < 1e-12 * largest * 20.0);

                let u = field(&|p| [1e-3 * p[0] + 4e-4 * p[1], -2e-3 * p[1] + 3e-4 * p[0]]);
                let strain = [1e-3, -2e-3, 7e-4];
                let stress = moduli.stress(strain);
                let work: f64 = stress.iter().zip(strain).map(|(s, e)| s * e).sum();
                let exact = work * breadth * area(&nodes);
                assert!((u.dot(&(k * u)) / exact - 1.0).abs() < 1e-10);
            }
        }
    }
}

/// Area inside the three quadratic sides: half the integral of x dy - y dx, by Simpson's rule on a cubic, which is exact.
fn area(nodes: &[Point; 6]) -> f64 {
    let mut sum = 0.0;
    for [a, b, m] in [[0, 1, 3], [1, 2, 4], [2, 0, 5]].map(|side| side.map(|i: usize| nodes[i])) {
        for (t, w) in [(0.0, 1.0 / 6.0), (0.5, 4.0 / 6.0), (1.0, 1.0 / 6.0)] {
            let at = |i: usize| {
                a[i] * (1.0 - t) * (1.0 - 2.0 * t) + b[i] * t * (2.0 * t - 1.0) + m[i] * 4.0 * t * (1.0 - t)
            };
            let slope = |i: usize| slope_of(t, a[i], b[i], m[i]);
            sum += 0.5 * w * (at(0) * slope(1) - at(1) * slope(0));
        }
    }
    sum
}

/// Derivative by t in 0..=1 of the quadratic through a (0), m (1/2), b (1).
fn slope_of(t: f64, a: f64, b: f64, m: f64) -> f64 {
    a * (4.0 * t - 3.0) + b * (4.0 * t - 1.0) + m * (4.0 - 8.0 * t)
}

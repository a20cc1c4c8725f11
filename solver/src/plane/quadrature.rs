//! Integration rules on the reference triangle with corners (0, 0), (1, 0), (0, 1).
//!
//! Three symmetric rules, all points inside, all weights positive. Two is the sampling rule of stress recovery; four
//! integrates the stiffness of a straight six-node triangle under a breadth that varies up to quadratically; eight is for
//! triangles that touch an edge where the chord of a round bar vanishes like a square root. No rule integrates a square
//! root exactly: degree eight makes the error small, not zero.

use geometry::curve::Point;

/// Highest degree of polynomial that a rule integrates exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// Three points.
    Degree2,
    /// Six points.
    Degree4,
    /// Sixteen points.
    Degree8,
}

impl Rule {
    /// The degree.
    #[must_use]
    pub fn degree(self) -> u32 {
        match self {
            Self::Degree2 => 2,
            Self::Degree4 => 4,
            Self::Degree8 => 8,
        }
    }

    /// Number of points.
    #[must_use]
    pub fn len(self) -> usize {
        match self {
            Self::Degree2 => 3,
            Self::Degree4 => 6,
            Self::Degree8 => 16,
        }
    }

    /// Never true; here because `len` is.
    #[must_use]
    pub fn is_empty(self) -> bool {
        false
    }

    /// Points in reference coordinates with weights that sum to one half, the area of the reference triangle.
    ///
    /// Source: D. A. Dunavant, High degree efficient symmetrical Gaussian quadrature rules for the triangle, 1985
    /// (degree 2, 4 and 8), with digits refined to double precision.
    #[must_use]
    pub fn points(self) -> Vec<(Point, f64)> {
        let mut out = Vec::with_capacity(self.len());
        match self {
            Self::Degree2 => three(&mut out, 1.0 / 6.0, 1.0 / 3.0),
            Self::Degree4 => {
                three(&mut out, 0.445_948_490_915_964_9, 0.223_381_589_678_011_47);
                three(&mut out, 0.091_576_213_509_770_74, 0.109_951_743_655_321_87);
            }
            Self::Degree8 => {
                out.push(([1.0 / 3.0, 1.0 / 3.0], 0.5 * 0.144_315_607_677_787_17));
                three(&mut out, 0.170_569_307_751_760_2, 0.103_217_370_534_718_25);
                three(&mut out, 0.050_547_228_317_030_98, 0.032_458_497_623_198_08);
                three(&mut out, 0.459_292_588_292_723_2, 0.095_091_634_267_284_62);
                six(&mut out, 0.263_112_829_634_638_1, 0.008_394_777_409_957_605, 0.027_230_314_174_434_994);
            }
        }
        out
    }
}

/// The three points with two area coordinates equal to `a`. `weight` is a share of the area, as in the source.
fn three(out: &mut Vec<(Point, f64)>, a: f64, weight: f64) {
    let b = 1.0 - 2.0 * a;
    out.extend([[a, a], [b, a], [a, b]].map(|p| (p, 0.5 * weight)));
}

/// The six points whose area coordinates are `a`, `b` and the rest, in any order.
fn six(out: &mut Vec<(Point, f64)>, a: f64, b: f64, weight: f64) {
    let c = 1.0 - a - b;
    out.extend([[a, b], [b, a], [b, c], [c, b], [c, a], [a, c]].map(|p| (p, 0.5 * weight)));
}

/// Two-point Gauss rule on -1..=1 (degree 3): abscissa, weight.
pub const LINE_TWO: [(f64, f64); 2] = [(-0.577_350_269_189_625_8, 1.0), (0.577_350_269_189_625_8, 1.0)];

/// Three-point Gauss rule on -1..=1 (degree 5).
pub const LINE_THREE: [(f64, f64); 3] =
    [(-0.774_596_669_241_483_4, 5.0 / 9.0), (0.0, 8.0 / 9.0), (0.774_596_669_241_483_4, 5.0 / 9.0)];

/// Four-point Gauss rule on -1..=1 (degree 7): abscissa, weight. For loads along a quadratic edge.
pub const LINE_POINTS: [(f64, f64); 4] = [
    (-0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
    (-0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
    (0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
    (0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// Integral of r^a s^b over the reference triangle: a! b! / (a + b + 2)!.
    fn exact(a: u32, b: u32) -> f64 {
        let factorial = |n: u32| (1..=n).map(f64::from).product::<f64>();
        factorial(a) * factorial(b) / factorial(a + b + 2)
    }

    #[test]
    fn line_rules_integrate_monomials_up_to_their_degree_and_not_beyond() {
        let miss = |rule: &[(f64, f64)], power: i32| {
            let exact = if power % 2 == 0 { 2.0 / f64::from(power + 1) } else { 0.0 };
            (rule.iter().map(|(s, w)| w * s.powi(power)).sum::<f64>() - exact).abs()
        };
        for (rule, degree) in [(&LINE_TWO[..], 3), (&LINE_THREE, 5), (&LINE_POINTS, 7)] {
            assert!((0..=degree).all(|power| miss(rule, power) < 1e-14), "{degree}");
            assert!(miss(rule, degree + 1) > 1e-3, "{degree}");
        }
    }

    fn by_rule(rule: Rule, a: u32, b: u32) -> f64 {
        rule.points().iter().map(|(p, w)| w * p[0].powi(a as i32) * p[1].powi(b as i32)).sum()
    }

    #[test]
    fn each_rule_integrates_monomials_up_to_its_degree_and_not_beyond() {
        for rule in [Rule::Degree2, Rule::Degree4, Rule::Degree8] {
            for a in 0..=rule.degree() {
                for b in 0..=rule.degree() - a {
                    let error = (by_rule(rule, a, b) - exact(a, b)).abs();
                    assert!(error < 1e-15, "{rule:?} r^{a} s^{b}: {error:e}");
                }
            }
            let beyond = rule.degree() + 1;
            assert!((0..=beyond).any(|a| (by_rule(rule, a, beyond - a) - exact(a, beyond - a)).abs() > 1e-9));
        }
    }

    #[test]
    fn points_are_inside_and_weights_positive() {
        for rule in [Rule::Degree2, Rule::Degree4, Rule::Degree8] {
            assert_eq!(rule.points().len(), rule.len());
            assert!(
                rule.points().iter().all(|(p, w)| p[0] > 0.0 && p[1] > 0.0 && p[0] + p[1] < 1.0 && *w > 0.0)
            );
        }
    }

    #[test]
    fn line_rule_integrates_degree_seven() {
        for n in 0..8 {
            let sum: f64 = LINE_POINTS.iter().map(|(x, w)| w * x.powi(n)).sum();
            let exact = if n % 2 == 0 { 2.0 / f64::from(n + 1) } else { 0.0 };
            assert!((sum - exact).abs() < 1e-15, "x^{n}");
        }
    }
}

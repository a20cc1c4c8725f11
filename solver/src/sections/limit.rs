//! What a cut through a part can carry: axial force and moment together, on the real section.
//!
//! Once every fibre of a section has reached the same strength, in tension on one side of a line and in compression on the
//! other, it carries no more. Moving that line through the depth gives all pairs of axial force and moment at the limit,
//! exactly, for any shape: the pairs form a convex curve about the origin. Kept per unit of strength, so that one curve
//! serves every alloy.
//!
//! Which strength: yield for "bends" (from there on the bar is permanently bent), the mean of yield and ultimate for "opens"
//! and "tears" ([`flow_mpa`]).
//!
//! Left out: shear (small beside bending in a bar ten times as long as deep), and fibres that buckle.

use crate::material::Material;
use std::f64::consts::PI;

/// Fibres through the depth. They crowd at both edges, where round sections change fastest.
const FIBRES: usize = 240;

/// Strength of a section that is bent until it opens and tears, MPa: the mean of yield and ultimate, as limit loads of
/// metals that harden are commonly estimated (engineering judgement). Yield alone is known to be too low for a break, and
/// ultimate asks every fibre for what only the outermost reaches.
#[must_use]
pub fn flow_mpa(material: &Material) -> f64 {
    flow_at_mpa(material, MEAN_FLOW)
}

/// The part of the way from yield to ultimate at which that strength lies.
pub const MEAN_FLOW: f64 = 0.5;

/// The stress at a part of the way from yield, 0, to ultimate, 1, MPa.
#[must_use]
pub fn flow_at_mpa(material: &Material, part: f64) -> f64 {
    (1.0 - part) * material.yield_mpa + part * material.ultimate_mpa
}

/// Limit of a section, per unit of strength.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionLimit {
    /// Axial force and moment over strength (mm^2 and mm^3), inner side in tension, from all tension to all compression.
    curve: Vec<[f64; 2]>,
    /// Area, mm^2.
    area: f64,
    /// Centroid from the inner edge, mm.
    centroid: f64,
    /// Second moment of area about the centroid, mm^4.
    second: f64,
    /// Depth, mm.
    depth: f64,
}

impl SectionLimit {
    /// The limit of a section `depth_mm` deep with breadth `chord(s)` at distance `s` from its inner edge, mm. The breadth
    /// must be positive somewhere.
    #[must_use]
    pub fn new(depth_mm: f64, chord: &dyn Fn(f64) -> f64) -> Self {
        let step = PI / FIBRES as f64;
        let fibres: Vec<[f64; 2]> = (0..FIBRES)
            .map(|i| {
                let angle = (i as f64 + 0.5) * step;
                let s = 0.5 * depth_mm * (1.0 - angle.cos());
                [s, chord(s) * 0.5 * depth_mm * angle.sin() * step]
            })
            .collect();
        let area: f64 = fibres.iter().map(|f| f[1]).sum();
        let centroid = fibres.iter().map(|f| f[0] * f[1]).sum::<f64>() / area;
        let second = fibres.iter().map(|f| (f[0] - centroid).powi(2) * f[1]).sum();
        // All fibres in tension; then they turn to compression one by one, from the outer edge inward.
        let mut pair = [area, 0.0];
        let mut curve = vec![pair];
        for [s, part] in fibres.iter().rev() {
            pair[0] -= 2.0 * part;
            pair[1] += 2.0 * part * (s - centroid);
            curve.push(pair);
        }
        Self { curve, area, centroid, second, depth: depth_mm }
    }

    /// A rectangle: a machined block.
    #[must_use]
    pub fn rectangle(depth_mm: f64, breadth_mm: f64) -> Self {
        Self::new(depth_mm, &|_| breadth_mm)
    }

    /// Area, mm^2.
    #[must_use]
    pub fn area_mm2(&self) -> f64 {
        self.area
    }

    /// Depth, mm.
    #[must_use]
    pub fn depth_mm(&self) -> f64 {
        self.depth
    }

    /// Distance of the centroid from the inner edge, mm.
    #[must_use]
    pub fn centroid_mm(&self) -> f64 {
        self.centroid
    }

    /// Moment over strength at the limit when `axial_over_strength_mm2` acts as well, mm^3; zero beyond the axial limit.
    #[must_use]
    pub fn moment_at_mm3(&self, axial_over_strength_mm2: f64) -> f64 {
        let n = axial_over_strength_mm2;
        let after = self.curve.partition_point(|p| p[0] >= n);
        if after == 0 || after == self.curve.len() {
            return 0.0;
        }
        let ([n0, m0], [n1, m1]) = (self.curve[after - 1], self.curve[after]);
        m0 + (n - n0) / (n1 - n0) * (m1 - m0)
    }

    /// Plastic section modulus, mm^3.
    #[must_use]
    pub fn plastic_modulus_mm3(&self) -> f64 {
        self.moment_at_mm3(0.0)
    }

    /// Elastic section modulus of the edge that yields first, mm^3.
    #[must_use]
    pub fn elastic_modulus_mm3(&self) -> f64 {
        self.second / self.centroid.max(self.depth - self.centroid)
    }

    /// By what factor an axial force in N (positive in tension) and a moment in N mm about the centroid (positive when it
    /// stretches the inner side) may grow together before the whole section is at `strength_mpa`. Infinite without forces.
    #[must_use]
    pub fn factor(&self, axial_n: f64, moment_nmm: f64, strength_mpa: f64) -> f64 {
        // Strength is the same in tension and compression: turning both round changes nothing.
        let [n, m] = if moment_nmm < 0.0 { [-axial_n, -moment_nmm] } else { [axial_n, moment_nmm] };
        if n == 0.0 && m == 0.0 {
            return f64::INFINITY;
        }
        // The curve runs counter-clockwise from straight ahead to straight back: find the piece that the ray meets.
        let side = |p: &[f64; 2]| n * p[1] - m * p[0];
        let after = self.curve.partition_point(|p| side(p) <= 0.0).clamp(1, self.curve.len() - 1);
        let (a, b) = (self.curve[after - 1], self.curve[after]);
        let [dn, dm] = [b[0] - a[0], b[1] - a[1]];
        strength_mpa * (a[0] * dm - a[1] * dn) / (n * dm - m * dn)
    }

    /// By what factor both may grow before the first fibre is at `strength_mpa`, by straight-beam theory.
    #[must_use]
    pub fn first_fibre_factor(&self, axial_n: f64, moment_nmm: f64, strength_mpa: f64) -> f64 {
        let at = |s: f64| axial_n / self.area + moment_nmm * (self.centroid - s) / self.second;
        strength_mpa / at(0.0).abs().max(at(self.depth).abs())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use geometry::connector::{Section, SectionShape};

    fn of(shape: SectionShape, depth_mm: f64, breadth_mm: f64) -> SectionLimit {
        let section = Section { shape, depth_mm, breadth_mm };
        SectionLimit::new(depth_mm, &|s| section.chord_mm(2.0 * s / depth_mm - 1.0))
    }

    #[track_caller]
    fn near(found: f64, wanted: f64, part: f64) {
        assert!((found / wanted - 1.0).abs() < part, "{found} is not {wanted}");
    }

    #[test]
    fn shape_factors_are_those_of_the_texts() {
        // C1: rectangle 1.5, solid round 16/(3 pi).
        let rectangle = of(SectionShape::Rectangle, 14.0, 11.0);
        near(rectangle.plastic_modulus_mm3() / rectangle.elastic_modulus_mm3(), 1.5, 1e-3);
        near(rectangle.plastic_modulus_mm3(), 11.0 * 14.0 * 14.0 / 4.0, 1e-3);
        let round = of(SectionShape::Round, 12.0, 12.0);
        near(round.plastic_modulus_mm3() / round.elastic_modulus_mm3(), 16.0 / (3.0 * PI), 1e-3);
        near(round.plastic_modulus_mm3(), 12.0_f64.powi(3) / 6.0, 1e-3);
    }

    #[test]
    fn axial_force_and_moment_act_together_as_in_the_texts() {
        // C4: rectangle m = 1 - n^2; round at n = 0.5: 0.7655.
        let rectangle = SectionLimit::rectangle(14.0, 11.0);
        for n in [0.0, 0.3, 0.5, 0.9] {
            near(rectangle.moment_at_mm3(n * 154.0) / 539.0, 1.0 - n * n, 1e-3);
        }
        let round = of(SectionShape::Round, 12.0, 12.0);
        near(round.moment_at_mm3(0.5 * round.area_mm2()) / round.plastic_modulus_mm3(), 0.7655, 1e-3);
    }

    #[test]
    fn an_oval_is_a_rectangle_and_a_round() {
        // 14 deep, 11 broad: 3 mm of full breadth and two half circles of radius 5.5 whose centroids are
        // 1.5 + 4 * 5.5 / (3 pi) = 3.834 mm out.
        let oval = of(SectionShape::Oval, 14.0, 11.0);
        let half = 0.5 * PI * 5.5 * 5.5;
        near(oval.area_mm2(), 33.0 + 2.0 * half, 1e-4);
        let modulus = 11.0 * 9.0 / 4.0 + 2.0 * half * (1.5 + 4.0 * 5.5 / (3.0 * PI));
        near(oval.plastic_modulus_mm3(), modulus, 1e-3);
    }

    #[test]
    fn an_i_section_is_what_its_flanges_and_web_make() {
        // Flanges 3 x 10, web 8 x 4: 2 * 30 * 5.5 + 4 * 16 = 394 mm^3. The flange's run-in moves it by less than 2 %.
        let section = of(SectionShape::I { flange_mm: 3.0, web_mm: 4.0 }, 14.0, 10.0);
        near(section.plastic_modulus_mm3(), 394.0, 0.02);
    }

    #[test]
    fn the_factor_ends_on_the_curve() {
        let section = SectionLimit::rectangle(8.0, 9.0);
        for (axial, moment) in [(9000.0, 50e3), (9000.0, -50e3), (-9000.0, 50e3), (0.0, 1.0), (1.0, 0.0)] {
            let factor = section.factor(axial, moment, 500.0);
            let n = axial * factor / (500.0 * 72.0);
            let m: f64 = moment * factor / (500.0 * 144.0);
            near(m.abs() + n * n, 1.0, 1e-3);
        }
        // Twice as strong carries twice as much.
        near(section.factor(1e3, 1e4, 1000.0), 2.0 * section.factor(1e3, 1e4, 500.0), 1e-12);
        assert!(section.factor(0.0, 0.0, 500.0).is_infinite());
    }

    #[test]
    fn a_lopsided_section_is_balanced_about_its_equal_areas() {
        // A T: 10 x 2 at the inner edge, 2 x 10 beyond. Equal areas meet at s = 2: 20 mm^2 at 1 mm and 20 at 5 mm from it.
        let t = SectionLimit::new(12.0, &|s| if s < 2.0 { 10.0 } else { 2.0 });
        near(t.centroid_mm(), (20.0 * 1.0 + 20.0 * 7.0) / 40.0, 5e-3);
        near(t.plastic_modulus_mm3(), 20.0 + 100.0, 0.01);
    }

    #[test]
    fn the_first_fibre_yields_by_beam_theory() {
        // N/A + M/W = 7200/72 + 9600/96 = 200 MPa.
        let section = SectionLimit::rectangle(8.0, 9.0);
        near(section.first_fibre_factor(7200.0, 9600.0, 500.0), 2.5, 1e-3);
    }
}

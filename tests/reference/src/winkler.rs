//! The curved-beam formula of Winkler and Bach: sections stay plane and no stress acts across the fibres.

/// What the formula needs of a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvedSection {
    /// Radius of the inner fibre, mm.
    pub inner: f64,
    /// Radius of the outer fibre, mm.
    pub outer: f64,
    /// Area, mm^2.
    pub area: f64,
    /// Radius of the centroid, mm.
    pub centroid: f64,
    /// Radius where bending alone gives no stress, mm.
    pub neutral: f64,
}

impl CurvedSection {
    /// A rectangle of breadth `b`.
    #[must_use]
    pub fn rectangle(inner: f64, outer: f64, b: f64) -> Self {
        Self {
            inner,
            outer,
            area: b * (outer - inner),
            centroid: 0.5 * (inner + outer),
            neutral: (outer - inner) / (outer / inner).ln(),
        }
    }

    /// A trapezoid of breadth `bi` at the inner and `bo` at the outer fibre.
    #[must_use]
    pub fn trapezoid(inner: f64, outer: f64, bi: f64, bo: f64) -> Self {
        let h = outer - inner;
        let area = 0.5 * (bi + bo) * h;
        let by_radius = (bi * outer - bo * inner) / h * (outer / inner).ln() - (bi - bo);
        Self {
            inner,
            outer,
            area,
            centroid: inner + h * (bi + 2.0 * bo) / (3.0 * (bi + bo)),
            neutral: area / by_radius,
        }
    }

    /// A circle of diameter `d` about the radius `centroid`.
    #[must_use]
    pub fn round(centroid: f64, d: f64) -> Self {
        let (inner, outer) = (centroid - 0.5 * d, centroid + 0.5 * d);
        let neutral = 0.25 * (outer.sqrt() + inner.sqrt()).powi(2);
        Self { inner, outer, area: 0.25 * std::f64::consts::PI * d * d, centroid, neutral }
    }

    /// Distance from centroid to neutral fibre, mm.
    #[must_use]
    pub fn eccentricity(&self) -> f64 {
        self.centroid - self.neutral
    }

    /// Stress at the inner and outer fibre, MPa, of a moment (N mm, positive when it straightens the bar).
    #[must_use]
    pub fn bending(&self, moment: f64) -> [f64; 2] {
        let scale = moment / (self.area * self.eccentricity());
        [scale * (self.neutral - self.inner) / self.inner, scale * (self.neutral - self.outer) / self.outer]
    }

    /// Stress at the inner and outer fibre, MPa, of a pull (N) through the centre of curvature.
    #[must_use]
    pub fn hook(&self, pull: f64) -> [f64; 2] {
        self.bending(pull * self.centroid).map(|bending| bending + pull / self.area)
    }
}

//! What of a problem is compared with published numbers: single numbers, and rates of convergence.

/// One number compared.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// What is compared, with unit.
    pub quantity: String,
    /// The published number.
    pub expected: f64,
    /// What was computed.
    pub got: f64,
    /// Largest difference that passes: relative to `expected`, or absolute when `expected` is zero.
    pub tolerance: f64,
    /// Why this tolerance and no tighter one.
    pub reason: &'static str,
}

/// Errors over meshes of falling size, and the rate they should fall with.
#[derive(Clone, Debug, PartialEq)]
pub struct Rate {
    /// Which error: "displacement".
    pub error: &'static str,
    /// How it is taken over the mesh, where there is more than one way: "mean square".
    pub taken: Option<&'static str>,
    /// Mesh sizes (1 / sqrt(number of elements)) with the error on each.
    pub points: Vec<(f64, f64)>,
    /// The rate that theory gives.
    pub expected: f64,
    /// How far the measured rate may be off.
    pub tolerance: f64,
}

/// A comparison.
#[must_use]
pub fn compare(
    quantity: impl Into<String>,
    expected: f64,
    got: f64,
    tolerance: f64,
    reason: &'static str,
) -> Check {
    Check { quantity: quantity.into(), expected, got, tolerance, reason }
}

impl Check {
    /// Difference, relative to the expected number unless that is zero.
    #[must_use]
    pub fn difference(&self) -> f64 {
        if self.expected == 0.0 { self.got } else { (self.got - self.expected) / self.expected.abs() }
    }

    /// True when the difference is within the tolerance (never for NaN).
    #[must_use]
    pub fn passes(&self) -> bool {
        self.difference().abs() <= self.tolerance
    }
}

impl Rate {
    /// The error and how it is taken.
    #[must_use]
    pub fn quantity(&self) -> String {
        [Some(self.error), self.taken].into_iter().flatten().collect::<Vec<_>>().join(", ")
    }

    /// Least-squares slope of log error over log size.
    #[must_use]
    pub fn measured(&self) -> f64 {
        let logs: Vec<(f64, f64)> = self.points.iter().map(|(h, e)| (h.ln(), e.ln())).collect();
        let n = logs.len() as f64;
        let mean = |f: fn(&(f64, f64)) -> f64| logs.iter().map(f).sum::<f64>() / n;
        let (mx, my) = (mean(|p| p.0), mean(|p| p.1));
        let top: f64 = logs.iter().map(|(x, y)| (x - mx) * (y - my)).sum();
        let bottom: f64 = logs.iter().map(|(x, _)| (x - mx) * (x - mx)).sum();
        top / bottom
    }

    /// True when the measured rate is close enough to theory (never for NaN).
    #[must_use]
    pub fn passes(&self) -> bool {
        (self.measured() - self.expected).abs() <= self.tolerance
    }
}

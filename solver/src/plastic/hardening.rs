//! How the stress that keeps a metal flowing grows with the plastic strain behind it.

/// Isotropic hardening: true stress over logarithmic plastic strain.
#[derive(Clone, Debug, PartialEq)]
pub enum Hardening {
    /// It does not grow.
    Perfect {
        /// Yield strength, MPa.
        yield_mpa: f64,
    },
    /// Swift's power of a strain that starts at an offset: `yield (1 + strain / offset)^exponent`.
    Swift {
        /// Yield strength, MPa.
        yield_mpa: f64,
        /// Offset of the strain.
        offset: f64,
        /// Exponent, between 0 and 1.
        exponent: f64,
    },
    /// Ramberg and Osgood: plastic strain is `(stress / strength)^(1 / exponent)`, from the first stress on.
    RambergOsgood {
        /// Stress at a plastic strain of one, MPa.
        strength_mpa: f64,
        /// Exponent, between 0 and 1.
        exponent: f64,
    },
    /// Points of a measured curve.
    Measured(Measured),
}

/// A measured curve: straight between its points, and beyond the last as its [`Beyond`] says.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    points: Vec<[f64; 2]>,
    beyond: Beyond,
}

/// What holds beyond the last point of a measured curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beyond {
    /// The stress of the last point: nothing is claimed that was not measured, and strength is not overstated.
    Level,
    /// The slope of the last two points.
    Straight,
}

/// A curve that no metal has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoHardening {
    /// Fewer than two points.
    TooFew(usize),
    /// The first point is not at a plastic strain of zero.
    NotFromZero(f64),
    /// A point whose strain or stress does not go up from the one before, or is no number: its place in the list.
    NotAscending(usize),
}

/// Flow stress and its slope, MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flowing {
    /// Stress that keeps the metal flowing.
    pub stress_mpa: f64,
    /// Its derivative by the plastic strain; infinite at the start of a curve after Ramberg and Osgood.
    pub slope_mpa: f64,
}

impl Measured {
    /// A curve of points `[plastic strain, true stress in MPa]`, the first at a strain of zero, both ascending (stresses may stay level).
    ///
    /// # Errors
    /// [`NoHardening`] for points that are no such curve.
    pub fn new(points: Vec<[f64; 2]>, beyond: Beyond) -> Result<Self, NoHardening> {
        let [[first, stress], _, ..] = points[..] else { return Err(NoHardening::TooFew(points.len())) };
        if first != 0.0 {
            return Err(NoHardening::NotFromZero(first));
        }
        if !(stress > 0.0 && stress.is_finite()) {
            return Err(NoHardening::NotAscending(0));
        }
        let falls = points.windows(2).position(|pair| {
            let [[e0, s0], [e1, s1]] = [pair[0], pair[1]];
            !(e1 > e0 && s1 >= s0 && e1.is_finite() && s1.is_finite())
        });
        match falls {
            Some(before) => Err(NoHardening::NotAscending(before + 1)),
            None => Ok(Self { points, beyond }),
        }
    }

    /// The plastic strain of the last point: beyond it the rule is what it is told to be.
    #[must_use]
    pub fn last_strain(&self) -> f64 {
        self.points[self.points.len() - 1][0]
    }

    fn at(&self, strain: f64) -> Flowing {
        let last = self.points.len() - 1;
        let after = self.points.partition_point(|[e, _]| *e <= strain);
        if after > last && self.beyond == Beyond::Level {
            return Flowing { stress_mpa: self.points[last][1], slope_mpa: 0.0 };
        }
        let upper = after.clamp(1, last);
        let [[e0, s0], [e1, s1]] = [self.points[upper - 1], self.points[upper]];
        let slope_mpa = (s1 - s0) / (e1 - e0);
        Flowing { stress_mpa: s0 + slope_mpa * (strain - e0), slope_mpa }
    }
}

impl Hardening {
    /// Flow stress after an accumulated plastic strain.
    #[must_use]
    pub fn at(&self, strain: f64) -> Flowing {
        match self {
            Self::Perfect { yield_mpa } => Flowing { stress_mpa: *yield_mpa, slope_mpa: 0.0 },
            Self::Swift { yield_mpa, offset, exponent } => {
                let base = 1.0 + strain / offset;
                let stress_mpa = yield_mpa * base.powf(*exponent);
                Flowing { stress_mpa, slope_mpa: exponent * stress_mpa / (offset * base) }
            }
            Self::RambergOsgood { strength_mpa, exponent } => {
                let stress_mpa = strength_mpa * strain.powf(*exponent);
                let slope_mpa = if strain > 0.0 { exponent * stress_mpa / strain } else { f64::INFINITY };
                Flowing { stress_mpa, slope_mpa }
            }
            Self::Measured(curve) => curve.at(strain),
        }
    }

    /// Total strain of a bar in plain tension at a true stress, of a metal that is elastic with this modulus before: the strain of a
    /// first pull. `None` where no strain gives that stress.
    #[must_use]
    pub fn strain_at(&self, stress_mpa: f64, youngs_modulus_mpa: f64) -> Option<f64> {
        let plastic = match self {
            Self::RambergOsgood { strength_mpa, exponent } => {
                (stress_mpa / strength_mpa).powf(exponent.recip())
            }
            _ if stress_mpa <= self.at(0.0).stress_mpa => 0.0,
            Self::Perfect { .. } => return None,
            Self::Swift { yield_mpa, offset, exponent } => {
                offset * ((stress_mpa / yield_mpa).powf(exponent.recip()) - 1.0)
            }
            Self::Measured(curve) => {
                let last = curve.points.len() - 1;
                let after = curve.points.partition_point(|[_, s]| *s < stress_mpa);
                if after > last && curve.beyond == Beyond::Level {
                    return None;
                }
                let upper = after.clamp(1, last);
                let [[e0, s0], [e1, s1]] = [curve.points[upper - 1], curve.points[upper]];
                if s1 <= s0 {
                    return None;
                }
                e0 + (e1 - e0) * (stress_mpa - s0) / (s1 - s0)
            }
        };
        Some(plastic + stress_mpa / youngs_modulus_mpa)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ramberg_and_osgood_at_two_stresses() {
        // Strain-life constants of 7075-T6 after Dowling, Mechanical Behavior of Materials, table 14.1 (from memory); strains derived from them.
        let law = Hardening::RambergOsgood { strength_mpa: 977.0, exponent: 0.106 };
        for (stress, strain) in [(400.0, 0.005_853_2), (500.0, 0.008_842_9)] {
            let found = law.strain_at(stress, 71e3).unwrap();
            assert!((found - strain).abs() < 1e-6 * (1.0 + strain), "{stress}: {found}");
            let plastic = found - stress / 71e3;
            assert!((law.at(plastic).stress_mpa / stress - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn slopes_are_derivatives() {
        let curve = Measured::new(vec![[0.0, 400.0], [0.01, 450.0], [0.1, 500.0]], Beyond::Straight).unwrap();
        let laws = [
            Hardening::Perfect { yield_mpa: 300.0 },
            Hardening::Swift { yield_mpa: 503.0, offset: 0.002, exponent: 0.0564 },
            Hardening::RambergOsgood { strength_mpa: 977.0, exponent: 0.106 },
            Hardening::Measured(curve),
        ];
        for law in &laws {
            for strain in [1e-4, 0.004, 0.05, 0.3] {
                let step = 1e-6 * strain;
                let by_difference =
                    (law.at(strain + step).stress_mpa - law.at(strain - step).stress_mpa) / (2.0 * step);
                let slope = law.at(strain).slope_mpa;
                assert!(
                    (slope - by_difference).abs() < 1e-4 * slope.abs().max(1.0),
                    "{law:?} at {strain}: {slope} {by_difference}"
                );
            }
        }
    }

    #[test]
    fn beyond_the_last_point_holds_what_is_said() {
        let points = vec![[0.0, 400.0], [0.1, 500.0]];
        let [level, straight] =
            [Beyond::Level, Beyond::Straight].map(|beyond| Measured::new(points.clone(), beyond).unwrap());
        assert_eq!(level.at(0.2), Flowing { stress_mpa: 500.0, slope_mpa: 0.0 });
        let beyond = straight.at(0.2);
        assert!(
            (beyond.stress_mpa - 600.0).abs() < 1e-9 && (beyond.slope_mpa - 1000.0).abs() < 1e-9,
            "{beyond:?}"
        );
        assert_eq!(Hardening::Measured(level).strain_at(510.0, 70e3), None);
    }

    #[test]
    fn what_is_no_curve_is_refused_with_its_place() {
        let refused = |points: &[[f64; 2]]| Measured::new(points.to_vec(), Beyond::Level).unwrap_err();
        assert_eq!(refused(&[[0.0, 400.0]]), NoHardening::TooFew(1));
        assert_eq!(refused(&[[0.01, 400.0], [0.1, 500.0]]), NoHardening::NotFromZero(0.01));
        assert_eq!(refused(&[[0.0, 400.0], [0.1, 390.0]]), NoHardening::NotAscending(1));
        assert_eq!(refused(&[[0.0, 400.0], [0.1, 500.0], [0.1, 510.0]]), NoHardening::NotAscending(2));
        assert_eq!(refused(&[[0.0, f64::NAN], [0.1, 500.0]]), NoHardening::NotAscending(0));
    }
}

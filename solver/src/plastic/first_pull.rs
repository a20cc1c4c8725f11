//! The curve of a metal's first pull, from what is listed of it.
//!
//! Yield and ultimate strength are forces over the area at the beginning. The curve is Swift's power law that gives a bar in plain
//! tension both: the yield strength at a plastic strain of 0.2 %, and the ultimate strength as its greatest force (Considère:
//! the slope of true stress over strain equals the stress there). That leaves one number open, the strain at the greatest force:
//!
//! - of an alloy with a tested lot it is the exponent that is listed for the lot, and from the greatest force on the curve runs
//!   straight to the lot's true stress and strain at fracture, the stress scaled by the ultimate strengths;
//! - of all others it is [`UNIFORM_OF_ELONGATION`] of the elongation, and the power law goes on to the strain at which the metal
//!   tears in plain tension: engineering judgement.
//!
//! Where no power law gets from yield to ultimate within that strain, it is the smallest one within which one does. Beyond the
//! last strain stress stays level: nothing is claimed. Constants of metal under cycles describe another state of it, and are not
//! used.

use super::ductility::Ductility;
use super::hardening::{Beyond, Hardening, Measured};
use crate::material::Material;
use crate::material::lot::{Lot, strain_of_neck};

/// Strain at the greatest force over the logarithmic strain of the elongation, where no tested lot tells more: half in quenched
/// steel, four fifths in aluminium and annealed stainless steel. Engineering judgement.
pub const UNIFORM_OF_ELONGATION: f64 = 2.0 / 3.0;

/// Plastic strain at which handbooks measure yield.
const OFFSET_OF_YIELD: f64 = 0.002;

/// Smallest offset of a power law: with a smaller one metal would begin to flow far below its yield strength.
const LEAST_OFFSET: f64 = 5e-4;

/// Largest one: with it the law differs from an exponential by less than 1e-5.
const MOST_OFFSET: f64 = 1e5;

/// Smallest and largest strain at the greatest force.
const UNIFORM: [f64; 2] = [0.0025, 3.0];

/// The most that elastic strain may take from the area of a bar: no metal takes as much.
const MOST_CONTRACTION: f64 = 0.1;

/// Last strain over the strain at the greatest force, at least.
const LEAST_NECKING: f64 = 1.2;

/// Straight pieces of a power law.
const PIECES: u32 = 96;

/// The curve of a first pull.
#[derive(Clone, Debug, PartialEq)]
pub struct FirstPull {
    /// True stress over logarithmic plastic strain; level beyond [`Self::last_strain`].
    pub hardening: Hardening,
    /// Plastic strain at the greatest force of a bar in plain tension: beyond it a bar necks.
    pub uniform_strain: f64,
    /// Plastic strain up to which the curve says something.
    pub last_strain: f64,
    /// On what its shape stands.
    pub basis: CurveBasis,
}

/// On what the shape of a curve stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CurveBasis {
    /// A tested lot of the same alloy.
    Lot(&'static Lot),
    /// Yield, ultimate and elongation only: engineering judgement.
    Elongation,
}

impl FirstPull {
    /// The curve of a metal; `None` where neither a tested lot nor an elongation is told.
    #[must_use]
    pub fn of(metal: &Material) -> Option<Self> {
        let bar = Bar::of(metal);
        let (power, points, basis) = match (metal.lot, metal.elongation) {
            (Some(lot), _) => {
                let power = bar.power(lot.exponent);
                (power, bar.points_like(lot, power), CurveBasis::Lot(lot))
            }
            (None, Some(elongation)) => {
                let power = bar.power(UNIFORM_OF_ELONGATION * elongation.ln_1p());
                let torn = Ductility::of(metal).map_or(0.0, |ductility| ductility.tension_strain);
                (power, power.points(torn.max(LEAST_NECKING * power.uniform)), CurveBasis::Elongation)
            }
            (None, None) => return None,
        };
        let curve = Measured::new(points, Beyond::Level).ok()?;
        let last_strain = curve.last_strain();
        Some(Self {
            hardening: Hardening::Measured(curve),
            uniform_strain: power.uniform,
            last_strain,
            basis,
        })
    }
}

/// A bar of a metal in plain tension.
struct Bar {
    yield_mpa: f64,
    ultimate_mpa: f64,
    /// Share of the area that elastic strain takes, per MPa.
    contraction: f64,
}

/// Swift's power law, and the strain at which a bar of it bears most.
#[derive(Clone, Copy)]
struct Power {
    first_mpa: f64,
    offset: f64,
    exponent: f64,
    uniform: f64,
}

impl Bar {
    fn of(metal: &Material) -> Self {
        let Material { yield_mpa, ultimate_mpa, poisson_ratio, youngs_modulus_mpa, .. } = *metal;
        // A yield strength above the ultimate one has no meaning, but a rounded one may come out there.
        let yield_mpa = yield_mpa.min(ultimate_mpa);
        Self { yield_mpa, ultimate_mpa, contraction: 2.0 * poisson_ratio / youngs_modulus_mpa }
    }

    fn contracted(&self, true_mpa: f64) -> f64 {
        (self.contraction * true_mpa).min(MOST_CONTRACTION)
    }

    /// True stress under a force over the first area, after a plastic strain.
    fn true_mpa(&self, over_first_area_mpa: f64, plastic: f64) -> f64 {
        let uncontracted = over_first_area_mpa * plastic.exp();
        // Each turn is ten times as close at least.
        (0..16).fold(uncontracted, |stress, _| uncontracted * self.contracted(stress).exp())
    }

    /// The power law whose greatest force comes at this strain, or at the smallest one above it with which there is such a law.
    fn power(&self, uniform: f64) -> Power {
        let start = self.true_mpa(self.yield_mpa, OFFSET_OF_YIELD);
        let exponent =
            |offset: f64, uniform: f64, top: f64| (offset + uniform) / (1.0 - self.contracted(top));
        // By how much stress still has to grow from yield to the greatest force when the law has grown, as logarithms.
        let short = |offset: f64, uniform: f64| {
            let top = self.true_mpa(self.ultimate_mpa, uniform);
            let growth = ((offset + uniform) / (offset + OFFSET_OF_YIELD)).ln();
            (top / start).ln() - exponent(offset, uniform, top) * growth
        };
        let [least, most] = UNIFORM;
        let wanted = uniform.clamp(least, most);
        let uniform = halved([wanted, most], |uniform| short(LEAST_OFFSET, uniform) > 0.0);
        let logarithms = [LEAST_OFFSET.ln(), MOST_OFFSET.ln()];
        let offset = halved(logarithms, |offset| short(offset.exp(), uniform) < 0.0).exp();
        let exponent = exponent(offset, uniform, self.true_mpa(self.ultimate_mpa, uniform));
        let first_mpa = start / (1.0 + OFFSET_OF_YIELD / offset).powf(exponent);
        Power { first_mpa, offset, exponent, uniform }
    }

    /// Points of a power law up to the greatest force, and from there to the fracture of a lot. A metal whose greatest force comes
    /// too late for that goes on by the power law.
    fn points_like(&self, lot: &Lot, power: Power) -> Vec<[f64; 2]> {
        let strain = strain_of_neck(lot.reduction_of_area);
        let stress = lot.true_fracture_mpa * self.ultimate_mpa / lot.ultimate_mpa;
        if strain < LEAST_NECKING * power.uniform || stress < power.at(power.uniform) {
            return power.points(strain.max(LEAST_NECKING * power.uniform));
        }
        let mut points = power.points(power.uniform);
        points.push([strain, stress]);
        points
    }
}

impl Power {
    fn at(&self, plastic: f64) -> f64 {
        self.first_mpa * (1.0 + plastic / self.offset).powf(self.exponent)
    }

    /// Points of it up to a strain, close together where it bends, with one at yield and one at the greatest force.
    fn points(&self, last: f64) -> Vec<[f64; 2]> {
        let step = (last / self.offset).ln_1p() / f64::from(PIECES);
        let exact = [OFFSET_OF_YIELD, self.uniform, last];
        let mut strains: Vec<f64> = (0..PIECES)
            .map(|piece| self.offset * (f64::from(piece) * step).exp_m1())
            .filter(|strain| exact.iter().all(|exact| (strain - exact).abs() > 0.01 * exact))
            .chain(exact)
            .collect();
        strains.sort_by(f64::total_cmp);
        strains.dedup();
        strains.into_iter().map(|strain| [strain, self.at(strain)]).collect()
    }
}

/// Where a condition that holds below and not above ceases to hold; an end where it holds nowhere or everywhere.
fn halved([mut low, mut high]: [f64; 2], holds: impl Fn(f64) -> bool) -> f64 {
    if !holds(low) {
        return low;
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

#[cfg(test)]
mod tests;

//! Stress, stiffness and what stays behind at one point of a metal that yields after von Mises and hardens evenly.
//!
//! Strains are logarithmic, their stress the one that works on them per volume of the undeformed metal; both in axes that turn
//! with it ([`super::log_strain`]). So the law is that of small strains, and 20 % in an outer fibre is no guess. In plane stress the stress
//! across the plane stays nothing within the step: mean and deviator come back by different parts, with one unknown for both; after
//! Simo and Taylor, "A return mapping algorithm for plane stress elastoplasticity", 1986. Plane strain is for verification.

use super::hardening::Hardening;
use crate::plane::stress::von_mises;
use crate::plane::{Elastic, PlaneState};

/// A metal.
#[derive(Clone, Debug, PartialEq)]
pub struct Law {
    /// What it is while elastic, in plane stress or plane strain.
    pub elastic: Elastic,
    /// How it hardens.
    pub hardening: Hardening,
}

/// What a point remembers.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Memory {
    /// Plastic strain `[xx, yy, engineering xy]`; that across the plane is minus the sum of the first two.
    pub plastic: [f64; 3],
    /// Accumulated plastic strain: what the hardening goes by.
    pub accumulated: f64,
}

/// A point after a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Stress `[xx, yy, xy]`, MPa, tension positive.
    pub stress: [f64; 3],
    /// Stress across the plane, MPa: nothing in plane stress.
    pub across: f64,
    /// Derivative of the stress by the strain `[xx, yy, engineering xy]`, MPa; symmetric.
    pub stiffness: [[f64; 3]; 3],
    /// What it remembers now.
    pub memory: Memory,
    /// Work that the step has turned into heat, MPa (per volume): never negative.
    pub dissipated: f64,
}

/// How closely the stress is brought back to the surface, as a part of the flow stress.
const CLOSE: f64 = 1e-14;
/// Steps at one point before the interval is taken as it is: bisection alone ends in fewer.
const MOST: usize = 200;

/// The root of a falling function within an interval, by Newton's steps, halving where one leaves the interval. `at` gives value and slope.
fn root(mut low: f64, mut high: f64, small: f64, at: impl Fn(f64) -> (f64, f64)) -> f64 {
    let mut x = low;
    for _ in 0..MOST {
        let (value, slope) = at(x);
        if value.abs() <= small {
            return x;
        }
        if value > 0.0 {
            low = x
        } else {
            high = x
        }
        let next = x - value / slope;
        x = if next > low && next < high { next } else { 0.5 * (low + high) };
        if high - low <= f64::EPSILON * high {
            return x;
        }
    }
    x
}

impl Law {
    fn shear_mpa(&self) -> f64 {
        0.5 * self.elastic.youngs_modulus_mpa / (1.0 + self.elastic.poisson_ratio)
    }

    /// The point at a total strain `[xx, yy, engineering xy]`, from what it remembers of before.
    #[must_use]
    pub fn at(&self, before: &Memory, strain: [f64; 3]) -> Point {
        match self.elastic.state {
            PlaneState::Strain => self.in_plane_strain(before, strain),
            PlaneState::Stress => self.in_plane_stress(before, strain),
        }
    }

    fn in_plane_stress(&self, before: &Memory, strain: [f64; 3]) -> Point {
        let shear = self.shear_mpa();
        let moduli = self.elastic.moduli();
        // Stiffness against a growth of area: both directions pulled alike.
        let area = self.elastic.youngs_modulus_mpa / (1.0 - self.elastic.poisson_ratio);
        let guess = moduli.stress(std::array::from_fn(|i| strain[i] - before.plastic[i]));
        let sum = 0.25 * (guess[0] + guess[1]).powi(2);
        let rest = 0.75 * (guess[0] - guess[1]).powi(2) + 3.0 * guess[2].powi(2);
        let start = self.hardening.at(before.accumulated).stress_mpa;
        let yields = sum + rest > (start * (1.0 + CLOSE)).powi(2);
        let parts = |flow: f64| (1.0 + area / 3.0 * flow, 1.0 + 2.0 * shear * flow);
        // Von Mises stress left after a flow, and its derivative.
        let left = |flow: f64| {
            let (p, q) = parts(flow);
            let mises = (sum / (p * p) + rest / (q * q)).sqrt();
            (mises, -(sum * area / (3.0 * p.powi(3)) + 2.0 * rest * shear / q.powi(3)) / mises)
        };
        let gained = |flow: f64| 2.0 / 3.0 * flow * left(flow).0;
        let mut flow = 0.0;
        if yields {
            let over = |flow: f64| {
                let (mises, by) = left(flow);
                let now = self.hardening.at(before.accumulated + 2.0 / 3.0 * flow * mises);
                (mises - now.stress_mpa, by - now.slope_mpa * 2.0 / 3.0 * (mises + flow * by))
            };
            // An interval that holds the root: a flow this large leaves less than any metal holds.
            let mut high = 1.0 / area;
            while over(high).0 > 0.0 {
                high *= 4.0;
            }
            flow = root(0.0, high, CLOSE * left(0.0).0, over);
        }
        let (p, q) = parts(flow);
        let (mean, half) = (0.5 * (guess[0] + guess[1]) / p, 0.5 * (guess[0] - guess[1]) / q);
        let stress = [mean + half, mean - half, guess[2] / q];
        let (a, b) = (0.5 * area / p, shear / q);
        let mut stiffness = [[a + b, a - b, 0.0], [a - b, a + b, 0.0], [0.0, 0.0, b]];
        let mut memory = *before;
        let mut dissipated = 0.0;
        if yields {
            let [xx, yy, xy] = stress;
            let normal = [(2.0 * xx - yy) / 3.0, (2.0 * yy - xx) / 3.0, 2.0 * xy];
            for (plastic, n) in memory.plastic.iter_mut().zip(normal) {
                *plastic += flow * n;
            }
            let gained = gained(flow);
            memory.accumulated += gained;
            let mises = von_mises(stress);
            dissipated = mises * gained;
            let slope = self.hardening.at(memory.accumulated).slope_mpa;
            let lost = stiffness.map(|row| row.iter().zip(normal).map(|(d, n)| d * n).sum::<f64>());
            let along: f64 = lost.iter().zip(normal).map(|(l, n)| l * n).sum();
            let length = 2.0 / 3.0 * mises * mises;
            let whole = along + 2.0 * length * slope / (3.0 - 2.0 * slope * flow);
            for (row, one) in stiffness.iter_mut().zip(lost) {
                for (entry, other) in row.iter_mut().zip(lost) {
                    *entry -= one * other / whole;
                }
            }
        }
        Point { stress, across: 0.0, stiffness, memory, dissipated }
    }

    fn in_plane_strain(&self, before: &Memory, strain: [f64; 3]) -> Point {
        let shear = self.shear_mpa();
        let bulk = self.elastic.youngs_modulus_mpa / (3.0 * (1.0 - 2.0 * self.elastic.poisson_ratio));
        let elastic: [f64; 3] = std::array::from_fn(|i| strain[i] - before.plastic[i]);
        let across = before.plastic[0] + before.plastic[1];
        let volume = elastic[0] + elastic[1] + across;
        let guess = [elastic[0], elastic[1], 0.5 * elastic[2], across].map(|e| 2.0 * shear * e);
        let third = 2.0 * shear * volume / 3.0;
        let guess = [guess[0] - third, guess[1] - third, guess[2], guess[3] - third];
        let reach =
            (1.5 * (guess[0].powi(2) + guess[1].powi(2) + guess[3].powi(2) + 2.0 * guess[2].powi(2))).sqrt();
        let start = self.hardening.at(before.accumulated).stress_mpa;
        let yields = reach > start * (1.0 + CLOSE);
        let mut gained = 0.0;
        if yields {
            gained = root(0.0, reach / (3.0 * shear), CLOSE * reach, |gained| {
                let now = self.hardening.at(before.accumulated + gained);
                (reach - 3.0 * shear * gained - now.stress_mpa, -3.0 * shear - now.slope_mpa)
            });
        }
        let kept = if yields { 1.0 - 3.0 * shear * gained / reach } else { 1.0 };
        let mean = bulk * volume;
        let s = guess.map(|x| kept * x);
        let stress = [s[0] + mean, s[1] + mean, s[2]];
        let mut memory = *before;
        let mut along = 0.0;
        let n = guess.map(|x| x / reach.max(f64::MIN_POSITIVE));
        if yields {
            // Plastic strain goes along the deviator; shear counts twice.
            for (plastic, by) in memory.plastic.iter_mut().zip([n[0], n[1], 2.0 * n[2]]) {
                *plastic += 1.5 * gained * by;
            }
            memory.accumulated += gained;
            let slope = self.hardening.at(memory.accumulated).slope_mpa;
            along = 9.0 * shear * shear * ((3.0 * shear + slope).recip() - gained / reach);
        }
        let two = 2.0 * shear * kept;
        let direct = |i: usize, j: usize| {
            let unit = if i == j { 2.0 / 3.0 } else { -1.0 / 3.0 };
            bulk + two * unit - along * n[i] * n[j]
        };
        let mixed = |i: usize| -along * n[i] * n[2];
        let stiffness = [
            [direct(0, 0), direct(0, 1), mixed(0)],
            [direct(0, 1), direct(1, 1), mixed(1)],
            [mixed(0), mixed(1), 0.5 * two - along * n[2] * n[2]],
        ];
        let dissipated = kept * reach * gained;
        Point { stress, across: s[3] + mean, stiffness, memory, dissipated }
    }
}

#[cfg(test)]
mod tests;

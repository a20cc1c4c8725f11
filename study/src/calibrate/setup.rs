//! A model in its rig with the pulls of it, and how likely these pulls are for given constants.
//!
//! A pull differs from its forecast by the constants, which all pulls share, by what is drawn anew from pull to pull (where the straps
//! lay, clearances, the strength of this piece), and by what nothing here accounts for. The latter is a normal scatter of the logarithm
//! ([`BEYOND`]); a few pulls are slips of the pen or of the bench ([`SLIPS`]), so that one of them does not rule; the place of a break is
//! now and then another than that of the part that failed first ([`ELSEWHERE`]). All three are engineering judgement.

use super::observed::Observed;
use crate::forecast::{Drawn, draws};
use crate::model::Model;
use crate::unknowns::{BEYOND, Unknown, UnknownOf, assumed, unknowns};
use crate::{CaseError, Engine, Watch};
use solver::forecast::{Response, SEED, Sum, normal_cumulative};
use solver::strength::{Constant, FailureMode};
use solver::system::SystemSettings;
use std::f64::consts::PI;

/// Part of the pulls that are slips: any load from a fifth of the usual to five times it.
pub const SLIPS: f64 = 0.02;
/// Part of the places that are not those of the part that failed first.
pub const ELSEWHERE: f64 = 0.1;

/// Density of the logarithm of a slip: even over twice ln 5.
const SLIP_DENSITY: f64 = 1.0 / (2.0 * 1.609_437_912_434_100_3);
/// So many pulls are drawn for each value of the constants.
const DRAWS: u32 = 160;
/// What lies farther than this many scatters from a draw counts for nothing.
const FAR: f64 = 7.0;

/// A model in its rig, its unknowns drawn, with the pulls of it.
#[derive(Debug)]
pub struct Setup {
    /// The pulls.
    pub pulls: Vec<Observed>,
    response: Response,
    /// For each of the constants: its place among the unknowns, and between which values it could be solved.
    constants: Vec<Option<(usize, [f64; 2])>>,
    /// The draws of everything else.
    drawn: Vec<Sum>,
}

/// Where a pull lies among what is expected of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// How likely it is: its density over the logarithm, or the chance of at least its load where that is no limit.
    pub likelihood: f64,
    /// The chance of a lower peak.
    pub below: f64,
}

impl Setup {
    /// Solves a model around everything that is not known of it.
    ///
    /// # Errors
    /// [`CaseError`]: it cannot be solved, or was called off.
    pub fn solve(
        engine: &Engine,
        model: &Model,
        pulls: Vec<Observed>,
        settings: &SystemSettings,
        watch: &Watch<'_>,
    ) -> Result<Self, CaseError> {
        let mut all = unknowns(model);
        all.retain(|unknown| constant(unknown).is_none());
        all.extend(Constant::ALL.iter().map(|of| assumed(*of)));
        let drawn = draws(engine, model, all, settings, watch)?;
        Ok(Self::new(drawn, pulls))
    }

    fn new(drawn: Drawn, pulls: Vec<Observed>) -> Self {
        let Drawn { unknowns, parts: response, .. } = drawn;
        let constants = Constant::ALL
            .iter()
            .map(|of| {
                let at = unknowns.iter().position(|unknown| constant(unknown) == Some(*of))?;
                Some((at, unknowns[at].law.ends()))
            })
            .collect();
        let is_constant = |index: usize| constant(&unknowns[index]).is_some();
        let drawn = (0..DRAWS)
            .map(|draw| {
                let mut sum = response.nominal();
                response.add(&mut sum, &response.draw(draw, SEED), |index| !is_constant(index));
                sum
            })
            .collect();
        Self { pulls, response, constants, drawn }
    }

    /// What comes of every draw under constants, on the scale that they are drawn on: the part that fails first, and the logarithm of
    /// the peak in kN.
    #[must_use]
    pub fn ends(&self, constants: &[f64]) -> Vec<(usize, f64)> {
        let mut values = self.response.middles();
        for (place, value) in self.constants.iter().zip(constants) {
            if let Some((at, [low, high])) = place {
                values[*at] = value.clamp(*low, *high);
            }
        }
        let Some(first) = self.drawn.first() else { return Vec::new() };
        let mut shifts = first.nothing();
        let varied = |index: usize| self.constants.iter().flatten().any(|place| place.0 == index);
        self.response.add(&mut shifts, &values, varied);
        self.drawn.iter().filter_map(|draw| self.response.own_end(draw, &shifts)).collect()
    }

    /// The parts, as [`Self::ends`] counts them.
    #[must_use]
    pub fn parts(&self) -> &[FailureMode] {
        self.response.names()
    }

    /// Where a pull lies among such ends.
    #[must_use]
    pub fn expected(&self, pull: &Observed, ends: &[(usize, f64)]) -> Expected {
        Expected { likelihood: self.likelihood(pull, ends), below: below(pull, ends) }
    }

    /// How likely a pull is: its density over the logarithm, or the chance of at least its load where that is no limit.
    #[must_use]
    pub fn likelihood(&self, pull: &Observed, ends: &[(usize, f64)]) -> f64 {
        if !pull.is_limit {
            return 1.0 - below(pull, ends);
        }
        let ln = pull.peak_kn.ln();
        let agrees: Option<Vec<bool>> =
            pull.place.map(|place| self.parts().iter().map(|part| place.may_show(*part)).collect());
        let told = |part: usize| match &agrees {
            Some(agrees) if agrees[part] => 1.0 - ELSEWHERE,
            Some(_) => ELSEWHERE,
            None => 1.0,
        };
        let densities = ends.iter().map(|(part, at)| {
            let off = (ln - at) / BEYOND;
            if off.abs() < FAR { told(*part) * (-0.5 * off * off).exp() } else { 0.0 }
        });
        let density = densities.sum::<f64>() / (ends.len().max(1) as f64 * BEYOND * (2.0 * PI).sqrt());
        (1.0 - SLIPS) * density + SLIPS * SLIP_DENSITY
    }

    /// The logarithm of how likely all of its pulls are.
    #[must_use]
    pub fn ln_likelihood(&self, constants: &[f64]) -> f64 {
        let ends = self.ends(constants);
        self.pulls.iter().map(|pull| self.likelihood(pull, &ends).ln()).sum()
    }
}

/// The chance of a lower peak.
fn below(pull: &Observed, ends: &[(usize, f64)]) -> f64 {
    let ln = pull.peak_kn.ln();
    let chances = ends.iter().map(|(_, at)| {
        let off = (ln - at) / BEYOND;
        if off.abs() < FAR { normal_cumulative(off) } else { f64::from(off > 0.0) }
    });
    (1.0 - SLIPS) * chances.sum::<f64>() / ends.len().max(1) as f64 + SLIPS * 0.5
}

/// The constant that an unknown is.
fn constant(unknown: &Unknown) -> Option<Constant> {
    match unknown.of {
        UnknownOf::Constant(of) => Some(of),
        _ => None,
    }
}

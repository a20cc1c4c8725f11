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
    /// The chance that it is a slip.
    pub slip: f64,
    /// The chance that a pull that ends there is found broken where this one was; none where that was not told.
    pub found_there: Option<f64>,
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

    /// Whether a constant could be varied.
    #[must_use]
    pub fn varies(&self, constant: Constant) -> bool {
        Constant::ALL.iter().zip(&self.constants).any(|(of, place)| *of == constant && place.is_some())
    }

    /// The parts, as [`Self::ends`] counts them.
    #[must_use]
    pub fn parts(&self) -> &[FailureMode] {
        self.response.names()
    }

    /// Where a pull lies among such ends.
    #[must_use]
    pub fn expected(&self, pull: &Observed, ends: &[(usize, f64)]) -> Expected {
        let likelihood = self.likelihood(pull, ends);
        let slip = SLIPS * if pull.is_limit { SLIP_DENSITY } else { 0.5 };
        let found_there = pull.place.map(|place| {
            let weight = |at: f64| {
                let off = (pull.peak_kn.ln() - at) / BEYOND;
                (-0.5 * off.clamp(-FAR, FAR).powi(2)).exp()
            };
            let part = |of: &dyn Fn(usize) -> bool| -> f64 {
                ends.iter().filter(|end| of(end.0)).map(|end| weight(end.1)).sum()
            };
            part(&|end| place.may_show(self.parts()[end])) / part(&|_| true)
        });
        Expected { likelihood, below: below(pull, ends), slip: slip / likelihood, found_there }
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

#[cfg(test)]
mod tests {
    use super::super::sampler::Asked;
    use super::*;
    use crate::unknowns::assumed;
    use solver::causes::Place;
    use solver::forecast::{Arm, Ending, Endings};
    use solver::strength::LimitKind;

    /// Half a range of the lip's logarithm.
    const HALF: f64 = 0.3;

    /// A lip that breaks at 20 kN times its constant, beside a pin at 40 kN; nothing else is open.
    fn lip() -> Setup {
        let at = |kn: f64| Endings {
            parts: [(FailureMode::Lip, kn), (FailureMode::NoseRoot, 40.0)]
                .map(|(what, kn)| Ending { what, kind: LimitKind::Breaks, at_kn: Some(kn) })
                .to_vec(),
            open_hook_kn: 1.0,
        };
        let law = assumed(Constant::Lip).law;
        let [low, high] = law.ends().map(|ln| Some(at(20.0 * ln.exp())));
        let response = Response::new(&at(20.0), vec![Arm { law, middle: 0.0, low, high, kinked: false }]);
        let constants = Constant::ALL.iter().map(|of| (*of == Constant::Lip).then_some((0, [-HALF, HALF])));
        let (constants, drawn) = (constants.collect(), vec![response.nominal()]);
        Setup { pulls: Vec::new(), response, constants, drawn }
    }

    fn pull(peak_kn: f64, is_limit: bool, place: Option<Place>) -> Observed {
        Observed { number: 1, peak_kn, is_limit, place }
    }

    #[test]
    fn a_break_counts_with_its_density_and_its_place_and_another_end_with_the_chance_of_more() {
        let setup = lip();
        let with = |ln_lip: f64| setup.ends(&[ln_lip, 0.0, 0.0, 0.0, 0.5, 0.0]);
        let ends = with(0.1);
        assert!(ends.len() == 1 && (ends[0].1 - (20.0_f64.ln() + 0.1)).abs() < 1e-12, "{ends:?}");
        // One scatter below it, found at the lip: the density of a normal there.
        let peak_kn = 20.0 * (0.1 - BEYOND).exp();
        let density = (-0.5_f64).exp() / (BEYOND * (2.0 * PI).sqrt());
        let slip = SLIPS / (2.0 * 5.0_f64.ln());
        let likelihood = |place, is_limit| setup.likelihood(&pull(peak_kn, is_limit, place), &ends);
        for (place, part) in [(None, 1.0), (Some(Place::Lip), 0.9), (Some(Place::Spine), 0.1)] {
            let wanted = (1.0 - SLIPS) * part * density + slip;
            assert!((likelihood(place, true) / wanted - 1.0).abs() < 1e-9, "{place:?}");
        }
        // The same peak where the strap broke: the chance of more than one scatter below the middle is 0.841 345.
        let wanted = (1.0 - SLIPS) * 0.841_345 + SLIPS * 0.5;
        assert!((likelihood(None, false) - wanted).abs() < 1e-5);
        // What held far more than it should makes a strong lip likelier, what was let off early tells nothing.
        let held = |peak_kn: f64, ln_lip: f64| setup.likelihood(&pull(peak_kn, false, None), &with(ln_lip));
        assert!(held(23.0, 0.2) > 10.0 * held(23.0, 0.0));
        assert!((held(12.0, 0.2) / held(12.0, 0.0) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn breaks_of_one_part_give_the_closed_form() {
        // Before: normal, standard deviation 0.15 cut at two of them. Five peaks with scatter 0.02 about 20 kN times exp(0.1).
        let mut setup = lip();
        let off = [-0.02, -0.01, 0.0, 0.01, 0.02];
        setup.pulls = off.iter().map(|off: &f64| pull(20.0 * (0.1 + off).exp(), true, None)).collect();
        let laws = super::super::prior();
        let ln_likelihood = |constants: &[f64]| setup.ln_likelihood(constants);
        let drawn = Asked { laws: &laws, ln_likelihood: &ln_likelihood, count: 2000, seed: 3 }.draw();
        let precision = 1.0 / 0.15_f64.powi(2) + 5.0 / BEYOND.powi(2);
        let (mean, sd) = (0.1 * 5.0 / BEYOND.powi(2) / precision, precision.powf(-0.5));
        let found = drawn.iter().map(|draw| draw[0]).sum::<f64>() / drawn.len() as f64;
        let scatter =
            (drawn.iter().map(|draw| (draw[0] - found).powi(2)).sum::<f64>() / drawn.len() as f64).sqrt();
        // Slips, which take a little off the weight of a peak, and 2,000 draws: a tenth of the deviation.
        assert!(
            (found - mean).abs() < 0.1 * sd && (scatter / sd - 1.0).abs() < 0.1,
            "{found} {scatter} {mean} {sd}"
        );
        // Of a constant that nothing hangs on nothing is told.
        let friction = drawn.iter().map(|draw| draw[2].powi(2)).sum::<f64>() / drawn.len() as f64;
        assert!((friction.sqrt() / (0.879_626 * 0.3) - 1.0).abs() < 0.08, "{friction}");
    }
}

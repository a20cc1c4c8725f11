//! What the forecast itself leaves open: everything as entered, and all that is not known exactly about it drawn at random.

use super::observed::Observed;
use super::outcome::{Outcome, Parts};
use crate::forecast::{DRAWS, Response, SEED};

/// What an observation makes of the draws of a forecast.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// Mean fit of all draws.
    pub evidence: f64,
    /// The draw that fits best, its part and tear as the forecast has them.
    pub best: Outcome,
}

impl Drawn {
    /// Weighs the draws of a response against an observation. `held` says of each unknown whether it stays at its middle. Tears
    /// are those of the forecast as it is. `None` where nothing is left to draw.
    #[must_use]
    pub fn weigh(
        parts: &mut Parts,
        observed: &Observed,
        response: &Response,
        held: &[bool],
        as_it_is: &Outcome,
    ) -> Option<Self> {
        let middles = response.middles();
        let mut sum = 0.0;
        let mut best: Option<(f64, Outcome)> = None;
        for draw in 0..DRAWS {
            let mut values = response.draw(draw, SEED);
            for ((value, middle), held) in values.iter_mut().zip(&middles).zip(held) {
                if *held {
                    *value = *middle;
                }
            }
            let outcome = parts.outcome_of_draw(response, &values, as_it_is);
            let fit = observed.fits(parts, &outcome);
            sum += fit;
            if best.as_ref().is_none_or(|b| fit > b.0) {
                best = Some((fit, outcome));
            }
        }
        best.map(|(_, best)| Self { evidence: sum / f64::from(DRAWS), best })
    }
}

//! What the forecast itself leaves open: everything as entered, and all that is not known exactly about it drawn at random.

use super::observed::Observed;
use super::outcome::{Outcome, Parts};
use crate::forecast::{DRAWS, Response, SEED};

/// The draws of a forecast, whatever was seen.
#[derive(Clone, Debug)]
pub struct Draws {
    outcomes: Vec<Outcome>,
}

/// What an observation makes of the draws of a forecast.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// Mean fit of all draws.
    pub evidence: f64,
    /// The draw that fits best, its part and tear as the forecast has them.
    pub best: Outcome,
}

impl Draws {
    /// Draws from a response. `held` says of each unknown whether it stays at its middle. Tears are those of the forecast as it
    /// is.
    #[must_use]
    pub fn of(parts: &mut Parts, response: &Response, held: &[bool], as_it_is: &Outcome) -> Self {
        let middles = response.middles();
        let outcomes = (0..DRAWS).map(|draw| {
            let mut values = response.draw(draw, SEED);
            for ((value, middle), held) in values.iter_mut().zip(&middles).zip(held) {
                if *held {
                    *value = *middle;
                }
            }
            parts.outcome_of_draw(response, &values, as_it_is)
        });
        Self { outcomes: outcomes.collect() }
    }

    /// Weighs them against an observation. `None` where there are none.
    #[must_use]
    pub fn weigh(&self, parts: &Parts, observed: &Observed) -> Option<Drawn> {
        let mut sum = 0.0;
        let mut best: Option<(f64, &Outcome)> = None;
        for outcome in &self.outcomes {
            let fit = observed.fits(parts, outcome);
            sum += fit;
            if best.is_none_or(|b| fit > b.0) {
                best = Some((fit, outcome));
            }
        }
        best.map(|(_, best)| Drawn { evidence: sum / f64::from(DRAWS), best: best.clone() })
    }
}

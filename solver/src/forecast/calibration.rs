//! What pulls have told of the constants: draws of all of them together.

use super::quantile::quantile;
use crate::strength::{Constant, Constants};
use serde::{Deserialize, Serialize};

/// Draws of the constants, each as likely as any other.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Calibration {
    /// The draws, at least one.
    pub draws: Vec<Constants>,
}

impl Calibration {
    /// The means: of factors the geometric ones.
    #[must_use]
    pub fn mean(&self) -> Constants {
        let count = self.draws.len().max(1) as f64;
        Constant::ALL.iter().fold(Constants::default(), |means, of| {
            let sum: f64 = self.draws.iter().map(|draw| of.scaled(draw.get(*of))).sum();
            means.with(*of, of.value(sum / count))
        })
    }

    /// The constants as a forecast takes them where nothing is drawn: the means, but pins that press as limits have it. What they do has a kink
    /// there, between two others.
    #[must_use]
    pub fn middle(&self) -> Constants {
        Constants { press: Constants::default().press, ..self.mean() }
    }

    /// The value below which lies the part `p` of the draws of one of them, 0 to 1.
    #[must_use]
    pub fn quantile(&self, of: Constant, p: f64) -> f64 {
        let mut all: Vec<f64> = self.draws.iter().map(|draw| draw.get(of)).collect();
        all.sort_unstable_by(f64::total_cmp);
        quantile(&all, p)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn means_of_factors_are_geometric_and_quantiles_run_straight() {
        let lip = |lip: f64| Constants { lip, ..Constants::default() };
        let flow = |flow: f64, draw: Constants| Constants { flow, ..draw };
        let found = Calibration { draws: vec![flow(0.2, lip(0.5)), flow(0.4, lip(2.0))] };
        assert!((found.mean().lip - 1.0).abs() < 1e-12 && (found.mean().flow - 0.3).abs() < 1e-12);
        assert!((found.quantile(Constant::Lip, 0.5) - 1.25).abs() < 1e-12);
        assert_eq!((found.quantile(Constant::Lip, 0.0), found.quantile(Constant::Lip, 1.0)), (0.5, 2.0));
    }
}

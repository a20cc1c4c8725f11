//! What an explanation comes to.

use super::causes::Family;
use super::explanation::{Difference, Explanation, NearTie, RankedCause};

/// What an explanation comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Verdict {
    /// Nothing within the ranges explains what was seen.
    Nothing,
    /// Nothing need differ from what was entered.
    AsEntered,
    /// Nothing breaks at the place first; in the likeliest line this part may have gone before the one that does.
    ComesClose(NearTie),
    /// No line fits well.
    FitsPoorly,
    /// So many of the first lines are about equally likely.
    Level(usize),
    /// Only the first line fits.
    Only,
    /// The first line is the likeliest.
    Likeliest,
}

impl Explanation {
    /// Whether the load seen is one that the forecast of everything as entered may come to.
    #[must_use]
    pub fn is_within_forecast(&self) -> bool {
        self.forecast_kn.is_some_and(|[low, high]| (low..=high).contains(&self.observed.broke_at_kn))
    }

    /// What it comes to.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        let judgement = &self.observed.judgement;
        let Some(first) = self.causes.first() else { return Verdict::Nothing };
        let nearly = |c: &&RankedCause| {
            c.likelihood >= (first.likelihood - judgement.clearly).max(judgement.nearly * first.likelihood)
        };
        let level = self.causes.iter().take_while(nearly).count();
        let told_fits = self.is_within_forecast() || first.difference == Difference::AsEntered;
        let cleared = first.family == Family::AS_ENTERED && first.likelihood >= judgement.cleared;
        let tie = first.near_tie.filter(|_| self.causes.iter().all(|c| c.near_tie.is_some()));
        match tie {
            _ if level == 1 && cleared && told_fits => Verdict::AsEntered,
            Some(tie) => Verdict::ComesClose(tie),
            None if self.causes.iter().all(|c| c.fit < judgement.well) => Verdict::FitsPoorly,
            None if level > 1 => Verdict::Level(level),
            None if first.likelihood >= judgement.only && !self.is_within_forecast() => Verdict::Only,
            None => Verdict::Likeliest,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::causes::{CauseOf, Kind, Size, ValueKind};
    use super::super::coarse_mesh;
    use super::super::explanation::Differs;
    use super::*;
    use crate::model::Source;
    use geometry::connector::Pin;
    use solver::causes::{Observed, Place};
    use solver::strength::{FailureMode, LugFailure};

    /// A line about the lip's height, or about nothing.
    fn line(differs: bool, likelihood: f64, fit: f64) -> RankedCause {
        const BASE: &str = include_str!("../model/tests/base.toml");
        let of = CauseOf::Off(Size::LipHeight);
        let lip = Differs { of, told: ValueKind::Nothing, values: Vec::new(), likely: Vec::new() };
        RankedCause {
            difference: if differs { Difference::One(lip) } else { Difference::AsEntered },
            family: if differs { Family::alone(Kind::SoftPins) } else { Family::AS_ENTERED },
            values: Vec::new(),
            likelihood,
            fit,
            friction_needed: None,
            peak_kn: 14.0,
            pull_ends_at_kn: 14.0,
            fails_first: FailureMode::FrameOpens,
            near_tie: None,
            tears_at: None,
            may_tear_at: None,
            miss: None,
            keys: None,
            setting: Source::of("base.toml", BASE).model(&[]).unwrap().case(coarse_mesh()),
        }
    }

    /// Lines with a likelihood and a fit each; the forecast of everything as entered runs from 18 to 22 kN.
    fn found(broke_at_kn: f64, causes: Vec<RankedCause>) -> Explanation {
        Explanation {
            observed: Observed::new(broke_at_kn, Some(Place::Lip)),
            as_entered: line(false, 0.0, 0.0),
            forecast_kn: Some([18.0, 22.0]),
            causes,
            others_likelihood: 0.0,
            closest: None,
            measure_next: Vec::new(),
            marking: Vec::new(),
            solved: 1,
        }
    }

    fn verdict(broke_at_kn: f64, likely: &[f64]) -> Verdict {
        found(broke_at_kn, likely.iter().map(|l| line(true, *l, 1.0)).collect()).verdict()
    }

    #[test]
    fn likelihoods_close_together_are_level_unless_both_are_small() {
        assert_eq!(verdict(14.0, &[0.51, 0.48]), Verdict::Level(2));
        assert_eq!(verdict(14.0, &[0.35, 0.33, 0.31]), Verdict::Level(3));
        assert_eq!(verdict(14.0, &[0.51, 0.44]), Verdict::Likeliest);
        assert_eq!(verdict(14.0, &[0.12, 0.08]), Verdict::Likeliest);
        assert_eq!(verdict(14.0, &[]), Verdict::Nothing);
    }

    #[test]
    fn only_one_thing_fits_where_the_forecast_cannot_give_the_load_and_it_fits_well() {
        assert_eq!(verdict(14.0, &[1.0]), Verdict::Only);
        // As entered the connector may have held 18 to 22 kN.
        assert_eq!(verdict(18.5, &[1.0]), Verdict::Likeliest);
        assert_eq!(found(15.3, vec![line(true, 1.0, 0.06)]).verdict(), Verdict::FitsPoorly);
    }

    #[test]
    fn what_was_entered_is_cleared_within_its_forecast_and_not_by_a_rarer_pull() {
        let told = || vec![line(false, 0.8, 1.0), line(true, 0.2, 1.0)];
        assert_eq!(found(19.5, told()).verdict(), Verdict::AsEntered);
        let mut rare = found(25.0, told());
        assert_eq!(rare.verdict(), Verdict::AsEntered);
        rare.causes[0].difference = Difference::AsForecast([18.0, 22.0]);
        assert_eq!(rare.verdict(), Verdict::Likeliest);
        let level = vec![line(false, 0.5, 1.0), line(true, 0.48, 1.0)];
        assert_eq!(found(19.5, level).verdict(), Verdict::Level(2));
    }

    #[test]
    fn lines_that_only_come_close_at_the_place_say_so() {
        let tie = NearTie { what: FailureMode::Gate(Pin::Hinge, LugFailure::TornOut), at_kn: 15.2 };
        let mut close = found(18.0, vec![line(true, 0.7, 0.3), line(true, 0.2, 0.3)]);
        close.causes[0].near_tie = Some(tie);
        assert_eq!(close.verdict(), Verdict::FitsPoorly);
        close.causes[1].near_tie = Some(tie);
        assert_eq!(close.verdict(), Verdict::ComesClose(tie));
    }
}

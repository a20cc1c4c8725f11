//! Everything that a lot's pulls say, and what must be known beside it.

use super::claim::{Asked, Claim};
use super::location_scale::NoMaximum;
use super::marking::Belief;
use super::normal_lot::Normal;
use super::outlier::{Farthest, farthest};
use super::pull::Lot;
use super::three_sigma::BREAKS_ASKED;
use super::tolerance::{Bound, CONFIDENCE, SHARES};
use super::weibull::Weibull;
use super::welch::{NoWelch, Welch};

/// What is asked of a lot beside its figures.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Question {
    /// What is marked on it, kN.
    pub marking_kn: Option<f64>,
    /// Its standard deviation over its mean, where one is stated, for the marking.
    pub spread: Option<f64>,
    /// What is to be claimed of it.
    pub claim: Option<Asked>,
    /// The load that the first bound, for 95 % of the lot with a confidence of 95 %, is to reach, kN.
    pub at_least_kn: Option<f64>,
    /// The group to hold it against.
    pub against: Option<Lot>,
}

/// What a lot's pulls say.
#[derive(Clone, Debug)]
pub struct Figures {
    /// The pulls.
    pub lot: Lot,
    /// The lot taken as normal, or why it is not.
    pub normal: Result<Normal, NoMaximum>,
    /// What a normal lot exceeds, for each share that is told; empty where it is not taken for one.
    pub bounds: Vec<Bound>,
    /// The lot taken as of the Weibull kind, or why it is not.
    pub weibull: Result<Weibull, NoMaximum>,
    /// The pull farthest from the mean; none where pulls ended without a break, or where fewer than three broke.
    pub farthest: Option<Farthest>,
    /// What the pulls say of the marking.
    pub belief: Option<Belief>,
    /// What they say to the claim; none where none was asked, or where nothing can be said.
    pub claim: Option<Claim>,
    /// The load asked for, kN, and whether the first bound reaches it.
    pub at_least: Option<(f64, bool)>,
    /// Against the other group.
    pub against: Option<Result<Welch, NoWelch>>,
    /// What must be known beside all this.
    pub notes: Vec<Note>,
}

/// What must be known beside figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Note {
    /// Fewer breaks than the trade's procedure asks for.
    FewBreaks {
        /// How many there are.
        breaks: usize,
    },
    /// Pulls ended without a break.
    Ended {
        /// How many.
        count: usize,
    },
    /// A pull that counts as an outlier; it is kept.
    Outlier(Farthest),
    /// Peaks so far apart that one may have been mistyped.
    FarApart {
        /// The least, kN.
        least_kn: f64,
        /// The most, kN.
        most_kn: f64,
    },
}

/// Peaks of which the most is more than so many times the least may hold a slip: no lot of connectors is so wide. Common practice,
/// no source.
const FAR_APART: f64 = 3.0;

impl Figures {
    /// Computes what is asked.
    #[must_use]
    pub fn of(lot: Lot, question: &Question) -> Self {
        let normal = Normal::of(&lot);
        let bounds = normal.as_ref().map(Normal::bounds).unwrap_or_default();
        let (breaks, held) = (lot.breaks_kn(), lot.held_kn());
        let farthest = farthest(&breaks).filter(|_| held.is_empty());
        let reached =
            |kn: f64| bounds.iter().any(|b| b.share == SHARES[0] && b.confidence == CONFIDENCE && b.kn >= kn);
        let mut notes = Vec::new();
        if breaks.len() < BREAKS_ASKED {
            notes.push(Note::FewBreaks { breaks: breaks.len() });
        }
        if !held.is_empty() {
            notes.push(Note::Ended { count: held.len() });
        }
        notes.extend(farthest.filter(Farthest::is_outlier).map(Note::Outlier));
        let peaks = || lot.pulls().iter().map(|pull| pull.peak_kn);
        let (least_kn, most_kn) = (peaks().fold(f64::INFINITY, f64::min), peaks().fold(0.0, f64::max));
        if most_kn > FAR_APART * least_kn {
            notes.push(Note::FarApart { least_kn, most_kn });
        }
        Self {
            weibull: Weibull::of(&lot),
            farthest,
            belief: question.marking_kn.map(|kn| Belief::of(&lot, kn, question.spread)),
            claim: question.claim.and_then(|asked| Some(Claim::of(normal.as_ref().ok()?, asked))),
            at_least: question.at_least_kn.map(|kn| (kn, reached(kn))),
            against: question.against.as_ref().map(|other| Welch::of(&lot, other)),
            normal,
            bounds,
            notes,
            lot,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::pull::Pull;
    use super::*;

    fn figures(broke: &[f64], held: &[f64], question: &Question) -> Figures {
        let pulls = broke.iter().map(|kn| Pull::new(*kn, true));
        let lot = Lot::new(pulls.chain(held.iter().map(|kn| Pull::new(*kn, false))).collect()).unwrap();
        Figures::of(lot, question)
    }

    #[test]
    fn notes_tell_what_is_so_and_nothing_else() {
        let notes = |broke: &[f64], held: &[f64]| figures(broke, held, &Question::default()).notes;
        assert_eq!(notes(&[24.1, 23.7, 22.9, 24.6, 23.3], &[]), []);
        let few = notes(&[24.1, 23.7], &[22.0]);
        assert_eq!(few, [Note::FewBreaks { breaks: 2 }, Note::Ended { count: 1 }]);
        let odd = notes(&[24.1, 23.7, 22.9, 24.6, 23.3, 1.0], &[]);
        assert!(
            matches!(odd[..], [Note::Outlier(Farthest { index: 5, .. }), Note::FarApart { .. }]),
            "{odd:?}"
        );
        // With pulls that ended without a break none is noted as an outlier.
        let odd = notes(&[24.1, 23.7, 22.9, 24.6, 23.3, 18.0], &[24.0]);
        assert_eq!(odd, [Note::Ended { count: 1 }]);
    }

    #[test]
    fn a_limit_is_reached_by_the_first_bound_alone() {
        let at = |kn| Question { at_least_kn: Some(kn), ..Question::default() };
        let peaks = [24.1, 23.7, 22.9, 24.6, 23.3];
        let bound = figures(&peaks, &[], &at(1.0)).bounds[0];
        assert_eq!((bound.share, bound.confidence), (0.95, 0.95));
        assert_eq!(figures(&peaks, &[], &at(bound.kn)).at_least, Some((bound.kn, true)));
        assert!(!figures(&peaks, &[], &at(bound.kn + 1e-9)).at_least.unwrap().1);
        // No bound reaches nothing.
        assert_eq!(figures(&[24.0], &[], &at(1.0)).at_least, Some((1.0, false)));
    }

    #[test]
    fn a_hundred_thousand_pulls_are_no_trouble() {
        let mut draws = super::super::drawn::Draws::new(5);
        let broke: Vec<f64> = (0..100_000).map(|_| 24.0 + 0.7 * draws.normal()).collect();
        let asked = Asked { kn: 22.0, share: 0.99, confidence: 0.95 };
        let found = figures(&broke, &[], &Question { claim: Some(asked), ..Question::default() });
        let [a, b, c] = [0, 1, 2].map(|i| found.bounds[i].kn);
        assert!((a - (24.0 - 1.645 * 0.7)).abs() < 0.02 && a > b && b > c, "{a} {b} {c}");
        assert!(found.weibull.is_ok() && found.claim.is_some());
    }
}

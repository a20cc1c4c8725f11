//! What was seen on the bench, and how well an outcome fits it.

use super::judgement::Judgement;
use super::outcome::{Outcome, Parts};
use super::place::Place;
use crate::strength::{FailureMode, LimitKind};

/// A peak and, if it was looked at, the broken place; and the judgement by which an outcome fits them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observed {
    /// Highest load of the pull, kN.
    pub broke_at_kn: f64,
    /// Where it was found broken.
    pub place: Option<Place>,
    /// What is judged of it.
    pub judgement: Judgement,
}

impl Observed {
    /// A peak, kN, and the broken place, by the judgement as it stands.
    #[must_use]
    pub fn new(broke_at_kn: f64, place: Option<Place>) -> Self {
        Self { broke_at_kn, place, judgement: Judgement::default() }
    }

    /// How well an outcome fits: as its part and load do, less where straps would slide.
    #[must_use]
    pub fn fits(&self, parts: &Parts, outcome: &Outcome) -> f64 {
        let stays = if outcome.friction_lacks > 0.0 { self.judgement.slides } else { 1.0 };
        stays * self.part_and_load_fit(parts, outcome)
    }

    /// How well part and load fit: 1 at the very load and place, 0 at another place.
    #[must_use]
    pub fn part_and_load_fit(&self, parts: &Parts, outcome: &Outcome) -> f64 {
        let miss = self.miss(parts, outcome);
        let place = self.place_fits(parts, outcome);
        // A load of zero or none at all is infinitely far away.
        if miss.is_finite() { place * (-0.5 * miss * miss).exp() } else { 0.0 }
    }

    /// How far the load that an outcome shows lies from the one seen, in standard deviations of its logarithm.
    #[must_use]
    pub fn miss(&self, parts: &Parts, outcome: &Outcome) -> f64 {
        (self.load_kn(parts, outcome) / self.broke_at_kn).ln() / self.judgement.scatter
    }

    /// The load that an outcome shows to whoever saw this, kN: the highest of the pull; or, where the place seen is the part
    /// that fails first and the open hook would still hold beyond, that part's load if it is nearer: such a pull is often
    /// stopped when something breaks.
    #[must_use]
    pub fn load_kn(&self, parts: &Parts, outcome: &Outcome) -> f64 {
        let ending = parts.ending(outcome);
        let stopped = self.place.is_some_and(|place| place.is_part(parts.mode(ending.first)));
        let miss = |kn: f64| (kn / self.broke_at_kn).ln().abs();
        if stopped && miss(ending.fails_at_kn) < miss(ending.peak_kn) {
            ending.fails_at_kn
        } else {
            ending.peak_kn
        }
    }

    /// How well its place fits: 1 for the part that goes first or the tear of an opened frame, less for what may be named
    /// instead, 0 otherwise.
    #[must_use]
    pub fn place_fits(&self, parts: &Parts, outcome: &Outcome) -> f64 {
        let Some(place) = self.place else { return 1.0 };
        let itself = self.fits_itself(place, parts, outcome);
        if itself > 0.0 || self.near_tie(parts, outcome).is_none() {
            itself
        } else {
            self.judgement.tie_chance
        }
    }

    /// The same of the part that goes first and of the tears alone.
    fn fits_itself(&self, place: Place, parts: &Parts, outcome: &Outcome) -> f64 {
        let first = parts.ending(outcome).first;
        if place.is_part(parts.mode(first)) {
            return 1.0;
        }
        let opens = parts.kind(first) == LimitKind::Opens;
        if outcome.tears_at.is_some_and(|t| place.is_tear(t)) {
            return if opens { 1.0 } else { self.judgement.tear_named };
        }
        if opens && outcome.may_tear_at.is_some_and(|t| place.is_tear(t)) {
            return self.judgement.second_cut;
        }
        0.0
    }

    /// The part at the place seen whose limit lies so close above the first one's that it may have gone first after all, and its
    /// load, kN; nothing where the place is that of the first part or of a tear.
    #[must_use]
    pub fn near_tie(&self, parts: &Parts, outcome: &Outcome) -> Option<(FailureMode, f64)> {
        let place = self.place.filter(|place| self.fits_itself(*place, parts, outcome) <= 0.0)?;
        let fails_at_kn = parts.ending(outcome).fails_at_kn;
        (0..parts.len())
            .filter(|i| place.is_part(parts.mode(*i)))
            .map(|i| (parts.mode(i), parts.load_of(outcome, i)))
            .filter(|(mode, kn)| {
                let tie =
                    if mode.is_torn_out() { self.judgement.torn_out_tie } else { self.judgement.near_tie };
                *kn <= (1.0 + tie) * fails_at_kn
            })
            .min_by(|a, b| a.1.total_cmp(&b.1))
    }
}

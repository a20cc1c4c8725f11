//! From weighed candidates to the lines of an explanation.

use super::causes::{Cause, Family, Kind};
use super::explanation::{Difference, Differs, Explanation, NearTie, RankedCause};
use super::miss::Reasons;
use super::ranking::{Candidate, Study};
use solver::strength::LimitKind;

/// Most lines of the ranking.
const MOST_LINES: usize = 6;
/// A line below this likelihood is left out.
const LEAST: f64 = 5e-3;
/// Most causes that are told to be measured next, and the likelihood below which none is.
const MOST_MEASURES: usize = 3;
const LEAST_MEASURED: f64 = 0.03;

impl Study<'_> {
    fn explains(&self, candidate: &Candidate) -> bool {
        self.observed.miss(&self.parts, &candidate.outcome).abs() <= self.observed.judgement.far
            && self.observed.place_fits(&self.parts, &candidate.outcome) > 0.0
    }

    /// What explains the same without a cause: the gate open without the straps off their place, or everything as entered. A
    /// cause is no explanation of its own when part and load are what would have come anyway: within their scatter where
    /// the value that was told is as likely as any other, and hardly any different where it is not; or when that fits all but as
    /// well.
    fn without(&self, candidate: usize, explaining: &[usize], candidates: &[Candidate]) -> Option<usize> {
        let judgement = &self.observed.judgement;
        let candidate = &candidates[candidate];
        let cause = &self.causes[candidate.cause?];
        if candidate.with_offset {
            // Where its own value as entered is likely, both loads off their place say it all.
            let [low, high] = candidate.likely;
            let idle = cause.nominal.is_some_and(|told| (low..=high).contains(&told));
            let offsets = |i: &&usize| candidates[**i].family == Family::alone(Kind::Offset);
            return explaining.iter().find(offsets).copied().filter(|_| idle);
        }
        let simpler = cause.more_than.clone().map_or(Family::AS_ENTERED, Family::alone);
        let place = *explaining.iter().find(|i| candidates[**i].family == simpler)?;
        let simpler = &candidates[place];
        let [low, high] = candidate.likely;
        // Another metal, another state of the gate have no value: only what comes of them says whether they matter.
        let as_entered = cause.nominal.is_none_or(|told| (low..=high).contains(&told));
        let same_load = if as_entered { judgement.scatter } else { judgement.same_load };
        // What the forecast leaves open would fit whatever was seen: what comes anyway is the forecast itself.
        let plain = match (simpler.cause, candidate.solved) {
            (None, true) => &self.told,
            (None, false) => self.base,
            (Some(_), _) => &simpler.outcome,
        };
        let (with, without) = (self.parts.ending(&candidate.outcome), self.parts.ending(plain));
        let close = (with.peak_kn / without.peak_kn).ln().abs() <= same_load;
        let fits = |outcome| self.observed.fits(&self.parts, outcome);
        let no_better = fits(&candidate.outcome) < judgement.hardly_better * fits(plain);
        let comes_anyway = with.first == without.first && (close || no_better);
        comes_anyway.then_some(place)
    }

    /// What a candidate differs in.
    pub(super) fn difference(&self, candidate: &Candidate) -> Difference {
        let Some(cause) = candidate.cause.map(|i| &self.causes[i]) else {
            let open = self.open.as_ref().filter(|_| self.is_drawn(candidate));
            return open.map_or(Difference::AsEntered, |open| Difference::AsForecast(open.range_kn));
        };
        let differs = |cause: &Cause, value: Option<&f64>, likely| Differs {
            of: cause.of.clone(),
            told: cause.told,
            values: value.map_or_else(Vec::new, |v| cause.told_values(*v)),
            likely,
        };
        let offset = self.offset_of_both().filter(|_| candidate.with_offset).map(|i| &self.causes[i]);
        match (offset, candidate.values.get(1)) {
            (Some(offset), value @ Some(_)) => Difference::WithOffset(
                differs(cause, candidate.values.first(), cause.told_range_beside_another(candidate.likely)),
                differs(offset, value, offset.told_range_beside_another(candidate.likely_offset)),
            ),
            _ => {
                Difference::One(differs(cause, candidate.values.first(), cause.told_ranges(candidate.likely)))
            }
        }
    }

    /// Whether it is everything as entered by a draw of what its forecast leaves open, and not by what is told.
    pub(super) fn is_drawn(&self, candidate: &Candidate) -> bool {
        candidate.cause.is_none() && candidate.outcome != *self.base && candidate.outcome != self.told
    }

    /// Friction that straps need to lie as a candidate has them, where that is more than holds them.
    pub(super) fn friction_wanting(&self, candidate: &Candidate) -> Option<f64> {
        let lacks = candidate.outcome.friction_lacks;
        (lacks > 0.0).then_some(lacks + self.friction_holds)
    }

    fn ranked(&self, candidate: &Candidate, likelihood: f64) -> RankedCause {
        let ending = self.parts.ending(&candidate.outcome);
        let cause = candidate.cause.map(|i| &self.causes[i]);
        RankedCause {
            difference: self.difference(candidate),
            family: candidate.family.clone(),
            values: if cause.is_some_and(Cause::has_value) {
                candidate.values.clone()
            } else {
                candidate.values.get(1).copied().into_iter().collect()
            },
            likelihood,
            fit: self.observed.part_and_load_fit(&self.parts, &candidate.outcome),
            friction_needed: self.friction_wanting(candidate),
            peak_kn: self.observed.load_kn(&self.parts, &candidate.outcome),
            pull_ends_at_kn: ending.peak_kn,
            fails_first: self.parts.mode(ending.first),
            near_tie: self
                .observed
                .near_tie(&self.parts, &candidate.outcome)
                .map(|(what, at_kn)| NearTie { what, at_kn }),
            tears_at: candidate.outcome.tears_at,
            may_tear_at: candidate
                .outcome
                .may_tear_at
                .filter(|_| self.parts.kind(ending.first) == LimitKind::Opens),
            miss: Reasons::of(self).miss(candidate),
            keys: self.keys(candidate),
            setting: self.setting(candidate).unwrap_or_else(|| self.nominal.clone()),
        }
    }

    /// The lines of the ranking, the likeliest first: one for each family, told by its likeliest member. `candidates` come
    /// likeliest first. Each is the place of the candidate in the list, and the likelihood of its family.
    pub(super) fn lines(&self, candidates: &[Candidate]) -> Vec<(usize, f64)> {
        let explaining: Vec<usize> =
            (0..candidates.len()).filter(|i| self.explains(&candidates[*i])).collect();
        let sum: f64 = explaining.iter().map(|i| candidates[*i].weight).sum();
        let mut lines: Vec<(usize, f64)> = Vec::new();
        for i in &explaining {
            let likelihood = if sum > 0.0 { candidates[*i].weight / sum } else { 0.0 };
            let told = self.without(*i, &explaining, candidates).unwrap_or(*i);
            match lines.iter_mut().find(|l| candidates[l.0].family == candidates[told].family) {
                Some(line) => line.1 += likelihood,
                None => lines.push((told, likelihood)),
            }
        }
        lines.sort_by(|a, b| b.1.total_cmp(&a.1));
        // A sum of parts may pass the whole by its rounding.
        lines.iter_mut().for_each(|line| line.1 = line.1.min(1.0));
        lines.retain(|l| l.1 >= LEAST);
        lines.truncate(MOST_LINES);
        lines
    }

    pub(super) fn tell(&mut self, mut candidates: Vec<Candidate>, solved: usize) -> Explanation {
        let mut lines = self.lines(&candidates);
        let nearest = if lines.is_empty() { self.nearest(&candidates) } else { None };
        let solved = solved + nearest.as_ref().map_or(0, |n| n.solved);
        // A search near what is told may have come to what the scans passed over: then it is the only thing that fits.
        if let Some(found) = nearest.as_ref().map(|n| &n.tried.candidate)
            && found.cause.is_some()
            && self.explains(found)
        {
            lines.push((candidates.len(), 1.0));
            candidates.push(found.clone());
        }
        let causes: Vec<RankedCause> = lines.iter().map(|l| self.ranked(&candidates[l.0], l.1)).collect();
        let likelihood_told =
            causes.iter().find(|c| c.family == Family::AS_ENTERED).map_or(0.0, |c| c.likelihood);
        let explained = !causes.is_empty();
        let closest = nearest.filter(|_| !explained).map(|n| self.closest(&n));
        let measure_next = causes
            .iter()
            .enumerate()
            // What tells two single causes apart tells their pair apart from both.
            .filter(|(i, c)| !c.difference.is_none() && (*i == 0 || !c.family.with_offset))
            .filter(|(_, c)| c.likelihood >= LEAST_MEASURED)
            .take(MOST_MEASURES)
            .map(|(i, _)| i)
            .collect();
        let told = Candidate { outcome: self.told.clone(), ..self.as_entered() };
        let others = (1.0 - causes.iter().map(|c| c.likelihood).sum::<f64>()).max(0.0);
        Explanation {
            observed: self.observed,
            as_entered: self.ranked(&told, likelihood_told),
            forecast_kn: self.open.as_ref().map(|open| open.range_kn),
            others_likelihood: if explained { others } else { 0.0 },
            causes,
            closest,
            measure_next,
            marking: self.solved.marking.clone(),
            solved,
        }
    }
}

//! From weighed candidates to the lines of an explanation.

use super::causes::{AS_ENTERED_FAMILY, Cause, OFFSET};
use super::explanation::{Explanation, FORMAT, NearTie, RankedCause};
use super::ranking::{Candidate, Open, Study};
use report::caution::CAUTION;
use report::letters::capital;
use report::numbers::{kilonewtons, kilonewtons_alone};
use report::rigs;
use solver::strength::LimitKind;

/// Most lines of the ranking.
const MOST_LINES: usize = 6;
/// A line below this likelihood is left out.
const LEAST: f64 = 5e-3;

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
            let offsets = |i: &&usize| candidates[**i].family == OFFSET && !candidates[**i].with_offset;
            return explaining.iter().find(offsets).copied().filter(|_| idle);
        }
        let simpler = cause.more_than.unwrap_or(AS_ENTERED_FAMILY);
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

    pub(super) fn words(&self, candidate: &Candidate) -> String {
        let Some(cause) = candidate.cause.map(|i| &self.causes[i]) else {
            return match self.open.as_ref().filter(|_| self.is_drawn(candidate)) {
                Some(Open { range_kn: [low, high], .. }) => {
                    let open = if (*low..=*high).contains(&self.observed.broke_at_kn) {
                        "by what its forecast leaves open"
                    } else {
                        "a rare pull outside the 90 % range of its forecast"
                    };
                    format!(
                        "everything as entered, {open}, {} to {}",
                        kilonewtons_alone(*low),
                        kilonewtons(*high)
                    )
                }
                None => "everything as entered".to_owned(),
            };
        };
        let first = candidate.values.first().map_or_else(String::new, |v| cause.with_value(*v));
        let mut words = match (candidate.with_offset, self.offset_of_both(), candidate.values.get(1)) {
            (true, Some(offset), Some(value)) => {
                format!("{first}, and {}", self.causes[offset].with_value(*value))
            }
            _ => first,
        };
        if let Some(needed) = self.friction_wanting(candidate) {
            let told = self.nominal.rig.friction;
            words.push_str(&format!(
                ", where straps stay only by a friction of {needed:.2}, not the {told:.2} entered"
            ));
        }
        words
    }

    /// Whether it is everything as entered by a draw of what its forecast leaves open, and not by what is told.
    pub(super) fn is_drawn(&self, candidate: &Candidate) -> bool {
        candidate.cause.is_none() && candidate.outcome != *self.base && candidate.outcome != self.told
    }

    /// Friction that straps need to lie as a candidate has them, where that is more than holds them.
    fn friction_wanting(&self, candidate: &Candidate) -> Option<f64> {
        let lacks = candidate.outcome.friction_lacks;
        (lacks > 0.0).then_some(lacks + self.friction_holds)
    }

    fn ranked(&self, candidate: &Candidate, likelihood: f64) -> RankedCause {
        let ending = self.parts.ending(&candidate.outcome);
        let cause = candidate.cause.map(|i| &self.causes[i]);
        let offset = self.offset_of_both().filter(|_| candidate.with_offset).map(|i| &self.causes[i]);
        let likely = match (cause, offset) {
            (None, _) => String::new(),
            (Some(c), Some(offset)) => {
                c.range_in_words_with(candidate.likely, offset, candidate.likely_offset)
            }
            (Some(c), None) => c.range_in_words(candidate.likely),
        };
        let measure = match (cause, offset) {
            (None, _) => String::new(),
            (Some(c), Some(offset)) => format!("{}, and {}", c.measure, offset.measure),
            (Some(c), ..) if likely.is_empty() => c.measure.clone(),
            (Some(c), ..) if c.reading.is_empty() => format!("{}: {likely}", c.measure),
            (Some(c), ..) => format!("{}: {} {likely}", c.measure, c.reading),
        };
        RankedCause {
            cause: self.words(candidate),
            family: candidate.family.clone(),
            values: if cause.is_some_and(Cause::has_value) {
                candidate.values.clone()
            } else {
                candidate.values.get(1).copied().into_iter().collect()
            },
            likely,
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
            measure,
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
        let model = self.solved.model;
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
            causes.iter().find(|c| c.family == AS_ENTERED_FAMILY).map_or(0.0, |c| c.likelihood);
        let explained = !causes.is_empty();
        let closest = nearest.filter(|_| !explained).map(|n| self.closest(&n));
        let measure_next = causes
            .iter()
            .enumerate()
            // What tells two single causes apart tells their pair apart from both.
            .filter(|(i, c)| !c.measure.is_empty() && (*i == 0 || !c.family.ends_with(" and offset")))
            .filter(|(_, c)| c.likelihood >= 0.03)
            .take(3)
            .map(|(_, c)| format!("{} would say: {}.", capital(&c.measure), c.cause))
            .collect();
        let mut explanation = Explanation {
            format: FORMAT,
            connector: model.title.clone(),
            rig: rigs::rig(&model.rig),
            broke_at_kn: self.observed.broke_at_kn,
            place: self.observed.place,
            scatter: self.observed.judgement.scatter,
            as_entered: self
                .ranked(&Candidate { outcome: self.told.clone(), ..self.as_entered() }, likelihood_told),
            forecast_kn: self.open.as_ref().map(|open| open.range_kn),
            explained,
            sentence: String::new(),
            others_likelihood: if explained {
                (1.0 - causes.iter().map(|c| c.likelihood).sum::<f64>()).max(0.0)
            } else {
                0.0
            },
            causes,
            closest,
            measure_next,
            marking: self.solved.marking.clone(),
            solved,
            judgement: self.observed.judgement,
            caution: CAUTION,
        };
        explanation.sentence = super::answer::sentence(&explanation);
        explanation
    }
}

//! From solved outcomes to weighed candidates.

use super::causes::{Cause, Family};
use super::explanation::Explanation;
use super::mesh::as_forecast;
use super::solved::{OpenDraws, Solved, outcome};
use crate::model::Model;
use crate::{Case, CaseError, Engine, Step, Watch};
use solver::causes::{Drawn, Observed, Outcome, Parts, Prior, Scan, Weighed, weigh_pair};

/// Single causes that are solved at their most likely value, in each of two rounds.
const CONFIRMED: usize = 5;
/// Pairs that are.
const CONFIRMED_PAIRS: usize = 4;

/// What fits by less than this part of what was estimated is solved once more beside.
const MUCH_WORSE: f64 = 0.7;

/// A candidate for a line: one cause, or one together with both loads off their place.
#[derive(Clone)]
pub(super) struct Candidate {
    /// Index of the cause; `None` for as entered.
    pub cause: Option<usize>,
    /// Whether both loads are off their place as well.
    pub with_offset: bool,
    pub family: Family,
    /// Chance times evidence.
    pub weight: f64,
    pub values: Vec<f64>,
    pub likely: [f64; 2],
    /// Likely offsets of both loads, for pairs.
    pub likely_offset: [f64; 2],
    pub outcome: Outcome,
    /// Whether its outcome is that of its values as they are told, solved as `forecast` does.
    pub solved: bool,
}

pub(super) struct Study<'a> {
    pub solved: &'a Solved<'a>,
    pub observed: Observed,
    pub nominal: &'a Case,
    /// Everything as entered, on the mesh of all that is compared.
    pub base: &'a Outcome,
    /// The same as `forecast` solves it.
    pub told: Outcome,
    pub parts: Parts,
    pub causes: &'a [Cause],
    /// What was solved, and the most likely values of what was seen.
    pub scans: Vec<Scan>,
    /// Friction that holds straps, as what was solved last has it.
    pub friction_holds: f64,
    /// What the forecast of everything as entered leaves open.
    pub open: Option<Open>,
}

/// What the forecast of everything as entered leaves open.
pub(super) struct Open {
    /// Its draws against what was seen, without what the model states as a range: that is a cause of its own.
    pub drawn: Drawn,
    /// The 90 % range, kN, with everything that is not known exactly.
    pub range_kn: [f64; 2],
}

/// Weighs everything that may differ from what was entered. `begins` is told each step as it begins; `watch` counts what is solved,
/// and calls it off.
///
/// # Errors
/// [`CaseError`]: the model as entered cannot be solved, or it was called off.
///
/// ```
/// use solver::causes::Observed;
/// use study::model::Source;
/// use study::{Engine, Watch, explain};
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../models/oval.toml"));
/// let model = Source::of("oval.toml", text).model(&[]).unwrap();
/// let seen = Observed::new(12.0, None);
/// let found = explain::explain(&model, &Engine::default(), seen, &|_| (), Watch::quiet()).unwrap();
/// // As entered it would have held more: something else is likelier.
/// assert!(found.as_entered.peak_kn > 12.0 && found.causes[0].likelihood > found.as_entered.likelihood);
/// ```
pub fn explain(
    model: &Model,
    engine: &Engine,
    observed: Observed,
    begins: &(dyn Fn(Step) + Sync),
    watch: Watch<'_>,
) -> Result<Explanation, CaseError> {
    rank(&Solved::try_new(model, engine, begins, watch)?, observed, begins)
}

/// Weighs what is solved against what was seen, by the judgement that it is seen with. `begins` is told each step as it begins.
///
/// # Errors
/// [`CaseError::Stopped`]: it was called off.
pub fn rank(
    solved: &Solved<'_>,
    observed: Observed,
    begins: &(dyn Fn(Step) + Sync),
) -> Result<Explanation, CaseError> {
    let drawn = |open: &OpenDraws| {
        let drawn = open.draws.weigh(&solved.parts, &observed)?;
        Some(Open { drawn, range_kn: open.range_kn })
    };
    let mut study = Study {
        solved,
        observed,
        nominal: &solved.nominal,
        base: &solved.base,
        told: solved.base.clone(),
        parts: solved.parts.clone(),
        causes: &solved.causes,
        scans: solved.scans.clone(),
        friction_holds: solved.friction_holds,
        open: solved.open.as_ref().and_then(drawn),
    };
    begins(Step::Likeliest);
    let mut count = solved.count;
    for _ in 0..2 {
        count += study.confirm();
        solved.watch.check()?;
    }
    let mut candidates = study.candidates();
    count += study.confirm_pairs(&mut candidates);
    solved.watch.check()?;
    begins(Step::Told);
    count += study.solve_what_is_told(&mut candidates);
    let told = study.tell(candidates, count);
    solved.watch.check()?;
    Ok(told)
}

/// What is left of a weight once an estimate that fits by `estimated` turns out to fit by `confirmed`.
fn kept(estimated: f64, confirmed: f64) -> f64 {
    if estimated > 0.0 { (confirmed / estimated).min(1.0) } else { 0.0 }
}

impl Study<'_> {
    /// Pulls cases, in order.
    pub(super) fn solve(&self, cases: impl Iterator<Item = Case>) -> Vec<Result<crate::Outcome, CaseError>> {
        self.solved.pull(&cases.collect::<Vec<_>>())
    }

    /// Chance of a cause beforehand.
    fn chance(&self, cause: usize) -> f64 {
        self.causes[cause].chance.by(&self.observed.judgement)
    }

    fn weigh(&self, cause: usize) -> Option<Weighed> {
        self.scans[cause].weigh(&self.parts, &self.observed, self.causes[cause].prior)
    }

    /// Solves the leading single causes at their most likely values and adds that to their scans. Returns how many.
    fn confirm(&mut self) -> usize {
        let mut leading: Vec<(usize, f64, f64)> = (0..self.causes.len())
            .filter_map(|i| self.weigh(i).map(|w| (i, w.value, self.chance(i) * w.evidence)))
            .filter(|(i, value, weight)| {
                *weight > 0.0 && self.scans[*i].nodes().iter().all(|n| n.0 != *value)
            })
            .collect();
        leading.sort_by(|a, b| b.2.total_cmp(&a.2));
        leading.truncate(CONFIRMED);
        let settings: Vec<(usize, f64, Case)> = leading
            .into_iter()
            .filter_map(|(i, value, _)| (self.causes[i].apply)(self.nominal, value).map(|s| (i, value, s)))
            .collect();
        let solved = self.solve(settings.iter().map(|s| s.2.clone()));
        for ((i, value, _), pulled) in settings.iter().zip(&solved) {
            if let Ok(pulled) = pulled {
                let outcome = outcome(&mut self.parts, pulled, self.friction_holds);
                self.scans[*i].add(*value, outcome);
            }
        }
        solved.len()
    }

    /// Everything as entered, without a weight.
    pub(super) fn as_entered(&self) -> Candidate {
        Candidate {
            cause: None,
            with_offset: false,
            family: Family::AS_ENTERED,
            weight: 0.0,
            values: Vec::new(),
            likely: [0.0; 2],
            likely_offset: [0.0; 2],
            outcome: self.base.clone(),
            // Solved for itself, or drawn by the forecast.
            solved: true,
        }
    }

    /// Everything as entered, by its forecast or by what that leaves open, whichever fits better: a load that the forecast itself
    /// may come to, within the scatter of a load from its range, needs no other cause. Some of what is drawn (lots of metal, clearance,
    /// places of loads) is a cause of its own as well, over a wider range: this favours what was told.
    fn told_candidate(&self) -> Candidate {
        let judgement = &self.observed.judgement;
        let fits = self.observed.fits(&self.parts, self.base);
        let near = |open: &&Open| {
            let [low, high] = open.range_kn;
            let scatter = judgement.scatter;
            (low * (1.0 - scatter)..=high * (1.0 + scatter)).contains(&self.observed.broke_at_kn)
        };
        match self.open.as_ref().filter(near).filter(|open| open.drawn.evidence > fits) {
            Some(Open { drawn, .. }) => Candidate {
                weight: judgement.as_entered * drawn.evidence,
                outcome: drawn.best.clone(),
                ..self.as_entered()
            },
            None => Candidate { weight: judgement.as_entered * fits, ..self.as_entered() },
        }
    }

    fn candidates(&self) -> Vec<Candidate> {
        let mut all = vec![self.told_candidate()];
        let both = self.offset_of_both();
        for (i, cause) in self.causes.iter().enumerate() {
            let (Some(found), scan) = (self.weigh(i), &self.scans[i]) else { continue };
            let Some(outcome) = scan.at(found.value) else { continue };
            all.push(Candidate {
                cause: Some(i),
                with_offset: false,
                family: Family::alone(cause.of.kind()),
                weight: self.chance(i) * found.evidence,
                values: vec![found.value],
                likely: found.likely,
                likely_offset: [0.0; 2],
                outcome,
                solved: false,
            });
            let Some(offset) = both.filter(|_| cause.pairs) else { continue };
            let pair = weigh_pair(
                &self.parts,
                &self.observed,
                self.base,
                (scan, cause.prior),
                (&self.scans[offset], Prior::Even),
            );
            let Some(pair) = pair else { continue };
            let estimate = scan
                .at(pair.values[0])
                .zip(self.scans[offset].at(pair.values[1]))
                .map(|(a, b)| a.changed_as(self.base, &b));
            all.push(Candidate {
                cause: Some(i),
                with_offset: true,
                family: Family { kind: cause.of.kind(), with_offset: true },
                // Two causes at once count for what they fit better than either of them alone.
                weight: self.chance(i) * self.chance(offset) * (pair.evidence - pair.alone).max(0.0),
                values: pair.values.to_vec(),
                likely: pair.likely[0],
                likely_offset: pair.likely[1],
                outcome: estimate.unwrap_or_else(|| self.base.clone()),
                solved: false,
            });
        }
        all.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        all
    }

    /// The cause that moves both loads together, or the only load that has room to move.
    pub(super) fn offset_of_both(&self) -> Option<usize> {
        (!self.causes.is_empty() && self.causes[0].is_offset()).then_some(0)
    }

    pub(super) fn setting(&self, candidate: &Candidate) -> Option<Case> {
        let Some(cause) = candidate.cause else { return Some(self.nominal.clone()) };
        let changed = (self.causes[cause].apply)(self.nominal, *candidate.values.first()?)?;
        match (candidate.with_offset, self.offset_of_both(), candidate.values.get(1)) {
            (true, Some(offset), Some(value)) => (self.causes[offset].apply)(&changed, *value),
            (true, ..) => None,
            (false, ..) => Some(changed),
        }
    }

    /// Solves the leading pairs, which so far are estimates. A pair that turns out far off loses what its fit loses.
    fn confirm_pairs(&mut self, candidates: &mut [Candidate]) -> usize {
        let leading: Vec<usize> = (0..candidates.len())
            .filter(|i| candidates[*i].with_offset && candidates[*i].weight > 0.0)
            .take(CONFIRMED_PAIRS)
            .collect();
        let settings: Vec<(usize, Case)> =
            leading.into_iter().filter_map(|i| self.setting(&candidates[i]).map(|s| (i, s))).collect();
        self.solve_candidates(candidates, &settings)
    }

    /// Solves the candidates that would be told, at the values that are told and as `forecast` solves them. What no longer fits
    /// makes room for others, until all that is told is solved. Returns how many were solved.
    pub(super) fn solve_what_is_told(&mut self, candidates: &mut [Candidate]) -> usize {
        let mut count = 0;
        if let Some(Ok(pulled)) = self.solve([as_forecast(self.nominal)].into_iter()).first() {
            self.friction_holds = self.nominal.rig.friction_holds().max(pulled.friction_needed);
            let told = outcome(&mut self.parts, pulled, self.friction_holds);
            let [before, now] = [self.base, &told].map(|o| self.observed.fits(&self.parts, o));
            for candidate in candidates.iter_mut().filter(|c| c.cause.is_none() && c.outcome == *self.base) {
                candidate.outcome = told.clone();
                // As any other that is solved.
                candidate.weight *= kept(before, now);
            }
            candidates.sort_by(|a, b| b.weight.total_cmp(&a.weight));
            self.told = told;
            count += 1;
        }
        loop {
            let (mut settings, mut anew) = (Vec::new(), false);
            for (i, _) in self.lines(candidates) {
                let candidate = &mut candidates[i];
                if std::mem::replace(&mut candidate.solved, true) {
                    continue;
                }
                self.round(candidate);
                anew = true;
                match self.setting(candidate) {
                    Some(setting) => settings.push((i, as_forecast(&setting))),
                    // As entered it makes no connector.
                    None => candidate.weight = 0.0,
                }
            }
            if !anew || self.solved.watch.check().is_err() {
                return count;
            }
            let before: Vec<(usize, Candidate)> =
                settings.iter().map(|(i, _)| (*i, candidates[*i].clone())).collect();
            let (solved, impossible) = self.solve_at(candidates, &settings);
            count += solved;
            let possible: Vec<(usize, Candidate)> =
                before.into_iter().filter(|(i, _)| !impossible.contains(i)).collect();
            count += self.solve_beside(candidates, &possible);
            candidates.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        }
    }

    /// Solves once more, at a value that allows for what the estimate was off by, what fits much worse than was estimated. The
    /// better of the two stays. `before` are the candidates as they were before they were solved, at the values that are told.
    fn solve_beside(&mut self, candidates: &mut [Candidate], before: &[(usize, Candidate)]) -> usize {
        let fits = |study: &Self, outcome: &Outcome| study.observed.fits(&study.parts, outcome);
        let mut again: Vec<(usize, f64, Candidate, Case)> = Vec::new();
        for (i, before) in before {
            let Some(estimate) = self.estimate(before) else { continue };
            let estimated = fits(self, &before.outcome).max(fits(self, &estimate));
            if fits(self, &candidates[*i].outcome) < MUCH_WORSE * estimated {
                let beside = self.beside(before, [&estimate, &candidates[*i].outcome]);
                let case = beside.as_ref().and_then(|c| self.setting(c));
                again.extend(beside.zip(case).map(|(c, case)| (*i, estimated, c, as_forecast(&case))));
            }
        }
        let solved = self.solve(again.iter().map(|a| a.3.clone()));
        for ((i, estimated, mut beside, _), pulled) in again.into_iter().zip(&solved) {
            let Ok(pulled) = pulled else { continue };
            beside.outcome = outcome(&mut self.parts, pulled, self.friction_holds);
            let confirmed = fits(self, &beside.outcome);
            if confirmed > fits(self, &candidates[i].outcome) {
                beside.weight *= kept(estimated, confirmed);
                candidates[i] = beside;
            }
        }
        solved.len()
    }

    /// What the scans say of a candidate at its values; `None` for everything as entered.
    fn estimate(&self, candidate: &Candidate) -> Option<Outcome> {
        let own = self.scans[candidate.cause?].at(*candidate.values.first()?)?;
        if !candidate.with_offset {
            return Some(own);
        }
        let offset = self.scans[self.offset_of_both()?].at(*candidate.values.get(1)?)?;
        Some(own.changed_as(self.base, &offset))
    }

    /// A candidate at the values that give what was seen if all estimates of its scan are off as much as this one.
    fn beside(&self, before: &Candidate, [estimate, solved]: [&Outcome; 2]) -> Option<Candidate> {
        let cause = before.cause.filter(|i| before.with_offset || self.causes[*i].has_value())?;
        let [estimated, solved] = [estimate, solved].map(|o| self.observed.load_kn(&self.parts, o));
        let off = Observed { broke_at_kn: self.observed.broke_at_kn * estimated / solved, ..self.observed };
        let (scan, prior) = (&self.scans[cause], self.causes[cause].prior);
        let mut beside = before.clone();
        if before.with_offset {
            let offsets = (&self.scans[self.offset_of_both()?], Prior::Even);
            let pair = weigh_pair(&self.parts, &off, self.base, (scan, prior), offsets)?;
            beside.values = pair.values.to_vec();
            [beside.likely, beside.likely_offset] = pair.likely;
        } else {
            let found = scan.weigh(&self.parts, &off, prior)?;
            (beside.values, beside.likely) = (vec![found.value], found.likely);
        }
        self.round(&mut beside);
        Some(beside)
    }

    /// Takes the values of a candidate as they are told. Of a pair each value may have a wide range, and only with the other it
    /// fits: both are told as finely as a caliper reads.
    pub(super) fn round(&self, candidate: &mut Candidate) {
        let causes = [candidate.cause, self.offset_of_both().filter(|_| candidate.with_offset)];
        let likely = [candidate.likely, candidate.likely_offset];
        for ((value, cause), likely) in candidate.values.iter_mut().zip(causes).zip(likely) {
            let Some(cause) = cause.map(|i| &self.causes[i]).filter(|c| c.has_value()) else { continue };
            *value = if candidate.with_offset {
                cause.rounded_alone(*value)
            } else {
                cause.rounded(*value, likely)
            };
        }
    }

    /// Gives candidates the outcomes of their settings; one that turns out to fit worse than was estimated loses as much of its
    /// weight.
    fn solve_candidates(&mut self, candidates: &mut [Candidate], settings: &[(usize, Case)]) -> usize {
        let (count, _) = self.solve_at(candidates, settings);
        candidates.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        count
    }

    /// The same, each candidate left in its place. Returns how many were solved, and which make no connector.
    fn solve_at(&mut self, candidates: &mut [Candidate], settings: &[(usize, Case)]) -> (usize, Vec<usize>) {
        let mut impossible = Vec::new();
        let solved = self.solve(settings.iter().map(|s| s.1.clone()));
        for ((i, _), pulled) in settings.iter().zip(&solved) {
            let candidate = &mut candidates[*i];
            match pulled {
                Ok(pulled) => {
                    let estimated = self.observed.fits(&self.parts, &candidate.outcome);
                    candidate.outcome = outcome(&mut self.parts, pulled, self.friction_holds);
                    let confirmed = self.observed.fits(&self.parts, &candidate.outcome);
                    candidate.weight *= kept(estimated, confirmed);
                }
                Err(_) => {
                    candidate.weight = 0.0;
                    impossible.push(*i);
                }
            }
        }
        (solved.len(), impossible)
    }
}

//! What comes nearest to an observation that nothing explains, and the loads that everything tried reaches.

use super::explanation::Closest;
use super::mesh::as_forecast;
use super::ranking::{Candidate, Study};
use super::solved::outcome;
use crate::Case;
use solver::causes::reach_of_pair;

/// Estimates that are solved from each end of the reach: between solved values they may be off.
const TRIED: usize = 4;

/// Nearest candidates between which and what is told values are tried as well, and how many of them for each.
const SEARCHED: usize = 3;
const BETWEEN: u32 = 8;

/// Something tried, solved as it is told.
pub(super) struct Tried {
    pub candidate: Candidate,
    peak_kn: f64,
}

/// What comes nearest to an observation.
pub(super) struct Nearest {
    pub tried: Tried,
    /// Lowest and highest load at the place, kN.
    reachable_kn: [f64; 2],
    /// How many settings were solved on the way.
    pub solved: usize,
}

impl Study<'_> {
    /// The nearest load of all scans at the place, and the range that all of them reach there; `None` where nothing breaks
    /// there. Both ends of that range are solved, whatever load was asked for. Where even the nearest is far off, values between it and
    /// what is told are solved too: a scan's steps, and pairs' estimates, may pass over the load.
    pub(super) fn nearest(&mut self, candidates: &[Candidate]) -> Option<Nearest> {
        let mut reached = self.reached();
        reached.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut nearest: Vec<(f64, Candidate)> = reached.clone();
        for pair in candidates.iter().filter(|c| c.with_offset) {
            if self.observed.place_fits(&self.parts, &pair.outcome) > 0.0 {
                let load = self.parts.ending(&pair.outcome).peak_kn;
                nearest.push((load, self.changed(pair.cause, pair.values.clone())));
            }
        }
        let broke_at_kn = self.observed.broke_at_kn;
        let miss = |load: f64| (load / broke_at_kn).ln().abs();
        nearest.sort_by(|a, b| miss(a.0).total_cmp(&miss(b.0)));
        let ends = reached.iter().take(TRIED).chain(reached.iter().rev().take(TRIED));
        let mut wanted: Vec<&Candidate> = Vec::new();
        for (_, candidate) in ends.chain(nearest.iter().take(TRIED)) {
            let same = |c: &&Candidate| (c.cause, &c.values) == (candidate.cause, &candidate.values);
            if !wanted.iter().any(same) {
                wanted.push(candidate);
            }
        }
        let mut count = wanted.len();
        let mut solved = self.tried(&wanted);
        let by_miss = |a: &Tried, b: &Tried| miss(a.peak_kn).total_cmp(&miss(b.peak_kn));
        solved.sort_by(by_miss);
        let judgement = &self.observed.judgement;
        if solved.first().is_some_and(|t| miss(t.peak_kn) > judgement.far * judgement.scatter) {
            let between: Vec<Candidate> =
                solved.iter().take(SEARCHED).flat_map(|t| self.between(&t.candidate)).collect();
            count += between.len();
            solved.extend(self.solve_there(between).into_iter().flatten());
            solved.sort_by(by_miss);
        }
        let reach = solved
            .iter()
            .map(|t| t.peak_kn)
            .fold([f64::INFINITY, 0.0_f64], |[low, high], kn| [low.min(kn), high.max(kn)]);
        solved.into_iter().next().map(|tried| Nearest { tried, reachable_kn: reach, solved: count })
    }

    /// A candidate with its last value at steps between its own and what is told. Each is told as likely within half a step.
    fn between(&self, candidate: &Candidate) -> Vec<Candidate> {
        let last = candidate.values.len().checked_sub(1);
        let cause = if candidate.with_offset { self.offset_of_both() } else { candidate.cause };
        let (Some(last), Some(told)) = (last, cause.and_then(|i| self.causes[i].nominal)) else {
            return Vec::new();
        };
        let step = (candidate.values[last] - told) / f64::from(BETWEEN);
        (1..BETWEEN)
            .map(|k| {
                let mut between = candidate.clone();
                let value = told + f64::from(k) * step;
                between.values[last] = value;
                let near = [value - 0.5 * step.abs(), value + 0.5 * step.abs()];
                if candidate.with_offset {
                    between.likely = [candidate.values[0]; 2];
                    between.likely_offset = near;
                } else {
                    between.likely = near;
                }
                self.round(&mut between);
                between
            })
            .collect()
    }

    /// What is told where nothing explains what was seen.
    pub(super) fn closest(&self, nearest: &Nearest) -> Closest {
        Closest {
            difference: self.difference(&nearest.tried.candidate),
            friction_needed: self.friction_wanting(&nearest.tried.candidate),
            peak_kn: nearest.tried.peak_kn,
            keys: self.keys(&nearest.tried.candidate),
            reachable_kn: nearest.reachable_kn,
        }
    }

    /// Loads at which something breaks where it should, and what each comes from: nothing, one cause or a pair. Of what was
    /// scanned whatever load was seen, so that their range does not turn on it.
    fn reached(&self) -> Vec<(f64, Candidate)> {
        let mut reached = Vec::new();
        if self.observed.place_fits(&self.parts, self.base) > 0.0 {
            reached.push((self.parts.ending(self.base).peak_kn, self.as_entered()));
        }
        for (cause, scan) in self.solved.scans.iter().enumerate() {
            let ends = scan.reach(&self.parts, &self.observed).into_iter().flatten();
            reached.extend(ends.map(|(load, value)| (load, self.changed(Some(cause), vec![value]))));
            let Some(offset) = self.offset_of_both().filter(|_| self.causes[cause].pairs) else { continue };
            let offsets = &self.solved.scans[offset];
            let ends =
                reach_of_pair(&self.parts, &self.observed, self.base, scan, offsets).into_iter().flatten();
            reached.extend(ends.map(|(load, values)| (load, self.changed(Some(cause), values.to_vec()))));
        }
        reached
    }

    /// A cause at a value, or together with both loads off their place at a second.
    fn changed(&self, cause: Option<usize>, values: Vec<f64>) -> Candidate {
        Candidate { cause, with_offset: values.len() > 1, values, ..self.as_entered() }
    }

    /// Solves candidates at their values as they are told; without those that cannot be, or where something else breaks.
    fn tried(&mut self, wanted: &[&Candidate]) -> Vec<Tried> {
        let rounded = wanted.iter().map(|candidate| {
            let mut candidate = (*candidate).clone();
            self.round(&mut candidate);
            candidate
        });
        let rounded = self.solve_there(rounded.collect());
        // A rounded value at which something else breaks is not the one that was found.
        let missing = wanted.iter().zip(&rounded).filter(|(_, tried)| tried.is_none());
        let as_found = self.solve_there(missing.map(|(candidate, _)| (*candidate).clone()).collect());
        rounded.into_iter().chain(as_found).flatten().collect()
    }

    /// Solves candidates at their values; `None` for those that cannot be, or where something else breaks.
    fn solve_there(&mut self, candidates: Vec<Candidate>) -> Vec<Option<Tried>> {
        let cases: Vec<Option<Case>> =
            candidates.iter().map(|c| self.setting(c).map(|case| as_forecast(&case))).collect();
        let mut solved = self.solve(cases.iter().flatten().cloned()).into_iter();
        let (parts, holds, observed) = (&mut self.parts, self.friction_holds, self.observed);
        candidates
            .into_iter()
            .zip(cases)
            .map(|(mut candidate, case)| {
                let pulled = case.and_then(|_| solved.next())?.ok()?;
                let outcome = outcome(parts, &pulled, holds);
                if observed.place_fits(parts, &outcome) <= 0.0 {
                    return None;
                }
                if candidate.cause.is_some() {
                    candidate.outcome = outcome;
                    candidate.solved = true;
                }
                Some(Tried { candidate, peak_kn: pulled.limits.peak_kn })
            })
            .collect()
    }
}

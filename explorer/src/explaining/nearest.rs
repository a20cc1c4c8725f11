//! What comes nearest to an observation that nothing explains, and the loads that everything tried reaches.

use super::explanation::Closest;
use super::ranking::{Candidate, Study, outcome};
use super::solving::as_forecast;
use solver::causes::{Observed, reach_of_pair};
use study::Case;

/// Estimates that are solved from each end of the reach: between solved values they may be off.
const TRIED: usize = 4;

/// Something tried, solved as it is told.
struct Tried {
    candidate: Candidate,
    breaks_at_kn: f64,
}

impl Study<'_> {
    /// The nearest load of all scans, at the place if anything breaks there, and the range that all of them reach there. Both
    /// ends of that range are solved, whatever load was asked for.
    pub(super) fn closest(&self, candidates: &[Candidate]) -> Option<Closest> {
        let anywhere = Observed { place: None, ..self.observed };
        let mut judged = self.observed;
        let mut reached = self.reached(&judged);
        let breaks_there = !reached.is_empty();
        if !breaks_there {
            judged = anywhere;
            reached = self.reached(&judged);
        }
        reached.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut nearest: Vec<(f64, Candidate)> = reached.clone();
        for pair in candidates.iter().filter(|c| c.with_offset) {
            if judged.place_fits(&self.parts, &pair.outcome) > 0.0 {
                let load = self.parts.ending(&pair.outcome).breaks_at_kn;
                nearest.push((load, self.changed(pair.cause, pair.values.clone())));
            }
        }
        let miss = |load: f64| (load / self.observed.broke_at_kn).ln().abs();
        nearest.sort_by(|a, b| miss(a.0).total_cmp(&miss(b.0)));
        let ends = reached.iter().take(TRIED).chain(reached.iter().rev().take(TRIED));
        let mut wanted: Vec<&Candidate> = Vec::new();
        for (_, candidate) in ends.chain(nearest.iter().take(TRIED)) {
            let same = |c: &&Candidate| (c.cause, &c.values) == (candidate.cause, &candidate.values);
            if !wanted.iter().any(same) {
                wanted.push(candidate);
            }
        }
        let solved = self.tried(&judged, &wanted);
        let reach = solved
            .iter()
            .map(|t| t.breaks_at_kn)
            .fold([f64::INFINITY, 0.0_f64], |[low, high], kn| [low.min(kn), high.max(kn)]);
        let told = solved.iter().min_by(|a, b| miss(a.breaks_at_kn).total_cmp(&miss(b.breaks_at_kn)))?;
        Some(Closest {
            cause: self.words(&told.candidate),
            breaks_at_kn: told.breaks_at_kn,
            keys: self.keys(&told.candidate),
            reachable_kn: (breaks_there || self.observed.place.is_none()).then_some(reach),
        })
    }

    /// Loads at which something breaks where it should, and what each comes from: nothing, one cause or a pair. Of what was
    /// scanned whatever load was seen, so that their range does not turn on it.
    fn reached(&self, judged: &Observed) -> Vec<(f64, Candidate)> {
        let mut reached = Vec::new();
        if judged.place_fits(&self.parts, &self.base) > 0.0 {
            reached.push((self.parts.ending(&self.base).breaks_at_kn, self.as_told()));
        }
        for (cause, scan) in self.first_scans.iter().enumerate() {
            let ends = scan.reach(&self.parts, judged).into_iter().flatten();
            reached.extend(ends.map(|(load, value)| (load, self.changed(Some(cause), vec![value]))));
            let Some(offset) = self.offset_of_both().filter(|_| self.causes[cause].pairs) else { continue };
            let offsets = &self.first_scans[offset];
            let ends = reach_of_pair(&self.parts, judged, &self.base, scan, offsets).into_iter().flatten();
            reached.extend(ends.map(|(load, values)| (load, self.changed(Some(cause), values.to_vec()))));
        }
        reached
    }

    /// A cause at a value, or together with both loads off their place at a second.
    fn changed(&self, cause: Option<usize>, values: Vec<f64>) -> Candidate {
        Candidate { cause, with_offset: values.len() > 1, values, ..self.as_told() }
    }

    /// Solves candidates at their values as they are told; without those that cannot be, or where something else breaks.
    fn tried(&self, judged: &Observed, wanted: &[&Candidate]) -> Vec<Tried> {
        let rounded = wanted.iter().map(|candidate| {
            let mut candidate = (*candidate).clone();
            self.round(&mut candidate);
            candidate
        });
        let rounded = self.solve_there(judged, rounded.collect());
        // A rounded value at which something else breaks is not the one that was found.
        let missing = wanted.iter().zip(&rounded).filter(|(_, tried)| tried.is_none());
        let as_found = self.solve_there(judged, missing.map(|(candidate, _)| (*candidate).clone()).collect());
        rounded.into_iter().chain(as_found).flatten().collect()
    }

    /// Solves candidates at their values; `None` for those that cannot be, or where something else breaks.
    fn solve_there(&self, judged: &Observed, candidates: Vec<Candidate>) -> Vec<Option<Tried>> {
        let cases: Vec<Option<Case>> =
            candidates.iter().map(|c| self.setting(c).map(|case| as_forecast(&case))).collect();
        let mut solved = self.solve(cases.iter().flatten().cloned()).into_iter();
        let mut parts = self.parts.clone();
        candidates
            .into_iter()
            .zip(cases)
            .map(|(mut candidate, case)| {
                let pulled = case.and_then(|_| solved.next())?.ok()?;
                let outcome = outcome(&mut parts, &pulled, self.friction_holds);
                if judged.place_fits(&parts, &outcome) <= 0.0 {
                    return None;
                }
                if candidate.cause.is_some() {
                    candidate.outcome.friction_lacks = outcome.friction_lacks;
                }
                Some(Tried { candidate, breaks_at_kn: pulled.limits.breaks_at_kn })
            })
            .collect()
    }
}

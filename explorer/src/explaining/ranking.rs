//! From solved outcomes to a ranking of what would explain an observation.

use super::causes::{AS_TOLD, Cause, OFFSET, causes};
use super::marking::{MarkingReach, marking, wanted};
use super::solving::{Setting, solve_all};
use crate::care::CAUTION;
use crate::failure::Failure;
use crate::mapping::rig_in_words;
use crate::model_file::{Model, Source};
use serde::Serialize;
use solver::causes::{Observed, Outcome, Parts, Prior, SCATTER, Scan, Weighed, weigh_pair};
use solver::system::System;

/// Name and version of the JSON.
pub const FORMAT: &str = "pullmap-explain-1";
/// Single causes that are solved at their most likely value, in each of two rounds.
const CONFIRMED: usize = 5;
/// Pairs that are.
const CONFIRMED_PAIRS: usize = 4;
/// Most lines of the ranking.
const MOST_LINES: usize = 6;
/// A line below this likelihood is left out.
const LEAST: f64 = 5e-3;
/// Two causes at once must fit this much better than either of them alone, or they are no more than that one.
const BETTER: f64 = 2.0;
/// An outcome farther from the observed load than this many standard deviations explains nothing.
const FAR: f64 = 3.0;

/// One line of the ranking.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RankedCause {
    /// What was other than told, with its most likely value.
    pub cause: String,
    /// What it is a kind of: `offset`, `gate open`, a key of the model, ...; `as told` for nothing.
    pub family: String,
    /// The most likely values, in the order of the words; empty where there is none.
    pub values: Vec<f64>,
    /// The likely values in words; empty where there is none.
    pub likely: String,
    /// Likelihood against all that was considered, 0 to 1.
    pub likelihood: f64,
    /// Load that it gives, kN.
    pub breaks_at_kn: f64,
    /// What gives first then.
    pub gives_first: String,
    /// Where the frame tears in the end.
    pub tears_at: Option<String>,
    /// What to measure, and which reading would speak for this cause; empty for none.
    pub measure: String,
    /// The setting, for the picture.
    #[serde(skip)]
    pub setting: Setting,
}

/// What comes nearest when nothing explains the observation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Closest {
    /// What would have to be other than told.
    pub cause: String,
    /// The load that it gives, kN.
    pub breaks_at_kn: f64,
    /// Lowest and highest load of all that was considered and fits the place, kN; absent when nothing breaks there.
    pub reachable_kn: Option<[f64; 2]>,
}

/// What would explain an observation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Explanation {
    /// [`FORMAT`].
    pub format: &'static str,
    /// Name of the connector.
    pub connector: String,
    /// The rig as told, in a line.
    pub rig: String,
    /// Observed peak, kN.
    pub broke_at_kn: f64,
    /// Observed place.
    pub place: Option<&'static str>,
    /// Scatter that a load may have and still fit, one standard deviation.
    pub scatter: f64,
    /// What everything as told would have given.
    pub as_told: RankedCause,
    /// Whether anything explains the observation.
    pub explained: bool,
    /// The answer in a sentence.
    pub sentence: String,
    /// Causes, the most likely first.
    pub causes: Vec<RankedCause>,
    /// What comes nearest, when nothing explains it.
    pub closest: Option<Closest>,
    /// What to measure to tell the leading causes apart.
    pub measure_next: Vec<String>,
    /// Which rigs would reach the markings.
    pub marking: Vec<MarkingReach>,
    /// How many settings were solved.
    pub solved: usize,
    /// The caution.
    pub care: &'static str,
}

/// Settings to be solved, each once.
#[derive(Default)]
struct Wanted {
    settings: Vec<Setting>,
}

impl Wanted {
    fn add(&mut self, setting: Setting) -> usize {
        self.settings.iter().position(|s| *s == setting).unwrap_or_else(|| {
            self.settings.push(setting);
            self.settings.len() - 1
        })
    }
}

/// A candidate for a line: one cause, or one together with both loads off their place.
struct Candidate {
    /// Index of the cause; `None` for as told.
    cause: Option<usize>,
    /// Whether both loads are off their place as well.
    with_offset: bool,
    family: String,
    /// Chance times evidence.
    weight: f64,
    values: Vec<f64>,
    likely: [f64; 2],
    outcome: Outcome,
    /// Lowest and highest load that fits the place, for pairs, kN.
    reach_kn: Option<[f64; 2]>,
}

struct Study<'a> {
    observed: Observed,
    nominal: Setting,
    base: Outcome,
    parts: Parts,
    causes: &'a [Cause],
    scans: Vec<Scan>,
}

/// Weighs everything that may have been other than told. `system` is that of the model as told; `progress` is told what is being done.
///
/// # Errors
/// The model as told cannot be solved.
pub fn explain(
    source: &Source,
    model: &Model,
    sets: &[(String, String)],
    system: &System,
    observed: Observed,
    progress: &dyn Fn(&'static str),
) -> Result<Explanation, Failure> {
    let nominal =
        Setting { connector: model.connector.clone(), materials: model.materials.clone(), rig: model.rig };
    let causes = causes(source, model, sets, &nominal, system);
    let mut wanted_settings = Wanted::default();
    wanted_settings.add(nominal.clone());
    // Value and place in the list, for each cause.
    let places: Vec<Vec<(f64, usize)>> = causes
        .iter()
        .map(|cause| {
            let values = cause.values.iter().filter(|v| cause.nominal.is_none_or(|n| n != **v));
            values.filter_map(|v| (cause.apply)(&nominal, *v).map(|s| (*v, wanted_settings.add(s)))).collect()
        })
        .collect();
    let for_marking = wanted(model, &nominal, &causes);
    let marking_places: Vec<usize> =
        for_marking.iter().map(|w| wanted_settings.add(w.setting.clone())).collect();

    progress("what may have been other than told");
    let mut solved = solve_all(&wanted_settings.settings);
    let mut parts = Parts::default();
    let outcomes: Vec<Option<Outcome>> =
        solved.iter().map(|s| s.as_ref().ok().map(|limits| parts.outcome(limits))).collect();
    let base = match (outcomes[0].clone(), solved.swap_remove(0)) {
        (Some(base), _) => base,
        (None, Err(reason)) => return Err(Failure::solving(&model.title, &reason)),
        (None, Ok(_)) => return Err(Failure::solving(&model.title, &"it has no forecast")),
    };
    let scans = causes
        .iter()
        .zip(&places)
        .map(|(cause, places)| {
            let mut scan = Scan::default();
            for (value, at) in places {
                if let Some(outcome) = &outcomes[*at] {
                    scan.add(*value, outcome.clone());
                }
            }
            if let Some(value) = cause.nominal {
                scan.add(value, base.clone());
            }
            scan
        })
        .collect();
    let mut study = Study { observed, nominal, base, parts, causes: &causes, scans };
    progress("the most likely values");
    let mut count = wanted_settings.settings.len();
    for _ in 0..2 {
        count += study.confirm();
    }
    let mut candidates = study.candidates();
    count += study.confirm_pairs(&mut candidates);
    let reached: Vec<Option<&Outcome>> = marking_places.iter().map(|i| outcomes[*i].as_ref()).collect();
    let marking = marking(model, &for_marking, &reached, &study.parts);
    Ok(study.tell(model, candidates, marking, count))
}

impl Study<'_> {
    fn weigh(&self, cause: usize) -> Option<Weighed> {
        self.scans[cause].weigh(&self.parts, &self.observed, self.causes[cause].prior)
    }

    /// Solves the leading single causes at their most likely values and adds that to their scans. Returns how many.
    fn confirm(&mut self) -> usize {
        let mut leading: Vec<(usize, f64, f64)> = (0..self.causes.len())
            .filter_map(|i| self.weigh(i).map(|w| (i, w.value, self.causes[i].chance * w.evidence)))
            .filter(|(i, value, weight)| {
                *weight > 0.0 && self.scans[*i].nodes().iter().all(|n| n.0 != *value)
            })
            .collect();
        leading.sort_by(|a, b| b.2.total_cmp(&a.2));
        leading.truncate(CONFIRMED);
        let settings: Vec<(usize, f64, Setting)> = leading
            .into_iter()
            .filter_map(|(i, value, _)| (self.causes[i].apply)(&self.nominal, value).map(|s| (i, value, s)))
            .collect();
        let solved = solve_all(&settings.iter().map(|s| s.2.clone()).collect::<Vec<_>>());
        for ((i, value, _), limits) in settings.iter().zip(&solved) {
            if let Ok(limits) = limits {
                let outcome = self.parts.outcome(limits);
                self.scans[*i].add(*value, outcome);
            }
        }
        solved.len()
    }

    fn candidates(&self) -> Vec<Candidate> {
        let mut all = vec![Candidate {
            cause: None,
            with_offset: false,
            family: "as told".to_owned(),
            weight: AS_TOLD * self.observed.fits(&self.parts, &self.base),
            values: Vec::new(),
            likely: [0.0; 2],
            outcome: self.base.clone(),
            reach_kn: None,
        }];
        let both = self.offset_of_both();
        for (i, cause) in self.causes.iter().enumerate() {
            let (Some(found), scan) = (self.weigh(i), &self.scans[i]) else { continue };
            let Some(outcome) = scan.at(found.value) else { continue };
            all.push(Candidate {
                cause: Some(i),
                with_offset: false,
                family: cause.family.clone(),
                weight: cause.chance * found.evidence,
                values: vec![found.value],
                likely: found.likely,
                outcome,
                reach_kn: None,
            });
            let Some(offset) = both.filter(|_| cause.pairs) else { continue };
            let pair = weigh_pair(
                &self.parts,
                &self.observed,
                &self.base,
                (scan, cause.prior),
                (&self.scans[offset], Prior::Even),
            );
            let Some(pair) = pair else { continue };
            let alone = found.evidence.max(self.weigh(offset).map_or(0.0, |w| w.evidence));
            let estimate = scan
                .at(pair.values[0])
                .zip(self.scans[offset].at(pair.values[1]))
                .map(|(a, b)| a.changed_as(&self.base, &b));
            all.push(Candidate {
                cause: Some(i),
                with_offset: true,
                family: format!("{} and offset", cause.family),
                weight: if alone * BETTER < pair.evidence {
                    cause.chance * self.causes[offset].chance * pair.evidence
                } else {
                    0.0
                },
                values: pair.values.to_vec(),
                likely: [pair.values[0]; 2],
                outcome: estimate.unwrap_or_else(|| self.base.clone()),
                reach_kn: pair.reach_kn,
            });
        }
        all.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        all
    }

    /// The cause that moves both loads together.
    fn offset_of_both(&self) -> Option<usize> {
        (!self.causes.is_empty() && self.causes[0].family == OFFSET).then_some(0)
    }

    fn setting(&self, candidate: &Candidate) -> Option<Setting> {
        let Some(cause) = candidate.cause else { return Some(self.nominal.clone()) };
        let changed = (self.causes[cause].apply)(&self.nominal, *candidate.values.first()?)?;
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
        let settings: Vec<(usize, Setting)> =
            leading.into_iter().filter_map(|i| self.setting(&candidates[i]).map(|s| (i, s))).collect();
        let solved = solve_all(&settings.iter().map(|s| s.1.clone()).collect::<Vec<_>>());
        for ((i, _), limits) in settings.iter().zip(&solved) {
            let candidate = &mut candidates[*i];
            match limits {
                Ok(limits) => {
                    let estimated = self.observed.fits(&self.parts, &candidate.outcome);
                    candidate.outcome = self.parts.outcome(limits);
                    let confirmed = self.observed.fits(&self.parts, &candidate.outcome);
                    candidate.weight *= if estimated > 0.0 { (confirmed / estimated).min(1.0) } else { 0.0 };
                }
                Err(_) => candidate.weight = 0.0,
            }
        }
        candidates.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        solved.len()
    }

    fn explains(&self, candidate: &Candidate) -> bool {
        let load = self.parts.ending(&candidate.outcome).breaks_at_kn;
        (load / self.observed.broke_at_kn).ln().abs() <= FAR * SCATTER
            && self.observed.place_fits(&self.parts, &candidate.outcome) > 0.0
    }

    fn words(&self, candidate: &Candidate) -> String {
        let Some(cause) = candidate.cause.map(|i| &self.causes[i]) else {
            return "everything as told".to_owned();
        };
        let first = candidate.values.first().map_or_else(String::new, |v| cause.with_value(*v));
        match (candidate.with_offset, self.offset_of_both(), candidate.values.get(1)) {
            (true, Some(offset), Some(value)) => {
                format!("{first}, and {}", self.causes[offset].with_value(*value))
            }
            _ => first,
        }
    }

    fn ranked(&self, candidate: &Candidate, likelihood: f64) -> RankedCause {
        let ending = self.parts.ending(&candidate.outcome);
        let cause = candidate.cause.map(|i| &self.causes[i]);
        let likely = cause.map_or_else(String::new, |c| c.range_in_words(candidate.likely));
        let measure = match (cause, candidate.with_offset, self.offset_of_both()) {
            (None, ..) => String::new(),
            (Some(c), true, Some(offset)) => format!("{}, and {}", c.measure, self.causes[offset].measure),
            (Some(c), ..) if likely.is_empty() => c.measure.clone(),
            (Some(c), ..) => format!("{}: {likely}", c.measure),
        };
        RankedCause {
            cause: self.words(candidate),
            family: candidate.family.clone(),
            values: if cause.is_some_and(Cause::has_value) {
                candidate.values.clone()
            } else {
                candidate.values.get(1).copied().into_iter().collect()
            },
            likely: if candidate.with_offset { String::new() } else { likely },
            likelihood,
            breaks_at_kn: ending.breaks_at_kn,
            gives_first: self.parts.name(ending.first).to_owned(),
            tears_at: candidate.outcome.tears_at.clone(),
            measure,
            setting: self.setting(candidate).unwrap_or_else(|| self.nominal.clone()),
        }
    }

    fn tell(
        &self,
        model: &Model,
        candidates: Vec<Candidate>,
        marking: Vec<MarkingReach>,
        solved: usize,
    ) -> Explanation {
        let told = candidates.iter().find(|c| c.cause.is_none());
        let explaining: Vec<&Candidate> = candidates.iter().filter(|c| self.explains(c)).collect();
        let sum: f64 = explaining.iter().map(|c| c.weight).sum();
        // One line for each family, told by its likeliest member; candidates come likeliest first.
        let mut lines: Vec<(&Candidate, f64)> = Vec::new();
        for candidate in &explaining {
            let likelihood = if sum > 0.0 { candidate.weight / sum } else { 0.0 };
            match lines.iter_mut().find(|l| l.0.family == candidate.family) {
                Some(line) => line.1 += likelihood,
                None => lines.push((candidate, likelihood)),
            }
        }
        lines.sort_by(|a, b| b.1.total_cmp(&a.1));
        lines.retain(|l| l.1 >= LEAST);
        lines.truncate(MOST_LINES);
        let causes: Vec<RankedCause> = lines.iter().map(|l| self.ranked(l.0, l.1)).collect();
        let likelihood_told = causes.iter().find(|c| c.family == "as told").map_or(0.0, |c| c.likelihood);
        let explained = !causes.is_empty();
        let closest = if explained { None } else { self.closest(&candidates) };
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
            rig: rig_in_words(&model.rig),
            broke_at_kn: self.observed.broke_at_kn,
            place: self.observed.place.map(|p| p.word),
            scatter: SCATTER,
            as_told: told.map_or_else(
                || self.ranked(&self.as_told(), likelihood_told),
                |c| self.ranked(c, likelihood_told),
            ),
            explained,
            sentence: String::new(),
            causes,
            closest,
            measure_next,
            marking,
            solved,
            care: CAUTION,
        };
        explanation.sentence = super::answer::sentence(&explanation);
        explanation
    }

    fn as_told(&self) -> Candidate {
        Candidate {
            cause: None,
            with_offset: false,
            family: "as told".to_owned(),
            weight: 0.0,
            values: Vec::new(),
            likely: [0.0; 2],
            outcome: self.base.clone(),
            reach_kn: None,
        }
    }

    /// The nearest load of all scans, at the place if anything breaks there, and the range that all of them reach there.
    fn closest(&self, candidates: &[Candidate]) -> Option<Closest> {
        let anywhere = Observed { place: None, ..self.observed };
        let mut range: Option<[f64; 2]> = None;
        let mut widen = |low: f64, high: f64| {
            let [a, b] = range.unwrap_or([low, high]);
            range = Some([a.min(low), b.max(high)]);
        };
        let mut nearest: Option<(f64, String)> = None;
        let wanted = self.observed.broke_at_kn;
        let mut consider = |load: f64, words: String| {
            let miss = (load / wanted).ln().abs();
            if nearest.as_ref().is_none_or(|n| miss < (n.0 / wanted).ln().abs()) {
                nearest = Some((load, words));
            }
        };
        let breaks_there = self.scans.iter().any(|s| s.reach(&self.parts, &self.observed).is_some());
        let judged = if breaks_there { self.observed } else { anywhere };
        if judged.place_fits(&self.parts, &self.base) > 0.0 {
            let load = self.parts.ending(&self.base).breaks_at_kn;
            widen(load, load);
            consider(load, "everything as told".to_owned());
        }
        for (cause, scan) in self.causes.iter().zip(&self.scans) {
            let Some([low, high]) = scan.reach(&self.parts, &judged) else { continue };
            widen(low.0, high.0);
            for (load, value) in [low, high] {
                consider(load, cause.with_value(value));
            }
        }
        for candidate in candidates.iter().filter(|c| c.with_offset) {
            if judged.place_fits(&self.parts, &candidate.outcome) > 0.0 {
                let load = self.parts.ending(&candidate.outcome).breaks_at_kn;
                let [low, high] = candidate.reach_kn.unwrap_or([load; 2]);
                widen(low, high);
                consider(load, self.words(candidate));
            }
        }
        nearest.map(|(breaks_at_kn, cause)| Closest {
            cause,
            breaks_at_kn,
            reachable_kn: if breaks_there || self.observed.place.is_none() { range } else { None },
        })
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

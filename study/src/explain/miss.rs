//! Why the load of a line is not the one that was measured.

use super::causes::Cause;
use super::explanation::Miss;
use super::ranking::{Candidate, Study};
use solver::causes::{Observed, Outcome, Parts, Prior, Scan, outcomes_of_pair};

/// What the reasons are found in.
pub(super) struct Reasons<'a> {
    parts: &'a Parts,
    observed: &'a Observed,
    base: &'a Outcome,
    causes: &'a [Cause],
    scans: &'a [Scan],
    /// The cause that moves both loads.
    offset: Option<usize>,
}

impl<'a> Reasons<'a> {
    pub(super) fn of(study: &'a Study<'_>) -> Self {
        Self {
            parts: &study.parts,
            observed: &study.observed,
            base: study.base,
            causes: study.causes,
            scans: &study.scans,
            offset: study.offset_of_both(),
        }
    }

    /// Why a candidate's load is not the one that was measured; `None` where it hardly misses it.
    pub(super) fn miss(&self, candidate: &Candidate) -> Option<Miss> {
        let place = candidate.cause?;
        let (cause, scan) = (&self.causes[place], &self.scans[place]);
        let off = self.observed.miss(self.parts, &candidate.outcome).abs();
        if off <= Miss::TOLD {
            return None;
        }
        let offset = self.offset.filter(|_| candidate.with_offset);
        let (outcomes, bounds) = match offset {
            Some(offset) => {
                let offsets = (&self.scans[offset], Prior::Even);
                (outcomes_of_pair(self.base, (scan, cause.prior), offsets), Vec::new())
            }
            None if !cause.has_value() => return Some(Miss::NoValue),
            None => (scan.outcomes(cause.prior), cause.told_bounds()),
        };
        let nearer: Vec<(f64, Outcome)> = outcomes
            .into_iter()
            .filter(|(_, outcome)| self.observed.place_fits(self.parts, outcome) > 0.0)
            .filter(|(_, outcome)| self.observed.miss(self.parts, outcome).abs() < off - Miss::TOLD)
            .collect();
        // Below zero straps have friction to spare, and less of that keeps them as well.
        let held = candidate.outcome.friction_lacks.max(0.0);
        let weight = candidate.values.first().map_or(1.0, |value| cause.prior.weight(*value));
        Some(if nearer.is_empty() {
            Miss::Bounds(bounds)
        } else if nearer.iter().all(|(_, outcome)| outcome.friction_lacks > held) {
            Miss::Friction
        } else if nearer.iter().all(|(other, _)| *other < weight) {
            Miss::Rarer
        } else {
            Miss::Scatter
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::causes::{CauseOf, Chance, Family, Loads, Moved, Size, Typed, Unit, ValueKind};
    use super::*;
    use crate::model::quantity::Dimension;
    use geometry::outline::{Across, Along, Bar, FrameLocation};
    use solver::response::Hold;
    use solver::rig::GateState;
    use solver::strength::{Course, Ends, FailureMode, Formula, Limit, LimitKind, Limits};

    /// A connector whose lip gives at a load.
    fn lip(parts: &mut Parts, kn: f64, friction_lacks: f64) -> Outcome {
        let limits = Limits {
            peak_kn: kn,
            fails_first: FailureMode::Lip,
            fails_at_kn: kn,
            ends: Ends::Breaks,
            first_yield_kn: None,
            bends_at_kn: 0.0,
            open_hook_kn: 1.0,
            tears_at: Some(FrameLocation::Bar(Bar::Spine, Along::Between, Across::Inner)),
            tears_point_mm: None,
            may_tear_at: None,
            limits: vec![Limit {
                what: FailureMode::Lip,
                at_kn: Some(kn),
                kind: LimitKind::Breaks,
                formula: Formula::PinShear,
                inputs: Vec::new(),
                by_hand: None,
            }],
            course: Course {
                kind: LimitKind::Breaks,
                gate_fraction: 0.0,
                gate: GateState::Closed,
                friction: 0.2,
                held: Hold::Held,
                hook_bends_kn: 1.0,
                slides: [None; 2],
                unsettled_from_kn: None,
            },
        };
        let mut outcome = parts.outcome(&limits);
        outcome.friction_lacks = friction_lacks;
        outcome
    }

    fn cause(of: CauseOf, prior: Prior) -> Cause {
        Cause {
            of,
            told: ValueKind::Plain(Unit::Of(Dimension::Length)),
            chance: Chance::Size,
            prior,
            values: vec![0.0, 1.0],
            nominal: None,
            pairs: true,
            more_than: None,
            typed: Typed::NoKey,
            apply: Box::new(|case, _| Some(case.clone())),
        }
    }

    /// A scan from 0 to 1.
    fn scan(ends: [Outcome; 2]) -> Scan {
        let mut scan = Scan::default();
        for (value, outcome) in [0.0, 1.0].into_iter().zip(ends) {
            scan.add(value, outcome);
        }
        scan
    }

    /// Everything that a reason is found in: a base of 10 kN, both loads off their place, which makes `[to, at most]` of that, and a
    /// lip's height from 0 to 1 mm with a load and what friction lacks at each end.
    struct Found {
        parts: Parts,
        base: Outcome,
        causes: Vec<Cause>,
        scans: Vec<Scan>,
    }

    impl Found {
        fn new(prior: Prior, heights: [(f64, f64); 2], offsets: [f64; 2]) -> Self {
            let mut parts = Parts::default();
            let base = lip(&mut parts, 10.0, -0.1);
            let moved = CauseOf::Offset(Moved::Both, Loads::Straps);
            let causes = vec![cause(moved, Prior::Even), cause(CauseOf::Off(Size::LipHeight), prior)];
            let offsets = scan(offsets.map(|kn| lip(&mut parts, kn, -0.1)));
            let heights = scan(heights.map(|(kn, lacks)| lip(&mut parts, kn, lacks)));
            Self { parts, base, causes, scans: vec![offsets, heights] }
        }

        /// Why the height at its lower end, and with the offset there as well, misses what was measured.
        fn miss(&self, broke_at_kn: f64, with_offset: bool) -> Option<Miss> {
            let setting = [self.scans[1].at(0.0), self.scans[0].at(0.0)].map(Option::unwrap);
            let outcome =
                if with_offset { setting[0].changed_as(&self.base, &setting[1]) } else { setting[0].clone() };
            let candidate = Candidate {
                cause: Some(1),
                with_offset,
                family: Family::alone(self.causes[1].of.kind()),
                weight: 1.0,
                values: vec![0.0; if with_offset { 2 } else { 1 }],
                likely: [0.0; 2],
                likely_offset: [0.0; 2],
                outcome,
                solved: true,
            };
            let reasons = Reasons {
                parts: &self.parts,
                observed: &Observed::new(broke_at_kn, None),
                base: &self.base,
                causes: &self.causes,
                scans: &self.scans,
                offset: Some(0),
            };
            reasons.miss(&candidate)
        }
    }

    const STAYS: f64 = -0.1;

    #[test]
    fn friction_is_the_reason_only_where_more_of_it_is_lacking() {
        let told = |here, nearer| {
            Found::new(Prior::Even, [(10.0, here), (16.0, nearer)], [10.0; 2]).miss(14.0, false)
        };
        // Of what comes nearer than 10 kN all lies well beyond the middle between the ends.
        assert_eq!(told(0.0, 0.1), Some(Miss::Friction));
        assert_eq!(told(0.05, 0.1), Some(Miss::Friction));
        assert_eq!(told(-0.1, 0.0), Some(Miss::Scatter), "less to spare, and still some");
        assert_eq!(told(-0.3, -0.1), Some(Miss::Scatter), "less to spare, and still some");
        assert_eq!(told(0.1, 0.05), Some(Miss::Scatter), "nearer values lack less");
    }

    #[test]
    fn bounds_are_the_reason_only_where_nothing_comes_nearer() {
        let told = |most| Found::new(Prior::Even, [(10.0, STAYS), (most, STAYS)], [10.0; 2]);
        let Some(Miss::Bounds(bounds)) = told(8.0).miss(12.0, false) else { panic!("nothing comes nearer") };
        assert_eq!(bounds[0].ends, [0.0, 1.0]);
        assert_eq!(told(11.0).miss(14.0, false), Some(Miss::Scatter), "11 kN is nearer, if not there");
        assert_eq!(told(8.0).miss(10.1, false), None, "hardly a miss");
    }

    #[test]
    fn values_are_rarer_only_by_their_weight() {
        let told = |middle| {
            let prior = Prior::About { middle, spread: 0.3 };
            Found::new(prior, [(10.0, STAYS), (16.0, STAYS)], [10.0; 2]).miss(14.0, false)
        };
        assert_eq!(told(0.0), Some(Miss::Rarer));
        assert_eq!(told(1.0), Some(Miss::Scatter), "the likeliest value comes nearer");
    }

    #[test]
    fn two_causes_at_once_are_judged_as_one_is() {
        let pair = |heights: [f64; 2], offsets, broke_at_kn| {
            let heights = heights.map(|kn| (kn, STAYS));
            Found::new(Prior::Even, heights, offsets).miss(broke_at_kn, true)
        };
        // From 10 kN both reach down to 5 and up to 12: that is not there, and nearer.
        assert_eq!(pair([10.0, 12.0], [10.0, 5.0], 14.0), Some(Miss::Scatter));
        assert_eq!(pair([10.0, 8.0], [10.0, 5.0], 14.0), Some(Miss::Bounds(Vec::new())));
        let prior = Prior::About { middle: 0.0, spread: 0.3 };
        let rarer = Found::new(prior, [(10.0, STAYS), (12.0, STAYS)], [10.0, 9.0]);
        assert_eq!(rarer.miss(14.0, true), Some(Miss::Rarer));
        let slides = Found::new(Prior::Even, [(10.0, 0.0), (12.0, 0.3)], [10.0, 5.0]);
        assert_eq!(slides.miss(14.0, true), Some(Miss::Friction));
    }

    #[test]
    fn what_has_no_value_has_no_nearer_one() {
        let mut found = Found::new(Prior::Even, [(10.0, STAYS), (16.0, STAYS)], [10.0, 13.0]);
        found.causes[1].told = ValueKind::Nothing;
        assert_eq!(found.miss(14.0, false), Some(Miss::NoValue));
        assert_eq!(found.miss(14.0, true), Some(Miss::Scatter), "loads off their place have one");
    }
}

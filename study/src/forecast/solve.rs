//! The connector solved as it is and at both ends of every unknown, and the range that follows.
//!
//! Strengths do not enter the elastic solution, and a rig is no part of a system: only unknowns that change shape or
//! elasticity are meshed and factored again.

use super::ends::{End, Found, holds, same_but_strength, same_system, solve_end};
use super::{Forecast, LeftOut};
use crate::map;
use crate::model::Model;
use crate::unknowns::{Unknown, draws_together, unknowns};
use crate::{CaseError, Engine, Step, Watch};
use geometry::outline::Outline;
use rayon::prelude::*;
use solver::forecast::{Arm, Capacities, DRAWS, Endings, Grid, Range, Response, SEED, endings};
use solver::strength::{FailureMode, Limit, LimitKind, computed_limits, limits};
use solver::system::{System, SystemError, SystemSettings};
use std::sync::Arc;

/// Callbacks: told each step as it begins, and of each end that is solved.
type Told<'a> = (&'a (dyn Fn(Step) + Sync), &'a Watch<'a>);

/// What is not known exactly, and what it does to the load at which a connector fails.
#[derive(Debug)]
pub struct Drawn {
    /// What is not known, on the ranges that could be solved.
    pub unknowns: Vec<Unknown>,
    /// What could not be varied, and why.
    pub left_out: Vec<LeftOut>,
    /// What every unknown does to every part's load, in the order of `unknowns`.
    pub parts: Response,
    /// The draws.
    pub range: Range,
}

/// Solves a model on a mesh, and everything around it that is not known exactly. `begins` is told each step as it begins; `watch`
/// counts the ends of what is not known, and calls it off.
///
/// # Errors
/// [`CaseError`]: the model itself cannot be solved, or it was called off.
///
/// ```
/// use study::model::Source;
/// use study::{Engine, Watch, forecast};
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../models/oval.toml"));
/// let model = Source::of("oval.toml", text).model(&[]).unwrap();
/// let mesh = solver::system::SystemSettings { unknowns: 6000.0, ..Default::default() };
/// let told = forecast::solve(&Engine::default(), &model, &mesh, &|_| (), &Watch::quiet()).unwrap();
/// let [p5, p50, p95] = told.quantiles_kn();
/// assert!(p5 < p50 && p50 < p95);
/// assert!(told.holds_kn() <= told.limits.peak_kn);
/// ```
pub fn solve(
    engine: &Engine,
    model: &Model,
    settings: &SystemSettings,
    begins: &(dyn Fn(Step) + Sync),
    watch: &Watch<'_>,
) -> Result<Forecast, CaseError> {
    let case = model.case(*settings);
    let as_it_is = || -> Result<_, CaseError> {
        let mapped = map::solve(engine, &case, begins)?;
        begins(Step::Limits);
        Ok((Arc::clone(&mapped.system), mapped))
    };
    let beside = |system: &System| -> Result<_, CaseError> {
        let strengths = &case.strengths();
        let small = || match holds(model) {
            true => computed_limits(system, strengths, model.rig.friction),
            false => Vec::new(),
        };
        let (limits, computed) = rayon::join(|| limits(system, strengths, &model.rig), small);
        Ok((limits?, computed))
    };
    let around = Around { engine, model, settings, told: (begins, watch) };
    let (mut mapped, (limits, computed), drawn) = around.solve(unknowns(model), as_it_is, beside)?;
    // No picture shows a load that the forecast says is never reached, nor a whole gate beyond where it gives. A pin that
    // leaves without any load is solved as gone.
    let whole_to_kn = if limits.fails_at_kn > 0.0 { limits.fails_at_kn } else { limits.peak_kn };
    if model.rig.load_kn > whole_to_kn && whole_to_kn > 0.0 {
        mapped = mapped.under_kn(&case, whole_to_kn)?;
    }
    let by_hand_alone =
        |l: &Limit| l.what == FailureMode::Lip && l.kind == LimitKind::Breaks && l.by_hand.is_none();
    let by_hand = limits.limits.iter().any(by_hand_alone).then_some(LeftOut::LipByElements);
    let left_out = by_hand.into_iter().chain(drawn.left_out).collect();
    let Drawn { unknowns, parts, range, .. } = drawn;
    Ok(Forecast { mapped, limits, computed, unknowns, left_out, parts, range })
}

/// The draws of a forecast alone, over these unknowns: without the map, the limits of the parts and the first yield of the connector as
/// it is.
///
/// # Errors
/// As [`solve`], but for loads that only those need.
pub fn draws(
    engine: &Engine,
    model: &Model,
    unknowns: Vec<Unknown>,
    settings: &SystemSettings,
    watch: &Watch<'_>,
) -> Result<Drawn, CaseError> {
    let as_it_is = || -> Result<_, CaseError> { Ok((engine.system(&model.case(*settings))?, ())) };
    let around = Around { engine, model, settings, told: (&|_| (), watch) };
    around.solve(unknowns, as_it_is, |_| Ok(())).map(|found| found.2)
}

/// What ends are solved around.
struct Around<'a> {
    engine: &'a Engine,
    model: &'a Model,
    settings: &'a SystemSettings,
    told: Told<'a>,
}

/// The connector as it is, and the ends of unknowns that keep its shape and elasticity.
struct Nominal<M, B> {
    system: Arc<System>,
    /// What came with the system.
    with_it: M,
    /// What was found beside the ends.
    beside: B,
    endings: Endings,
    found: Vec<(End, Found)>,
}

impl Around<'_> {
    /// The model with an unknown at a value; `None` where that is no model.
    fn at(&self, unknown: &Unknown, value: f64) -> Option<Model> {
        unknown.at(value, self.model)
    }

    /// Solves ends, with the connector as it is where they may share its system.
    fn ends(&self, all: &[Unknown], ends: &[End], system: Option<&System>) -> Vec<Found> {
        let watch = self.told.1;
        let solved = ends.par_iter().map(|end| {
            watch.check().ok()?;
            let u = &all[end.unknown];
            let as_it_is = (self.model, system);
            let found = solve_end(u, end.value(all), as_it_is, self.engine, self.settings, &|value| {
                self.at(u, value)
            });
            (watch.done)();
            found
        });
        solved.collect()
    }

    /// Solves the connector as it is, with `as_it_is`, and both ends of everything that is not known; `beside` besides, once its
    /// system is there.
    fn solve<M: Send, B: Send>(
        &self,
        mut all: Vec<Unknown>,
        as_it_is: impl FnOnce() -> Result<(Arc<System>, M), CaseError> + Send,
        beside: impl FnOnce(&System) -> Result<B, CaseError> + Send,
    ) -> Result<(M, B, Drawn), CaseError> {
        let (model, (begins, watch)) = (self.model, self.told);
        // Told before anything is solved beside it.
        Outline::try_new(&model.connector, model.rig.gate.place()).map_err(SystemError::Outline)?;
        // Ends of another shape or elasticity need nothing of the connector as it is, and are solved beside it.
        let of_all = all.iter().enumerate().flat_map(|(unknown, u)| {
            let ends = [false, true].into_iter().zip(u.law.ends());
            ends.filter(|(_, value)| *value != u.middle && u.on_loads(*value).is_none())
                .map(move |(high, _)| End { unknown, high })
        });
        let (others, ends): (Vec<End>, Vec<End>) = of_all.partition(|end| {
            self.at(&all[end.unknown], end.value(&all)).is_some_and(|v| !same_system(model, &v))
        });
        (watch.more)(others.len() + ends.len());
        let (nominal, other) = rayon::join(
            || self.solve_nominal(&all, ends, as_it_is, beside),
            || self.ends(&all, &others, None),
        );
        watch.check()?;
        let Nominal { system, with_it, beside, endings, found: near } = nominal?;
        let mut found: Vec<[Found; 2]> = all.iter().map(|_| [None, None]).collect();
        for (end, at) in near.into_iter().chain(others.into_iter().zip(other)) {
            found[end.unknown][usize::from(end.high)] = at;
        }
        for (u, found) in all.iter().zip(&mut found) {
            for (end, value) in found.iter_mut().zip(u.law.ends()) {
                if let Some(by) = u.on_loads(value) {
                    *end = Some((value, endings.times(by)));
                }
            }
        }
        let (mut arms, mut left_out, mut kept) = (Vec::new(), Vec::new(), Vec::new());
        for (mut u, [low, high]) in all.drain(..).zip(found) {
            if low.is_none() && high.is_none() {
                left_out.push(LeftOut::NeitherEnd(u));
                continue;
            }
            let reach = [&low, &high].map(|end| end.as_ref().map_or(u.middle, |e| e.0));
            let law = u.law.cut_to(reach);
            left_out.extend(LeftOut::cut_short(&u, reach));
            let [low, high] = [low, high].map(|end| end.map(|e| e.1));
            arms.push(Arm { law, middle: u.middle, low, high, kinked: u.has_a_kink() });
            u.law = law;
            kept.push(u);
        }
        let grid = both_offsets(&kept, &system, model);
        watch.check()?;
        begins(Step::Draws);
        let mut parts = Response::new(&endings, arms);
        if let Some(grid) = grid {
            parts = parts.with_grid(grid);
        }
        if let Some(calibration) = &model.calibration {
            parts = parts.with_last_together(draws_together(calibration, &kept));
        }
        let range = Range::draw(&parts, DRAWS, SEED);
        Ok((with_it, beside, Drawn { unknowns: kept, left_out, parts, range }))
    }

    /// Solves the connector as it is, and those ends of unknowns that need no other system.
    fn solve_nominal<M, B: Send>(
        &self,
        all: &[Unknown],
        ends: Vec<End>,
        as_it_is: impl FnOnce() -> Result<(Arc<System>, M), CaseError>,
        beside: impl FnOnce(&System) -> Result<B, CaseError> + Send,
    ) -> Result<Nominal<M, B>, CaseError> {
        let (model, watch) = (self.model, self.told.1);
        let (kept, with_it) = as_it_is()?;
        watch.check()?;
        // Unknowns that change strengths alone share the load path of the connector as it is.
        let (system, strengths) = (&*kept, &model.strengths());
        let mut capacities = vec![Capacities::of(system, strengths, &model.rig)?];
        let (mut shared, mut own) = (Vec::new(), Vec::new());
        for end in ends {
            let value = end.value(all);
            let variant = self.at(&all[end.unknown], value).filter(|v| same_but_strength(model, v));
            match variant {
                Some(variant) => {
                    capacities.push(Capacities::of(system, &variant.strengths(), &model.rig)?);
                    shared.push((end, value));
                    (watch.done)();
                }
                None => own.push(end),
            }
        }
        let ((beside, of_each), around) = rayon::join(
            || rayon::join(|| beside(system), || endings(system, &model.rig, &capacities)),
            || self.ends(all, &own, Some(system)),
        );
        let (beside, mut of_each) = (beside?, of_each?.into_iter());
        let endings = of_each.next().unwrap_or_else(|| Endings { parts: Vec::new(), open_hook_kn: 0.0 });
        let shared = shared.into_iter().zip(of_each).map(|((end, value), at)| (end, Some((value, at))));
        let found = shared.chain(own.into_iter().zip(around)).collect();
        Ok(Nominal { system: kept, with_it, beside, endings, found })
    }
}

/// Width of a range of an offset from which on the places of both loads are solved on a grid, mm.
const WIDE_OFFSET_MM: f64 = 6.0;
/// Largest step of that grid, mm, and most values of each end.
const STEP_MM: f64 = 3.5;
const MOST_NODES: f64 = 9.0;

/// Both loads on a grid of their places, where one of them may lie far from its own: `None` where neither has a wide range,
/// or some place cannot be solved.
fn both_offsets(unknowns: &[Unknown], system: &System, model: &Model) -> Option<Grid> {
    let width = |u: &Unknown, upper: bool| -> Option<f64> {
        let [low, high] = u.law.ends().map(|end| u.offset_at(end).filter(|at| at.0 == upper));
        Some(high?.1 - low?.1)
    };
    let of = |upper: bool| {
        let mut all = unknowns.iter().enumerate().filter_map(|(i, u)| Some((i, width(u, upper)?)));
        all.find(|(_, width)| *width > 0.0)
    };
    let [(upper, above), (lower, below)] = [of(true)?, of(false)?];
    if above.max(below) <= WIDE_OFFSET_MM {
        return None;
    }
    let pair = [upper, lower];
    let nodes = pair.map(|i| {
        let unknown = &unknowns[i];
        let [low, high] = unknown.law.ends();
        let mm = |value: f64| unknown.offset_at(value).map_or(0.0, |(_, mm)| mm);
        let steps = ((mm(high) - mm(low)) / STEP_MM).ceil().min(MOST_NODES - 1.0);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 1 and 8")]
        let count = steps as u32;
        (0..=count).map(|k| low + (high - low) * f64::from(k) / steps).collect::<Vec<f64>>()
    });
    let places: Vec<[f64; 2]> =
        nodes[0].iter().flat_map(|a| nodes[1].iter().map(move |b| [*a, *b])).collect();
    let strengths = &model.strengths();
    let solved = places.par_iter().map(|place| {
        let [upper, lower] =
            [0, 1].map(|at| unknowns[pair[at]].offset_at(place[at]).map_or(0.0, |(_, mm)| mm));
        let rig = model.rig.placed(upper, lower);
        endings(system, &rig, &[Capacities::of(system, strengths, &rig).ok()?]).ok()?.pop()
    });
    Some(Grid { unknowns: pair, nodes, endings: solved.collect::<Option<Vec<Endings>>>()? })
}

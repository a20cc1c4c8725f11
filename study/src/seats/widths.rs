//! Do narrow straps cut strength? They do where the bar bends between its ends; they do not where the shape seats the load
//! at the spine. Which of the two holds for a shape is computed: a narrow and a wide strap, each at the weakest of its own
//! rests and both in the middle. Who rigs cannot choose the rest, so the best one is no answer.

use super::place::RestName;
use crate::{Case, Engine, Watch};
use solver::causes::Judgement;
use solver::rig::{DEFAULT_STRAP_STIFFNESS, Loader, Rig};
use solver::seats::Seating;
use solver::strength::FailureMode;
use solver::system::System;

/// The narrow strap, mm.
const NARROW_MM: f64 = 12.0;
/// The wide strap where it fits, mm.
const WIDE_MM: f64 = 40.0;
/// Less than this much wider is no comparison, mm.
const WIDER_BY_MM: f64 = 4.0;
/// Changes below this part count as none: one pull scatters by as much about its forecast ([`Judgement::scatter`]).
pub const NO_CHANGE: f64 = Judgement::STANDING.scatter;
/// Rests of a strap that are judged.
const MOST_RESTS: usize = 4;
/// A rest that draws from less than this part of all starting places, beside one that draws from more, is a curiosity.
const LIKELY: f64 = 0.04;
/// A rest that draws from so many times the places of another is told beside it.
const LIKELIER: f64 = 1.5;

/// What straps of one width hold.
#[derive(Clone, Debug, PartialEq)]
pub struct WidthForecast {
    /// Width, mm.
    pub width_mm: f64,
    /// Forecast with both straps in the middle, kN.
    pub middle_kn: f64,
    /// What fails first there.
    pub middle_fails_first: FailureMode,
    /// Whether the friction that the rig relies on keeps both there.
    pub middle_held: bool,
    /// Whether that friction keeps both wherever they are put, at equal offsets: then no rest draws them.
    pub held_everywhere: bool,
    /// Where they rest: the weakest of those rests that draw from more than a few percent of all starting places.
    pub rest: RestName,
    /// Part of all starting places from which they run there; absent when nothing leads them anywhere.
    pub rest_share_of_starting_places: Option<f64>,
    /// Offsets of that rest, upper and lower, mm.
    pub rest_mm: [f64; 2],
    /// Forecast there, kN.
    pub rest_kn: f64,
    /// What fails first there.
    pub rest_fails_first: FailureMode,
    /// The rest that draws from most places, where it is another one.
    pub likeliest: Option<LikeliestRest>,
}

/// The rest that draws from most places, when it is not the weakest.
#[derive(Clone, Debug, PartialEq)]
pub struct LikeliestRest {
    /// Where it is.
    pub rest: RestName,
    /// Part of all starting places from which the straps run there.
    pub share_of_starting_places: f64,
    /// Forecast there, kN.
    pub rest_kn: f64,
}

/// The comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Widths {
    /// The narrow strap.
    pub narrow: WidthForecast,
    /// The wide strap.
    pub wide: WidthForecast,
    /// Offsets of the middle, upper and lower, mm: zero, or as near to it as the wide strap gets.
    pub middle_mm: [f64; 2],
    /// Narrow over wide, both in the middle: what the bending of the bars does.
    pub in_the_middle: f64,
    /// Narrow over wide, each at its weakest resting place.
    pub at_their_resting_places: f64,
}

fn strap(rig: &Rig, width_mm: f64) -> Loader {
    let stiffness_n_per_mm2 = match rig.upper {
        Loader::Strap { stiffness_n_per_mm2, .. } => stiffness_n_per_mm2,
        Loader::Bar { .. } => DEFAULT_STRAP_STIFFNESS,
    };
    Loader::Strap { width_mm, offset_mm: 0.0, stiffness_n_per_mm2, strength_kn: None }
}

/// Compares straps of 12 mm with straps of 40 mm, or the widest that fit. `None` on bench bars, when there is no wider strap that fits, or
/// one of the two cannot be pulled in the middle.
#[must_use]
pub(super) fn compare(engine: &Engine, case: &Case, system: &System) -> Option<Widths> {
    let rig = &case.rig;
    // On bench bars nobody asks how wide a strap is.
    if [rig.upper, rig.lower].iter().any(|end| matches!(end, Loader::Bar { .. })) {
        return None;
    }
    let room = [&system.upper, &system.lower].map(|seat| {
        let (low, high) = system.seat_room(seat);
        high - low
    });
    let widest = room[0].min(room[1]).floor().min(WIDE_MM);
    if widest < NARROW_MM + WIDER_BY_MM {
        return None;
    }
    // One place for both: the middle, or as near to it as the wide one gets.
    let wide = seating_of(system, rig, widest)?;
    let middle_mm = [&wide.upper, &wide.lower].map(|track| 0.0_f64.clamp(track.range().0, track.range().1));
    let at = |width_mm| judge((engine, case, system), width_mm, middle_mm);
    let (narrow, wide) = rayon::join(|| at(NARROW_MM), || at(widest));
    let (narrow, wide) = (narrow?, wide?);
    let in_the_middle = narrow.middle_kn / wide.middle_kn;
    let at_their_resting_places = narrow.rest_kn / wide.rest_kn;
    Some(Widths { narrow, wide, middle_mm, in_the_middle, at_their_resting_places })
}

/// Two straps of a width on their bars; `None` where one fits nowhere.
fn seating_of(system: &System, rig: &Rig, width_mm: f64) -> Option<Seating> {
    let loader = strap(rig, width_mm);
    Seating::on(system, &Rig { upper: loader, lower: loader, ..*rig })
}

/// Whether friction `mu` holds straps at every offset that both can have, where they have any room.
fn held_everywhere(seating: &Seating, mu: f64) -> bool {
    let low = seating.upper.range().0.max(seating.lower.range().0);
    let high = seating.upper.range().1.min(seating.lower.range().1);
    let held: f64 = seating.held_together(mu).iter().map(|[from, to]| to - from).sum();
    high - low > WIDER_BY_MM && held > high - low - 1e-9
}

fn judge(
    (engine, case, system): (&Engine, &Case, &System),
    width_mm: f64,
    middle: [f64; 2],
) -> Option<WidthForecast> {
    let rig = &case.rig;
    let loader = strap(rig, width_mm);
    let seating = seating_of(system, rig, width_mm)?;
    let (above, below) = (seating.upper.range(), seating.lower.range());
    let needed = seating.friction_needed(middle[0], middle[1]);
    let rests = seating.rests().0;
    let likely = rests
        .iter()
        .enumerate()
        .filter(|(i, r)| *i == 0 || r.share_of_starting_places >= LIKELY)
        .map(|(_, r)| r);
    let mut places = vec![(middle, None)];
    places.extend(
        likely.take(MOST_RESTS).map(|r| ([r.upper_mm, r.lower_mm], Some(r.share_of_starting_places))),
    );
    let cases: Vec<Case> = places
        .iter()
        .map(|([u, l], _)| {
            let rig = Rig { upper: loader.placed(*u), lower: loader.placed(*l), ..*rig };
            Case { rig, ..case.clone() }
        })
        .collect();
    let pulled = engine.evaluate_without_yield(&cases, &Watch::quiet()).into_iter();
    let found: Vec<Option<(f64, FailureMode)>> =
        pulled.map(|pulled| pulled.ok().map(|p| (p.limits.peak_kn, p.limits.fails_first))).collect();
    let (middle_kn, middle_fails_first) = found.first().cloned().flatten()?;
    let weakest =
        (1..places.len()).filter_map(|i| found[i].map(|f| (i, f))).min_by(|a, b| a.1.0.total_cmp(&b.1.0));
    let (at, (rest_kn, rest_fails_first)) = weakest.unwrap_or((0, (middle_kn, middle_fails_first)));
    let name = |[u, l]: [f64; 2]| RestName::of(u, l, above, below);
    let (rest_mm, rest_share_of_starting_places) = places[at];
    // The rests come with the one that draws from farthest first.
    let likeliest = match (places.get(1), found.get(1)) {
        (Some((mm, Some(part))), Some(Some((kn, _)))) if at > 1 => {
            Some(LikeliestRest { rest: name(*mm), share_of_starting_places: *part, rest_kn: *kn })
        }
        _ => None,
    };
    Some(WidthForecast {
        width_mm,
        middle_kn,
        middle_fails_first,
        middle_held: needed[0].max(needed[1]) <= rig.friction_holds(),
        held_everywhere: held_everywhere(&seating, rig.friction_holds()),
        rest: name(rest_mm),
        rest_share_of_starting_places,
        rest_mm,
        rest_kn,
        rest_fails_first,
        likeliest,
    })
}

impl WidthForecast {
    /// The likeliest rest, where it is clearly stronger and clearly likelier than the weakest.
    #[must_use]
    pub fn stronger_and_likelier(&self) -> Option<&LikeliestRest> {
        let part = self.rest_share_of_starting_places.unwrap_or(1.0);
        self.likeliest.as_ref().filter(|other| {
            other.rest_kn > (1.0 + NO_CHANGE) * self.rest_kn
                && other.share_of_starting_places > LIKELIER * part
        })
    }
}

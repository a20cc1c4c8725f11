//! Where a connector holds a load, and where it does not: gate closed, half shut and open, straps and bars of usual sizes at
//! both ends, in every place that [`seats`](crate::seats) lists, at quarters of the room that friction keeps and at the ends of it.
//!
//! Each setting is solved as a forecast solves it, with everything at its middle. Where friction does not keep the loads in a
//! place, what the place holds is told and counts neither as held nor as not held: nobody pulls there.

mod found;
mod loads;

pub use found::{Load, LoadIs, NoReach, Reach, ReachOfGate, Tried, Verdict};
pub use loads::{BAR_DIAMETERS_MM, Pair, STRAP_WIDTHS_MM};

use crate::model::{Model, To};
use crate::seats::{Holds, Wanted, wanted};
use crate::{Case, CaseError, Engine, Watch};
use rayon::prelude::*;
use solver::rig::{GateState, Rig};
use solver::seats::Seating;
use solver::system::{System, SystemSettings};
use thiserror::Error;

/// Places from end to end of the room of both loads, the ends among them.
const PLACES: u32 = 5;

/// Places that the search for the ends of what friction keeps looks at, and halvings between two of them.
const SEARCHED: u32 = 24;
const HALVINGS: u32 = 16;

/// What is beyond the end of the room by less than this still fits, mm.
const ROOM_MM: f64 = 1e-9;

/// Why there is nothing to reach.
#[derive(Clone, Debug, Error)]
pub enum ReachError {
    /// No load was asked for, and none is marked for a closed gate.
    #[error("{self:?}")]
    NoLoad,
    /// The connector cannot be drawn or meshed with its gate in any state.
    #[error("{self:?}")]
    NoGate(NoReach),
}

/// Tries every setting of a model on this mesh against a load in kN, or without one against its marking.
///
/// ```
/// use study::model::Source;
/// use study::reach::{Verdict, reach};
/// use study::{Engine, Watch};
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../models/oval.toml"));
/// let model = Source::of("oval.toml", text).model(&[]).unwrap();
/// let mesh = solver::system::SystemSettings { unknowns: 4000.0, ..Default::default() };
/// let found = reach(&Engine::default(), &model, mesh, Some(0.5), &Watch::quiet()).unwrap();
/// // Half a kilonewton is held wherever friction keeps the loads.
/// let tried = found.gates.iter().flat_map(|gate| gate.tried.iter().flatten().map(|t| gate.verdict(t)));
/// assert!(tried.into_iter().all(|verdict| matches!(verdict, Verdict::Holds | Verdict::NotKept)));
/// ```
///
/// # Errors
/// [`ReachError`]: neither asked for nor marked is a load, or there is no connector.
pub fn reach(
    engine: &Engine,
    model: &Model,
    mesh: SystemSettings,
    asked_kn: Option<f64>,
    watch: &Watch<'_>,
) -> Result<Reach, ReachError> {
    let closed = Load::closed(model, asked_kn).ok_or(ReachError::NoLoad)?;
    let open = Load::open(model, asked_kn).unwrap_or(closed);
    let states = [("closed", closed), ("half", closed), ("open", open)];
    let begin = |word: &str| Gate::of(engine, model, mesh, word);
    // A gate that is open stands on the mesh of the closed one.
    let (closed, half) = rayon::join(|| begin("closed"), || begin("half"));
    let begun = [closed, half, begin("open")];
    if let [Err(reason), Err(_), Err(_)] = &begun {
        return Err(ReachError::NoGate(reason.clone()));
    }
    // All settings of all gates at once: gates that share a system share its threads too.
    let mut cases = Vec::new();
    for gate in begun.iter().filter_map(|gate| gate.as_ref().ok()) {
        cases.extend(gate.places.iter().map(|place| Case { rig: place.rig, ..gate.case.clone() }));
    }
    let held = engine.evaluate_without_yield(&cases, watch);
    let mut held = held.into_iter().map(|pulled| pulled.map(|pulled| Holds::of(&pulled.limits)));
    let gates = begun
        .into_iter()
        .zip(states)
        .map(|(gate, (word, load))| {
            let (state, pairs, tried) = match gate {
                Ok(gate) => {
                    let tried =
                        gate.places.into_iter().zip(&mut held).map(|(place, holds)| place.judged(holds));
                    (Some(gate.case.rig.gate), gate.pairs, Ok(tried.collect()))
                }
                Err(reason) => (None, Vec::new(), Err(reason)),
            };
            ReachOfGate { word, state, load, pairs, tried }
        })
        .collect();
    Ok(Reach { friction: model.rig.friction, gates })
}

/// A setting before it is solved.
struct Place {
    name: Option<crate::seats::PlaceName>,
    rig: Rig,
    room_mm: [[f64; 2]; 2],
    friction_needed: [f64; 2],
}

impl Place {
    fn judged(self, holds: Result<Holds, CaseError>) -> Tried {
        let Self { name, rig, room_mm, friction_needed } = self;
        let kept = friction_needed[0].max(friction_needed[1]) <= rig.friction_holds();
        Tried { name, rig, room_mm, friction_needed, kept, holds }
    }
}

/// All settings with the gate in one state.
struct Gate {
    case: Case,
    places: Vec<Place>,
    pairs: Vec<(Pair, bool)>,
}

impl Gate {
    fn of(engine: &Engine, model: &Model, mesh: SystemSettings, word: &str) -> Result<Self, NoReach> {
        let model = match (word, model.rig.gate) {
            ("closed", GateState::Closed) | ("half", GateState::Half { .. }) | ("open", GateState::Open) => {
                model.clone()
            }
            _ => {
                let gate = ("rig.gate".to_owned(), To::Typed(word.to_owned()));
                model.told.with([gate]).model().map_err(NoReach::Model)?
            }
        };
        let case = model.case(mesh);
        let system = engine.system(&case).map_err(NoReach::System)?;
        let of_pairs: Vec<(Pair, Option<Vec<Place>>)> = loads::pairs(&model.rig)
            .into_par_iter()
            .map(|pair| (pair, places_of(&system, &Rig { upper: pair[0], lower: pair[1], ..model.rig })))
            .collect();
        let pairs = of_pairs.iter().map(|(pair, places)| (*pair, places.is_some())).collect();
        let places = of_pairs.into_iter().filter_map(|(_, places)| places).flatten().collect();
        Ok(Self { case, places, pairs })
    }
}

/// Every place of a pair: those worth knowing, then offsets from the spine to the gate; `None` where it fits nowhere.
fn places_of(system: &System, rig: &Rig) -> Option<Vec<Place>> {
    let seating = Seating::on(system, rig)?;
    let (upper, lower) = (seating.upper.range(), seating.lower.range());
    let fits = |mm: f64, (low, high): (f64, f64)| mm > low - ROOM_MM && mm < high + ROOM_MM;
    let mut known = wanted(&seating, &seating.rests().0, rig);
    // The place of the model may be none of a wider strap.
    known.retain(|place| fits(place.upper_mm, upper) && fits(place.lower_mm, lower));
    let at = |part: f64| [upper, lower].map(|(low, high)| low + part * (high - low));
    let kept = |part: f64| {
        let [u, l] = at(part);
        let [above, below] = seating.friction_needed(u, l);
        above.max(below) <= rig.friction_holds()
    };
    let others: Vec<[f64; 2]> = kept_through(&kept)
        .into_iter()
        .map(at)
        .filter(|[u, l]| !known.iter().any(|place| place.is_at(*u, *l)))
        .collect();
    let named =
        known.into_iter().map(|Wanted { name, upper_mm, lower_mm, .. }| (Some(name), upper_mm, lower_mm));
    let places = named.chain(others.into_iter().map(|[u, l]| (None, u, l)));
    Some(
        places
            .map(|(name, upper_mm, lower_mm)| Place {
                name,
                rig: rig.placed(upper_mm, lower_mm),
                room_mm: [upper, lower].map(|(low, high)| [low, high]),
                friction_needed: seating.friction_needed(upper_mm, lower_mm),
            })
            .collect(),
    )
}

/// Parts of the way from the spine to the gate at which friction keeps the loads: those of evenly spaced places, and the last on each
/// side of what it does not keep. Beyond the ends of what is kept nobody pulls; at them a connector is often weakest.
fn kept_through(kept: &dyn Fn(f64) -> bool) -> Vec<f64> {
    let part = |i: u32| f64::from(i) / f64::from(SEARCHED);
    let keeps: Vec<bool> = (0..=SEARCHED).map(|i| kept(part(i))).collect();
    let mut all: Vec<f64> = (1..PLACES - 1)
        .map(|i| i * SEARCHED / (PLACES - 1))
        .filter(|i| keeps[*i as usize])
        .map(part)
        .collect();
    for i in (1..=SEARCHED).filter(|i| keeps[*i as usize] != keeps[*i as usize - 1]) {
        let (mut a, mut b) = if keeps[i as usize] { (part(i), part(i - 1)) } else { (part(i - 1), part(i)) };
        for _ in 0..HALVINGS {
            let middle = 0.5 * (a + b);
            if kept(middle) { a = middle } else { b = middle }
        }
        all.push(a);
    }
    all.sort_by(f64::total_cmp);
    all.dedup();
    all
}

#[cfg(test)]
mod tests;

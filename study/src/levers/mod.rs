//! What buys most: every dimension, material value and rig key of a model moved by the one step that a maker or a rigger would
//! take, both ways, each solved in full, with what it does to the forecast, to the first yield and to the gate's share.

mod found;
mod lever_key;
mod turn;

pub use found::{Effect, Lever, Levers, Moved, NotMoved, Step};
pub use lever_key::{LeverKey, lever_keys};
pub use turn::Turn;

use crate::model::Model;
use crate::model::keys::{self, Key};
use crate::pulled::Pulled;
use crate::{CaseError, Engine, Watch};
use rayon::prelude::*;
use solver::findings::gate_kn;
use solver::strength::Limits;
use solver::system::SystemSettings;

/// What a model was solved to: the numbers that are watched, and every limit.
struct Solved {
    effect: Effect,
    limits: Limits,
}

impl Solved {
    fn of(engine: &Engine, model: &Model, mesh: SystemSettings) -> Result<Self, CaseError> {
        let case = model.case(mesh);
        let system = engine.system(&case)?;
        let Pulled { response, limits } = Pulled::of(&system, &case)?;
        let effect = Effect {
            peak_kn: limits.peak_kn,
            fails_first: limits.fails_first,
            fails_at_kn: limits.fails_at_kn,
            first_yield_kn: limits.first_yield_kn,
            gate_fraction: gate_kn(&system, &response) / case.rig.load_kn,
            slides: limits.course.slides.into_iter().flatten().reduce(f64::max),
        };
        Ok(Self { effect, limits })
    }
}

/// A model with a lever moved.
fn moved(model: &Model, lever: LeverKey, value: f64) -> Result<Model, NotMoved> {
    model.told.with(lever.sets(model, value)).model().map_err(NotMoved::Model)
}

/// The other keys whose values follow a moved one.
fn followers(model: &Model, moved: &Model, lever: LeverKey) -> Vec<&'static Key> {
    let own = keys::stands_for(&lever.path());
    keys::all()
        .iter()
        .filter(|key| !own.contains(&key.path) && keys::changes_nothing(&key.path).is_none())
        .filter(|key| {
            key.in_place_of().is_none()
                && key.table_and_name().1 != "name"
                && key.kind != keys::Kind::Material
        })
        .filter(|key| key.value(model) != key.value(moved))
        .collect()
}

/// Moves every lever of a model on this mesh. `told` hears of each lever as it is solved, in no
/// particular order, with the model as it is.
///
/// ```
/// use study::levers::levers;
/// use study::model::Source;
/// use study::{Engine, Watch};
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../models/oval.toml"));
/// let model = Source::of("oval.toml", text).model(&[]).unwrap();
/// let mesh = solver::system::SystemSettings { unknowns: 3000.0, ..Default::default() };
/// let found = levers(&Engine::default(), &model, mesh, &Watch::quiet(), &|_, _| ()).unwrap();
/// // Strongest first.
/// let strengths: Vec<f64> = found.levers.iter().map(|lever| found.strength_kn(lever)).collect();
/// assert!(strengths.windows(2).all(|w| w[0] >= w[1]) && strengths[0] > 0.1);
/// ```
///
/// # Errors
/// [`CaseError`]: the model as it is cannot be solved, or the caller called it off.
pub fn levers(
    engine: &Engine,
    model: &Model,
    mesh: SystemSettings,
    watch: &Watch<'_>,
    told: &(dyn Fn(&Effect, &Lever) + Sync),
) -> Result<Levers, CaseError> {
    let base = Solved::of(engine, model, mesh)?;
    let keys = lever_keys(model);
    let one = |lever: &LeverKey| -> Option<Lever> {
        let value = lever.value(model)?;
        let way = |to: Option<f64>| -> Option<Moved> {
            let to = to.filter(|_| !(watch.stop)())?;
            let sets = lever.sets(model, to);
            let solved = moved(model, *lever, to)
                .and_then(|model| Solved::of(engine, &model, mesh).map_err(NotMoved::Case));
            let turn = match &solved {
                Ok(end) if end.effect.fails_first != base.effect.fails_first => {
                    turn::first_turn([(value, &base.limits), (to, &end.limits)], &|at| {
                        let model = moved(model, *lever, at).ok()?;
                        Some(Solved::of(engine, &model, mesh).ok()?.limits)
                    })
                }
                _ => None,
            };
            Some(Moved { value: to, sets, effect: solved.map(|solved| solved.effect), turn })
        };
        let [less, more] = lever.steps(value);
        let (less, more) = rayon::join(|| way(less), || way(more));
        let follows =
            [&more, &less].into_iter().flatten().find_map(|way| moved(model, *lever, way.value).ok());
        let followers = follows.map_or_else(Vec::new, |moved| followers(model, &moved, *lever));
        let lever = Lever { lever: *lever, value, followers, ways: [less, more] };
        told(&base.effect, &lever);
        (watch.done)();
        Some(lever)
    };
    let levers: Vec<Option<Lever>> = keys.par_iter().with_max_len(1).map(one).collect();
    if (watch.stop)() {
        return Err(CaseError::Stopped);
    }
    Ok(Levers::new(base.effect, levers.into_iter().flatten().collect()))
}

#[cfg(test)]
mod tests;

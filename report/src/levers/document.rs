//! What one step of each key does, as JSON has it.

use super::names::not_moved;
use super::{name, sentence, turn};
use crate::caution::CAUTION;
use crate::failure_modes;
use crate::{notes, rigs};
use schemars::JsonSchema;
use serde::Serialize;
use study::levers::{Effect, Lever, Levers, Moved};
use study::model::{Model, as_typed};

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-levers-1";

/// What one step of each key does, in words and numbers.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Document {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// Title of the connector, from its model file.
    connector: String,
    /// Load, state of the gate and what pulls, in words.
    rig: String,
    /// What is to be known of the values that were used, in words: ranges, unknown metals, what was assumed.
    assumed: Vec<String>,
    /// The step that buys most and the one that costs most, in a sentence.
    sentence: String,
    /// The model as it is.
    as_entered: EffectInWords,
    /// Every key that was moved, strongest first: by the larger change of the forecast of its two ways.
    levers: Vec<LeverInWords>,
    /// What the numbers are not.
    caution: &'static str,
}

/// The numbers that are watched.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct EffectInWords {
    /// Highest load of the pull, kN: the forecast with everything at its middle.
    #[schemars(range(min = 0))]
    peak_kn: f64,
    /// The part that fails first.
    fails_first: &'static str,
    /// Where it does, kN.
    #[schemars(range(min = 0))]
    fails_at_kn: f64,
    /// Where the frame first yields, kN, as if what fails first still held even beyond fails_at_kn; null when that was not found.
    #[schemars(range(min = 0))]
    first_yield_kn: Option<f64>,
    /// Gate over load, at the load of the rig.
    gate_fraction: f64,
    /// Coefficient of friction that a strap needs to stay there; null where what the rig relies on is enough.
    #[schemars(range(min = 0))]
    slides: Option<f64>,
}

/// A key that was moved by one step, both ways.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct LeverInWords {
    /// What it is, in words.
    what: String,
    /// Its key; `rig.both.` for both ends.
    key: String,
    /// Unit of its values; empty for a plain number.
    unit: &'static str,
    /// Its value in the model; of corners the first, and all are moved by the same.
    value: f64,
    /// Keys whose values follow it.
    followers: Vec<String>,
    /// The larger change of the forecast, kN.
    #[schemars(range(min = 0))]
    strength_kn: f64,
    /// One step down; null where there is no such size.
    less: Option<MovedInWords>,
    /// One step up; null where there is no such size.
    more: Option<MovedInWords>,
}

/// A key moved one way.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct MovedInWords {
    /// The value that it was moved to.
    value: f64,
    /// What makes this connector of the model, each to be put behind `--set`: `forecast` with all of them tells of the same one.
    sets: Vec<String>,
    /// What it comes to; null when it cannot be so.
    effect: Option<EffectInWords>,
    /// Change of the forecast, kN; null when it cannot be so.
    forecast_change_kn: Option<f64>,
    /// Where on the way another part fails first; null when none does at the end of it.
    turn: Option<TurnInWords>,
    /// Why it cannot be so; null when it can.
    not_possible: Option<String>,
}

/// Where another part fails first.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct TurnInWords {
    /// The last value that was solved at which the part of the model still fails first.
    until: f64,
    /// The first value that was solved at which another part does.
    from: f64,
    /// That part.
    fails_first: &'static str,
    /// The same in words.
    sentence: String,
}

impl From<Effect> for EffectInWords {
    fn from(effect: Effect) -> Self {
        Self {
            peak_kn: effect.peak_kn,
            fails_first: failure_modes::name(effect.fails_first),
            fails_at_kn: effect.fails_at_kn,
            first_yield_kn: effect.first_yield_kn,
            gate_fraction: effect.gate_fraction,
            slides: effect.slides,
        }
    }
}

impl Document {
    /// Tells what the levers of a model do.
    #[must_use]
    pub fn new(found: &Levers, model: &Model) -> Self {
        Self {
            format: FORMAT,
            connector: model.title.clone(),
            rig: rigs::rig(&model.rig),
            assumed: notes::notes(model),
            sentence: sentence(found),
            as_entered: found.base.into(),
            levers: found.levers.iter().map(|lever| LeverInWords::new(found, lever)).collect(),
            caution: CAUTION,
        }
    }
}

impl LeverInWords {
    fn new(found: &Levers, lever: &Lever) -> Self {
        let way = |way: &Option<Moved>| way.as_ref().map(|way| MovedInWords::new(found, lever, way));
        Self {
            what: name(lever.lever),
            key: lever.lever.path(),
            unit: lever.lever.key().unit(),
            value: lever.value,
            followers: lever.followers.iter().map(|key| key.path.clone()).collect(),
            strength_kn: found.strength_kn(lever),
            less: way(&lever.ways[0]),
            more: way(&lever.ways[1]),
        }
    }
}

impl MovedInWords {
    fn new(found: &Levers, lever: &Lever, way: &Moved) -> Self {
        let effect = way.effect.as_ref().ok();
        Self {
            value: way.value,
            sets: way.sets.iter().map(as_typed).collect(),
            effect: effect.map(|effect| (*effect).into()),
            forecast_change_kn: effect.map(|effect| effect.peak_kn - found.base.peak_kn),
            turn: way.turn.zip(turn(lever, way)).map(|(turn, sentence)| TurnInWords {
                until: turn.until,
                from: turn.from,
                fails_first: failure_modes::name(turn.to),
                sentence,
            }),
            not_possible: way.effect.as_ref().err().map(not_moved),
        }
    }
}

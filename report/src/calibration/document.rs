//! A calibration as JSON.

use super::Told;
use super::left::lines;
use super::sentences::{against, sentences};
use crate::caution::CAUTION;
use schemars::JsonSchema;
use serde::Serialize;
use solver::strength::{Constant, Constants};

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-calibration-1";

/// What pulls have told of the constants of forecasts.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Document {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// The name that it is kept under.
    name: String,
    /// All of it in sentences.
    sentences: Vec<String>,
    /// How many set-ups of model and rig there were.
    #[schemars(range(min = 1))]
    setups: usize,
    /// The constants before and after.
    constants: Vec<Learned>,
    /// Pairs of constants that these pulls do not tell apart, the closest first.
    tied: Vec<Tied>,
    /// The pulls, each as the others forecast it.
    pulls: Vec<Pull>,
    /// Why it is not kept, in sentences; empty where it may be.
    against: Vec<String>,
    /// Pulls that were left out, and why.
    left_out: Vec<String>,
    /// The means of the constants: of factors the geometric ones. A forecast takes them where nothing is drawn, but for `press`, which is 0 there.
    mean: Values,
    /// What the numbers are not.
    caution: &'static str,
}

/// A value of every constant.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Values {
    /// What the lip holds over what is computed.
    #[schemars(range(min = 0))]
    lip: f64,
    /// What pins hold over what is computed.
    #[schemars(range(min = 0))]
    pins: f64,
    /// Friction over what was entered.
    #[schemars(range(min = 0))]
    friction: f64,
    /// Strengths of frame and gate over those that were entered.
    #[schemars(range(min = 0))]
    strength: f64,
    /// The stress at which sections yield through: from yield at 0 to ultimate at 1.
    #[schemars(range(min = 0, max = 1))]
    flow: f64,
    /// How wide pins press: -1 on a narrow patch, 0 where they bed in, 1 where they have bedded in deeply.
    #[schemars(range(min = -1, max = 1))]
    press: f64,
}

impl From<Constants> for Values {
    fn from(Constants { lip, pins, friction, strength, flow, press }: Constants) -> Self {
        Self { lip, pins, friction, strength, flow, press }
    }
}

/// A constant before and after.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
struct Learned {
    /// Which.
    #[schemars(with = "String", extend("enum" = ["lip", "pins", "friction", "strength", "flow", "press"]))]
    constant: Constant,
    /// The value that 5 of 100 draws stay below, the mean (of a factor the geometric one), and that of 95, before.
    before: [f64; 3],
    /// The same after.
    after: [f64; 3],
    /// The part of the variance that the pulls took; of factors that of their logarithms.
    #[schemars(range(min = 0, max = 1))]
    told: f64,
}

/// Two constants that are not told apart.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
struct Tied {
    /// Which two.
    #[schemars(with = "[String; 2]")]
    pair: [Constant; 2],
    /// Their correlation.
    #[schemars(range(min = -1, max = 1))]
    correlation: f64,
}

/// A pull as the others forecast it.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
struct Pull {
    /// Its number in the logbook.
    number: i64,
    /// Whether it broke or opened: if not, it holds at least its peak.
    is_limit: bool,
    /// The chance of a lower peak by the forecast without calibration.
    #[schemars(range(min = 0, max = 1))]
    chance_below_before: f64,
    /// The same by that of the other pulls; null where too much hangs on this one.
    #[schemars(range(min = 0, max = 1))]
    chance_below_after: Option<f64>,
    /// The natural logarithm of how many times likelier the other pulls make it; null likewise.
    gain: Option<f64>,
    /// The chance that no constants go with it.
    #[schemars(range(min = 0, max = 1))]
    chance_of_slip: f64,
    /// The chance that a pull of that peak is found broken where this one was; null where no place was told.
    #[schemars(range(min = 0, max = 1))]
    chance_of_place: Option<f64>,
}

impl Document {
    /// Tells a calibration.
    #[must_use]
    pub fn new(told: &Told<'_>) -> Self {
        let found = told.found;
        let constants = found.learned.iter().map(|one| Learned {
            constant: one.constant,
            before: one.before,
            after: one.after,
            told: one.told,
        });
        let pulls = found.held_out.pulls.iter().map(|pull| Pull {
            number: pull.number,
            is_limit: pull.is_limit,
            chance_below_before: pull.before,
            chance_below_after: pull.after,
            gain: pull.gain,
            chance_of_slip: pull.slip,
            chance_of_place: pull.found_there,
        });
        Self {
            format: FORMAT,
            name: told.name.to_owned(),
            sentences: sentences(told),
            setups: told.setups,
            constants: constants.collect(),
            tied: found
                .tied
                .iter()
                .map(|one| Tied { pair: one.pair, correlation: one.correlation })
                .collect(),
            pulls: pulls.collect(),
            against: against(&found.doubts),
            left_out: lines(told.left),
            mean: found.calibration.mean().into(),
            caution: CAUTION,
        }
    }
}

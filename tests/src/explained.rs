//! Pulls made from hidden variants, and what `explain` says of them: by the code of its command, on what a model comes to whatever
//! was seen, which the tests of a binary share. That the real binary says the same is a test of its own in `answers/explain.rs`.

use crate::model;
use report::explain::Explanation;
use serde_json::Value;
use solver::causes::Observed;
use solver::strength::limits;
use solver::system::SystemSettings;
use std::sync::{LazyLock, Mutex, OnceLock};
use study::explain::{Solved, rank};
use study::model::Model;
use study::{Engine, Watch};

/// What a model comes to, for all who ask for it.
type Shared = &'static OnceLock<Solved<'static>>;

/// Solves for all tests of a binary, and keeps the systems used last.
static ENGINE: LazyLock<Engine> = LazyLock::new(Engine::default);
/// What was asked for so far, each under the hash of what its model's answers depend on.
static SOLVED: Mutex<Vec<(String, Shared)>> = Mutex::new(Vec::new());

/// Straps that the broad bar's frame holds until its gate line goes.
pub const WIDE: (&str, &str) = ("rig.both.width_mm", "40");
/// The same as typed.
pub const WIDE_SET: &str = "rig.both.width_mm=40";

/// Pins of the told metal, 4340 steel of 180 ksi, at 65 % of its strength: no metal that is listed.
pub const SOFT: &str = "{ name = 'soft', youngs_modulus_mpa = 199948, poisson_ratio = 0.32, yield_mpa = 730, ultimate_mpa = 807, \
                    shear_ultimate_mpa = 484, density_g_cm3 = 7.83 }";

/// The same steel at 88 % of its strength: a weak lot of it.
pub const WEAK_LOT: &str = "{ name = 'weak', youngs_modulus_mpa = 199948, poisson_ratio = 0.32, yield_mpa = 988, ultimate_mpa = 1092, \
                        shear_ultimate_mpa = 655, density_g_cm3 = 7.83 }";

/// The engine that the tests of a binary share.
#[must_use]
pub fn engine() -> &'static Engine {
    &ENGINE
}

/// What a model comes to whatever was seen, solved once for all tests of a binary.
///
/// Not to be asked for on a thread of a rayon pool: who waits there for another's solving may be the thread that it needs.
#[must_use]
pub fn solved(model: &Model) -> &'static Solved<'static> {
    let hash = model.inputs_hash(&SystemSettings::default());
    let shared = {
        let mut all = SOLVED.lock().unwrap();
        let known = all.iter().find(|one| one.0 == hash).map(|one| one.1);
        known.unwrap_or_else(|| {
            let shared: Shared = Box::leak(Box::default());
            all.push((hash, shared));
            shared
        })
    };
    shared.get_or_init(|| Solved::try_new(model, &ENGINE, &|_| (), Watch::quiet()).unwrap())
}

/// The load that a variant breaks at, on the default mesh.
#[must_use]
pub fn pulled(name: &str, sets: &[(&str, &str)]) -> f64 {
    let model = model(name, sets);
    let system = ENGINE.system(&model.case(SystemSettings::default())).unwrap();
    limits(&system, &model.strengths(), &model.rig).unwrap().peak_kn
}

/// What `explain --json` prints of a pull; without a `part` it is not told where it broke.
#[must_use]
pub fn printed(name: &str, kn: f64, part: Option<&str>, sets: &[&str]) -> String {
    let sets: Vec<(&str, &str)> = sets.iter().map(|set| set.split_once('=').unwrap()).collect();
    let model = model(name, &sets);
    let place = part.map(|part| report::places::typed(part).unwrap());
    let found = rank(solved(&model), Observed::new(kn, place), &|_| ()).unwrap();
    serde_json::to_string_pretty(&Explanation::new(&found, &model)).unwrap() + "\n"
}

/// What `explain --json` says of a pull.
#[must_use]
pub fn explain(name: &str, kn: f64, part: &str, sets: &[&str]) -> Value {
    serde_json::from_str(&printed(name, kn, Some(part), sets)).unwrap()
}

/// The same where nothing is known but the load.
#[must_use]
pub fn explain_load(name: &str, kn: f64, sets: &[&str]) -> Value {
    serde_json::from_str(&printed(name, kn, None, sets)).unwrap()
}

/// Asserts that a family is among the first three, and returns its line.
#[expect(clippy::must_use_candidate, reason = "it asserts, and some need no more than that")]
pub fn among_the_first_three(found: &Value, family: &str) -> Value {
    let causes = found["causes"].as_array().unwrap();
    let line = causes.iter().take(3).find(|c| c["family"] == family);
    line.cloned().unwrap_or_else(|| {
        let told: Vec<String> =
            causes.iter().map(|c| format!("{} {}", c["family"], c["likelihood"])).collect();
        panic!("{family} is not among the first three: {told:?}")
    })
}

/// The families of all lines.
#[must_use]
pub fn families(found: &Value) -> Vec<String> {
    let causes = found["causes"].as_array().unwrap();
    causes.iter().map(|c| c["family"].as_str().unwrap().to_owned()).collect()
}

/// The most likely value of a line.
#[must_use]
pub fn value(line: &Value) -> f64 {
    line["values"][0].as_f64().unwrap()
}

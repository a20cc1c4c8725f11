//! Pulls made from hidden variants, and what `explain` says of them.

use crate::binary::{Ran, run};
use crate::model;
use serde_json::Value;
use solver::strength::limits;
use solver::system::{System, SystemSettings};
use std::path::Path;

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

/// The load that a variant breaks at, on the default mesh.
#[must_use]
pub fn pulled(name: &str, sets: &[(&str, &str)]) -> f64 {
    let model = model(name, sets);
    let place = model.rig.gate.place();
    let settings = SystemSettings::default();
    let system = System::try_new(&model.connector, place, &model.materials, &settings).unwrap();
    limits(&system, &model.strengths(), &model.rig).unwrap().peak_kn
}

/// What `explain --json` says of a pull.
#[must_use]
pub fn explain(folder: &Path, name: &str, kn: f64, part: &str, sets: &[&str]) -> Value {
    let kn = kn.to_string();
    let mut words = vec!["explain", name, "--json", "--broke-at", &kn, "--where", part];
    for set in sets {
        words.extend(["--set", set]);
    }
    let ran: Ran = run(folder, &words);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{words:?}");
    serde_json::from_str(&ran.out).unwrap()
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

//! What the tests of the whole program share: models by name, rigs, and the real binary.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::missing_panics_doc,
    reason = "a test fails by panicking"
)]

pub mod binary;
pub mod compare;
pub mod drawn;
pub mod draws;
pub mod explained;
pub mod judged;
pub mod pictures;
pub mod refusals;
pub mod schemas;
pub mod server;
pub mod trace_cases;
pub mod traces;
pub mod trial;

use explorer::source::load_argument;
use geometry::connector::GatePlace;
use solver::rig::Loader;
use solver::system::{System, SystemSettings};
use std::fs;
use std::path::{Path, PathBuf};
use study::model::Model;

/// The top folder of the project.
#[must_use]
pub fn project() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("tests/ lies in the project").to_owned()
}

/// A built-in model, with values set.
#[must_use]
pub fn model(name: &str, sets: &[(&str, &str)]) -> Model {
    let sets: Vec<(String, String)> = sets.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
    load_argument(name, &sets).unwrap_or_else(|e| panic!("{e}"))
}

/// The system of a built-in model on its default mesh.
#[must_use]
pub fn system(name: &str, sets: &[(&str, &str)]) -> System {
    let model = model(name, sets);
    System::try_new(&model.connector, GatePlace::Shut, &model.materials, &SystemSettings::default())
        .unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// Copies the records of the bench to where commands of a page read them, in a folder of their own.
pub fn with_bench(folder: &Path) {
    let (from, to) = (project().join("bench/traces"), folder.join("bench/traces"));
    fs::create_dir_all(&to).unwrap();
    for file in fs::read_dir(from).unwrap().map(Result::unwrap) {
        fs::copy(file.path(), to.join(file.file_name())).unwrap();
    }
}

/// A strap of the default stiffness.
#[must_use]
pub fn strap(width_mm: f64, offset_mm: f64) -> Loader {
    Loader::Strap { width_mm, offset_mm, stiffness_n_per_mm2: 100.0, strength_kn: None }
}

/// Asserts that two numbers are as close as `tolerance`.
pub fn close(what: &str, got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "{what}: got {got}, expected {expected} within {tolerance}");
}

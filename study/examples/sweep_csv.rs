//! The forecast over the depth of the notch as CSV: `cargo run --release -p pullmap-study --example sweep_csv > depths.csv`.
#![allow(clippy::print_stdout, reason = "an example prints its answer")]

use geometry::connector::Connector;
use solver::material::{Materials, library};
use solver::rig::{GateState, Loader, Rig};
use solver::system::SystemSettings;
use study::{Case, Engine, Watch};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let metal = |key: &str| library::find(key).map(|found| found.material()).ok_or("no such metal");
    let materials = Materials { frame: metal("7075-t6")?, gate: metal("7075-t6")?, pins: metal("4340-180")? };
    let strap =
        Loader::Strap { width_mm: 12.0, offset_mm: 0.0, stiffness_n_per_mm2: 100.0, strength_kn: None };
    let rig = Rig { load_kn: 10.0, gate: GateState::Closed, friction: 0.2, upper: strap, lower: strap };
    let mesh = SystemSettings { unknowns: 8000.0, ..SystemSettings::default() };
    let depths: Vec<f64> = (0..14).map(|i| 2.5 + 0.5 * f64::from(i)).collect();
    let cases: Vec<Case> = depths
        .iter()
        .map(|depth_mm| {
            let mut connector = Connector::example();
            connector.nose.notch_depth_mm = *depth_mm;
            Case { connector, materials: materials.clone(), rig, mesh }
        })
        .collect();
    println!("notch_depth_mm,peak_kn,fails_first");
    for (depth_mm, outcome) in depths.iter().zip(Engine::default().evaluate(&cases, &Watch::quiet())) {
        match outcome {
            Ok(outcome) => {
                println!("{depth_mm},{:.2},\"{}\"", outcome.limits.peak_kn, outcome.limits.fails_first)
            }
            Err(reason) => println!("{depth_mm},,\"{reason}\""),
        }
    }
    Ok(())
}

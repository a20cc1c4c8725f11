//! What a connector holds with its gate closed and open: `cargo run --release -p pullmap-study --example forecast`.
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
    let closed = Case { connector: Connector::example(), materials, rig, mesh: SystemSettings::default() };
    let open = Case { rig: Rig { gate: GateState::Open, ..rig }, ..closed.clone() };
    for outcome in Engine::default().evaluate(&[closed, open], &Watch::quiet()) {
        let limits = outcome?.limits;
        println!("peak {:.1} kN, first to fail: {}", limits.peak_kn, limits.fails_first);
    }
    Ok(())
}

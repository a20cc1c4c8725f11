//! What a connector holds with its gate closed and open: `cargo run --release -p pullmap-study --example forecast`.
#![allow(clippy::print_stdout, reason = "an example prints its answer")]

mod broad_bar;

use solver::rig::{GateState, Rig};
use study::{Case, Engine, Watch};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let closed = broad_bar::case()?;
    let open = Case { rig: Rig { gate: GateState::Open, ..closed.rig }, ..closed.clone() };
    for outcome in Engine::default().evaluate(&[closed, open], &Watch::quiet()) {
        let limits = outcome?.limits;
        println!("peak {:.1} kN, first to fail: {:?}", limits.peak_kn, limits.fails_first);
    }
    Ok(())
}

//! One module per command: what was typed in, an outcome or a failure out.

pub mod compare;
pub mod completions;
pub mod explain;
pub mod explore;
mod files;
pub mod forecast;
mod forecast_pulled;
pub mod levers;
pub mod log;
pub mod lot;
pub mod manual;
pub mod map;
pub mod materials;
pub mod new;
pub mod pull;
mod pull_stopped;
mod question;
pub mod reach;
pub mod seats;
pub mod sketch;
pub mod still;
pub mod sweep;
mod sweep_stopped;
pub mod trace;
pub mod verify;
pub mod welcome;

use crate::args::{Arguments, Command};
use crate::failure::{Failure, Outcome};
use crate::machine;

/// Does what was typed.
///
/// # Errors
/// As the command.
pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    // What solves nothing needs no threads and hardly any memory; of a logbook only a plan does.
    let solves = !matches!(
        arguments.command,
        None | Some(
            Command::New(_)
                | Command::Sketch(_)
                | Command::Materials(_)
                | Command::Trace(_)
                | Command::Log(_)
                | Command::Lot(_)
                | Command::Completions(_)
                | Command::Manual(_)
        )
    );
    if solves {
        machine::prepare()?;
    }
    match &arguments.command {
        None => welcome::run(),
        Some(Command::New(arguments)) => new::run(arguments),
        Some(Command::Sketch(arguments)) => sketch::run(arguments),
        Some(Command::Materials(arguments)) => materials::run(arguments),
        Some(Command::Map(arguments)) => map::run(arguments),
        Some(Command::Pull(arguments)) => pull::run(arguments),
        Some(Command::Explain(arguments)) => explain::run(arguments),
        Some(Command::Seats(arguments)) => seats::run(arguments),
        Some(Command::Reach(arguments)) => reach::run(arguments),
        Some(Command::Levers(arguments)) => levers::run(arguments),
        Some(Command::Lot(arguments)) => lot::run(arguments),
        Some(Command::Compare(arguments)) => compare::run(arguments),
        Some(Command::Still(arguments)) => still::run(arguments),
        Some(Command::Forecast(arguments)) => forecast::run(arguments),
        Some(Command::Explore(arguments)) => explore::run(arguments),
        Some(Command::Sweep(arguments)) => sweep::run(arguments),
        Some(Command::Trace(arguments)) => trace::run(arguments),
        Some(Command::Log(arguments)) => log::run(arguments),
        Some(Command::Verify(arguments)) => verify::run(arguments),
        Some(Command::Completions(arguments)) => completions::run(arguments),
        Some(Command::Manual(arguments)) => manual::run(arguments),
    }
}

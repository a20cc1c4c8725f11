//! `pullmap log`: what is recorded of pulls, in one file to which only is added.

mod attached;
mod calibrate;
mod read;
mod record;
mod score;
mod share;

use crate::args::{LogArguments, LogCommand};
use crate::failure::{Failure, Outcome};
use crate::machine;

/// Does what was asked of a logbook.
///
/// # Errors
/// As the command.
pub fn run(arguments: &LogArguments) -> Result<Outcome, Failure> {
    let logbook = &arguments.logbook;
    match &arguments.command {
        LogCommand::Plan(arguments) => {
            machine::prepare()?;
            record::plan(logbook, arguments)
        }
        LogCommand::Add(arguments) => record::add(logbook, arguments),
        LogCommand::Amend(arguments) => record::amend(logbook, arguments),
        LogCommand::Withdraw(arguments) => record::withdraw(logbook, arguments),
        LogCommand::List(arguments) => read::list(logbook, arguments),
        LogCommand::Score(arguments) => score::score(logbook, arguments),
        LogCommand::Calibrate(arguments) => {
            machine::prepare()?;
            calibrate::calibrate(logbook, arguments)
        }
        LogCommand::Calibrations(arguments) => calibrate::calibrations(logbook, arguments),
        LogCommand::Show(arguments) => read::show(logbook, arguments),
        LogCommand::Export(arguments) => share::export(logbook, arguments),
        LogCommand::Import(arguments) => share::import(logbook, arguments),
    }
}

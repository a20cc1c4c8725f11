//! The program `pullmap`: arguments, files, output. The only crate of the workspace that reads, writes and prints.

pub mod args;
pub mod calibrating;
pub mod commands;
pub mod comparing;
pub mod explaining;
pub mod failure;
pub mod fields_file;
pub mod forecasting;
pub mod levering;
pub mod live;
pub mod lots;
mod machine;
pub mod mapping;
pub mod output;
mod progress;
pub mod pulling;
pub mod reaching;
pub mod recording;
pub mod seating;
mod sketching;
pub mod source;
pub mod stills;
mod stop;
mod stopwatch;
pub mod sweeping;
pub mod tracing;
mod undrawn;
mod verification;

use clap::Parser;
use std::ffi::OsString;

/// Runs the program on a command line, its own name first. Returns the exit code: 0 done, 1 done with a limit exceeded,
/// 2 could not be done.
///
/// Answers go to the standard output; errors to the standard error, with nothing on the standard output.
pub fn run(line: impl IntoIterator<Item = OsString>) -> u8 {
    let arguments = match args::Arguments::try_parse_from(line) {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help that nobody reads (a closed pipe) is no failure, and a failing standard error cannot be told.
            let _: std::io::Result<()> = error.print();
            return u8::try_from(error.exit_code()).unwrap_or(failure::COULD_NOT);
        }
    };
    match commands::run(&arguments) {
        Ok(outcome) => outcome.code(),
        Err(failure) => {
            output::complain(&format!("{failure}\n"));
            failure::COULD_NOT
        }
    }
}

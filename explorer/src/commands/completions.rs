//! `pullmap completions`: what a shell needs to complete commands and options.

use crate::args::{Arguments, CompletionsArguments};
use crate::failure::{Failure, Outcome};
use crate::output::print;
use clap::CommandFactory;

/// Prints the script of a shell.
///
/// # Errors
/// The standard output fails.
pub fn run(arguments: &CompletionsArguments) -> Result<Outcome, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut Arguments::command(), "pullmap", &mut script);
    print(&String::from_utf8_lossy(&script))?;
    Ok(Outcome::Done)
}

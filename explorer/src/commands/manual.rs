//! `pullmap manual`: a manual page for the program and one for each command, and one for each of its own.

use super::files::Files;
use crate::args::{Arguments, ManualArguments};
use crate::failure::{Failure, Outcome};
use crate::output::print;
use clap::CommandFactory;
use clap_mangen::Man;

/// Writes the pages.
///
/// # Errors
/// A page cannot be written.
pub fn run(arguments: &ManualArguments) -> Result<Outcome, Failure> {
    let mut program = Arguments::command();
    program.build();
    let mut files = Files::new(arguments.out.clone())?;
    files.text("pullmap.1", &page(program.clone()))?;
    for command in program.get_subcommands().filter(|command| command.get_name() != "help") {
        let name = format!("pullmap-{}", command.get_name());
        files.text(&format!("{name}.1"), &page(command.clone()))?;
        for part in command.get_subcommands().filter(|part| part.get_name() != "help") {
            files.text(&format!("{name}-{}.1", part.get_name()), &page(part.clone()))?;
        }
    }
    print(&format!("{}\n", files.told()))?;
    Ok(Outcome::Done)
}

fn page(command: clap::Command) -> String {
    let mut roff = Vec::new();
    // Writing to memory cannot fail.
    let _ = Man::new(command).render(&mut roff);
    String::from_utf8_lossy(&roff).into_owned()
}

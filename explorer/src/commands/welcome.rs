//! `pullmap` alone: what it is for, and what to try.

use crate::failure::{Failure, Outcome};
use crate::output::print;
use report::caution::CAUTION;
use report::program::welcome::WELCOME;

/// Prints the introduction.
///
/// # Errors
/// The standard output fails.
pub fn run() -> Result<Outcome, Failure> {
    print(&format!("{WELCOME}\n{CAUTION}\n"))?;
    Ok(Outcome::Done)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::args::Arguments;
    use crate::source::builtin;
    use clap::Parser;

    #[test]
    fn fits_a_screen_and_names_every_model() {
        assert!(WELCOME.lines().count() <= 20);
        assert!(WELCOME.lines().all(|line| line.chars().count() <= 100));
        assert!(WELCOME.contains(&builtin::names()));
    }

    #[test]
    fn its_commands_are_commands() {
        let commands: Vec<&str> = WELCOME.lines().filter(|line| line.starts_with("  pullmap")).collect();
        assert_eq!(commands.len(), 3);
        for line in commands {
            let words = line.trim().split("   ").next().unwrap().split(' ');
            assert!(Arguments::try_parse_from(words).is_ok(), "{line}");
        }
    }
}

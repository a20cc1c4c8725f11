//! Threads and memory that the machine does not give.

use crate::numbers::plain;
use std::fmt::Display;

/// What memory is needed for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Need {
    /// An answer, on so many threads.
    Answer {
        /// How many.
        threads: usize,
    },
    /// Meshes of a size that was asked for.
    Meshes {
        /// How many are solved at once.
        at_once: usize,
        /// The size of their elements, mm.
        size_mm: f64,
        /// The unknowns of each.
        unknowns: f64,
    },
    /// The steps of a pull, which are kept whole.
    Steps {
        /// Steps, about.
        steps: u32,
        /// Unknowns of the mesh.
        unknowns: f64,
    },
    /// Pictures of sizes that were asked for.
    Pictures,
}

/// That there is too little memory, MB.
#[must_use]
pub fn memory(need: &Need, needed_mb: f64, free_mb: f64) -> String {
    let (what, hint) = match *need {
        Need::Answer { threads: 1 } => {
            ("an answer on one thread".to_owned(), "end other programs, or raise the limit")
        }
        Need::Answer { threads } => (format!("an answer on {threads} threads"), "ask for fewer threads"),
        Need::Meshes { at_once, size_mm, unknowns } => {
            let meshes = if at_once > 1 { format!("{at_once} meshes at once") } else { "a mesh".to_owned() };
            let size = plain(size_mm);
            let what = format!("{meshes} of {size} mm with about {:.0} thousand unknowns", 1e-3 * unknowns);
            (what, "ask for a larger --mesh-size")
        }
        Need::Steps { steps, unknowns } => {
            let what =
                format!("a pull in about {steps} steps with about {:.0} thousand unknowns", 1e-3 * unknowns);
            (what, "ask for fewer --steps or a larger --mesh-size")
        }
        Need::Pictures => ("pictures of these sizes".to_owned(), "ask for a smaller --size"),
    };
    format!(
        "memory for {what}: about {needed_mb:.0} MB are needed, and {free_mb:.0} MB are free\n  hint: {hint}"
    )
}

/// That a variable asks for a number of threads that makes no sense.
#[must_use]
pub fn threads(variable: &str, found: &str, most: usize) -> String {
    format!("{variable}: found {found}; allowed: 1 to {most}\n  hint: leave it out for one thread a core")
}

/// That the system gives no threads, and its words.
#[must_use]
pub fn no_threads(variable: &str, why: impl Display) -> String {
    format!("cannot start the threads: {why}\n  hint: set {variable} to fewer")
}

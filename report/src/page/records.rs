//! What the live page says of the records of a bench where the commands say it by their options.

use std::fmt::Display;

/// A file that gives no reading.
pub const NO_READING: &str = "the file gives no reading";
/// A logbook that could not be used, or values that it does not take.
pub const NOT_DONE: &str = "this could not be done with the logbook";
/// What a file is called of which no name was told.
pub const UNNAMED: &str = "trace";
/// A request that carries a file.
pub const CARRIED: &str =
    "a request with a file begins with the length of its JSON, then the JSON, then the bytes of the file";

/// Records are not shown through a page that is open to other machines, unless their logbook was named.
pub const NOT_READ_HERE: &str = "this page is open to other machines: it shows the records of a logbook that is named, by pullmap explore \
                                 --address A --logbook FILE, and of no other";
/// Nothing is recorded through a page that is open to other machines.
pub const NOT_WRITTEN_HERE: &str = "this page is open to other machines: nothing is recorded through it, so that nobody else writes in the \
                                    logbook; record by pullmap log, or by pullmap explore without --address";

/// A word that pulls are not told apart by.
#[must_use]
pub fn no_key(found: &str, allowed: &[&str]) -> String {
    format!("found {found}; allowed: {}", allowed.join(", "))
}

/// A trace that is read, but larger than a logbook keeps.
#[must_use]
pub fn too_large_to_keep(most: usize) -> String {
    format!("the file is larger than the {} MiB that a logbook keeps", most >> 20)
}

/// That the program keeps another logbook than a page shows.
#[must_use]
pub fn another_logbook(file: impl Display) -> String {
    format!("the program keeps another logbook now, {file}: reload the page; nothing was recorded")
}

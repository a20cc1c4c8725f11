//! The text of a model, and what to call it.

use std::path::Path;

/// Where a model comes from, before it is read: its text, and what to call it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// What messages call it: the path as given, or `oval (built in)`.
    pub file: String,
    /// Its short name, for folders and for a missing title: `oval`.
    pub stem: String,
    /// The text.
    pub text: String,
}

impl Source {
    /// A text under the name of a file, whose short name is the file's without its ending.
    #[must_use]
    pub fn of(file: &str, text: &str) -> Self {
        let stem = Path::new(file).file_stem().map_or(file.into(), |stem| stem.to_string_lossy());
        Self { file: file.to_owned(), stem: stem.into_owned(), text: text.to_owned() }
    }
}

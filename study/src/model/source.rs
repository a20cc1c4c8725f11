//! The text of a model, and what to call it.

use super::checked::Model;
use super::mistake::ModelErrors;
use super::set;
use super::told::Told;
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

    /// The model as it is told here, with values that take the place of the file's, later ones over earlier ones.
    ///
    /// # Errors
    /// Every place where the text is not TOML.
    pub fn told(&self, sets: &[(String, String)]) -> Result<Told, ModelErrors> {
        Told::read(self, set::typed(sets))
    }

    /// The checked model, likewise.
    ///
    /// # Errors
    /// Every mistake there is, in the order of the file's lines, those of `sets` last.
    pub fn model(&self, sets: &[(String, String)]) -> Result<Model, ModelErrors> {
        self.told(sets)?.model()
    }
}

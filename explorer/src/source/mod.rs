//! Where models come from: files, pipes, and those inside the program. Reading and checking their text is `study::model`.

pub mod builtin;
mod bytes;

#[cfg(test)]
mod tests;

pub use bytes::bytes_of;

use report::mistakes;
use report::program::files::{self, Unreadable};
use std::io;
use std::path::Path;
use study::model::hint::nearest;
use study::model::{Model, ModelErrors, Source};

/// A model file larger than this is not one.
const LARGEST_FILE: u64 = 1 << 20;

/// A model that cannot be read as text.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", files::unreadable(.file, .why))]
pub struct SourceError {
    /// The file, as it was named.
    pub file: String,
    /// Why.
    pub why: Unreadable,
}

/// Why there is no model: its text cannot be read, or it has mistakes.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LoadError {
    /// It cannot be read.
    #[error("{0}")]
    Source(#[from] SourceError),
    /// It has mistakes.
    #[error("{}", mistakes::errors(.0))]
    Model(#[from] ModelErrors),
}

/// Finds a model by what was typed: a file of that path, else a built-in model of that name.
///
/// # Errors
/// Neither exists, or the file cannot be read as text.
pub fn find(argument: &str) -> Result<Source, SourceError> {
    let path = Path::new(argument);
    if !path.is_file()
        && let Some(text) = builtin::find(argument)
    {
        let file = files::built_in(argument);
        return Ok(Source { file, stem: argument.to_owned(), text: text.to_owned() });
    }
    read(path)
}

/// What is typed to find a model again: its name where it is built in, else its file.
#[must_use]
pub fn typed(source: &Source) -> &str {
    let built_in = builtin::find(&source.stem).is_some() && source.file == files::built_in(&source.stem);
    if built_in { &source.stem } else { &source.file }
}

/// Reads a file.
///
/// # Errors
/// It does not exist, is larger than a mebibyte, or is not UTF-8.
pub fn read(path: &Path) -> Result<Source, SourceError> {
    let file = match path.display().to_string() {
        name if name.is_empty() => "\"\"".to_owned(),
        name => name,
    };
    let refused = |why| SourceError { file: file.clone(), why };
    let bytes = bytes_of(path, LARGEST_FILE).map_err(|error| {
        let words = error.to_string();
        if error.kind() != io::ErrorKind::NotFound && !path.is_dir() {
            return refused(Unreadable::Refused(words));
        }
        let near = nearest(&file, builtin::MODELS.map(|model| model.0));
        refused(Unreadable::NoFile { words, near, built_in: builtin::names() })
    })?;
    let bytes = bytes.ok_or_else(|| refused(Unreadable::EmptyPipe))?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(refused(Unreadable::TooLarge { most_mib: LARGEST_FILE >> 20 }));
    }
    let text = String::from_utf8(bytes).map_err(|error| {
        let good = &error.as_bytes()[..error.utf8_error().valid_up_to()];
        refused(Unreadable::NoText { line: 1 + good.iter().filter(|byte| **byte == b'\n').count() })
    })?;
    let stem = path.file_stem().map_or_else(|| file.clone(), |stem| stem.to_string_lossy().into_owned());
    Ok(Source { file, stem, text })
}

/// Reads and checks a model file.
///
/// # Errors
/// As [`read`] and [`Source::model`].
pub fn load(path: &Path, sets: &[(String, String)]) -> Result<Model, LoadError> {
    Ok(read(path)?.model(sets)?)
}

/// Finds a model by what was typed (a path, or the name of a built-in model) and checks it.
///
/// # Errors
/// As [`find`] and [`Source::model`].
pub fn load_argument(argument: &str, sets: &[(String, String)]) -> Result<Model, LoadError> {
    Ok(find(argument)?.model(sets)?)
}

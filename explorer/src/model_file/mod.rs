//! The model file: a connector in TOML, read, checked and written.
//!
//! `raw` mirrors the file with the place of every value, `set` puts the values of `--set` over it, `resolve` makes the
//! checked [`Model`] or reports every mistake at once. `keys` is the one table of what a file may say.

pub mod builtin;
mod fit;
pub mod hint;
pub mod key_of;
pub mod keys;
pub mod mistake;
pub mod model;
pub mod quantity;
pub mod raw;
pub mod reader;
pub mod renamed;
mod resolve;
pub mod set;
pub mod template;
mod unquoted;
pub mod word;

#[cfg(test)]
mod tests;

pub use mistake::{ModelErrors, ModelMistake, Problem};
pub use model::{Marking, Model, Spread, SpreadKind};
pub use resolve::IDLE_ENGAGED;

use raw::{Place, Table};
use std::fs;
use std::io::Read;
use std::path::Path;

/// A model file larger than this is not one.
const LARGEST_FILE: u64 = 1 << 20;

/// The bytes of a file or of a pipe, little more than the largest at most.
fn bytes_of(path: &Path) -> std::io::Result<Vec<u8>> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt;
        if fs::metadata(path)?.file_type().is_fifo() {
            return bytes_of_pipe(path);
        }
    }
    let mut bytes = Vec::new();
    fs::File::open(path)?.take(LARGEST_FILE + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// How long a pipe is waited for until somebody writes into it.
#[cfg(unix)]
const FIRST_WRITER: std::time::Duration = std::time::Duration::from_secs(2);

/// What is written into a pipe. One that nobody writes into would be waited for without end: it is opened without waiting,
/// and is then at its end at once.
#[cfg(unix)]
fn bytes_of_pipe(path: &Path) -> std::io::Result<Vec<u8>> {
    use std::io::ErrorKind;
    use std::os::unix::fs::OpenOptionsExt;
    let pause = std::time::Duration::from_millis(5);
    let mut pipe = fs::OpenOptions::new().read(true).custom_flags(libc::O_NONBLOCK).open(path)?;
    let began = std::time::Instant::now();
    let (mut bytes, mut piece) = (Vec::new(), [0; 4096]);
    while bytes.len() as u64 <= LARGEST_FILE {
        match pipe.read(&mut piece) {
            Ok(0) if bytes.is_empty() && began.elapsed() < FIRST_WRITER => std::thread::sleep(pause),
            Ok(0) if bytes.is_empty() => {
                return Err(std::io::Error::other("a pipe that nothing is written into"));
            }
            Ok(0) => break,
            Ok(read) => bytes.extend(&piece[..read]),
            Err(error) if error.kind() == ErrorKind::WouldBlock => std::thread::sleep(pause),
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(bytes)
}

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
    /// Finds a model by what was typed: a file of that path, else a built-in model of that name.
    ///
    /// # Errors
    /// Neither exists, or the file cannot be read as text.
    pub fn find(argument: &str) -> Result<Self, ModelErrors> {
        let path = Path::new(argument);
        if !path.is_file()
            && let Some(text) = builtin::find(argument)
        {
            let file = format!("{argument} (built in)");
            return Ok(Self { file, stem: argument.to_owned(), text: text.to_owned() });
        }
        Self::read(path)
    }

    /// Reads a file.
    ///
    /// # Errors
    /// It does not exist, is larger than a mebibyte, or is not UTF-8.
    pub fn read(path: &Path) -> Result<Self, ModelErrors> {
        let file = path.display().to_string();
        let refuse = |words: String, hint: Option<String>| {
            let problem = Problem::Unreadable(words);
            Err(ModelErrors(vec![ModelMistake {
                file: file.clone(),
                place: Place::File,
                key: String::new(),
                problem,
                hint,
            }]))
        };
        let bytes = match bytes_of(path) {
            Ok(bytes) => bytes,
            Err(error) => {
                let missing = error.kind() == std::io::ErrorKind::NotFound;
                let near = hint::nearest(&file, builtin::MODELS.map(|model| model.0));
                let hint = match near {
                    Some(near) => format!("did you mean the built-in model {near}?"),
                    None => format!("models that need no file: {}", builtin::names()),
                };
                return refuse(error.to_string(), missing.then_some(hint));
            }
        };
        if bytes.len() as u64 > LARGEST_FILE {
            return refuse("larger than 1 MiB, so it is no model file".to_owned(), None);
        }
        match String::from_utf8(bytes) {
            Ok(text) => {
                let stem =
                    path.file_stem().map_or_else(|| file.clone(), |stem| stem.to_string_lossy().into_owned());
                Ok(Self { file, stem, text })
            }
            Err(error) => {
                let good = &error.as_bytes()[..error.utf8_error().valid_up_to()];
                let line = 1 + good.iter().filter(|byte| **byte == b'\n').count();
                let hint = "save it as UTF-8, which every text editor offers".to_owned();
                refuse(format!("line {line} is not UTF-8 text"), Some(hint))
            }
        }
    }

    /// Parses the text and puts the sets over it: the values, the sets that cannot be applied, and what was taken for
    /// what they leave untold.
    fn table(
        &self,
        sets: &[(String, String)],
    ) -> Result<(Table, Vec<ModelMistake>, Vec<String>), ModelErrors> {
        let mut table = raw::parse(&self.text).map_err(|mistakes| {
            let lines: Vec<&str> = self.text.lines().collect();
            ModelErrors(
                mistakes
                    .into_iter()
                    .map(|mistake| {
                        let line = lines.get(mistake.line - 1).copied().unwrap_or_default();
                        let (problem, hint) = match unquoted::unquoted(line) {
                            Some(told) => told,
                            None => (Problem::NotToml(mistake.message), None),
                        };
                        let place = Place::Line(mistake.line);
                        ModelMistake { file: self.file.clone(), place, key: String::new(), problem, hint }
                    })
                    .collect(),
            )
        })?;
        let set::Applied { refused, taken } = set::apply(&mut table, sets);
        let refused = refused
            .into_iter()
            .map(|refused| ModelMistake {
                file: self.file.clone(),
                place: refused.place,
                key: refused.key,
                problem: refused.problem,
                hint: refused.hint,
            })
            .collect();
        Ok((table, refused, taken))
    }

    /// The checked model.
    ///
    /// `sets`: keys and values that take the place of the file's, later ones over earlier ones.
    ///
    /// # Errors
    /// Every mistake there is, in the order of the file's lines, those of `sets` last.
    pub fn model(&self, sets: &[(String, String)]) -> Result<Model, ModelErrors> {
        let (table, mut mistakes, taken) = self.table(sets)?;
        let resolved = resolve::resolve(&table, &self.file, &self.stem);
        match resolved {
            Ok(mut model) if mistakes.is_empty() => {
                model.notes.extend(taken);
                Ok(model)
            }
            Ok(_) => Err(ModelErrors(set::as_typed(mistakes))),
            Err(ModelErrors(more)) => {
                mistakes.extend(more);
                mistakes.sort_by(|a, b| a.place.cmp(&b.place));
                Err(ModelErrors(set::as_typed(mistakes)))
            }
        }
    }
}

/// Reads and checks a model file.
///
/// # Errors
/// As [`Source::read`] and [`Source::model`].
pub fn load(path: &Path, sets: &[(String, String)]) -> Result<Model, ModelErrors> {
    Source::read(path)?.model(sets)
}

/// Finds a model by what was typed (a path, or the name of a built-in model) and checks it.
///
/// # Errors
/// As [`Source::find`] and [`Source::model`].
pub fn load_argument(argument: &str, sets: &[(String, String)]) -> Result<Model, ModelErrors> {
    Source::find(argument)?.model(sets)
}

/// Checks the text of a model file.
///
/// # Errors
/// Every mistake there is.
pub fn from_text(text: &str, file_name: &str, sets: &[(String, String)]) -> Result<Model, ModelErrors> {
    let stem = Path::new(file_name).file_stem().map_or(file_name.into(), |stem| stem.to_string_lossy());
    Source { file: file_name.to_owned(), stem: stem.into_owned(), text: text.to_owned() }.model(sets)
}

//! Files and streams that leave the program.
//!
//! A file appears whole or not at all: it is written under a temporary name in its folder and renamed. A reader that
//! closes the pipe (`pullmap materials | head`) is not an error.

use report::program::files;
use std::borrow::Cow;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Why something could not be written.
#[derive(Debug, thiserror::Error)]
pub enum OutputError {
    /// A folder could not be made.
    #[error("{}", files::no_folder_made(.path.display(), .source))]
    Folder {
        /// The folder.
        path: PathBuf,
        /// The words of the system.
        source: io::Error,
    },
    /// A folder is there that nothing can be written into.
    #[error("{}", files::closed(.path.display(), .source))]
    Closed {
        /// The folder.
        path: PathBuf,
        /// The words of the system.
        source: io::Error,
    },
    /// A file was named in a folder that is not there.
    #[error("{}", files::no_folder(.path.display(), .folder.display()))]
    NoFolder {
        /// The file.
        path: PathBuf,
        /// The folder that it was to be in.
        folder: PathBuf,
    },
    /// A file could not be written.
    #[error("{}", files::not_written(.path.display(), .source))]
    File {
        /// The file.
        path: PathBuf,
        /// The words of the system.
        source: io::Error,
    },
    /// A file is there already.
    #[error("{}", files::exists(.path.display()))]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// Something is there that is no file.
    #[error("{}", files::not_written(.path.display(), files::NO_FILE))]
    NotAFile {
        /// What is there.
        path: PathBuf,
    },
    /// The standard output failed.
    #[error("{}", files::no_output(.0))]
    Standard(io::Error),
}

/// What to do with a file that is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Existing {
    /// Leave it, and fail.
    Keep,
    /// Put the new one in its place.
    Replace,
}

/// Makes a folder and those above it.
///
/// # Errors
/// The system refuses, or a file is in the way.
pub fn make_folder(path: &Path) -> Result<(), OutputError> {
    fs::create_dir_all(path).map_err(|source| OutputError::Folder { path: path.to_owned(), source })
}

/// Whether a folder could be made and written into, before anything is computed for it. Leaves nothing.
///
/// # Errors
/// The system refuses, or a file is in the way.
pub fn check_folder(path: &Path) -> Result<(), OutputError> {
    let refuse = |source| OutputError::Folder { path: path.to_owned(), source };
    let there = path.ancestors().find(|part| part.as_os_str().is_empty() || part.exists());
    let there = there.filter(|part| !part.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if !there.is_dir() {
        return Err(refuse(io::ErrorKind::NotADirectory.into()));
    }
    let probe = there.join(format!(".pullmap.{}.part", std::process::id()));
    match fs::File::create(&probe).and_then(|_| fs::remove_file(&probe)) {
        Err(source) if there == path => Err(OutputError::Closed { path: path.to_owned(), source }),
        other => other.map_err(refuse),
    }
}

/// The folder of a file that somebody named, which must be there: a folder made from a slip of the pen is hard to find
/// again. (A folder that is named as such is made, by [`make_folder`].)
///
/// # Errors
/// It is not there.
pub fn folder_holding(path: &Path) -> Result<&Path, OutputError> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    if folder.is_dir() {
        return Ok(folder);
    }
    Err(OutputError::NoFolder { path: path.to_owned(), folder: folder.to_owned() })
}

/// Writes a file whole, into a folder that is there.
///
/// With [`Existing::Keep`] a file that another program makes in the very moment of renaming would still be replaced.
///
/// # Errors
/// The folder is not there, the system refuses, the file is there already and is to be kept, or something that is no file
/// has its name. Nothing half-written is left.
pub fn write_file(path: &Path, bytes: &[u8], existing: Existing) -> Result<(), OutputError> {
    match fs::metadata(path) {
        Ok(there) if !there.is_file() => return Err(OutputError::NotAFile { path: path.to_owned() }),
        Ok(_) if existing == Existing::Keep => return Err(OutputError::Exists { path: path.to_owned() }),
        _ => {}
    }
    let fail = |source| OutputError::File { path: path.to_owned(), source };
    let name = path.file_name().ok_or_else(|| fail(io::ErrorKind::InvalidInput.into()))?;
    let folder = folder_holding(path)?;
    // The process number keeps two runs that write the same file out of each other's way.
    let mut temporary = std::ffi::OsString::from(".");
    temporary.push(name);
    temporary.push(format!(".{}.part", std::process::id()));
    let temporary = folder.join(temporary);
    let written = fs::write(&temporary, bytes).and_then(|()| fs::rename(&temporary, path));
    written.map_err(|source| {
        // The first error is the one to tell; what cannot be removed was most likely never made.
        let _: io::Result<()> = fs::remove_file(&temporary);
        fail(source)
    })
}

/// Prints on the standard output. A closed pipe counts as done.
///
/// # Errors
/// The output fails otherwise, for example on a full disk.
pub fn print(text: &str) -> Result<(), OutputError> {
    let mut output = io::stdout().lock();
    match output.write_all(harmless(text).as_bytes()).and_then(|()| output.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(OutputError::Standard(error)),
        _ => Ok(()),
    }
}

/// Prints on the standard error, where a failure has nowhere to be told.
pub fn complain(text: &str) {
    let _: io::Result<()> = io::stderr().lock().write_all(harmless(text).as_bytes());
}

/// The text with every letter spelled out that would steer a terminal: keys and names come from files of others.
#[must_use]
pub fn harmless(text: &str) -> Cow<'_, str> {
    // Controls, and the letters that turn the direction of writing.
    let turns = ['\u{200e}', '\u{200f}', '\u{61c}'];
    let steers = |letter: char| {
        letter.is_control() && !"\n\t".contains(letter)
            || turns.contains(&letter)
            || matches!(letter, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    if !text.contains(steers) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.chars().fold(String::with_capacity(text.len() + 16), |mut out, letter| {
        if steers(letter) {
            out.extend(letter.escape_default());
        } else {
            out.push(letter);
        }
        out
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_is_spelled_out() {
        assert_eq!(harmless("a\n\tb \u{e9}"), "a\n\tb \u{e9}");
        assert_eq!(harmless("k\u{1b}[31mey\r\u{9b}2J"), "k\\u{1b}[31mey\\r\\u{9b}2J");
        assert_eq!(harmless("a\u{202e}b"), "a\\u{202e}b");
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_file_is_written_into_a_folder_that_is_there_and_nothing_else_is_left() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a/b/c.txt");
        let message = write_file(&path, b"one", Existing::Keep).unwrap_err().to_string();
        assert!(message.contains("there is no folder") && message.contains("make that folder"), "{message}");
        assert_eq!(names(folder.path()), Vec::<String>::new());
        make_folder(&folder.path().join("a/b")).unwrap();
        write_file(&path, b"one", Existing::Keep).unwrap();
        assert_eq!(names(path.parent().unwrap()), ["c.txt"]);
        let refused = write_file(&path, b"two", Existing::Keep).unwrap_err();
        assert!(matches!(refused, OutputError::Exists { .. }));
        assert_eq!(fs::read(&path).unwrap(), b"one");
        write_file(&path, b"two", Existing::Replace).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
    }

    #[test]
    fn a_folder_is_checked_without_being_made() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("file"), "").unwrap();
        check_folder(&folder.path().join("a/b")).unwrap();
        check_folder(folder.path()).unwrap();
        check_folder(Path::new("not-there/either")).unwrap();
        let message = check_folder(&folder.path().join("file/a/b")).unwrap_err().to_string();
        assert!(message.starts_with("cannot make the folder") && message.contains("file/a/b"), "{message}");
        let file = folder.path().join("file");
        let Err(OutputError::Folder { path, source }) = check_folder(&file) else { panic!() };
        assert_eq!((path, source.kind()), (file, io::ErrorKind::NotADirectory));
        assert_eq!(names(folder.path()), ["file"]);
    }

    #[test]
    fn errors_name_the_path() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("file"), "").unwrap();
        let below = folder.path().join("file/x.txt");
        let message = write_file(&below, b"", Existing::Replace).unwrap_err().to_string();
        assert!(message.contains("file"), "{message}");
        let message = write_file(folder.path(), b"", Existing::Replace).unwrap_err().to_string();
        assert!(message.ends_with("it is not a file"), "{message}");
        assert_eq!(names(folder.path()), ["file"]);
    }
}

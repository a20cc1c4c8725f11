//! Files that belong to a pull.

use crate::failure::Failure;
use crate::source::bytes_of;
use lab::logbook::content::{MOST_BYTES, sha256};
use lab::logbook::package;
use std::path::Path;
use std::{fs, io};

/// A trace: its bytes, and how a logbook names it. Folders of this machine are nobody else's business.
///
/// # Errors
/// It cannot be read.
pub fn trace(path: &Path) -> Result<(Vec<u8>, String), Failure> {
    let bytes = bytes(path, MOST_BYTES)?;
    let name = path.file_name().map_or_else(|| path.to_string_lossy(), |name| name.to_string_lossy());
    let named = format!("{} {name}", sha256(&bytes));
    Ok((bytes, named))
}

/// How a logbook names a photo, with its hash where it can be read.
#[must_use]
pub fn photo(path: &Path) -> String {
    let hash = bytes(path, MOST_BYTES).map_or_else(|_| "-".to_owned(), |bytes| sha256(&bytes));
    format!("{hash} {}", path.to_string_lossy())
}

/// A package.
///
/// # Errors
/// It cannot be read.
pub fn package(path: &Path) -> Result<Vec<u8>, Failure> {
    bytes(path, package::MOST_BYTES)
}

/// The bytes of a file, one more than are allowed at most.
fn bytes(path: &Path, most: usize) -> Result<Vec<u8>, Failure> {
    let refuse = |error: io::Error| Failure::Unread { path: path.to_owned(), words: error.to_string() };
    // What is kept under a name is a file.
    if !fs::metadata(path).map_err(refuse)?.is_file() {
        return Err(refuse(io::Error::other(report::program::files::NO_FILE)));
    }
    Ok(bytes_of(path, most as u64).map_err(refuse)?.unwrap_or_default())
}

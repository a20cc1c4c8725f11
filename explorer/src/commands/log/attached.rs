//! Files that belong to a pull.

use crate::failure::Failure;
use lab::logbook::content::{MOST_BYTES, sha256};
use lab::logbook::package;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

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
    let mut file = File::open(path).map_err(refuse)?;
    if !file.metadata().map_err(refuse)?.is_file() {
        return Err(refuse(io::Error::other(report::program::files::NO_FILE)));
    }
    let mut bytes = Vec::new();
    file.by_ref().take(most as u64 + 1).read_to_end(&mut bytes).map_err(refuse)?;
    Ok(bytes)
}

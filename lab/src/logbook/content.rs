//! Contents of files by their hash.

use super::LogbookError;
use rusqlite::{Connection, params};
use sha2::{Digest, Sha256};

/// Bytes of a model or of a trace that are kept at most: the longest trace of a load cell is a few of these.
pub const MOST_BYTES: usize = 64 << 20;

/// SHA-256 in hexadecimal digits.
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Keeps bytes, once.
pub(super) fn keep(file: &Connection, bytes: &[u8]) -> Result<(), LogbookError> {
    if bytes.len() > MOST_BYTES {
        return Err(LogbookError::TooLarge { most: MOST_BYTES });
    }
    file.execute(
        "INSERT INTO contents (hash, bytes) SELECT ?1, ?2 WHERE NOT EXISTS (SELECT 1 FROM contents WHERE hash = ?1)",
        params![sha256(bytes), bytes],
    )?;
    Ok(())
}

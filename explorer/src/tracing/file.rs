//! A file of a load cell, read.

use crate::source::bytes_of;
use lab::logbook::content::sha256;
use lab::trace::pull::Pull;
use lab::trace::recording::{self, Found as Stands};
use lab::trace::{Asked, TraceError};
use report::trace::{Found, Told, error};
use std::io;
use std::path::Path;

/// Larger files are refused, bytes: some ten million samples.
pub const LARGEST: u64 = 512 << 20;

/// Why a trace cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum TraceFileError {
    /// The system does not give it.
    #[error("{file}: {reason}")]
    Refused {
        /// The file.
        file: String,
        /// The words of the system.
        reason: io::Error,
    },
    /// It is too large.
    #[error("{}", report::program::files::trace_too_large(.file, LARGEST >> 20))]
    TooLarge {
        /// The file.
        file: String,
    },
    /// It gives no reading.
    #[error("{file}: {}", error(.reason))]
    NoReading {
        /// The file.
        file: String,
        /// Why.
        reason: TraceError,
    },
}

/// Reads a file and what its cells say of the pull.
///
/// # Errors
/// It cannot be read, or gives no reading.
pub fn read(path: &Path, asked: &Asked) -> Result<Told, TraceFileError> {
    let file = path.display().to_string();
    let refused = |reason| TraceFileError::Refused { file: file.clone(), reason };
    let bytes = bytes_of(path, LARGEST).map_err(refused)?.unwrap_or_default();
    if bytes.len() as u64 > LARGEST {
        return Err(TraceFileError::TooLarge { file });
    }
    told(&file, &bytes, asked).map_err(|reason| TraceFileError::NoReading { file: file.clone(), reason })
}

/// Reads what stands in a file of that name.
///
/// # Errors
/// It gives no reading.
pub fn told(file: &str, bytes: &[u8], asked: &Asked) -> Result<Told, TraceError> {
    let found = recording::read(bytes, asked)?;
    let hash = sha256(bytes);
    let found = match found {
        Stands::Recording(recording) => {
            let pulls = recording.channels.iter().map(|channel| Pull::of(&recording, channel)).collect();
            Found::Pull(recording, pulls)
        }
        Stands::Peaks(peaks) => Found::Peaks(peaks),
    };
    Ok(Told { file: file.to_owned(), hash, found })
}

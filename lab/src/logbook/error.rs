//! Why something of a logbook could not be done.

use super::field::Field;
use super::package::PackageError;
use super::record::Mistake;
use super::value::Problem;
use rusqlite::ErrorCode;
use std::path::PathBuf;

/// Why something of a logbook could not be done. `report` tells it.
#[derive(Debug, thiserror::Error)]
#[error("{self:?}")]
pub enum LogbookError {
    /// There is no such file.
    NotThere(PathBuf),
    /// Something is there that is no file.
    NotAFile(PathBuf),
    /// A file that nothing was put into yet.
    NothingInIt(PathBuf),
    /// A file that is no logbook.
    NotALogbook(PathBuf),
    /// A logbook of a version that this program does not know.
    Newer {
        /// The file.
        path: PathBuf,
        /// Its version.
        found: i64,
        /// The newest that is known.
        known: i64,
    },
    /// A logbook of which tables or guards were changed: their names.
    Altered {
        /// The file.
        path: PathBuf,
        /// What is missing, changed or too much.
        names: Vec<String>,
    },
    /// The file is damaged, in the words of the database.
    Damaged(String),
    /// The disk is full.
    Full,
    /// Nothing can be written there, in the words of the database.
    ReadOnly(String),
    /// Another program holds it for too long.
    Busy,
    /// The system refuses, in its words or in those of the database.
    System(String),
    /// A guard of the file refuses: its word.
    Guard(String),
    /// Values that may not be.
    Values(Vec<Mistake>),
    /// There is no pull of this number.
    NoPull {
        /// The number.
        number: i64,
        /// The last there is; 0 when there is none.
        last: i64,
    },
    /// The pull is withdrawn.
    Withdrawn(i64),
    /// The pull of this number is another one than whoever asks has in sight.
    OtherPull(i64),
    /// The pull was recorded already.
    HasResult(i64),
    /// Fields of a result of a pull that has none.
    NoResult {
        /// The pull.
        number: i64,
        /// The fields.
        fields: Vec<Field>,
    },
    /// What a forecast was made of stays.
    LockedByForecast {
        /// The pull.
        number: i64,
        /// The fields.
        fields: Vec<Field>,
    },
    /// Fields that one amendment names twice: what they are to be cannot be told.
    Twice(Vec<Field>),
    /// Fields that have the value already that they are to be given.
    Unchanged {
        /// The pull.
        number: i64,
        /// The fields.
        fields: Vec<Field>,
    },
    /// A reason of an amendment that is none.
    Why(Problem),
    /// A forecast that is none: loads out of order or not finite.
    NoForecast,
    /// A name of a calibration that may not be.
    CalibrationName(Problem),
    /// There is a calibration of that name already.
    CalibrationExists(String),
    /// There is no calibration of that name.
    NoCalibration {
        /// The name.
        name: String,
        /// Those that there are.
        known: Vec<String>,
    },
    /// Contents larger than are kept.
    TooLarge {
        /// Bytes allowed.
        most: usize,
    },
    /// Pulls to be shared that would make a larger package than is taken in.
    PackageTooLarge {
        /// Bytes allowed.
        most: usize,
    },
    /// A package that cannot be taken in.
    Package(PackageError),
}

impl From<rusqlite::Error> for LogbookError {
    fn from(error: rusqlite::Error) -> Self {
        let words = match &error {
            rusqlite::Error::SqliteFailure(code, words) => words.clone().unwrap_or_else(|| code.to_string()),
            other => other.to_string(),
        };
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Self::Damaged(words),
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => Self::ReadOnly(words),
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            Some(ErrorCode::ConstraintViolation) => Self::Guard(words),
            Some(_) => Self::System(words),
            // A column of another type than its table says, or text that is none.
            None => Self::Damaged(words),
        }
    }
}

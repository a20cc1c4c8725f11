//! Opening and making the file.
//!
//! Every commit is on the disk before it is acknowledged (write-ahead log, `synchronous=FULL`); writers wait for each other.

use super::LogbookError;
use super::migrations::{APPLICATION, NEWEST, bring_up, expected, made, version};
use rusqlite::{Connection, ErrorCode, OpenFlags, Transaction, TransactionBehavior};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// How long another program's write is waited for.
const PATIENCE: Duration = Duration::from_secs(10);
/// Between two tries of what the database does not wait for by itself.
const PAUSE: Duration = Duration::from_millis(10);

/// The name of a logbook where none is named.
pub const DEFAULT_FILE: &str = "pullmap-logbook.sqlite";

/// An open logbook.
#[derive(Debug)]
pub struct Logbook {
    pub(super) file: Connection,
}

impl Logbook {
    /// Opens a logbook for reading. None is made, and nothing is written, but that one of an earlier version is brought up to date.
    ///
    /// # Errors
    /// There is none, it cannot be read, or it is no logbook of a version that is known.
    pub fn read(path: &Path) -> Result<Self, LogbookError> {
        is_file(path)?;
        if is_earlier(path) {
            Self::write(path)?;
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let open = |file: Connection| {
            file.busy_timeout(PATIENCE)?;
            check(&file, path).map(|()| Self { file })
        };
        let tried = Connection::open_with_flags(path, flags).map_err(LogbookError::from).and_then(open);
        match tried {
            Ok(found) => Ok(tidy(path).unwrap_or(found)),
            Err(LogbookError::ReadOnly(_) | LogbookError::System(_)) => match tidy(path) {
                // A program that ended in the middle of a write is undone by whoever may write.
                Err(LogbookError::ReadOnly(_) | LogbookError::System(_))
                    if !["-wal", "-journal"].iter().any(|ending| beside(path, ending).exists()) =>
                {
                    // Where nothing can be written beside the file, a log that is whole is read as it is.
                    let flags = flags | OpenFlags::SQLITE_OPEN_URI;
                    open(Connection::open_with_flags(format!("file:{}?immutable=1", escaped(path)), flags)?)
                }
                other => other,
            },
            other => other,
        }
    }

    /// Opens a logbook for writing, and makes it where there is none.
    ///
    /// # Errors
    /// It cannot be made or written, or what is there is no logbook of a version that is known.
    pub fn write(path: &Path) -> Result<Self, LogbookError> {
        if path.exists() {
            is_file(path)?;
            // A file of somebody else is left as it is. One that was left in the middle of a write is not told apart by reading.
            match is_others(path) {
                Err(LogbookError::ReadOnly(_) | LogbookError::System(_)) => {}
                other => other?,
            }
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_CREATE
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let mut file = Connection::open_with_flags(path, flags)?;
        file.busy_timeout(PATIENCE)?;
        if !is_empty(&file, path)? {
            check_kind(&file, path)?;
        }
        patiently(|| file.execute_batch("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;"))?;
        file.execute_batch(
            "PRAGMA foreign_keys = ON; PRAGMA recursive_triggers = ON; PRAGMA trusted_schema = OFF;",
        )?;
        if is_empty(&file, path)? || version(&file)? < NEWEST {
            let transaction = patiently_begun(&mut file)?;
            // Another program may have made it by now.
            let fresh = is_empty(&transaction, path)?;
            let from = if fresh { 0 } else { version(&transaction)? };
            if fresh || from < NEWEST {
                bring_up(&transaction, from)?;
            }
            transaction.commit()?;
        }
        check(&file, path)?;
        Ok(Self { file })
    }

    /// Begins to write: from here on nobody else does.
    pub(super) fn begin(&mut self) -> Result<Transaction<'_>, LogbookError> {
        Ok(self.file.transaction_with_behavior(TransactionBehavior::Immediate)?)
    }
}

fn patiently_begun(file: &mut Connection) -> Result<Transaction<'_>, LogbookError> {
    Ok(file.transaction_with_behavior(TransactionBehavior::Immediate)?)
}

/// Does something for which the database does not always wait by itself.
fn patiently(mut act: impl FnMut() -> rusqlite::Result<()>) -> rusqlite::Result<()> {
    let began = Instant::now();
    loop {
        match act() {
            Err(error)
                if matches!(
                    error.sqlite_error_code(),
                    Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked)
                ) && began.elapsed() < PATIENCE =>
            {
                std::thread::sleep(PAUSE);
            }
            other => return other,
        }
    }
}

/// The same logbook, opened so that the last who leaves takes the write-ahead log away; nothing is written through it.
fn tidy(path: &Path) -> Result<Logbook, LogbookError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let file = Connection::open_with_flags(path, flags)?;
    file.busy_timeout(PATIENCE)?;
    file.execute_batch("PRAGMA query_only = ON")?;
    check(&file, path)?;
    Ok(Logbook { file })
}

/// Refuses a file of another program, or of a version that is not known, by reading alone.
fn is_others(path: &Path) -> Result<(), LogbookError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let file = Connection::open_with_flags(path, flags)?;
    file.busy_timeout(PATIENCE)?;
    if is_empty(&file, path)? { Ok(()) } else { check_kind(&file, path) }
}

/// Whether it is a logbook of an earlier version, as far as that can be read.
fn is_earlier(path: &Path) -> bool {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let found = Connection::open_with_flags(path, flags).map_err(LogbookError::from).and_then(|file| {
        file.busy_timeout(PATIENCE)?;
        let application = query(&file, path, "PRAGMA application_id")?;
        Ok(application == APPLICATION && (1..NEWEST).contains(&version(&file)?))
    });
    found.unwrap_or(false)
}

fn is_file(path: &Path) -> Result<(), LogbookError> {
    match std::fs::metadata(path) {
        Ok(there) if there.is_file() => Ok(()),
        Ok(_) => Err(LogbookError::NotAFile(path.to_owned())),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            Err(LogbookError::NotThere(path.to_owned()))
        }
        Err(error) => Err(LogbookError::System(error.to_string())),
    }
}

/// Whether nothing was ever put into a file.
fn is_empty(file: &Connection, path: &Path) -> Result<bool, LogbookError> {
    let marks: i64 = query(file, path, "SELECT count(*) FROM sqlite_master")?;
    Ok(marks == 0
        && query(file, path, "PRAGMA application_id")? == 0
        && query(file, path, "PRAGMA user_version")? == 0)
}

/// A number of the file. One that is no database at all is no logbook.
fn query(file: &Connection, path: &Path, sql: &str) -> Result<i64, LogbookError> {
    file.query_row(sql, [], |row| row.get(0)).map_err(|error| match error.sqlite_error_code() {
        Some(ErrorCode::NotADatabase) => LogbookError::NotALogbook(path.to_owned()),
        _ => error.into(),
    })
}

fn check_kind(file: &Connection, path: &Path) -> Result<(), LogbookError> {
    if query(file, path, "PRAGMA application_id")? != APPLICATION {
        return Err(LogbookError::NotALogbook(path.to_owned()));
    }
    match version(file)? {
        found if found > NEWEST => Err(LogbookError::Newer { path: path.to_owned(), found, known: NEWEST }),
        found if found < 1 => Err(LogbookError::NotALogbook(path.to_owned())),
        _ => Ok(()),
    }
}

/// Whether it is a logbook with all its guards.
fn check(file: &Connection, path: &Path) -> Result<(), LogbookError> {
    if is_empty(file, path)? {
        return Err(LogbookError::NothingInIt(path.to_owned()));
    }
    check_kind(file, path)?;
    let (found, wanted) = (made(file)?, expected()?);
    if found == wanted {
        return Ok(());
    }
    let mut names: Vec<String> =
        found.iter().filter(|one| !wanted.contains(one)).map(|one| one.0.clone()).collect();
    names.extend(wanted.iter().filter(|one| !found.contains(one)).map(|one| one.0.clone()));
    names.sort();
    names.dedup();
    Err(LogbookError::Altered { path: path.to_owned(), names })
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// A path as an address has it.
fn escaped(path: &Path) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"/._-~".contains(&byte);
    let bytes = path.as_os_str().as_encoded_bytes().iter();
    bytes
        .map(|byte| if plain(*byte) { char::from(*byte).to_string() } else { format!("%{byte:02X}") })
        .collect()
}

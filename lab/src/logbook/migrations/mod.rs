//! The versions of a logbook's tables, one file each. A file is brought up to date in one transaction; a version that was published is
//! never changed, a new one follows it.

use rusqlite::{Connection, Transaction};

/// The steps from an empty file to the newest version.
const STEPS: [&str; 3] =
    [include_str!("001_first.sql"), include_str!("002_calibrations.sql"), include_str!("003_withdrawn.sql")];

/// The version that this program writes.
pub const NEWEST: i64 = STEPS.len() as i64;

/// What marks a file as a logbook (`PRAGMA application_id`): "plmp" in ASCII.
pub const APPLICATION: i64 = 0x706c_6d70;

/// The version of an open file.
pub fn version(file: &Connection) -> rusqlite::Result<i64> {
    file.query_row("PRAGMA user_version", [], |row| row.get(0))
}

/// Does the steps that a file of this version lacks.
pub fn bring_up(transaction: &Transaction<'_>, from: i64) -> rusqlite::Result<()> {
    bring_to(transaction, from, NEWEST)
}

/// Does the steps from one version to another.
pub fn bring_to(transaction: &Transaction<'_>, from: i64, to: i64) -> rusqlite::Result<()> {
    let place = |version: i64| usize::try_from(version).unwrap_or(0);
    for step in STEPS.iter().take(place(to)).skip(place(from)) {
        transaction.execute_batch(step)?;
    }
    transaction.execute_batch(&format!("PRAGMA application_id = {APPLICATION}; PRAGMA user_version = {to};"))
}

/// Tables, indices and guards of a file, as they were made.
pub fn made(file: &Connection) -> rusqlite::Result<Vec<(String, Option<String>)>> {
    let mut all =
        file.prepare("SELECT name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%' ORDER BY name")?;
    all.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect()
}

/// The same as the newest version has them.
pub fn expected() -> rusqlite::Result<Vec<(String, Option<String>)>> {
    let mut empty = Connection::open_in_memory()?;
    let transaction = empty.transaction()?;
    bring_up(&transaction, 0)?;
    transaction.commit()?;
    made(&empty)
}

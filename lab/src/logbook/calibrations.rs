//! What pulls have told of the constants of forecasts, kept under a name. What stands in it is another's business: here it is a text.

use super::dates::now;
use super::write::{Origin, put_entry};
use super::{Filter, Logbook, LogbookError, Problem, Pull};
use rusqlite::{Row, params};

/// Longest name, letters.
pub const LONGEST_NAME: usize = 60;

/// A calibration that is kept.
#[derive(Clone, Debug, PartialEq)]
pub struct KeptCalibration {
    /// Its name.
    pub name: String,
    /// When it was recorded, universal time.
    pub recorded_at: String,
    /// Its place in the order of all that was ever recorded.
    pub seq: i64,
    /// Version of the program that made it.
    pub program: String,
    /// Numbers of the pulls that it is made of.
    pub pulls: Vec<i64>,
    /// What they have told, as JSON.
    pub told: String,
}

/// A name as it is kept.
///
/// # Errors
/// Nothing, too long, with letters that steer a terminal, or what a command would take for an option.
pub fn calibration_name(typed: &str) -> Result<String, Problem> {
    let name = typed.trim();
    match name {
        "" => Err(Problem::Empty),
        long if long.chars().count() > LONGEST_NAME => Err(Problem::TooLong { most: LONGEST_NAME }),
        plain if plain.chars().any(char::is_control) => Err(Problem::Control),
        option if option.starts_with('-') => Err(Problem::Empty),
        plain => Ok(plain.to_owned()),
    }
}

fn kept(row: &Row<'_>) -> Result<KeptCalibration, LogbookError> {
    let (name, pulls): (String, String) = (row.get(0)?, row.get(3)?);
    let damaged = || LogbookError::Damaged(format!("calibration {name}: pulls"));
    let pulls = serde_json::from_str(&pulls).map_err(|_| damaged())?;
    Ok(KeptCalibration {
        seq: row.get(5)?,
        recorded_at: row.get(1)?,
        program: row.get(2)?,
        pulls,
        told: row.get(4)?,
        name,
    })
}

/// What a row has, in order.
const COLUMNS: &str = "c.name, e.recorded_at, c.program, c.pulls, c.told, c.seq FROM calibrations c JOIN entries e ON e.seq = c.seq";

impl Logbook {
    /// Keeps a calibration. Its time is that of the clock.
    ///
    /// # Errors
    /// There is one of that name, the name is none, or the file cannot be written.
    pub fn keep_calibration(
        &mut self,
        name: &str,
        program: &str,
        pulls: &[i64],
        told: &str,
    ) -> Result<(), LogbookError> {
        let name = calibration_name(name).map_err(LogbookError::CalibrationName)?;
        self.is_free(&name)?;
        let transaction = self.begin()?;
        let seq = put_entry(&transaction, &now(), &Origin::default())?;
        let numbers: Vec<String> = pulls.iter().map(i64::to_string).collect();
        transaction
            .prepare(
                "INSERT INTO calibrations (name, seq, program, pulls, told) VALUES (?1, ?2, ?3, ?4, ?5)",
            )?
            .execute(params![name, seq, program, format!("[{}]", numbers.join(",")), told])?;
        transaction.commit()?;
        Ok(())
    }

    /// Whether a name is free.
    ///
    /// # Errors
    /// It is not, or the file cannot be read.
    pub fn is_free(&self, name: &str) -> Result<(), LogbookError> {
        let taken = self.calibrations()?.into_iter().any(|one| one.name == name);
        if taken { Err(LogbookError::CalibrationExists(name.to_owned())) } else { Ok(()) }
    }

    /// All calibrations, in the order of their recording.
    ///
    /// # Errors
    /// The file cannot be read or is damaged.
    pub fn calibrations(&self) -> Result<Vec<KeptCalibration>, LogbookError> {
        let mut statement = self.file.prepare(&format!("SELECT {COLUMNS} ORDER BY c.seq"))?;
        let mut rows = statement.query([])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.push(kept(row)?);
        }
        Ok(all)
    }

    /// The calibration of a name.
    ///
    /// # Errors
    /// There is none of that name, or the file cannot be read or is damaged.
    pub fn calibration(&self, name: &str) -> Result<KeptCalibration, LogbookError> {
        let all = self.calibrations()?;
        let known = all.iter().map(|one| one.name.clone()).collect();
        let found = all.into_iter().find(|one| one.name == name.trim());
        found.ok_or_else(|| LogbookError::NoCalibration { name: name.to_owned(), known })
    }

    /// The pulls of a calibration that were corrected or withdrawn after it was made, in order.
    ///
    /// # Errors
    /// The file cannot be read or is damaged.
    pub fn changed_since(&self, kept: &KeptCalibration) -> Result<Vec<i64>, LogbookError> {
        let all = Filter { withdrawn: true, ..Filter::default() };
        let later = |seq: i64| seq > kept.seq;
        let is_changed = |pull: &Pull| {
            pull.withdrawn.as_ref().is_some_and(|(_, at)| later(at.seq))
                || pull.amendments.iter().any(|(_, at)| later(at.seq))
        };
        let of = |pull: &Pull| kept.pulls.contains(&pull.number) && is_changed(pull);
        Ok(self.readable(&all)?.0.iter().filter(|pull| of(pull)).map(|pull| pull.number).collect())
    }
}

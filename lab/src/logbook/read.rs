//! What stands in a logbook.

use super::field::{Field, Shape};
use super::pull::{Amendment, Forecast, Pull, Recorded};
use super::record::{Record, fill, untold};
use super::{Filter, Logbook, LogbookError};
use rusqlite::types::ValueRef;
use rusqlite::{Connection, OptionalExtension, Row, params};
use std::collections::BTreeMap;

/// The column of a field, or its two columns.
pub(super) fn columns(field: Field) -> Vec<String> {
    match field.shape() {
        Shape::File => vec![format!("{}_name", field.word()), format!("{}_hash", field.word())],
        _ => vec![field.word().to_owned()],
    }
}

impl Logbook {
    /// The pulls that are asked for, in the order of their numbers; those that are withdrawn only where they are asked for as well.
    ///
    /// # Errors
    /// The file cannot be read, or one of its pulls cannot.
    pub fn pulls(&self, filter: &Filter) -> Result<Vec<Pull>, LogbookError> {
        let (pulls, unreadable) = self.readable(filter)?;
        match unreadable.into_iter().next() {
            Some(first) => Err(LogbookError::Damaged(first.words)),
            None => Ok(pulls),
        }
    }

    /// The same, and beside them the pulls that cannot be read: all of these that count, whatever else is asked for.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn readable(&self, filter: &Filter) -> Result<(Vec<Pull>, Vec<Unreadable>), LogbookError> {
        let (mut pulls, mut unreadable) = readable(&self.file, None)?;
        pulls.retain(|pull| filter.meets(pull));
        unreadable.retain(|one| filter.withdrawn || !one.withdrawn);
        Ok((pulls, unreadable))
    }

    /// The pulls of a sample that are planned and have no result yet.
    ///
    /// # Errors
    /// The file cannot be read or is damaged.
    pub fn planned_of(&self, sample: &str) -> Result<Vec<i64>, LogbookError> {
        let of_sample = Filter { sample: Some(sample.to_owned()), ..Filter::default() };
        let open = self.readable(&of_sample)?.0.into_iter().filter(|pull| pull.done.is_none());
        Ok(open.map(|pull| pull.number).collect())
    }

    /// One pull.
    ///
    /// # Errors
    /// There is none of this number, or the file cannot be read or is damaged.
    pub fn pull(&self, number: i64) -> Result<Pull, LogbookError> {
        one(&self.file, number)
    }

    /// The number of the pull that is known by this in every logbook; none where it is not here.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn number_of(&self, uid: &str) -> Result<Option<i64>, LogbookError> {
        let found =
            self.file.query_row("SELECT number FROM pulls WHERE uid = ?1", params![uid], |row| row.get(0));
        Ok(found.optional()?)
    }

    /// The bytes of a model or of a trace.
    ///
    /// # Errors
    /// The file cannot be read, or they are not those of their hash.
    pub fn content(&self, hash: &str) -> Result<Vec<u8>, LogbookError> {
        content(&self.file, hash)
    }

    /// Looks through the whole file for damage.
    ///
    /// # Errors
    /// It is damaged.
    pub fn check(&self) -> Result<(), LogbookError> {
        let told: String = self.file.query_row("PRAGMA integrity_check", [], |row| row.get(0))?;
        if told == "ok" { Ok(()) } else { Err(LogbookError::Damaged(told)) }
    }
}

/// The bytes of a hash, which are those of that hash.
pub(super) fn content(file: &Connection, hash: &str) -> Result<Vec<u8>, LogbookError> {
    let found = file
        .query_row("SELECT bytes FROM contents WHERE hash = ?1", params![hash], |row| {
            row.get::<_, Vec<u8>>(0)
        })
        .optional()?;
    match found {
        Some(bytes) if super::content::sha256(&bytes) == hash => Ok(bytes),
        _ => Err(LogbookError::Damaged(format!("contents {hash}"))),
    }
}

/// How many bytes a hash has; none where it is not there.
pub(super) fn content_length(file: &Connection, hash: &str) -> Result<usize, LogbookError> {
    let found: Option<i64> = file
        .query_row("SELECT length(bytes) FROM contents WHERE hash = ?1", params![hash], |row| row.get(0))
        .optional()?;
    Ok(found.and_then(|length| usize::try_from(length).ok()).unwrap_or_default())
}

/// One pull.
pub(super) fn one(file: &Connection, number: i64) -> Result<Pull, LogbookError> {
    match all(file, Some(number))?.pop() {
        Some(pull) => Ok(pull),
        None => {
            let last = file.query_row("SELECT coalesce(max(number), 0) FROM pulls", [], |row| row.get(0))?;
            Err(LogbookError::NoPull { number, last })
        }
    }
}

/// A pull that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unreadable {
    /// Its number.
    pub number: i64,
    /// What is wrong with it, in words.
    pub words: String,
    /// Whether it is withdrawn.
    pub withdrawn: bool,
}

/// All pulls, or that of a number.
pub(super) fn all(file: &Connection, number: Option<i64>) -> Result<Vec<Pull>, LogbookError> {
    let (pulls, unreadable) = readable(file, number)?;
    match unreadable.into_iter().next() {
        Some(first) => Err(LogbookError::Damaged(first.words)),
        None => Ok(pulls),
    }
}

/// All pulls, or that of a number, and those that cannot be read.
pub(super) fn readable(
    file: &Connection,
    number: Option<i64>,
) -> Result<(Vec<Pull>, Vec<Unreadable>), LogbookError> {
    let fields: Vec<String> = Field::before()
        .flat_map(|field| columns(field).into_iter().map(|column| format!("p.{column}")))
        .chain(Field::results().flat_map(columns).map(|column| format!("r.{column}")))
        .collect();
    let recorded = |table: &str| {
        format!(
            "{table}.seq, (SELECT recorded_at FROM entries WHERE seq = {table}.seq), \
             (SELECT i.file FROM entries e JOIN imports i ON i.id = e.import WHERE e.seq = {table}.seq)"
        )
    };
    let sql = format!(
        "SELECT p.number, p.uid, {}, {}, {}, f.p5_kn, f.p50_kn, f.p95_kn, f.first, f.program, f.inputs, r.peak_kn, f.calibration, {} \
         FROM pulls p LEFT JOIN forecasts f ON f.pull = p.number LEFT JOIN results r ON r.pull = p.number \
         WHERE ?1 IS NULL OR p.number = ?1 ORDER BY p.number",
        recorded("p"),
        recorded("f"),
        recorded("r"),
        fields.join(", ")
    );
    let mut amended = amendments(file, number)?;
    let mut withdrawn = withdrawals(file, number)?;
    let mut statement = file.prepare(&sql)?;
    let mut rows = statement.query(params![number])?;
    let (mut pulls, mut unreadable) = (Vec::new(), Vec::new());
    while let Some(row) = rows.next()? {
        let number = row.get(0)?;
        let pull =
            amended.remove(&number).unwrap_or(Ok(Vec::new())).and_then(|amendments| pull_of(row, amendments));
        match pull {
            Ok(pull) => pulls.push(Pull { withdrawn: withdrawn.remove(&number), ..pull }),
            Err(LogbookError::Damaged(words)) => {
                let withdrawn = withdrawn.contains_key(&number);
                unreadable.push(Unreadable { number, words, withdrawn });
            }
            Err(other) => return Err(other),
        }
    }
    Ok((pulls, unreadable))
}

fn recorded_at(row: &Row<'_>, first: usize) -> rusqlite::Result<Option<Recorded>> {
    let seq: Option<i64> = row.get(first)?;
    seq.map(|seq| Ok(Recorded { seq, at: row.get(first + 1)?, taken_in: row.get(first + 2)? })).transpose()
}

/// Number of the first column of a field.
const FIELDS_FROM: usize = 19;

fn pull_of(row: &Row<'_>, amendments: Vec<(Amendment, Recorded)>) -> Result<Pull, LogbookError> {
    let number: i64 = row.get(0)?;
    let damaged = |what: &str| LogbookError::Damaged(format!("pull {number}: {what}"));
    let planned = recorded_at(row, 2)?.ok_or_else(|| damaged("pulls.seq"))?;
    let done = recorded_at(row, 8)?;
    let forecast = match recorded_at(row, 5)? {
        None => None,
        Some(at) => {
            let forecast = Forecast {
                p5_kn: row.get(11)?,
                p50_kn: row.get(12)?,
                p95_kn: row.get(13)?,
                first: row.get(14)?,
                program: row.get(15)?,
                inputs: row.get(16)?,
                calibration: row.get(18)?,
            };
            // What was recorded after the result is no forecast.
            if done.as_ref().is_some_and(|done| done.seq <= at.seq) {
                return Err(damaged("forecasts.seq"));
            }
            Some((forecast, at))
        }
    };
    let mut first = Record { pulled: done.is_some().then(untold), ..Record::default() };
    let mut column = FIELDS_FROM;
    let mut values = Vec::new();
    for field in Field::ALL {
        let value = match field.shape() {
            Shape::File => {
                let (name, hash) = (text(row, column)?, text(row, column + 1)?);
                column += 2;
                name.map(|name| format!("{} {name}", hash.as_deref().unwrap_or("-")))
            }
            _ => {
                column += 1;
                text(row, column - 1)?
            }
        };
        if done.is_some() || !field.is_result() {
            values.push((field, value));
        }
    }
    fill(&mut first, values).map_err(|mistakes| damaged(mistakes.first().map_or("", |m| m.field.word())))?;
    let kn: Option<f64> = row.get(17)?;
    if first.pulled.as_ref().map(|pulled| pulled.peak.kn) != kn {
        return Err(damaged("peak_kn"));
    }
    let mut now = first.clone();
    for (amendment, _) in &amendments {
        if now.get(amendment.field) != amendment.old
            || now.set(amendment.field, amendment.new.as_deref()).is_err()
        {
            return Err(damaged(amendment.field.word()));
        }
    }
    Ok(Pull { number, uid: row.get(1)?, planned, done, forecast, first, now, amendments, withdrawn: None })
}

/// A column as a text, whatever its type.
fn text(row: &Row<'_>, column: usize) -> rusqlite::Result<Option<String>> {
    Ok(match row.get_ref(column)? {
        ValueRef::Null | ValueRef::Blob(_) => None,
        ValueRef::Integer(number) => Some(number.to_string()),
        ValueRef::Real(number) => Some(number.to_string()),
        ValueRef::Text(_) => Some(row.get(column)?),
    })
}

/// Why pulls are withdrawn, by their numbers.
fn withdrawals(
    file: &Connection,
    number: Option<i64>,
) -> Result<BTreeMap<i64, (String, Recorded)>, LogbookError> {
    let mut statement = file.prepare(
        "SELECT w.pull, w.seq, e.recorded_at, i.file, w.why \
         FROM withdrawals w JOIN entries e ON e.seq = w.seq LEFT JOIN imports i ON i.id = e.import \
         WHERE ?1 IS NULL OR w.pull = ?1",
    )?;
    let found = statement.query_map(params![number], |row| {
        let at = Recorded { seq: row.get(1)?, at: row.get(2)?, taken_in: row.get(3)? };
        Ok((row.get(0)?, (row.get(4)?, at)))
    })?;
    Ok(found.collect::<rusqlite::Result<_>>()?)
}

/// Corrections of pulls by their numbers, or why one of them cannot be read.
type Amended = BTreeMap<i64, Result<Vec<(Amendment, Recorded)>, LogbookError>>;

fn amendments(file: &Connection, number: Option<i64>) -> Result<Amended, LogbookError> {
    let mut statement = file.prepare(
        "SELECT a.pull, a.seq, e.recorded_at, i.file, a.field, a.old_value, a.new_value, a.why \
         FROM amendments a JOIN entries e ON e.seq = a.seq LEFT JOIN imports i ON i.id = e.import \
         WHERE ?1 IS NULL OR a.pull = ?1 ORDER BY a.seq",
    )?;
    let mut rows = statement.query(params![number])?;
    let mut found: Amended = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let (pull, word): (i64, String) = (row.get(0)?, row.get(4)?);
        let Some(field) = Field::of(&word) else {
            found.insert(pull, Err(LogbookError::Damaged(format!("pull {pull}: amendments.field {word}"))));
            continue;
        };
        let at = Recorded { seq: row.get(1)?, at: row.get(2)?, taken_in: row.get(3)? };
        let amendment = Amendment {
            recorded_at: at.at.clone(),
            field,
            old: row.get(5)?,
            new: row.get(6)?,
            why: row.get(7)?,
        };
        if let Ok(all) = found.entry(pull).or_insert(Ok(Vec::new())) {
            all.push((amendment, at));
        }
    }
    Ok(found)
}

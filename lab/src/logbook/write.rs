//! What is recorded. Each of these is one transaction: it is on the disk when it returns, or nothing of it is.

use super::content::keep;
use super::dates::now;
use super::field::{Field, Shape};
use super::pull::Forecast;
use super::read::{columns, one};
use super::record::{Plan, Pulled, Record};
use super::value::Problem;
use super::{Logbook, LogbookError};
use rusqlite::types::Value;
use rusqlite::{Connection, params, params_from_iter};

/// Longest reason of an amendment, letters.
pub const LONGEST_WHY: usize = 1000;

/// Where what is recorded comes from, and when it was: from the clock, or from a package.
#[derive(Clone, Debug, Default)]
pub(super) struct Origin {
    /// The package.
    pub import: Option<i64>,
}

impl Logbook {
    /// Records sample, model and rig of a pull to come, with what is forecast of it. Gives its number.
    ///
    /// # Errors
    /// A value may not be, a forecast is none, or the file cannot be written.
    pub fn plan(
        &mut self,
        plan: &Plan,
        forecast: Option<&Forecast>,
        kept: &[&[u8]],
    ) -> Result<i64, LogbookError> {
        self.plan_known_by(None, plan, forecast, kept)
    }

    /// The same, known by what whoever plans it has chosen, so that one who got no answer can ask for it again and not twice:
    /// 32 hexadecimal digits.
    ///
    /// # Errors
    /// As [`Self::plan`], and one that is known by that is there already.
    pub fn plan_known_by(
        &mut self,
        uid: Option<&str>,
        plan: &Plan,
        forecast: Option<&Forecast>,
        kept: &[&[u8]],
    ) -> Result<i64, LogbookError> {
        checked(&Record { plan: plan.clone(), pulled: None })?;
        if forecast.is_some_and(|forecast| !forecast.is_sound()) {
            return Err(LogbookError::NoForecast);
        }
        let transaction = self.begin()?;
        let at = now();
        for bytes in kept {
            keep(&transaction, bytes)?;
        }
        let number = put_plan(&transaction, &at, uid, plan, &Origin::default())?;
        if let Some(forecast) = forecast {
            put_forecast(&transaction, &at, number, forecast, &Origin::default())?;
        }
        transaction.commit()?;
        Ok(number)
    }

    /// Records a pull that was not planned. Gives its number.
    ///
    /// # Errors
    /// A value may not be, or the file cannot be written.
    pub fn add(&mut self, plan: &Plan, pulled: &Pulled, kept: &[&[u8]]) -> Result<i64, LogbookError> {
        checked(&Record { plan: plan.clone(), pulled: Some(pulled.clone()) })?;
        let transaction = self.begin()?;
        let at = now();
        for bytes in kept {
            keep(&transaction, bytes)?;
        }
        let number = put_plan(&transaction, &at, None, plan, &Origin::default())?;
        put_result(&transaction, &at, number, pulled, &Origin::default())?;
        transaction.commit()?;
        Ok(number)
    }

    /// Records the result of a pull that was planned.
    ///
    /// # Errors
    /// There is no such pull, it has a result, a value may not be, or the file cannot be written.
    pub fn finish(&mut self, number: i64, pulled: &Pulled, kept: &[&[u8]]) -> Result<(), LogbookError> {
        let transaction = self.begin()?;
        let pull = one(&transaction, number)?;
        if pull.withdrawn.is_some() {
            return Err(LogbookError::Withdrawn(number));
        }
        if pull.done.is_some() {
            return Err(LogbookError::HasResult(number));
        }
        checked(&Record { plan: pull.now.plan, pulled: Some(pulled.clone()) })?;
        for bytes in kept {
            keep(&transaction, bytes)?;
        }
        put_result(&transaction, &now(), number, pulled, &Origin::default())?;
        transaction.commit()?;
        Ok(())
    }

    /// Corrects values of a pull. What stood there stays on record.
    ///
    /// # Errors
    /// There is no such pull, a field is named twice, a value may not be or stands there already, a field belongs to a result that is not
    /// there or to a forecast that is, or the file cannot be written.
    pub fn amend(
        &mut self,
        number: i64,
        changes: &[(Field, Option<String>)],
        why: &str,
        kept: &[&[u8]],
    ) -> Result<(), LogbookError> {
        let transaction = self.begin()?;
        let pull = one(&transaction, number)?;
        if pull.withdrawn.is_some() {
            return Err(LogbookError::Withdrawn(number));
        }
        let fields = |is: &dyn Fn(Field) -> bool| -> Vec<Field> {
            changes.iter().map(|change| change.0).filter(|field| is(*field)).collect()
        };
        let named = |field: Field| changes.iter().filter(|change| change.0 == field).count();
        let mut twice = fields(&|field| named(field) > 1);
        twice.sort();
        twice.dedup();
        if !twice.is_empty() {
            return Err(LogbookError::Twice(twice));
        }
        let early = fields(&|field| field.is_result() && pull.done.is_none());
        if !early.is_empty() {
            return Err(LogbookError::NoResult { number, fields: early });
        }
        let locked = fields(&|field| field.is_forecast_from() && pull.forecast.is_some());
        if !locked.is_empty() {
            return Err(LogbookError::LockedByForecast { number, fields: locked });
        }
        let mut now_is = pull.now.clone();
        super::record::fill(&mut now_is, changes.iter().cloned()).map_err(LogbookError::Values)?;
        checked(&now_is)?;
        let same = fields(&|field| pull.now.get(field) == now_is.get(field));
        if !same.is_empty() {
            return Err(LogbookError::Unchanged { number, fields: same });
        }
        for bytes in kept {
            keep(&transaction, bytes)?;
        }
        let at = now();
        for (field, _) in changes {
            let values = [pull.now.get(*field), now_is.get(*field)];
            put_amendment(&transaction, &at, number, *field, &values, why, &Origin::default())?;
        }
        transaction.commit()?;
        Ok(())
    }
}

impl Logbook {
    /// Withdraws a pull: it stays on record, and counts no more. One that cannot be read may be withdrawn, too.
    ///
    /// # Errors
    /// There is no such pull, it is withdrawn already, the reason is none, or the file cannot be written.
    pub fn withdraw(&mut self, number: i64, why: &str) -> Result<(), LogbookError> {
        let transaction = self.begin()?;
        match one(&transaction, number) {
            Ok(pull) if pull.withdrawn.is_some() => return Err(LogbookError::Withdrawn(number)),
            Ok(_) | Err(LogbookError::Damaged(_)) => {}
            Err(other) => return Err(other),
        }
        put_withdrawal(&transaction, &now(), number, why, &Origin::default())?;
        transaction.commit()?;
        Ok(())
    }
}

/// Places are words of others: whoever reads what is typed knows them.
fn checked(record: &Record) -> Result<(), LogbookError> {
    let mistakes = record.mistakes(&|_| true);
    if mistakes.is_empty() { Ok(()) } else { Err(LogbookError::Values(mistakes)) }
}

/// Why an amendment is made, as it is kept.
///
/// # Errors
/// Nothing, or too much.
pub fn reason(why: &str) -> Result<String, Problem> {
    let why = why.trim();
    match why {
        "" => Err(Problem::Empty),
        long if long.chars().count() > LONGEST_WHY => Err(Problem::TooLong { most: LONGEST_WHY }),
        plain if plain.chars().any(char::is_control) => Err(Problem::Control),
        plain => Ok(plain.to_owned()),
    }
}

pub(super) fn put_entry(file: &Connection, at: &str, origin: &Origin) -> Result<i64, LogbookError> {
    file.prepare("INSERT INTO entries (recorded_at, import) VALUES (?1, ?2)")?
        .execute(params![at, origin.import])?;
    Ok(file.last_insert_rowid())
}

/// A field's value as its column, or its columns, have it.
fn values(record: &Record, field: Field) -> Vec<Value> {
    let text = record.get(field);
    let typed = |text: Option<String>| text.map_or(Value::Null, Value::Text);
    match (field.shape(), text) {
        (Shape::File, Some(text)) => {
            let (hash, name) = text.split_once(' ').unwrap_or(("-", &text));
            let hash = (hash != "-").then(|| hash.to_owned());
            vec![Value::Text(name.to_owned()), typed(hash)]
        }
        (Shape::File, None) => vec![Value::Null, Value::Null],
        (Shape::Number(_), Some(text)) => vec![text.parse().map_or(Value::Null, Value::Real)],
        (Shape::Count(_), Some(text)) => vec![text.parse().map_or(Value::Null, Value::Integer)],
        (_, text) => vec![typed(text)],
    }
}

fn insert(
    file: &Connection,
    table: &str,
    fields: &[Field],
    record: &Record,
    own: Vec<(&str, Value)>,
) -> Result<(), LogbookError> {
    let mut names: Vec<String> = own.iter().map(|own| own.0.to_owned()).collect();
    let mut all: Vec<Value> = own.into_iter().map(|own| own.1).collect();
    for field in fields {
        names.extend(columns(*field));
        all.extend(values(record, *field));
    }
    let places: Vec<String> = (1..=names.len()).map(|place| format!("?{place}")).collect();
    let sql = format!("INSERT INTO {table} ({}) VALUES ({})", names.join(", "), places.join(", "));
    file.prepare(&sql)?.execute(params_from_iter(all))?;
    Ok(())
}

pub(super) fn put_plan(
    file: &Connection,
    at: &str,
    uid: Option<&str>,
    plan: &Plan,
    origin: &Origin,
) -> Result<i64, LogbookError> {
    let seq = put_entry(file, at, origin)?;
    let uid = match uid {
        Some(uid) => uid.to_owned(),
        None => file.query_row("SELECT lower(hex(randomblob(16)))", [], |row| row.get(0))?,
    };
    let fields: Vec<Field> = Field::before().collect();
    let record = Record { plan: plan.clone(), pulled: None };
    insert(file, "pulls", &fields, &record, vec![("seq", Value::Integer(seq)), ("uid", Value::Text(uid))])?;
    Ok(file.last_insert_rowid())
}

pub(super) fn put_forecast(
    file: &Connection,
    at: &str,
    number: i64,
    forecast: &Forecast,
    origin: &Origin,
) -> Result<(), LogbookError> {
    let seq = put_entry(file, at, origin)?;
    let Forecast { p5_kn, p50_kn, p95_kn, first, program, inputs, calibration } = forecast;
    file.prepare(
        "INSERT INTO forecasts (pull, seq, p5_kn, p50_kn, p95_kn, first, program, inputs, calibration) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )?
    .execute(params![number, seq, p5_kn, p50_kn, p95_kn, first, program, inputs, calibration])?;
    Ok(())
}

pub(super) fn put_result(
    file: &Connection,
    at: &str,
    number: i64,
    pulled: &Pulled,
    origin: &Origin,
) -> Result<(), LogbookError> {
    let seq = put_entry(file, at, origin)?;
    let fields: Vec<Field> = Field::results().collect();
    let own = vec![
        ("pull", Value::Integer(number)),
        ("seq", Value::Integer(seq)),
        ("peak_kn", Value::Real(pulled.peak.kn)),
    ];
    let record = Record { plan: Plan::default(), pulled: Some(pulled.clone()) };
    insert(file, "results", &fields, &record, own)
}

pub(super) fn put_amendment(
    file: &Connection,
    at: &str,
    number: i64,
    field: Field,
    [old, new]: &[Option<String>; 2],
    why: &str,
    origin: &Origin,
) -> Result<(), LogbookError> {
    let why = reason(why).map_err(LogbookError::Why)?;
    let seq = put_entry(file, at, origin)?;
    file.prepare(
        "INSERT INTO amendments (seq, pull, field, old_value, new_value, why) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?
    .execute(params![seq, number, field.word(), old, new, why])?;
    Ok(())
}

pub(super) fn put_withdrawal(
    file: &Connection,
    at: &str,
    number: i64,
    why: &str,
    origin: &Origin,
) -> Result<(), LogbookError> {
    let why = reason(why).map_err(LogbookError::Why)?;
    let seq = put_entry(file, at, origin)?;
    file.prepare("INSERT INTO withdrawals (pull, seq, why) VALUES (?1, ?2, ?3)")?
        .execute(params![number, seq, why])?;
    Ok(())
}

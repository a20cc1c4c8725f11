//! The result of a pull that was planned: what `pullmap log add NUMBER` does.

use super::trace::name_of;
use super::{Kept, refused};
use crate::args::ResultFields;
use crate::failure::Failure;
use crate::live::api_error::ApiError;
use crate::live::reply::Reply;
use crate::live::told::Mistake;
use crate::live::turns::Claim;
use crate::recording::{all_right, finish, needed, peak_of_trace, result_of};
use lab::logbook::content::sha256;
use lab::logbook::record::{fill, untold};
use lab::logbook::{Field, LogbookError, Record};
use report::caution::CAUTION;
use report::logbook::{Line, added, no_traced_peak_on_a_page};
use report::reason::Reason;
use serde::Deserialize;
use serde_json::json;

/// Where a page asks for it.
pub const ADD: &str = "/api/log/add";

/// `/api/log/add`, before the bytes of the trace.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct OfAdd {
    /// The pull.
    number: i64,
    /// What the pull is known by that the page has in sight: the logbook may be another one by now.
    #[serde(default)]
    uid: Option<String>,
    /// What is told of the result.
    #[serde(default)]
    fields: TypedResult,
    /// What the trace is called, where there is one.
    #[serde(default)]
    trace: Option<String>,
}

/// What is told of a result, each as it is typed behind its option.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
struct TypedResult {
    pulled_on: Option<String>,
    peak: Option<String>,
    outcome: Option<String>,
    place: Option<String>,
    remark: Option<String>,
}

/// Records a result.
///
/// # Errors
/// A page that others reach, values that may not be, a pull that is not there or has a result, a logbook that cannot be written.
pub fn add(kept: &Kept, ticket: u64, asked: &OfAdd, bytes: &[u8], wanted: &Claim) -> Result<Reply, ApiError> {
    let path = kept.to_write()?;
    let TypedResult { pulled_on: date, peak, outcome, place, remark } = asked.fields.clone();
    let fields = ResultFields { date, peak, outcome, place, remark, ..ResultFields::default() };
    let mut result = result_of(&fields);
    let mut said = String::new();
    let mut no_peak = None;
    if let Some(name) = &asked.trace {
        result.push((Field::Trace, Some(format!("{} {}", sha256(bytes), name_of(name)))));
        match peak_of_trace(fields.peak.as_deref(), bytes, &mut result) {
            Ok(words) => said = words,
            Err(why) => no_peak = Some(no_traced_peak_on_a_page(&why)),
        }
    }
    let mut record = Record { pulled: Some(untold()), ..Record::default() };
    let filled = fill(&mut record, needed(result.clone(), &[Field::Peak]));
    // Why there is no peak is told by the trace that was to give it; everything else beside it.
    let mut mistakes = match all_right(filled, &result) {
        Ok(()) => Vec::new(),
        Err(Failure::Logbook(LogbookError::Values(mistakes))) => mistakes,
        Err(other) => return Err(refused::failure(other)),
    };
    mistakes.retain(|mistake| mistake.field != Field::Peak || no_peak.is_none());
    let mut told: Vec<Mistake> = mistakes.iter().map(refused::value).collect();
    told.extend(no_peak.map(|why| Mistake::about(Field::Peak.word(), Reason::OfKey(why))));
    if !told.is_empty() {
        return Err(refused::all(told));
    }
    wanted.check()?;
    let contents: &[&[u8]] = if asked.trace.is_some() { &[bytes] } else { &[] };
    let pull =
        finish(path, (asked.number, asked.uid.as_deref()), record, contents).map_err(refused::logbook)?;
    let says = format!("{}{said}", added(&pull));
    Ok(Reply::Json(json!({
        "ticket": ticket,
        "number": asked.number,
        "says": says.lines().collect::<Vec<_>>(),
        "line": Line::new(&pull),
        "caution": CAUTION,
    })))
}

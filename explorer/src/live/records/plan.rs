//! The forecast of the state that a page shows, recorded before its pull: what `pullmap log plan` does.

use super::trace::name_of;
use super::{Kept, refused};
use crate::args::SampleFields;
use crate::live::api_error::{ApiError, of_case};
use crate::live::prepared::Systems;
use crate::live::reply::Reply;
use crate::live::state::State;
use crate::live::told::Mistake;
use crate::live::turns::Claim;
use crate::recording::{OfSample, forecast_of, of_sample, planned};
use lab::logbook::Logbook;
use report::caution::CAUTION;
use report::logbook::{Line, planned_on_a_page};
use report::page::records::another_logbook;
use report::reason::Reason;
use serde::Deserialize;
use serde_json::json;
use study::model::Source;

/// Where a page asks for it.
pub const PLAN: &str = "/api/log/plan";

/// `/api/log/plan`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct OfPlan {
    /// The state.
    state: State,
    /// What the pull is to be known by, 32 hexadecimal digits: a page that got no answer asks again by it, and nothing is recorded twice.
    #[serde(default)]
    uid: Option<String>,
    /// The logbook that the page shows.
    #[serde(default)]
    logbook: Option<String>,
    /// The file that an own model was opened from, where there is one.
    #[serde(default)]
    file: String,
    /// What is told of the sample.
    #[serde(default)]
    fields: TypedSample,
}

/// What is told of a sample, each as it is typed behind its option.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
struct TypedSample {
    sample: Option<String>,
    kind: Option<String>,
    marked_closed_kn: Option<String>,
}

/// Records a forecast.
///
/// # Errors
/// A page that others reach, an impossible state, values that may not be, a logbook that cannot be written, or nobody wants it any more.
pub fn plan(
    kept: &Kept,
    systems: &Systems,
    ticket: u64,
    asked: &OfPlan,
    wanted: &Claim,
) -> Result<Reply, ApiError> {
    let path = kept.to_write()?;
    if asked.logbook.as_deref().is_some_and(|shown| shown != path.display().to_string()) {
        return Err(refused::all(vec![Mistake::about("", Reason::Whole(another_logbook(path.display())))]));
    }
    let checked = asked.state.check()?;
    let own = asked.state.model.is_object() && !asked.file.is_empty();
    let file = if own { name_of(&asked.file) } else { checked.source.file.clone() };
    let of = OfSample::of(Source { file, ..checked.source }, checked.model, checked.sets);
    let TypedSample { sample, kind, marked_closed_kn: marking } = asked.fields.clone();
    let sample = of_sample(&SampleFields { sample, kind, marking, ..SampleFields::default() });
    let record = planned(&of, sample).map_err(refused::failure)?;
    // A logbook that cannot be written is told before anything is computed.
    let mut open = Logbook::write(path).map_err(refused::logbook)?;
    let uid = asked
        .uid
        .as_deref()
        .filter(|uid| uid.len() == 32 && uid.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')));
    if let Some(number) =
        uid.and_then(|uid| open.number_of(uid).transpose()).transpose().map_err(refused::logbook)?
    {
        return reply(&open, ticket, number);
    }
    let forecast = wanted
        .watched(|begins, watch| forecast_of(systems.engine(), &of.model, None, begins, &watch))
        .map_err(|error| of_case(&error))?;
    wanted.check()?;
    let text = of.source.text.as_bytes();
    let number = open.plan_known_by(uid, &record.plan, Some(&forecast), &[text]).map_err(refused::logbook)?;
    reply(&open, ticket, number)
}

fn reply(open: &Logbook, ticket: u64, number: i64) -> Result<Reply, ApiError> {
    let pull = open.pull(number).map_err(refused::logbook)?;
    Ok(Reply::Json(json!({
        "ticket": ticket,
        "number": number,
        "says": planned_on_a_page(&pull),
        "line": Line::new(&pull),
        "caution": CAUTION,
    })))
}

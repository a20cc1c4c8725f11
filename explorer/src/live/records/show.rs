//! One pull, as `pullmap log show` tells it, with the state of the page that it was planned with.

use super::{Kept, refused};
use crate::live::api_error::ApiError;
use crate::live::reply::Reply;
use crate::live::state::flat;
use crate::source::builtin;
use lab::logbook::{Logbook, LogbookError, Pull};
use report::caution::CAUTION;
use report::logbook::{ShowDocument, Shown};
use serde::Deserialize;
use serde_json::{Map, Value as Json, json};
use std::path::Path;

/// Where a page asks for it.
pub const SHOW: &str = "/api/log/show";

/// `/api/log/show`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct OfShow {
    /// Its number.
    number: i64,
}

/// Shows a pull.
///
/// # Errors
/// A page that others reach, a pull that is not there, or a logbook that cannot be read.
pub fn show(kept: &Kept, ticket: u64, asked: &OfShow) -> Result<Reply, ApiError> {
    let open = Logbook::read(kept.to_read()?).map_err(refused::logbook)?;
    let pull = open.pull(asked.number).map_err(refused::logbook)?;
    let state = state_of(&open, &pull).map_err(refused::logbook)?;
    let document = ShowDocument::new(&pull);
    let file = pull.now.plan.model.as_ref().map(|model| &model.name);
    Ok(Reply::Json(json!({
        "ticket": ticket,
        "pull": document,
        "told": Shown::new(&pull),
        "state": state,
        "file": file,
        "caution": CAUTION,
    })))
}

/// The state that shows the model of a pull with what was set over it; null where no model is kept of it, or its text is none.
fn state_of(open: &Logbook, pull: &Pull) -> Result<Option<Json>, LogbookError> {
    let plan = &pull.now.plan;
    let Some((model, hash)) = plan.model.as_ref().and_then(|model| Some((model, model.sha256.as_ref()?)))
    else {
        return Ok(None);
    };
    let bytes = open.content(hash)?;
    let text = String::from_utf8_lossy(&bytes);
    let own = || {
        let mut values = flat(&text);
        // A file without a title goes by its name, as where it is opened.
        let stem = Path::new(&model.name).file_stem().map(|stem| stem.to_string_lossy().into_owned());
        if !values.is_empty()
            && let Some(stem) = stem
        {
            values.entry("title").or_insert_with(|| json!(stem));
        }
        (!values.is_empty()).then(|| json!(values))
    };
    let is_built_in = builtin::find(&model.name).is_some_and(|known| known == text);
    let shown = if is_built_in { Some(json!(model.name)) } else { own() };
    let set: Map<String, Json> = plan
        .sets
        .iter()
        .filter_map(|pair| pair.split_once('='))
        .map(|(key, value)| (key.to_owned(), json!(value)))
        .collect();
    Ok(shown.map(|model| json!({ "model": model, "set": set })))
}

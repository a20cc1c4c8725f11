//! The pulls of a logbook, as `pullmap log list` tells them, the newest first and so many at a time.

use super::{Kept, refused};
use crate::args::TypedFilter;
use crate::live::api_error::ApiError;
use crate::live::reply::Reply;
use lab::logbook::{Filter, Logbook, LogbookError};
use report::caution::CAUTION;
use report::logbook::{Line, error_on_a_page, how_many, left_out, not_listed};
use serde::Deserialize;
use serde_json::json;

/// Where a page asks for them.
pub const LIST: &str = "/api/log/list";

/// Pulls that are told at once.
const AT_ONCE: usize = 50;
/// And at most.
const MOST: usize = 5000;

/// `/api/log/list`.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct OfList {
    /// Which pulls.
    #[serde(default)]
    filter: TypedFilter,
    /// Whether those that are withdrawn are listed as well.
    #[serde(default)]
    withdrawn: bool,
    /// How many of the newest are left out.
    #[serde(default)]
    from: usize,
    /// So many are told where there are as many, beyond the usual count: those that a page lists already.
    #[serde(default)]
    at_least: usize,
}

/// Lists pulls. Where there is no logbook yet it says how one begins.
///
/// # Errors
/// A page that others reach, a filter that is none, or a logbook that cannot be read.
pub fn list(kept: &Kept, ticket: u64, asked: &OfList) -> Result<Reply, ApiError> {
    let path = kept.to_read()?;
    let filter = asked.filter.filter().map_err(refused::typed)?;
    let open = match Logbook::read(path) {
        Ok(open) => open,
        Err(error @ (LogbookError::NotThere(_) | LogbookError::NothingInIt(_))) => {
            let [says, begins] = error_on_a_page(&error);
            return Ok(Reply::Json(
                json!({ "ticket": ticket, "there": false, "says": says, "begins": begins }),
            ));
        }
        Err(error) => return Err(refused::logbook(error)),
    };
    let (mut pulls, unreadable) =
        open.readable(&Filter { withdrawn: true, ..filter }).map_err(refused::logbook)?;
    let all = pulls.len();
    pulls.retain(|pull| asked.withdrawn || pull.withdrawn.is_none());
    let lines: Vec<Line> = pulls
        .iter()
        .rev()
        .skip(asked.from)
        .take(asked.at_least.clamp(AT_ONCE, MOST))
        .map(Line::new)
        .collect();
    Ok(Reply::Json(json!({
        "ticket": ticket,
        "there": true,
        "file": path.display().to_string(),
        "sentence": how_many(&pulls),
        "not_listed": not_listed(all - pulls.len()),
        "left_out": left_out(&unreadable).lines().collect::<Vec<_>>(),
        "count": pulls.len(),
        "from": asked.from,
        "pulls": lines,
        "caution": CAUTION,
    })))
}

//! How far an answer has come that a page waits for. Asked beside all queues, and answered at once.

use super::api_error::ApiError;
use super::protocol::{self, HowFar};
use super::pull::PULL;
use super::reply::Reply;
use super::turns::Turns;
use super::under_way::Told;
use report::page;
use serde_json::json;

/// Tells it.
///
/// # Errors
/// The request is not of the form that the protocol describes.
pub fn progress(turns: &Turns, body: &[u8]) -> Result<Reply, ApiError> {
    let (envelope, asked) = protocol::read::<HowFar>(body)?;
    let waiting = if asked.of == PULL { page::WAITING_FOR_A_PULL } else { page::WAITING };
    let progress = turns.progress(&envelope.session, &asked.of, envelope.ticket);
    let told = progress.map(|progress| Told::new(progress, waiting));
    Ok(Reply::Json(json!(told.unwrap_or_default())))
}

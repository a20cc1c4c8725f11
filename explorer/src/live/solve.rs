//! A state solved: what `/api/solve` and each question on a wire ask for.

use super::answer::answer;
use super::api_error::ApiError;
use super::endpoint::{Endpoint, in_turn};
use super::protocol::Solve;
use super::reply::Reply;
use super::shared::Live;
use std::sync::Arc;
use std::time::Instant;

/// Its address.
pub const SOLVE: Endpoint = Endpoint::quick("/api/solve");

/// Answers a question of `/api/solve`, whichever way it came.
///
/// # Errors
/// It is not of the form that the protocol describes, the state is impossible, or nobody wants the answer any more.
pub async fn solved(live: Arc<Live>, body: &[u8]) -> Result<Reply, ApiError> {
    in_turn::<Solve>(SOLVE, live, body, |systems, envelope, asked, wanted| {
        let clock = Instant::now();
        let checked = asked.state.check()?;
        let prepared = systems.take(&checked.model)?;
        wanted.check()?;
        let bytes = answer(&checked, &prepared, &asked.want, (envelope.ticket, clock.elapsed()))?;
        Ok(Reply::Bytes("application/octet-stream", bytes))
    })
    .await
}

//! A standing connection for what a moving hand asks: the questions of `/api/solve`, without a request for each.
//!
//! A browser takes 5 to 10 ms to send a request and to hear that it was answered, as long as the solve itself; a message
//! on an open socket takes one. What is asked and answered is the same, word for word; an answer that is not the wanted
//! one comes as text, with its status in it.

use super::api_error::{ApiError, Fault};
use super::bad_request::BadRequest;
use super::endpoint::LARGEST_BODY;
use super::reply::Reply;
use super::shared::Live;
use super::solve::solved;
use axum::body::{Body, Bytes};
use axum::extract::ws::{Message, WebSocket, WebSocketUpgrade};
use axum::http::Response;
use serde_json::{Value as Json, json};
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::OwnedSemaphorePermit;
use tokio::task::JoinSet;
use tokio::time::Instant;

/// Questions of one wire that are in work; the next is read when one of them is answered.
const AT_ONCE: usize = 4;
/// A message must be taken by then.
const TAKEN_TIME: Duration = Duration::from_secs(10);

/// A wire that was silent for so long is pinged, and cut when nothing is heard for as long again: a peer that vanished
/// without a word would keep its place for ever.
const SILENCE: Duration = Duration::from_secs(15);

/// Lays a wire, and holds its place until it is cut.
pub fn lay(live: Arc<Live>, place: OwnedSemaphorePermit, upgrade: WebSocketUpgrade) -> Response<Body> {
    upgrade.max_message_size(LARGEST_BODY).max_frame_size(LARGEST_BODY).on_upgrade(async move |socket| {
        converse(live, socket).await;
        drop(place);
    })
}

async fn converse(live: Arc<Live>, mut socket: WebSocket) {
    // Dropped with the wire: what is then still in work is wanted by nobody, and notices.
    let mut in_work = JoinSet::new();
    let (mut silent_from, mut pinged) = (Instant::now(), false);
    loop {
        tokio::select! {
            // Questions that wait for their turn to be read are no silence.
            () = tokio::time::sleep_until(silent_from + SILENCE), if in_work.is_empty() => {
                let ping = socket.send(Message::Ping(Bytes::new()));
                if pinged || !matches!(tokio::time::timeout(TAKEN_TIME, ping).await, Ok(Ok(()))) {
                    return;
                }
                (silent_from, pinged) = (Instant::now(), true);
            }
            Some(answered) = in_work.join_next() => {
                let message = answered.unwrap_or_else(|_| told(&Fault::Lost.into(), 0));
                match tokio::time::timeout(TAKEN_TIME, socket.send(message)).await {
                    Ok(Ok(())) => {}
                    _ => return,
                }
                (silent_from, pinged) = (Instant::now(), false);
            }
            heard = socket.recv(), if in_work.len() < AT_ONCE => {
                (silent_from, pinged) = (Instant::now(), false);
                match heard {
                Some(Ok(Message::Text(text))) => {
                    let live = Arc::clone(&live);
                    in_work.spawn(async move { answer(live, text.as_bytes()).await });
                }
                Some(Ok(Message::Binary(_))) => {
                    in_work.spawn(async { told(&BadRequest::NoText.into(), 0) });
                }
                Some(Ok(Message::Ping(_) | Message::Pong(_))) => {}
                Some(Ok(Message::Close(_)) | Err(_)) | None => return,
            }}
        }
    }
}

async fn answer(live: Arc<Live>, question: &[u8]) -> Message {
    match solved(live, question).await {
        Ok(Reply::Bytes(_, bytes)) => Message::Binary(bytes.into()),
        Ok(Reply::Json(json)) => Message::Text(json.to_string().into()),
        Err(error) => {
            let ticket =
                serde_json::from_slice::<Json>(question).ok().and_then(|asked| asked["ticket"].as_u64());
            told(&error, ticket.unwrap_or(0))
        }
    }
}

/// An answer that is not the wanted one: `{ status, ticket, error, mistakes }`.
fn told(error: &ApiError, ticket: u64) -> Message {
    let mut json: Json = serde_json::from_str(&error.to_json()).unwrap_or_default();
    json["status"] = json!(error.status());
    json["ticket"] = json!(ticket);
    Message::Text(json.to_string().into())
}

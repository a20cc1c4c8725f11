//! What a request is answered with.

use super::api_error::ApiError;
use axum::body::Body;
use axum::http::header::{CONNECTION, CONTENT_TYPE, HeaderValue};
use axum::http::{Response, StatusCode};
use serde_json::Value as Json;

/// What a request that could be answered is answered with.
#[derive(Debug, PartialEq)]
pub enum Reply {
    /// JSON.
    Json(Json),
    /// Anything else, with its content type.
    Bytes(&'static str, Vec<u8>),
}

/// A response with its status and content type.
pub fn respond(status: u16, kind: &'static str, body: impl Into<Body>) -> Response<Body> {
    let mut response = Response::new(body.into());
    *response.status_mut() = StatusCode::from_u16(status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    response.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static(kind));
    response
}

/// What a request that failed is answered with.
pub fn refuse(error: &ApiError) -> Response<Body> {
    let mut response = respond(error.status(), "application/json", error.to_json());
    if matches!(error, ApiError::TooLarge(_) | ApiError::TooSlow(_) | ApiError::Forbidden(_)) {
        // What is still on its way of this request is not read.
        response.headers_mut().insert(CONNECTION, HeaderValue::from_static("close"));
    }
    response
}

impl Reply {
    /// The response, with status 200.
    pub fn into_response(self) -> Response<Body> {
        match self {
            Self::Json(json) => respond(200, "application/json", json.to_string()),
            Self::Bytes(kind, bytes) => respond(200, kind, bytes),
        }
    }
}

/// A reply, or why there is none.
pub fn respond_with(reply: Result<Reply, ApiError>) -> Response<Body> {
    match reply {
        Ok(reply) => reply.into_response(),
        Err(error) => refuse(&error),
    }
}

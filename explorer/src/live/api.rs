//! The addresses of the server: what comes in at each, in which queue it is worked on, and what goes out.

use super::allowed::VERSION;
use super::api_error::ApiError;
use super::bad_request::BadRequest;
use super::carried;
use super::endpoint::{Endpoint, LARGEST_BODY, in_turn};
use super::guard::add_headers;
use super::limits::limits_json;
use super::prepared::Systems;
use super::protocol::{Envelope, Judge, OfState, Open};
use super::reply::{Reply, refuse, respond, respond_with};
use super::shared::Live;
use super::solve::{SOLVE, solved};
use super::turns::Claim;
use super::{
    assets, charts, explanation, export, offline_page, parameters, progress, pull, range, records,
    sensitivity, state, wire,
};
use crate::source::builtin;
use crate::tracing::LARGEST;
use axum::Router;
use axum::body::{Body, Bytes};
use axum::extract::ws::WebSocketUpgrade;
use axum::extract::ws::rejection::WebSocketUpgradeRejection;
use axum::extract::{Path, Request, State as Shared};
use axum::http::Response;
use axum::http::header::{ALLOW, CONTENT_LENGTH, EXPECT, HOST, HeaderValue};
use axum::middleware::{self, Next};
use axum::routing::{get, post};
use http_body_util::BodyExt;
use lab::logbook::content::MOST_BYTES;
use report::caution::CAUTION;
use report::places;
use serde::de::DeserializeOwned;
use serde_json::{Value as Json, json};
use std::sync::Arc;
use std::time::Duration;

/// Largest body of `/api/open`: the largest model file.
const LARGEST_FILE: usize = 1 << 20;
/// A body that is too large is read on to this size, so that its sender lives to hear why it is refused.
const MOST_READ: usize = 64 << 20;
/// A body must be there by then.
const BODY_TIME: Duration = Duration::from_secs(10);
/// The same of one that carries a file.
const FILE_TIME: Duration = Duration::from_secs(60);
/// Largest trace: as the command takes it.
const LARGEST_TRACE: usize = LARGEST as usize;

/// All addresses.
pub fn routes(live: Arc<Live>) -> Router {
    Router::new()
        .route("/", get(|| async { asset("index.html") }))
        .route("/assets/{*name}", get(|Path(name): Path<String>| async move { asset(&name) }))
        .route("/api/start", get(start))
        .route("/api/solve", post(solve))
        .route("/api/wire", get(wire))
        .route("/api/limits", post(limits))
        .route("/api/explain", post(explain_pull))
        .route(pull::PULL, post(pull_to_failure))
        .route("/api/range", post(range_of))
        .route("/api/sensitivity", post(sensitive))
        .route("/api/progress", post(how_far))
        .route("/api/chart", post(chart))
        .route(records::TRACE, post(trace))
        .route(records::LIST, post(list))
        .route(records::SHOW, post(show))
        .route(records::PLAN, post(plan))
        .route(records::ADD, post(add))
        .route(records::LOT, post(lot))
        .route("/api/open", post(open))
        .route("/api/save", post(save))
        .route("/api/still", post(still))
        .route("/api/svg", post(svg))
        .route("/api/findings", post(findings))
        .route("/api/page", post(page))
        .fallback(|| async { refuse(&ApiError::NotFound) })
        .method_not_allowed_fallback(|request: Request| async move {
            let mut response = refuse(&ApiError::OtherMethod);
            let path = request.uri().path();
            let posted = path.starts_with("/api/") && !["/api/start", "/api/wire"].contains(&path);
            let allowed = if posted { "POST" } else { "GET, HEAD" };
            response.headers_mut().insert(ALLOW, HeaderValue::from_static(allowed));
            response
        })
        .layer(middleware::from_fn_with_state(Arc::clone(&live), guarded))
        .with_state(live)
}

async fn guarded(Shared(live): Shared<Arc<Live>>, request: Request, next: Next) -> Response<Body> {
    let (mut response, host) = match live.guard.check(request.method(), request.uri(), request.headers()) {
        Ok(()) => {
            let host = request.headers().get(HOST).cloned();
            (next.run(request).await, host)
        }
        Err(error) => (refuse(&error), None),
    };
    add_headers(response.headers_mut(), host.as_ref());
    response
}

fn asset(name: &str) -> Response<Body> {
    match assets::find(name) {
        Some((bytes, kind)) => respond(200, kind, Bytes::from_static(bytes)),
        None => refuse(&ApiError::NotFound),
    }
}

async fn start(Shared(live): Shared<Arc<Live>>) -> Response<Body> {
    let models: Vec<Json> = builtin::MODELS
        .iter()
        .map(|(name, text)| {
            let values = state::flat(text);
            json!({ "name": name, "title": values.get("title"), "values": values })
        })
        .collect();
    Reply::Json(json!({
        "version": VERSION,
        "program": env!("CARGO_PKG_VERSION"),
        "caution": CAUTION,
        "opens_with": live.opens_with,
        "models": models,
        "groups": parameters::groups(),
        "parameters": parameters::all(),
        "materials": parameters::materials(),
        "fields": ["von_mises", "pull", "principal", "ribbon"],
        "places": places::words(),
        "records": live.kept.told(),
    }))
    .into_response()
}

/// Reads a body to its end, keeping at most `largest` bytes.
async fn body_of(request: Request, largest: usize) -> Result<Vec<u8>, ApiError> {
    body_within(request, largest, BODY_TIME).await
}

/// The same within a time of its own.
async fn body_within(request: Request, largest: usize, time: Duration) -> Result<Vec<u8>, ApiError> {
    let most_read = MOST_READ.max(largest);
    let headers = request.headers();
    let length = headers
        .get(CONTENT_LENGTH)
        .and_then(|length| length.to_str().ok())
        .and_then(|text| text.parse::<usize>().ok());
    let too_large = ApiError::TooLarge(largest >> 10);
    if length.is_some_and(|length| length > most_read || (length > largest && headers.contains_key(EXPECT))) {
        return Err(too_large);
    }
    let mut body = request.into_body();
    let read = async {
        let (mut kept, mut seen) = (Vec::new(), 0);
        while let Some(frame) = body.frame().await {
            let frame = frame.map_err(|_| BadRequest::BrokenOff)?;
            let Ok(data) = frame.into_data() else { continue };
            seen += data.len();
            if seen <= largest {
                kept.extend_from_slice(&data);
            } else {
                kept = Vec::new();
            }
            if seen > most_read {
                break;
            }
        }
        if seen > largest { Err(too_large) } else { Ok(kept) }
    };
    tokio::time::timeout(time, read).await.unwrap_or(Err(ApiError::TooSlow(time.as_secs())))
}

async fn through<T: DeserializeOwned + Send + 'static>(
    endpoint: Endpoint,
    live: Arc<Live>,
    request: Request,
    work: impl FnOnce(&Systems, &Envelope, T, &Claim) -> Result<Reply, ApiError> + Send + 'static,
) -> Response<Body> {
    let reply = async {
        let body = body_of(request, endpoint.largest).await?;
        in_turn(endpoint, live, &body, work).await
    };
    respond_with(reply.await)
}

/// As [`through`], of a request that carries a file.
async fn carried_through<T: DeserializeOwned + Send + 'static>(
    endpoint: Endpoint,
    live: Arc<Live>,
    request: Request,
    work: impl FnOnce(&Envelope, T, &[u8], &Claim) -> Result<Reply, ApiError> + Send + 'static,
) -> Response<Body> {
    let reply = async {
        let place = Arc::clone(&live.carrier).acquire_owned().await.map_err(|_| ApiError::Busy)?;
        let body = Bytes::from(body_within(request, carried::with_json(endpoint.largest), FILE_TIME).await?);
        let (json, file) = carried::apart(&body)?;
        in_turn(endpoint, live, &json, move |_, envelope, asked, wanted| {
            // Free for the next one when the work has ended, not when its answer was given up.
            let _place = place;
            work(envelope, asked, &file, wanted)
        })
        .await
    };
    respond_with(reply.await)
}

async fn trace(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    let endpoint = Endpoint { largest: LARGEST_TRACE, ..Endpoint::slow(records::TRACE) };
    carried_through(endpoint, live, request, |envelope, asked, file, wanted| {
        records::read_trace(envelope.ticket, &asked, file, wanted)
    })
    .await
}

async fn list(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    let kept = live.kept.clone();
    through(Endpoint::records(records::LIST), live, request, move |_, envelope, asked, _| {
        records::list(&kept, envelope.ticket, &asked)
    })
    .await
}

async fn show(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    let kept = live.kept.clone();
    through(Endpoint::records(records::SHOW), live, request, move |_, envelope, asked, _| {
        records::show(&kept, envelope.ticket, &asked)
    })
    .await
}

async fn plan(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    let kept = live.kept.clone();
    through(Endpoint::slow(records::PLAN), live, request, move |systems, envelope, asked, wanted| {
        records::plan(&kept, systems, envelope.ticket, &asked, wanted)
    })
    .await
}

async fn add(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    let kept = live.kept.clone();
    let endpoint = Endpoint { largest: MOST_BYTES, ..Endpoint::records(records::ADD) };
    carried_through(endpoint, live, request, move |envelope, asked, file, wanted| {
        records::add(&kept, envelope.ticket, &asked, file, wanted)
    })
    .await
}

async fn lot(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    let kept = live.kept.clone();
    through(Endpoint::records(records::LOT), live, request, move |_, envelope, asked, _| {
        records::lot(&kept, envelope.ticket, &asked)
    })
    .await
}

async fn solve(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    let reply = async {
        let body = body_of(request, SOLVE.largest).await?;
        solved(live, &body).await
    };
    respond_with(reply.await)
}

async fn wire(
    Shared(live): Shared<Arc<Live>>,
    upgrade: Result<WebSocketUpgrade, WebSocketUpgradeRejection>,
) -> Response<Body> {
    let Ok(upgrade) = upgrade else {
        return refuse(&BadRequest::NoWebSocket.into());
    };
    match Arc::clone(&live.wires).try_acquire_owned() {
        Ok(place) => wire::lay(live, place, upgrade),
        Err(_) => refuse(&ApiError::Busy),
    }
}

async fn limits(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    through::<Judge>(Endpoint::quick("/api/limits"), live, request, |systems, envelope, asked, wanted| {
        let mut json = limits_json(systems, &asked.state, asked.quick, wanted)?;
        json["ticket"] = json!(envelope.ticket);
        Ok(Reply::Json(json))
    })
    .await
}

async fn explain_pull(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    through(Endpoint::slow("/api/explain"), live, request, |_, envelope, asked, wanted| {
        explanation::explained(envelope.ticket, &asked, wanted)
    })
    .await
}

async fn pull_to_failure(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    through(Endpoint::pulls(pull::PULL), live, request, |_, envelope, asked, wanted| {
        pull::pull(envelope.ticket, &asked, wanted, pull::STOPPED_AFTER)
    })
    .await
}

async fn range_of(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    through::<OfState>(Endpoint::slow("/api/range"), live, request, |systems, envelope, asked, wanted| {
        range::range(systems, envelope.ticket, &asked.state, wanted)
    })
    .await
}

async fn sensitive(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    let endpoint = Endpoint::slow("/api/sensitivity");
    through::<OfState>(endpoint, live, request, |systems, envelope, asked, wanted| {
        sensitivity::sensitivity(systems, envelope.ticket, &asked.state, wanted)
    })
    .await
}

async fn how_far(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    let reply = async {
        let body = body_of(request, LARGEST_BODY).await?;
        progress::progress(&live.turns, &body)
    };
    respond_with(reply.await)
}

async fn chart(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    through(Endpoint::slow("/api/chart"), live, request, |systems, envelope, asked, wanted| {
        charts::chart(systems, envelope.ticket, &asked, wanted)
    })
    .await
}

async fn open(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    let endpoint = Endpoint { largest: LARGEST_FILE, ..Endpoint::quick("/api/open") };
    through::<Open>(endpoint, live, request, |_, _, asked, _| {
        let (model, values) = state::open(&asked.toml)?;
        Ok(Reply::Json(
            json!({ "title": model.title, "values": values, "notes": report::notes::notes(&model) }),
        ))
    })
    .await
}

async fn save(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    through::<OfState>(Endpoint::quick("/api/save"), live, request, |_, _, asked, _| {
        let text = asked.state.check()?.to_toml()?;
        Ok(Reply::Bytes("text/plain; charset=utf-8", text.into_bytes()))
    })
    .await
}

async fn findings(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    through::<OfState>(Endpoint::quick("/api/findings"), live, request, |systems, _, asked, wanted| {
        export::findings(systems, &asked.state, wanted)
    })
    .await
}

async fn still(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    through(Endpoint::slow("/api/still"), live, request, |systems, _, asked, wanted| {
        export::still(systems, &asked, wanted)
    })
    .await
}

async fn svg(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    through(Endpoint::slow("/api/svg"), live, request, |systems, _, asked, wanted| {
        export::svg(systems, &asked, wanted)
    })
    .await
}

async fn page(Shared(live): Shared<Arc<Live>>, request: Request) -> Response<Body> {
    through(Endpoint::slow("/api/page"), live, request, |systems, _, asked, wanted| {
        offline_page::page(systems, &asked, wanted)
    })
    .await
}

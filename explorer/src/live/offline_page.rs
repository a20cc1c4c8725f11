//! A page of one state that needs no program any more: one HTML file with its map, kept states and a sweep inside.
//!
//! Its answers are the very bytes that the live page is sent, so that both read them with the same code.

use super::allowed::{MOST_KEPT, MOST_LETTERS, VERSION};
use super::answer::answer;
use super::api_error::ApiError;
use super::bad_request::BadRequest;
use super::charts::{parameter, with_value};
use super::limits::limits_of;
use super::prepared::{Prepared, Systems};
use super::protocol::{Extra, Page, Want};
use super::reply::Reply;
use super::state::State;
use super::turns::Claim;
use super::{assets, offline_script, parameters};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use report::caution::CAUTION;
use report::keys::label_of_varied;
use serde_json::{Value as Json, json};
use sha2::{Digest, Sha256};
use std::time::Duration;

/// Writes the page.
///
/// # Errors
/// A state is impossible, too much is kept, or nobody wants the page any more.
pub fn page(systems: &Systems, asked: &Page, wanted: &Claim) -> Result<Reply, ApiError> {
    if asked.kept.len() > MOST_KEPT || asked.kept.iter().any(|kept| kept.name.chars().count() > MOST_LETTERS)
    {
        return Err(BadRequest::Kept.into());
    }
    let model = asked.state.check()?.model;
    let base = systems.take(&model)?;
    let now = entry(systems, "", &asked.state, wanted)?;
    let kept = asked
        .kept
        .iter()
        .map(|kept| entry(systems, &kept.name, &kept.state, wanted))
        .collect::<Result<Vec<Json>, ApiError>>()?;
    let data = json!({
        "version": VERSION,
        "program": env!("CARGO_PKG_VERSION"),
        "caution": CAUTION,
        "field": asked.field.word(),
        "names": names(),
        "now": now,
        "kept": kept,
        "sweep": sweep(&base, asked, wanted)?,
    });
    Ok(Reply::Bytes("text/html; charset=utf-8", fill(&model.title, &data)?.into_bytes()))
}

/// What keys are called, for the sentences that name them.
fn names() -> Json {
    let parameters = parameters::all();
    let named = parameters.iter().map(|p| json!({ "key": p.key, "label": p.label, "group": p.group }));
    json!({ "parameters": named.collect::<Vec<_>>(), "groups": parameters::groups() })
}

/// Everything that a solve can send.
fn all(mesh_id: Option<String>) -> Want {
    Want { mesh_id, fields: vec![Extra::Pull, Extra::Principal, Extra::Ribbon], quick: false }
}

fn entry(systems: &Systems, name: &str, state: &State, wanted: &Claim) -> Result<Json, ApiError> {
    wanted.check()?;
    wanted.more(1);
    let checked = state.check()?;
    let prepared = systems.take(&checked.model)?;
    let bytes = answer(&checked, &prepared, &all(None), (0, Duration::ZERO))?;
    wanted.done();
    Ok(json!({
        "name": name,
        "state": { "model": state.model, "set": state.set },
        "answer": STANDARD.encode(bytes),
        "limits": limits_of(&prepared, &checked.model)?,
    }))
}

fn sweep(base: &Prepared, asked: &Page, wanted: &Claim) -> Result<Json, ApiError> {
    let Some(range) = &asked.sweep else { return Ok(Json::Null) };
    let varied = parameter(&range.key)?;
    let (label, unit) = (label_of_varied(varied), varied.in_file().unit());
    let mut steps = Vec::new();
    let values = range.values()?;
    wanted.more(values.len());
    for value in values {
        wanted.check()?;
        let step = step(base, &with_value(&asked.state, &range.key, value));
        steps.push(match step {
            Ok((answer, limits)) => {
                json!({ "value": value, "answer": answer, "limits": limits, "mistake": null })
            }
            Err(error @ ApiError::Impossible(_)) => {
                let says = error.in_a_line();
                json!({ "value": value, "answer": null, "limits": null, "mistake": says })
            }
            Err(other) => return Err(other),
        });
        wanted.done();
    }
    Ok(json!({ "key": range.key, "label": label, "unit": unit, "steps": steps }))
}

/// What a step of the sweep shows, and what fails first there.
fn step(base: &Prepared, state: &State) -> Result<(String, Json), ApiError> {
    let checked = state.check()?;
    let prepared = base.for_model(&checked.model)?;
    let bytes = answer(&checked, &prepared, &all(Some(base.mesh_id().to_owned())), (0, Duration::ZERO))?;
    Ok((STANDARD.encode(bytes), limits_of(&prepared, &checked.model)?))
}

fn hash_of(text: &str) -> String {
    format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text.as_bytes())))
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// Puts everything into the template. Each place is filled once, in one pass: what is put in is not searched again.
fn fill(title: &str, data: &Json) -> Result<String, ApiError> {
    let missing = || ApiError::NotYet;
    let template = assets::offline("offline.html").ok_or_else(missing)?;
    let style = assets::offline("offline.css").ok_or_else(missing)?;
    let script = offline_script::script().ok_or_else(missing)?;
    let policy = format!(
        "default-src 'none'; script-src {}; style-src {}; img-src blob: data:; base-uri 'none'; form-action 'none'",
        hash_of(&script),
        hash_of(style)
    );
    // No text of the data may end the script element that holds it.
    let data = data.to_string().replace('<', "\\u003c");
    let (title, policy) = (escaped(title), escaped(&policy));
    let places = [
        ("{{title}}", title.as_str()),
        ("{{policy}}", policy.as_str()),
        ("{{style}}", style),
        ("{{script}}", script.as_str()),
        ("{{data}}", data.as_str()),
    ];
    let mut page = String::with_capacity(template.len() + data.len() + script.len());
    let mut rest = template;
    loop {
        let next = places
            .iter()
            .filter_map(|place| rest.find(place.0).map(|at| (at, place)))
            .min_by_key(|next| next.0);
        let Some((at, (mark, text))) = next else { break };
        page.push_str(&rest[..at]);
        page.push_str(text);
        rest = &rest[at + mark.len()..];
    }
    page.push_str(rest);
    Ok(page)
}

//! How the share and the forecast change with one parameter of the connector in hand.
//!
//! Values are solved one after another on one thread: a chart is background work, and the other core belongs to the hand
//! that drags. Between two values it looks whether anybody still wants it.

use super::api_error::{ApiError, of_rig, of_system};
use super::parameters;
use super::prepared::case_of;
use super::protocol::{Chart, ChartOf, check_size};
use super::reply::Reply;
use super::shared::Live;
use super::state::State;
use super::turns::Claim;
use report::caution::CAUTION;
use report::failure_modes;
use report::numbers::typed;
use report::pictures::parameter as written;
use serde::{Serialize, Serializer};
use serde_json::{Value as Json, json};
use solver::strength::FailureMode;
use study::Built;
use study::model::keys::{self, Kind};
use study::sweep::Reading as Read;
use viz::{ParameterChart, ParameterWords, Reading};

/// One value of the parameter and what came of it, as it travels.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Row {
    /// The value.
    pub value: f64,
    /// The gate's part of the pull.
    pub gate_fraction: Option<f64>,
    /// Highest trusted stress of the frame away from notch and hinge hole, MPa.
    pub peak_mpa: Option<f64>,
    /// Load at which something fails first, kN.
    pub fails_at_kn: Option<f64>,
    /// Highest load of the pull, kN.
    pub peak_kn: Option<f64>,
    /// What fails first.
    #[serde(serialize_with = "in_words")]
    pub fails_first: Option<FailureMode>,
    /// Why the value is impossible.
    pub mistake: Option<String>,
}

fn in_words<S: Serializer>(first: &Option<FailureMode>, to: S) -> Result<S::Ok, S::Error> {
    first.map(failure_modes::name).serialize(to)
}

/// Label and unit of a parameter that can be carried through a range. `rig.both.x` stands for upper and lower.
///
/// # Errors
/// There is no such parameter, or it is no number.
pub fn control(key: &str) -> Result<(String, &'static str), ApiError> {
    let (own, both) = match key.strip_prefix("rig.both.") {
        Some(rest) => (format!("rig.upper.{rest}"), true),
        None => (key.to_owned(), false),
    };
    let found = keys::find(&own).filter(|key| matches!(key.kind, Kind::Number { .. } | Kind::Corners { .. }));
    let control = found.and_then(|_| parameters::all().into_iter().find(|control| control.key == own));
    match control {
        Some(control) if both => Ok((at_both_ends(&control.label), control.unit)),
        Some(control) => Ok((control.label, control.unit)),
        None => Err(ApiError::of_key(
            "key",
            &format!("found {key}; allowed: a key of the model that is a number"),
        )),
    }
}

/// "Upper offset" is "Offset at both ends".
fn at_both_ends(label: &str) -> String {
    let own = label.strip_prefix("Upper ").unwrap_or(label);
    let mut letters = own.chars();
    let first: String = letters.next().map(char::to_uppercase).into_iter().flatten().collect();
    format!("{first}{} at both ends", letters.as_str())
}

/// The state with another value of one parameter.
#[must_use]
pub fn with_value(state: &State, key: &str, value: f64) -> State {
    let mut changed = state.clone();
    // Values of a page override one another in order: the last one wins, also over `rig.upper.x` and `rig.lower.x`.
    changed.set.remove(key);
    changed.set.insert(key.to_owned(), json!(value));
    changed
}

fn row(base: &Built, state: &State, what: ChartOf) -> Result<Row, ApiError> {
    let case = case_of(&state.check()?.model);
    let built = base.for_case(&case).map_err(|error| of_system(&error))?;
    let read = Read::of(built.system(), &case, what == ChartOf::Forecast).map_err(|error| of_rig(&error))?;
    let limits = read.limits.as_ref();
    Ok(Row {
        gate_fraction: Some(read.gate_fraction),
        peak_mpa: read.peak_mpa,
        fails_at_kn: limits.map(|limits| limits.fails_at_kn),
        peak_kn: limits.map(|limits| limits.peak_kn),
        fails_first: limits.map(|limits| limits.fails_first),
        ..Row::default()
    })
}

/// The value that a parameter has now; the upper one for `rig.both.x`.
fn value_now(state: &State, key: &str) -> Result<Option<f64>, ApiError> {
    let own = key.replacen("rig.both.", "rig.upper.", 1);
    let used = parameters::used(&state.check()?.model);
    Ok(used.get(&own).and_then(|value| match value {
        Json::Array(all) => all.first().and_then(Json::as_f64),
        one => one.as_f64(),
    }))
}

/// What is written in a chart.
fn words(label: &str, unit: &str, share: bool, rows: &[Row]) -> ParameterWords {
    let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
    let reading = |row: &Row| {
        let value = format!("{}{unit}", typed(row.value));
        let fails = row.fails_at_kn.zip(row.fails_first.map(failure_modes::name));
        if share {
            written::reading(&value, row.gate_fraction, None)
        } else {
            written::reading(&value, None, fails)
        }
    };
    ParameterWords {
        lines: written::LINES.map(str::to_owned),
        upright: written::upright(share).map(str::to_owned),
        now: written::NOW.to_owned(),
        name: written::name(share, label),
        description: rows.iter().map(reading).collect::<Vec<_>>().join(" "),
    }
}

/// Draws a chart and tells its numbers.
///
/// # Errors
/// The state is impossible, the range is none, or nobody wants the chart any more.
pub fn chart(live: &Live, ticket: u64, asked: &Chart, wanted: &Claim) -> Result<Reply, ApiError> {
    check_size(asked.size)?;
    let (label, unit) = control(&asked.range.key)?;
    let base = live.systems.take(&asked.state.check()?.model)?;
    let now = value_now(&asked.state, &asked.range.key)?;
    let mut rows = Vec::new();
    for value in asked.range.values()? {
        wanted.check()?;
        let found = match row(base.built(), &with_value(&asked.state, &asked.range.key, value), asked.what) {
            Ok(row) => row,
            Err(error @ ApiError::Impossible(_)) => {
                Row { mistake: Some(error.in_a_line()), ..Row::default() }
            }
            Err(other) => return Err(other),
        };
        rows.push(Row { value, ..found });
    }
    wanted.check()?;
    let chart = ParameterChart {
        words: words(&label, unit, asked.what == ChartOf::Share, &rows),
        label,
        unit: unit.to_owned(),
        share: asked.what == ChartOf::Share,
        readings: rows
            .iter()
            .map(|row| Reading {
                value: row.value,
                share: row.gate_fraction,
                fails_at_kn: row.fails_at_kn,
                peak_kn: row.peak_kn,
                fails_first: row.fails_first.map(|first| failure_modes::name(first).to_owned()),
            })
            .collect(),
        now,
        dark: asked.dark,
        size: asked.size,
    };
    let drawn = chart.draw().map_err(|error| ApiError::Fault(error.to_string()))?;
    let svg = drawn.drawing.to_svg().map_err(|error| ApiError::Fault(error.to_string()))?;
    let plot = drawn.plot;
    Ok(Reply::Json(json!({
        "ticket": ticket,
        "svg": svg,
        "key": asked.range.key,
        "unit": unit,
        "caution": CAUTION,
        "plot": {
            "left": plot.left, "right": plot.right, "top": plot.top, "bottom": plot.bottom,
            "from": asked.range.from, "to": asked.range.to, "low": plot.low, "high": plot.high,
        },
        "now": now,
        "rows": rows,
    })))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parameters_are_found_by_key() {
        assert_eq!(control("rig.both.offset_mm").unwrap(), ("Offset at both ends".to_owned(), "mm"));
        assert_eq!(control("nose.notch_depth_mm").unwrap(), ("Notch depth".to_owned(), "mm"));
        for key in ["title", "rig.gate", "rig.both.kind", "nowhere", "material.frame"] {
            let Err(ApiError::Impossible(mistakes)) = control(key) else { panic!("{key}") };
            let told: Vec<_> = mistakes.iter().map(|m| (m.key.as_str(), m.found.as_str())).collect();
            assert_eq!(told, [("key", key)]);
        }
    }

    #[test]
    fn the_last_value_wins_over_both_ends() {
        let state: State = serde_json::from_str(
            r#"{"model": "oval", "set": {"rig.both.offset_mm": 1, "rig.upper.offset_mm": 2}}"#,
        )
        .unwrap();
        let model = with_value(&state, "rig.both.offset_mm", 0.5).check().unwrap().model;
        assert_eq!((model.rig.upper.offset_mm(), model.rig.lower.offset_mm()), (0.5, 0.5));
    }
}

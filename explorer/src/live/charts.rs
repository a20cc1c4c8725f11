//! How the share and the forecast change with one parameter of the connector in hand.
//!
//! Values are solved one after another, in the background. Between two values it looks whether anybody still wants it.

use super::api_error::{ApiError, Fault, of_rig, of_system};
use super::parameters;
use super::prepared::{Systems, case_of};
use super::protocol::{Chart, ChartOf, check_size};
use super::reply::Reply;
use super::state::State;
use super::told::Mistake;
use super::turns::Claim;
use report::caution::CAUTION;
use report::failure_modes;
use report::keys::label_of_varied;
use report::numbers::{kilonewtons, typed};
use report::page::KEY_OF_A_NUMBER;
use report::pictures::parameter as written;
use report::reason::Reason;
use serde::{Serialize, Serializer};
use serde_json::json;
use solver::strength::FailureMode;
use study::Built;
use study::model::keys::{KeyValue, Kind};
use study::sweep::{Reading as Read, VariedKey};
use viz::{ParameterChart, ParameterWords, Reading};

/// One value of the parameter and what came of it, as it travels.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Row {
    /// The value.
    pub value: f64,
    /// The gate's part of the pull.
    pub gate_fraction: Option<f64>,
    /// Highest stress away from notch, hinge hole, contacts and sharp corners, MPa: that of the first place of the page's list.
    pub peak_mpa: Option<f64>,
    /// Load at which something fails first, kN.
    pub fails_at_kn: Option<f64>,
    /// Highest load of the pull, kN.
    pub peak_kn: Option<f64>,
    /// What fails first.
    #[serde(serialize_with = "in_words")]
    pub fails_first: Option<FailureMode>,
    /// Why the value is impossible, on one line.
    pub mistake: Option<String>,
    /// The same, each mistake with its key.
    pub mistakes: Vec<Mistake>,
}

fn in_words<S: Serializer>(first: &Option<FailureMode>, to: S) -> Result<S::Ok, S::Error> {
    first.map(failure_modes::name).serialize(to)
}

/// A parameter that can be carried through a range, or that of both ends at once.
///
/// # Errors
/// There is no such parameter, or it is no number.
pub fn parameter(key: &str) -> Result<VariedKey, ApiError> {
    let is_number = |varied: &VariedKey| {
        matches!(varied.in_file().kind, Kind::Number { .. } | Kind::Corners { .. })
            && parameters::is_shown(varied.in_file())
    };
    VariedKey::find(key)
        .filter(is_number)
        .ok_or_else(|| ApiError::of_key("key", Reason::found(key, KEY_OF_A_NUMBER)))
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

/// The value that a parameter has now; of both ends that of the upper one.
fn value_now(state: &State, varied: VariedKey) -> Result<Option<f64>, ApiError> {
    Ok(match varied.in_file().value(&state.check()?.model) {
        Some(KeyValue::Number(value)) => Some(value),
        Some(KeyValue::Corners([first, ..])) => Some(first),
        _ => None,
    })
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
        refused: written::REFUSED.to_owned(),
        name: written::name(share, label),
        description: rows.iter().map(reading).collect::<Vec<_>>().join(" "),
    }
}

/// A share that changes by less than this over a chart hardly changes: a point.
const HARDLY: f64 = 0.01;

/// What is said where the measure is the same, or hardly another one, at every value that was solved; values that do not fit are
/// told as left out.
fn flat(label: &str, unit: &str, [from, to]: [f64; 2], share: bool, rows: &[Row]) -> Option<String> {
    let solved: Vec<&Row> = rows.iter().filter(|row| row.mistake.is_none()).collect();
    let (first, others) = solved.split_first()?;
    let told = if share {
        let shares = solved.iter().filter_map(|row| row.gate_fraction);
        let [low, high] = shares.fold([f64::INFINITY, f64::NEG_INFINITY], |[l, h], s| [l.min(s), h.max(s)]);
        (high - low < HARDLY).then(|| [low, high].map(|share| format!("{:.1} %", 100.0 * share.max(0.0))))?
    } else {
        let fails = forecast_in_words(first)?;
        let same = others.iter().all(|other| forecast_in_words(other).as_ref() == Some(&fails));
        same.then(|| [fails.clone(), fails])?
    };
    let unit = match unit {
        "" => String::new(),
        "deg" => " degrees".to_owned(),
        unit => format!(" {unit}"),
    };
    let range = format!("{} to {}{unit}", typed(from), typed(to));
    let gaps = solved.len() < rows.len();
    (!others.is_empty()).then(|| written::flat(share, label, &range, gaps, [&told[0], &told[1]]))
}

/// What fails first at a value, and the highest load where that is another one.
fn forecast_in_words(row: &Row) -> Option<String> {
    let (at, peak) = (kilonewtons(row.fails_at_kn?), kilonewtons(row.peak_kn?));
    let first = format!("{}, {at}", failure_modes::name(row.fails_first?));
    Some(if at == peak { first } else { format!("{first}; {}, {peak}", written::LINES[0]) })
}

/// Draws a chart and tells its numbers.
///
/// # Errors
/// The state is impossible, the range is none, or nobody wants the chart any more.
pub fn chart(systems: &Systems, ticket: u64, asked: &Chart, wanted: &Claim) -> Result<Reply, ApiError> {
    check_size(asked.size)?;
    let varied = parameter(&asked.range.key)?;
    let (label, unit) = (label_of_varied(varied), varied.in_file().unit());
    let base = systems.take(&asked.state.check()?.model)?;
    let now = value_now(&asked.state, varied)?;
    let mut rows = Vec::new();
    let values = asked.range.values()?;
    wanted.more(values.len());
    for value in values {
        wanted.check()?;
        let found = match row(base.built(), &with_value(&asked.state, &asked.range.key, value), asked.what) {
            Ok(row) => row,
            Err(error) => {
                let line = error.in_a_line();
                let ApiError::Impossible(mistakes) = error else { return Err(error) };
                Row { mistake: Some(line), mistakes, ..Row::default() }
            }
        };
        rows.push(Row { value, ..found });
        wanted.done();
    }
    wanted.check()?;
    let share = asked.what == ChartOf::Share;
    let flat = flat(&label, unit, [asked.range.from, asked.range.to], share, &rows);
    let chart = ParameterChart {
        words: words(&label, unit, share, &rows),
        label,
        unit: unit.to_owned(),
        share,
        readings: rows
            .iter()
            .map(|row| Reading {
                value: row.value,
                share: row.gate_fraction,
                fails_at_kn: row.fails_at_kn,
                peak_kn: row.peak_kn,
                fails_first: row.fails_first.map(|first| failure_modes::name(first).to_owned()),
                refused: row.mistake.is_some(),
            })
            .collect(),
        now,
        dark: asked.dark,
        size: asked.size,
    };
    let drawn = chart.draw().map_err(|error| Fault::Writing(error.to_string()))?;
    let svg = drawn.drawing.to_svg().map_err(|error| Fault::Writing(error.to_string()))?;
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
        "flat": flat,
        "rows": rows,
    })))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parameters_are_found_by_key() {
        let label = |key| label_of_varied(parameter(key).unwrap());
        assert_eq!(label("rig.both.offset_mm"), "Offset at both ends");
        assert_eq!(label("nose.notch_depth_mm"), "Notch depth");
        for key in
            ["title", "rig.gate", "rig.both.kind", "nowhere", "material.frame", "material.frame.yield_mpa"]
        {
            let refused = ApiError::of_key("key", Reason::found(key, KEY_OF_A_NUMBER));
            assert_eq!(parameter(key), Err(refused));
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

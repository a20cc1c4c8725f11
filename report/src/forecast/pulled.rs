//! A forecast beside the simulated pull of the same case, in words and as JSON has it.

use crate::failure_modes::name;
use crate::json;
use crate::letters::capital;
use crate::locations::frame_in_sentence;
use crate::pull_to_failure::headline;
use geometry::outline::FrameLocation;
use schemars::JsonSchema;
use serde::Serialize;
use solver::pull_to_failure::OFFSET_MM;
use solver::strength::FailureMode;
use std::fmt::Write;
use study::forecast::pulled::{Beside, Factor, Factors, Reason, Row, Seen, TOLD, What};

/// A factor that is told, as a part.
const FACTOR_TOLD: f64 = 0.01;

/// What is said where the pull was stopped.
pub const STOPPED: &str =
    "stopped before the pull had come to its end; this model's forecast is not written\n";

/// The forecast beside the simulated pull of the same case.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct PulledInWords {
    /// What ended the pull, in a sentence.
    pub sentence: String,
    /// What both tell, in the order of a pull.
    #[schemars(extend("minItems" = 2))]
    pub rows: Vec<RowInWords>,
}

/// What both tell of one thing.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct RowInWords {
    /// What, in words.
    pub what: String,
    /// The failure that ended the pull, as a forecast names it; null in other rows.
    #[serde(serialize_with = "json::maybe_mode")]
    #[schemars(with = "Option<String>")]
    pub failure: Option<FailureMode>,
    /// In what both stand: a load in kN, or the gate's share of the load, 0 to 1.
    pub unit: Unit,
    /// By the forecast; null where no load brings it about.
    pub forecast: Option<f64>,
    /// By the pull.
    pub pull: f64,
    /// False where it had not happened up to the highest load of the pull, which then stands in `pull`.
    pub happened: bool,
    /// By how much the pull lies above the forecast, as a part of it; null where only one of them tells a value, and of what had not happened
    /// only where the forecast says that it should have: then it is the least difference.
    pub difference: Option<f64>,
    /// False where the pull takes the strength from the forecast, and only the share of the load that runs there is its own.
    pub independent: bool,
    /// What makes the two differ, in sentences; null where they differ by a tenth or less, or it cannot be told.
    pub reason: Option<String>,
    /// The difference of a limit of the frame taken apart; null in other rows, and without such a difference.
    pub factors: Option<FactorsInWords>,
}

/// In what forecast and pull stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
pub enum Unit {
    /// A load, kN.
    #[serde(rename = "kN")]
    Kilonewtons,
    /// A share, 0 to 1.
    #[serde(rename = "share")]
    Share,
}

/// Factors whose product is the pull over the forecast.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub struct FactorsInWords {
    /// Finite elements of metal that flows at the forecast's flow stress, in small motion at the stretch at which the pull bears most, over
    /// sections by formula.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub sections: f64,
    /// The metal's own curve over the flow stress, at that stretch.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub hardening: f64,
    /// Large motion over small.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub shape: f64,
    /// A hook that was pulled with its gate before, over one that was not.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub before: f64,
}

impl PulledInWords {
    /// Tells of both.
    #[must_use]
    pub fn new(beside: &Beside<'_>) -> Self {
        let rows = beside.rows.iter().map(RowInWords::new).collect();
        Self { sentence: headline(&beside.pulled), rows }
    }
}

impl RowInWords {
    fn new(row: &Row) -> Self {
        let (pull, happened) = match row.pull {
            Seen::At(value) => (value, true),
            Seen::NotUpTo(value) => (value, false),
        };
        Self {
            what: what(row.what),
            failure: match row.what {
                What::Part(mode) => Some(mode),
                _ => None,
            },
            unit: if row.what.is_share() { Unit::Share } else { Unit::Kilonewtons },
            forecast: row.forecast,
            pull,
            happened,
            difference: row.difference(),
            independent: row.what.is_independent(),
            reason: row.reason.map(|why| reason(row, &why)),
            factors: match row.reason {
                Some(Reason::Assumptions(factors)) => Some(FactorsInWords::new(&factors)),
                _ => None,
            },
        }
    }

    fn value(&self, value: f64) -> String {
        match self.unit {
            Unit::Kilonewtons => format!("{value:.1}"),
            Unit::Share => format!("{:.1} %", 100.0 * value),
        }
    }
}

impl FactorsInWords {
    fn new(of: &Factors) -> Self {
        let [sections, hardening, shape, before] = of.factors.map(|f| f.1);
        Self { sections, hardening, shape, before }
    }
}

/// What a row is about.
fn what(what: What) -> String {
    match what {
        What::FirstYield => "frame, first yield".to_owned(),
        What::Bends => format!("frame bent; {OFFSET_MM} mm beyond the elastic line"),
        What::Opens => "frame opens or tears".to_owned(),
        What::Part(mode) => name(mode).to_owned(),
        What::RidesOut => "pin leaves the notch".to_owned(),
        What::OpenHook => "open hook, as far as friction holds".to_owned(),
        What::ShareAtYield => "gate's share before first yield".to_owned(),
        What::ShareAtEnd => "gate's share at the end".to_owned(),
    }
}

/// A part above or below, in percent with its sign.
fn signed(part: f64) -> String {
    format!("{:+.0} %", 100.0 * part)
}

/// A share of the load.
fn share(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

/// What makes the two differ.
fn reason(row: &Row, why: &Reason) -> String {
    let subject = capital(&what(row.what));
    let by = row.difference().unwrap_or_default();
    let least = if matches!(row.pull, Seen::NotUpTo(_)) { "at least " } else { "" };
    let said = match why {
        Reason::Begins { begins_mpa, yield_mpa, at, looked_at } => {
            begins([*begins_mpa, *yield_mpa], (*at, *looked_at), by)
        }
        Reason::Criterion { left_mm: Some(left) } => format!(
            "another criterion: at the load at which the forecast's sections have yielded through, {left:.2} mm of stretch would stay in \
             the pull, where it is held to {OFFSET_MM} mm."
        ),
        Reason::Criterion { left_mm: None } => format!(
            "another criterion: sections yielded through in the forecast, {OFFSET_MM} mm of stretch that stay in the pull, which ends below \
             the forecast's load."
        ),
        Reason::Share { yields, end } => shares(*yields, *end),
        Reason::Pin { out_mm, inside_mm } => format!(
            "the forecast turns an elastic nose until friction no longer holds the pin; in the pull the pin ends {out_mm:.2} mm toward the \
             mouth, of {inside_mm:.2} mm that it stands inside."
        ),
        Reason::Assumptions(factors) => assumptions(factors),
    };
    format!("{subject} ({least}{}): {said}", signed(by))
}

/// First yield: how much of the difference is the beginning of the curve, and where the pull yields.
fn begins([begins_mpa, yield_mpa]: [f64; 2], (at, looked_at): (FrameLocation, bool), by: f64) -> String {
    let by_curve = begins_mpa / yield_mpa;
    let rest = (1.0 + by) / by_curve;
    let curve = format!(
        "the metal's curve begins to yield at {begins_mpa:.0} MPa, since its yield strength, {yield_mpa:.0} MPa, is measured at a strain \
         of 0.2 % ({})",
        signed(by_curve - 1.0)
    );
    let place = frame_in_sentence(at);
    let why = if looked_at {
        "where the forecast looks as well: what pulls there presses otherwise on a shape that changes"
    } else {
        "beside a contact or a corner, where the forecast trusts no stress"
    };
    let elsewhere = format!("the pull first yields at the {place}, {why} ({})", signed(rest - 1.0));
    match ((by_curve - 1.0).abs() < FACTOR_TOLD, (rest - 1.0).abs() < FACTOR_TOLD) {
        (true, _) => format!("{elsewhere}."),
        (_, true) => format!("{curve}."),
        // The larger of the two first.
        _ if by_curve.ln().abs() >= rest.ln().abs() => format!("{curve}; besides, {elsewhere}."),
        _ => format!("{elsewhere}; besides, {curve}."),
    }
}

/// A share of the gate that differs: before yield already, or only since.
fn shares(yields: Option<[f64; 2]>, [forecast, pull]: [f64; 2]) -> String {
    let end = format!("at the end {} where the elastic path has {}", share(pull), share(forecast));
    let Some([forecast_then, pull_then]) = yields else {
        return format!("the gate carries {end}.");
    };
    let before = format!(
        "{} just before first yield, where the elastic path has {}",
        share(pull_then),
        share(forecast_then)
    );
    let (was, is) = ((pull_then / forecast_then).ln(), (pull / forecast).ln());
    // What has come about since first yield, against what was there before.
    if (is - was).abs() >= was.abs() {
        format!(
            "load moves between gate and spine once the bars yield: the gate carries {before}, and {end}."
        )
    } else {
        format!("the elastic load path itself differs: the gate carries {before}, and {end}.")
    }
}

/// The assumptions of a section limit, the one that does most first.
fn assumptions(factors: &Factors) -> String {
    let sorted = factors.by_size();
    let mut told = sorted.iter().filter(|(_, by)| (by - 1.0).abs() >= FACTOR_TOLD);
    let Some((first, by)) = told.next() else { return "no single assumption does one percent.".to_owned() };
    let mut text = format!("most of it is {} ({})", assumption(*first, factors), signed(by - 1.0));
    for (at, (factor, by)) in told.enumerate() {
        let joins = if at == 0 { "; beside it " } else { ", " };
        let _ = write!(text, "{joins}{} ({})", assumption(*factor, factors), signed(by - 1.0));
    }
    text.push('.');
    text
}

fn assumption(factor: Factor, of: &Factors) -> String {
    match factor {
        Factor::Sections => "sections by formula in place of finite elements".to_owned(),
        Factor::Hardening => format!(
            "hardening, metal that flows at {:.0} MPa after a plastic strain of {:.0} %, where the forecast reckons with {:.0} MPa \
             everywhere",
            of.stress_mpa,
            100.0 * of.strain,
            of.flow_mpa
        ),
        Factor::Shape => format!(
            "the change of shape, bars that have turned by {:.0} degrees against each other and a load whose arm about the spine has changed",
            of.opened_deg
        ),
        Factor::Before => "what the pull with the gate had done to the hook before".to_owned(),
    }
}

/// The comparison as `forecast --pulled` prints it.
#[must_use]
pub fn table(pulled: &PulledInWords) -> String {
    let mut text = format!("\nBeside a simulated pull (`pullmap pull`), in kN:\n  {}\n", pulled.sentence);
    // Writing to a string cannot fail.
    let _ = writeln!(text, "  {:<34} {:>8}  {:>9}  {:>10}", "what", "forecast", "pull", "difference");
    let dash = || "-".to_owned();
    for row in &pulled.rows {
        let forecast = row.forecast.map_or_else(|| "never".to_owned(), |value| row.value(value));
        let pull = if row.happened { row.value(row.pull) } else { format!("over {}", row.value(row.pull)) };
        let sign = if row.happened { "" } else { "over " };
        let difference = row.difference.map_or_else(dash, |by| format!("{sign}{}", signed(by)));
        let line = format!(
            "  {:<34} {forecast:>8}  {pull:>9}  {difference:>10}  {}",
            row.what,
            if row.independent { "" } else { "not independent" }
        );
        let _ = writeln!(text, "{}", line.trim_end());
    }
    if pulled.rows.iter().any(|row| !row.independent) {
        let _ = writeln!(
            text,
            "  Not independent: the pull ends at the force that the forecast gives this part; only the share of the load that runs there is the \
             pull's own."
        );
    }
    if pulled.rows.iter().any(|row| !row.happened) {
        let _ = writeln!(text, "  \"over\": it had not happened at the highest load of the pull.");
    }
    let told: Vec<&str> = pulled.rows.iter().filter_map(|row| row.reason.as_deref()).collect();
    if !told.is_empty() {
        let _ = writeln!(text, "Where they differ by more than {:.0} %:", 100.0 * TOLD);
        for reason in told {
            let _ = writeln!(text, "  {reason}");
        }
    }
    text
}

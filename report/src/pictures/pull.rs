//! Words of the pictures of a pull until failure.

use crate::caution::CAUTION;
use crate::numbers::{decimals, kilonewtons};
use crate::pull_to_failure::{headline, rows};
use solver::pull_to_failure::Reached;
use study::pull_to_failure::Pulled;

/// Over the curve.
pub const CURVE: &str = "Load, kN";
/// Under the curve: what its axis counts.
pub const STRETCH: &str = "stretch between the load centres, mm";
/// Over the gate's share.
pub const SHARE: &str = "Gate's share of the load, %";
/// Under the gate's share.
pub const LOAD: &str = "load, kN";
/// Over the limits of the forecast.
pub const FORECAST: &str = "The forecast's limits";
/// Over the list of marks.
pub const MARKS: &str = "On the curve";
/// What the dashed branch is.
pub const HOOK: &str = "dashed: the open hook, without its gate";
/// The same where it is shown only as far as it says something.
pub const HOOK_WHILE_KEPT: &str = "dashed: the open hook, while friction holds";
/// The same where friction holds at none of its steps: the first is shown.
const HOOK_SLID: &str = "the open hook, on which friction does not hold";

/// What the branch of the open hook is; nothing where there is none.
#[must_use]
pub fn hook(pulled: &Pulled<'_>) -> &'static str {
    match (&pulled.course.hook, pulled.hook_slides(), pulled.hook_keeps()) {
        (None, ..) => "",
        (Some(_), false, _) => HOOK,
        (Some(_), true, Some(_)) => HOOK_WHILE_KEPT,
        (Some(_), true, None) => HOOK_SLID,
    }
}

/// The gate begins to carry.
pub const ENGAGES: &str = "gate begins to carry";
/// The frame yields.
const YIELDS: &str = "first yield";
/// The same where a finer mesh yields sooner.
const YIELDS_BESIDE: &str = "yields beside a contact";
/// Some stretch is not elastic.
pub const OFFSET: &str = "0.2 mm beyond elastic";
/// The gate no longer shuts.
pub const NO_LONGER_SHUTS: &str = "gate no longer shuts";
/// The knee.
pub const KNEE: &str = "knee";
/// The highest load.
pub const PEAK: &str = "highest load";
/// The hook's highest load.
pub const HOOK_AT_MOST: &str = "open hook at most";
/// Where the hook's pull was stopped.
pub const HOOK_STOPPED: &str = "open hook, stopped";
/// Where straps slide on the open hook.
pub const HOOK_SLIDES: &str = "friction holds up to here";

/// A mark with its load.
#[must_use]
pub fn mark(what: &str, load_kn: f64) -> String {
    format!("{what} {}", kilonewtons(load_kn).replace(' ', "\u{a0}"))
}

/// The alternative text of the chart.
#[must_use]
pub fn description(pulled: &Pulled<'_>) -> String {
    let rows: Vec<String> = rows(pulled)
        .into_iter()
        .filter(|row| row.load_kn.is_some())
        .map(|row| format!("{}: {}", row.what, row.value))
        .collect();
    format!("Load over stretch. {} {}. {CAUTION}", headline(pulled), rows.join("; "))
}

/// At a low load.
pub const LOW: &str = "elastic";
/// At the first step past first yield.
pub const PAST_YIELD: &str = "just past first yield";
/// At the step nearest to the knee.
pub const NEAR_KNEE: &str = "near the knee";
/// Between knee and highest load.
pub const BETWEEN: &str = "half way";
/// The open hook.
pub const OPEN_HOOK: &str = "open hook";
/// After unloading.
pub const AFTERWARDS: &str = "unloaded: residual stress";
/// What the unloaded connector is drawn without.
pub const FRAME_ALONE: &str =
    "Unloaded, the frame is drawn alone: without its gate, and with nothing that pulls.";

/// How a pull ended, as a caption.
fn ended(pulled: &Pulled<'_>) -> String {
    crate::pull_to_failure::ended(&pulled.course.end)
}

/// Where the frame first yields.
#[must_use]
pub fn yields(pulled: &Pulled<'_>) -> &'static str {
    let steps = &pulled.course.steps;
    let beside = pulled.first_plastic().is_some_and(|first| !pulled.ready.trusts(steps[first].plastic_at));
    if beside { YIELDS_BESIDE } else { YIELDS }
}

/// What ended what is shown of the pull from rest on, as a caption: without a gate it is shown only as far as friction keeps what pulls.
#[must_use]
pub fn shown_end(pulled: &Pulled<'_>) -> String {
    if pulled.open_keeps_kn().is_some() { HOOK_SLIDES.to_owned() } else { ended(pulled) }
}

/// Load and stretch of a step.
#[must_use]
pub fn at(s: &Reached) -> String {
    format!("{}, {}", kilonewtons(s.load_kn), stretch(s))
}

/// Stretch of a step.
#[must_use]
pub fn stretch(s: &Reached) -> String {
    format!("{} mm", decimals(s.stretch_mm, 2))
}

/// What stays after unloading.
#[must_use]
pub fn stays(set_mm: f64) -> String {
    let way = if set_mm < 0.0 { "shorter" } else { "longer" };
    format!("{} mm {way} between the load centres", decimals(set_mm.abs(), 2))
}

/// What a step with the gate shows, in a word or two.
#[must_use]
pub fn phase(pulled: &Pulled<'_>, step: usize) -> String {
    let load_kn = pulled.course.steps[step].load_kn;
    let marks = pulled.course.marks;
    let beyond = |mark: Option<f64>| mark.is_some_and(|kn| load_kn >= kn);
    let words = if step > pulled.highest() {
        "past the highest load"
    } else if beyond(marks.knee_kn) {
        "beyond the knee"
    } else if beyond(marks.yields_kn) {
        "yields"
    } else if beyond(marks.engages_kn) {
        "elastic, the gate carries"
    } else {
        "elastic"
    };
    words.to_owned()
}

/// The name of the strip of maps.
#[must_use]
pub fn strip(connector: &str) -> String {
    format!("{connector}: moments of a pull until it fails")
}

/// The name of the map of what stays.
#[must_use]
pub fn unloaded(connector: &str) -> String {
    format!("{connector}: what stays after unloading")
}

/// The alternative text of maps of a pull.
#[must_use]
pub fn strip_description(sentence: &str, moments: &[String]) -> String {
    let from = if moments.is_empty() {
        String::new()
    } else {
        format!(" From left to right: {}.", moments.join("; "))
    };
    format!("Von Mises stress over the deformed frame. {sentence}{from} {CAUTION}")
}

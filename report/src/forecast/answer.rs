//! The forecast in sentences and tables.

use super::Forecast;
use super::pulled::table;
use crate::failure_modes::supposes;
use crate::in_use;
use crate::numbers::{kilonewtons, kilonewtons_alone, typed};
use crate::pictures::map::SHARE_OF_THE_PULL;
use crate::story::still_whole;
use crate::{failure_modes, formulas};
use solver::strength::{ComputedLimit, Ends, FailureMode, LimitKind};
use std::fmt::Write;
use study::forecast::{self, Supposes};

/// How a kind of limit reads in a table.
fn kind_word(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::Yields => "yields",
        LimitKind::Bends => "bends",
        LimitKind::Opens => "opens",
        LimitKind::Breaks => "breaks",
        LimitKind::Slips => "slips",
        LimitKind::Strap => "strap",
    }
}

/// The answer that `forecast` prints for one model.
#[must_use]
pub fn answer(forecast: &Forecast, told: &forecast::Forecast) -> String {
    let mut text = format!("{}\n{}\n\n", forecast.title, forecast.rig);
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "{} at {} ({} to {}); first to fail: {}.",
        match forecast.ends {
            Ends::Breaks => "Breaks",
            Ends::Opens => "Opens",
            Ends::Strap => "The strap breaks",
        },
        kilonewtons(forecast.peak_kn),
        kilonewtons_alone(forecast.range_kn.p5),
        kilonewtons(forecast.range_kn.p95),
        failure_modes::name(forecast.fails_first)
    );
    for sentence in &forecast.story {
        let _ = writeln!(text, "  {sentence}");
    }
    if let Some(calibrated) = &forecast.calibration {
        let _ = writeln!(text, "  {}", calibrated.sentence());
    }
    let _ = writeln!(text, "\nKept apart:");
    let supposed = |part: FailureMode, kn: f64| {
        Supposes::of(&told.limits, part, kn).map_or_else(String::new, |what| format!(", {}", supposes(what)))
    };
    let yields = forecast.first_yield_kn.map_or_else(
        || "not found".to_owned(),
        |kn| format!("{kn:>6.1} kN{}", supposed(FailureMode::FrameYields, kn)),
    );
    let bends = forecast.bends_at_kn;
    let _ = writeln!(text, "  the frame first yields    {yields}");
    let _ = writeln!(
        text,
        "  the frame is bent         {bends:>6.1} kN, permanently{}",
        supposed(FailureMode::FrameBends, bends)
    );
    if let Some((bent, kn)) = told.bent_pin() {
        let pin = failure_modes::part(bent);
        let _ = writeln!(text, "  {:<24}  {kn:>6.1} kN, still holds", format!("the {pin} bends"));
    }
    let _ = writeln!(text, "  the weakest part fails    {:>6.1} kN", forecast.fails_at_kn);
    let _ = writeln!(text, "  the open hook holds       {:>6.1} kN", forecast.open_hook_kn);
    if let Some(part) = forecast.open_over_closed {
        // EN 12275:2013, smallest and largest of its classes that name both: plausible, no acceptance.
        let _ = writeln!(
            text,
            "With its gate open this pull would end at {part:.2} of that; the smallest strengths that EN 12275:2013 asks of \
             its classes stand at 0.28 to 0.35 of each other."
        );
    }
    if let Some(in_use) = &forecast.in_use {
        text.push_str(&in_use::table(in_use));
    }
    let as_if = if told.limits.goes_on() {
        format!(
            "; those above {} suppose that {}",
            kilonewtons(forecast.fails_at_kn),
            still_whole(&told.limits)
        )
    } else {
        String::new()
    };
    let _ = writeln!(text, "\nAll limits{as_if}:\n  {:>7}  {:<7} {:<36} from", "kN", "how", "what");
    for limit in &forecast.limits {
        let at = limit.at_kn.map_or_else(|| "never".to_owned(), |kn| format!("{kn:.1}"));
        let _ = writeln!(
            text,
            "  {at:>7}  {:<7} {:<36} {}",
            kind_word(limit.kind),
            failure_modes::name(limit.what),
            formulas::source_in_short(limit.formula)
        );
    }
    text.push_str(&computed(&forecast.computed));
    if let Some(pulled) = &forecast.pulled {
        text.push_str(&table(pulled));
    }
    if !forecast.assumed.is_empty() {
        let _ = writeln!(
            text,
            "\nAssumed, where the model says nothing (\"more or less\" is two standard deviations, and the end):"
        );
        for line in &forecast.assumed {
            let _ = writeln!(text, "  {line}");
        }
    }
    for line in &forecast.left_out {
        let _ = writeln!(text, "Left out: {line}");
    }
    for note in &forecast.notes {
        let _ = writeln!(text, "Note: {note}");
    }
    text
}

/// The small parts by finite elements beside their formulas by hand; nothing where none was computed.
fn computed(limits: &[ComputedLimit]) -> String {
    if limits.is_empty() {
        return String::new();
    }
    let mut text = format!(
        "\nSmall parts by finite elements, which decide, and by hand (force in the gate line, kN):\n  {:>8}  {:>7}  what\n",
        "computed", "by hand"
    );
    for limit in limits {
        let range = match (limit.narrow_kn, limit.deep_kn) {
            _ if !limit.decides => "; here the formula by hand decides".to_owned(),
            (Some(narrow), Some(deep)) if deep > 1.001 * limit.computed_kn => {
                format!("; {narrow:.1} on a narrow patch, {deep:.1} bedded in deeply")
            }
            (Some(narrow), _) => format!("; {narrow:.1} on a narrow patch"),
            _ => String::new(),
        };
        let patch = match (limit.flank_mm, limit.arc_deg) {
            (Some(flank), Some(arc)) => {
                format!("; its pin beds in on {flank:.1} mm of flank and {arc:.0} degrees of the round end")
            }
            _ => String::new(),
        };
        let _ = writeln!(
            text,
            "  {:>8.1}  {:>7.1}  {}{range}{patch}",
            limit.computed_kn,
            limit.by_hand_kn,
            failure_modes::name(limit.what)
        );
    }
    let _ = writeln!(text, "  {SHARE_OF_THE_PULL}");
    for limit in limits.iter().filter(|l| l.far) {
        let by = 100.0 * (limit.by_hand_kn / limit.computed_kn - 1.0);
        let word = if by < 0.0 { "below" } else { "above" };
        let _ = writeln!(
            text,
            "  {}: the formula by hand lies {:.0} % {word} what is computed.",
            failure_modes::name(limit.what),
            by.abs()
        );
    }
    text
}

/// One line for each model of a day's batch.
#[must_use]
pub fn summary(models: &[(String, Forecast)], at_least: Option<f64>) -> String {
    let widest = models.iter().map(|m| m.0.chars().count()).max().unwrap_or(0).max(5);
    let mut text = format!(
        "{:<widest$}  {:>9}  {:>14}  {:>6}  {:<7} {}\n",
        "model", "peak load", "range, kN", "marked", "ends", "first to fail"
    );
    for (name, forecast) in models {
        let marked = forecast
            .against_marking
            .map_or_else(|| "-".to_owned(), |against| format!("{:.1}", against.marked_kn));
        let below = match at_least {
            Some(kn) if forecast.holds_kn < kn => format!("  below {} kN", typed(kn)),
            _ => String::new(),
        };
        let _ = writeln!(
            text,
            "{name:<widest$}  {:>6.1} kN  {:>5.1} to {:>5.1}  {marked:>6}  {:<7} {}{below}",
            forecast.peak_kn,
            forecast.range_kn.p5,
            forecast.range_kn.p95,
            failure_modes::ends(forecast.ends),
            failure_modes::name(forecast.fails_first)
        );
    }
    text
}

/// What `--at-least` came to: the forecast itself is judged, the low end of its range stands beside it.
#[must_use]
pub fn asked(kn: f64, all: &[(String, Forecast)]) -> String {
    let mut text = format!(
        "Asked for at least {} kN; judged is the load at which the first part breaks or the pull ends, with everything at its \
         middle:\n",
        typed(kn)
    );
    for (name, forecast) in all {
        let holds = forecast.holds_kn;
        let verdict = if holds < kn { "below" } else { "reached" };
        let beside = if holds < forecast.peak_kn {
            let end = if forecast.ends == Ends::Strap { "until the strap breaks at" } else { "to" };
            format!("the open hook then still holds {end} {}", kilonewtons(forecast.peak_kn))
        } else {
            format!("low end of its range: {}", kilonewtons(forecast.range_kn.p5))
        };
        text.push_str(&format!("  {name}: {}, {verdict} ({beside})\n", kilonewtons(holds)));
    }
    text
}

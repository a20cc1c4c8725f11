//! The forecast in sentences and tables.

use super::forecast::{Forecast, Kilonewtons};
use report::numbers::{kilonewtons, kilonewtons_alone, typed};
use report::{failure_modes, formulas};
use solver::strength::{ComputedLimit, Ends, FailureMode, Limit, LimitKind, PinFailure};
use std::fmt::Write;

use solver::causes::Judgement;

pub(super) fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    if percent > 0.0 && percent < 0.95 {
        "under 1 %".to_owned()
    } else if percent < 100.0 && percent > 99.05 {
        "over 99 %".to_owned()
    } else {
        format!("{percent:.0} %")
    }
}

/// How a kind of limit reads in a table.
pub(super) fn kind_word(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::Yields => "yields",
        LimitKind::Bends => "bends",
        LimitKind::Opens => "opens",
        LimitKind::Breaks => "breaks",
        LimitKind::Slips => "slips",
        LimitKind::Strap => "strap",
    }
}

/// How an end reads in a table.
fn end_word(ends: Ends) -> &'static str {
    match ends {
        Ends::Breaks => "breaks",
        Ends::Opens => "opens",
        Ends::Strap => "strap",
    }
}

impl Forecast {
    /// How sure it is, and how it stands beside the marking.
    pub(super) fn sure_sentences(&self) -> Vec<String> {
        let mut all = vec![format!(
            "With everything that is not known exactly, the 90 % range is {} to {}.",
            kilonewtons_alone(self.range_kn.p5),
            kilonewtons(self.range_kn.p95)
        )];
        let likely: Vec<String> = self
            .chances
            .iter()
            .take(3)
            .map(|c| format!("{} ({})", failure_modes::name(c.what), percent(c.chance)))
            .collect();
        if !likely.is_empty() {
            all.push(format!("First to fail among them: {}.", likely.join("; ")));
        }
        all.extend(self.off_the_middle());
        if let Some(most) = &self.matters_most {
            all.push(format!(
                "The spread comes most of all from: {}, {} to {} ({} of it).",
                most.what,
                most.from,
                most.to,
                percent(most.share)
            ));
        }
        if let Some(against) = &self.against_marking {
            let stands = if against.ratio >= 1.0 { "not below" } else { "below" };
            all.push(format!(
                "Marked {} with the gate {}: the forecast is {stands} that ({:.2} times it){} {} of the pulls reach it.",
                kilonewtons(against.marked_kn),
                against.gate,
                against.ratio,
                if against.ratio >= 1.0 && against.reached_by < 0.5 { ", but only" } else { ";" },
                percent(against.reached_by)
            ));
            if self.holds_kn() < against.marked_kn && against.ratio >= 1.0 {
                all.push(format!(
                    "But the {} fails at {}, below the marking; only the open hook still holds.",
                    failure_modes::name(self.fails_first).replace(", ", " "),
                    kilonewtons(self.fails_at_kn)
                ));
            }
        }
        all
    }
}

/// What a limit of the frame takes the gate for: whole whatever it carries (first yield), or bearing no more than it can
/// (permanently bent).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Gate {
    /// Whole.
    Whole,
    /// At what it holds.
    AtItsLimit,
}

impl Forecast {
    /// A pin of the gate that bends before anything ends the pull: it still holds, but it is not the pin that it was. Its name,
    /// and the load in kN.
    pub(super) fn bent_pin(&self) -> Option<(&'static str, f64)> {
        let bent = |l: &&Limit| matches!(l.what, FailureMode::Pin(_, PinFailure::Bent));
        let first =
            self.limits.iter().filter(bent).find_map(|l| Some((failure_modes::part(l.what), l.at_kn?)))?;
        (first.1 < self.fails_at_kn).then_some(first)
    }

    /// What a load that the frame comes to supposes, where something gives before: the frame's limits reckon with what has
    /// gone by then. A gate that was never held has no part in them.
    pub(super) fn supposes(&self, kn: f64, gate: Gate) -> Option<&'static str> {
        if kn <= self.fails_at_kn || self.fails_at_kn <= 0.0 {
            return None;
        }
        let first = self.limits.iter().find(|l| l.what == self.fails_first)?;
        match first.kind {
            LimitKind::Breaks | LimitKind::Slips => Some(match gate {
                Gate::Whole => "if the gate held",
                Gate::AtItsLimit => "its gate at its limit",
            }),
            LimitKind::Strap => Some("if the strap held"),
            LimitKind::Yields | LimitKind::Bends | LimitKind::Opens => None,
        }
    }

    /// Where "everything at its middle" is not the middle of what may happen: many parts that are nearly as weak, or a range
    /// that runs one way only.
    fn off_the_middle(&self) -> Option<String> {
        let Kilonewtons { p5, p95, .. } = self.range_kn;
        if self.peak_kn < p5 || self.peak_kn > p95 {
            return Some(format!(
                "With everything at its middle the pull ends at {}, outside that range: go by the range.",
                kilonewtons(self.peak_kn)
            ));
        }
        let of = |part: FailureMode| self.chances.iter().find(|c| c.what == part).map_or(0.0, |c| c.chance);
        let likeliest =
            self.chances.first().filter(|c| c.chance > of(self.fails_first) + Judgement::STANDING.clearly)?;
        Some(format!(
            "With everything at its middle it is another part ({}) than the likeliest ({}).",
            failure_modes::name(self.fails_first),
            failure_modes::name(likeliest.what)
        ))
    }
}

/// The answer that `forecast` prints for one model.
#[must_use]
pub fn answer(forecast: &Forecast) -> String {
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
    let _ = writeln!(text, "\nKept apart:");
    let supposed = |kn: f64, gate: Gate| {
        forecast.supposes(kn, gate).map_or_else(String::new, |what| format!(", {what}"))
    };
    let yields = forecast
        .first_yield_kn
        .map_or_else(|| "not found".to_owned(), |kn| format!("{kn:>6.1} kN{}", supposed(kn, Gate::Whole)));
    let bends = forecast.bends_at_kn;
    let _ = writeln!(text, "  the frame first yields    {yields}");
    let _ = writeln!(
        text,
        "  the frame is bent         {bends:>6.1} kN, permanently{}",
        supposed(bends, Gate::AtItsLimit)
    );
    if let Some((pin, kn)) = forecast.bent_pin() {
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
    let _ = writeln!(text, "\nAll limits:\n  {:>7}  {:<7} {:<36} from", "kN", "how", "what");
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
            Some(kn) if forecast.holds_kn() < kn => format!("  below {} kN", typed(kn)),
            _ => String::new(),
        };
        let _ = writeln!(
            text,
            "{name:<widest$}  {:>6.1} kN  {:>5.1} to {:>5.1}  {marked:>6}  {:<7} {}{below}",
            forecast.peak_kn,
            forecast.range_kn.p5,
            forecast.range_kn.p95,
            end_word(forecast.ends),
            failure_modes::name(forecast.fails_first)
        );
    }
    text
}

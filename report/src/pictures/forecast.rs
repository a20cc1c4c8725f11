//! Words of a forecast's picture.

use crate::failure_modes::{self, supposes};
use crate::forecast::Forecast;
use crate::locations::frame_in_sentence;
use crate::numbers::{kilonewtons, kilonewtons_alone, likelihood};
use solver::strength::{Ends, FailureMode};
use std::fmt::Write;
use study::forecast::Supposes;

/// The line under the title: `heading` is the rig and what was set.
#[must_use]
pub fn subtitle(heading: String, forecast: &Forecast) -> String {
    match &forecast.calibration {
        None => heading,
        Some(calibrated) => format!("{heading}; calibrated by {}", calibrated.name),
    }
}

/// The name of the picture.
#[must_use]
pub fn name(connector: &str) -> String {
    format!("{connector}: what fails first")
}

/// The 90 % range, kN.
#[must_use]
pub fn range([low, high]: [f64; 2]) -> String {
    format!("90 % range: {} to {}", kilonewtons_alone(low), kilonewtons(high))
}

/// A marking, kN, as it is stamped: without decimals where it has none.
#[must_use]
pub fn marked(kn: f64) -> String {
    format!("marked {}", if kn.fract() == 0.0 { format!("{kn:.0} kN") } else { kilonewtons(kn) })
}

/// What fails first and where the pull ends, in a sentence.
#[must_use]
pub fn headline(forecast: &Forecast) -> String {
    let (at, first) = (kilonewtons(forecast.peak_kn), failure_modes::name(forecast.fails_first));
    let first_at = kilonewtons(forecast.fails_at_kn);
    let (part, verb) = failure_modes::subject_and_verb(forecast.fails_first);
    match forecast.ends {
        Ends::Breaks => format!("At {at} {part} {verb}."),
        Ends::Strap if forecast.fails_at_kn < forecast.peak_kn => {
            format!("First to fail, at {first_at}: {first}; the strap breaks at {at}.")
        }
        Ends::Strap => format!("The {first} breaks at {at}, before the connector."),
        Ends::Opens if forecast.fails_at_kn < forecast.peak_kn => {
            format!("At {first_at} {part} {verb}; the hook opens at {at}.")
        }
        Ends::Opens => format!("The frame opens at {at}."),
    }
}

/// What follows, and what part is how likely.
#[must_use]
pub fn then(forecast: &Forecast) -> String {
    let tears = forecast.tears_at.map(|place| match forecast.fails_first {
        FailureMode::FrameOpens => {
            let second = forecast.may_tear_at;
            let second = second.map_or_else(String::new, |p| format!(", or at the {}", frame_in_sentence(p)));
            format!("It tears at the {}{second}.", frame_in_sentence(place))
        }
        _ => format!("The open hook then tears at the {}.", frame_in_sentence(place)),
    });
    let likely: Vec<String> = forecast
        .chances
        .iter()
        .take(3)
        .map(|c| format!("{} in {}", failure_modes::run_on(c.what), likelihood(c.chance)))
        .collect();
    let chances = (likely.len() > 1).then(|| format!("First to fail: {}.", likely.join(", ")));
    tears.into_iter().chain(chances).collect::<Vec<_>>().join(" ")
}

/// A part, and what the load of its limit supposes.
#[must_use]
pub fn part_as_if(part: FailureMode, supposed: Option<Supposes>) -> String {
    let name = failure_modes::name(part);
    supposed.map_or_else(|| name.to_owned(), |supposed| format!("{name}, {}", supposes(supposed)))
}

/// A pin that bends before anything ends the pull.
#[must_use]
pub fn bends(pin: FailureMode) -> String {
    format!("{} bends, still holds", failure_modes::part(pin))
}

fn still_holds(supposed: Option<Supposes>) -> &'static str {
    supposed.map_or("still holds", supposes)
}

/// First yield of the frame, and what it supposes.
#[must_use]
pub fn yields_in_places(supposed: Option<Supposes>) -> String {
    format!("frame yields in places, {}", still_holds(supposed))
}

/// The frame permanently bent, and what that supposes.
#[must_use]
pub fn permanently_bent(supposed: Option<Supposes>) -> String {
    format!("frame is permanently bent, {}", still_holds(supposed))
}

/// Parts that are not shown, and from which load on they give, kN.
#[must_use]
pub fn more(count: usize, from_kn: f64) -> String {
    format!("{count} more {}, from {}", if count == 1 { "part" } else { "parts" }, kilonewtons(from_kn))
}

/// What stands under the small map.
#[must_use]
pub fn map_caption(load_kn: f64) -> String {
    format!("stress at {}, warm is high", kilonewtons(load_kn))
}

/// What the picture says in words. Loads in kN.
#[derive(Clone, Debug)]
pub struct ForecastTold<'a> {
    /// Headline, what follows, and the rig.
    pub lead: [&'a str; 3],
    /// The 90 % range.
    pub range_kn: [f64; 2],
    /// What is marked.
    pub marked_kn: Option<f64>,
    /// Parts with the loads of their limits.
    pub bars: Vec<(&'a str, f64)>,
    /// What is not shown.
    pub more: Option<&'a str>,
    /// Pull of the small map, and what spine and gate carry of it.
    pub loads_kn: [f64; 3],
    /// The line of caution.
    pub caution: &'a str,
}

/// The alternative text.
#[must_use]
pub fn description(told: &ForecastTold<'_>) -> String {
    let [sentence, then, rig] = told.lead;
    let [low, high] = told.range_kn;
    let mut out = format!("{sentence} {then} {rig}. ");
    let _ = write!(out, "The 90 % range is {} to {}. ", kilonewtons_alone(low), kilonewtons(high));
    if let Some(kn) = told.marked_kn {
        let _ = write!(out, "Marked {}. ", kilonewtons(kn));
    }
    for (part, kn) in &told.bars {
        let _ = write!(out, "{part}: {}. ", kilonewtons(*kn));
    }
    if let Some(more) = told.more {
        let _ = write!(out, "{more}. ");
    }
    let [load, spine, gate] = told.loads_kn.map(kilonewtons);
    let _ = write!(out, "At {load} the spine carries {spine} and the gate {gate}. {}", told.caution);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_marking_is_written_as_it_is_stamped() {
        assert_eq!([marked(20.0), marked(7.5)], ["marked 20 kN", "marked 7.5 kN"]);
    }

    #[test]
    fn the_alternative_text_has_every_number() {
        let said = description(&ForecastTold {
            lead: ["S.", "T.", "R"],
            range_kn: [18.0, 21.5],
            marked_kn: Some(20.0),
            bars: vec![("root of the nose", 26.1)],
            more: Some("7 more"),
            loads_kn: [10.0, 5.74, 4.26],
            caution: "C.",
        });
        for needed in [
            "18.0 to 21.5 kN",
            "root of the nose: 26.1 kN",
            "Marked 20.0 kN",
            "7 more. ",
            "5.7 kN",
            "4.3 kN. C.",
        ] {
            assert!(said.contains(needed), "{needed} is not in {said}");
        }
    }
}

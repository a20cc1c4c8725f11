//! What an explanation comes to, in a sentence.

use super::causes;
use crate::failure_modes::{name, with_article};
use crate::numbers::{kilonewtons, kilonewtons_alone, likelihood};
use crate::places;
use solver::causes::Place;
use study::explain::{Difference, Explanation, Family, RankedCause, Verdict};

/// Where it broke, after the verb.
fn at(place: Place) -> String {
    let word = places::word(place);
    // The only place that is something that happens.
    if place == Place::RidingOut { format!("by {word}") } else { format!("at the {word}") }
}

fn seen(found: &Explanation) -> String {
    let broke_at = kilonewtons(found.observed.broke_at_kn);
    match found.observed.place {
        Some(place) => format!("{broke_at}, broken {}", at(place)),
        None => broke_at,
    }
}

fn cause(found: &Explanation, difference: &Difference, friction_needed: Option<f64>) -> String {
    let friction = found.as_entered.setting.rig.friction;
    causes::cause(difference, friction_needed, friction, found.observed.broke_at_kn)
}

fn cause_of(found: &Explanation, line: &RankedCause) -> String {
    cause(found, &line.difference, line.friction_needed)
}

/// The answer in a sentence.
pub(super) fn sentence(found: &Explanation) -> String {
    let Some(first) = found.causes.first() else { return nothing(found) };
    let likely = likelihood(first.likelihood);
    let words = cause_of(found, first);
    let (gives, part) = (kilonewtons(first.peak_kn), name(first.fails_first));
    let weighed = match found.verdict() {
        Verdict::Nothing => return nothing(found),
        Verdict::AsEntered => {
            return format!("Nothing need differ from what was entered: {}.", within(found, first));
        }
        Verdict::ComesClose(tie) => format!(
            "Nothing that is weighed here breaks there first; the likeliest ({likely}) comes close (first to fail: {part}, at \
             {gives}; {} may have gone before it, at {}): {words}",
            with_article(tie.what),
            kilonewtons(tie.at_kn)
        ),
        Verdict::FitsPoorly => format!(
            "Nothing that is weighed here fits well; the likeliest gives {gives} (first to fail: {part}): {words}"
        ),
        Verdict::Level(count) => told_alike(found, &found.causes[..count.min(found.causes.len())]),
        Verdict::Only => format!("Of what is weighed here only this fits: {words}"),
        Verdict::Likeliest => format!("Most likely ({likely}): {words}"),
    };
    let misses = match causes::misses(first, &found.observed).as_str() {
        "" => String::new(),
        misses => {
            let first = if matches!(found.verdict(), Verdict::Level(_)) { "The first" } else { "That" };
            format!(" {first} gives {gives}, {misses}.")
        }
    };
    format!(
        "It broke at {}{}; as entered it would have held {}. {weighed}.{misses}",
        kilonewtons(found.observed.broke_at_kn),
        found.observed.place.map_or_else(String::new, |p| format!(" {}", at(p))),
        kilonewtons(found.as_entered.peak_kn),
    )
}

/// What is told where nothing explains what was seen.
fn nothing(found: &Explanation) -> String {
    let seen = seen(found);
    let Some(range) = &found.closest else {
        // What breaks elsewhere is near in its load only.
        let why = found.observed.place.map_or_else(String::new, |place| {
            format!(
                ": nothing that was tried breaks {}. Leave the place out to weigh the load alone",
                at(place)
            )
        });
        return format!("Nothing within the ranges explains {seen}{why}.");
    };
    let [low, high] = range.reachable_kn;
    let gap = (low..=high).contains(&found.observed.broke_at_kn);
    let (low, high) = (kilonewtons_alone(low), kilonewtons_alone(high));
    let reach = if low == high { low } else { format!("{low} to {high}") };
    let gap = if gap { ", none of them near it" } else { "" };
    format!(
        "Nothing within the ranges explains {seen}: those tried reach {reach} kN{gap}. The nearest is {}: {}.",
        kilonewtons(range.peak_kn),
        cause(found, &range.difference, range.friction_needed)
    )
}

/// What was seen, as something that needs no other cause.
fn within(found: &Explanation, told: &RankedCause) -> String {
    let seen = seen(found);
    let comma = if found.observed.place.is_some() { "," } else { "" };
    match found.forecast_kn.filter(|_| told.difference != Difference::AsEntered) {
        Some([low, high]) => {
            let lies = if found.is_within_forecast() {
                "is within what the forecast leaves open"
            } else {
                "may be a rare pull outside the 90 % range of the forecast"
            };
            format!("{seen}{comma} {lies}, {} to {}", kilonewtons_alone(low), kilonewtons(high))
        }
        None => {
            let forecast = kilonewtons(told.peak_kn);
            format!("{seen}{comma} is within the scatter of the {forecast} forecast")
        }
    }
}

/// Lines whose likelihoods lie too close together to choose among them.
fn told_alike(found: &Explanation, level: &[RankedCause]) -> String {
    let count =
        ["No", "One", "Two", "Three", "Four", "Five", "Six"].get(level.len()).copied().unwrap_or("Many");
    let shares: Vec<String> = level.iter().map(|c| likelihood(c.likelihood)).collect();
    let shares = match shares.split_last() {
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    };
    let words: Vec<String> = level
        .iter()
        .map(|c| match c.family == Family::AS_ENTERED {
            true => format!("nothing different, for {}", within(found, c)),
            false => cause_of(found, c),
        })
        .collect();
    format!("{count} things are about equally likely ({shares}): {}", words.join("; or "))
}

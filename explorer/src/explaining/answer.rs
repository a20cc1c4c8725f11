//! The short plain answer of `explain`.

use super::causes::AS_ENTERED_FAMILY;
use super::{Explanation, NearTie, RankedCause};
use report::failure_modes::{name, with_article};
use report::numbers::{kilonewtons, kilonewtons_alone};
use report::places;
use solver::causes::{Judgement, Place};
use std::fmt::Write;

/// Less than this of the likelihood in lines that are left out is not given.
pub(super) const LEAST_OTHERS: f64 = 0.01;

/// Where it broke, after the verb.
fn at(place: Place) -> String {
    let word = places::word(place);
    // The only place that is something that happens.
    if place == Place::RidingOut { format!("by {word}") } else { format!("at the {word}") }
}

fn observed(found: &Explanation) -> String {
    match found.place {
        Some(place) => format!("{}, broken {}", kilonewtons(found.broke_at_kn), at(place)),
        None => kilonewtons(found.broke_at_kn),
    }
}

pub(super) fn percent(likelihood: f64, judgement: &Judgement) -> String {
    // A hundred percent of what was weighed is not certainty.
    if likelihood < 0.01 {
        "below 1 %".to_owned()
    } else if likelihood >= judgement.only {
        "over 99 %".to_owned()
    } else {
        format!("{:.0} %", 100.0 * likelihood)
    }
}

/// Whether the load shown is that of the part that fails first, and the pull would have gone on to another.
pub(super) fn goes_on(cause: &RankedCause) -> bool {
    kilonewtons(cause.pull_ends_at_kn) != kilonewtons(cause.peak_kn)
}

/// What is told beside a part that fails first elsewhere: "; the gate (torn out at the hinge pin) may have gone before it, at
/// 18.1 kN".
pub(super) fn tie_in_words(cause: &RankedCause) -> String {
    let tie = |tie: &NearTie| {
        format!("; {} may have gone before it, at {}", with_article(tie.what), kilonewtons(tie.at_kn))
    };
    cause.near_tie.as_ref().map_or_else(String::new, tie)
}

/// The answer in a sentence.
pub(super) fn sentence(found: &Explanation) -> String {
    let seen = observed(found);
    let Some(first) = found.causes.first() else {
        let Some(range) = &found.closest else {
            // What breaks elsewhere is near in its load only.
            let why = found.place.map_or_else(String::new, |place| {
                format!(
                    ": nothing that was tried breaks {}. Leave the place out to weigh the load alone",
                    at(place)
                )
            });
            return format!("Nothing within the ranges explains {seen}{why}.");
        };
        let [low, high] = range.reachable_kn;
        let gap = (low..=high).contains(&found.broke_at_kn);
        let (low, high) = (kilonewtons_alone(low), kilonewtons_alone(high));
        let reach = if low == high { low } else { format!("{low} to {high}") };
        let gap = if gap { ", none of them near it" } else { "" };
        return format!(
            "Nothing within the ranges explains {seen}: those tried reach {reach} kN{gap}. The nearest is {}: {}.",
            kilonewtons(range.peak_kn),
            range.cause
        );
    };
    let judgement = &found.judgement;
    let nearly = |c: &&RankedCause| {
        c.likelihood >= (first.likelihood - judgement.clearly).max(judgement.nearly * first.likelihood)
    };
    let level: Vec<&RankedCause> = found.causes.iter().take_while(nearly).collect();
    let told_fits = within_forecast(found) || first.cause == found.as_entered.cause;
    if level.len() == 1
        && first.family == AS_ENTERED_FAMILY
        && told_fits
        && first.likelihood >= judgement.cleared
    {
        return format!("Nothing need differ from what was entered: {}.", within(found, first));
    }
    let tie = first.near_tie.as_ref().filter(|_| found.causes.iter().all(|c| c.near_tie.is_some()));
    let weighed = if let Some(tie) = tie {
        format!(
            "Nothing that is weighed here breaks there first; the likeliest ({}) comes close (first to fail: {}, at {}; {} may \
             have gone before it, at {}): {}",
            percent(first.likelihood, judgement),
            name(first.fails_first),
            kilonewtons(first.peak_kn),
            with_article(tie.what),
            kilonewtons(tie.at_kn),
            first.cause
        )
    } else if found.causes.iter().all(|c| c.fit < judgement.well) {
        format!(
            "Nothing that is weighed here fits well; the likeliest gives {} (first to fail: {}): {}",
            kilonewtons(first.peak_kn),
            name(first.fails_first),
            first.cause
        )
    } else if level.len() > 1 {
        told_alike(found, &level)
    } else if first.likelihood >= judgement.only && !within_forecast(found) {
        format!("Of what is weighed here only this fits: {}", first.cause)
    } else {
        format!("Most likely ({}): {}", percent(first.likelihood, judgement), first.cause)
    };
    format!(
        "It broke at {}{}; as entered it would have held {}. {weighed}.",
        kilonewtons(found.broke_at_kn),
        found.place.map_or_else(String::new, |p| format!(" {}", at(p))),
        kilonewtons(found.as_entered.peak_kn),
    )
}

/// Whether the load seen is one that the forecast of everything as entered may come to.
fn within_forecast(found: &Explanation) -> bool {
    found.forecast_kn.is_some_and(|[low, high]| (low..=high).contains(&found.broke_at_kn))
}

/// What was seen, as something that needs no other cause.
fn within(found: &Explanation, told: &RankedCause) -> String {
    let seen = observed(found);
    let comma = if found.place.is_some() { "," } else { "" };
    match found.forecast_kn.filter(|_| told.cause != found.as_entered.cause) {
        Some([low, high]) => {
            let lies = if within_forecast(found) {
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
fn told_alike(found: &Explanation, level: &[&RankedCause]) -> String {
    let count =
        ["No", "One", "Two", "Three", "Four", "Five", "Six"].get(level.len()).copied().unwrap_or("Many");
    let shares: Vec<String> = level.iter().map(|c| percent(c.likelihood, &found.judgement)).collect();
    let shares = match shares.split_last() {
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    };
    let words: Vec<String> = level
        .iter()
        .map(|c| match c.family == AS_ENTERED_FAMILY {
            true => format!("nothing different, for {}", within(found, c)),
            false => c.cause.clone(),
        })
        .collect();
    format!("{count} things are about equally likely ({shares}): {}", words.join("; or "))
}

/// The answer that `explain` prints.
#[must_use]
pub fn answer(found: &Explanation) -> String {
    let mut text = format!("{}\nAs entered: {}\n{}\n", found.connector, found.rig, found.sentence);
    // Writing to a string cannot fail.
    if found.explained {
        let _ = writeln!(
            text,
            "  {:<9} {:>8}  {:<34}  cause, most likely value (likely values)",
            "likely", "peak", "fails first"
        );
    }
    for cause in &found.causes {
        let mut range = if cause.likely.is_empty() { String::new() } else { format!(" ({})", cause.likely) };
        range.push_str(&tie_in_words(cause));
        if goes_on(cause) {
            let _ = write!(range, "; pulled on, it ends at {}", kilonewtons(cause.pull_ends_at_kn));
        }
        let _ = writeln!(
            text,
            "  {:<9} {:>5.1} kN  {:<34}  {}{range}",
            percent(cause.likelihood, &found.judgement),
            cause.peak_kn,
            name(cause.fails_first),
            cause.cause,
        );
    }
    if found.others_likelihood >= LEAST_OTHERS {
        let _ = writeln!(
            text,
            "  {:<9} {:>8}  {:<34}  others, each less likely",
            percent(found.others_likelihood, &found.judgement),
            "",
            ""
        );
    }
    for (i, line) in found.measure_next.iter().enumerate() {
        let _ = writeln!(text, "{} {line}", if i == 0 { "Measure next:" } else { "         or:" });
    }
    for marking in &found.marking {
        let _ = writeln!(text, "{}", marking.sentence);
    }
    let _ = writeln!(
        text,
        "{} settings solved; a load fits within {:.0} % (one standard deviation). Chances beforehand are engineering \
         judgement (--json lists them).",
        found.solved,
        100.0 * found.scatter
    );
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::explaining::{FORMAT, coarse_mesh};
    use crate::source;
    use solver::strength::{FailureMode, LugFailure, Pin};

    fn line(cause: &str, likelihood: f64, fit: f64) -> RankedCause {
        RankedCause {
            cause: cause.to_owned(),
            family: if cause.starts_with("everything") { AS_ENTERED_FAMILY } else { cause }.to_owned(),
            values: Vec::new(),
            likely: String::new(),
            likelihood,
            fit,
            friction_needed: None,
            peak_kn: 14.0,
            pull_ends_at_kn: 14.0,
            fails_first: FailureMode::FrameOpens,
            near_tie: None,
            tears_at: None,
            may_tear_at: None,
            measure: String::new(),
            keys: None,
            setting: source::find("broadbar-alu").unwrap().model(&[]).unwrap().case(coarse_mesh()),
        }
    }

    /// The sentence about lines with a likelihood and a fit each; the forecast of everything as entered runs from 18 to 22 kN.
    fn said(broke_at_kn: f64, lines: &[(&str, f64, f64)]) -> String {
        sentence(&explanation(broke_at_kn, lines))
    }

    /// The same whole.
    fn explanation(broke_at_kn: f64, lines: &[(&str, f64, f64)]) -> Explanation {
        Explanation {
            format: FORMAT,
            connector: String::new(),
            rig: String::new(),
            broke_at_kn,
            place: Some(Place::Lip),
            scatter: 0.05,
            as_entered: RankedCause { peak_kn: 20.0, ..line("everything as entered", 0.0, 0.0) },
            forecast_kn: Some([18.0, 22.0]),
            explained: true,
            sentence: String::new(),
            causes: lines.iter().map(|l| line(l.0, l.1, l.2)).collect(),
            others_likelihood: 0.0,
            closest: None,
            measure_next: Vec::new(),
            marking: Vec::new(),
            solved: 1,
            judgement: Judgement::default(),
            caution: "",
        }
    }

    #[test]
    fn a_near_tie_is_told_as_one() {
        let two = said(14.0, &[("a low lip", 0.51, 1.0), ("a thin pin", 0.48, 0.9)]);
        let all = "It broke at 14.0 kN at the lip; as entered it would have held 20.0 kN. Two things are about equally likely (51 % and \
                   48 %): a low lip; or a thin pin.";
        assert_eq!(two, all);
        let three =
            said(14.0, &[("a low lip", 0.35, 1.0), ("a thin pin", 0.33, 0.9), ("an open gate", 0.31, 1.0)]);
        assert!(three.contains(
            "Three things are about equally likely (35 %, 33 % and 31 %): a low lip; or a thin pin; or an"
        ));
        let clear = said(14.0, &[("a low lip", 0.51, 1.0), ("a thin pin", 0.44, 0.9)]);
        assert!(clear.ends_with("Most likely (51 %): a low lip."), "{clear}");
        // Two small ones lie close by their size alone.
        let small = said(14.0, &[("a low lip", 0.12, 1.0), ("a thin pin", 0.08, 0.9)]);
        assert!(small.ends_with("Most likely (12 %): a low lip."), "{small}");
        let told = said(19.5, &[("everything as entered", 0.5, 1.0), ("a thin pin", 0.48, 0.9)]);
        assert!(told.contains("nothing different, for 19.5 kN, broken at the lip, is within"), "{told}");
    }

    #[test]
    fn a_near_tie_of_the_place_seen_is_told_with_its_load_and_what_is_left_out_is_summed() {
        let mut found = explanation(18.0, &[("a soft gate", 0.7, 0.3), ("a thin pin", 0.2, 0.3)]);
        found.others_likelihood = 0.1;
        for cause in &mut found.causes {
            cause.near_tie =
                Some(NearTie { what: FailureMode::Gate(Pin::Hinge, LugFailure::TornOut), at_kn: 15.2 });
        }
        let told = sentence(&found);
        let words = "Nothing that is weighed here breaks there first; the likeliest (70 %) comes close (first to fail: frame \
                     opens, at 14.0 kN; the gate (torn out at the hinge pin) may have gone before it, at 15.2 kN): a soft gate.";
        assert!(told.ends_with(words), "{told}");
        let text = answer(&found);
        assert!(text.contains(
            "a soft gate; the gate (torn out at the hinge pin) may have gone before it, at 15.2 kN"
        ));
        assert!(
            text.lines().any(|l| l.trim().starts_with("10 %") && l.ends_with("others, each less likely"))
        );
    }

    #[test]
    fn a_pull_rarer_than_the_forecast_is_not_cleared() {
        let rare =
            said(25.0, &[("everything as entered, a rare pull", 0.8, 1.0), ("a hard frame", 0.2, 1.0)]);
        assert!(rare.ends_with("Most likely (80 %): everything as entered, a rare pull."), "{rare}");
    }

    #[test]
    fn only_one_thing_fits_where_the_forecast_cannot_give_the_load_and_it_fits_well() {
        let alone = said(14.0, &[("a low lip", 1.0, 1.0)]);
        assert!(alone.ends_with("Of what is weighed here only this fits: a low lip."), "{alone}");
        // As entered the connector may have held 18 to 22 kN.
        let spanned = said(18.5, &[("a low lip", 1.0, 1.0)]);
        assert!(spanned.ends_with("Most likely (over 99 %): a low lip."), "{spanned}");
        let poor = said(15.3, &[("a low lip", 1.0, 0.06)]);
        let ends = "Nothing that is weighed here fits well; the likeliest gives 14.0 kN (first to fail: frame opens): a low lip.";
        assert!(poor.ends_with(ends), "{poor}");
    }
}

//! What a lot's pulls allow to be said, in words: the table, the sentences, and the JSON.

mod against;
mod document;
mod logbook;
mod mistakes;
mod numbers;
mod sentences;
mod taken;

pub use document::Document;
pub use logbook::{FromLogbook, key, names, no_logbook, nothing_counts, spread_of_nothing, two_sources};
pub use mistakes::{NoPeak, PeakMistake, PeakMistakes, no_lot};
pub use numbers::{NO_LOAD, claimed, exact, is_a_load, share};
pub use sentences::{against_marking, ended, headline, marking, title};

use crate::numbers::{kilonewtons, kilonewtons_alone, plain};
use lab::statistics::{Farthest, Figures, LEAST_JUDGED, Normal, NormalLot, Question, SHARES, Weibull};
use numbers::{at_most, bound, confident};
use sentences::{against_others, assumed, at_least, believed, claim, no_claim, note, reason};
use std::fmt::Write;

/// Width of the names of rows.
const NAMES: usize = 49;
/// Width of a column.
const COLUMN: usize = 16;

fn line(text: &mut String, name: &str, cells: &[String]) {
    let cells: String = cells.iter().map(|cell| format!("{cell:<COLUMN$}")).collect();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "{}", format!("  {name:<NAMES$}{cells}").trim_end());
}

/// The name of a bound's row: `95 % of the lot break above, 95 % confident`.
#[must_use]
pub fn bound_name(part: f64) -> String {
    format!("{} of the lot break above, 95 % confident", share(part))
}

/// From where to where a load may lie, which is not below zero.
fn range(interval: [f64; 2]) -> String {
    let [low, high] = interval.map(|kn| kn.max(0.0));
    format!("{} to {}", kilonewtons_alone(low), kilonewtons(high))
}

fn of_a_normal(text: &mut String, normal: &Normal) {
    let mean = |kn: f64, interval| {
        vec![format!("{}, the lot's {}, 95 % confident", kilonewtons(kn), range(interval))]
    };
    match &normal.figures {
        NormalLot::Broke { moments, mean_interval_kn, three_sigma } => {
            line(text, "mean", &mean(moments.mean, *mean_interval_kn));
            let part =
                moments.coefficient_of_variation().map(|cv| format!(", {:.1} % of the mean", 100.0 * cv));
            let sd = kilonewtons(normal.sd_kn());
            line(text, "standard deviation, n - 1", &[format!("{sd}{}", part.unwrap_or_default())]);
            line(text, "standard deviation, n (of these pulls alone)", &[kilonewtons(moments.sd_of_these)]);
            line(
                text,
                "lowest, highest",
                &[format!("{}, {}", kilonewtons(moments.min), kilonewtons(moments.max))],
            );
            for (name, rating) in [("n - 1", three_sigma.by_sd), ("n", three_sigma.by_sd_of_these)] {
                let sure: Vec<String> = SHARES
                    .iter()
                    .zip(rating.confidence)
                    .map(|(part, sure)| format!("{} that {}", confident(sure), share(*part)))
                    .collect();
                let told = match is_a_load(rating.kn) {
                    true => {
                        format!("{}; confidence {} of the lot break above", bound(rating.kn), sure.join(", "))
                    }
                    false => NO_LOAD.to_owned(),
                };
                line(text, &format!("mean - 3 standard deviations, {name}"), &[told]);
            }
        }
        NormalLot::Censored { mean_kn, mean_interval_kn, sd_kn } => {
            line(text, "likeliest mean", &mean(*mean_kn, *mean_interval_kn));
            line(text, "likeliest standard deviation", &[kilonewtons(*sd_kn)]);
        }
    }
}

fn of_a_weibull(text: &mut String, weibull: &Weibull) {
    let [low, high] = weibull.shape.interval;
    let shape = format!("{:.1}, {low:.1} to {high:.1}, 95 % confident", weibull.shape.value);
    line(text, "Weibull shape", &[shape]);
    let scale = weibull.scale_kn;
    let scale = format!("{}, {}, 95 % confident", kilonewtons(scale.value), range(scale.interval));
    line(text, "Weibull scale", &[scale]);
}

fn bounds(text: &mut String, found: &Figures) {
    line(text, "", &["normal lot".to_owned(), "Weibull lot".to_owned()]);
    for (i, part) in SHARES.into_iter().enumerate() {
        let normal = found.bounds.iter().find(|bound| bound.share == part);
        let weibull = found.weibull.as_ref().ok().map(|weibull| weibull.exceeded[i].bound.kn);
        let cells =
            [normal.map(|bound| bound.kn), weibull].map(|kn| kn.map_or_else(|| "-".to_owned(), bound));
        line(text, &bound_name(part), &cells);
    }
}

fn of_the_farthest(text: &mut String, farthest: &Farthest) {
    let kn = kilonewtons(farthest.kn);
    let told = match farthest.judged {
        true => {
            let is = if farthest.is_outlier() { "an outlier" } else { "no outlier" };
            format!(
                "{kn}, {:.3} standard deviations: {is} (Grubbs' test, 5 %, from {:.3} on)",
                farthest.sds, farthest.critical_sds
            )
        }
        false => format!(
            "{kn}, {:.3} standard deviations: not judged, by {LEAST_JUDGED} breaks or more only, and farther apart than the last digit",
            farthest.sds
        ),
    };
    line(text, "farthest from the mean", &[told]);
}

/// The answer that `lot` prints.
#[must_use]
pub fn answer(found: &Figures, question: &Question) -> String {
    let mut text = format!("{}: {}\n{}\n", title(found), ended(found), headline(found));
    let breaks = found.lot.breaks_kn().len();
    match &found.normal {
        Ok(normal) => {
            of_a_normal(&mut text, normal);
            if let Some(farthest) = &found.farthest {
                of_the_farthest(&mut text, farthest);
            }
            bounds(&mut text, found);
        }
        Err(why) => {
            let peaks: Vec<String> =
                found.lot.pulls().iter().take(12).map(|pull| told_peak(pull.peak_kn, pull.broke)).collect();
            line(&mut text, "peaks", &[format!("{} kN", peaks.join(", "))]);
            line(&mut text, "mean, standard deviation, bounds", &[format!("none: {}", reason(*why))]);
        }
    }
    if let Ok(weibull) = &found.weibull {
        of_a_weibull(&mut text, weibull);
    }
    let mut say = |sentence: &str| {
        text.push_str(sentence);
        text.push('\n');
    };
    if let Some(belief) = &found.belief {
        say(&marking(belief));
        let mut table = String::new();
        let heads: Vec<String> =
            belief.by_spread.iter().map(|by| format!("spread {}", share(by.spread))).collect();
        line(&mut table, &format!("marking {} kN", plain(belief.marking_kn)), &heads);
        for (i, part) in SHARES.into_iter().enumerate() {
            let cells: Vec<String> =
                belief.by_spread.iter().map(|by| believed(belief, by.confidence[i])).collect();
            let least = if belief.at_least { "confidence, at least, that" } else { "confidence that" };
            line(&mut table, &format!("{least} {} hold it", share(part)), &cells);
        }
        let below: Vec<String> = belief.by_spread.iter().map(|by| at_most(by.share_below)).collect();
        line(&mut table, "share below it at most, 95 % confident", &below);
        say(table.trim_end_matches('\n'));
        say(&assumed(belief, question.spread.is_some()));
        against_marking(belief, breaks).iter().for_each(|told| say(told));
    }
    match (&found.claim, question.claim, &found.normal) {
        (Some(told), _, _) => say(&claim(told, breaks)),
        (None, Some(asked), Err(why)) => say(&no_claim(*why, asked.kn)),
        _ => {}
    }
    if let Some(told) = &found.against {
        say(&against_others(told));
    }
    for told in &found.notes {
        say(&format!("Note: {}", note(told)));
    }
    if let Some(told) = at_least(found) {
        say(&told);
    }
    text
}

/// A peak as it is typed: `21.5+` where the pull ended without a break.
fn told_peak(kn: f64, broke: bool) -> String {
    format!("{}{}", kilonewtons_alone(kn), if broke { "" } else { "+" })
}

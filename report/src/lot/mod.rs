//! What a lot's pulls allow to be said, in words: the table, the sentences, and the JSON.

mod against;
mod document;
mod line;
mod logbook;
mod mistakes;
mod numbers;
mod sentences;
mod taken;

pub use document::Document;
pub use line::Line;
pub use logbook::{FromLogbook, key, names, no_logbook, nothing_counts, spread_of_nothing, two_sources};
pub use mistakes::{NoPeak, PeakMistake, PeakMistakes, no_lot};
pub use numbers::{NO_LOAD, claimed, exact, is_a_load, share};
pub use sentences::{against_marking, ended, headline, marking, title};

use crate::numbers::{kilonewtons, kilonewtons_alone, plain};
use lab::statistics::{Farthest, Figures, LEAST_JUDGED, Normal, NormalLot, Question, SHARES, Weibull};
use line::{head, line};
use numbers::{at_most, bound, confident};
use sentences::{against_others, assumed, at_least, believed, claim, no_claim, note, reason};

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

fn of_a_normal(lines: &mut Vec<Line>, normal: &Normal) {
    let mean = |kn: f64, interval| {
        vec![format!("{}, the lot's {}, 95 % confident", kilonewtons(kn), range(interval))]
    };
    match &normal.figures {
        NormalLot::Broke { moments, mean_interval_kn, three_sigma } => {
            line(lines, "mean", &mean(moments.mean, *mean_interval_kn));
            let part =
                moments.coefficient_of_variation().map(|cv| format!(", {:.1} % of the mean", 100.0 * cv));
            let sd = kilonewtons(normal.sd_kn());
            line(lines, "standard deviation, n - 1", &[format!("{sd}{}", part.unwrap_or_default())]);
            line(lines, "standard deviation, n (of these pulls alone)", &[kilonewtons(moments.sd_of_these)]);
            line(
                lines,
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
                line(lines, &format!("mean - 3 standard deviations, {name}"), &[told]);
            }
        }
        NormalLot::Censored { mean_kn, mean_interval_kn, sd_kn } => {
            line(lines, "likeliest mean", &mean(*mean_kn, *mean_interval_kn));
            line(lines, "likeliest standard deviation", &[kilonewtons(*sd_kn)]);
        }
    }
}

fn of_a_weibull(lines: &mut Vec<Line>, weibull: &Weibull) {
    let [low, high] = weibull.shape.interval;
    let shape = format!("{:.1}, {low:.1} to {high:.1}, 95 % confident", weibull.shape.value);
    line(lines, "Weibull shape", &[shape]);
    let scale = weibull.scale_kn;
    let scale = format!("{}, {}, 95 % confident", kilonewtons(scale.value), range(scale.interval));
    line(lines, "Weibull scale", &[scale]);
}

fn bounds(lines: &mut Vec<Line>, found: &Figures) {
    head(lines, "", &["normal lot".to_owned(), "Weibull lot".to_owned()]);
    for (i, part) in SHARES.into_iter().enumerate() {
        let normal = found.bounds.iter().find(|bound| bound.share == part);
        let weibull = found.weibull.as_ref().ok().map(|weibull| weibull.exceeded[i].bound.kn);
        let cells =
            [normal.map(|bound| bound.kn), weibull].map(|kn| kn.map_or_else(|| "-".to_owned(), bound));
        line(lines, &bound_name(part), &cells);
    }
}

fn of_the_farthest(lines: &mut Vec<Line>, farthest: &Farthest) {
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
    line(lines, "farthest from the mean", &[told]);
}

/// The answer that `lot` prints.
#[must_use]
pub fn answer(found: &Figures, question: &Question) -> String {
    let lines: String = lines(found, question).iter().map(Line::printed).collect();
    format!("{}: {}\n{}\n{lines}", title(found), ended(found), headline(found))
}

/// The lines of the answer under its headline.
#[must_use]
pub fn lines(found: &Figures, question: &Question) -> Vec<Line> {
    let mut lines = Vec::new();
    let breaks = found.lot.breaks_kn().len();
    match &found.normal {
        Ok(normal) => {
            of_a_normal(&mut lines, normal);
            if let Some(farthest) = &found.farthest {
                of_the_farthest(&mut lines, farthest);
            }
            bounds(&mut lines, found);
        }
        Err(why) => {
            let peaks: Vec<String> =
                found.lot.pulls().iter().take(12).map(|pull| told_peak(pull.peak_kn, pull.broke)).collect();
            line(&mut lines, "peaks", &[format!("{} kN", peaks.join(", "))]);
            line(&mut lines, "mean, standard deviation, bounds", &[format!("none: {}", reason(*why))]);
        }
    }
    if let Ok(weibull) = &found.weibull {
        of_a_weibull(&mut lines, weibull);
    }
    if let Some(belief) = &found.belief {
        lines.push(Line::Says(marking(belief)));
        let heads: Vec<String> =
            belief.by_spread.iter().map(|by| format!("spread {}", share(by.spread))).collect();
        head(&mut lines, &format!("marking {} kN", plain(belief.marking_kn)), &heads);
        for (i, part) in SHARES.into_iter().enumerate() {
            let cells: Vec<String> =
                belief.by_spread.iter().map(|by| believed(belief, by.confidence[i])).collect();
            let least = if belief.at_least { "confidence, at least, that" } else { "confidence that" };
            line(&mut lines, &format!("{least} {} hold it", share(part)), &cells);
        }
        let below: Vec<String> = belief.by_spread.iter().map(|by| at_most(by.share_below)).collect();
        line(&mut lines, "share below it at most, 95 % confident", &below);
        lines.push(Line::Says(assumed(belief, question.spread.is_some())));
        lines.extend(against_marking(belief, breaks).into_iter().map(Line::Says));
    }
    match (&found.claim, question.claim, &found.normal) {
        (Some(told), _, _) => lines.push(Line::Says(claim(told, breaks))),
        (None, Some(asked), Err(why)) => lines.push(Line::Says(no_claim(*why, asked.kn))),
        _ => {}
    }
    if let Some(told) = &found.against {
        lines.push(Line::Says(against_others(told)));
    }
    for told in &found.notes {
        lines.push(Line::Says(format!("Note: {}", note(told))));
    }
    if let Some(told) = at_least(found) {
        lines.push(Line::Says(told));
    }
    lines
}

/// A peak as it is typed: `21.5+` where the pull ended without a break.
fn told_peak(kn: f64, broke: bool) -> String {
    format!("{}{}", kilonewtons_alone(kn), if broke { "" } else { "+" })
}

//! What a sweep comes to, in a few sentences.

use super::ToldRow;
use super::values::{bare, key, value};
use crate::failure_modes::with_article;
use crate::numbers::{kilonewtons_alone, plain};
use solver::strength::FailureMode;
use std::cmp::Reverse;
use std::fmt::Write;
use study::sweep::{Course, Found, Plan, Varied, course, gives_early, pieces};

/// From one load to another, or one load where they are told alike: "3.3 to 3.5 kN", "7.1 kN".
fn from_to([low, high]: [f64; 2]) -> String {
    if kilonewtons_alone(low) == kilonewtons_alone(high) {
        format!("{} kN", kilonewtons_alone(low))
    } else {
        format!("{} to {} kN", kilonewtons_alone(low), kilonewtons_alone(high))
    }
}

/// Where the first part of a piece fails, if at some point clearly before the end of the pull.
fn early_in_words(rows: &[ToldRow]) -> String {
    let Some(early) = gives_early(rows) else { return String::new() };
    let at = from_to(early.anywhere_kn);
    if early.points == early.of {
        format!(", at {at}; the open hook still holds")
    } else {
        format!(
            ", at {at}, at {} of {} points before the end: the open hook still holds",
            early.points, early.of
        )
    }
}

/// How the forecast goes: "is flat, within 2 % of 20.5 kN", "falls from 20.1 to 16.2 kN".
pub(super) fn course_in_words(course: Course) -> String {
    match course {
        Course::Single { kn } => format!("the forecast is {} kN", kilonewtons_alone(kn)),
        Course::Varies { between: [low, high] } => {
            format!("the forecast lies between {} and {} kN", kilonewtons_alone(low), kilonewtons_alone(high))
        }
        Course::Monotonic { first, last, rises, little } => {
            let way = if rises { "rises" } else { "falls" };
            // Two loads that look nearly the same leave the reader to divide.
            let (a, b, by) = if little {
                let by = 100.0 * (last / first - 1.0).abs();
                let digits = |v: f64| {
                    if kilonewtons_alone(first) == kilonewtons_alone(last) {
                        format!("{v:.2}")
                    } else {
                        kilonewtons_alone(v)
                    }
                };
                (digits(first), digits(last), format!(", by {by:.0} %"))
            } else {
                (kilonewtons_alone(first), kilonewtons_alone(last), String::new())
            };
            format!("the forecast {way} from {a} to {b} kN{by}")
        }
        Course::Flat { within: [low, high] } => {
            let middle = 0.5 * (low + high);
            let within = 100.0 * (high - low) / (2.0 * middle);
            format!(
                "the forecast is flat, within {} % of {} kN",
                plain(within.ceil().max(1.0)),
                kilonewtons_alone(middle)
            )
        }
    }
}

fn failing(mode: FailureMode) -> String {
    match mode {
        FailureMode::FrameOpens => "the frame opens".to_owned(),
        FailureMode::RidesOut => "the pin rides out of the notch".to_owned(),
        other => format!("{} fails first", with_article(other)),
    }
}

fn one_key(varied: &Varied, rows: &[ToldRow]) -> String {
    let mut rows = rows.to_vec();
    if let Some(values) = varied.values.numbers().filter(|_| !varied.values.is_in_order()) {
        // A list in no order is told from its least value on: "from 3 to 4 mm" would leave out the 6 between.
        rows.sort_by(|a, b| values[a.point].total_cmp(&values[b.point]));
    }
    let rows = rows.as_slice();
    let told = |row: usize| value(&varied.values, rows[row].point);
    let mut all = Vec::new();
    for piece in pieces(rows) {
        let place = if varied.values.numbers().is_none() {
            (piece.first..=piece.last).map(told).collect::<Vec<_>>().join(", ") + ":"
        } else if piece.first == piece.last {
            format!("At {}", told(piece.first))
        } else {
            format!("From {} to {}", bare(&varied.values, rows[piece.first].point), told(piece.last))
        };
        let of = &rows[piece.first..=piece.last];
        let goes = course(of).map_or_else(String::new, course_in_words);
        all.push(format!("{place} {}{}, and {goes}.", failing(piece.part), early_in_words(of)));
    }
    all.join(" ")
}

fn two_keys(plan: &Plan, rows: &[ToldRow]) -> String {
    let done: Vec<(usize, &Found)> = rows.iter().filter_map(|r| r.found().map(|f| (r.point, f))).collect();
    let by_load = |a: &&(usize, &Found), b: &&(usize, &Found)| a.1.peak_kn.total_cmp(&b.1.peak_kn);
    let (Some(low), Some(high)) = (done.iter().min_by(by_load), done.iter().max_by(by_load)) else {
        return String::new();
    };
    let place = |point: usize| {
        let words: Vec<String> = plan
            .varied
            .iter()
            .zip(plan.place(point))
            .map(|(v, at)| format!("{} {}", key(v), value(&v.values, at)))
            .collect();
        words.join(", ")
    };
    let mut counts: Vec<(FailureMode, usize)> = Vec::new();
    for (_, found) in &done {
        match counts.iter_mut().find(|c| c.0 == found.fails_first) {
            Some(count) => count.1 += 1,
            None => counts.push((found.fails_first, 1)),
        }
    }
    // Most often first; equals in the order of the points.
    counts.sort_by_key(|c| Reverse(c.1));
    let firsts = match counts.as_slice() {
        [(part, _)] => format!("Everywhere {}.", failing(*part)),
        _ => {
            let all: Vec<String> =
                counts.iter().map(|(part, n)| format!("{} at {n}", failing(*part))).collect();
            format!("Of {} points: {}.", done.len(), all.join(", "))
        }
    };
    let before = gives_early(rows).map_or_else(String::new, |early| {
        format!(
            " At {} of {} points the first part fails before the pull ends, at {}, and the open hook still holds.",
            early.points,
            early.of,
            from_to(early.there_kn)
        )
    });
    format!(
        "The forecast lies between {} kN ({}) and {} kN ({}). {firsts}{before}",
        kilonewtons_alone(low.1.peak_kn),
        place(low.0),
        kilonewtons_alone(high.1.peak_kn),
        place(high.0)
    )
}

/// What the sweep comes to, in a few sentences.
#[must_use]
pub fn sentence(plan: &Plan, rows: &[ToldRow]) -> String {
    let mut text = match plan.varied.as_slice() {
        [one] => one_key(one, rows),
        _ => two_keys(plan, rows),
    };
    let failures = rows.iter().filter(|r| r.found().is_none()).count();
    if failures > 0 {
        let hatched = if failures < rows.len() { " (hatched)" } else { "" };
        // Writing to a string cannot fail.
        let _ = write!(text, " {failures} of {} points could not be computed{hatched}.", rows.len());
    }
    text.trim_start().to_owned()
}

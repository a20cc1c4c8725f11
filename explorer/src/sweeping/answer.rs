//! A sweep in words: a short table, and what it comes to.

use super::plan::Plan;
use super::run::{Outcome, Row};
use super::vary::Varied;
use crate::model_file::quantity::plain;
use std::fmt::Write;

/// Lines of the printed table, at most.
const LINES: usize = 12;
/// Letters in a line of it, where the names of the keys leave room.
const WIDE: usize = 110;
/// What stands before the reason of a point that could not be computed.
const FAILED: &str = "  failed: ";
/// A forecast that stays within this part of itself is called flat.
const FLAT: f64 = 0.03;

/// Points that follow each other and have the same weakest part.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The part that gives first.
    pub part: String,
    /// First row of it.
    pub first: usize,
    /// Last row of it.
    pub last: usize,
}

/// Rows in pieces with one weakest part each; a failed row ends a piece.
#[must_use]
pub fn runs(rows: &[Row]) -> Vec<Run> {
    let mut all: Vec<Run> = Vec::new();
    let mut open = false;
    for (at, row) in rows.iter().enumerate() {
        let Some(found) = row.found() else {
            open = false;
            continue;
        };
        match all.last_mut() {
            Some(run) if open && run.part == found.gives_first => run.last = at,
            _ => all.push(Run { part: found.gives_first.clone(), first: at, last: at }),
        }
        open = true;
    }
    all
}

fn kn(value: f64) -> String {
    format!("{value:.1}")
}

/// How the forecast goes over a piece: "stays within 2 % of 20.5 kN", "falls from 20.1 to 16.2 kN".
fn goes(rows: &[Row]) -> String {
    let loads: Vec<f64> = rows.iter().filter_map(Row::found).map(|f| f.breaks_at_kn).collect();
    let (Some(first), Some(last)) = (loads.first(), loads.last()) else { return String::new() };
    let (low, high) = loads.iter().fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(*v), b.max(*v)));
    let middle = 0.5 * (low + high);
    if loads.len() == 1 {
        return format!("the forecast is {} kN", kn(*first));
    }
    let within = 100.0 * (high - low) / (2.0 * middle);
    if high - low <= 2.0 * FLAT * middle {
        return format!(
            "the forecast is flat, within {} % of {} kN",
            plain(within.ceil().max(1.0)),
            kn(middle)
        );
    }
    // A wiggle of the mesh is no turn.
    let wiggle = 0.005 * middle;
    if loads.windows(2).all(|w| w[1] >= w[0] - wiggle) {
        format!("the forecast rises from {} to {} kN", kn(*first), kn(*last))
    } else if loads.windows(2).all(|w| w[1] <= w[0] + wiggle) {
        format!("the forecast falls from {} to {} kN", kn(*first), kn(*last))
    } else {
        format!("the forecast lies between {} and {} kN", kn(low), kn(high))
    }
}

/// The part with an article: "the hinge pin (sheared)".
#[must_use]
pub fn the(part: &str) -> String {
    match part.split_once(", ") {
        Some((part, how)) => format!("the {part} ({how})"),
        None => format!("the {part}"),
    }
}

fn gives(part: &str) -> String {
    match part {
        "frame, opens" => "the frame opens".to_owned(),
        "pin riding out of the notch" => "the pin rides out of the notch".to_owned(),
        other => format!("{} gives first", the(other)),
    }
}

fn one_key(varied: &Varied, rows: &[Row]) -> String {
    let mut rows = rows.to_vec();
    if let Some(values) = varied.values.numbers().filter(|_| !varied.values.is_in_order()) {
        // A list in no order is told from its least value on: "from 3 to 4 mm" would leave out the 6 between.
        rows.sort_by(|a, b| values[a.point].total_cmp(&values[b.point]));
    }
    let rows = rows.as_slice();
    let told = |row: usize| varied.values.told(rows[row].point);
    let mut pieces = Vec::new();
    for run in runs(rows) {
        let place = if varied.values.numbers().is_none() {
            (run.first..=run.last).map(told).collect::<Vec<_>>().join(", ") + ":"
        } else if run.first == run.last {
            format!("At {}", told(run.first))
        } else {
            format!(
                "From {} to {}",
                told(run.first).replace(&format!(" {}", varied.unit()), ""),
                told(run.last)
            )
        };
        pieces.push(format!("{place} {}, and {}.", gives(&run.part), goes(&rows[run.first..=run.last])));
    }
    pieces.join(" ")
}

fn two_keys(plan: &Plan, rows: &[Row]) -> String {
    let done: Vec<_> = rows.iter().filter_map(|r| r.found().map(|f| (r.point, f))).collect();
    let by_load = |a: &&(usize, &super::point::Found), b: &&(usize, &super::point::Found)| {
        a.1.breaks_at_kn.total_cmp(&b.1.breaks_at_kn)
    };
    let (Some(low), Some(high)) = (done.iter().min_by(by_load), done.iter().max_by(by_load)) else {
        return String::new();
    };
    let place = |point: usize| {
        let words: Vec<String> = plan
            .varied
            .iter()
            .zip(plan.place(point))
            .map(|(v, at)| format!("{} {}", v.in_words(), v.values.told(at)))
            .collect();
        words.join(", ")
    };
    let mut counts: Vec<(&str, usize)> = Vec::new();
    for (_, found) in &done {
        match counts.iter_mut().find(|c| c.0 == found.gives_first) {
            Some(count) => count.1 += 1,
            None => counts.push((&found.gives_first, 1)),
        }
    }
    // Most often first; equals in the order of the points.
    counts.sort_by_key(|c| std::cmp::Reverse(c.1));
    let firsts = match counts.as_slice() {
        [(part, _)] => format!("Everywhere {}.", gives(part)),
        _ => {
            let all: Vec<String> = counts.iter().map(|(part, n)| format!("{} at {n}", gives(part))).collect();
            format!("Of {} points: {}.", done.len(), all.join(", "))
        }
    };
    format!(
        "The forecast lies between {} kN ({}) and {} kN ({}). {firsts}",
        kn(low.1.breaks_at_kn),
        place(low.0),
        kn(high.1.breaks_at_kn),
        place(high.0)
    )
}

/// What the sweep comes to, in a few sentences.
#[must_use]
pub fn sentence(plan: &Plan, rows: &[Row]) -> String {
    let mut text = match plan.varied.as_slice() {
        [one] => one_key(one, rows),
        _ => two_keys(plan, rows),
    };
    let failures = rows.iter().filter(|r| r.found().is_none()).count();
    if failures > 0 {
        let hatched = if failures < rows.len() { " (hatched)" } else { "" };
        let _ = write!(text, " {failures} of {} points could not be computed{hatched}.", rows.len());
    }
    text.trim_start().to_owned()
}

/// Rows worth a line: the ends, both sides of each change of the weakest part, the first that failed, and some between.
fn shown(rows: &[Row]) -> Vec<usize> {
    let last = rows.len() - 1;
    if rows.len() <= LINES {
        return (0..=last).collect();
    }
    let mut all = vec![0, last];
    all.extend(rows.iter().position(|row| row.found().is_none()));
    for pair in runs(rows).windows(2).take((LINES - 4) / 2) {
        all.extend([pair[0].last, pair[1].first]);
    }
    let between = LINES.saturating_sub(all.len()).max(2);
    for i in 1..between {
        all.push(last * i / between);
    }
    all.sort_unstable();
    all.dedup();
    all
}

/// The short table.
#[must_use]
pub fn table(plan: &Plan, rows: &[Row]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let names: Vec<String> = plan
        .varied
        .iter()
        .map(|v| if v.unit().is_empty() { v.in_words() } else { format!("{}, {}", v.in_words(), v.unit()) })
        .collect();
    let widths: Vec<usize> = plan
        .varied
        .iter()
        .zip(&names)
        .map(|(v, name)| {
            let widest = (0..v.values.len().min(1000)).map(|i| cell(v, i).chars().count()).max().unwrap_or(0);
            name.chars().count().max(widest)
        })
        .collect();
    let mut out = String::new();
    for (name, width) in names.iter().zip(&widths) {
        let _ = write!(out, "{name:>width$}  ");
    }
    let _ = writeln!(
        out,
        "{:>7} {:>11} {:>11} {:>10}  gives first",
        "gate, %", "spine, N m", "yields, kN", "ends, kN"
    );
    for at in shown(rows) {
        let row = &rows[at];
        for ((v, place), width) in plan.varied.iter().zip(plan.place(row.point)).zip(&widths) {
            let _ = write!(out, "{:>width$}  ", cell(v, place));
        }
        let _ = match &row.outcome {
            Outcome::Failed(reason) => {
                let before = widths.iter().map(|w| w + 2).sum::<usize>() + FAILED.len();
                let lines = wrapped(reason, WIDE.saturating_sub(before).max(40));
                writeln!(out, "{FAILED}{}", lines.join(&format!("\n{:before$}", "")))
            }
            Outcome::Done(f) => writeln!(
                out,
                "{:>7.1} {:>11.1} {:>11} {:>10.2}  {}",
                100.0 * f.gate_fraction,
                f.spine_moment_nm,
                f.first_yield_kn.map_or_else(|| "-".to_owned(), |v| format!("{v:.2}")),
                f.breaks_at_kn,
                f.gives_first
            ),
        };
    }
    out
}

fn cell(varied: &Varied, at: usize) -> String {
    match varied.values.numbers() {
        Some(_) => varied.values.told(at).replace(&format!(" {}", varied.unit()), ""),
        None => varied.values.told(at),
    }
}

/// Words in lines of at most so many letters; a longer word stands alone.
fn wrapped(words: &str, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split(' ') {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model_file::Source;
    use solver::system::SystemSettings;

    #[test]
    fn a_reason_is_told_whole_beside_its_value() {
        let typed = [("rig.load_kn".to_owned(), "1..40:40".to_owned())];
        let plan = Plan {
            source: Source::find("oval").unwrap(),
            title: String::new(),
            sets: Vec::new(),
            varied: super::super::vary::read(&typed, &[]).unwrap(),
            settings: SystemSettings::default(),
        };
        let reason = "one two three four five six seven eight nine ten ".repeat(5);
        let rows: Vec<Row> =
            (0..40).map(|point| Row { point, outcome: Outcome::Failed(format!("{}end", reason)) }).collect();
        let told = table(&plan, &rows);
        assert!(told.lines().all(|line| line.chars().count() <= WIDE), "{told}");
        let whole = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(whole.contains(&format!("1 failed: {reason}end")), "{told}");
    }
}

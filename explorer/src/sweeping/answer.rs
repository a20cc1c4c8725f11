//! A sweep in words: a short table, and what it comes to.

use super::plan::Plan;
use super::point::Found;
use super::record::TABLE;
use super::run::{Outcome, Row};
use super::vary::Varied;
use report::failure_modes::{name, with_article};
use report::numbers::{kilonewtons_alone, plain};
use solver::strength::FailureMode;
use std::fmt::Write;

/// Lines of the printed table, at most.
const LINES: usize = 12;
/// Letters in a line of it, where the names of the keys leave room.
const WIDE: usize = 110;
/// What stands before the reason of a point that could not be computed.
const FAILED: &str = "  failed: ";
/// A forecast that goes up and down within this part of itself is called flat.
const FLAT: f64 = 0.03;
/// One that only rises or only falls is flat within this part; less is below what a mesh is good for.
const STILL: f64 = 0.01;
/// A first part that fails by less than this part below the end of the pull gives at its end.
const EARLY: f64 = 0.02;

/// Points that follow each other and have the same weakest part.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The part that fails first.
    pub part: FailureMode,
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
            Some(run) if open && run.part == found.fails_first => run.last = at,
            _ => all.push(Run { part: found.fails_first, first: at, last: at }),
        }
        open = true;
    }
    all
}

/// From one load to another, or one load where they are told alike: "3.3 to 3.5 kN", "7.1 kN".
fn from_to(low: f64, high: f64) -> String {
    if kilonewtons_alone(low) == kilonewtons_alone(high) {
        format!("{} kN", kilonewtons_alone(low))
    } else {
        format!("{} to {} kN", kilonewtons_alone(low), kilonewtons_alone(high))
    }
}

/// Whether the first part fails clearly before the pull ends; what still holds then is the open hook.
fn early(found: &Found) -> bool {
    found.fails_at_kn < (1.0 - EARLY) * found.peak_kn
}

fn lowest_and_highest(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(v), high.max(v)))
}

/// Where the first part of a piece fails, if at some point clearly before the end of the pull.
fn gives_early(rows: &[Row]) -> Option<String> {
    let found: Vec<&Found> = rows.iter().filter_map(Row::found).collect();
    let count = found.iter().filter(|f| early(f)).count();
    let (low, high) = lowest_and_highest(found.iter().map(|f| f.fails_at_kn));
    match count {
        0 => None,
        all if all == found.len() => Some(format!(", at {}; the open hook still holds", from_to(low, high))),
        some => Some(format!(
            ", at {}, at {some} of {} points before the end: the open hook still holds",
            from_to(low, high),
            found.len()
        )),
    }
}

/// How the forecast goes over a piece: "is flat, within 2 % of 20.5 kN", "falls from 20.1 to 16.2 kN".
fn goes(rows: &[Row]) -> String {
    let loads: Vec<f64> = rows.iter().filter_map(Row::found).map(|f| f.peak_kn).collect();
    let (Some(first), Some(last)) = (loads.first(), loads.last()) else { return String::new() };
    let (low, high) = lowest_and_highest(loads.iter().copied());
    let middle = 0.5 * (low + high);
    if loads.len() == 1 {
        return format!("the forecast is {} kN", kilonewtons_alone(*first));
    }
    let flat = high - low <= 2.0 * FLAT * middle;
    // A wiggle of the mesh is no turn; beside a small change a smaller one is.
    let wiggle = (0.005 * middle).min(0.1 * (high - low));
    // Against all that came before: many small steps make a fall that no single one shows.
    let turns = |sign: f64| {
        let mut most = f64::NEG_INFINITY;
        loads.iter().any(|load| {
            most = most.max(sign * load);
            sign * load < most - wiggle
        })
    };
    let (rises, falls) = (!turns(1.0), !turns(-1.0));
    let still = high - low <= STILL * middle;
    match (rises, falls) {
        (false, false) if !flat => {
            format!("the forecast lies between {} and {} kN", kilonewtons_alone(low), kilonewtons_alone(high))
        }
        (true, _) | (_, true) if !still => {
            let way = if rises { "rises" } else { "falls" };
            // Two loads that look nearly the same leave the reader to divide.
            let (a, b, by) = if flat {
                let by = 100.0 * (last / first - 1.0).abs();
                let digits = |v: &f64| {
                    if kilonewtons_alone(*first) == kilonewtons_alone(*last) {
                        format!("{v:.2}")
                    } else {
                        kilonewtons_alone(*v)
                    }
                };
                (digits(first), digits(last), format!(", by {by:.0} %"))
            } else {
                (kilonewtons_alone(*first), kilonewtons_alone(*last), String::new())
            };
            format!("the forecast {way} from {a} to {b} kN{by}")
        }
        _ => {
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
        let piece = &rows[run.first..=run.last];
        let at = gives_early(piece).unwrap_or_default();
        pieces.push(format!("{place} {}{at}, and {}.", failing(run.part), goes(piece)));
    }
    pieces.join(" ")
}

fn two_keys(plan: &Plan, rows: &[Row]) -> String {
    let done: Vec<_> = rows.iter().filter_map(|r| r.found().map(|f| (r.point, f))).collect();
    let by_load = |a: &&(usize, &super::point::Found), b: &&(usize, &super::point::Found)| {
        a.1.peak_kn.total_cmp(&b.1.peak_kn)
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
    let mut counts: Vec<(FailureMode, usize)> = Vec::new();
    for (_, found) in &done {
        match counts.iter_mut().find(|c| c.0 == found.fails_first) {
            Some(count) => count.1 += 1,
            None => counts.push((found.fails_first, 1)),
        }
    }
    // Most often first; equals in the order of the points.
    counts.sort_by_key(|c| std::cmp::Reverse(c.1));
    let firsts = match counts.as_slice() {
        [(part, _)] => format!("Everywhere {}.", failing(*part)),
        _ => {
            let all: Vec<String> =
                counts.iter().map(|(part, n)| format!("{} at {n}", failing(*part))).collect();
            format!("Of {} points: {}.", done.len(), all.join(", "))
        }
    };
    let before: Vec<f64> = done.iter().filter(|d| early(d.1)).map(|d| d.1.fails_at_kn).collect();
    let before = if before.is_empty() {
        String::new()
    } else {
        let (low, high) = lowest_and_highest(before.iter().copied());
        format!(
            " At {} of {} points the first part fails before the pull ends, at {}, and the open hook still holds.",
            before.len(),
            done.len(),
            from_to(low, high)
        )
    };
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
        "{:>7} {:>11} {:>11} {:>10} {:>9}  fails first",
        "gate, %", "spine, N m", "yields, kN", "fails, kN", "peak, kN"
    );
    let shown = shown(rows);
    for at in &shown {
        let row = &rows[*at];
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
                "{:>7.1} {:>11.1} {:>11} {:>10.2} {:>9.2}  {}",
                100.0 * f.gate_fraction,
                f.spine_moment_nm,
                f.first_yield_kn.map_or_else(|| "-".to_owned(), |v| format!("{v:.2}")),
                f.fails_at_kn,
                f.peak_kn,
                name(f.fails_first)
            ),
        };
    }
    if shown.len() < rows.len() {
        let _ = writeln!(out, "{} of {} points are shown; {TABLE} has all of them.", shown.len(), rows.len());
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
    use crate::source;
    use solver::system::SystemSettings;

    /// A point whose first part fails at one load and whose pull ends at another, kN.
    fn row(point: usize, fails_at_kn: f64, peak_kn: f64) -> Row {
        let found = Found {
            gate_fraction: 0.4,
            gate_kn: 4.0,
            spine_kn: 6.0,
            gate_engages_at_kn: None,
            spine_moment_nm: 50.0,
            peak_mpa: None,
            first_yield_kn: None,
            bends_at_kn: 9.0,
            opens_at_kn: None,
            peak_kn,
            fails_first: FailureMode::BehindNotch,
            fails_at_kn,
            ends: "opens".to_owned(),
            parts: Vec::new(),
        };
        Row { point, outcome: Outcome::Done(Box::new(found)) }
    }

    fn plan(vary: &[(&str, &str)]) -> Plan {
        let typed: Vec<_> = vary.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
        Plan::try_new(
            source::find("oval").unwrap(),
            Vec::new(),
            super::super::vary::read(&typed, &[]).unwrap(),
            SystemSettings::default(),
        )
        .unwrap()
    }

    fn through(loads: &[f64]) -> String {
        let rows: Vec<Row> = loads.iter().enumerate().map(|(i, kn)| row(i, *kn, *kn)).collect();
        goes(&rows)
    }

    #[test]
    fn only_what_goes_up_and_down_or_hardly_moves_is_flat() {
        // No step is larger than a wiggle, their sum is.
        let many: Vec<f64> = (0..30).map(|k| 20.2 - 0.04 * f64::from(k)).collect();
        assert_eq!(through(&many), "the forecast falls from 20.2 to 19.0 kN, by 6 %");
        let few: Vec<f64> = (0..20).map(|k| 22.0 - 0.02 * f64::from(k)).collect();
        assert_eq!(through(&few), "the forecast falls from 22.0 to 21.6 kN, by 2 %");
        assert_eq!(through(&[20.0, 20.2, 20.5]), "the forecast rises from 20.0 to 20.5 kN, by 2 %");
        assert_eq!(through(&[20.5, 20.4, 20.0]), "the forecast falls from 20.5 to 20.0 kN, by 2 %");
        assert_eq!(through(&[3.01, 3.04]), "the forecast is flat, within 1 % of 3.0 kN");
        assert_eq!(through(&[2.96, 3.04]), "the forecast rises from 2.96 to 3.04 kN, by 3 %");
        // Up by 3 %, down by 1 %: neither.
        assert_eq!(through(&[20.0, 20.6, 20.4]), "the forecast is flat, within 2 % of 20.3 kN");
        assert_eq!(through(&[20.0, 30.0, 29.95]), "the forecast rises from 20.0 to 29.9 kN");
        assert_eq!(through(&[20.0, 30.0, 20.0]), "the forecast lies between 20.0 and 30.0 kN");
    }

    #[test]
    fn a_part_that_gives_before_the_end_is_told_with_its_load() {
        let one = plan(&[("rig.gate", "closed,half")]);
        let rows = [row(0, 3.27, 7.14), row(1, 3.47, 7.14)];
        assert_eq!(
            sentence(&one, &rows),
            "closed, half: the gate behind its notch fails first, at 3.3 to 3.5 kN; the open hook still holds, \
             and the forecast is flat, within 1 % of 7.1 kN."
        );
        let told = table(&one, &rows);
        assert!(told.lines().next().unwrap().contains("fails, kN  peak, kN"), "{told}");
        assert!(told.contains("3.27      7.14"), "{told}");
        // One percent is no early end.
        let rows = [row(0, 7.07, 7.14), row(1, 3.47, 7.14)];
        let told = sentence(&one, &rows);
        assert!(told.contains("at 3.5 to 7.1 kN, at 1 of 2 points before the end"), "{told}");
        assert!(!sentence(&one, &[row(0, 7.07, 7.14), row(1, 7.14, 7.14)]).contains("still holds"));
        let two = plan(&[("rig.gate", "closed,half"), ("rig.load_kn", "5,10")]);
        let rows: Vec<Row> = (0..4).map(|i| row(i, if i < 3 { 3.0 } else { 7.0 }, 7.0)).collect();
        let told = sentence(&two, &rows);
        assert!(
            told.contains("At 3 of 4 points the first part fails before the pull ends, at 3.0 kN"),
            "{told}"
        );
    }

    #[test]
    fn rows_that_are_left_out_are_counted() {
        let long = plan(&[("rig.load_kn", "1..24:24")]);
        let rows: Vec<Row> = (0..24).map(|i| row(i, 7.0, 7.0)).collect();
        let told = table(&long, &rows);
        let lines = told.lines().count() - 2;
        assert!(lines < 24, "{told}");
        assert!(
            told.ends_with(&format!("{lines} of 24 points are shown; sweep.csv has all of them.\n")),
            "{told}"
        );
        let short = plan(&[("rig.load_kn", "1..5:5")]);
        assert!(!table(&short, &rows[..5]).contains("shown"));
    }

    #[test]
    fn a_reason_is_told_whole_beside_its_value() {
        let plan = plan(&[("rig.load_kn", "1..40:40")]);
        let reason = "one two three four five six seven eight nine ten ".repeat(5);
        let rows: Vec<Row> =
            (0..40).map(|point| Row { point, outcome: Outcome::Failed(format!("{}end", reason)) }).collect();
        let told = table(&plan, &rows);
        assert!(told.lines().all(|line| line.chars().count() <= WIDE), "{told}");
        let whole = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(whole.contains(&format!("1 failed: {reason}end")), "{told}");
    }
}

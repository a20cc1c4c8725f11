//! The printed answer of a sweep: a short table, and what it comes to.

use super::values::{bare, heading};
use super::{ToldRow, sentence, taken, title};
use crate::failure_modes::name;
use std::fmt::Write;
use study::sweep::{Plan, pieces};

/// Lines of the printed table, at most.
const LINES: usize = 12;
/// Letters in a line of it, where the names of the keys leave room.
pub(super) const WIDE: usize = 110;
/// What stands before the reason of a point that could not be computed.
const FAILED: &str = "  failed: ";

/// The answer that `sweep` prints: title, mesh, table, what it comes to and what was taken. `resumed`: how many of the rows are
/// of an earlier run; `whole_table`: where all rows stand.
#[must_use]
pub fn answer(plan: &Plan, rows: &[ToldRow], resumed: usize, whole_table: &str) -> String {
    let mesh = match plan.settings.mesh_size_mm {
        Some(size) => format!("elements of {size} mm in the bars"),
        None => format!(
            "about {:.0} unknowns a point, coarser than a map (--mesh-size for finer)",
            plan.settings.unknowns
        ),
    };
    let mut text = format!("{}\n{}; {mesh}\n", plan.title, title(plan));
    if resumed == rows.len() {
        text.push_str(&format!(
            "Kept from an earlier run: all {resumed} points; nothing was computed anew (--restart does).\n"
        ));
    } else if resumed > 0 {
        text.push_str(&format!("Taken up from an earlier run: {resumed} of the {} points.\n", rows.len()));
    }
    text.push('\n');
    text.push_str(&table(plan, rows, whole_table));
    text.push('\n');
    text.push_str(&sentence(plan, rows));
    for note in taken(plan) {
        text.push_str(&format!("\nNote: {note}"));
    }
    text.push('\n');
    text
}

/// Rows worth a line: the ends, both sides of each change of the weakest part, the first that failed, and some between.
fn shown(rows: &[ToldRow]) -> Vec<usize> {
    let last = rows.len() - 1;
    if rows.len() <= LINES {
        return (0..=last).collect();
    }
    let mut all = vec![0, last];
    all.extend(rows.iter().position(|row| row.found().is_none()));
    for pair in pieces(rows).windows(2).take((LINES - 4) / 2) {
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

/// The short table. `whole_table`: where all rows stand.
#[must_use]
pub fn table(plan: &Plan, rows: &[ToldRow], whole_table: &str) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let names: Vec<String> = plan.varied.iter().map(heading).collect();
    let widths: Vec<usize> = plan
        .varied
        .iter()
        .zip(&names)
        .map(|(v, name)| {
            let widest =
                (0..v.values.len().min(1000)).map(|i| bare(&v.values, i).chars().count()).max().unwrap_or(0);
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
            let _ = write!(out, "{:>width$}  ", bare(&v.values, place));
        }
        let _ = match &row.outcome {
            Err(reason) => {
                let before = widths.iter().map(|w| w + 2).sum::<usize>() + FAILED.len();
                let lines = wrapped(reason, WIDE.saturating_sub(before).max(40));
                writeln!(out, "{FAILED}{}", lines.join(&format!("\n{:before$}", "")))
            }
            Ok(f) => writeln!(
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
        let _ = writeln!(
            out,
            "{} of {} points are shown; {whole_table} has all of them.",
            shown.len(),
            rows.len()
        );
    }
    out
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

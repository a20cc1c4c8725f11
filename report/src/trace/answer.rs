//! What `trace` prints.

use super::pull::{at_least, headline, remarks};
use super::{Found, Told, rows, understood};
use crate::numbers::decimals;
use std::fmt::Write as _;

/// Width of the first two columns of the table, letters.
const COLUMNS: [usize; 2] = [32, 11];

/// The answer of a file.
#[must_use]
pub fn answer(told: &Told) -> String {
    let mut text = format!("{}\n", told.file);
    // Writing to a string cannot fail.
    match &told.found {
        Found::Peaks(peaks) => {
            let _ = writeln!(text, "The file holds {} peaks and no curve.", peaks.len());
            let wide = peaks.iter().map(|p| p.name.chars().count()).max().unwrap_or(0).min(40);
            for peak in peaks {
                let load = format!("{} kN", decimals(peak.kn, 2));
                let _ = writeln!(
                    text,
                    "  {:<wide$}  {load:>9}  line {}, in {}",
                    peak.name,
                    peak.line,
                    peak.unit.sign()
                );
            }
        }
        Found::Pull(recording, pulls) => {
            let several = pulls.len() > 1;
            for (pull, channel) in pulls.iter().zip(&recording.channels) {
                let cell = if several { format!("Column {}: ", channel.name) } else { String::new() };
                let _ = writeln!(text, "{cell}{}", headline(pull));
                for row in rows(pull, channel) {
                    let [what, value] = COLUMNS;
                    let line = format!("  {:<what$}{:>value$}  {}", row.what, row.value, row.more);
                    let _ = writeln!(text, "{}", line.trim_end());
                }
                for sentence in at_least(pull).into_iter().chain(remarks(pull)) {
                    let _ = writeln!(text, "{sentence}");
                }
            }
            let _ = writeln!(text, "What was understood of the file:");
            for sentence in understood(recording, pulls) {
                let _ = writeln!(text, "  {sentence}");
            }
        }
    }
    text
}

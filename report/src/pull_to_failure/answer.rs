//! What `pull` prints.

use super::{LEFT_OUT, bent, headline, rows, set_found, shares, warnings};
use crate::notes;
use crate::rigs;
use std::fmt::Write;
use study::model::Model;
use study::pull_to_failure::Pulled;

/// Widths of the first two columns.
const COLUMNS: [usize; 2] = [38, 11];

/// The answer that `pull` prints.
#[must_use]
pub fn answer(pulled: &Pulled<'_>, model: &Model) -> String {
    let mut text = format!("{}\n{}\n{}\n", model.title, rigs::without_load(&model.rig), headline(pulled));
    for row in rows(pulled) {
        let [what, value] = COLUMNS;
        let line = format!("  {:<what$}{:>value$}  {}", row.what, row.value, row.more);
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{}", line.trim_end());
    }
    let sentences = [
        shares(pulled),
        pulled.set_found.as_ref().map(set_found),
        pulled.bent.as_ref().map(|of| bent(pulled, of)),
    ];
    for sentence in sentences.into_iter().flatten() {
        let _ = writeln!(text, "{sentence}");
    }
    for warning in warnings(pulled) {
        let _ = writeln!(text, "{warning}");
    }
    let _ = writeln!(text, "{}", LEFT_OUT.join(" "));
    for note in notes::notes(model) {
        let _ = writeln!(text, "Note: {note}");
    }
    text
}

//! The lines of an answer: rows of tables, and sentences.

use serde::Serialize;

/// Width of the names of rows.
const NAMES: usize = 49;
/// Width of a column.
const COLUMN: usize = 16;

/// A line of the answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Line {
    /// A row of a table; one without a name is the head of those that follow.
    Row {
        /// What it is.
        name: String,
        /// Its cells.
        cells: Vec<String>,
    },
    /// A sentence.
    Says(String),
}

impl Line {
    /// The same as it is printed.
    pub(super) fn printed(&self) -> String {
        match self {
            Self::Says(sentence) => format!("{sentence}\n"),
            Self::Row { name, cells } => {
                let cells: String = cells.iter().map(|cell| format!("{cell:<COLUMN$}")).collect();
                format!("{}\n", format!("  {name:<NAMES$}{cells}").trim_end())
            }
        }
    }
}

/// Adds a row.
pub(super) fn line(lines: &mut Vec<Line>, name: &str, cells: &[String]) {
    lines.push(Line::Row { name: name.to_owned(), cells: cells.to_vec() });
}

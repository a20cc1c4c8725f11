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
    /// The head of the rows that follow, of the form of a row.
    Head {
        /// What the rows are of, where that is told.
        name: String,
        /// What their cells are.
        cells: Vec<String>,
    },
    /// A row of a table.
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
            Self::Head { name, cells } | Self::Row { name, cells } => {
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

/// Adds the head of a table.
pub(super) fn head(lines: &mut Vec<Line>, name: &str, cells: &[String]) {
    lines.push(Line::Head { name: name.to_owned(), cells: cells.to_vec() });
}

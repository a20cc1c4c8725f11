//! Rows of a sweep in pieces with one weakest part each, and where along its values the weakest part changes.

use super::point::Found;
use super::run::Row;
use solver::strength::FailureMode;

/// Points that follow each other and have the same weakest part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// The part that fails first.
    pub part: FailureMode,
    /// First row of it.
    pub first: usize,
    /// Last row of it.
    pub last: usize,
}

/// A place between two values from which on another part fails first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// The place, in the unit of the values.
    pub at: f64,
    /// The part from there on.
    pub to: FailureMode,
}

/// Rows in pieces with one weakest part each; a failed row ends a piece.
#[must_use]
pub fn pieces<Why>(rows: &[Row<Why>]) -> Vec<Piece> {
    let mut all: Vec<Piece> = Vec::new();
    let mut open = false;
    for (at, row) in rows.iter().enumerate() {
        let Some(found) = row.found() else {
            open = false;
            continue;
        };
        match all.last_mut() {
            Some(piece) if open && piece.part == found.fails_first => piece.last = at,
            _ => all.push(Piece { part: found.fails_first, first: at, last: at }),
        }
        open = true;
    }
    all
}

/// Where the weakest part changes along rows whose points have these values: where the limits of the two parts cross by straight
/// lines, else half way between the two rows.
#[must_use]
pub fn changes<Why>(values: &[f64], rows: &[Row<Why>]) -> Vec<Change> {
    pieces(rows)
        .windows(2)
        .filter(|w| w[0].part != w[1].part && w[0].last + 1 == w[1].first)
        .filter_map(|w| {
            let (before, after) = (&rows[w[0].last], &rows[w[1].first]);
            let (a, b) = (values[before.point], values[after.point]);
            let part = crossing(before.found()?, after.found()?).unwrap_or(0.5);
            Some(Change { at: a + part * (b - a), to: w[1].part })
        })
        .collect()
}

/// Which part of the way from one point to the next lies before the crossing of the limits of their weakest parts.
fn crossing(before: &Found, after: &Found) -> Option<f64> {
    let gap = |f: &Found| Some(f.limit_kn(after.fails_first)? - f.limit_kn(before.fails_first)?);
    let (g, h) = (gap(before)?, gap(after)?);
    (g > h).then(|| (g / (g - h)).clamp(0.0, 1.0))
}

//! What a cell holds: a number, a time of day, a unit or another word.

use super::clock::stamp_s;
use super::number::{Cell, Decimal, read, with_word};
use super::unit::Unit;

/// What most cells of a column are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Numbers.
    Number,
    /// Times of day, with or without a date.
    Stamp,
    /// Units.
    Unit,
    /// Other words.
    Word,
}

/// What a cell is by itself; nothing where it stands for a value that is not there.
pub(super) fn kind_of(cell: &str, decimal: Decimal) -> Option<Kind> {
    match read(cell, decimal) {
        Cell::Number(_) => Some(Kind::Number),
        Cell::Missing | Cell::Over | Cell::Code => None,
        Cell::Word if with_word(cell, decimal).is_some_and(|(_, word)| Unit::of(word).is_some()) => {
            Some(Kind::Number)
        }
        Cell::Word if stamp_s(cell).is_some() => Some(Kind::Stamp),
        Cell::Word if Unit::of(cell).is_some() => Some(Kind::Unit),
        Cell::Word => Some(Kind::Word),
    }
}

/// Whether a cell is a number of digits, one point at most, and a sign: what most cells of a long file are.
pub(super) fn is_plain(cell: &str) -> bool {
    let unsigned = cell.strip_prefix(['+', '-']).unwrap_or(cell);
    let (mut digits, mut points) = (0, 0);
    unsigned.bytes().all(|b| {
        digits += u32::from(b.is_ascii_digit());
        points += u32::from(b == b'.');
        b.is_ascii_digit() || b == b'.'
    }) && digits > 0
        && points < 2
}

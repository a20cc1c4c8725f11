//! Numbers as loggers write them: with a point or a comma, with marks between thousands, or with a mark in place of a value.

/// The mark between whole and part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decimal {
    /// 12.5
    Point,
    /// 12,5
    Comma,
}

/// What stands in a cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cell {
    /// A number.
    Number(f64),
    /// Nothing, or a mark for nothing.
    Missing,
    /// A mark for more than the cell can measure.
    Over,
    /// A number that stands for an error; [`read`] does not tell it, what stands beside it does.
    Code,
    /// Something else.
    Word,
}

/// Marks for nothing, in small letters.
const MISSING: [&str; 14] =
    ["", "-", "--", "---", "----", "-----", "n/a", "na", "nan", "null", "none", "#n/a", "err", "*"];
/// Marks for too much, in small letters.
const OVER: [&str; 14] = [
    "ol",
    "o.l",
    "o.l.",
    "over",
    "overload",
    "ovl",
    "ovld",
    "over range",
    "overrange",
    "ovr",
    "inf",
    "####",
    "#####",
    "1.#inf",
];

/// Reads a cell.
#[must_use]
pub fn read(cell: &str, decimal: Decimal) -> Cell {
    if let Some(number) = number(cell, decimal) {
        return Cell::Number(number);
    }
    let small = cell.to_lowercase();
    let bare = small.trim_start_matches(['+', '-']);
    if OVER.contains(&bare) {
        Cell::Over
    } else if MISSING.contains(&small.as_str()) || small.bytes().all(|b| b == b'-') {
        Cell::Missing
    } else {
        Cell::Word
    }
}

/// A number and nothing else.
#[must_use]
pub fn number(cell: &str, decimal: Decimal) -> Option<f64> {
    let bytes = cell.as_bytes();
    // What is quick: digits, a sign, a point.
    if decimal == Decimal::Point
        && bytes.iter().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+'))
    {
        return cell.parse().ok();
    }
    if !bytes.iter().any(u8::is_ascii_digit) {
        return None;
    }
    let (point, others): (char, &[char]) = match decimal {
        Decimal::Point => ('.', &[',', '\'', ' ', '\u{a0}', '\u{202f}', '\u{2019}']),
        Decimal::Comma => (',', &['.', '\'', ' ', '\u{a0}', '\u{202f}', '\u{2019}']),
    };
    let unsigned = cell.strip_prefix(['+', '-', '\u{2212}']).unwrap_or(cell);
    let negative = cell.starts_with(['-', '\u{2212}']);
    if unsigned.starts_with(['+', '-']) {
        return None;
    }
    let (mantissa, power) = match unsigned.find(['e', 'E']) {
        Some(at) => (&unsigned[..at], Some(&unsigned[at + 1..])),
        None => (unsigned, None),
    };
    let (whole, part) = match mantissa.split_once(point) {
        Some((whole, part)) => (whole, Some(part)),
        None => (mantissa, None),
    };
    let mut written = String::with_capacity(cell.len());
    if negative {
        written.push('-');
    }
    // Groups are of three digits, behind a first one of one to three, all with one mark between them.
    if let Some(mark) = whole.chars().find(|c| others.contains(c)) {
        let groups: Vec<&str> = whole.split(mark).collect();
        let digits = |g: &str| g.bytes().all(|b| b.is_ascii_digit());
        let sound = groups.iter().enumerate().all(|(i, g)| {
            digits(g) && if i == 0 { (1..=3).contains(&g.len()) && !g.starts_with('0') } else { g.len() == 3 }
        });
        if !sound {
            return None;
        }
        groups.iter().for_each(|g| written.push_str(g));
    } else {
        written.push_str(whole);
    }
    if let Some(part) = part {
        if !part.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        written.push('.');
        written.push_str(part);
    }
    if let Some(power) = power {
        written.push('e');
        written.push_str(power);
    }
    let plain = written.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+' | b'e'));
    if plain { written.parse().ok().filter(|v: &f64| v.is_finite()) } else { None }
}

/// A number with a word behind it, such as 24.1 kN or 24.1kN.
#[must_use]
pub fn with_word(cell: &str, decimal: Decimal) -> Option<(f64, &str)> {
    let at = cell.find(|c: char| c.is_alphabetic() && !matches!(c, 'e' | 'E'))?;
    let value = number(cell[..at].trim_end(), decimal)?;
    Some((value, cell[at..].trim()))
}

/// Whether a cell holds a number that means another one with the other mark: 1,234 or 1.234.
#[must_use]
pub fn two_ways(cell: &str) -> bool {
    match (number(cell, Decimal::Point), number(cell, Decimal::Comma)) {
        (Some(a), Some(b)) => a.to_bits() != b.to_bits(),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_with_either_mark() {
        for (cell, point, comma) in [
            ("12.5", Some(12.5), None),
            ("12,5", None, Some(12.5)),
            ("+0012.45", Some(12.45), None),
            ("-3", Some(-3.0), Some(-3.0)),
            ("1,234.5", Some(1234.5), None),
            ("1.234,5", None, Some(1234.5)),
            ("1'234.5", Some(1234.5), None),
            ("1 234,5", None, Some(1234.5)),
            ("1,234", Some(1234.0), Some(1.234)),
            ("12,34,5", None, None),
            ("0,125", None, Some(0.125)),
            ("1.5e-3", Some(1.5e-3), None),
            ("1,5E2", None, Some(150.0)),
            (".5", Some(0.5), None),
            ("0x10", None, None),
            ("+-25", None, None),
            ("--", None, None),
            ("1e999", None, None),
            ("inf", None, None),
            ("", None, None),
            ("-", None, None),
            ("1.2.3", None, None),
        ] {
            assert_eq!(
                (number(cell, Decimal::Point), number(cell, Decimal::Comma)),
                (point, comma),
                "{cell}"
            );
        }
        assert!(two_ways("1,234") && two_ways("12.345") && !two_ways("12,5") && !two_ways("7"));
    }

    #[test]
    fn marks_are_told_from_words() {
        for (cell, wanted) in [
            ("----", Cell::Missing),
            ("", Cell::Missing),
            ("NaN", Cell::Missing),
            ("OL", Cell::Over),
            ("+OL", Cell::Over),
            ("Overload", Cell::Over),
            ("open", Cell::Word),
            ("12.5.1", Cell::Word),
        ] {
            assert_eq!(read(cell, Decimal::Point), wanted, "{cell}");
        }
    }

    #[test]
    fn a_unit_may_stand_behind_a_number() {
        assert_eq!(with_word("24.1 kN", Decimal::Point), Some((24.1, "kN")));
        assert_eq!(with_word("24,1kgf", Decimal::Comma), Some((24.1, "kgf")));
        assert_eq!(with_word("kN", Decimal::Point), None);
    }
}

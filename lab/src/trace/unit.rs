//! What a column measures, by the unit that a logger writes.

use crate::force_unit::ForceUnit;

/// What a column measures, with its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unit {
    /// A load.
    Force(ForceUnit),
    /// A time; so many seconds.
    Seconds(f64),
    /// A way; so many mm.
    Millimetres(f64),
    /// Raw counts.
    Counts,
    /// Something else that has a known sign: volts, degrees.
    Other,
}

impl Unit {
    /// The unit that a word names.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        if let Some(force) = ForceUnit::of(word) {
            return Some(Self::Force(force));
        }
        Some(match word.to_lowercase().as_str() {
            "s" | "sec" | "secs" | "second" | "seconds" | "sek" => Self::Seconds(1.0),
            "ms" | "msec" | "millisecond" | "milliseconds" => Self::Seconds(1e-3),
            "us" | "\u{b5}s" | "\u{3bc}s" | "usec" => Self::Seconds(1e-6),
            "min" | "minute" | "minutes" => Self::Seconds(60.0),
            "h" | "hour" | "hours" => Self::Seconds(3600.0),
            "d" | "day" | "days" => Self::Seconds(86_400.0),
            "mm" => Self::Millimetres(1.0),
            "cm" => Self::Millimetres(10.0),
            "m" => Self::Millimetres(1000.0),
            "in" | "inch" | "inches" => Self::Millimetres(25.4),
            "counts" | "count" | "cts" | "adc" | "lsb" => Self::Counts,
            "v" | "mv" | "mv/v" | "\u{b0}c" | "c" | "degc" | "%" | "a" | "ma" | "bar" | "mpa" | "hz"
            | "-" => Self::Other,
            _ => return None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_that_are_no_unit_are_none() {
        for word in ["force", "", "x", "km"] {
            assert_eq!(Unit::of(word), None, "{word}");
        }
        assert_eq!(Unit::of("MS"), Some(Unit::Seconds(1e-3)));
    }
}

//! Units of load, time and way, as loggers write them.

use serde::{Deserialize, Serialize};

/// A unit of load.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum ForceUnit {
    /// Newton.
    N,
    /// Ten newtons.
    DaN,
    /// Kilonewton.
    KN,
    /// What weighs a gram: gram-force.
    Gf,
    /// What weighs a kilogram, often shown as kg.
    Kgf,
    /// What weighs a tonne, often shown as t.
    Tf,
    /// What weighs a pound, often shown as lb.
    Lbf,
    /// A thousand pounds.
    Klbf,
}

impl ForceUnit {
    /// All of them.
    pub const ALL: [Self; 8] =
        [Self::N, Self::DaN, Self::KN, Self::Gf, Self::Kgf, Self::Tf, Self::Lbf, Self::Klbf];

    /// How many kN one of it is: standard gravity 9.80665 m/s^2, the pound of 0.45359237 kg (both exact by definition).
    #[must_use]
    pub const fn kn(self) -> f64 {
        match self {
            Self::N => 1e-3,
            Self::DaN => 1e-2,
            Self::KN => 1.0,
            Self::Gf => 9.806_65e-6,
            Self::Kgf => 9.806_65e-3,
            Self::Tf => 9.806_65,
            Self::Lbf => 4.448_221_615_260_5e-3,
            Self::Klbf => 4.448_221_615_260_5,
        }
    }

    /// Its sign.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::N => "N",
            Self::DaN => "daN",
            Self::KN => "kN",
            Self::Gf => "gf",
            Self::Kgf => "kgf",
            Self::Tf => "tf",
            Self::Lbf => "lbf",
            Self::Klbf => "klbf",
        }
    }

    /// The unit that a word names, in any case.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        Some(match word.trim_end_matches('.').to_lowercase().as_str() {
            "n" | "newton" | "newtons" => Self::N,
            "dan" => Self::DaN,
            "kn" | "kilonewton" | "kilonewtons" => Self::KN,
            "gf" | "g" => Self::Gf,
            "kgf" | "kg" | "kgs" | "kp" => Self::Kgf,
            "tf" | "t" | "ton" | "tonne" | "tonnes" => Self::Tf,
            "lbf" | "lb" | "lbs" | "pound" | "pounds" => Self::Lbf,
            "klbf" | "klb" | "klbs" | "kip" | "kips" => Self::Klbf,
            _ => return None,
        })
    }
}

/// What a column measures, with its unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
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
    fn a_kilonewton_is_what_every_unit_says_it_is() {
        // 1 kN = 100 daN = 101.97 kgf = 224.81 lbf (common practice; exact definitions behind them).
        for (unit, many) in [
            (ForceUnit::N, 1000.0),
            (ForceUnit::DaN, 100.0),
            (ForceUnit::Kgf, 101.97),
            (ForceUnit::Lbf, 224.81),
        ] {
            assert!((many * unit.kn() - 1.0).abs() < 3e-5, "{unit:?}");
        }
        assert!((ForceUnit::Klbf.kn() / ForceUnit::Lbf.kn() - 1000.0).abs() < 1e-9);
        for unit in ForceUnit::ALL {
            assert_eq!(ForceUnit::of(unit.sign()), Some(unit));
        }
    }

    #[test]
    fn words_that_are_no_unit_are_none() {
        for word in ["force", "", "x", "km"] {
            assert_eq!(Unit::of(word), None, "{word}");
        }
        assert_eq!(Unit::of("MS"), Some(Unit::Seconds(1e-3)));
    }
}

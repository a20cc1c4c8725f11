//! A peak load as it was read off a bench: the number with its unit as entered, and the same in kN.

use crate::force_unit::ForceUnit;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Units that a peak may be entered in, as they are written.
pub const UNITS: [ForceUnit; 5] =
    [ForceUnit::KN, ForceUnit::N, ForceUnit::DaN, ForceUnit::Kgf, ForceUnit::Lbf];

/// Smallest and largest peak, kN.
pub const PEAK_KN: [f64; 2] = [0.01, 1000.0];

/// Longest text of a peak.
const LONGEST: usize = 40;

/// A peak load.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Peak {
    /// As it was entered; without a unit it is kN.
    pub entered: String,
    /// The same, kN.
    #[schemars(range(min = 0.01, max = 1000))]
    pub kn: f64,
}

/// Why a text is no peak.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoPeak {
    /// No number at its beginning.
    NoNumber,
    /// A comma that may divide thousands.
    Comma,
    /// A mass where a force is meant, and the force's word.
    Mass(&'static str),
    /// A unit of something else, or none that is known.
    Unit,
    /// Out of [`PEAK_KN`].
    Outside(f64),
}

impl Peak {
    /// Reads a number with its unit; one without is kN.
    ///
    /// # Errors
    /// It is none, or out of its range.
    pub fn read(text: &str) -> Result<Self, NoPeak> {
        let entered = text.trim();
        if entered.chars().count() > LONGEST {
            return Err(NoPeak::NoNumber);
        }
        let split =
            entered.find(|c: char| !(c.is_ascii_digit() || ".,+-".contains(c))).unwrap_or(entered.len());
        let (digits, rest) = entered.split_at(split);
        // A comma is a decimal sign unless three digits follow it or another sign stands beside it.
        let pointed = match digits.split_once(',') {
            None => digits.to_owned(),
            Some((whole, part)) if part.len() == 3 || format!("{whole}{part}").contains(['.', ',']) => {
                return Err(NoPeak::Comma);
            }
            Some((whole, part)) => format!("{whole}.{part}"),
        };
        let number: f64 = pointed.parse().map_err(|_| NoPeak::NoNumber)?;
        let unit = rest.trim();
        let factor = match unit {
            "" => 1.0,
            "kg" => return Err(NoPeak::Mass("kgf")),
            "lb" | "lbs" => return Err(NoPeak::Mass("lbf")),
            unit => {
                UNITS.iter().find(|known| known.sign() == unit).map(|known| known.kn()).ok_or(NoPeak::Unit)?
            }
        };
        let kn = number * factor;
        if !(PEAK_KN[0]..=PEAK_KN[1]).contains(&kn) {
            return Err(NoPeak::Outside(kn));
        }
        Ok(Self { entered: entered.to_owned(), kn })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_those_of_their_definitions() {
        let kn = |text| Peak::read(text).unwrap().kn;
        assert_eq!((kn("21.3"), kn("21,3 kN"), kn("2130 daN"), kn("21300N")), (21.3, 21.3, 21.3, 21.3));
        // 1 kN = 101.97 kgf = 224.81 lbf, to the digits that these have.
        assert!((kn("101.971621 kgf") - 1.0).abs() < 1e-8);
        assert!((kn("224.808943 lbf") - 1.0).abs() < 1e-8);
        assert!((kn("5400 lbf") - 24.020_396_722_406_7).abs() < 1e-12);
        assert_eq!(Peak::read(" 5400  lbf ").unwrap().entered, "5400  lbf");
    }

    #[test]
    fn what_is_no_peak_is_refused_with_the_reason() {
        for (text, why) in [
            ("", NoPeak::NoNumber),
            ("kN", NoPeak::NoNumber),
            ("nan", NoPeak::NoNumber),
            ("inf kN", NoPeak::NoNumber),
            ("1e3 kN", NoPeak::Unit),
            ("--3", NoPeak::NoNumber),
            ("5,400 lbf", NoPeak::Comma),
            ("1,234.5 N", NoPeak::Comma),
            ("1.2,3", NoPeak::Comma),
            ("500 kg", NoPeak::Mass("kgf")),
            ("500 lbs", NoPeak::Mass("lbf")),
            ("12 mm", NoPeak::Unit),
            ("12 KN", NoPeak::Unit),
            ("0", NoPeak::Outside(0.0)),
            ("-3", NoPeak::Outside(-3.0)),
            ("2000", NoPeak::Outside(2000.0)),
        ] {
            assert_eq!(Peak::read(text), Err(why), "{text}");
        }
        assert_eq!(Peak::read(&"1".repeat(41)), Err(NoPeak::NoNumber));
    }
}

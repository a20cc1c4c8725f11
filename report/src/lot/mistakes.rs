//! Values of pulls that are none.

use crate::numbers::plain;
use crate::quantities::mistake;
use lab::statistics::{LotMistake, PEAKS_KN};
use std::fmt;
use study::model::quantity::QuantityError;

/// What is wrong with a value.
#[derive(Clone, Debug, PartialEq)]
pub struct PeakMistake {
    /// Which value, from 1.
    pub place: usize,
    /// Why it is none.
    pub why: NoPeak,
}

/// Why a value is none.
#[derive(Clone, Debug, PartialEq)]
pub enum NoPeak {
    /// Nothing stands between two commas.
    Nothing,
    /// It is no load.
    NoLoad(QuantityError),
    /// It has no unit, and another has one.
    NoUnit {
        /// That other.
        beside: String,
    },
    /// It is a load that none of a bench has, kN.
    Outside(f64),
}

/// All that is wrong with the values of an option.
#[derive(Clone, Debug, PartialEq)]
pub struct PeakMistakes(pub Vec<PeakMistake>);

/// What a list of values may be.
const ALLOWED: &str =
    "loads in kN with commas between, such as 24.1,23.7,22.9 (or with semicolons, such as 24,1;23,7)";

impl std::error::Error for PeakMistakes {}

impl fmt::Display for PeakMistakes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [low, high] = PEAKS_KN.map(plain);
        for (i, PeakMistake { place, why }) in self.0.iter().enumerate() {
            if i > 0 {
                f.write_str("\n")?;
            }
            write!(f, "value {place}: ")?;
            match why {
                NoPeak::Nothing => write!(f, "found nothing; allowed: {ALLOWED}")?,
                NoPeak::NoUnit { beside } => write!(
                    f,
                    "found no unit, beside \"{beside}\"; allowed: a unit behind each value, or behind none, which is kN\n  hint: write --values \
                     \"3000 lbf,3100 lbf,2900 lbf\""
                )?,
                NoPeak::NoLoad(error) => f.write_str(&mistake(error))?,
                NoPeak::Outside(kn) => write!(f, "found {} kN; allowed: {low} to {high} kN", plain(*kn))?,
            }
        }
        if self.0.iter().any(|mistake| mistake.why == NoPeak::Nothing) {
            f.write_str(
                "\n  hint: a shell takes > for itself: put the values in quotes, or write 21.5+ for a pull that ended at 21.5 without \
                 a break",
            )?;
        }
        Ok(())
    }
}

/// Why pulls are no lot.
#[must_use]
pub fn no_lot(mistakes: &[LotMistake]) -> String {
    let [low, high] = PEAKS_KN.map(plain);
    let told: Vec<String> = mistakes
        .iter()
        .map(|mistake| match mistake {
            LotMistake::Empty => format!("there is no pull; allowed: {ALLOWED}"),
            LotMistake::Peak { index, found_kn } => {
                format!("value {}: found {} kN; allowed: {low} to {high} kN", index + 1, plain(*found_kn))
            }
        })
        .collect();
    told.join("\n")
}

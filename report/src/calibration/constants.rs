//! The constants and their values.

use crate::numbers::{decimals, unsigned_zero};
use solver::strength::Constant;

/// What a constant is, at the head of a row.
#[must_use]
pub const fn name(of: Constant) -> &'static str {
    match of {
        Constant::Lip => "lip of the notch",
        Constant::Pins => "pins",
        Constant::Friction => "friction",
        Constant::Strength => "metal of frame and gate",
        Constant::Flow => "flow stress",
        Constant::Press => "contact of the pins",
    }
}

/// The same in a sentence.
pub(super) const fn in_a_sentence(of: Constant) -> &'static str {
    match of {
        Constant::Lip => "the strength of the lip",
        Constant::Pins => "the strength of the pins",
        Constant::Friction => "friction",
        Constant::Strength => "the strength of frame and gate",
        Constant::Flow => "the stress at which metal flows",
        Constant::Press => "how wide the pins press",
    }
}

/// What its values count.
pub(super) const fn counts(of: Constant) -> &'static str {
    match of {
        Constant::Lip | Constant::Pins => "times what is computed",
        Constant::Friction | Constant::Strength => "times what was entered",
        Constant::Flow => "of the way from yield to ultimate",
        Constant::Press => "on a scale from -1, narrow, to 1, bedded in deeply",
    }
}

/// To hundredths, no zero with a sign.
fn unsigned_zero_of(value: f64) -> String {
    decimals(unsigned_zero((100.0 * value).round() / 100.0), 2)
}

/// A value of it.
#[must_use]
pub fn value(of: Constant, value: f64) -> String {
    match of {
        Constant::Flow => format!("{:.0} %", 100.0 * value),
        _ => unsigned_zero_of(value),
    }
}

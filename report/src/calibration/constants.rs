//! The constants and their values.

use crate::numbers::decimals;
use crate::unknowns::constant;
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
pub(super) fn in_a_sentence(of: Constant) -> String {
    let words = constant(of);
    match of {
        Constant::Friction | Constant::Press => words.to_owned(),
        _ => format!("the {words}"),
    }
}

/// What its values count.
#[must_use]
pub const fn counts(of: Constant) -> &'static str {
    match of {
        Constant::Lip | Constant::Pins => "times what is computed",
        Constant::Friction | Constant::Strength => "times what was entered",
        Constant::Flow => "of the way from yield to ultimate",
        Constant::Press => "on a scale from -1, narrow, to 1, bedded in deeply",
    }
}

/// A value of it.
#[must_use]
pub fn value(of: Constant, value: f64) -> String {
    match of {
        Constant::Flow => format!("{:.0} %", 100.0 * value),
        _ => decimals(value, 2),
    }
}

//! How a limit is stated: what it is of, how it ends, the formula in words, where the formula is from, what went in.

use serde::Serialize;

/// How a limit shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum LimitKind {
    /// Metal yields somewhere; the part still carries.
    Yields,
    /// A bar bends for good: its sections have yielded through.
    Bends,
    /// The frame opens and tears.
    Opens,
    /// A part breaks.
    Breaks,
    /// The pin leaves the notch.
    Slips,
    /// The sling breaks, not the connector.
    Sling,
}

/// A number that went into a limit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Input {
    /// What it is, in words.
    pub name: String,
    /// Its value.
    pub value: f64,
    /// Its unit; empty for a plain number.
    pub unit: &'static str,
}

/// An input in short.
#[must_use]
pub fn input(name: &str, value: f64, unit: &'static str) -> Input {
    Input { name: name.to_owned(), value, unit }
}

/// The force along the line of the two pins that a part of the gate line bears.
#[derive(Clone, Debug, PartialEq)]
pub struct Capacity {
    /// The part, in words.
    pub what: &'static str,
    /// The force it bears, N.
    pub force_n: f64,
    /// How its limit shows.
    pub kind: LimitKind,
    /// The least and the largest force that published forms of the formula give, N, where they differ.
    pub other_forms_n: Option<[f64; 2]>,
    /// Where formula and factors are from.
    pub source: &'static str,
    /// The formula, in words.
    pub formula: &'static str,
    /// What went in.
    pub inputs: Vec<Input>,
}

impl Capacity {
    /// The force by another form of the formula: -1 for the least, 0 for the one used, 1 for the largest, and between them
    /// evenly in the logarithm.
    #[must_use]
    pub fn by_form_n(&self, form: f64) -> f64 {
        let Some([least, largest]) = self.other_forms_n else { return self.force_n };
        let end = if form < 0.0 { least } else { largest };
        self.force_n * (end / self.force_n).powf(form.abs())
    }
}

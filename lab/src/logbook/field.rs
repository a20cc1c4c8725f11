//! What is recorded of a pull, field by field: its word, when it is known, and what it may be.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A field of a pull.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Field {
    /// Name of the sample.
    Sample,
    /// What kind of connector it is, in words.
    Kind,
    /// Its age, years.
    AgeYears,
    /// Hours of use.
    HoursOfUse,
    /// How often it was pulled before.
    EarlierPulls,
    /// What is marked along the major axis, gate closed, kN.
    MarkedClosedKn,
    /// The same, gate open, kN.
    MarkedOpenKn,
    /// Measured dimensions, key by key.
    Measured,
    /// The model that stands for it.
    Model,
    /// What was set over that model, key by key.
    Sets,
    /// What pulled at the upper end.
    Upper,
    /// Its width or diameter, mm.
    UpperSizeMm,
    /// Where it lay, mm from the middle of the window, above 0 toward the gate.
    UpperOffsetMm,
    /// What pulled at the lower end.
    Lower,
    /// Its width or diameter, mm.
    LowerSizeMm,
    /// Where it lay, mm from the middle of the window, above 0 toward the gate.
    LowerOffsetMm,
    /// State of the gate.
    Gate,
    /// How far the pin of a half-shut gate was engaged, mm.
    EngagedMm,
    /// The rig in free words.
    Rig,
    /// When it was pulled.
    PulledOn,
    /// The highest load.
    Peak,
    /// How the pull ended.
    Outcome,
    /// Where it was found broken.
    Place,
    /// A photo.
    Photo,
    /// Whatever else there is to say.
    Remark,
    /// What the load cell wrote.
    Trace,
}

/// What a field may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// A text of at most so many letters, in one line or in several.
    Text {
        /// The most letters.
        most: usize,
        /// Whether it may have several lines.
        lines: bool,
    },
    /// A number within a range.
    Number([f64; 2]),
    /// A whole number from 0 to this.
    Count(u32),
    /// One of these words.
    Word(&'static [&'static str]),
    /// At most [`MOST_PAIRS`] of the form KEY=VALUE.
    Pairs,
    /// A file by its name and the hash of its bytes.
    File,
    /// A day, or a day with a time.
    Date,
    /// A load with its unit.
    Peak,
}

/// How a pull may end.
pub const OUTCOMES: [&str; 4] = ["broke", "opened", "strap broke", "stopped"];
/// States of a gate.
pub const GATES: [&str; 3] = ["closed", "half", "open"];
/// Most pairs of a field of pairs.
pub const MOST_PAIRS: usize = 100;
/// Longest pair, letters.
pub const LONGEST_PAIR: usize = 200;
/// Longest name of a file, letters.
pub const LONGEST_NAME: usize = 1000;

impl Field {
    /// All fields, in the order of a table's columns.
    pub const ALL: [Self; 26] = [
        Self::Sample,
        Self::Kind,
        Self::AgeYears,
        Self::HoursOfUse,
        Self::EarlierPulls,
        Self::MarkedClosedKn,
        Self::MarkedOpenKn,
        Self::Measured,
        Self::Model,
        Self::Sets,
        Self::Upper,
        Self::UpperSizeMm,
        Self::UpperOffsetMm,
        Self::Lower,
        Self::LowerSizeMm,
        Self::LowerOffsetMm,
        Self::Gate,
        Self::EngagedMm,
        Self::Rig,
        Self::PulledOn,
        Self::Peak,
        Self::Outcome,
        Self::Place,
        Self::Photo,
        Self::Remark,
        Self::Trace,
    ];

    /// Those that are known before a pull.
    pub fn before() -> impl Iterator<Item = Self> {
        Self::ALL.into_iter().filter(|field| !field.is_result())
    }

    /// Those that a pull gives.
    pub fn results() -> impl Iterator<Item = Self> {
        Self::ALL.into_iter().filter(|field| field.is_result())
    }

    /// Whether it is known only once the sample was pulled.
    #[must_use]
    pub fn is_result(self) -> bool {
        self >= Self::PulledOn
    }

    /// Whether it must be told: without it there is no pull, or none that was done.
    #[must_use]
    pub fn is_needed(self) -> bool {
        matches!(self, Self::Sample | Self::PulledOn | Self::Peak)
    }

    /// Whether a forecast is made of it. The words of a rig are not: they are free.
    #[must_use]
    pub fn is_forecast_from(self) -> bool {
        matches!(self, Self::Model | Self::Sets) || self.is_of_rig()
    }

    /// Whether it is what pulled, how large it was and where it lay, or the state of the gate.
    #[must_use]
    pub fn is_of_rig(self) -> bool {
        (Self::Upper..=Self::EngagedMm).contains(&self)
    }

    /// Whether the bytes of its file are kept in the logbook.
    #[must_use]
    pub fn is_kept(self) -> bool {
        matches!(self, Self::Model | Self::Trace)
    }

    /// Its word in tables and files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sample => "sample",
            Self::Kind => "kind",
            Self::AgeYears => "age_years",
            Self::HoursOfUse => "hours_of_use",
            Self::EarlierPulls => "earlier_pulls",
            Self::MarkedClosedKn => "marked_closed_kn",
            Self::MarkedOpenKn => "marked_open_kn",
            Self::Measured => "measured",
            Self::Model => "model",
            Self::Sets => "sets",
            Self::Upper => "upper",
            Self::UpperSizeMm => "upper_size_mm",
            Self::UpperOffsetMm => "upper_offset_mm",
            Self::Lower => "lower",
            Self::LowerSizeMm => "lower_size_mm",
            Self::LowerOffsetMm => "lower_offset_mm",
            Self::Gate => "gate",
            Self::EngagedMm => "engaged_mm",
            Self::Rig => "rig",
            Self::PulledOn => "pulled_on",
            Self::Peak => "peak",
            Self::Outcome => "outcome",
            Self::Place => "place",
            Self::Photo => "photo",
            Self::Remark => "remark",
            Self::Trace => "trace",
        }
    }

    /// The field of a word.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|field| field.word() == word)
    }

    /// What it may be.
    #[must_use]
    pub fn shape(self) -> Shape {
        let line = |most| Shape::Text { most, lines: false };
        match self {
            Self::Sample => line(80),
            Self::Kind => line(200),
            Self::AgeYears => Shape::Number([0.0, 100.0]),
            Self::HoursOfUse => Shape::Number([0.0, 1_000_000.0]),
            Self::EarlierPulls => Shape::Count(1_000_000),
            Self::MarkedClosedKn | Self::MarkedOpenKn => Shape::Number([0.1, 1000.0]),
            Self::Measured | Self::Sets => Shape::Pairs,
            Self::Model | Self::Photo | Self::Trace => Shape::File,
            Self::Upper | Self::Lower => line(80),
            Self::UpperSizeMm | Self::LowerSizeMm => Shape::Number([0.1, 500.0]),
            Self::UpperOffsetMm | Self::LowerOffsetMm => Shape::Number([-200.0, 200.0]),
            Self::Gate => Shape::Word(&GATES),
            Self::EngagedMm => Shape::Number([0.0, 100.0]),
            Self::Rig => Shape::Text { most: 500, lines: false },
            Self::PulledOn => Shape::Date,
            Self::Peak => Shape::Peak,
            Self::Outcome => Shape::Word(&OUTCOMES),
            Self::Place => line(80),
            Self::Remark => Shape::Text { most: 4000, lines: true },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_those_of_the_files_and_found_again() {
        for (place, field) in Field::ALL.into_iter().enumerate() {
            assert_eq!(serde_json::to_value(field).unwrap(), field.word());
            assert_eq!(Field::of(field.word()), Some(field));
            assert!(Field::ALL[..place].iter().all(|earlier| *earlier < field), "{field:?}");
        }
        assert_eq!((Field::before().count(), Field::results().count()), (19, 7));
        assert_eq!(Field::of("peak_kn"), None);
        let locked: Vec<&str> =
            Field::ALL.into_iter().filter(|f| f.is_forecast_from()).map(Field::word).collect();
        assert_eq!((locked.len(), locked.contains(&"gate"), locked.contains(&"rig")), (10, true, false));
    }
}

//! What may differ from what was entered, and how often that happens.
//!
//! All ranges are those of `study::unknowns`: the model's own as it states them, the suspected ones where it states none.
//! The chances here are engineering judgement: they order what to look at first, and claim no more.

mod chance;
mod gate;
mod loads;
mod metals;
mod shape;
mod stated;

pub use chance::Chance;

use solver::causes::Prior;
use solver::forecast::Law;
use solver::system::System;
use study::Case;
use study::model::Model;
use study::unknowns::{Unknown, unknowns};

/// Values nearer than this to one that is solved anyway are not solved, as a part of their range.
const BESIDE: f64 = 0.04;

/// Most decimals of a value where one of so few is likely: a caliper reads no finer.
const CALIPER: usize = 2;
/// Most decimals where no value of so few is likely.
const FINEST: usize = 3;
/// The last digit of a value is at most this part of its likely range.
const TOLD_APART: f64 = 0.5;

/// The family of nothing differing from what was entered.
pub const AS_ENTERED_FAMILY: &str = "as entered";
/// The family of everything about where the loads lay.
pub const OFFSET: &str = "offset";

/// What a value of a cause is told as.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wording {
    /// Nothing: the cause has no value.
    Nothing,
    /// A plain number and its unit.
    Plain(&'static str),
    /// A number with its sign: to the gate is positive.
    Signed(&'static str),
    /// The offset of the upper load, mm, and that of the lower one, which is what is missing to a sum.
    Diagonal {
        /// Upper and lower offset together, mm.
        sum: f64,
    },
}

/// What a user types to have a cause, beside what it does to the rig.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Typed {
    /// Nothing but the rig's own keys.
    Nothing,
    /// A key, with the cause's value.
    Value(String),
    /// A key with a word.
    Word(String, &'static str),
    /// No key has it.
    NoKey,
}

/// Makes a setting from the nominal one and a value; `None` where the value makes no sense.
type Apply = Box<dyn Fn(&Case, f64) -> Option<Case> + Send + Sync>;

/// Something that may differ from what was entered.
pub struct Cause {
    /// Causes of one family are one line of the ranking.
    pub family: String,
    /// What differed from what was entered, without its value.
    pub what: String,
    /// How its value is told.
    pub told: Wording,
    /// What to measure.
    pub measure: String,
    /// What its reading is called, before its value; empty where the value says it all.
    pub reading: String,
    /// Chance that it was.
    pub chance: Chance,
    /// Chance of each value of its range.
    pub prior: Prior,
    /// Values to solve.
    pub values: Vec<f64>,
    /// The value that everything being as entered would be.
    pub nominal: Option<f64>,
    /// Whether it may come together with straps off centre.
    pub pairs: bool,
    /// The family of which it is the same and something more.
    pub more_than: Option<&'static str>,
    /// What to type for it.
    pub typed: Typed,
    /// Makes the setting.
    pub apply: Apply,
}

/// Values at even steps over a law's range.
fn steps(law: Law, count: u32) -> Vec<f64> {
    let [low, high] = law.ends();
    (0..count).map(|i| low + (high - low) * f64::from(i) / f64::from(count - 1)).collect()
}

/// The same without what all but repeats the value as entered, which is solved anyway.
fn steps_beside(law: Law, count: u32, nominal: f64) -> Vec<f64> {
    let [low, high] = law.ends();
    let mut values = steps(law, count);
    values.retain(|v| (v - nominal).abs() > BESIDE * (high - low));
    values
}

/// Everything that may differ from what was entered. The first causes are offsets; the very first moves both loads, if they
/// have room.
pub fn causes(model: &Model, nominal: &Case, system: &System) -> Vec<Cause> {
    let mut all = loads::offsets(model, system);
    gate::gates(model, &mut all);
    shape::dimensions(model, &mut all);
    shape::far_off(model, &mut all);
    let unknowns = unknowns(model);
    metals::metals(model, nominal, &unknowns, &mut all);
    stated::stated_ranges(model, &unknowns, &mut all);
    all
}

/// A setting with an unknown of a model at a value as it is told; each value goes through the model's own checks.
fn with(model: &Model, unknown: &Unknown) -> Apply {
    let (model, unknown) = (model.clone(), unknown.clone());
    Box::new(move |setting, value| {
        let mut told = model.clone();
        (told.connector, told.materials, told.rig) =
            (setting.connector.clone(), setting.materials.clone(), setting.rig);
        let changed = unknown.at(unknown.told_as(value), &told)?.model;
        Some(Case {
            connector: changed.connector,
            materials: changed.materials,
            rig: changed.rig,
            mesh: setting.mesh,
        })
    })
}

impl Cause {
    /// Whether it has a value that can be told.
    pub fn has_value(&self) -> bool {
        self.told != Wording::Nothing
    }

    /// The cause with its value.
    pub fn with_value(&self, value: f64) -> String {
        match self.told {
            Wording::Nothing => self.what.clone(),
            Wording::Plain(_) | Wording::Signed(_) => format!("{} {}", self.what, self.value_in_words(value)),
            Wording::Diagonal { sum } => {
                let [upper, lower] = [value, sum - value].map(|mm| self.value_in_words(mm));
                format!("{} {upper} and the lower at {lower}", self.what)
            }
        }
    }

    /// A value and its unit, to as many decimals as it has, up to [`FINEST`].
    fn value_in_words(&self, value: f64) -> String {
        self.to_decimals(value, self.fine().max(decimals_of(value).min(FINEST)))
    }

    fn to_decimals(&self, value: f64, decimals: usize) -> String {
        match self.told {
            Wording::Nothing => String::new(),
            Wording::Plain(unit) => format!("{value:.decimals$} {unit}"),
            Wording::Diagonal { .. } => signed(value, decimals, "mm"),
            Wording::Signed(unit) => signed(value, decimals, unit),
        }
    }

    /// A value to so few decimals that it still tells one end of its likely range from the other, inside that range and inside
    /// what is considered: what is told is what is solved.
    pub fn rounded(&self, value: f64, likely: [f64; 2]) -> f64 {
        let [mut low, mut high] = self.ends();
        if likely[0] < likely[1] {
            (low, high) = (low.max(likely[0]), high.min(likely[1]));
        }
        rounded_inside(value, self.decimals(likely), [low, high])
    }

    /// A value to as many decimals as a caliper reads, where no range of it alone is known.
    pub fn rounded_alone(&self, value: f64) -> f64 {
        rounded_inside(value, CALIPER.min(self.fine() + 1), self.ends())
    }

    /// Decimals that tell the ends of a likely range apart, as far as a caliper reads them; one more than its unit deserves where
    /// no range is known.
    fn decimals(&self, [low, high]: [f64; 2]) -> usize {
        let fine = self.fine();
        let wide = high - low;
        if wide <= 0.0 {
            return CALIPER.min(fine + 1);
        }
        let apart = |d: &usize| 10_f64.powi(-(*d as i32)) <= TOLD_APART * wide;
        let unit = 10_f64.powi(CALIPER as i32);
        let holds_one = (low * unit).ceil() <= (high * unit).floor();
        (fine..CALIPER).find(apart).unwrap_or(if holds_one { CALIPER } else { FINEST })
    }

    /// Ends of the values that are considered.
    fn ends(&self) -> [f64; 2] {
        match (self.values.first(), self.values.last()) {
            (Some(low), Some(high)) => [*low, *high],
            _ => [0.0; 2],
        }
    }

    /// From where to where, in words.
    pub fn range_in_words(&self, range: [f64; 2]) -> String {
        let decimals = self.decimals(range);
        let own = self.range_to_decimals(range, decimals);
        let Wording::Diagonal { sum } = self.told else { return own };
        let lower = |[low, high]: [f64; 2]| [sum - high, sum - low];
        let lower = self.range_between(lower(range), decimals, lower(self.ends()));
        format!("the upper at {own}, the lower at {lower}")
    }

    /// The same to so many decimals, its ends rounded outward, as far as they stay within what is considered.
    fn range_to_decimals(&self, range: [f64; 2], decimals: usize) -> String {
        self.range_between(range, decimals, self.ends())
    }

    fn range_between(&self, [low, high]: [f64; 2], decimals: usize, [least, most]: [f64; 2]) -> String {
        let half = 0.5 * 10_f64.powi(-(decimals as i32)) - 1e-9;
        let outward = [(low, low - half), (high, high + half)];
        let [low, high] = outward.map(|(end, beyond)| {
            let told = rounded(beyond, decimals);
            let told = if (least..=most).contains(&told) {
                told
            } else {
                rounded_inside(end, decimals, [least, most])
            };
            self.to_decimals(told, decimals)
        });
        if low == high {
            return low;
        }
        let unit = match self.told {
            Wording::Plain(unit) | Wording::Signed(unit) => format!(" {unit}"),
            Wording::Diagonal { .. } => " mm".to_owned(),
            Wording::Nothing => String::new(),
        };
        format!("{} to {high}", low.trim_end_matches(&unit))
    }

    /// The same of two causes at once, each whatever the other is.
    pub fn range_in_words_with(&self, own: [f64; 2], other: &Self, others: [f64; 2]) -> String {
        let words = [(self, own), (other, others)].map(|(cause, range)| {
            // As finely as the values of a pair.
            let decimals = CALIPER.min(cause.fine() + 1);
            (cause, if cause.has_value() { cause.range_to_decimals(range, decimals) } else { String::new() })
        });
        let told = words.iter().filter(|(_, range)| !range.is_empty());
        told.map(|(cause, range)| format!("{} {range}", cause.what)).collect::<Vec<_>>().join(", ")
    }

    /// Decimals that a value of this range deserves.
    fn fine(&self) -> usize {
        let [low, high] = self.ends();
        let range = (high - low).abs();
        if range < 2.0 {
            2
        } else if range < 50.0 {
            1
        } else {
            0
        }
    }
}

/// A number with its sign, and its unit.
fn signed(value: f64, decimals: usize, unit: &str) -> String {
    let sign = if value < 0.0 { "-" } else { "+" };
    format!("{sign}{:.decimals$} {unit}", value.abs())
}

fn rounded(value: f64, decimals: usize) -> f64 {
    let scale = 10_f64.powi(decimals as i32);
    (value * scale).round() / scale
}

/// The same, not beyond the ends of a range that holds the value.
fn rounded_inside(value: f64, decimals: usize, [low, high]: [f64; 2]) -> f64 {
    let near = rounded(value, decimals);
    let unit = 10_f64.powi(-(decimals as i32));
    let inside = match () {
        () if near < low && value >= low => rounded(near + unit, decimals),
        () if near > high && value <= high => rounded(near - unit, decimals),
        () => near,
    };
    // No minus before a nought.
    if inside == 0.0 { 0.0 } else { inside }
}

/// Decimals of the shortest decimal number that is this value.
fn decimals_of(value: f64) -> usize {
    value.to_string().split_once('.').map_or(0, |(_, after)| after.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(values: Vec<f64>) -> Cause {
        Cause {
            family: String::new(),
            what: "the pin".to_owned(),
            told: Wording::Plain("mm"),
            measure: String::new(),
            reading: String::new(),
            chance: Chance::StatedRange,
            prior: Prior::Even,
            values,
            nominal: None,
            pairs: false,
            more_than: None,
            typed: Typed::Nothing,
            apply: Box::new(|setting, _| Some(setting.clone())),
        }
    }

    #[test]
    fn a_value_is_told_as_finely_as_its_likely_range_needs() {
        let pin = of(vec![1.0, 4.0]);
        // The likely range is a tenth wide: hundredths.
        assert_eq!(pin.rounded(2.6613, [2.62, 2.71]), 2.66);
        assert_eq!(pin.with_value(2.66), "the pin 2.66 mm");
        assert_eq!(pin.range_in_words([2.621, 2.709]), "2.62 to 2.71 mm");
        // Two millimetres wide: tenths are enough, and a whole number keeps one.
        assert_eq!(pin.rounded(3.04, [2.0, 4.0]), 3.0);
        assert_eq!(pin.with_value(3.0), "the pin 3.0 mm");
        assert_eq!(pin.rounded(2.6613, [2.661, 2.662]), 2.661);
        assert_eq!(pin.range_in_words([2.37, 2.407]), "2.37 to 2.41 mm");
    }

    #[test]
    fn a_rounded_value_stays_within_what_is_considered() {
        let offset = of(vec![-15.19, 15.19]);
        assert_eq!(offset.rounded(15.19, [14.0, 15.19]), 15.1);
        assert_eq!(offset.rounded(-15.19, [-15.19, -14.0]), -15.1);
        assert_eq!(offset.range_in_words([14.0, 15.19]), "14.0 to 15.1 mm");
        // And within what is likely, where half a unit lies outside.
        assert_eq!(offset.rounded(2.46, [2.44, 2.64]), 2.5);
        assert_eq!(offset.rounded(2.449, [2.448, 2.66]), 2.5);
        assert!(offset.rounded(-0.01, [-1.0, 1.0]).is_sign_positive());
    }
}

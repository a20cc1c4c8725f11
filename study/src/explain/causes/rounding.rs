//! Values as finely as they are told: as a caliper reads them, and no finer than their likely range.

use super::Cause;
use crate::model::quantity::Dimension;

/// Most decimals of a value where one of so few is likely: a caliper reads no finer.
const CALIPER: usize = 2;
/// Most decimals where no value of so few is likely.
const FINEST: usize = 3;
/// The last digit of a value is at most this part of its likely range.
const TOLD_APART: f64 = 0.5;

/// The unit of a cause's value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// The base unit of what a key measures; none for a ratio.
    Of(Dimension),
    /// Percent more than entered.
    Percent,
}

/// What kind of value a cause has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ValueKind {
    /// None: the cause is there or not.
    Nothing,
    /// A plain number.
    Plain(Unit),
    /// A number that counts from what was entered or from the middle: to the gate is positive.
    Signed(Unit),
    /// The offset of the upper load, mm, and that of the lower one, which is what is missing to a sum.
    Diagonal {
        /// Upper and lower offset together, mm.
        sum_mm: f64,
    },
}

/// A value to so many decimals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rounded {
    /// The value.
    pub value: f64,
    /// The decimals that it deserves.
    pub decimals: usize,
}

/// A range to so many decimals, rounded outward as far as it stays within what is considered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoundedRange {
    /// Its ends, the lower one first.
    pub ends: [f64; 2],
    /// The decimals that they deserve.
    pub decimals: usize,
}

impl Cause {
    /// Whether it has a value that can be told.
    pub fn has_value(&self) -> bool {
        self.told != ValueKind::Nothing
    }

    /// A value to as many decimals as it has, up to [`FINEST`].
    fn as_fine_as_it_is(&self, value: f64) -> Rounded {
        Rounded { value, decimals: self.fine().max(decimals_of(value).min(FINEST)) }
    }

    /// A value as it is told, and for loads that lie diagonally that of the lower one; none where it has none.
    pub fn told_values(&self, value: f64) -> Vec<Rounded> {
        match self.told {
            ValueKind::Nothing => Vec::new(),
            ValueKind::Plain(_) | ValueKind::Signed(_) => vec![self.as_fine_as_it_is(value)],
            ValueKind::Diagonal { sum_mm } => {
                [value, sum_mm - value].map(|mm| self.as_fine_as_it_is(mm)).to_vec()
            }
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

    /// A likely range as it is told, and for loads that lie diagonally that of the lower one; none where it has no value.
    pub fn told_ranges(&self, range: [f64; 2]) -> Vec<RoundedRange> {
        let decimals = self.decimals(range);
        let own = between(range, decimals, self.ends());
        match self.told {
            ValueKind::Nothing => Vec::new(),
            ValueKind::Plain(_) | ValueKind::Signed(_) => vec![own],
            ValueKind::Diagonal { sum_mm } => {
                let lower = |[low, high]: [f64; 2]| [sum_mm - high, sum_mm - low];
                vec![own, between(lower(range), decimals, lower(self.ends()))]
            }
        }
    }

    /// All that is considered, as a range is told.
    pub fn told_bounds(&self) -> Vec<RoundedRange> {
        self.told_ranges(self.ends())
    }

    /// A likely range beside that of another cause, each whatever the other is: as finely as the values of a pair.
    pub fn told_range_beside_another(&self, range: [f64; 2]) -> Vec<RoundedRange> {
        if !self.has_value() {
            return Vec::new();
        }
        vec![between(range, CALIPER.min(self.fine() + 1), self.ends())]
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

fn between([low, high]: [f64; 2], decimals: usize, [least, most]: [f64; 2]) -> RoundedRange {
    let half = 0.5 * 10_f64.powi(-(decimals as i32)) - 1e-9;
    let outward = [(low, low - half), (high, high + half)];
    let ends = outward.map(|(end, beyond)| {
        let told = rounded(beyond, decimals);
        if (least..=most).contains(&told) { told } else { rounded_inside(end, decimals, [least, most]) }
    });
    RoundedRange { ends, decimals }
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
    // No minus before a zero.
    if inside == 0.0 { 0.0 } else { inside }
}

/// Decimals of the shortest decimal number that is this value.
fn decimals_of(value: f64) -> usize {
    value.to_string().split_once('.').map_or(0, |(_, after)| after.len())
}

#[cfg(test)]
mod tests {
    use super::super::{CauseOf, Chance, Typed};
    use super::*;
    use solver::causes::Prior;

    fn of(values: Vec<f64>) -> Cause {
        Cause {
            of: CauseOf::SoftPins,
            told: ValueKind::Plain(Unit::Of(Dimension::Length)),
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
        let range = |range| pin.told_ranges(range)[0];
        // The likely range is a tenth wide: hundredths.
        assert_eq!(pin.rounded(2.6613, [2.62, 2.71]), 2.66);
        assert_eq!(pin.told_values(2.66), [Rounded { value: 2.66, decimals: 2 }]);
        assert_eq!(range([2.621, 2.709]), RoundedRange { ends: [2.62, 2.71], decimals: 2 });
        // Two millimetres wide: tenths are enough, and a whole number keeps one.
        assert_eq!(pin.rounded(3.04, [2.0, 4.0]), 3.0);
        assert_eq!(pin.told_values(3.0), [Rounded { value: 3.0, decimals: 1 }]);
        assert_eq!(pin.rounded(2.6613, [2.661, 2.662]), 2.661);
        assert_eq!(range([2.37, 2.407]), RoundedRange { ends: [2.37, 2.41], decimals: 2 });
    }

    #[test]
    fn a_rounded_value_stays_within_what_is_considered() {
        let offset = of(vec![-15.19, 15.19]);
        assert_eq!(offset.rounded(15.19, [14.0, 15.19]), 15.1);
        assert_eq!(offset.rounded(-15.19, [-15.19, -14.0]), -15.1);
        assert_eq!(offset.told_ranges([14.0, 15.19])[0], RoundedRange { ends: [14.0, 15.1], decimals: 1 });
        // And within what is likely, where half a unit lies outside.
        assert_eq!(offset.rounded(2.46, [2.44, 2.64]), 2.5);
        assert_eq!(offset.rounded(2.449, [2.448, 2.66]), 2.5);
        assert!(offset.rounded(-0.01, [-1.0, 1.0]).is_sign_positive());
    }

    #[test]
    fn of_loads_that_lie_diagonally_the_lower_has_a_value_and_a_range_of_its_own() {
        let mut diagonal = of(vec![-8.0, 6.0]);
        diagonal.told = ValueKind::Diagonal { sum_mm: -2.0 };
        assert_eq!(diagonal.told_values(3.5).iter().map(|v| v.value).collect::<Vec<_>>(), [3.5, -5.5]);
        let ranges = diagonal.told_ranges([2.0, 4.0]);
        assert_eq!([ranges[0].ends, ranges[1].ends], [[2.0, 4.0], [-6.0, -4.0]]);
        diagonal.told = ValueKind::Nothing;
        assert!(diagonal.told_values(3.5).is_empty() && diagonal.told_ranges([2.0, 4.0]).is_empty());
    }
}

//! Varied keys and their values in words.

use crate::keys::naming::varied_in_words;
use crate::numbers::plain;
use study::sweep::{Values, Varied};

/// Numbers in no order are told one by one up to so many.
const MOST_LISTED: usize = 8;

/// A varied key in words, without its table and unit: `notch depth`.
#[must_use]
pub fn key(varied: &Varied) -> String {
    varied_in_words(&varied.key.path(), varied.dimension())
}

/// A varied key in words, with its unit after a comma: `notch depth, mm`.
#[must_use]
pub fn heading(varied: &Varied) -> String {
    match varied.unit() {
        "" => key(varied),
        unit => format!("{}, {unit}", key(varied)),
    }
}

/// A value for people, with its unit: `4.125 mm`. As it is up to four decimals; one that goes on, such as a third, with
/// three digits of the step between its neighbours.
#[must_use]
pub fn value(of: &Values, at: usize) -> String {
    match of {
        Values::Numbers { values, dimension } => {
            let (low, high) = values.iter().fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(*v), b.max(*v)));
            let step = (high - low) / (values.len() - 1).max(1) as f64;
            let to = |fine: f64| (values[at] / fine).round() * fine;
            let exact = (to(1e-4) - values[at]).abs() <= 1e-9 * values[at].abs();
            let fine = 10.0_f64.powf((0.01 * step).log10().floor());
            // A typed value is told as it was typed.
            let typed = plain(values[at]).len() <= plain(to(fine)).len();
            let value = if exact || typed { values[at] } else { to(fine) };
            format!("{} {}", plain(value), dimension.base_unit()).trim_end().to_owned()
        }
        Values::Words(words) => words[at].clone(),
    }
}

/// A value without its unit.
pub(super) fn bare(of: &Values, at: usize) -> String {
    match of {
        Values::Numbers { dimension, .. } => {
            let told = value(of, at);
            told.strip_suffix(dimension.base_unit()).unwrap_or(&told).trim_end().to_owned()
        }
        Values::Words(words) => words[at].clone(),
    }
}

/// All values in words: `2.5 to 9 mm`, `closed, open`; numbers in no order as they stand, or from least to most.
#[must_use]
pub fn in_words(of: &Values) -> String {
    let Some(last) = of.len().checked_sub(1) else { return String::new() };
    if of.is_in_order() {
        return format!("{} to {}", bare(of, 0), value(of, last));
    }
    let listed = |all: std::ops::Range<usize>| all.map(|at| bare(of, at)).collect::<Vec<_>>().join(", ");
    match of.numbers() {
        Some(values) if values.len() > MOST_LISTED => {
            let by_size = |a: &usize, b: &usize| values[*a].total_cmp(&values[*b]);
            let (least, most) = ((0..=last).min_by(by_size), (0..=last).max_by(by_size));
            format!("{} to {} in a list", bare(of, least.unwrap_or(0)), value(of, most.unwrap_or(last)))
        }
        Some(_) => format!("{}, {}", listed(0..last), value(of, last)),
        None => listed(0..last + 1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use study::sweep::read;

    fn one(text: &str) -> Values {
        let (key, values) = text.split_once('=').unwrap();
        read(&[(key.to_owned(), values.to_owned())], &[]).unwrap().remove(0).values
    }

    #[test]
    fn no_value_is_rounded_into_another() {
        let told = |text, at| value(&one(text), at);
        assert_eq!(told("nose.notch_depth_mm=2,4", 1), "4 mm");
        assert_eq!(told("nose.notch_depth_mm=2..12:9", 3), "5.75 mm");
        assert_eq!(told("nose.notch_depth_mm=1..11:17", 5), "4.125 mm");
        assert_eq!(told("nose.notch_depth_mm=2..2.5:9", 1), "2.0625 mm");
        // Thirds go on for ever: three digits of the step.
        assert_eq!(told("nose.notch_depth_mm=2..9:7", 1), "3.17 mm");
        assert_eq!(told("nose.notch_depth_mm=2.5..9:40", 1), "2.667 mm");
        assert_eq!(told("rig.friction=0.1..0.2:4", 1), "0.1333");
    }

    #[test]
    fn values_are_told_in_words() {
        let told = |text| in_words(&one(text));
        assert_eq!(told("nose.notch_depth_mm=2.5..9:40"), "2.5 to 9 mm");
        assert_eq!(told("rig.both.offset_mm=15..-15:3"), "15 to -15 mm");
        assert_eq!(told("nose.notch_depth_mm=2,3,6,4"), "2, 3, 6, 4 mm");
        assert_eq!(told("rig.friction=0.3,0.1,0.2"), "0.3, 0.1, 0.2");
        assert_eq!(told("rig.load_kn=9,1,2,3,4,5,6,7,8"), "1 to 9 kN in a list");
        assert_eq!(told("rig.gate=closed,open"), "closed, open");
    }
}

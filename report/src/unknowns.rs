//! What is not known exactly: what it is, what is assumed about it, and its values.

use crate::keys::label;
use crate::letters::small;
use geometry::connector::Pin;
use solver::strength::Constant;
use study::model::keys::{self, Key};
use study::model::misfit::LoaderKind;
use study::unknowns::{
    BEYOND, Basis, CLEARANCE_MM, METAL_SCATTER, OFFSET_MM, STRAP_SCATTER, Strength, Unknown, UnknownOf,
    UnknownValue,
};

/// What it is, or its key.
#[must_use]
pub fn what(unknown: &Unknown) -> String {
    match &unknown.of {
        UnknownOf::Key(key) => key.clone(),
        UnknownOf::Strength(body) => {
            let word = body.word();
            format!("strength of the {word}'{} metal", if word.ends_with('s') { "" } else { "s" })
        }
        UnknownOf::Strap(end) => format!("strength of the {} strap", end.word()),
        UnknownOf::Place(end, kind) => {
            let kind = match kind {
                LoaderKind::Strap => "strap",
                LoaderKind::Bar => "bench bar",
            };
            format!("where the {} {kind} lies", end.word())
        }
        UnknownOf::Clearance(Pin::Nose) => "clearance of the nose pin".to_owned(),
        UnknownOf::Clearance(Pin::Hinge) => "clearance of the hinge pin".to_owned(),
        UnknownOf::Constant(of) => constant(*of).to_owned(),
        UnknownOf::Beyond => "load cell, bench, and what the model leaves out".to_owned(),
    }
}

/// What it is, in a sentence: a key by its name.
#[must_use]
pub fn in_a_sentence(unknown: &Unknown) -> String {
    if unknown.basis == Basis::Calibrated {
        return "the constants, as the calibration leaves them".to_owned();
    }
    let UnknownOf::Key(path) = &unknown.of else { return what(unknown) };
    // Of the corners each has its number behind its key.
    let (path, number) = path.split_once('[').map_or((path.as_str(), ""), |(path, n)| (path, n));
    let name = keys::find(path).map_or_else(|| path.to_owned(), |key| small(&label(key)));
    match number.trim_end_matches(']') {
        "" => name,
        number => format!("{name} {number}"),
    }
}

/// From where to where it is varied, in a sentence: with the unit of a key once.
#[must_use]
pub fn from_to(unknown: &Unknown, [low, high]: [f64; 2]) -> String {
    let unit = match &unknown.of {
        UnknownOf::Key(path) => keys::find(path.split('[').next().unwrap_or(path)).map_or("", Key::unit),
        _ => "",
    };
    if unknown.basis == Basis::Calibrated {
        return "all of them together".to_owned();
    }
    let ends = format!("{} to {}", value(unknown, low), value(unknown, high));
    match unknown.value(high) {
        UnknownValue::Number(_) => format!("{ends} {unit}").trim_end().to_owned(),
        _ => ends,
    }
}

/// What is assumed about it; `None` where the model states its range.
#[must_use]
pub fn assumed(unknown: &Unknown) -> Option<String> {
    let what = what(unknown);
    let percent = |part: f64| 100.0 * part;
    match (unknown.basis, &unknown.of) {
        (Basis::Stated | Basis::Calibrated, _) | (Basis::Assumed, UnknownOf::Key(_)) => None,
        (Basis::UnknownMetal(metal), _) => Some(format!(
            "{what}: anything in the range of {}, yield, ultimate and shear together",
            metal.name
        )),
        (Basis::Assumed, UnknownOf::Strength(_)) => Some(format!(
            "{what}: coefficient of variation {} %, yield, ultimate and shear together; engineering judgement",
            percent(METAL_SCATTER)
        )),
        (Basis::Assumed, UnknownOf::Strap(_)) => Some(format!(
            "{what}: coefficient of variation {} %; engineering judgement",
            percent(STRAP_SCATTER)
        )),
        (Basis::Assumed, UnknownOf::Place(..)) => Some(format!(
            "{what}: {OFFSET_MM} mm more or less, as far as its seat lets it; common practice, no source"
        )),
        (Basis::Assumed, UnknownOf::Clearance(_)) => Some(format!(
            "{what}: {CLEARANCE_MM} mm more or less, never below none; common practice, no source"
        )),
        (Basis::Assumed, UnknownOf::Constant(Constant::Press)) => Some(format!(
            "{what} on lip and lugs: anything from a narrow patch over a pin that has bedded in, which is used, to one that \
             has bedded in deeply; engineering judgement"
        )),
        (Basis::Assumed, UnknownOf::Constant(Constant::Flow)) => Some(format!(
            "{what}: anything from yield to ultimate, their mean is used; engineering judgement"
        )),
        (Basis::Assumed, UnknownOf::Constant(_)) => None,
        (Basis::Assumed, UnknownOf::Beyond) => {
            Some(format!("{what}: coefficient of variation {} %; engineering judgement", percent(BEYOND)))
        }
    }
}

/// A constant that all pulls share.
#[must_use]
pub fn constant(of: Constant) -> &'static str {
    match of {
        Constant::Lip => "strength of the lip",
        Constant::Pins => "strength of the pins",
        Constant::Friction => "friction",
        Constant::Strength => "strength of frame and gate",
        Constant::Flow => "flow stress",
        Constant::Press => "how wide the pins press",
    }
}

/// A value of it: in the unit of its key where it has one.
#[must_use]
pub fn value(unknown: &Unknown, value: f64) -> String {
    match unknown.value(value) {
        UnknownValue::Number(number) => short(number),
        UnknownValue::OfHalfRanges(part) if part <= -1.0 => "low ends".to_owned(),
        UnknownValue::OfHalfRanges(part) if part >= 1.0 => "high ends".to_owned(),
        UnknownValue::OfHalfRanges(part) => format!("{:+.0} % of their half ranges", 100.0 * part),
        UnknownValue::OfHalfRange(part) if part <= -1.0 => "low end".to_owned(),
        UnknownValue::OfHalfRange(part) if part >= 1.0 => "high end".to_owned(),
        UnknownValue::OfHalfRange(part) => format!("{:+.0} % of its half range", 100.0 * part),
        UnknownValue::Factor(factor) => format!("{:+.0} %", 100.0 * (factor - 1.0)),
        UnknownValue::Offset(mm) => format!("{mm:+.1} mm"),
        UnknownValue::Length(mm) => format!("{} mm", short(mm)),
        UnknownValue::Flow(part) if part <= 0.0 => "yield".to_owned(),
        UnknownValue::Flow(part) if part >= 1.0 => "ultimate".to_owned(),
        UnknownValue::Flow(part) => format!("{:.0} % of the way from yield to ultimate", 100.0 * part),
        UnknownValue::Press(part) if part < 0.0 => "a narrow patch".to_owned(),
        UnknownValue::Press(part) if part > 0.0 => "bedded in deeply".to_owned(),
        UnknownValue::Press(_) => "bedded in".to_owned(),
    }
}

/// A strength of a metal.
#[must_use]
pub fn strength(strength: Strength) -> &'static str {
    match strength {
        Strength::Yield => "yield strength",
        Strength::Ultimate => "ultimate strength",
        Strength::Shear => "shear strength",
    }
}

/// To thousandths at most, without zeros at its end.
fn short(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use study::model::Source;
    use study::unknowns::unknowns;

    #[test]
    fn every_unknown_says_what_it_is_and_what_is_assumed() {
        const BASE: &str = include_str!("../../study/src/model/tests/base.toml");
        let sets = [
            ("rig.upper.strap_strength_kn".to_owned(), "20".to_owned()),
            ("material.gate".to_owned(), "unknown-aluminium".to_owned()),
            ("nose.notch_depth_mm".to_owned(), "{ between = [5.8, 6.2] }".to_owned()),
        ];
        let all = unknowns(&Source::of("base.toml", BASE).model(&sets).unwrap());
        let told: Vec<String> = all.iter().map(what).collect();
        assert_eq!(
            told,
            [
                "nose.notch_depth_mm",
                "strength of the frame's metal",
                "strength of the gate's metal",
                "strength of the pins' metal",
                "strength of the upper strap",
                "where the upper strap lies",
                "where the lower strap lies",
                "clearance of the nose pin",
                "clearance of the hinge pin",
                "how wide the pins press",
                "flow stress",
            ]
        );
        assert_eq!(assumed(&all[0]), None);
        assert_eq!((value(&all[0], 1.0), value(&all[0], 0.0)), ("6.2".to_owned(), "6".to_owned()));
        assert!(all[1..].iter().all(|unknown| {
            assumed(unknown).is_some_and(|sentence| sentence.starts_with(&what(unknown)))
        }));
        assert_eq!(
            assumed(&all[4]).unwrap(),
            "strength of the upper strap: coefficient of variation 5 %; engineering judgement"
        );
        assert_eq!([value(&all[1], 0.92), value(&all[2], 0.5)], ["-8 %", "+50 % of its half range"]);
        assert_eq!([value(&all[5], -2.0), value(&all[7], 0.1)], ["-2.0 mm", "0.1 mm"]);
        assert_eq!([value(&all[9], -1.0), value(&all[10], 1.0)], ["a narrow patch", "ultimate"]);
    }
}

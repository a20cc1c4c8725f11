//! What may differ from what was entered: what it is, its value, its likely values, and what to measure.

use crate::keys::naming::key_in_words;
use crate::locations::corner_of_window;
use crate::numbers::{kilonewtons, kilonewtons_alone};
use crate::unknowns::strength;
use geometry::outline::Corner;
use solver::causes::Observed;
use study::explain::{
    CauseOf, Difference, Differs, Family, KeyValue, Kind, Loads, Miss, Moved, RankedCause, Rounded,
    RoundedRange, SetKey, Size, Stated, Stood, Unit, ValueKind,
};

/// The name of a kind of cause, alone or with both loads off their place.
#[must_use]
pub fn family(family: &Family) -> String {
    let kind = match &family.kind {
        Kind::AsEntered => "as entered".to_owned(),
        Kind::Offset => "offset".to_owned(),
        Kind::GateOpen => "gate open".to_owned(),
        Kind::GateShut => "gate shut".to_owned(),
        Kind::GateOpenAndOffset => "gate open, offset".to_owned(),
        Kind::GateShutAndOffset => "gate shut, offset".to_owned(),
        Kind::GateHalfShut => "gate half shut".to_owned(),
        Kind::Alloy(body) => format!("alloy of the {}", body.word()),
        Kind::Lot(body) => format!("strength of the {}", body.word()),
        Kind::SoftPins => "soft pins".to_owned(),
        Kind::Strength(body) => format!("material.{}", body.word()),
        Kind::Key(key) => key.clone(),
    };
    if family.with_offset { format!("{kind} and offset") } else { kind }
}

/// One load and both of them.
const fn loads_of(loads: Loads) -> [&'static str; 2] {
    match loads {
        Loads::Straps => ["strap", "straps"],
        Loads::Mixed => ["load", "loads"],
    }
}

/// What differs, before its value.
fn what(of: &CauseOf) -> String {
    match of {
        CauseOf::Offset(moved, loads) => {
            let [one, both] = loads_of(*loads);
            match moved {
                Moved::Both => format!("both {both} at"),
                Moved::Upper => format!("the upper {one} at"),
                Moved::Lower => format!("the lower {one} at"),
                Moved::Diagonal => format!("the {both} placed diagonally, the upper at"),
            }
        }
        CauseOf::Gate(stood, None) => match stood {
            Stood::Open => "the gate was open".to_owned(),
            Stood::Shut => "the gate was shut".to_owned(),
        },
        CauseOf::Gate(stood, Some(loads)) => {
            let [gate, offset] = [CauseOf::Gate(*stood, None), CauseOf::Offset(Moved::Both, *loads)];
            format!("{}, and {}", what(&gate), what(&offset))
        }
        CauseOf::Engaged { as_entered: true } => "the gate engaged".to_owned(),
        CauseOf::Engaged { as_entered: false } => "the gate half shut, engaged".to_owned(),
        CauseOf::Alloy(body, metal) => format!("the {} of {}", body.word(), metal.name),
        CauseOf::Lot(body) => format!("the strength of the {} changed by", body.word()),
        CauseOf::SoftPins => "soft pins, their strength changed by".to_owned(),
        CauseOf::Off(size) => match size {
            Size::LipHeight => "the lip's height",
            Size::LipBreadth => "the lip's breadth",
            Size::NotchDepth => "the depth of the notch",
            Size::NosePin => "the nose pin's diameter",
            Size::HingePin => "the hinge pin's diameter",
            Size::NoseClearance => "the clearance in the notch",
            Size::HingeClearance => "the clearance in the hinge",
        }
        .to_owned(),
        CauseOf::FarOff(Size::LipHeight) => "a far lower lip, its height".to_owned(),
        CauseOf::FarOff(Size::LipBreadth) => "a far narrower lip, its breadth".to_owned(),
        CauseOf::FarOff(_) => "a shallower notch, its lip further off, depth".to_owned(),
        CauseOf::Stated(Stated::Strength(body, which)) => {
            format!("the {} of the {}", strength(*which), body.word())
        }
        CauseOf::Stated(Stated::Corner(corner)) => {
            let corners = [Corner::UpperSpine, Corner::UpperGate, Corner::LowerGate, Corner::LowerSpine];
            let corner = corners.get(*corner).map_or("corner", |at| corner_of_window(*at));
            format!("the window's {corner} radius")
        }
        CauseOf::Stated(Stated::Key(key)) => match key.as_str() {
            "rig.engaged_mm" => "the gate half shut, engaged".to_owned(),
            key => format!("the {}", key_in_words(key)),
        },
    }
}

/// What to measure.
fn measure(of: &CauseOf) -> String {
    match of {
        CauseOf::Offset(moved, loads) => {
            let [one, _] = loads_of(*loads);
            match moved {
                Moved::Both => format!("the offset of both {one} marks on the bars"),
                Moved::Upper => format!("the offset of the upper {one} mark on its bar"),
                Moved::Lower => format!("the offset of the lower {one} mark on its bar"),
                Moved::Diagonal => format!("the offsets of both {one} marks"),
            }
        }
        CauseOf::Gate(stood, None) => match stood {
            Stood::Open => "the pin's mark in the notch: none at all".to_owned(),
            Stood::Shut => "the pin's mark in the notch: at its closed end".to_owned(),
        },
        CauseOf::Gate(stood, Some(loads)) => {
            let [gate, offset] = [CauseOf::Gate(*stood, None), CauseOf::Offset(Moved::Both, *loads)];
            format!("{}; and {}", measure(&gate), measure(&offset))
        }
        CauseOf::Engaged { .. } => "how far inside the mouth the pin's mark on the lip ends".to_owned(),
        CauseOf::Alloy(body, metal) => format!("the hardness of the {}: that of {}", body.word(), metal.name),
        CauseOf::Lot(body) | CauseOf::Stated(Stated::Strength(body, _)) => {
            format!("the hardness of the {}", body.word())
        }
        CauseOf::SoftPins => "the hardness of the pins".to_owned(),
        CauseOf::Off(size) | CauseOf::FarOff(size) => match size {
            Size::LipHeight => "the height of the lip",
            Size::LipBreadth => "the breadth of the lip",
            Size::NotchDepth => "the depth of the notch",
            Size::NosePin => "the diameter of the nose pin",
            Size::HingePin => "the diameter of the hinge pin",
            Size::NoseClearance => {
                "the clearance of the nose pin in its notch (half of how much wider it is)"
            }
            Size::HingeClearance => {
                "the clearance of the hinge pin in its hole (half of how much wider it is)"
            }
        }
        .to_owned(),
        CauseOf::Stated(_) => what(of),
    }
}

/// What the reading of a measure is called, before its value; `None` where the value says it all.
fn reading(of: &CauseOf) -> Option<&'static str> {
    match of {
        CauseOf::Lot(_) | CauseOf::SoftPins => Some("a strength changed by"),
        CauseOf::Stated(Stated::Strength(_, which)) => Some(strength(*which)),
        _ => None,
    }
}

fn unit(unit: Unit) -> &'static str {
    match unit {
        Unit::Of(dimension) => dimension.base_unit(),
        Unit::Percent => "%",
    }
}

/// The unit of a kind of value, and whether its sign is told.
fn told_as(kind: ValueKind) -> (&'static str, bool) {
    match kind {
        ValueKind::Nothing => ("", false),
        ValueKind::Plain(of) => (unit(of), false),
        ValueKind::Signed(of) => (unit(of), true),
        ValueKind::Diagonal { .. } => ("mm", true),
    }
}

/// A number, with its sign where that is told.
fn number(value: f64, decimals: usize, signed: bool) -> String {
    if !signed {
        return format!("{value:.decimals$}");
    }
    let sign = if value < 0.0 { "-" } else { "+" };
    format!("{sign}{:.decimals$}", value.abs())
}

fn with_unit(number: &str, unit: &str) -> String {
    if unit.is_empty() { number.to_owned() } else { format!("{number} {unit}") }
}

fn value(kind: ValueKind, Rounded { value, decimals }: Rounded) -> String {
    let (unit, signed) = told_as(kind);
    with_unit(&number(value, decimals, signed), unit)
}

fn range(kind: ValueKind, RoundedRange { ends, decimals }: RoundedRange) -> String {
    let (unit, signed) = told_as(kind);
    let [low, high] = ends.map(|end| number(end, decimals, signed));
    with_unit(&if low == high { low } else { format!("{low} to {high}") }, unit)
}

/// What differs, with its value.
fn with_value(differs: &Differs) -> String {
    let what = what(&differs.of);
    match differs.values.as_slice() {
        [] => what,
        [one] => format!("{what} {}", value(differs.told, *one)),
        [upper, lower, ..] => {
            let [upper, lower] = [upper, lower].map(|v| value(differs.told, *v));
            format!("{what} {upper} and the lower at {lower}")
        }
    }
}

/// What a difference is, with its most likely value; `friction_needed` where straps would need more than holds them, beside the
/// `friction` entered.
#[must_use]
pub fn cause(
    difference: &Difference,
    friction_needed: Option<f64>,
    friction: f64,
    broke_at_kn: f64,
) -> String {
    let mut words = match difference {
        Difference::AsEntered => return "everything as entered".to_owned(),
        Difference::AsForecast([low, high]) => {
            let open = if (*low..=*high).contains(&broke_at_kn) {
                "by what its forecast leaves open"
            } else {
                "a rare pull outside the 90 % range of its forecast"
            };
            return format!(
                "everything as entered, {open}, {} to {}",
                kilonewtons_alone(*low),
                kilonewtons(*high)
            );
        }
        Difference::One(differs) => with_value(differs),
        Difference::WithOffset(differs, offset) => {
            format!("{}, and {}", with_value(differs), with_value(offset))
        }
    };
    if let Some(needed) = friction_needed {
        words.push_str(&format!(
            ", where straps stay only by a friction of {needed:.2}, not the {friction:.2} entered"
        ));
    }
    words
}

/// By how much a load misses the one that was measured, and why; empty where it hardly does, or by nothing as loads are told.
#[must_use]
pub fn misses(line: &RankedCause, observed: &Observed) -> String {
    let Some(miss) = &line.miss else { return String::new() };
    let off = line.peak_kn - observed.broke_at_kn;
    let by = kilonewtons(off.abs());
    if by == kilonewtons(0.0) {
        return String::new();
    }
    let more = if off > 0.0 { "more" } else { "less" };
    let there = if observed.place.is_some() { " that breaks there" } else { "" };
    let why = match (miss, &line.difference) {
        (Miss::NoValue, _) => "it has no value that could lie nearer".to_owned(),
        (Miss::Friction, _) => {
            "nearer values would need more friction than may be relied on to keep their straps".to_owned()
        }
        (Miss::Rarer, _) => "values that would come nearer are rarer".to_owned(),
        (Miss::Scatter, _) => format!(
            "a load may scatter by {:.0} % (one standard deviation); nearer values are considered as well",
            100.0 * observed.judgement.scatter
        ),
        (Miss::Bounds(bounds), difference) => {
            let considered = match (difference, bounds.as_slice()) {
                (Difference::WithOffset(..), _) => "both".to_owned(),
                (Difference::One(differs), [bounds, ..]) => format!("it, {}", range(differs.told, *bounds)),
                _ => "it".to_owned(),
            };
            let nearer = 100.0 * Miss::TOLD * observed.judgement.scatter;
            format!(
                "nothing{there} comes nearer by more than {nearer:.1} % of the load within what is considered for {considered}"
            )
        }
    };
    format!("{by} {more} than measured: {why}")
}

/// The likely values of a difference; empty where it has none.
#[must_use]
pub fn likely(difference: &Difference) -> String {
    match difference {
        Difference::AsEntered | Difference::AsForecast(_) => String::new(),
        Difference::One(differs) => match differs.likely.as_slice() {
            [] => String::new(),
            [one] => range(differs.told, *one),
            [upper, lower, ..] => {
                let [upper, lower] = [upper, lower].map(|r| range(differs.told, *r));
                format!("the upper at {upper}, the lower at {lower}")
            }
        },
        Difference::WithOffset(differs, offset) => {
            let told = [differs, offset].into_iter().filter_map(|d| {
                d.likely.first().map(|likely| format!("{} {}", what(&d.of), range(d.told, *likely)))
            });
            told.collect::<Vec<_>>().join(", ")
        }
    }
}

/// What to measure, and which reading would speak for a difference; empty for none.
#[must_use]
pub fn measures(difference: &Difference) -> String {
    match difference {
        Difference::AsEntered | Difference::AsForecast(_) => String::new(),
        Difference::WithOffset(differs, offset) => {
            format!("{}, and {}", measure(&differs.of), measure(&offset.of))
        }
        Difference::One(differs) => {
            let (measure, likely) = (measure(&differs.of), likely(difference));
            match reading(&differs.of) {
                _ if likely.is_empty() => measure,
                None => format!("{measure}: {likely}"),
                Some(reading) => format!("{measure}: {reading} {likely}"),
            }
        }
    }
}

/// A key with its value, as after `--set`.
#[must_use]
pub fn set(set: &SetKey) -> String {
    match set.value {
        KeyValue::Number(number) => format!("{}={number}", set.key),
        KeyValue::Word(word) => format!("{}={word}", set.key),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use study::model::quantity::Dimension;

    fn pin(values: Vec<Rounded>, likely: Vec<RoundedRange>) -> Differs {
        let (of, told) = (CauseOf::Off(Size::NosePin), ValueKind::Plain(Unit::Of(Dimension::Length)));
        Differs { of, told, values, likely }
    }

    #[test]
    fn a_value_has_its_decimals_and_unit_and_a_range_that_is_one_value_is_told_as_one() {
        let range = |low, high, decimals| vec![RoundedRange { ends: [low, high], decimals }];
        let value = |value, decimals| vec![Rounded { value, decimals }];
        let told = |d: &Difference| [cause(d, None, 0.2, 14.0), likely(d), measures(d)];
        assert_eq!(
            told(&Difference::One(pin(value(3.0, 1), range(2.62, 2.71, 2)))),
            [
                "the nose pin's diameter 3.0 mm",
                "2.62 to 2.71 mm",
                "the diameter of the nose pin: 2.62 to 2.71 mm"
            ]
        );
        let one = pin(value(2.0, 1), range(2.0, 2.04, 1));
        assert_eq!(likely(&Difference::One(one.clone())), "2.0 mm");
        let offset = Differs {
            of: CauseOf::Offset(Moved::Both, Loads::Straps),
            told: ValueKind::Signed(Unit::Of(Dimension::Length)),
            values: value(-3.5, 1),
            likely: range(-4.0, 0.0, 1),
        };
        assert_eq!(
            told(&Difference::WithOffset(one, offset)),
            [
                "the nose pin's diameter 2.0 mm, and both straps at -3.5 mm",
                "the nose pin's diameter 2.0 mm, both straps at -4.0 to +0.0 mm",
                "the diameter of the nose pin, and the offset of both strap marks on the bars"
            ]
        );
    }

    #[test]
    fn a_stated_key_is_told_by_its_words_with_its_unit_if_it_has_one() {
        let told = |key: &str, dimension, value| {
            let of = CauseOf::Stated(Stated::Key(key.to_owned()));
            let values = vec![Rounded { value, decimals: 2 }];
            let told = ValueKind::Plain(Unit::Of(dimension));
            with_value(&Differs { of, told, values, likely: Vec::new() })
        };
        assert_eq!(told("nose.notch_depth_mm", Dimension::Length, 6.25), "the notch depth 6.25 mm");
        assert_eq!(told("rig.upper.offset_mm", Dimension::Length, 1.0), "the upper offset 1.00 mm");
        assert_eq!(told("rig.friction", Dimension::Ratio, 0.2), "the friction 0.20");
        assert_eq!(told("rig.engaged_mm", Dimension::Length, 2.0), "the gate half shut, engaged 2.00 mm");
    }

    #[test]
    fn keys_are_told_as_they_are_set() {
        let of = |key: &str, value| set(&SetKey { key: key.to_owned(), value });
        assert_eq!(of("rig.lower.offset_mm", KeyValue::Number(-0.3)), "rig.lower.offset_mm=-0.3");
        assert_eq!(of("rig.gate", KeyValue::Word("half")), "rig.gate=half");
    }
}

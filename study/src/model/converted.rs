//! What a caliper read, turned into the values that the outline is drawn from.

use super::checked::Converted;
use super::keys::{self, Kind};
use super::misfit::Misfit;
use super::mistake::Problem;
use super::raw::Place;
use super::reader::Reader;
use geometry::caliper::{Asked, Measure, Unread, connector_reading};
use geometry::connector::Connector;

/// What each key reads.
const MEASURES: [(&str, Measure); 6] = [
    ("window.overall_length_mm", Measure::OverallLength),
    ("window.clear_length_mm", Measure::ClearLength),
    ("window.upper_over_all_mm", Measure::UpperOverAll),
    ("window.lower_over_all_mm", Measure::LowerOverAll),
    ("nose.tip_over_bar_mm", Measure::TipOverBar),
    ("hinge.pin_to_pin_mm", Measure::PinToPin),
];

/// Decimals of a millimetre that are kept: what is solved to more is noise, and a value that was round is so again.
const DECIMALS: f64 = 1e12;

/// Reads a value, or what stands in its place: that is noted in `converted`, and the value is not yet a number. `None` where
/// neither is given; not-a-number where a mistake was reported.
pub(super) fn optional(
    reader: &mut Reader,
    own: &'static str,
    converted: &mut Vec<Converted>,
) -> Option<f64> {
    let all = keys::find(own).into_iter().chain(keys::in_place_of(own));
    let given: Vec<&'static keys::Key> = all.filter(|key| reader.has(&key.path)).collect();
    let values: Vec<Option<f64>> = given.iter().map(|key| reader.optional(&key.path)).collect();
    match (given.as_slice(), values.as_slice()) {
        ([], _) => None,
        ([key], [value]) if key.path == own => *value,
        ([key], [Some(read_mm)]) => {
            converted.push(Converted { key: &key.path, read_mm: *read_mm, own, own_mm: f64::NAN });
            Some(f64::NAN)
        }
        ([first, second, ..], _) => {
            let last = |a: &Place, b: &Place| if a > b { first } else { second }.path.as_str();
            let at = last(&reader.place(&first.path), &reader.place(&second.path));
            reader.mistake(at, Problem::BothGiven([first, second]), None);
            Some(f64::NAN)
        }
        _ => Some(f64::NAN),
    }
}

/// The same of a value that must be there.
pub(super) fn required(reader: &mut Reader, own: &'static str, converted: &mut Vec<Converted>) -> f64 {
    optional(reader, own, converted).unwrap_or_else(|| {
        reader.missing(own);
        f64::NAN
    })
}

/// The connector whose outline reads what was read, once everything else is known. What no connector reads is reported, and stays
/// not-a-number. `lower_as_upper`: whether the lower end is as wide as the upper one, whatever that is.
pub(super) fn convert(
    reader: &mut Reader,
    connector: Connector,
    converted: &mut [Converted],
    lower_as_upper: bool,
) -> Connector {
    if converted.is_empty() || !reader.mistakes.is_empty() {
        return connector;
    }
    let asked: Vec<Asked> = converted.iter().filter_map(asked).collect();
    match connector_reading(&connector, &asked, lower_as_upper) {
        Ok(mut found) => {
            for one in converted {
                if let Some(value) = own_value(&mut found, one.own) {
                    *value = (*value * DECIMALS).round() / DECIMALS;
                    one.own_mm = *value;
                }
            }
            if lower_as_upper {
                found.window.lower_width_mm = found.window.upper_width_mm;
            }
            found
        }
        Err(Unread { measure, asked_mm, possible_mm, .. }) => {
            let key = MEASURES.iter().find(|(_, of)| *of == measure).map_or("", |(key, _)| *key);
            let misfit = Misfit::NoneReads { found_mm: asked_mm, possible_mm };
            reader.mistake(key, Problem::DoesNotFit(misfit), None);
            connector
        }
    }
}

fn asked(one: &Converted) -> Option<Asked> {
    let (_, measure) = MEASURES.iter().find(|(key, _)| *key == one.key)?;
    let Kind::Number { low, high, .. } = keys::find(one.own)?.kind else { return None };
    Some(Asked { measure: *measure, mm: one.read_mm, range_mm: [low, high] })
}

fn own_value<'a>(connector: &'a mut Connector, own: &str) -> Option<&'a mut f64> {
    Some(match own {
        "window.inside_length_mm" => &mut connector.window.inside_length_mm,
        "window.upper_width_mm" => &mut connector.window.upper_width_mm,
        "window.lower_width_mm" => &mut connector.window.lower_width_mm,
        "nose.tip_mm" => &mut connector.nose.tip_mm,
        "hinge.height_mm" => &mut connector.hinge.height_mm,
        _ => return None,
    })
}

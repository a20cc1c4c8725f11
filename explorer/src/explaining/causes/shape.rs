//! Dimensions and plays that the model gives without a range: they are never exact.

use super::{Apply, Cause, DIMENSION_PART, Told, steps};
use crate::model_file::Model;
use geometry::connector::Connector;
use solver::causes::Prior;

/// Machined dimensions are never exact.
const DIMENSION: f64 = 0.3;
/// Play that is other than told.
const PLAY: f64 = 0.1;
/// Largest radial play, mm.
const MOST_PLAY_MM: f64 = 0.5;
/// Least radial play that a shut gate is drawn with, mm.
const LEAST_PLAY_MM: f64 = 0.02;

/// What to measure for a dimension.
fn measure_of(key: &str) -> &'static str {
    match key {
        "nose.lip_height_mm" => "the height of the lip",
        "nose.lip_breadth_mm" => "the breadth of the lip",
        "nose.pin_clearance_mm" => "the play of the nose pin in its notch (half of how much wider it is)",
        _ => "the play of the hinge pin in its hole (half of how much wider it is)",
    }
}

pub(super) fn dimensions(model: &Model, all: &mut Vec<Cause>) {
    let stated = |key: &str| model.spreads.iter().any(|s| s.key == key);
    let nose = &model.connector.nose;
    type Pick = fn(&mut Connector) -> &mut f64;
    let lips: [(&str, &str, f64, Pick); 2] = [
        ("nose.lip_height_mm", "the lip's height", nose.lip_height_mm, |c| &mut c.nose.lip_height_mm),
        ("nose.lip_breadth_mm", "the lip's breadth", nose.lip_breadth_mm, |c| &mut c.nose.lip_breadth_mm),
    ];
    let hinge = &model.connector.hinge;
    let plays: [(&str, &str, f64, Pick); 2] = [
        ("nose.pin_clearance_mm", "the play in the notch", nose.pin_clearance_mm, |c| {
            &mut c.nose.pin_clearance_mm
        }),
        ("hinge.pin_clearance_mm", "the play in the hinge", hinge.pin_clearance_mm, |c| {
            &mut c.hinge.pin_clearance_mm
        }),
    ];
    let change = |pick: Pick| -> Apply {
        Box::new(move |setting, value| {
            let mut changed = setting.clone();
            *pick(&mut changed.connector) = value;
            Some(changed)
        })
    };
    for (key, what, nominal, pick) in lips {
        if stated(key) {
            continue;
        }
        let by = DIMENSION_PART * nominal;
        all.push(Cause {
            family: key.to_owned(),
            what: what.to_owned(),
            told: Told::Plain("mm"),
            measure: measure_of(key).to_owned(),
            chance: DIMENSION,
            prior: Prior::About { middle: nominal, spread: 0.5 * by },
            values: vec![nominal - by, nominal + by],
            nominal: Some(nominal),
            pairs: true,
            apply: change(pick),
        });
    }
    for (key, what, nominal, pick) in plays {
        if stated(key) {
            continue;
        }
        let mut values = steps(LEAST_PLAY_MM.min(nominal), MOST_PLAY_MM.max(nominal), 3);
        values.retain(|v| (v - nominal).abs() > 0.02);
        all.push(Cause {
            family: key.to_owned(),
            what: what.to_owned(),
            told: Told::Plain("mm"),
            measure: measure_of(key).to_owned(),
            chance: PLAY,
            prior: Prior::Even,
            values,
            nominal: Some(nominal),
            pairs: true,
            apply: change(pick),
        });
    }
}

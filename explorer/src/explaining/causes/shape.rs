//! Dimensions and clearances that the model gives without a range: they are never exact, and a lip may be another one than entered.

use super::{Apply, Cause, Chance, Typed, Wording, steps, steps_beside};
use geometry::connector::Connector;
use solver::forecast::Law;
use study::model::Model;
use study::unknowns::suspected;

/// Flanks of a shallower notch that are solved, in radii of the pin beyond the round end: the lip's limit rises steeply until the
/// pin has a flank to bed into, and hardly from there on.
const FLANKS: [f64; 3] = [0.2, 0.35, 0.6];
/// Values solved of a machined dimension or a clearance, and of a pin, whose range is far wider.
const FEW: u32 = 3;
const MANY: u32 = 6;

/// What to measure for a dimension.
fn measure_of(key: &str) -> &'static str {
    match key {
        "nose.lip_height_mm" => "the height of the lip",
        "nose.lip_breadth_mm" => "the breadth of the lip",
        "nose.notch_depth_mm" => "the depth of the notch",
        "nose.pin_diameter_mm" => "the diameter of the nose pin",
        "hinge.pin_diameter_mm" => "the diameter of the hinge pin",
        "nose.pin_clearance_mm" => {
            "the clearance of the nose pin in its notch (half of how much wider it is)"
        }
        _ => "the clearance of the hinge pin in its hole (half of how much wider it is)",
    }
}

pub(super) fn dimensions(model: &Model, all: &mut Vec<Cause>) {
    type Range = fn(f64) -> Law;
    let suspects: [(&str, &str, Chance, Range, Pick); 7] = [
        ("nose.lip_height_mm", "the lip's height", Chance::Dimension, suspected::dimension, |c| {
            &mut c.nose.lip_height_mm
        }),
        ("nose.lip_breadth_mm", "the lip's breadth", Chance::Dimension, suspected::dimension, |c| {
            &mut c.nose.lip_breadth_mm
        }),
        ("nose.notch_depth_mm", "the depth of the notch", Chance::Dimension, suspected::dimension, |c| {
            &mut c.nose.notch_depth_mm
        }),
        ("nose.pin_diameter_mm", "the nose pin's diameter", Chance::Pin, suspected::pin, |c| {
            &mut c.nose.pin_diameter_mm
        }),
        ("hinge.pin_diameter_mm", "the hinge pin's diameter", Chance::Pin, suspected::pin, |c| {
            &mut c.hinge.pin_diameter_mm
        }),
        (
            "nose.pin_clearance_mm",
            "the clearance in the notch",
            Chance::Clearance,
            suspected::clearance,
            |c| &mut c.nose.pin_clearance_mm,
        ),
        (
            "hinge.pin_clearance_mm",
            "the clearance in the hinge",
            Chance::Clearance,
            suspected::clearance,
            |c| &mut c.hinge.pin_clearance_mm,
        ),
    ];
    for (key, what, chance, range, pick) in suspects {
        let nominal = *pick(&mut model.connector.clone());
        let law = range(nominal);
        let count = if chance == Chance::Pin && key.ends_with("pin_diameter_mm") { MANY } else { FEW };
        let off = Off { key, what, chance, law, values: steps_beside(law, count, nominal), pick };
        all.extend(off.cause(model, Some(nominal)));
    }
}

type Pick = fn(&mut Connector) -> &mut f64;

/// A dimension that may be off.
struct Off {
    key: &'static str,
    what: &'static str,
    chance: Chance,
    law: Law,
    values: Vec<f64>,
    pick: Pick,
}

impl Off {
    /// As a cause, beside the value that was told where that is among its own; `None` where the model states a range, which has a
    /// cause of its own.
    fn cause(self, model: &Model, nominal: Option<f64>) -> Option<Cause> {
        let Self { key, what, chance, law, values, pick } = self;
        if model.spreads.iter().any(|s| s.key == key) {
            return None;
        }
        let apply: Apply = Box::new(move |setting, value| {
            let mut changed = setting.clone();
            *pick(&mut changed.connector) = value;
            Some(changed)
        });
        Some(Cause {
            family: key.to_owned(),
            what: what.to_owned(),
            told: Wording::Plain("mm"),
            measure: measure_of(key).to_owned(),
            reading: String::new(),
            chance,
            prior: law.into(),
            values,
            nominal,
            pairs: nominal.is_some(),
            more_than: None,
            typed: Typed::Value(key.to_owned()),
            apply,
        })
    }
}

/// Lips that are far from the one told, and only weaker. Each shares its family with the dimension that is a little off.
pub(super) fn far_off(model: &Model, all: &mut Vec<Cause>) {
    let lip = |key, what, pick: Pick| {
        let law = suspected::lip(*pick(&mut model.connector.clone()));
        Off { key, what, chance: Chance::FarLip, law, values: steps(law, MANY), pick }
    };
    let mut suspects = vec![
        lip("nose.lip_height_mm", "a far lower lip, its height", |c| &mut c.nose.lip_height_mm),
        lip("nose.lip_breadth_mm", "a far narrower lip, its breadth", |c| &mut c.nose.lip_breadth_mm),
    ];
    let nose = &model.connector.nose;
    if let Some(law) = suspected::shallower_notch(nose) {
        let flank = |part: &f64| nose.notch_radius_mm() + part * 0.5 * nose.pin_diameter_mm;
        let [low, high] = law.ends();
        let mut values = vec![low];
        values.extend(FLANKS.iter().map(flank).filter(|depth| low < *depth && *depth < high));
        values.push(high);
        suspects.push(Off {
            key: "nose.notch_depth_mm",
            what: "a shallower notch, its lip further off, depth",
            chance: Chance::Shallow,
            law,
            values,
            pick: |c| &mut c.nose.notch_depth_mm,
        });
    }
    all.extend(suspects.into_iter().filter_map(|off| off.cause(model, None)));
}

//! Dimensions and clearances that the model gives without a range: they are never exact, and a lip may be another one than entered.

use super::{Apply, Cause, CauseOf, Chance, Dimension, Typed, Unit, ValueKind, steps, steps_beside};
use crate::model::Model;
use crate::unknowns::suspected;
use geometry::connector::Connector;
use solver::forecast::Law;

/// Flanks of a shallower notch that are solved, in radii of the pin beyond the round end: the lip's limit rises steeply until the
/// pin has a flank to bed into, and hardly from there on.
const FLANKS: [f64; 3] = [0.2, 0.35, 0.6];
/// Values solved of a machined dimension or a clearance, and of a pin, whose range is far wider.
const FEW: u32 = 3;
const MANY: u32 = 6;

type Pick = fn(&mut Connector) -> &mut f64;

/// Where a dimension stands.
fn pick(dimension: Dimension) -> Pick {
    match dimension {
        Dimension::LipHeight => |c| &mut c.nose.lip_height_mm,
        Dimension::LipBreadth => |c| &mut c.nose.lip_breadth_mm,
        Dimension::NotchDepth => |c| &mut c.nose.notch_depth_mm,
        Dimension::NosePin => |c| &mut c.nose.pin_diameter_mm,
        Dimension::HingePin => |c| &mut c.hinge.pin_diameter_mm,
        Dimension::NoseClearance => |c| &mut c.nose.pin_clearance_mm,
        Dimension::HingeClearance => |c| &mut c.hinge.pin_clearance_mm,
    }
}

/// Its value in a model.
fn entered(dimension: Dimension, model: &Model) -> f64 {
    *pick(dimension)(&mut model.connector.clone())
}

pub(super) fn dimensions(model: &Model, all: &mut Vec<Cause>) {
    type Range = fn(f64) -> Law;
    let suspects: [(Dimension, Chance, Range, u32); 7] = [
        (Dimension::LipHeight, Chance::Dimension, suspected::dimension, FEW),
        (Dimension::LipBreadth, Chance::Dimension, suspected::dimension, FEW),
        (Dimension::NotchDepth, Chance::Dimension, suspected::dimension, FEW),
        (Dimension::NosePin, Chance::Pin, suspected::pin, MANY),
        (Dimension::HingePin, Chance::Pin, suspected::pin, MANY),
        (Dimension::NoseClearance, Chance::Clearance, suspected::clearance, FEW),
        (Dimension::HingeClearance, Chance::Clearance, suspected::clearance, FEW),
    ];
    for (dimension, chance, range, count) in suspects {
        let nominal = entered(dimension, model);
        let law = range(nominal);
        let values = steps_beside(law, count, nominal);
        let off = Off { dimension, of: CauseOf::Off(dimension), chance, law, values };
        all.extend(off.cause(model, Some(nominal)));
    }
}

/// A dimension that may be off.
struct Off {
    dimension: Dimension,
    of: CauseOf,
    chance: Chance,
    law: Law,
    values: Vec<f64>,
}

impl Off {
    /// As a cause, beside the value that was told where that is among its own; `None` where the model states a range, which has a
    /// cause of its own.
    fn cause(self, model: &Model, nominal: Option<f64>) -> Option<Cause> {
        let Self { dimension, of, chance, law, values } = self;
        let key = dimension.key();
        if model.spreads.iter().any(|s| s.key == key) {
            return None;
        }
        let pick = pick(dimension);
        let apply: Apply = Box::new(move |setting, value| {
            let mut changed = setting.clone();
            *pick(&mut changed.connector) = value;
            Some(changed)
        });
        Some(Cause {
            of,
            told: ValueKind::Plain(Unit::Millimetres),
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
    let far = |dimension, chance, law, values| Off {
        dimension,
        of: CauseOf::FarOff(dimension),
        chance,
        law,
        values,
    };
    let lip = |dimension| {
        let law = suspected::lip(entered(dimension, model));
        far(dimension, Chance::FarLip, law, steps(law, MANY))
    };
    let mut suspects = vec![lip(Dimension::LipHeight), lip(Dimension::LipBreadth)];
    let nose = &model.connector.nose;
    if let Some(law) = suspected::shallower_notch(nose) {
        let flank = |part: &f64| nose.notch_radius_mm() + part * 0.5 * nose.pin_diameter_mm;
        let [low, high] = law.ends();
        let mut values = vec![low];
        values.extend(FLANKS.iter().map(flank).filter(|depth| low < *depth && *depth < high));
        values.push(high);
        suspects.push(far(Dimension::NotchDepth, Chance::Shallow, law, values));
    }
    all.extend(suspects.into_iter().filter_map(|off| off.cause(model, None)));
}

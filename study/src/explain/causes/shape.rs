//! Dimensions and clearances that the model gives without a range: they are never exact, and a lip may be another one than entered.

use super::{Apply, Cause, CauseOf, Chance, Size, Typed, Unit, ValueKind, steps, steps_beside};
use crate::model::Model;
use crate::model::quantity::Dimension;
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

/// Where a size stands.
fn pick(size: Size) -> Pick {
    match size {
        Size::LipHeight => |c| &mut c.nose.lip_height_mm,
        Size::LipBreadth => |c| &mut c.nose.lip_breadth_mm,
        Size::NotchDepth => |c| &mut c.nose.notch_depth_mm,
        Size::NosePin => |c| &mut c.nose.pin_diameter_mm,
        Size::HingePin => |c| &mut c.hinge.pin_diameter_mm,
        Size::NoseClearance => |c| &mut c.nose.pin_clearance_mm,
        Size::HingeClearance => |c| &mut c.hinge.pin_clearance_mm,
    }
}

/// Its value in a model.
fn entered(size: Size, model: &Model) -> f64 {
    *pick(size)(&mut model.connector.clone())
}

pub(super) fn dimensions(model: &Model, all: &mut Vec<Cause>) {
    type Range = fn(f64) -> Law;
    let suspects: [(Size, Chance, Range, u32); 7] = [
        (Size::LipHeight, Chance::Size, suspected::dimension, FEW),
        (Size::LipBreadth, Chance::Size, suspected::dimension, FEW),
        (Size::NotchDepth, Chance::Size, suspected::dimension, FEW),
        (Size::NosePin, Chance::Pin, suspected::pin, MANY),
        (Size::HingePin, Chance::Pin, suspected::pin, MANY),
        (Size::NoseClearance, Chance::Clearance, suspected::clearance, FEW),
        (Size::HingeClearance, Chance::Clearance, suspected::clearance, FEW),
    ];
    for (size, chance, range, count) in suspects {
        let nominal = entered(size, model);
        let law = range(nominal);
        let values = steps_beside(law, count, nominal);
        let off = Off { size, of: CauseOf::Off(size), chance, law, values };
        all.extend(off.cause(model, Some(nominal)));
    }
}

/// A size that may be off.
struct Off {
    size: Size,
    of: CauseOf,
    chance: Chance,
    law: Law,
    values: Vec<f64>,
}

impl Off {
    /// As a cause, beside the value that was told where that is among its own; `None` where the model states a range, which has a
    /// cause of its own.
    fn cause(self, model: &Model, nominal: Option<f64>) -> Option<Cause> {
        let Self { size, of, chance, law, values } = self;
        let key = size.key();
        if model.spreads.iter().any(|s| s.key == key) {
            return None;
        }
        let pick = pick(size);
        let apply: Apply = Box::new(move |setting, value| {
            let mut changed = setting.clone();
            *pick(&mut changed.connector) = value;
            Some(changed)
        });
        Some(Cause {
            of,
            told: ValueKind::Plain(Unit::Of(Dimension::Length)),
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
    let far = |size, chance, law, values| Off { size, of: CauseOf::FarOff(size), chance, law, values };
    let lip = |size| {
        let law = suspected::lip(entered(size, model));
        far(size, Chance::FarLip, law, steps(law, MANY))
    };
    let mut suspects = vec![lip(Size::LipHeight), lip(Size::LipBreadth)];
    let nose = &model.connector.nose;
    if let Some(law) = suspected::shallower_notch(nose) {
        let flank = |part: &f64| nose.notch_radius_mm() + part * 0.5 * nose.pin_diameter_mm;
        let [low, high] = law.ends();
        let mut values = vec![low];
        values.extend(FLANKS.iter().map(flank).filter(|depth| low < *depth && *depth < high));
        values.push(high);
        suspects.push(far(Size::NotchDepth, Chance::Shallow, law, values));
    }
    all.extend(suspects.into_iter().filter_map(|off| off.cause(model, None)));
}

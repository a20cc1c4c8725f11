//! Metals: another alloy of the same family, pins stronger or weaker than told.

use super::{Apply, Asked, Cause, Told, steps_beside};
use crate::explaining::solving::Setting;
use crate::uncertain::{BODIES, Body, Unknown, suspected};
use solver::causes::Prior;

/// Another alloy than told, shared among the alternatives.
const ALLOY: f64 = 0.06;
/// Strength of pins within one alloy. That of frame and gate is in the scatter that every load may have.
const PIN_STRENGTH: f64 = 0.2;

pub(super) fn metals(asked: &Asked<'_>, nominal: &Setting, unknowns: &[Unknown], all: &mut Vec<Cause>) {
    let ranged = |body| unknowns.iter().any(|u| u.strength_of() == Some(body) && u.is_of_the_model());
    let one_metal = nominal.materials.gate == nominal.materials.frame;
    for body in BODIES {
        // A metal with a range of its own is not taken for another; a gate of the frame's metal shares the frame's range.
        if ranged(body) || (body == Body::Gate && one_metal && ranged(Body::Frame)) {
            continue;
        }
        let part = body.word();
        let others = suspected::other_metals(body.metal(&mut nominal.materials.clone()));
        for metal in others.iter().copied() {
            let apply: Apply = Box::new(move |setting, _| {
                let mut changed = setting.clone();
                *body.metal(&mut changed.materials) = metal.material();
                Some(changed)
            });
            all.push(Cause {
                family: format!("alloy of the {part}"),
                what: format!("the {part} of {}", metal.name),
                told: Told::Nothing,
                measure: format!("the hardness of the {part}: that of {}", metal.name),
                chance: ALLOY / others.len() as f64,
                prior: Prior::Even,
                values: vec![0.0],
                nominal: None,
                pairs: body == Body::Frame,
                more_than: None,
                apply,
            });
        }
    }
    let scatter = unknowns.iter().find(|u| u.strength_of() == Some(Body::Pins) && !u.is_of_the_model());
    if let Some(pins) = scatter {
        let (law, nominal) = (pins.told_law(), pins.told_middle());
        all.push(Cause {
            family: "strength of the pins".to_owned(),
            what: "the strength of the pins changed by".to_owned(),
            told: Told::Signed("%"),
            measure: "the hardness of the pins: a strength changed by".to_owned(),
            chance: PIN_STRENGTH,
            prior: law.into(),
            values: steps_beside(law, 3, nominal),
            nominal: Some(nominal),
            pairs: true,
            more_than: None,
            apply: asked.with(pins),
        });
    }
}

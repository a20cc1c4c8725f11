//! Metals: another alloy of the same family, pins stronger or weaker than told.

use super::{Apply, Asked, Cause, Told, steps_beside};
use crate::explaining::solving::Setting;
use crate::uncertain::{BODIES, Body, Unknown, suspected};
use solver::causes::Prior;

/// Another alloy than told, shared among the alternatives.
const ALLOY: f64 = 0.06;
/// Strength of the lot of one alloy: pins, frame, gate.
const LOT: f64 = 0.2;

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
    for body in BODIES {
        let scatter = unknowns.iter().find(|u| u.strength_of() == Some(body) && !u.is_of_the_model());
        // What is called unknown has a range of its own among the ranges of the model.
        let Some(lot) = scatter.filter(|_| !(body == Body::Gate && one_metal)) else { continue };
        let (law, middle, part) = (lot.told_law(), lot.told_middle(), body.word());
        all.push(Cause {
            family: format!("strength of the {part}"),
            what: format!("the strength of the {part} changed by"),
            told: Told::Signed("%"),
            measure: format!("the hardness of the {part}: a strength changed by"),
            chance: LOT,
            prior: law.into(),
            values: steps_beside(law, 3, middle),
            nominal: Some(middle),
            pairs: true,
            more_than: None,
            apply: asked.with(lot),
        });
    }
}

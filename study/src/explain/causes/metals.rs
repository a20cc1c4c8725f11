//! Metals: another alloy of the same family, a lot stronger or weaker than entered, pins that were left soft.

use super::{Apply, Cause, CauseOf, Chance, Typed, Unit, ValueKind, steps_beside, with};
use crate::Case;
use crate::model::Model;
use crate::unknowns::{BODIES, Body, Unknown, suspected};
use solver::causes::Prior;
use solver::forecast::Law;

/// Strengths of soft pins that are solved.
const SOFT_STEPS: u32 = 6;

pub(super) fn metals(model: &Model, nominal: &Case, unknowns: &[Unknown], all: &mut Vec<Cause>) {
    let ranged = |body| unknowns.iter().any(|u| u.strength_of() == Some(body) && u.is_of_the_model());
    let one_metal = nominal.materials.gate == nominal.materials.frame;
    for body in BODIES {
        // A metal with a range of its own is not taken for another; a gate of the frame's metal shares the frame's range.
        if ranged(body) || (body == Body::Gate && one_metal && ranged(Body::Frame)) {
            continue;
        }
        let others = suspected::other_metals(body.metal(&mut nominal.materials.clone()));
        for metal in others.iter().copied() {
            let apply: Apply = Box::new(move |setting, _| {
                let mut changed = setting.clone();
                *body.metal(&mut changed.materials) = metal.material();
                Some(changed)
            });
            all.push(Cause {
                of: CauseOf::Alloy(body, metal),
                told: ValueKind::Nothing,
                chance: Chance::Alloy { among: others.len() },
                prior: Prior::Even,
                values: vec![0.0],
                nominal: None,
                pairs: body == Body::Frame,
                more_than: None,
                typed: Typed::Word(format!("material.{}", body.word()), metal.key),
                apply,
            });
        }
    }
    for body in BODIES {
        let scatter = unknowns.iter().find(|u| u.strength_of() == Some(body) && !u.is_of_the_model());
        // What is called unknown has a range of its own among the ranges of the model.
        let Some(lot) = scatter.filter(|_| !(body == Body::Gate && one_metal)) else { continue };
        let (law, middle) = (lot.told_law(), lot.told_middle());
        all.push(Cause {
            of: CauseOf::Lot(body),
            told: ValueKind::Signed(Unit::Percent),
            chance: Chance::Lot,
            prior: law.into(),
            values: steps_beside(law, 3, middle),
            nominal: Some(middle),
            pairs: true,
            more_than: None,
            typed: Typed::NoKey,
            apply: with(model, lot),
        });
    }
    if !ranged(Body::Pins) {
        all.extend(soft_pins(nominal));
    }
}

/// Pins of the told diameter whose strength is below that of their told metal, without being that of another metal listed.
fn soft_pins(nominal: &Case) -> Option<Cause> {
    let Law::Even { low, high } = suspected::soft(&nominal.materials.pins)? else { return None };
    let percent = |part: f64| 100.0 * (part - 1.0);
    let law = Law::Even { low: percent(low), high: percent(high) };
    let apply: Apply = Box::new(|setting, percent| {
        let mut changed = setting.clone();
        changed.materials.pins.scale_strength(1.0 + percent / 100.0);
        Some(changed)
    });
    Some(Cause {
        of: CauseOf::SoftPins,
        told: ValueKind::Signed(Unit::Percent),
        chance: Chance::Soft,
        prior: law.into(),
        values: steps_beside(law, SOFT_STEPS, 0.0),
        nominal: Some(0.0),
        pairs: false,
        more_than: None,
        typed: Typed::NoKey,
        apply,
    })
}

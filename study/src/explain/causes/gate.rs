//! How the gate stood: open, half shut, or shut after all.

use super::{Apply, Cause, CauseOf, Chance, Kind, Moved, Stood, Typed, Unit, ValueKind, steps};
use crate::Case;
use crate::model::Model;
use crate::model::quantity::Dimension;
use crate::unknowns::suspected;
use solver::causes::Prior;
use solver::forecast::Law;
use solver::response::held_from_mm;
use solver::rig::GateState;

/// How far on either side of a jump it is solved, mm.
const JUMP_MM: f64 = 1e-3;
/// Beyond the first depth that friction holds these are solved, mm: over the first tenths of a millimetre the load at which the pin
/// rides out again rises from nothing past all others.
const RIDING_OUT_MM: [f64; 3] = [0.05, 0.1, 0.2];
/// Engagements nearer to another one than this are not solved, mm.
const APART_MM: f64 = 0.2;

pub(super) fn gates(model: &Model, all: &mut Vec<Cause>) {
    let with = |gate: GateState| -> Apply {
        Box::new(move |setting: &Case, _| {
            let mut changed = setting.clone();
            changed.rig.gate = gate;
            Some(changed)
        })
    };
    let cause = |of: CauseOf, apply: Apply| Cause {
        of,
        told: ValueKind::Nothing,
        chance: Chance::Gate,
        prior: Prior::Even,
        values: vec![0.0],
        nominal: None,
        pairs: false,
        more_than: None,
        typed: Typed::Nothing,
        apply,
    };
    let rig = model.rig;
    // Another state is another frame: the offsets of both loads are solved in it, not estimated from the one that was entered.
    let together = all.first().and_then(|c| match c.of {
        CauseOf::Offset(Moved::Both, loads) => Some((c.values.clone(), loads)),
        _ => None,
    });
    let by = rig.lower.offset_mm() - rig.upper.offset_mm();
    let states =
        [(GateState::Open, Stood::Open, Kind::GateOpen), (GateState::Closed, Stood::Shut, Kind::GateShut)];
    for (state, stood, alone) in states.into_iter().filter(|s| s.0 != rig.gate) {
        all.push(cause(CauseOf::Gate(stood, None), with(state)));
        let Some((range, loads)) = &together else { continue };
        let apply: Apply = Box::new(move |setting, mm| {
            let mut changed = setting.clone();
            changed.rig.gate = state;
            changed.rig.upper = changed.rig.upper.placed(mm);
            changed.rig.lower = changed.rig.lower.placed(mm + by);
            Some(changed)
        });
        let law = Law::Even { low: range[0], high: range[range.len() - 1] };
        all.push(Cause {
            told: ValueKind::Signed(Unit::Of(Dimension::Length)),
            chance: Chance::GateAndOffsets,
            values: steps(law, 5),
            more_than: Some(alone),
            ..cause(CauseOf::Gate(stood, Some(*loads)), apply)
        });
    }
    // A range that the model states has a cause of its own.
    if model.spreads.iter().any(|spread| spread.key == "rig.engaged_mm") {
        return;
    }
    let nose = &model.connector.nose;
    let Some(range) = suspected::engagement(nose) else { return };
    let nominal = match rig.gate {
        GateState::Half { engaged_mm } => Some(engaged_mm),
        _ => None,
    };
    let apply: Apply = Box::new(|setting, engaged_mm| {
        let mut changed = setting.clone();
        changed.rig.gate = GateState::Half { engaged_mm };
        Some(changed)
    });
    all.push(Cause {
        told: ValueKind::Plain(Unit::Of(Dimension::Length)),
        values: engagements(0.5 * nose.pin_diameter_mm, held_from_mm(&model.connector, rig.friction), range),
        nominal,
        pairs: true,
        ..cause(CauseOf::Engaged { as_entered: nominal.is_some() }, apply)
    });
}

/// Engagements to solve, mm: up to `held_from` the pin is not held, from there it presses on the lip's corner until its centre
/// is past the mouth, a radius in, and then farther and farther in. On both sides of `held_from` one is solved, so that no
/// load between held and not held is made up, and some close beyond it.
fn engagements(radius: f64, held_from: Option<f64>, range: Law) -> Vec<f64> {
    let [least, most] = range.ends();
    let mut values = vec![least];
    let steps = [1.0, 1.5, 2.0, 2.5].map(|r| r * radius);
    let held = held_from.filter(|mm| *mm > least + JUMP_MM && *mm < most - JUMP_MM);
    let first = held.unwrap_or(least);
    values.extend(held.iter().flat_map(|mm| [mm - JUMP_MM, mm + JUMP_MM]));
    let riding_out = held.iter().flat_map(|mm| RIDING_OUT_MM.map(|beyond| mm + beyond));
    values.extend(riding_out.filter(|mm| *mm < radius.min(most) - JUMP_MM));
    values.extend(steps.into_iter().filter(|mm| *mm > first + APART_MM && *mm < most - APART_MM));
    values.push(most);
    values
}

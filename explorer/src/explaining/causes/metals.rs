//! Metals: another alloy of the same family, an unknown one within its band, pins stronger or weaker than told.

use super::{Apply, Cause, STATED_RANGE, Told, steps};
use crate::explaining::solving::Setting;
use crate::model_file::Model;
use crate::uncertain::METAL;
use solver::causes::Prior;
use solver::material::{Material, library};

/// Another alloy than told, shared among the alternatives.
const ALLOY: f64 = 0.06;
/// Strength of pins within one alloy.
const PIN_STRENGTH: f64 = 0.2;

/// Family of a metal: metals of one family are taken for each other.
fn is_light(material: &Material) -> bool {
    material.density_g_cm3 < 5.0
}

/// The three parts that have a metal.
const METALS: [(&str, &str); 3] =
    [("material.frame", "frame"), ("material.gate", "gate"), ("material.pins", "pins")];

fn metal_of<'a>(setting: &'a mut Setting, part: &str) -> &'a mut Material {
    match part {
        "frame" => &mut setting.materials.frame,
        "gate" => &mut setting.materials.gate,
        _ => &mut setting.materials.pins,
    }
}

pub(super) fn metals(model: &Model, nominal: &Setting, all: &mut Vec<Cause>) {
    let by = 100.0 * METAL;
    for (key, part) in METALS {
        if model.spreads.iter().any(|s| s.key.starts_with(key)) {
            continue;
        }
        let own = metal_of(&mut nominal.clone(), part).clone();
        // What is called unknown is a range, not a metal to be taken for.
        let others: Vec<&'static library::Handbook> = library::all()
            .iter()
            .filter(|m| !m.is_unknown() && m.name != own.name && is_light(&m.material()) == is_light(&own))
            .collect();
        for metal in others.iter().copied() {
            // At its handbook strength: the scatter that every load may have holds for this alloy as for the one told.
            let apply: Apply = Box::new(move |setting, _| {
                let mut changed = setting.clone();
                *metal_of(&mut changed, part) = metal.material();
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
                pairs: part == "frame",
                apply,
            });
        }
    }
    if !model.spreads.iter().any(|s| s.key.starts_with("material.pins")) {
        let apply: Apply = Box::new(|setting, percent| {
            let mut changed = setting.clone();
            strengthen(&mut changed.materials.pins, 1.0 + 0.01 * percent);
            Some(changed)
        });
        all.push(Cause {
            family: "strength of the pins".to_owned(),
            what: "the strength of the pins changed by".to_owned(),
            told: Told::Signed("%"),
            measure: "the hardness of the pins: a strength changed by".to_owned(),
            chance: PIN_STRENGTH,
            prior: Prior::About { middle: 0.0, spread: 0.5 * by },
            values: vec![-by, by],
            nominal: Some(0.0),
            pairs: true,
            apply,
        });
    }
}

fn strengthen(material: &mut Material, factor: f64) {
    material.yield_mpa *= factor;
    material.ultimate_mpa *= factor;
    material.shear_ultimate_mpa *= factor;
}

/// A metal of which only ranges are known: from its weakest to its strongest.
pub(super) fn unknown_metal(key: &str, model: &Model, all: &mut Vec<Cause>) {
    let part = key.trim_start_matches("material.").to_owned();
    let mut nominal =
        Setting { connector: model.connector.clone(), materials: model.materials.clone(), rig: model.rig };
    let own = metal_of(&mut nominal, &part).clone();
    let Some(metal) = library::all().iter().find(|m| m.name == own.name) else { return };
    let range = |datum: library::Datum| datum.range.unwrap_or([datum.value; 2]);
    let (ultimate, yields, shear) =
        (range(metal.ultimate_mpa), range(metal.yield_mpa), range(metal.shear_ultimate_mpa));
    let at = |range: [f64; 2], part: f64| range[0] + part * (range[1] - range[0]);
    // A gate of the same unknown metal is of the same melt.
    let both = part == "frame" && model.materials.gate == own;
    let words = if both { "frame and gate".to_owned() } else { part.clone() };
    let apply: Apply = Box::new(move |setting, mpa| {
        let share = (mpa - ultimate[0]) / (ultimate[1] - ultimate[0]);
        let mut changed = setting.clone();
        let material = metal_of(&mut changed, &part);
        (material.ultimate_mpa, material.yield_mpa, material.shear_ultimate_mpa) =
            (mpa, at(yields, share), at(shear, share));
        if both {
            changed.materials.gate = changed.materials.frame.clone();
        }
        Some(changed)
    });
    all.push(Cause {
        family: key.to_owned(),
        what: format!("the ultimate strength of the {words}"),
        told: Told::Plain("MPa"),
        measure: format!("the hardness of the {words}: ultimate strength"),
        chance: STATED_RANGE,
        prior: Prior::Even,
        values: steps(ultimate[0], ultimate[1], 2),
        nominal: Some(own.ultimate_mpa),
        pairs: true,
        apply,
    });
}

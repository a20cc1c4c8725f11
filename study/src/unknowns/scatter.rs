//! Scatter before a pull: every range that the model states, and stated scatter about what it tells where it states none.

use super::constants::{assumed, beyond, told_by};
use super::unknown::{BODIES, Basis, Body, Changes, Unknown, UnknownOf, clearance_key};
use crate::model::keys::changes_nothing;
use crate::model::misfit::LoaderKind;
use crate::model::{End, Model, Spread, SpreadKind};
use geometry::connector::Pin;
use solver::forecast::Law;
use solver::material::library;
use solver::rig::Loader;
use solver::strength::Constant;

/// Scatter of a metal's strength where the model gives none: coefficient of variation (engineering judgement).
pub const METAL_SCATTER: f64 = 0.04;
/// Scatter of where a strap or bar lies, mm.
pub const OFFSET_MM: f64 = 2.0;
/// Scatter of a strap's strength where the model gives none: coefficient of variation (engineering judgement).
pub const STRAP_SCATTER: f64 = 0.05;
/// Scatter of clearance where the model gives none, mm: what a feeler gauge leaves open (common practice, no source).
pub const CLEARANCE_MM: f64 = 0.05;

/// Keys that no forecast depends on.
fn is_idle(key: &str) -> bool {
    changes_nothing(key).is_some() || key == "rig.load_kn"
}

/// The body whose strength a key gives.
fn strength_of(key: &str) -> Option<&'static str> {
    let (table, name) = key.rsplit_once('.')?;
    let strength = ["yield_mpa", "ultimate_mpa", "shear_ultimate_mpa"].contains(&name);
    BODIES.map(Body::word).into_iter().find(|b| strength && table.strip_prefix("material.") == Some(*b))
}

fn middle_and_half(spread: &Spread) -> Option<(f64, f64)> {
    match spread.kind {
        SpreadKind::PlusMinus(by) => Some((spread.middle, by)),
        SpreadKind::Between(low, high) => Some((0.5 * (low + high), 0.5 * (high - low))),
        SpreadKind::UnknownMaterial => None,
    }
}

/// The law of a range of the model, per half range about its middle.
fn law(kind: SpreadKind) -> Law {
    match kind {
        SpreadKind::PlusMinus(_) => Law::plus_minus(0.0, 1.0),
        SpreadKind::Between(..) | SpreadKind::UnknownMaterial => Law::Even { low: -1.0, high: 1.0 },
    }
}

/// Everything that is not known exactly about a model, ranges of the model first, in the order of its keys; last the constants that all
/// pulls share, of which only a calibration varies more than two.
#[must_use]
pub fn unknowns(model: &Model) -> Vec<Unknown> {
    let mut all = Vec::new();
    for spread in model.spreads.iter().filter(|s| !is_idle(&s.key) && strength_of(&s.key).is_none()) {
        let Some((middle, half)) = middle_and_half(spread) else { continue };
        let corner = spread.key.strip_prefix("window.corner_radius_mm[").and_then(|k| k.strip_suffix(']'));
        let (changes, law, at) = match corner.and_then(|k| k.parse::<usize>().ok()) {
            Some(corner) => {
                let law = match spread.kind {
                    SpreadKind::PlusMinus(by) => Law::plus_minus(middle, by),
                    _ => Law::Even { low: middle - half, high: middle + half },
                };
                (Changes::Corner(corner.saturating_sub(1)), law, middle)
            }
            None => (Changes::Keys(vec![(spread.key.clone(), middle, half)]), law(spread.kind), 0.0),
        };
        all.push(Unknown {
            of: UnknownOf::Key(spread.key.clone()),
            basis: Basis::Stated,
            law,
            middle: at,
            changes,
        });
    }
    all.extend(metals(model));
    let given = |key: &str| model.spreads.iter().any(|s| s.key == key);
    for (end, loader) in [(End::Upper, model.rig.upper), (End::Lower, model.rig.lower)] {
        let word = end.word();
        all.extend(strap(loader, end).filter(|_| !given(&format!("rig.{word}.strap_strength_kn"))));
        if given(&format!("rig.{word}.offset_mm")) {
            continue;
        }
        let middle = loader.offset_mm();
        all.push(Unknown {
            of: UnknownOf::Place(end, LoaderKind::of(&loader)),
            basis: Basis::Assumed,
            law: Law::plus_minus(middle, OFFSET_MM),
            middle,
            changes: Changes::Offset(end),
        });
    }
    let connector = &model.connector;
    for (pin, middle) in
        [(Pin::Nose, connector.nose.pin_clearance_mm), (Pin::Hinge, connector.hinge.pin_clearance_mm)]
    {
        if given(clearance_key(pin)) {
            continue;
        }
        all.push(Unknown {
            of: UnknownOf::Clearance(pin),
            basis: Basis::Assumed,
            law: Law::plus_minus(middle, CLEARANCE_MM).cut_to([0.0, f64::INFINITY]),
            middle,
            changes: Changes::Clearance(pin),
        });
    }
    match &model.calibration {
        None => all.extend([Constant::Press, Constant::Flow].map(assumed)),
        Some(calibration) => {
            all.push(beyond());
            all.extend(Constant::ALL.iter().map(|of| told_by(*of, calibration)));
        }
    }
    all
}

/// The strength of a strap, where it is told.
fn strap(loader: Loader, end: End) -> Option<Unknown> {
    let Loader::Strap { strength_kn: Some(_), .. } = loader else { return None };
    Some(Unknown {
        of: UnknownOf::Strap(end),
        basis: Basis::Assumed,
        law: Law::deviating(1.0, STRAP_SCATTER),
        middle: 1.0,
        changes: Changes::Strap(end),
    })
}

/// Strengths of the three metals: a body is one piece of metal, so all its strengths move together.
fn metals(model: &Model) -> Vec<Unknown> {
    let ranges = |word: &str| -> Vec<&Spread> {
        model.spreads.iter().filter(|s| strength_of(&s.key) == Some(word)).collect()
    };
    let mut all = Vec::new();
    for which in BODIES {
        let word = which.word();
        let of = UnknownOf::Strength(which);
        let material = which.metal(&mut model.materials.clone()).clone();
        let known = library::named(&material.name);
        let given = ranges(word);
        let unknown = known.filter(|metal| metal.is_unknown());
        if let Some((metal, band)) = unknown.and_then(|metal| Some((metal, metal.ultimate_mpa.range?))) {
            all.push(Unknown {
                of,
                basis: Basis::UnknownMetal(metal),
                law: Law::Even { low: -1.0, high: 1.0 },
                middle: 0.0,
                changes: Changes::Band(which, band),
            });
        } else if !given.is_empty() {
            let keys = given
                .iter()
                .filter_map(|s| middle_and_half(s).map(|(middle, half)| (s.key.clone(), middle, half)))
                .collect();
            let even = given.iter().any(|s| !matches!(s.kind, SpreadKind::PlusMinus(_)));
            let law = if even { Law::Even { low: -1.0, high: 1.0 } } else { Law::plus_minus(0.0, 1.0) };
            all.push(Unknown {
                of,
                basis: Basis::Stated,
                law,
                middle: 0.0,
                changes: Changes::Strengths(which, keys),
            });
        } else if which == Body::Gate
            && model.materials.gate == model.materials.frame
            && !ranges("frame").is_empty()
        {
            // A gate whose metal is that of the frame moves with the frame's keys.
        } else {
            all.push(Unknown {
                of,
                basis: Basis::Assumed,
                law: Law::deviating(1.0, METAL_SCATTER),
                middle: 1.0,
                changes: Changes::Strength(which),
            });
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Source;
    use crate::unknowns::{Strength, UnknownValue};

    fn source(name: &str) -> Source {
        let path = format!("{}/../models/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        Source::of(&format!("{name}.toml"), &std::fs::read_to_string(path).unwrap())
    }

    #[test]
    fn defaults_stand_where_the_model_gives_none() {
        let model = source("broadbar-alu").model(&[]).unwrap();
        let all = unknowns(&model);
        // Three metals, two ends, two pins, pressing, flow.
        assert_eq!(all.len(), 9);
        assert!(all.iter().all(|u| u.basis == Basis::Assumed));
        // 4 % either way, twice, and what cutting there takes off the scatter.
        assert!((all[0].law.ends()[1] - 1.090_95).abs() < 1e-5, "{:?}", all[0].law);
        // Clearance of 0.05 at the hinge: from none to 0.1.
        let hinge = all.iter().find(|u| u.of == UnknownOf::Clearance(Pin::Hinge)).unwrap();
        assert_eq!(hinge.law.ends(), [0.0, 0.1]);
        let variant = hinge.at(0.1, &model).unwrap();
        assert_eq!(variant.connector.hinge.pin_clearance_mm, 0.1);
    }

    #[test]
    fn ranges_of_the_model_take_the_place_of_defaults() {
        let pear = source("pear");
        let model = pear.model(&[]).unwrap();
        let all = unknowns(&model);
        let notch = all.iter().find(|u| u.of == UnknownOf::Key("nose.notch_depth_mm".to_owned())).unwrap();
        assert!(notch.basis == Basis::Stated && notch.law == Law::Even { low: -1.0, high: 1.0 });
        // Between 3.8 and 4.4.
        let low = notch.at(-1.0, &model).unwrap();
        assert!((low.connector.nose.notch_depth_mm - 3.8).abs() < 1e-12);
        let UnknownValue::Number(high) = notch.value(1.0) else { panic!("{notch:?}") };
        assert!((high - 4.4).abs() < 1e-12);
        assert!(!all.iter().any(|u| matches!(u.of, UnknownOf::Clearance(_))));
        let metal = all.iter().find(|u| u.of == UnknownOf::Strength(Body::Frame)).unwrap();
        let strong = metal.at(1.0, &model).unwrap().materials.frame;
        assert_eq!((strong.yield_mpa, strong.ultimate_mpa), (505.0, 575.0));
    }

    #[test]
    fn strengths_of_one_body_move_together() {
        let own = "{ name = 'x', youngs_modulus_mpa = 71700, poisson_ratio = 0.33, yield_mpa = { value = 500, \
                   plus_minus = 20 }, ultimate_mpa = { value = 570, plus_minus = 30 }, density_g_cm3 = 2.8 }";
        let bar = source("broadbar-alu");
        let sets = vec![("material.frame".to_owned(), own.to_owned())];
        let model = bar.model(&sets).unwrap();
        let all = unknowns(&model);
        let metal = all.iter().find(|u| u.of == UnknownOf::Strength(Body::Frame)).unwrap();
        let weak = metal.at(-1.0, &model).unwrap().materials.frame;
        assert_eq!((weak.yield_mpa, weak.ultimate_mpa), (480.0, 540.0));
    }

    #[test]
    fn how_far_a_metal_stretches_is_no_unknown() {
        let own = "{ name = 'x', youngs_modulus_mpa = 71700, poisson_ratio = 0.33, yield_mpa = 500, ultimate_mpa = 570, \
                   density_g_cm3 = 2.8, elongation = { between = [0.08, 0.12] }, reduction_of_area = { between = [0.2, 0.4] } }";
        let model = source("broadbar-alu").model(&[("material.frame".to_owned(), own.to_owned())]).unwrap();
        assert_eq!(model.spreads.len(), 2);
        let all = unknowns(&model);
        assert!(
            !all.iter().any(|u| matches!(&u.of, UnknownOf::Key(key) if key.starts_with("material."))),
            "{all:?}"
        );
        let strength = all.iter().find(|u| u.of == UnknownOf::Strength(Body::Frame)).unwrap();
        assert_eq!(strength.basis, Basis::Assumed);
    }

    #[test]
    fn a_range_on_yield_alone_is_told_as_yield() {
        let own = "{ name = 'x', youngs_modulus_mpa = 71700, poisson_ratio = 0.33, yield_mpa = { value = 500, \
                   plus_minus = 20 }, ultimate_mpa = 570, density_g_cm3 = 2.8 }";
        let bar = source("broadbar-alu");
        let sets = vec![("material.frame".to_owned(), own.to_owned())];
        let all = unknowns(&bar.model(&sets).unwrap());
        let metal = all.iter().find(|u| u.strength_of() == Some(Body::Frame)).unwrap();
        assert_eq!((metal.strength(), metal.told_law().ends()), (Strength::Yield, [480.0, 520.0]));
        // Where the ultimate strength has a range as well, that is the one told.
        let both = own.replace("ultimate_mpa = 570", "ultimate_mpa = { value = 570, plus_minus = 30 }");
        let all = unknowns(&bar.model(&[("material.frame".to_owned(), both)]).unwrap());
        let metal = all.iter().find(|u| u.strength_of() == Some(Body::Frame)).unwrap();
        assert_eq!((metal.strength(), metal.told_law().ends()), (Strength::Ultimate, [540.0, 600.0]));
    }

    #[test]
    fn values_are_told_in_the_unit_of_their_key() {
        let pear = source("pear");
        let model = pear.model(&[]).unwrap();
        let all = unknowns(&model);
        let notch = all.iter().find(|u| u.of == UnknownOf::Key("nose.notch_depth_mm".to_owned())).unwrap();
        let Law::Even { low, high } = notch.told_law() else { panic!("{:?}", notch.law) };
        assert!((low - 3.8).abs() < 1e-12 && (high - 4.4).abs() < 1e-12);
        assert!((notch.told_as(4.4) - 1.0).abs() < 1e-9);
        // Of a body's strengths the ultimate one is told: between 510 and 575 MPa.
        let metal = all.iter().find(|u| u.strength_of() == Some(Body::Frame)).unwrap();
        assert_eq!(metal.told_law().ends()[1], 575.0);
        let bar = source("broadbar-alu").model(&[]).unwrap();
        let pins = unknowns(&bar).into_iter().find(|u| u.strength_of() == Some(Body::Pins)).unwrap();
        let Law::Normal { middle, sigma, high, .. } = pins.told_law() else { panic!("{:?}", pins.law) };
        // Drawn wider than the 4 % told by as much as the cut at two deviations takes off.
        assert!(middle.abs() < 1e-9 && (sigma - 4.547).abs() < 1e-3 && (high - 2.0 * sigma).abs() < 1e-9);
        assert!((pins.told_as(-8.0) - 0.92).abs() < 1e-12);
    }
}

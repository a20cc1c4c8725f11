//! Wider ranges after a pull: what may have been, where the model states no range of its own.
//!
//! Scatter is what stays open when someone measured or looked. Once something broke early the question is whether anyone
//! did: a strap that nobody watched may have lain anywhere, a gate may have hung on anything, a part may be another one
//! than in the list. So these ranges reach as far as the shape allows, and only the strength of a metal that is the right
//! one keeps its scatter.

use geometry::connector::Nose;
use solver::forecast::Law;
use solver::material::{Material, library};
use solver::rig::Loader;
use solver::seats::Track;
use solver::system::System;

/// A dimension that is told without a range may be off by this part, two standard deviations: a caliper on a rounded part,
/// a worn one, one of another batch (engineering judgement).
const DIMENSION_PART: f64 = 0.1;
/// A pin that is not the one told, as parts of its diameter: down to half, a little above (engineering judgement).
const PIN_PARTS: [f64; 2] = [0.5, 1.05];
/// A lip that is not the one told, down to this part of its height or breadth: filed, worn, bent up and dressed (engineering
/// judgement, as for pins).
const LIP_PART: f64 = 0.5;
/// Least flank of a lip that is further off than entered, mm: it reaches hardly beyond the pin's centre. Less is not drawn.
const LEAST_FLANK_MM: f64 = 0.22;
/// Most of it, in radii of the pin: the pin beds into it as into any longer one.
const MOST_FLANK_RADII: f64 = 1.0;
/// Largest radial clearance, mm: a pin a size too thin (engineering judgement).
const MOST_PLAY_MM: f64 = 0.5;
/// Least radial clearance that a shut gate is drawn with, mm.
const LEAST_PLAY_MM: f64 = 0.02;
/// Kept clear of the ends of a seat, mm. Other shapes have other meshes, whose seats end up to a few tenths of a millimetre
/// elsewhere.
const SPARE_MM: f64 = 0.3;
/// Least engagement of a half-shut gate that is drawn, mm.
const LEAST_ENGAGED_MM: f64 = 0.35;
/// Most engagement, as a part of that of a shut gate.
const MOST_ENGAGED: f64 = 0.98;

/// A machined dimension.
#[must_use]
pub fn dimension(told_mm: f64) -> Law {
    Law::plus_minus(told_mm, DIMENSION_PART * told_mm)
}

/// Diameter of a pin, its hole or notch made for it: anything down to half of what was told.
#[must_use]
pub fn pin(told_mm: f64) -> Law {
    let [low, high] = PIN_PARTS.map(|part| part * told_mm);
    Law::Even { low, high }
}

/// Height or breadth of a lip that is not the one told: far beyond what a caliper leaves open, and only less.
#[must_use]
pub fn lip(told_mm: f64) -> Law {
    Law::Even { low: LIP_PART * told_mm, high: told_mm }
}

/// Depth of a notch whose lip is further off than entered, so that it reaches less far over the pin: where that changes what the
/// lip holds. `None` where no less was told.
#[must_use]
pub fn shallower_notch(nose: &Nose) -> Option<Law> {
    let low = nose.notch_radius_mm() + LEAST_FLANK_MM;
    let high = nose.notch_radius_mm() + MOST_FLANK_RADII * 0.5 * nose.pin_diameter_mm;
    (low < nose.notch_depth_mm).then_some(Law::Even { low, high: high.min(nose.notch_depth_mm) })
}

/// Strength of soft pins as a part of that told: anything down to the softest metal of their family that `pullmap materials`
/// lists, which the annealed ones are. `None` where none is softer.
#[must_use]
pub fn soft(told: &Material) -> Option<Law> {
    let softest = other_metals(told).iter().map(|m| m.ultimate_mpa.value).reduce(f64::min)?;
    let low = softest / told.ultimate_mpa;
    (low < 1.0).then_some(Law::Even { low, high: 1.0 })
}

/// Radial clearance of a pin: wear and a wrong pin go far beyond what a feeler gauge leaves open.
#[must_use]
pub fn clearance(told_mm: f64) -> Law {
    Law::Even { low: LEAST_PLAY_MM.min(told_mm), high: MOST_PLAY_MM.max(told_mm) }
}

/// Offset of a load: anywhere that the bar has room for it, and as entered in any case. Where loads come to rest by themselves
/// narrows nothing here: a place where the friction that is told does not hold a strap weighs less, and its line says so.
#[must_use]
pub fn offset(system: &System, upper: bool, loader: Loader) -> Law {
    let told = loader.offset_mm();
    let (low, high) = match Track::on(system, upper, loader).map(|track| track.range()) {
        Some((low, high)) if high - low > 2.0 * SPARE_MM => {
            ((low + SPARE_MM).min(told), (high - SPARE_MM).max(told))
        }
        _ => (told, told),
    };
    Law::Even { low, high }
}

/// Engagement of a half-shut gate: anything from a pin that just catches to one that is all but home. `None` where the notch
/// is too shallow for anything between.
#[must_use]
pub fn engagement(nose: &Nose) -> Option<Law> {
    let high = MOST_ENGAGED * (nose.notch_depth_mm - nose.pin_clearance_mm);
    (high > LEAST_ENGAGED_MM).then_some(Law::Even { low: LEAST_ENGAGED_MM, high })
}

/// Metals that one may be taken for: of the same family, light or heavy, as hand and magnet tell those apart. At handbook
/// strength, for the scatter that every load may have holds for one metal as for the other. What is called unknown is a
/// range, not a metal to be taken for.
#[must_use]
pub fn other_metals(told: &Material) -> Vec<&'static library::Handbook> {
    let is_light = |material: &Material| material.density_g_cm3 < 5.0;
    library::all()
        .iter()
        .filter(|m| !m.is_unknown() && m.name != told.name && is_light(&m.material()) == is_light(told))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Source;
    use solver::system::SystemSettings;

    fn broadbar() -> crate::model::Model {
        let path = format!("{}/../models/broadbar-alu.toml", env!("CARGO_MANIFEST_DIR"));
        Source::of("broadbar-alu.toml", &std::fs::read_to_string(path).unwrap()).model(&[]).unwrap()
    }

    #[test]
    fn ranges_are_wider_than_scatter_and_hold_what_was_told() {
        assert_eq!(dimension(4.0).ends(), [3.6, 4.4]);
        assert_eq!(pin(4.0).ends(), [2.0, 4.2]);
        assert_eq!(clearance(0.05).ends(), [0.02, 0.5]);
        assert_eq!(clearance(0.7).ends(), [0.02, 0.7]);
        assert_eq!(clearance(0.0).ends(), [0.0, 0.5]);
        assert_eq!(lip(4.0).ends(), [2.0, 4.0]);
        let model = broadbar();
        // The softest steel listed has 515 MPa, the pins 1241.
        let [low, high] = soft(&model.materials.pins).unwrap().ends();
        assert!((low - 515.0 / 1241.06).abs() < 1e-4 && high == 1.0, "{low} {high}");
        // 304, annealed, is the softest itself.
        let soft_told = library::all().iter().find(|m| m.key == "304").unwrap().material();
        assert_eq!(soft(&soft_told), None);
        let nose = model.connector.nose;
        // Round end 2.15, and up to the pin's radius of 2.
        assert_eq!(shallower_notch(&nose).map(Law::ends), Some([2.37, 4.15]));
        assert_eq!(shallower_notch(&Nose { notch_depth_mm: 2.2, ..nose.clone() }), None);
        let shallow = Nose { notch_depth_mm: 0.4, pin_clearance_mm: 0.1, ..nose };
        assert_eq!(engagement(&shallow), None);
        // 0.98 of what lies behind the mouth when shut.
        let deep = Nose { notch_depth_mm: 5.1, pin_clearance_mm: 0.1, ..nose };
        assert_eq!(engagement(&deep), Some(Law::Even { low: 0.35, high: 4.9 }));
    }

    #[test]
    fn a_wide_strap_has_less_room_and_one_that_fills_its_bar_none() {
        let model = broadbar();
        let system =
            model.case(SystemSettings { unknowns: 6000.0, ..SystemSettings::default() }).build().unwrap();
        let room = |width_mm: f64| {
            let loader =
                Loader::Strap { width_mm, offset_mm: 0.0, stiffness_n_per_mm2: 50.0, strength_kn: None };
            offset(&system, true, loader).ends()
        };
        let ([a, b], [c, d]) = (room(12.0), room(25.0));
        assert!(a < c && c < 0.0 && 0.0 < d && d < b, "{a} {c} {d} {b}");
        // Both edges of a strap stay on the same bar.
        assert!((b - a - (d - c) - 13.0).abs() < 1.0, "{a} {c} {d} {b}");
        assert_eq!(room(200.0), [0.0, 0.0]);
    }
}

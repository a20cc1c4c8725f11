//! The strap itself, where its strength is known: it may go before the connector does.

use super::formula::{Input, Quantity, input};
use crate::rig::{Loader, Rig, RigEnd};

/// Straps, strengths in kN and inputs of the straps whose strength is known.
#[must_use]
pub fn strap_limits(rig: &Rig) -> Vec<(RigEnd, f64, Vec<Input>)> {
    [(RigEnd::Upper, rig.upper), (RigEnd::Lower, rig.lower)]
        .into_iter()
        .filter_map(|(end, loader)| match loader {
            Loader::Strap { strength_kn: Some(strength), width_mm, .. } => Some((
                end,
                strength,
                vec![
                    input(Quantity::StrapWidth, width_mm, "mm"),
                    input(Quantity::StrapStrength, strength, "kN"),
                ],
            )),
            _ => None,
        })
        .collect()
}

//! The ends of what is not known: which connector each makes, and at which loads its pull can end.

use crate::Engine;
use crate::model::Model;
use crate::unknowns::Unknown;
use geometry::outline::Seats;
use solver::forecast::{Capacities, Endings, endings};
use solver::response::{RigError, hold_of};
use solver::system::{System, SystemSettings};

/// Where the end of an unknown's range is no connector, these parts of the way to it are tried.
const NEARER: [f64; 5] = [1.0, 0.75, 0.5, 0.25, 0.125];
/// A strap is laid this far inside the end of its seat, mm.
const INSIDE_MM: f64 = 1e-6;

/// One end of one unknown.
#[derive(Clone, Copy)]
pub(super) struct End {
    /// Which unknown.
    pub unknown: usize,
    /// The high end.
    pub high: bool,
}

impl End {
    /// Its value.
    pub fn value(self, all: &[Unknown]) -> f64 {
        all[self.unknown].law.ends()[usize::from(self.high)]
    }
}

/// A value that could be solved, and the endings there.
pub(super) type Found = Option<(f64, Endings)>;

/// Same shape, elasticity and rig: strengths may differ.
pub(super) fn same_but_strength(a: &Model, b: &Model) -> bool {
    a.rig == b.rig && same_system(a, b)
}

/// Same shape and elasticity.
pub(super) fn same_system(a: &Model, b: &Model) -> bool {
    let [a, b] = [a, b].map(|model| model.case(SystemSettings::default()).key());
    a == b
}

/// True when the notch of a model holds its pin.
pub(super) fn holds(model: &Model) -> bool {
    let seats = Seats::new(&model.connector, model.rig.gate.place());
    hold_of(&model.connector, &seats, model.rig.gate, model.rig.friction).holds()
}

/// Solves as near to the end of a range as there is a connector. A load that leaves its seat is moved back onto it.
pub(super) fn solve_end(
    unknown: &Unknown,
    end: f64,
    (as_it_is, nominal): (&Model, Option<&System>),
    engine: &Engine,
    settings: &SystemSettings,
    at: &dyn Fn(f64) -> Option<Model>,
) -> Found {
    let try_at = |value: f64| -> Result<Endings, Option<f64>> {
        let model = &at(value).ok_or(None)?;
        let rig = &model.rig;
        // Between a pin that its notch holds and one that it does not lies a jump: nothing runs straight across it.
        if holds(model) != holds(as_it_is) {
            return Err(None);
        }
        let own;
        let system = match nominal.filter(|_| same_system(as_it_is, model)) {
            Some(nominal) => nominal,
            None => {
                own = engine.system(&model.case(*settings)).map_err(|_| None)?;
                &own
            }
        };
        match Capacities::of(system, &model.strengths(), rig).and_then(|own| endings(system, rig, &[own])) {
            Ok(mut found) => found.pop().ok_or(None),
            Err(RigError::OffSeat { from_mm, to_mm, low_mm, high_mm, .. }) => {
                Err(Some((low_mm + INSIDE_MM - from_mm).max(0.0) - (to_mm - high_mm + INSIDE_MM).max(0.0)))
            }
            Err(_) => Err(None),
        }
    };
    let full = end - unknown.middle;
    for part in NEARER {
        let value = unknown.middle + part * full;
        match try_at(value) {
            Ok(endings) => return Some((value, endings)),
            Err(Some(back)) if unknown.is_offset() => {
                let value = value + back;
                // Back past the middle would be the other end's business.
                if (value - unknown.middle) * full > 0.0
                    && let Ok(endings) = try_at(value)
                {
                    return Some((value, endings));
                }
            }
            Err(_) => {}
        }
    }
    None
}

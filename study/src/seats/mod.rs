//! Where the straps or bars of a model come to rest, what each place needs and what it holds.
//!
//! `solver::seats` finds the places from the shape alone; here every place gets its forecast, the shape its regime, and the
//! rule of thumb about narrow straps its numbers for this shape.

mod place;
mod wanted;
mod widths;

pub use place::{Holds, PlaceName, RestName, SeatPlace, Third};
pub(crate) use wanted::{Wanted, wanted};
pub use widths::{LikeliestRest, NO_CHANGE, WidthForecast, Widths};

use crate::model::Model;
use crate::{Case, Engine, Watch};
use solver::response::RigError;
use solver::rig::Rig;
use solver::seats::{Footing, Regime, Seating, regime};
use solver::system::{System, SystemSettings};
use thiserror::Error;

/// Why nothing is known about the seats of a model.
#[derive(Clone, Debug, Error)]
pub enum SeatsError {
    /// Its connector cannot be drawn or meshed.
    #[error(transparent)]
    System(#[from] solver::system::SystemError),
    /// A load does not fit where the model has it.
    #[error(transparent)]
    Rig(#[from] RigError),
    /// A bar wider than the window.
    #[error("{self:?}")]
    TooWideABar,
}

/// What was found about the seats of a model.
#[derive(Clone, Debug)]
pub struct SeatsFound {
    /// Friction that the rig relies on.
    pub friction: f64,
    /// What the shape does with loads that are left to themselves.
    pub regime: Regime,
    /// Offsets at which each end's load fits, mm, positive toward the gate: upper and lower, each from least to most.
    pub room_mm: [[f64; 2]; 2],
    /// Stable rests, the one that draws from farthest first.
    pub resting_places: Vec<SeatPlace>,
    /// Other places worth knowing: the model's own, the middle, both ends.
    pub places: Vec<SeatPlace>,
    /// Part of all starting places from which nothing draws anywhere.
    pub level_ground: f64,
    /// Ranges of equal offsets at which friction holds both loads, mm.
    pub held_together_mm: Vec<[f64; 2]>,
    /// Whether narrow straps cut strength here; `None` on bench bars or where no wider strap fits.
    pub widths: Option<Widths>,
}

impl SeatsFound {
    /// Offsets that both loads have room for, mm.
    #[must_use]
    pub fn room_of_both_mm(&self) -> [f64; 2] {
        let [above, below] = self.room_mm;
        [above[0].max(below[0]), above[1].min(below[1])]
    }
}

/// The tracks of a rig's loads; a loader that fits nowhere is told with what does.
fn seating_of(system: &System, rig: &Rig) -> Result<Seating, SeatsError> {
    if let Some(seating) = Seating::on(system, rig) {
        return Ok(seating);
    }
    system.check_rig(rig)?;
    Err(SeatsError::TooWideABar)
}

/// Finds rests and places of a model on this mesh, and what each holds.
///
/// # Errors
/// [`SeatsError`]: the connector cannot be drawn or meshed, or a load fits nowhere.
///
/// ```
/// use study::model::Source;
/// use study::{Engine, seats};
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../models/oval.toml"));
/// let model = Source::of("oval.toml", text).model(&[]).unwrap();
/// let mesh = solver::system::SystemSettings { unknowns: 6000.0, ..Default::default() };
/// let found = seats::find(&Engine::default(), &model, mesh).unwrap();
/// // Where a load rests it needs no friction.
/// assert!(found.resting_places.iter().all(|place| place.needs() < 0.05));
/// ```
pub fn find(engine: &Engine, model: &Model, mesh: SystemSettings) -> Result<SeatsFound, SeatsError> {
    let rig = model.rig;
    let case = model.case(mesh);
    let system = &*engine.system(&case)?;
    let seating = seating_of(system, &rig)?;
    let (rests, level_ground) = seating.rests();
    let regime = regime(&seating, &rests);
    let (upper, lower) = (seating.upper.range(), seating.lower.range());

    let wanted = wanted(&seating, &rests, &rig);
    let stable = wanted.iter().take_while(|w| w.share_of_starting_places.is_some()).count();
    let cases: Vec<Case> =
        wanted.iter().map(|w| Case { rig: rig.placed(w.upper_mm, w.lower_mm), ..case.clone() }).collect();
    let mut judged: Vec<SeatPlace> = wanted
        .into_iter()
        .zip(engine.evaluate_without_yield(&cases, &Watch::quiet()))
        .map(|(Wanted { name, upper_mm, lower_mm, share_of_starting_places }, pulled)| {
            let friction_needed = seating.friction_needed(upper_mm, lower_mm);
            SeatPlace {
                name,
                upper_mm,
                lower_mm,
                distance_mm: seating.distance_mm(upper_mm, lower_mm),
                footing: if share_of_starting_places.is_some() {
                    Footing::Stable
                } else {
                    seating.footing(upper_mm, lower_mm)
                },
                friction_needed,
                held: friction_needed[0].max(friction_needed[1]) <= rig.friction_holds(),
                share_of_starting_places,
                holds: pulled.map(|pulled| Holds::of(&pulled.limits)),
            }
        })
        .collect();
    let places = judged.split_off(stable);
    Ok(SeatsFound {
        friction: rig.friction,
        regime,
        room_mm: [[upper.0, upper.1], [lower.0, lower.1]],
        resting_places: judged,
        places,
        level_ground,
        held_together_mm: seating.held_together(rig.friction_holds()),
        widths: widths::compare(engine, &case, system),
    })
}

//! Where the straps or bars of a model come to rest, what each place needs and what it holds.
//!
//! `solver::seats` finds the places from the shape alone; here every place gets its forecast, the shape its regime in
//! words, and the rule of thumb about narrow straps its answer for this shape.

mod answer;
mod picture;
mod widths;

pub use answer::answer;
pub use picture::picture;
pub use widths::{WidthForecast, Widths};

use crate::failure::Failure;
use geometry::outline::FrameLocation;
use report::caution::CAUTION;
use report::{json, rigs};
use serde::Serialize;
use solver::rig::Rig;
use solver::seats::{Footing, Regime, Seating, regime};
use solver::strength::{Ends, FailureMode, Limits};
use solver::system::{System, SystemSettings};
use study::model::Model;
use study::{Case, Engine, Watch};

/// Name and version of the JSON.
pub const FORMAT: &str = "pullmap-seats-2";
/// At most this many stable rests are judged.
const MOST_RESTS: usize = 4;
/// A rest this near to the middle is in the middle, however little room there is, mm.
const MIDDLE_MM: f64 = 3.0;
/// A place closer than this to another in both offsets is the same place, mm.
const SAME_MM: f64 = 0.6;

/// What a place holds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Holds {
    /// Highest load of the pull, kN.
    pub peak_kn: f64,
    /// The part that fails first.
    #[serde(serialize_with = "json::mode")]
    pub fails_first: FailureMode,
    /// How the pull ends.
    pub ends: Ends,
    /// Where the frame tears in the end.
    #[serde(serialize_with = "json::maybe_place")]
    pub tears_at: Option<FrameLocation>,
}

impl Holds {
    fn of(limits: Limits) -> Self {
        let Limits { peak_kn, fails_first, ends, tears_at, .. } = limits;
        Self { peak_kn, fails_first, ends, tears_at }
    }
}

/// A place of both loads.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeatPlace {
    /// What it is called.
    pub name: String,
    /// Offset of the upper load, mm, positive toward the gate.
    pub upper_mm: f64,
    /// Offset of the lower load, mm.
    pub lower_mm: f64,
    /// Distance of the load points, mm.
    pub distance_mm: f64,
    /// How the loads stand there without friction.
    pub footing: Footing,
    /// Friction needed to stay, upper and lower end.
    pub friction_needed: [f64; 2],
    /// Whether the friction that the rig relies on is enough.
    pub held: bool,
    /// Part of all starting places from which the loads run here; stable rests only.
    pub share_of_starting_places: Option<f64>,
    /// What it holds; absent when the rig does not fit there.
    pub forecast: Option<Holds>,
    /// Why it has no forecast.
    pub no_forecast: Option<String>,
}

impl SeatPlace {
    /// The larger friction of the two ends.
    #[must_use]
    pub fn needs(&self) -> f64 {
        self.friction_needed[0].max(self.friction_needed[1])
    }
}

/// What was found about the seats of a model.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeatsFound {
    /// [`FORMAT`].
    pub format: &'static str,
    /// Name of the connector.
    pub connector: String,
    /// The rig in a line, its own offsets included.
    pub rig: String,
    /// What was assumed about it, in words.
    pub assumed: Vec<String>,
    /// Friction that the rig relies on.
    pub friction: f64,
    /// What the shape does with loads that are left to themselves.
    pub regime: Regime,
    /// The regime in a sentence, with numbers.
    pub sentence: String,
    /// Offsets at which each end's load fits, mm.
    pub room_mm: [[f64; 2]; 2],
    /// Stable rests, the one that draws from farthest first.
    pub resting_places: Vec<SeatPlace>,
    /// Other places worth knowing: the model's own, the middle, both ends.
    pub places: Vec<SeatPlace>,
    /// Part of all starting places from which nothing draws anywhere.
    pub level_ground: f64,
    /// Ranges of equal offsets at which friction holds both loads, mm.
    pub held_together_mm: Vec<[f64; 2]>,
    /// Whether narrow straps cut strength here.
    pub widths: Option<Widths>,
    /// The caution.
    pub caution: &'static str,
}

/// The tracks of a rig's loads; a loader that fits nowhere is told with what does.
///
/// # Errors
/// The rig does not fit.
fn seating_of(system: &System, rig: &Rig, title: &str) -> Result<Seating, Failure> {
    match Seating::on(system, rig) {
        Some(seating) => Ok(seating),
        None => match system.check_rig(rig) {
            Err(reason) => Err(Failure::solving(title, &reason)),
            Ok(()) => Err(Failure::solving(title, &"a bar is wider than the window; use a thinner one")),
        },
    }
}

/// Finds rests and places, and what each holds.
///
/// # Errors
/// The connector cannot be drawn or meshed, or a load is wider than its bar.
pub fn seats(model: &Model, engine: &Engine) -> Result<SeatsFound, Failure> {
    let rig = model.rig;
    let case = model.case(SystemSettings::default());
    let system = &*engine.system(&case).map_err(|e| Failure::building(&model.title, &e))?;
    let seating = seating_of(system, &rig, &model.title)?;
    let (rests, level_ground) = seating.rests();
    let regime = regime(&seating, &rests);
    let (upper, lower) = (seating.upper.range(), seating.lower.range());

    let mut wanted: Vec<(String, f64, f64, Option<f64>)> = rests
        .iter()
        .take(MOST_RESTS)
        .map(|r| {
            let name = rest_name(r.upper_mm, r.lower_mm, upper, lower);
            (name, r.upper_mm, r.lower_mm, Some(r.share_of_starting_places))
        })
        .collect();
    let stable = wanted.len();
    let middle = |range: (f64, f64)| 0.0_f64.clamp(range.0, range.1);
    let others = [
        ("as in the model", rig.upper.offset_mm(), rig.lower.offset_mm()),
        ("both in the middle", middle(upper), middle(lower)),
        ("both as near to the gate as fits", upper.1, lower.1),
        ("both as near to the spine as fits", upper.0, lower.0),
    ];
    for (name, u, l) in others {
        let known = wanted.iter().any(|w| (w.1 - u).abs() < SAME_MM && (w.2 - l).abs() < SAME_MM);
        if !known {
            // A rest beside it may have its name.
            let taken = wanted.iter().any(|w| w.0 == name);
            let name = if taken { format!("{name}, exactly") } else { name.to_owned() };
            wanted.push((name, u, l, None));
        }
    }
    let cases: Vec<Case> =
        wanted.iter().map(|w| Case { rig: rig.placed(w.1, w.2), ..case.clone() }).collect();
    let mut judged: Vec<SeatPlace> = wanted
        .into_iter()
        .zip(engine.evaluate(&cases, &Watch::quiet()))
        .map(|((name, upper_mm, lower_mm, share_of_starting_places), pulled)| {
            let friction_needed = seating.friction_needed(upper_mm, lower_mm);
            let (forecast, no_forecast) = match pulled {
                Ok(pulled) => (Some(Holds::of(pulled.limits)), None),
                Err(reason) => (None, Some(reason.to_string())),
            };
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
                forecast,
                no_forecast,
            }
        })
        .collect();
    let places = judged.split_off(stable);
    let mut found = SeatsFound {
        format: FORMAT,
        connector: model.title.clone(),
        rig: rigs::rig(&rig),
        assumed: report::notes::all_taken(model),
        friction: rig.friction,
        regime,
        sentence: String::new(),
        room_mm: [[upper.0, upper.1], [lower.0, lower.1]],
        resting_places: judged,
        places,
        level_ground,
        held_together_mm: seating.held_together(rig.friction_holds()),
        widths: widths::compare(engine, &case, system),
        caution: CAUTION,
    };
    found.sentence = answer::sentence(&found, &rig);
    Ok(found)
}

/// What a rest is called after where it lies in the room of its loads.
pub(crate) fn rest_name(u: f64, l: f64, upper: (f64, f64), lower: (f64, f64)) -> String {
    let third = |x: f64, range: (f64, f64)| {
        let room = range.1 - range.0;
        let middle = 0.0_f64.clamp(range.0, range.1);
        if room < 2.0 || (x - middle).abs() < MIDDLE_MM {
            return 1;
        }
        match (x - range.0) / room {
            part if part < 1.0 / 3.0 => 0,
            part if part > 2.0 / 3.0 => 2,
            _ => 1,
        }
    };
    let words = ["at the spine", "in the middle", "at the gate"];
    let (a, b) = (third(u, upper), third(l, lower));
    if a == b { format!("both {}", words[a]) } else { format!("upper {}, lower {}", words[a], words[b]) }
}

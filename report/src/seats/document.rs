//! What was found about the seats of a model, as JSON has it.

use super::places::{name, rest};
use super::{sentence, widths_sentence};
use crate::caution::CAUTION;
use crate::{failure_modes, locations, notes, rigs};
use serde::Serialize;
use solver::seats::{Footing, Regime};
use solver::strength::Ends;
use study::model::Model;
use study::seats::{Holds, SeatPlace, SeatsFound, WidthForecast, Widths};

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-seats-2";

/// What was found, in words and numbers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Document {
    format: &'static str,
    connector: String,
    rig: String,
    assumed: Vec<String>,
    friction: f64,
    regime: Regime,
    sentence: String,
    room_mm: [[f64; 2]; 2],
    resting_places: Vec<PlaceInWords>,
    places: Vec<PlaceInWords>,
    level_ground: f64,
    held_together_mm: Vec<[f64; 2]>,
    widths: Option<WidthsInWords>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
struct PlaceInWords {
    name: String,
    upper_mm: f64,
    lower_mm: f64,
    distance_mm: f64,
    footing: Footing,
    friction_needed: [f64; 2],
    held: bool,
    share_of_starting_places: Option<f64>,
    forecast: Option<HoldsInWords>,
    no_forecast: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
struct HoldsInWords {
    peak_kn: f64,
    fails_first: &'static str,
    ends: Ends,
    tears_at: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
struct WidthsInWords {
    narrow: WidthInWords,
    wide: WidthInWords,
    middle_mm: [f64; 2],
    in_the_middle: f64,
    at_their_resting_places: f64,
    sentence: String,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
struct WidthInWords {
    width_mm: f64,
    middle_kn: f64,
    middle_fails_first: &'static str,
    middle_held: bool,
    held_everywhere: bool,
    rest: String,
    rest_share_of_starting_places: Option<f64>,
    rest_mm: [f64; 2],
    rest_kn: f64,
    rest_fails_first: &'static str,
    likeliest: Option<LikeliestInWords>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
struct LikeliestInWords {
    rest: String,
    share_of_starting_places: f64,
    rest_kn: f64,
}

impl Document {
    /// Tells what was found about the seats of a model.
    #[must_use]
    pub fn new(found: &SeatsFound, model: &Model) -> Self {
        let all = |places: &[SeatPlace]| places.iter().map(PlaceInWords::from).collect();
        Self {
            format: FORMAT,
            connector: model.title.clone(),
            rig: rigs::rig(&model.rig),
            assumed: notes::all_taken(model),
            friction: found.friction,
            regime: found.regime,
            sentence: sentence(found, &model.rig),
            room_mm: found.room_mm,
            resting_places: all(&found.resting_places),
            places: all(&found.places),
            level_ground: found.level_ground,
            held_together_mm: found.held_together_mm.clone(),
            widths: found.widths.as_ref().map(|widths| WidthsInWords::new(widths, found.friction)),
            caution: CAUTION,
        }
    }
}

impl From<&SeatPlace> for PlaceInWords {
    fn from(place: &SeatPlace) -> Self {
        Self {
            name: name(place.name),
            upper_mm: place.upper_mm,
            lower_mm: place.lower_mm,
            distance_mm: place.distance_mm,
            footing: place.footing,
            friction_needed: place.friction_needed,
            held: place.held,
            share_of_starting_places: place.share_of_starting_places,
            forecast: place.holds.as_ref().ok().map(HoldsInWords::from),
            no_forecast: place.holds.as_ref().err().map(ToString::to_string),
        }
    }
}

impl From<&Holds> for HoldsInWords {
    fn from(holds: &Holds) -> Self {
        Self {
            peak_kn: holds.peak_kn,
            fails_first: failure_modes::name(holds.fails_first),
            ends: holds.ends,
            tears_at: holds.tears_at.map(locations::frame),
        }
    }
}

impl WidthsInWords {
    fn new(widths: &Widths, friction: f64) -> Self {
        Self {
            narrow: (&widths.narrow).into(),
            wide: (&widths.wide).into(),
            middle_mm: widths.middle_mm,
            in_the_middle: widths.in_the_middle,
            at_their_resting_places: widths.at_their_resting_places,
            sentence: widths_sentence(widths, friction),
        }
    }
}

impl From<&WidthForecast> for WidthInWords {
    fn from(width: &WidthForecast) -> Self {
        Self {
            width_mm: width.width_mm,
            middle_kn: width.middle_kn,
            middle_fails_first: failure_modes::name(width.middle_fails_first),
            middle_held: width.middle_held,
            held_everywhere: width.held_everywhere,
            rest: rest(width.rest),
            rest_share_of_starting_places: width.rest_share_of_starting_places,
            rest_mm: width.rest_mm,
            rest_kn: width.rest_kn,
            rest_fails_first: failure_modes::name(width.rest_fails_first),
            likeliest: width.likeliest.as_ref().map(|other| LikeliestInWords {
                rest: rest(other.rest),
                share_of_starting_places: other.share_of_starting_places,
                rest_kn: other.rest_kn,
            }),
        }
    }
}

//! What was found about the seats of a model, as JSON has it.

use super::places::{name, rest};
use super::{sentence, widths_sentence};
use crate::caution::CAUTION;
use crate::{building, failure_modes, locations, notes, rigs};
use schemars::JsonSchema;
use serde::Serialize;
use solver::seats::{Footing, Regime};
use solver::strength::Ends;
use study::model::Model;
use study::seats::{Holds, SeatPlace, SeatsFound, WidthForecast, Widths};

/// Name and version of the JSON.
const FORMAT: &str = "pullmap-seats-2";

/// What was found, in words and numbers.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Document {
    /// Name and version of this format.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// Title of the connector, from its model file.
    connector: String,
    /// Load, state of the gate and what pulls, in words.
    rig: String,
    /// What was assumed where nothing is told, in words.
    assumed: Vec<String>,
    /// Coefficient of friction that the rig relies on.
    #[schemars(range(min = 0, max = 1))]
    friction: f64,
    /// What the shape does with loads that are left to themselves.
    regime: Regime,
    /// The regime in a sentence, with numbers.
    sentence: String,
    /// Offsets from and to which the load fits, mm: of the upper end, then of the lower.
    #[schemars(extend("minItems" = 2, "maxItems" = 2))]
    room_mm: [[f64; 2]; 2],
    /// Stable resting places, the one that draws from farthest first; at most four.
    #[schemars(extend("maxItems" = 4))]
    resting_places: Vec<PlaceInWords>,
    /// Other places worth knowing: as in the model, in the middle, as near to gate and spine as fits. Those that are among
    /// the resting places are left out.
    #[schemars(extend("maxItems" = 4))]
    places: Vec<PlaceInWords>,
    /// Part of all starting places from which nothing draws anywhere, 0 to 1.
    #[schemars(range(min = 0, max = 1))]
    level_ground: f64,
    /// Ranges of equal offsets, from and to, at which friction holds both loads, mm.
    held_together_mm: Vec<[f64; 2]>,
    /// Null when no wider strap fits, or one of the two cannot be pulled in the middle.
    widths: Option<WidthsInWords>,
    /// What the numbers are not.
    caution: &'static str,
}

/// A place of both loads.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct PlaceInWords {
    /// What it is called.
    name: String,
    /// Offset of the upper load, mm, above 0 toward the gate.
    upper_mm: f64,
    /// Offset of the lower load, mm, above 0 toward the gate.
    lower_mm: f64,
    /// Distance of the two load points, mm.
    #[schemars(extend("exclusiveMinimum" = 0))]
    distance_mm: f64,
    /// How the loads stand there without friction: they come back when moved; nothing moves them; in balance, and the least
    /// move makes them run away; they slide. A place where they slide and friction holds them is printed as `slides, held`,
    /// one in balance that friction holds as `held`; `held` tells it here.
    footing: Footing,
    /// Coefficient of friction needed to stay, upper and lower end.
    #[schemars(inner(range(min = 0)))]
    friction_needed: [f64; 2],
    /// Whether the friction that the rig relies on is enough, to within the 0.005 to which coefficients are told.
    held: bool,
    /// Part of all starting places from which the loads run here, 0 to 1; stable resting places only, else null.
    #[schemars(range(min = 0, max = 1))]
    share_of_starting_places: Option<f64>,
    /// Null when the rig does not fit there.
    forecast: Option<HoldsInWords>,
    /// Why it has no forecast; null when it has one.
    no_forecast: Option<String>,
}

/// What a place holds.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct HoldsInWords {
    /// Highest load of the pull, kN.
    #[schemars(range(min = 0))]
    peak_kn: f64,
    /// The part that fails first.
    fails_first: &'static str,
    /// How the pull ends: a part breaks and the open hook cannot hold what is on it; the frame opens; the strap breaks.
    ends: Ends,
    /// Where the frame tears in the end, in words; null when the strap goes first.
    tears_at: Option<String>,
}

/// What narrow and wide straps do.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct WidthsInWords {
    narrow: WidthInWords,
    wide: WidthInWords,
    /// Offsets of the middle that both are compared in, upper and lower, mm: zero, or as near to it as the wide strap gets.
    #[schemars(extend("minItems" = 2, "maxItems" = 2))]
    middle_mm: [f64; 2],
    /// Forecast of the narrow strap over that of the wide one, both in the middle.
    #[schemars(extend("exclusiveMinimum" = 0))]
    in_the_middle: f64,
    /// The same, each strap at its weakest resting place.
    #[schemars(extend("exclusiveMinimum" = 0))]
    at_their_resting_places: f64,
    /// Whether narrow straps cut strength here, in words.
    sentence: String,
}

/// Straps of a width.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct WidthInWords {
    /// Width, mm.
    #[schemars(extend("exclusiveMinimum" = 0))]
    width_mm: f64,
    /// Forecast with both straps in the middle, kN.
    #[schemars(range(min = 0))]
    middle_kn: f64,
    /// What fails first there.
    middle_fails_first: &'static str,
    /// Whether the friction that the rig relies on keeps both straps in the middle.
    middle_held: bool,
    /// Whether that friction keeps both straps wherever they are put at equal offsets: no rest draws them then, and the
    /// sentence compares the middle only.
    held_everywhere: bool,
    /// Where they rest, in words: the weakest of those resting places that draw from at least 4 % of all starting places.
    rest: String,
    /// Part of all starting places from which the straps run there, 0 to 1; null when nothing leads them anywhere.
    #[schemars(range(min = 0, max = 1))]
    rest_share_of_starting_places: Option<f64>,
    /// Offsets of that rest, upper and lower, mm.
    #[schemars(extend("minItems" = 2, "maxItems" = 2))]
    rest_mm: [f64; 2],
    /// Forecast there, kN.
    #[schemars(range(min = 0))]
    rest_kn: f64,
    /// What fails first there.
    rest_fails_first: &'static str,
    /// The rest that draws from most places; null when that is the weakest.
    likeliest: Option<LikeliestInWords>,
}

/// A likelier resting place.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
struct LikeliestInWords {
    /// Where it is, in words.
    rest: String,
    /// Part of all starting places from which the straps run there, 0 to 1.
    #[schemars(range(min = 0, max = 1))]
    share_of_starting_places: f64,
    /// Forecast there, kN.
    #[schemars(range(min = 0))]
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
            no_forecast: place.holds.as_ref().err().map(building::there),
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

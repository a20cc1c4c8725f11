//! Words of the picture of resting places.

use crate::failure_modes;
use crate::numbers::kilonewtons;
use crate::seats::friction;
use solver::seats::Footing;
use study::seats::SeatPlace;

/// What a place holds, as the large number of its panel.
#[must_use]
pub fn number(place: &SeatPlace) -> String {
    place
        .holds
        .as_ref()
        .map_or_else(|_| "does not fit".to_owned(), |holds| kilonewtons(holds.peak_kn).replace(' ', "\u{a0}"))
}

/// The lines under the number: what fails first, and how the loads stand there beside the friction of the rig.
#[must_use]
pub fn lines(place: &SeatPlace, rig_friction: f64) -> Vec<String> {
    let mut lines: Vec<String> =
        place.holds.iter().map(|holds| failure_modes::name(holds.fails_first).to_owned()).collect();
    lines.push(match place.footing {
        Footing::Stable => "rests here without friction".to_owned(),
        Footing::Neutral => "neutral: nothing moves it".to_owned(),
        Footing::Unstable if place.held => format!("in balance; friction of {rig_friction:.2} keeps it"),
        Footing::Unstable => "unstable: in balance only".to_owned(),
        Footing::Slides => {
            format!("needs friction {}, has {rig_friction:.2}", friction(place.needs()))
        }
    });
    lines
}

/// The name of the picture; `bars` is how many of the two loads are bars.
#[must_use]
pub fn name(connector: &str, bars: usize) -> String {
    let loads = match bars {
        0 => "straps",
        2 => "bars",
        _ => "straps and bars",
    };
    format!("{connector}: where {loads} come to rest")
}

//! From what was found about the seats to the picture of it.

use crate::mapping::load_shape;
use geometry::curve::Point;
use report::caution::CAUTION;
use report::changes::heading;
use report::letters::{capital, typeset};
use report::pictures::{seats as words, source_line};
use report::rigs;
use report::seats::{name as place_name, sentence, widths_sentence};
use solver::rig::{GateState, Loader};
use solver::seats::{Footing, Seating};
use solver::system::System;
use study::model::Model;
use study::seats::{SeatPlace, SeatsFound};
use viz::{Drawing, SeatPanel, SeatsPicture, SheetWords};

/// Draws the places. `source`: the model's short name and the inputs' hash; `sets`: what was changed.
#[must_use]
pub fn picture(
    found: &SeatsFound,
    model: &Model,
    system: &System,
    source: (&str, &str),
    sets: &[(String, String)],
    size: [u32; 2],
) -> Drawing {
    let outline = &system.outline;
    let panels = found.resting_places.iter().chain(&found.places).map(|place| panel(place, model, system));
    let (name, hash) = source;
    let bars = [model.rig.upper, model.rig.lower].iter().filter(|l| matches!(l, Loader::Bar { .. })).count();
    SeatsPicture {
        words: SheetWords {
            name: report::pictures::seats::name(&model.title, bars),
            title: model.title.clone(),
            subtitle: heading(&rigs::rig(&model.rig), sets),
            sentence: typeset(&sentence(found, &model.rig)),
            note: found
                .widths
                .as_ref()
                .map_or_else(String::new, |w| typeset(&widths_sentence(w, found.friction))),
            caution: CAUTION.to_owned(),
            source_line: source_line(name, hash),
        },
        frame: outline.frame.polygons(),
        gate: outline.gate.polygons(),
        gate_open: model.rig.gate == GateState::Open,
        pins: [outline.seats.nose_pin, outline.seats.hinge_pin].map(|p| (p.centre, p.radius)).to_vec(),
        friction_deg: found.friction.atan().to_degrees(),
        panels: panels.collect(),
    }
    .drawing(size[0], size[1])
}

fn panel(place: &SeatPlace, model: &Model, system: &System) -> SeatPanel {
    let rig = model.rig.placed(place.upper_mm, place.lower_mm);
    let axis = system.pull_axis(rig.upper, rig.lower);
    let up = axis.direction;
    let down = up.map(|d| 0.0 - d);
    let loads = [
        load_shape(&system.upper, rig.upper, axis.upper, up, [0.0; 2]),
        load_shape(&system.lower, rig.lower, axis.lower, down, [0.0; 2]),
    ];
    let slopes = Seating::on(system, &rig)
        .map_or([0.0; 2], |s| [s.upper.slope(place.upper_mm), s.lower.slope(place.lower_mm)]);
    let normal = |slope: f64, sign: f64| -> Point {
        let long = slope.hypot(1.0);
        [sign * slope / long, -sign / long]
    };
    SeatPanel {
        name: capital(&place_name(place.name)),
        stable: place.footing == Footing::Stable,
        loads,
        points: [axis.upper, axis.lower],
        normals: [normal(slopes[0], 1.0), normal(slopes[1], -1.0)],
        number: words::number(place),
        lines: words::lines(place, model.rig.friction),
    }
}

//! From an explanation to the picture of it.

use crate::mapping::load_shape;
use geometry::curve::Point;
use geometry::outline::{Along, FrameLocation, Outline};
use report::caution::CAUTION;
use report::explain::{Explanation, RankedCause};
use report::letters::typeset;
use report::numbers::likelihood;
use report::pictures::{explain as words, source_line};
use solver::response::PullAxis;
use solver::rig::GateState;
use solver::strength::{FailureMode, part_point};
use solver::system::System;
use viz::{CauseRow, CauseShape, Drawing, ExplainPicture, SheetWords};

/// Causes below this likelihood are told in words and files only.
const SHOWN: f64 = 0.01;

/// Draws the ranking. `system` is that of the connector as entered; `source` the model's short name and the inputs' hash;
/// `sets` what was changed about the model.
#[must_use]
pub fn picture(
    found: &Explanation,
    system: &System,
    source: (&str, &str),
    sets: &[(String, String)],
    size: [u32; 2],
) -> Drawing {
    let percent_of = |c: &RankedCause| typeset(&likelihood(c.likelihood));
    let mut rows: Vec<CauseRow> = found
        .causes
        .iter()
        .filter(|c| c.likelihood >= SHOWN)
        .map(|c| row(c, percent_of(c), system))
        .collect();
    if rows.is_empty() {
        rows.push(CauseRow { likelihood: 0.0, ..row(&found.as_entered, words::DOES_NOT.to_owned(), system) });
    }
    rows.truncate(viz::MOST_CAUSES);
    let others = if found.explained { 1.0 - rows.iter().map(|r| r.likelihood).sum::<f64>() } else { 0.0 };
    let (name, hash) = source;
    ExplainPicture {
        words: SheetWords {
            name: words::name(&found.connector),
            title: found.connector.clone(),
            subtitle: words::subtitle(&found.rig, sets),
            sentence: typeset(&found.sentence),
            note: words::note(found, others),
            caution: CAUTION.to_owned(),
            source_line: source_line(name, hash),
        },
        rows,
    }
    .drawing(size[0], size[1])
}

fn row(cause: &RankedCause, percent: String, system: &System) -> CauseRow {
    let rig = cause.setting.rig;
    let own = Outline::try_new(&cause.setting.connector, rig.gate.place()).ok();
    // Every setting that was solved has an outline.
    let outline = own.as_ref().unwrap_or(&system.outline);
    let axis = system.pull_axis(rig.upper, rig.lower);
    let up = axis.direction;
    CauseRow {
        likelihood: cause.likelihood,
        percent,
        cause: typeset(&cause.cause),
        gives: words::gives(cause),
        shape: CauseShape {
            frame: outline.frame.polygons(),
            gate: outline.gate.polygons(),
            pins: [outline.seats.nose_pin, outline.seats.hinge_pin].map(|p| (p.centre, p.radius)).to_vec(),
        },
        loads: vec![
            load_shape(&system.upper, rig.upper, axis.upper, up, [0.0; 2]),
            load_shape(&system.lower, rig.lower, axis.lower, up.map(|d| 0.0 - d), [0.0; 2]),
        ],
        gate_open: rig.gate == GateState::Open,
        marks: marks(outline, &axis, cause),
    }
}

/// Where a part is: of a frame that opens each place at which it may tear.
fn marks(outline: &Outline, axis: &PullAxis, cause: &RankedCause) -> Vec<Point> {
    match cause.fails_first {
        FailureMode::FrameOpens => {
            let tears = [cause.tears_at, cause.may_tear_at].into_iter().flatten();
            tears.flat_map(|t| tear_marks(outline, t)).collect()
        }
        part => vec![part_point(part, outline, axis, None)],
    }
}

/// The middle of the edge of a tear's place; both ends of the bar where either may go.
fn tear_marks(outline: &Outline, tears_at: FrameLocation) -> Vec<Point> {
    let places = match tears_at {
        FrameLocation::Bar(bar, Along::EitherEnd, across) => {
            [Along::Start, Along::End].map(|along| FrameLocation::Bar(bar, along, across)).to_vec()
        }
        one => vec![one],
    };
    let edge = edge_points(outline);
    places
        .iter()
        .filter_map(|place| {
            let on: Vec<&Point> = edge.iter().filter(|p| outline.frame_location(**p) == *place).collect();
            on.get(on.len() / 2).map(|p| **p)
        })
        .collect()
}

/// Points all along the frame's edge: straight bars have corners at their ends only.
fn edge_points(outline: &Outline) -> Vec<Point> {
    const APART_MM: f64 = 0.5;
    let mut points = Vec::new();
    for polygon in outline.frame.polygons() {
        for (i, from) in polygon.iter().enumerate() {
            let to = polygon[(i + 1) % polygon.len()];
            let steps = ((to[0] - from[0]).hypot(to[1] - from[1]) / APART_MM).ceil().max(1.0);
            let at = |k: u32| [0, 1].map(|d| from[d] + (to[d] - from[d]) * f64::from(k) / steps);
            points.extend((0..).take_while(|k| f64::from(*k) < steps).map(at));
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source;
    use geometry::outline::{Across, Bar};
    use study::explain::coarse_mesh;

    #[test]
    fn every_tear_has_its_mark_on_straight_bars_too() {
        let outline = |name: &str| {
            let model = source::find(name).unwrap().model(&[]).unwrap();
            Outline::try_new(&model.connector, model.rig.gate.place()).unwrap()
        };
        for (name, tears_at, count) in [
            ("pear", FrameLocation::Bar(Bar::Upper, Along::Start, Across::Outer), 1),
            ("broadbar-alu", FrameLocation::Bar(Bar::Lower, Along::Middle, Across::Outer), 1),
            ("offset-d", FrameLocation::Bar(Bar::Spine, Along::EitherEnd, Across::Inner), 2),
        ] {
            assert_eq!(tear_marks(&outline(name), tears_at).len(), count, "{name}: {tears_at:?}");
        }
    }

    #[test]
    fn a_half_shut_gate_is_drawn_as_far_in_as_its_row_says() {
        let model = source::find("broadbar-alu").unwrap().model(&[]).unwrap();
        let told = model.case(coarse_mesh());
        let system = told.build().unwrap();
        let cause = |gate| {
            let mut setting = told.clone();
            setting.rig.gate = gate;
            RankedCause {
                cause: String::new(),
                family: String::new(),
                values: Vec::new(),
                likely: String::new(),
                likelihood: 0.5,
                fit: 1.0,
                friction_needed: None,
                peak_kn: 10.0,
                pull_ends_at_kn: 10.0,
                fails_first: FailureMode::Lip,
                near_tie: None,
                tears_at: None,
                may_tear_at: None,
                misses: String::new(),
                measure: String::new(),
                keys: None,
                setting,
            }
        };
        let nose_pin = |gate| row(&cause(gate), String::new(), &system).shape.pins[0].0;
        let (shut, half) = (nose_pin(GateState::Closed), nose_pin(GateState::Half { engaged_mm: 2.0 }));
        assert_eq!(shut, system.outline.seats.nose_pin.centre);
        // Notch 6 deep, clearance 0.15: the pin slides 3.85 along the flank, which leans by its angle.
        let moved = f64::hypot(half[0] - shut[0], half[1] - shut[1]);
        let slide = 3.85 / model.connector.nose.flank_angle_deg.to_radians().cos();
        assert!((moved - slide).abs() < 1e-9, "{moved}");
        let gate = |gate| row(&cause(gate), String::new(), &system).shape.gate;
        assert!(gate(GateState::Half { engaged_mm: 2.0 }) != gate(GateState::Closed));
    }
}

//! Places in words, for people.

use super::Outline;
use super::window_path::PathPart;
use crate::connector::LipOn;
use crate::curve::Point;

/// Half the width of what counts as the middle of a round end, mm.
const MID_WIDTH_MM: f64 = 4.0;

fn distance(a: Point, b: Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

impl Outline {
    /// Names a place of the frame, such as "spine, inner side beside the lower corner".
    #[must_use]
    pub fn frame_place(&self, p: Point) -> String {
        let seats = &self.seats;
        let notch = &seats.notch;
        if self.lip_on == LipOn::Frame && distance(p, notch.end.centre) < 1.8 * notch.end.radius {
            return self.notch_place(p);
        }
        if distance(p, seats.hinge_hole.centre) < seats.hinge_hole.radius + 0.6 {
            return "edge of the hinge hole".to_owned();
        }
        let place = self.strip.place(p);
        let (inner, outer) = self.strip.edges(place.segment, place.t);
        let across = (2.0 * place.outward_mm - inner - outer) / (outer - inner);
        let side = if across < -0.5 {
            "inner side"
        } else if across > 0.5 {
            "outer side"
        } else {
            "inside the bar"
        };
        let (t, length) = (place.t, self.strip.path[place.segment].curve.length());
        // Within 3 mm of a straight bar's end counts as beside its corner.
        let beside = |start: &str, end: &str, middle: &str| {
            let near = 3.0_f64.min(0.25 * length);
            if t * length < near {
                format!("{side} beside the {start}")
            } else if (1.0 - t) * length < near {
                format!("{side} beside the {end}")
            } else if (t - 0.5).abs() < 0.2 {
                format!("{side} {middle}")
            } else {
                side.to_owned()
            }
        };
        // Round ends have no straight bar: their middle is named like a bar's.
        if p[0].abs() < MID_WIDTH_MM {
            match self.strip.path[place.segment].part {
                PathPart::LowerGateCorner | PathPart::LowerSpineCorner => {
                    return format!("lower bar, {side} at mid width");
                }
                PathPart::UpperGateCorner | PathPart::UpperSpineCorner => {
                    return format!("upper bar, {side} at mid width");
                }
                _ => {}
            }
        }
        match self.strip.path[place.segment].part {
            PathPart::HingeLeg => format!("lug, {side}"),
            PathPart::LowerGateCorner => format!("lower corner on the gate side, {side}"),
            PathPart::LowerBar => {
                format!("lower bar, {}", beside("gate-side corner", "spine corner", "at mid width"))
            }
            PathPart::LowerSpineCorner => format!("lower corner of the spine, {side}"),
            PathPart::Spine => format!("spine, {}", beside("lower corner", "upper corner", "at mid height")),
            PathPart::UpperSpineCorner => format!("upper corner of the spine, {side}"),
            PathPart::UpperBar => {
                format!("upper bar, {}", beside("spine corner", "gate-side corner", "at mid width"))
            }
            PathPart::UpperGateCorner => format!("upper corner on the gate side, {side}"),
            PathPart::NoseLeg => format!("nose, {side}"),
        }
    }

    fn notch_place(&self, p: Point) -> String {
        let notch = &self.seats.notch;
        let from = [p[0] - notch.end.centre[0], p[1] - notch.end.centre[1]];
        let lip = -(from[0] * notch.from_lip[0] + from[1] * notch.from_lip[1]);
        let mouth = from[0] * notch.to_mouth[0] + from[1] * notch.to_mouth[1];
        if lip > 0.3 * notch.end.radius && mouth > 0.0 {
            "lip of the notch".to_owned()
        } else if lip > 0.3 * notch.end.radius {
            "root of the lip, in the notch".to_owned()
        } else if mouth < -0.5 * notch.end.radius {
            "closed end of the notch".to_owned()
        } else {
            "notch, on the bar's side".to_owned()
        }
    }

    /// Names a place of the gate.
    #[must_use]
    pub fn gate_place(&self, p: Point) -> String {
        let (nose, hinge) = (self.seats.gate_end, self.seats.hinge_pin.centre);
        let whole = distance(nose, hinge);
        let along = ((p[0] - hinge[0]) * (nose[0] - hinge[0]) + (p[1] - hinge[1]) * (nose[1] - hinge[1]))
            / (whole * whole);
        if along > 0.75 {
            "gate, at the nose pin".to_owned()
        } else if along < 0.25 {
            "gate, at the hinge pin".to_owned()
        } else {
            "gate, at mid length".to_owned()
        }
    }
}

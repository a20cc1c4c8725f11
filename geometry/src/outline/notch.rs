//! Where the nose pin sits, and the notch that holds it.

use super::window_path::window_corners;
use crate::connector::{Connector, GatePlace, LipOn};
use crate::curve::{Curve, Point};
use crate::region::{Piece, Stretch};

pub(crate) fn add(p: Point, scale: f64, v: Point) -> Point {
    [p[0] + scale * v[0], p[1] + scale * v[1]]
}

pub(crate) fn dot(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

pub(crate) fn between(from: Point, to: Point) -> Point {
    [to[0] - from[0], to[1] - from[1]]
}

/// The gate leg's own frame: along the window's gate side, and square to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LegFrame {
    /// The upper gate corner of the window before rounding.
    pub upper_corner: Point,
    /// The lower gate corner of the window before rounding.
    pub lower_corner: Point,
    /// Unit vector along the gate side, from the upper to the lower corner.
    pub down: Point,
    /// Unit vector square to it, out of the window.
    pub outward: Point,
}

impl LegFrame {
    /// The leg frame of a connector.
    #[must_use]
    pub fn new(connector: &Connector) -> Self {
        let [_, upper_corner, lower_corner, _] = window_corners(&connector.window);
        let [x, y] = between(upper_corner, lower_corner);
        let length = x.hypot(y);
        let down = [x / length, y / length];
        Self { upper_corner, lower_corner, down, outward: [-down[1], down[0]] }
    }
}

/// A circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circle {
    /// Centre.
    pub centre: Point,
    /// Radius, mm.
    pub radius: f64,
}

/// The notch: a slot with a round closed end and two parallel flanks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Notch {
    /// The round end.
    pub end: Circle,
    /// Unit vector along the flanks toward the mouth.
    pub to_mouth: Point,
    /// Unit vector from the lip's flank square into the notch.
    pub from_lip: Point,
    /// How far the centre of the round end lies inside the mouth, mm, measured square to the leg.
    pub inside_mouth_mm: f64,
}

/// Pin and notch at the nose, and the hinge pin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seats {
    /// The leg frame that everything here is laid out in.
    pub leg: LegFrame,
    /// Nose pin (or head) where it stands before the pull.
    pub nose_pin: Circle,
    /// The notch that holds it.
    pub notch: Notch,
    /// Hinge pin.
    pub hinge_pin: Circle,
    /// Hole of the hinge pin.
    pub hinge_hole: Circle,
    /// Centre of the gate's round end at the nose.
    pub gate_end: Point,
}

/// For a head on the nose: distance of its centre above the nose tip in pin radii (the shape of keyed noses; engineering
/// judgement).
const HEAD_ABOVE_TIP: f64 = 1.5;

impl Seats {
    /// How far the pin's centre lies inside the mouth, along the flanks, mm; negative outside.
    #[must_use]
    pub fn pin_inside_mouth_mm(&self) -> f64 {
        self.notch.inside_mouth_mm + self.notch.end.radius - self.pin_to_closed_end_mm()
    }

    /// Distance from the pin's centre to the notch's closed end, along the flanks, mm.
    #[must_use]
    pub fn pin_to_closed_end_mm(&self) -> f64 {
        dot(between(self.notch.closed_end(), self.nose_pin.centre), self.notch.to_mouth)
    }

    /// Lays out pins and notch.
    #[must_use]
    pub fn new(connector: &Connector, place: GatePlace) -> Self {
        let leg = LegFrame::new(connector);
        let nose = &connector.nose;
        let (pin_radius, notch_radius) = (0.5 * nose.pin_diameter_mm, nose.notch_radius_mm());
        let up = [-leg.down[0], -leg.down[1]];
        let (sine, cosine) = nose.flank_angle_deg.to_radians().sin_cos();
        // With the lip in the gate, the notch is the same one turned by half a turn.
        let sign = match nose.lip_on {
            LipOn::Frame => 1.0,
            LipOn::Gate => -1.0,
        };
        let to_mouth =
            add([-sign * cosine * leg.outward[0], -sign * cosine * leg.outward[1]], sign * sine, up);
        let from_lip = add([sign * cosine * up[0], sign * cosine * up[1]], sign * sine, leg.outward);
        let inside_mouth_mm = nose.notch_depth_mm - notch_radius;
        let (along, square) = match nose.lip_on {
            LipOn::Frame => (nose.tip_mm - nose.lip_height_mm - notch_radius, inside_mouth_mm),
            LipOn::Gate => (nose.tip_mm - HEAD_ABOVE_TIP * pin_radius, 0.5 * connector.upper.depth_mm),
        };
        let seat = add(add(leg.upper_corner, along, leg.down), square, leg.outward);
        let slide = match place {
            GatePlace::Shut => 0.0,
            GatePlace::Half { engaged_mm } => {
                (nose.notch_depth_mm - nose.pin_clearance_mm - engaged_mm) / cosine
            }
        };
        let (pin_centre, notch_centre, gate_end) = match nose.lip_on {
            LipOn::Frame => {
                let pin = add(seat, slide, to_mouth);
                (pin, seat, pin)
            }
            LipOn::Gate => {
                let notch = add(seat, -slide, to_mouth);
                (seat, notch, notch)
            }
        };
        let hinge = &connector.hinge;
        let hinge_centre = add(
            add(leg.lower_corner, -hinge.height_mm, leg.down),
            0.5 * connector.lower.depth_mm,
            leg.outward,
        );
        let hinge_radius = 0.5 * hinge.pin_diameter_mm;
        Self {
            leg,
            nose_pin: Circle { centre: pin_centre, radius: pin_radius },
            notch: Notch {
                end: Circle { centre: notch_centre, radius: notch_radius },
                to_mouth,
                from_lip,
                inside_mouth_mm,
            },
            hinge_pin: Circle { centre: hinge_centre, radius: hinge_radius },
            hinge_hole: Circle { centre: hinge_centre, radius: hinge_radius + hinge.pin_clearance_mm },
            gate_end,
        }
    }
}

impl Notch {
    /// Where the lip's flank meets the round end.
    #[must_use]
    pub fn lip_root(&self) -> Point {
        add(self.end.centre, -self.end.radius, self.from_lip)
    }

    /// Where the other flank meets the round end.
    #[must_use]
    pub fn back_root(&self) -> Point {
        add(self.end.centre, self.end.radius, self.from_lip)
    }

    /// The innermost point of the closed end, on the axis of the notch.
    #[must_use]
    pub fn closed_end(&self) -> Point {
        add(self.end.centre, -self.end.radius, self.to_mouth)
    }

    /// The edge of the notch from `back_mouth` in, round the end and out to `lip_mouth`, material on the left. The round
    /// end is cut at [`Notch::closed_end`].
    pub(super) fn pieces(&self, back_mouth: Point, lip_mouth: Point) -> Vec<Piece> {
        let Circle { centre, radius } = self.end;
        let back = self.from_lip[1].atan2(self.from_lip[0]);
        let quarter = 0.5 * std::f64::consts::PI;
        let arc = |from: f64, to: f64| Piece {
            curve: Curve::Arc { centre, radius, from, to },
            stretch: Stretch::NotchEnd,
        };
        vec![
            Piece {
                curve: Curve::Line { from: back_mouth, to: self.back_root() },
                stretch: Stretch::BackFlank,
            },
            arc(back, back - quarter),
            arc(back - quarter, back - 2.0 * quarter),
            Piece { curve: Curve::Line { from: self.lip_root(), to: lip_mouth }, stretch: Stretch::LipFlank },
        ]
    }
}

/// Two half circles; clockwise for a hole.
pub(super) fn circle(circle: Circle, clockwise: bool, stretch: Stretch) -> Vec<Piece> {
    let half = if clockwise { -std::f64::consts::PI } else { std::f64::consts::PI };
    let Circle { centre, radius } = circle;
    [(0.0, half), (half, 2.0 * half)]
        .map(|(from, to)| Piece { curve: Curve::Arc { centre, radius, from, to }, stretch })
        .to_vec()
}

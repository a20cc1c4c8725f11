//! Places on the two bodies, as one says where something is: the part, how far along it, and which side of it.

use super::Outline;
use super::corner::Corner;
use super::window_path::PathPart;
use crate::connector::LipOn;
use crate::curve::Point;

/// Half the width of what counts as the middle of a round end, mm.
const MID_WIDTH_MM: f64 = 4.0;

/// Where between its two edges a point of the frame lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Across {
    /// On the side of the window.
    Inner,
    /// Inside the bar.
    Inside,
    /// On the outer side.
    Outer,
}

/// A straight part of the frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Bar {
    /// The bar at the hinge end.
    Lower,
    /// The spine.
    Spine,
    /// The bar at the nose end.
    Upper,
}

/// Where along a straight part a point lies, from the hinge round to the nose.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Along {
    /// Beside the corner where it begins: the lower corner of the spine, the gate-side corner of the lower bar.
    Start,
    /// About its middle.
    Middle,
    /// Beside the corner where it ends.
    End,
    /// Between these.
    Between,
    /// Beside either corner: of a tear, where both have yielded through.
    EitherEnd,
}

/// A place of the frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FrameLocation {
    /// The lip of the notch.
    NotchLip,
    /// Where the lip begins, in the notch.
    LipRoot,
    /// The closed end of the notch.
    NotchEnd,
    /// The side of the notch that faces the bar.
    NotchBarSide,
    /// The edge of the hinge hole.
    HingeHole,
    /// A straight part.
    Bar(Bar, Along, Across),
    /// A corner.
    Corner(Corner, Across),
    /// The leg that carries the hinge.
    HingeLeg(Across),
    /// The leg that carries the nose.
    NoseLeg(Across),
}

/// A place of the gate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum GateLocation {
    /// Its end at the nose.
    NosePin,
    /// Between its ends.
    Middle,
    /// Its end at the hinge.
    HingePin,
}

/// A place of a connector.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Location {
    /// Of the frame.
    Frame(FrameLocation),
    /// Of the gate.
    Gate(GateLocation),
}

fn distance(a: Point, b: Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// Where along a straight part of this length its part `t` lies. Within 3 mm of an end counts as beside its corner.
fn along(t: f64, length_mm: f64) -> Along {
    let near = 3.0_f64.min(0.25 * length_mm);
    if t * length_mm < near {
        Along::Start
    } else if (1.0 - t) * length_mm < near {
        Along::End
    } else if (t - 0.5).abs() < 0.2 {
        Along::Middle
    } else {
        Along::Between
    }
}

impl Outline {
    /// The place of a point of the frame.
    #[must_use]
    pub fn frame_location(&self, p: Point) -> FrameLocation {
        let seats = &self.seats;
        let notch = &seats.notch;
        if self.lip_on == LipOn::Frame && distance(p, notch.end.centre) < 1.8 * notch.end.radius {
            return self.notch_location(p);
        }
        if distance(p, seats.hinge_hole.centre) < seats.hinge_hole.radius + 0.6 {
            return FrameLocation::HingeHole;
        }
        let place = self.strip.place(p);
        let (inner, outer) = self.strip.edges(place.segment, place.t);
        let across = (2.0 * place.outward_mm - inner - outer) / (outer - inner);
        let across = if across < -0.5 {
            Across::Inner
        } else if across > 0.5 {
            Across::Outer
        } else {
            Across::Inside
        };
        let segment = &self.strip.path[place.segment];
        let bar = |bar| FrameLocation::Bar(bar, along(place.t, segment.curve.length()), across);
        // Round ends have no straight bar: their middle is that of a bar.
        let mid_width = p[0].abs() < MID_WIDTH_MM;
        let corner = |corner, bar| match mid_width {
            true => FrameLocation::Bar(bar, Along::Middle, across),
            false => FrameLocation::Corner(corner, across),
        };
        match segment.part {
            PathPart::HingeLeg => FrameLocation::HingeLeg(across),
            PathPart::LowerGateCorner => corner(Corner::LowerGate, Bar::Lower),
            PathPart::LowerBar => bar(Bar::Lower),
            PathPart::LowerSpineCorner => corner(Corner::LowerSpine, Bar::Lower),
            PathPart::Spine => bar(Bar::Spine),
            PathPart::UpperSpineCorner => corner(Corner::UpperSpine, Bar::Upper),
            PathPart::UpperBar => bar(Bar::Upper),
            PathPart::UpperGateCorner => corner(Corner::UpperGate, Bar::Upper),
            PathPart::NoseLeg => FrameLocation::NoseLeg(across),
        }
    }

    fn notch_location(&self, p: Point) -> FrameLocation {
        let notch = &self.seats.notch;
        let from = [p[0] - notch.end.centre[0], p[1] - notch.end.centre[1]];
        let lip = -(from[0] * notch.from_lip[0] + from[1] * notch.from_lip[1]);
        let mouth = from[0] * notch.to_mouth[0] + from[1] * notch.to_mouth[1];
        if lip > 0.3 * notch.end.radius && mouth > 0.0 {
            FrameLocation::NotchLip
        } else if lip > 0.3 * notch.end.radius {
            FrameLocation::LipRoot
        } else if mouth < -0.5 * notch.end.radius {
            FrameLocation::NotchEnd
        } else {
            FrameLocation::NotchBarSide
        }
    }

    /// The place of a point of the gate.
    #[must_use]
    pub fn gate_location(&self, p: Point) -> GateLocation {
        let (nose, hinge) = (self.seats.gate_end, self.seats.hinge_pin.centre);
        let whole = distance(nose, hinge);
        let along = ((p[0] - hinge[0]) * (nose[0] - hinge[0]) + (p[1] - hinge[1]) * (nose[1] - hinge[1]))
            / (whole * whole);
        if along > 0.75 {
            GateLocation::NosePin
        } else if along < 0.25 {
            GateLocation::HingePin
        } else {
            GateLocation::Middle
        }
    }
}

//! How fine the mesh is wanted where: fine at notch, hinge hole and inner fibres, growing away from them.

use crate::connector::LipOn;
use crate::curve::Point;
use crate::graded::GROWTH;
use crate::outline::{Circle, Notch, Outline};

/// Edge length at the notch's round end and flanks, as a part of the mesh size.
const AT_NOTCH: f64 = 0.30;
/// Edge length at the hinge hole, as a part of the mesh size.
const AT_HOLE: f64 = 0.45;
/// Edge length at the inner fibres, as a part of the mesh size.
const AT_INNER_EDGE: f64 = 0.85;
/// Edge length at pin discs inside the gate, as a part of the mesh size.
const AT_DISC: f64 = 0.8;
/// Largest edge length, as a part of the mesh size.
const LARGEST: f64 = 1.45;
/// No edge on a circle is longer than this part of its radius.
const OF_RADIUS: f64 = 0.5;

/// Wanted edge lengths over frame and gate for one mesh size.
#[derive(Clone, Debug)]
pub struct Sizes<'a> {
    outline: &'a Outline,
    mesh_size_mm: f64,
}

fn distance(a: Point, b: Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// Distance to a circle's edge, zero inside.
fn outside(circle: Circle, p: Point) -> f64 {
    (distance(circle.centre, p) - circle.radius).max(0.0)
}

/// Distance to the slot that the notch is, zero inside.
fn outside_notch(notch: &Notch, p: Point) -> f64 {
    let from = notch.end.centre;
    let along = ((p[0] - from[0]) * notch.to_mouth[0] + (p[1] - from[1]) * notch.to_mouth[1])
        .clamp(0.0, notch.inside_mouth_mm.max(0.0));
    let nearest = [from[0] + along * notch.to_mouth[0], from[1] + along * notch.to_mouth[1]];
    (distance(nearest, p) - notch.end.radius).max(0.0)
}

impl<'a> Sizes<'a> {
    /// Sizes for an outline; `mesh_size_mm` is the edge length, in mm, that the bars are meshed with.
    #[must_use]
    pub fn new(outline: &'a Outline, mesh_size_mm: f64) -> Self {
        Self { outline, mesh_size_mm }
    }

    fn grown(&self, part: f64, distance: f64) -> f64 {
        part * self.mesh_size_mm + GROWTH * distance
    }

    fn at_circle(&self, part: f64, circle: Circle, p: Point) -> f64 {
        self.grown(part, outside(circle, p)).min(OF_RADIUS * circle.radius + GROWTH * outside(circle, p))
    }

    fn at_notch(&self, p: Point) -> f64 {
        let notch = &self.outline.seats.notch;
        let away = outside_notch(notch, p);
        self.grown(AT_NOTCH, away).min(OF_RADIUS * notch.end.radius + GROWTH * away)
    }

    /// Wanted edge length in the frame at `p`, mm.
    #[must_use]
    pub fn frame(&self, p: Point) -> f64 {
        let seats = &self.outline.seats;
        let place = self.outline.strip.place(p);
        let (inner, _) = self.outline.strip.edges(place.segment, place.t);
        let bar =
            self.grown(AT_INNER_EDGE, (place.outward_mm - inner).max(0.0)).min(LARGEST * self.mesh_size_mm);
        let nose = match self.outline.lip_on {
            LipOn::Frame => self.at_notch(p),
            LipOn::Gate => self.at_circle(AT_DISC, seats.nose_pin, p),
        };
        bar.min(nose).min(self.at_circle(AT_HOLE, seats.hinge_hole, p))
    }

    /// Wanted edge length in the gate at `p`, mm.
    #[must_use]
    pub fn gate(&self, p: Point) -> f64 {
        let seats = &self.outline.seats;
        let nose = match self.outline.lip_on {
            LipOn::Frame => self.at_circle(AT_DISC, seats.nose_pin, p),
            LipOn::Gate => self.at_notch(p),
        };
        (LARGEST * self.mesh_size_mm).min(nose).min(self.at_circle(AT_DISC, seats.hinge_pin, p))
    }
}

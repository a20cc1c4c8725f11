//! How fine the mesh is wanted where: fine at notch, hinge hole and inner fibres, growing away from them.
//!
//! Stress at a rounded edge changes over a part of its radius, so edges there follow the radius: along the inner corners of
//! the bars in proportion to the mesh size, at the notch's round end whatever the mesh size, because it is small and what is
//! read there must not depend on how fine the bars are. Between them stress runs nearly straight across the bars, which
//! six-node triangles follow when they are large.

use crate::connector::LipOn;
use crate::curve::{Curve, Point};
use crate::graded::GROWTH;
use crate::outline::{Circle, Notch, Outline, Place};

/// Edge length at the notch's flanks and round end, as a part of the mesh size.
const AT_NOTCH: f64 = 0.40;
/// Edge length at the hinge hole, as a part of the mesh size.
const AT_HOLE: f64 = 0.45;
/// Edge length at the inner fibres, as a part of the mesh size.
const AT_INNER_EDGE: f64 = 0.9;
/// Edge length along an inner corner whose radius is the bar's depth, as a part of the mesh size; along others in
/// proportion to the radius.
const AT_CORNER: f64 = 0.55;
/// Shortest edge that a small corner asks for, as a part of the mesh size: smaller edges than that would make most of a mesh.
const SHORTEST: f64 = 0.1;
/// Edge length at pin discs inside the gate, as a part of the mesh size.
const AT_DISC: f64 = 0.8;
/// Largest edge length, as a part of the mesh size.
const LARGEST: f64 = 1.8;
/// No edge on a pin or a hole is longer than this part of its radius.
const OF_RADIUS: f64 = 0.5;
/// No edge on the notch's round end is longer than this part of its radius.
const OF_NOTCH_RADIUS: f64 = 0.14;
/// No edge along an inner corner is longer than this part of its radius.
const OF_CORNER_RADIUS: f64 = 0.10;

/// Wanted edge lengths over frame and gate for one mesh size.
#[derive(Clone, Debug)]
pub struct Sizes<'a> {
    outline: &'a Outline,
    mesh_size_mm: f64,
    corners: Vec<Corner>,
}

/// A rounded inner corner and the edge length wanted along it.
#[derive(Clone, Debug)]
struct Corner {
    arc: Circle,
    /// Toward the middle of the arc.
    middle: Point,
    /// Cosine of half its angle.
    cos_half: f64,
    ends: [Point; 2],
    size_mm: f64,
}

impl Corner {
    fn size(&self, p: Point) -> f64 {
        let Circle { centre, radius } = self.arc;
        let d = [p[0] - centre[0], p[1] - centre[1]];
        let far = d[0].hypot(d[1]);
        let away = if d[0] * self.middle[0] + d[1] * self.middle[1] >= far * self.cos_half {
            (far - radius).abs()
        } else {
            distance(self.ends[0], p).min(distance(self.ends[1], p))
        };
        self.size_mm + GROWTH * away
    }
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
        let strip = &outline.strip;
        let corners = strip
            .path
            .iter()
            .enumerate()
            .filter(|(segment, _)| strip.has_length(*segment))
            .filter_map(|(segment, piece)| {
                let Curve::Arc { centre, radius, from, to } = piece.curve else { return None };
                let (inner, outer) = strip.edges(segment, 0.5);
                let (sin, cos) = (0.5 * (from + to)).sin_cos();
                Some(Corner {
                    arc: Circle { centre, radius },
                    middle: [cos, sin],
                    cos_half: (0.5 * (to - from)).cos(),
                    ends: [0.0, 1.0].map(|t| strip.point(Place { segment, t, outward_mm: 0.0 })),
                    size_mm: (radius * OF_CORNER_RADIUS.min(AT_CORNER * mesh_size_mm / (outer - inner)))
                        .max(SHORTEST * mesh_size_mm),
                })
            })
            .collect();
        Self { outline, mesh_size_mm, corners }
    }

    fn grown(&self, part: f64, distance: f64) -> f64 {
        part * self.mesh_size_mm + GROWTH * distance
    }

    fn at_circle(&self, part: f64, circle: Circle, p: Point) -> f64 {
        self.grown(part, outside(circle, p)).min(OF_RADIUS * circle.radius + GROWTH * outside(circle, p))
    }

    fn at_notch(&self, p: Point) -> f64 {
        let notch = &self.outline.seats.notch;
        self.grown(AT_NOTCH, outside_notch(notch, p))
            .min(OF_NOTCH_RADIUS * notch.end.radius + GROWTH * outside(notch.end, p))
            .min(OF_RADIUS * notch.end.radius + GROWTH * outside_notch(notch, p))
    }

    /// Wanted edge length in the frame at `p`, mm.
    #[must_use]
    pub fn frame(&self, p: Point) -> f64 {
        let seats = &self.outline.seats;
        let place = self.outline.strip.place(p);
        let (inner, _) = self.outline.strip.edges(place.segment, place.t);
        let bar =
            self.grown(AT_INNER_EDGE, (place.outward_mm - inner).max(0.0)).min(LARGEST * self.mesh_size_mm);
        let corners = self.corners.iter().map(|c| c.size(p)).fold(f64::INFINITY, f64::min);
        let nose = match self.outline.lip_on {
            LipOn::Frame => self.at_notch(p),
            LipOn::Gate => self.at_circle(AT_DISC, seats.nose_pin, p),
        };
        bar.min(corners).min(nose).min(self.at_circle(AT_HOLE, seats.hinge_hole, p))
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

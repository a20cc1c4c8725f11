//! The gate: a bar with full-round ends about the two pin centres, in its own layer over the frame.

use super::error::OutlineError;
use super::notch::{Seats, add, between, circle, dot};
use super::stations::Station;
use crate::connector::{Connector, LipOn, Pin};
use crate::curve::{Curve, Point};
use crate::region::{Piece, Region, Stretch};

fn edge(from: Point, to: Point) -> Piece {
    Piece { curve: Curve::Line { from, to }, stretch: Stretch::GateEdge }
}

/// Where the line through `p` along `along` meets the line through `q` along `other`.
fn meet(p: Point, along: Point, q: Point, other: Point) -> Option<Point> {
    let cross = along[0] * other[1] - along[1] * other[0];
    if cross.abs() < 1e-9 {
        return None;
    }
    let [dx, dy] = between(p, q);
    Some(add(p, (dx * other[1] - dy * other[0]) / cross, along))
}

/// The gate's region and its mid-length station.
pub(super) fn gate_region(
    connector: &Connector,
    seats: &Seats,
) -> Result<(Region, Station), Vec<OutlineError>> {
    let width = connector.gate.width_mm;
    let (hinge, end) = (seats.hinge_pin.centre, seats.gate_end);
    let [x, y] = between(hinge, end);
    let length = x.hypot(y);
    let mut errors = Vec::new();
    if length < 1.5 * width {
        errors.push(OutlineError::GateTooShort { length_mm: length, width_mm: width });
    }
    for (pin, radius) in [(Pin::Nose, seats.nose_pin.radius), (Pin::Hinge, seats.hinge_pin.radius)] {
        if radius > 0.5 * width - 0.5 && (pin == Pin::Hinge || connector.nose.lip_on == LipOn::Frame) {
            errors.push(OutlineError::PinWiderThanGate { pin, diameter_mm: 2.0 * radius, width_mm: width });
        }
    }
    if !errors.is_empty() {
        return Err(errors);
    }
    let up = [x / length, y / length];
    let right = [up[1], -up[0]];
    let half = 0.5 * width;
    let middle = add(hinge, 0.5 * length, up);
    let at = |centre: Point, side: f64| add(centre, side * half, right);
    let angle = right[1].atan2(right[0]);
    let pi = std::f64::consts::PI;
    let cap = |centre: Point, from: f64| Piece {
        curve: Curve::Arc { centre, radius: half, from, to: from + pi },
        stretch: Stretch::GateEdge,
    };
    let mut outside = vec![edge(at(hinge, 1.0), at(middle, 1.0))];
    let mut lines = circle(seats.hinge_pin, false, Stretch::HingeDisc);
    match connector.nose.lip_on {
        LipOn::Frame => {
            outside.push(edge(at(middle, 1.0), at(end, 1.0)));
            outside.push(cap(end, angle));
            outside.push(edge(at(end, -1.0), at(middle, -1.0)));
            lines.extend(circle(seats.nose_pin, false, Stretch::NoseDisc));
        }
        LipOn::Gate => {
            let notch = &seats.notch;
            let (outward, down) = (seats.leg.outward, seats.leg.down);
            let mouth = add(notch.end.centre, notch.inside_mouth_mm, outward);
            let top = add(notch.end.centre, -(connector.nose.lip_height_mm + notch.end.radius), down);
            let corners = (
                meet(at(middle, 1.0), up, notch.back_root(), notch.to_mouth),
                meet(notch.lip_root(), notch.to_mouth, mouth, down),
                meet(mouth, down, top, outward),
                meet(top, outward, at(middle, -1.0), up),
            );
            let (Some(back_mouth), Some(lip_mouth), Some(outer_top), Some(inner_top)) = corners else {
                return Err(vec![OutlineError::NotchMissesTheEdge]);
            };
            let inside = |p: Point, root: Point| dot(between(root, p), notch.to_mouth);
            if inside(back_mouth, notch.back_root()) < 0.2
                || inside(lip_mouth, notch.lip_root()) < 0.2
                || dot(between(notch.closed_end(), inner_top), outward) > -1.0
            {
                return Err(vec![OutlineError::NotchTooDeepForGate {
                    depth_mm: connector.nose.notch_depth_mm,
                    width_mm: width,
                }]);
            }
            outside.push(edge(at(middle, 1.0), back_mouth));
            outside.extend(notch.pieces(back_mouth, lip_mouth));
            outside.push(edge(lip_mouth, outer_top));
            outside.push(edge(outer_top, inner_top));
            outside.push(edge(inner_top, at(middle, -1.0)));
        }
    }
    outside.push(edge(at(middle, -1.0), at(hinge, -1.0)));
    outside.push(cap(hinge, angle + pi));
    let station = Station {
        stretch: Stretch::GateMid,
        inner: at(middle, -1.0),
        outer: at(middle, 1.0),
        centroid: middle,
        // Like the frame's path, the gate is travelled from nose to hinge.
        along: [-up[0], -up[1]],
    };
    lines.push(Piece {
        curve: Curve::Line { from: station.inner, to: station.outer },
        stretch: Stretch::GateMid,
    });
    Ok((Region { loops: vec![outside], lines }, station))
}

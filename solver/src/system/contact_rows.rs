//! Where frame and gate may touch: rows of points on the surface of one body, facing the pin of the other.

use geometry::curve::Point;
use geometry::mesh::Mesh;
use geometry::outline::{Circle, Outline};
use geometry::region::Stretch;

/// One of the two bodies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The frame.
    Frame,
    /// The gate.
    Gate,
}

/// Which of the two joints a row belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joint {
    /// Nose pin in its notch.
    Nose,
    /// Hinge pin in its hole.
    Hinge,
}

/// A point of a surface that the pin of the other body may press on.
#[derive(Clone, Copy, Debug)]
pub struct ContactRow {
    /// The joint.
    pub joint: Joint,
    /// The body that has the surface.
    pub surface: Side,
    /// Node of that body.
    pub node: u32,
    /// Its position, mm.
    pub at: Point,
    /// Unit normal of the surface, from the pin into the surface's body: direction of the force on that body.
    pub normal: Point,
    /// True on the flat flank of the lip.
    pub flank: bool,
}

/// Gap between a circle and a surface point, measured along the surface's normal, mm; `None` where the circle does not
/// reach across.
#[must_use]
pub fn gap_mm(at: Point, normal: Point, circle: Circle) -> Option<f64> {
    let [dx, dy] = [at[0] - circle.centre[0], at[1] - circle.centre[1]];
    let along = -dx * normal[1] + dy * normal[0];
    let room = circle.radius * circle.radius - along * along;
    (room > 1e-6 * circle.radius * circle.radius).then(|| {
        let gap = dx * normal[0] + dy * normal[1] - room.sqrt();
        // A neat fit is a gap of zero, not of rounding.
        if gap.abs() < 1e-12 { 0.0 } else { gap }
    })
}

/// The candidate rows of both joints, in order along the outlines.
#[must_use]
pub fn contact_rows(outline: &Outline, surface_of_nose: Side, frame: &Mesh, gate: &Mesh) -> Vec<ContactRow> {
    let seats = &outline.seats;
    let nose_mesh = match surface_of_nose {
        Side::Frame => frame,
        Side::Gate => gate,
    };
    let notch = &seats.notch;
    let into_lip = [-notch.from_lip[0], -notch.from_lip[1]];
    let radial = |p: Point, centre: Point| {
        let [x, y] = [p[0] - centre[0], p[1] - centre[1]];
        let length = x.hypot(y);
        [x / length, y / length]
    };
    let mut rows: Vec<ContactRow> = Vec::new();
    let mut push = |row: ContactRow, mesh: &Mesh, node: u32| {
        let known = rows.iter().any(|r| r.joint == row.joint && r.node == node);
        if !known {
            rows.push(ContactRow { node, at: mesh.points[node as usize], ..row });
        }
    };
    let blank = ContactRow {
        joint: Joint::Nose,
        surface: surface_of_nose,
        node: 0,
        at: [0.0; 2],
        normal: into_lip,
        flank: false,
    };
    // The round end first: where flank and end meet, the two normals are the same.
    for stretch in [Stretch::NotchEnd, Stretch::LipFlank, Stretch::BackFlank] {
        for edge in nose_mesh.boundary.iter().filter(|e| e.stretch == stretch) {
            for node in [edge.nodes[0], edge.nodes[2], edge.nodes[1]] {
                let p = nose_mesh.points[node as usize];
                let (normal, flank) = match stretch {
                    Stretch::LipFlank => (into_lip, true),
                    Stretch::BackFlank => (notch.from_lip, false),
                    _ => (radial(p, notch.end.centre), false),
                };
                push(ContactRow { normal, flank, ..blank }, nose_mesh, node);
            }
        }
    }
    for edge in frame.boundary.iter().filter(|e| e.stretch == Stretch::HingeHole) {
        for node in [edge.nodes[0], edge.nodes[2]] {
            let normal = radial(frame.points[node as usize], seats.hinge_hole.centre);
            let row = ContactRow { joint: Joint::Hinge, surface: Side::Frame, normal, ..blank };
            push(row, frame, node);
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gap_of_a_circle_over_a_flat_is_the_circles() {
        let circle = Circle { centre: [0.0, 0.0], radius: 2.0 };
        // A flat 2.15 below the centre: 0.15 under it, more to the side.
        let under = gap_mm([0.0, -2.15], [0.0, -1.0], circle).unwrap();
        assert!((under - 0.15).abs() < 1e-12);
        let beside = gap_mm([1.2, -2.15], [0.0, -1.0], circle).unwrap();
        assert!((beside - (2.15 - 1.6)).abs() < 1e-12);
        assert_eq!(gap_mm([2.1, -2.15], [0.0, -1.0], circle), None);
    }

    #[test]
    fn the_gap_in_a_round_end_is_the_clearance_everywhere() {
        let circle = Circle { centre: [1.0, 2.0], radius: 2.0 };
        for i in 0..12 {
            let (s, c) = (f64::from(i) * 0.5).sin_cos();
            let gap = gap_mm([1.0 + 2.15 * c, 2.0 + 2.15 * s], [c, s], circle).unwrap();
            assert!((gap - 0.15).abs() < 1e-12);
        }
    }
}

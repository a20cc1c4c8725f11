//! Regions and sizes that several problems share.

use geometry::curve::{Curve, Point};
use geometry::mesh::{Mesh, MeshError, MeshSettings, triangulate};
use geometry::region::{Piece, Region, Stretch};
use std::f64::consts::FRAC_PI_2;

/// Edge along the x axis of a quarter; the solver's own name for the bottom of a structured grid.
pub const ON_X: Stretch = Stretch::Side(0);
/// Edge across the x axis, away from the origin.
pub const RIGHT: Stretch = Stretch::Side(1);
/// Edge across the y axis, away from the origin.
pub const TOP: Stretch = Stretch::Side(2);
/// Edge along the y axis of a quarter.
pub const ON_Y: Stretch = Stretch::Side(3);
/// A hole, or the inner arc of a ring.
pub const INNER: Stretch = Stretch::Side(4);
/// The outer arc of a ring or disc.
pub const OUTER: Stretch = Stretch::Side(5);

/// The lower edge of a whole.
pub const FOOT: Stretch = Stretch::Side(6);

/// A straight piece.
#[must_use]
pub fn line(from: Point, to: Point, stretch: Stretch) -> Piece {
    Piece { curve: Curve::Line { from, to }, stretch }
}

/// A circular piece; angles in radians.
#[must_use]
pub fn arc(centre: Point, radius: f64, from: f64, to: f64, stretch: Stretch) -> Piece {
    Piece { curve: Curve::Arc { centre, radius, from, to }, stretch }
}

/// A region bounded by one loop.
#[must_use]
pub fn within(outline: Vec<Piece>) -> Region {
    Region { loops: vec![outline], lines: Vec::new() }
}

/// The quarter x >= 0, y >= 0 of a rectangle about the origin with a hole in the middle.
#[must_use]
pub fn quarter_with_hole(radius: f64, half_length: f64, half_width: f64) -> Region {
    within(vec![
        line([radius, 0.0], [half_length, 0.0], ON_X),
        line([half_length, 0.0], [half_length, half_width], RIGHT),
        line([half_length, half_width], [0.0, half_width], TOP),
        line([0.0, half_width], [0.0, radius], ON_Y),
        arc([0.0, 0.0], radius, FRAC_PI_2, 0.0, INNER),
    ])
}

/// A quarter of a ring about the origin.
#[must_use]
pub fn quarter_ring(inner: f64, outer: f64) -> Region {
    within(vec![
        line([inner, 0.0], [outer, 0.0], ON_X),
        arc([0.0, 0.0], outer, 0.0, FRAC_PI_2, OUTER),
        line([0.0, outer], [0.0, inner], ON_Y),
        arc([0.0, 0.0], inner, FRAC_PI_2, 0.0, INNER),
    ])
}

/// Size `fine` within `reach` of `centre`, growing by `growth` per distance walked, up to `coarse`.
pub fn graded(centre: Point, reach: f64, fine: f64, growth: f64, coarse: f64) -> impl Fn(Point) -> f64 {
    move |p| {
        let away = (p[0] - centre[0]).hypot(p[1] - centre[1]) - reach;
        (fine + growth * away.max(0.0)).min(coarse)
    }
}

/// Meshes with the mesher's own settings.
///
/// # Errors
/// As [`triangulate`].
pub fn mesh(region: &Region, size: &dyn Fn(Point) -> f64) -> Result<Mesh, MeshError> {
    triangulate(region, size, &MeshSettings::default())
}

/// The point at a radius and an angle (radians) about the origin.
#[must_use]
pub fn polar(radius: f64, angle: f64) -> Point {
    [radius * angle.cos(), radius * angle.sin()]
}

/// The point of the quarter of a ring about the origin that a point of the unit square stands for: first across, then around
/// from the x axis to the y axis, whose points lie on it exactly.
#[must_use]
pub fn on_quarter_ring(inner: f64, outer: f64, [across, around]: Point) -> Point {
    let [x, y] = polar(inner + (outer - inner) * across, FRAC_PI_2 * around);
    [if around == 1.0 { 0.0 } else { x }, y]
}

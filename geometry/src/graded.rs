//! Wanted edge lengths that grow from given places: how a mesh is told to be finer where an error was found.
//!
//! A grid holds, at its nodes, the least of all marks grown by distance; between nodes the size is interpolated. Two sweeps
//! over the grid carry each mark to its neighbours (a chamfer distance, at most 8 % above the straight one), so the cost does
//! not depend on how many marks there are.

use crate::curve::Point;

/// How fast edges may grow with distance (mm per mm): as for the mesh without marks.
pub const GROWTH: f64 = 0.28;
/// Most nodes of the grid.
const MOST_NODES: f64 = 250_000.0;

/// A field of wanted edge lengths, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct GradedSizes {
    low: Point,
    step_mm: f64,
    columns: usize,
    rows: usize,
    sizes: Vec<f64>,
}

impl GradedSizes {
    /// The field of `marks`: places and the edge length wanted there, mm, all above zero. Without marks it asks for nothing.
    #[must_use]
    pub fn new(marks: &[(Point, f64)]) -> Self {
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for (p, _) in marks {
            for axis in 0..2 {
                low[axis] = low[axis].min(p[axis]);
                high[axis] = high[axis].max(p[axis]);
            }
        }
        let finest = marks.iter().map(|m| m.1).fold(f64::INFINITY, f64::min);
        if marks.is_empty() {
            return Self { low: [0.0; 2], step_mm: 1.0, columns: 0, rows: 0, sizes: Vec::new() };
        }
        let (width, height) = (high[0] - low[0], high[1] - low[1]);
        let step_mm = finest.max((width * height / MOST_NODES).sqrt());
        let nodes = |length: f64| (length / step_mm).ceil() as usize + 2;
        let (columns, rows) = (nodes(width), nodes(height));
        let mut field = Self { low, step_mm, columns, rows, sizes: vec![f64::INFINITY; columns * rows] };
        for (p, size) in marks {
            let [x, y] = [0, 1].map(|axis| (p[axis] - low[axis]) / step_mm);
            let node = y.round() as usize * columns + x.round() as usize;
            field.sizes[node] = field.sizes[node].min(*size);
        }
        field.sweep();
        field
    }

    /// Carries sizes to neighbours, there and back.
    fn sweep(&mut self) {
        let straight = GROWTH * self.step_mm;
        let diagonal = straight * std::f64::consts::SQRT_2;
        let (columns, rows) = (self.columns, self.rows);
        let mut relax = |row: usize, column: usize, before: bool| {
            let at = row * columns + column;
            let mut best = self.sizes[at];
            let mut from = |r: Option<usize>, c: Option<usize>, cost: f64| {
                if let (Some(r), Some(c)) = (r, c)
                    && r < rows
                    && c < columns
                {
                    best = best.min(self.sizes[r * columns + c] + cost);
                }
            };
            let (left, right) = (column.checked_sub(1), Some(column + 1));
            let (side, other) = if before { (row.checked_sub(1), left) } else { (Some(row + 1), right) };
            from(Some(row), other, straight);
            from(side, left, diagonal);
            from(side, Some(column), straight);
            from(side, right, diagonal);
            self.sizes[at] = best;
        };
        for row in 0..rows {
            for column in 0..columns {
                relax(row, column, true);
            }
        }
        for row in (0..rows).rev() {
            for column in (0..columns).rev() {
                relax(row, column, false);
            }
        }
    }

    /// The size wanted at `p`, mm; infinite without marks. Outside the marks' box it grows on from the box's edge.
    #[must_use]
    pub fn at(&self, p: Point) -> f64 {
        if self.sizes.is_empty() {
            return f64::INFINITY;
        }
        let mut beyond = [0.0; 2];
        let mut cell = [0; 2];
        let mut part = [0.0; 2];
        for axis in 0..2 {
            let last = if axis == 0 { self.columns } else { self.rows } - 1;
            let place = (p[axis] - self.low[axis]) / self.step_mm;
            let inside = place.clamp(0.0, last as f64);
            beyond[axis] = (place - inside) * self.step_mm;
            cell[axis] = (inside as usize).min(last - 1);
            part[axis] = inside - cell[axis] as f64;
        }
        let node = |dx: usize, dy: usize| self.sizes[(cell[1] + dy) * self.columns + cell[0] + dx];
        let across = |dy: usize| node(0, dy) + part[0] * (node(1, dy) - node(0, dy));
        let (below, above) = (across(0), across(1));
        below + part[1] * (above - below) + GROWTH * beyond[0].hypot(beyond[1])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_mark_grows_with_distance() {
        let field = GradedSizes::new(&[([0.0, 0.0], 0.2), ([20.0, 10.0], 5.0)]);
        assert!((field.at([0.0, 0.0]) - 0.2).abs() < 1e-12);
        // 4 mm along an axis: 0.2 + 0.28 * 4.
        assert!((field.at([4.0, 0.0]) - 1.32).abs() < 1e-9, "{}", field.at([4.0, 0.0]));
        // (4, 3) is 5 mm away: between the straight 1.6 and 8 % of the way more.
        let slanted = field.at([4.0, 3.0]);
        assert!((1.6..=0.2 + 1.081 * 1.4).contains(&slanted), "{slanted}");
        // The coarse mark asks for less than what has grown there (20, 10: 22.4 mm away, 6.5): it stays 5.
        assert!((field.at([20.0, 10.0]) - 5.0).abs() < 1e-9);
        // 10 mm outside of the box.
        assert!((field.at([-10.0, 0.0]) - 3.0).abs() < 1e-9);
    }

    #[test]
    fn without_marks_nothing_is_asked_for() {
        assert_eq!(GradedSizes::new(&[]).at([3.0, 4.0]), f64::INFINITY);
        let single = GradedSizes::new(&[([1.0, 1.0], 0.5)]);
        assert!((single.at([1.0, 3.0]) - 1.06).abs() < 0.06, "{}", single.at([1.0, 3.0]));
    }
}

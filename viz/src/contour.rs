//! Lines of equal value over a grid of points, some of which may be missing.
//!
//! Each cell is cut into four triangles about its middle, which has the mean of the corners: a triangle has no ambiguous
//! case, and the lines fit colours that are interpolated over the cell in both directions.

/// Values over a grid: `values[i * ys.len() + j]` belongs to `(xs[i], ys[j])`; both axes rise.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Grid {
    pub xs: Vec<f64>,
    pub ys: Vec<f64>,
    pub values: Vec<Option<f64>>,
}

type Point = [f64; 2];

impl Grid {
    pub fn at(&self, i: usize, j: usize) -> Option<f64> {
        self.values[i * self.ys.len() + j]
    }

    /// The four corners of a cell, if all are known.
    fn corners(&self, i: usize, j: usize) -> Option<[f64; 4]> {
        Some([self.at(i, j)?, self.at(i + 1, j)?, self.at(i + 1, j + 1)?, self.at(i, j + 1)?])
    }

    /// The value at a point, between the corners of its cell; absent outside and where a corner is missing.
    pub fn between(&self, x: f64, y: f64) -> Option<f64> {
        let cell = |all: &[f64], v: f64| -> Option<(usize, f64)> {
            let last = all.len().checked_sub(2)?;
            let i = all.partition_point(|a| *a <= v).checked_sub(1)?.min(last);
            Some((i, (v - all[i]) / (all[i + 1] - all[i])))
        };
        let ((i, s), (j, t)) = (cell(&self.xs, x)?, cell(&self.ys, y)?);
        if s > 1.0 || t > 1.0 {
            return None;
        }
        let [a, b, c, d] = self.corners(i, j)?;
        Some((1.0 - t) * ((1.0 - s) * a + s * b) + t * ((1.0 - s) * d + s * c))
    }

    /// Lines along which the value is `level`, each as long as it goes.
    pub fn contour(&self, level: f64) -> Vec<Vec<Point>> {
        let mut pieces = Vec::new();
        for i in 0..self.xs.len().saturating_sub(1) {
            for j in 0..self.ys.len().saturating_sub(1) {
                let Some(v) = self.corners(i, j) else { continue };
                let (x, y) = ([self.xs[i], self.xs[i + 1]], [self.ys[j], self.ys[j + 1]]);
                let p = [[x[0], y[0]], [x[1], y[0]], [x[1], y[1]], [x[0], y[1]]];
                let middle = ([0.5 * (x[0] + x[1]), 0.5 * (y[0] + y[1])], 0.25 * v.iter().sum::<f64>());
                for k in 0..4 {
                    let next = (k + 1) % 4;
                    let triangle = [(p[k], v[k]), (p[next], v[next]), middle];
                    pieces.extend(across(triangle, level));
                }
            }
        }
        joined(pieces)
    }
}

/// Where a level crosses a triangle.
fn across(corners: [(Point, f64); 3], level: f64) -> Option<[Point; 2]> {
    let mut hits = Vec::with_capacity(2);
    for (a, b) in [(0, 1), (1, 2), (2, 0)] {
        let (a, b) = (corners[a], corners[b]);
        if (a.1 < level) == (b.1 < level) {
            continue;
        }
        // From the lower end, so that both triangles at an edge find the very same point.
        let (low, high) = if a.1 < b.1 { (a, b) } else { (b, a) };
        let t = (level - low.1) / (high.1 - low.1);
        hits.push([0, 1].map(|c| low.0[c] + t * (high.0[c] - low.0[c])));
    }
    match hits.as_slice() {
        [a, b] if a != b => Some([*a, *b]),
        _ => None,
    }
}

/// Pieces that share an end, as one line.
fn joined(mut pieces: Vec<[Point; 2]>) -> Vec<Vec<Point>> {
    let mut lines = Vec::new();
    while let Some([a, b]) = pieces.pop() {
        let mut line = std::collections::VecDeque::from([a, b]);
        loop {
            let (first, last) = (line[0], line[line.len() - 1]);
            let Some(at) = pieces.iter().position(|p| p.iter().any(|e| *e == first || *e == last)) else {
                break;
            };
            let [c, d] = pieces.swap_remove(at);
            match () {
                () if c == last => line.push_back(d),
                () if d == last => line.push_back(c),
                () if c == first => line.push_front(d),
                () => line.push_front(c),
            }
        }
        lines.push(line.into());
    }
    lines
}

/// Round levels between two values, about `wanted` of them.
pub(crate) fn levels(low: f64, high: f64, wanted: f64) -> Vec<f64> {
    if high <= low {
        return Vec::new();
    }
    let least = (high - low) / wanted;
    let power = 10.0_f64.powf(least.log10().floor());
    let step = [1.0, 2.0, 2.5, 5.0, 10.0].into_iter().map(|m| m * power).find(|s| *s >= least * (1.0 - 1e-9));
    let step = step.unwrap_or(10.0 * power);
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    (first..=last).map(|i| i as f64 * step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plane() -> Grid {
        // value = x + 2 y on a 4 by 3 grid.
        let (xs, ys) = (vec![0.0, 1.0, 2.0, 3.0], vec![0.0, 1.0, 2.0]);
        let values = xs.iter().flat_map(|x| ys.iter().map(move |y| Some(x + 2.0 * y))).collect();
        Grid { xs, ys, values }
    }

    #[test]
    fn a_plane_has_straight_lines_in_one_piece() {
        let lines = plane().contour(2.5);
        assert_eq!(lines.len(), 1);
        assert!(lines[0].iter().all(|[x, y]| (x + 2.0 * y - 2.5).abs() < 1e-12), "{lines:?}");
        let ends = [lines[0][0], lines[0][lines[0].len() - 1]];
        assert!(
            ends.iter().any(|e| e[1].abs() < 1e-12) && ends.iter().any(|e| e[0].abs() < 1e-12),
            "{ends:?}"
        );
        assert!(plane().contour(9.0).is_empty());
    }

    #[test]
    fn a_missing_point_leaves_a_hole() {
        let mut grid = plane();
        assert_eq!(grid.between(0.5, 0.5), Some(1.5));
        grid.values[0] = None;
        assert_eq!(grid.between(0.5, 0.5), None);
        assert_eq!(grid.between(1.5, 0.5), Some(2.5));
        assert_eq!((grid.between(3.0, 2.0), grid.between(3.1, 2.0)), (Some(7.0), None));
    }

    #[test]
    fn levels_are_round() {
        assert_eq!(levels(9.7, 21.3, 6.0), [10.0, 12.0, 14.0, 16.0, 18.0, 20.0]);
        assert!(levels(1.0, 1.0, 6.0).is_empty());
    }
}

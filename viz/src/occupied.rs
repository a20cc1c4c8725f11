//! What of a page is taken: where no label may stand, and what a leader line would cross.

use crate::layout::Area;

/// Side of a cell, units.
const CELL: f64 = 4.0;

/// An end this near to the edge of a body may lie on it, units.
const EDGE: f64 = 18.0;

/// What lies in a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Taken {
    /// Bodies: no label stands there, and a leader crosses it only where there is no other way.
    Body,
    /// Straps and bars: no label stands there; a leader may cross it.
    Load,
    /// Words and numbers: neither.
    Words,
}

/// A page in cells.
#[derive(Clone, Debug)]
pub(crate) struct Occupied {
    columns: usize,
    rows: usize,
    cells: Vec<Option<Taken>>,
    /// Taken cells above and left of each corner of a cell.
    sums: Vec<u32>,
}

impl Occupied {
    /// A free page of a size in units.
    pub fn new(width: f64, height: f64) -> Self {
        let count = |length: f64| (length / CELL).ceil().max(1.0) as usize;
        let (columns, rows) = (count(width), count(height));
        Self { columns, rows, cells: vec![None; columns * rows], sums: Vec::new() }
    }

    /// Takes a box.
    pub fn take(&mut self, area: Area, taken: Taken) {
        let corners = [
            [area.x, area.y],
            [area.right(), area.y],
            [area.right(), area.bottom()],
            [area.x, area.bottom()],
        ];
        self.fill(&[corners.to_vec()], taken);
    }

    /// Takes the inside of closed polygons, an odd number of loops deep.
    pub fn fill(&mut self, loops: &[Vec<[f64; 2]>], taken: Taken) {
        for row in 0..self.rows {
            let y = (row as f64 + 0.5) * CELL;
            let mut crossings: Vec<f64> = Vec::new();
            for points in loops {
                for (i, a) in points.iter().enumerate() {
                    let b = points[(i + 1) % points.len()];
                    if (a[1] <= y) != (b[1] <= y) {
                        crossings.push(a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
                    }
                }
            }
            crossings.sort_unstable_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                let place = |x: f64| (x / CELL).clamp(0.0, self.columns as f64) as usize;
                // A line along an edge counts as one over it.
                let (from, to) =
                    (place(pair[0] - 0.5 * CELL), place(pair[1] + 1.5 * CELL).max(place(pair[0])));
                self.cells[row * self.columns + from..row * self.columns + to].fill(Some(taken));
            }
        }
        self.sums.clear();
    }

    /// Counts what is taken: to be called once all of it is.
    pub fn count(&mut self) {
        let wide = self.columns + 1;
        self.sums = vec![0; wide * (self.rows + 1)];
        for row in 0..self.rows {
            let mut line = 0;
            for column in 0..self.columns {
                line += u32::from(self.cells[row * self.columns + column].is_some());
                self.sums[(row + 1) * wide + column + 1] = self.sums[row * wide + column + 1] + line;
            }
        }
    }

    /// Whether nothing is taken in a box, which then lies on the page. Nothing is free before [`Self::count`].
    pub fn is_free(&self, area: Area) -> bool {
        let (right, bottom) = (self.columns as f64 * CELL, self.rows as f64 * CELL);
        if self.sums.is_empty()
            || area.x < 0.0
            || area.y < 0.0
            || area.right() > right
            || area.bottom() > bottom
        {
            return false;
        }
        let wide = self.columns + 1;
        let low = |x: f64| (x / CELL).floor() as usize;
        let high = |x: f64, most: usize| ((x / CELL).ceil() as usize).min(most);
        let (x0, x1) = (low(area.x), high(area.right(), self.columns));
        let (y0, y1) = (low(area.y), high(area.bottom(), self.rows));
        let at = |x: usize, y: usize| self.sums[y * wide + x];
        at(x1, y1) + at(x0, y0) == at(x0, y1) + at(x1, y0)
    }

    /// What lies at a point.
    pub fn at(&self, p: [f64; 2]) -> Option<Taken> {
        let (x, y) = ((p[0] / CELL).floor(), (p[1] / CELL).floor());
        let inside = x >= 0.0 && y >= 0.0 && x < self.columns as f64 && y < self.rows as f64;
        if inside { self.cells[y as usize * self.columns + x as usize] } else { None }
    }

    /// How far a straight line runs over bodies, units; none where it runs over words. Where its end lies on a body it may
    /// leave that body, if it does so within `near` of the end: that does not count.
    pub fn crossed(&self, from: [f64; 2], to: [f64; 2], near: f64) -> Option<f64> {
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let length = dx.hypot(dy);
        let steps = (length / CELL).ceil().max(1.0) as usize;
        let step = length / steps as f64;
        let (mut crossed, mut leaves) = (0.0, true);
        for i in 0..steps {
            let out = (i as f64 + 0.5) * step;
            let t = 1.0 - out / length.max(1e-9);
            match self.at([from[0] + t * dx, from[1] + t * dy]) {
                Some(Taken::Words) => return None,
                Some(Taken::Body) => {
                    if !(leaves && out < near) {
                        crossed += step;
                    }
                }
                _ => leaves &= out < EDGE,
            }
        }
        Some(crossed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A ring of metal, 100 wide, with a window of 60.
    fn page() -> Occupied {
        let square = |low: f64, high: f64| vec![[low, low], [high, low], [high, high], [low, high]];
        let mut page = Occupied::new(400.0, 300.0);
        page.fill(&[square(100.0, 200.0), square(120.0, 180.0)], Taken::Body);
        page.take(Area { x: 300.0, y: 0.0, w: 80.0, h: 100.0 }, Taken::Words);
        page.count();
        page
    }

    #[test]
    fn a_window_is_free_and_its_frame_is_not() {
        let page = page();
        assert!(page.is_free(Area { x: 130.0, y: 126.0, w: 40.0, h: 48.0 }));
        assert!(!page.is_free(Area { x: 126.0, y: 126.0, w: 64.0, h: 48.0 }));
        assert!(!page.is_free(Area { x: 330.0, y: 10.0, w: 20.0, h: 20.0 }));
        assert!(!page.is_free(Area { x: -1.0, y: 10.0, w: 20.0, h: 20.0 }), "off the page");
    }

    #[test]
    fn lines_tell_what_they_cross() {
        let page = page();
        let across = page.crossed([20.0, 150.0], [150.0, 150.0], 0.0).unwrap();
        assert!((across - 28.0).abs() < 8.0, "{across}");
        assert_eq!(page.crossed([20.0, 150.0], [110.0, 150.0], 40.0), Some(0.0), "leaves where it ends");
        let beyond = page.crossed([20.0, 150.0], [150.0, 150.0], 60.0).unwrap();
        assert!(beyond > 16.0, "{beyond}: metal near its end that it does not end on");
        assert_eq!(page.crossed([20.0, 50.0], [390.0, 50.0], 0.0), None);
        assert_eq!(page.crossed([20.0, 250.0], [390.0, 250.0], 0.0), Some(0.0));
    }
}

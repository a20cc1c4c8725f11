//! Boxes on a page, and the way from millimetres to a page.

/// An upright box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Area {
    pub x: f64,
    pub y: f64,
    pub w: f64,
    pub h: f64,
}

impl Area {
    pub fn right(&self) -> f64 {
        self.x + self.w
    }

    pub fn bottom(&self) -> f64 {
        self.y + self.h
    }

    pub fn holds(&self, p: [f64; 2]) -> bool {
        self.x <= p[0] && p[0] <= self.right() && self.y <= p[1] && p[1] <= self.bottom()
    }

    /// The same, larger by so much on every side.
    pub fn grown(&self, by: f64) -> Self {
        Self { x: self.x - by, y: self.y - by, w: self.w + 2.0 * by, h: self.h + 2.0 * by }
    }

    pub fn overlaps(&self, other: &Self) -> bool {
        self.x < other.right() && other.x < self.right() && self.y < other.bottom() && other.y < self.bottom()
    }
}

/// From millimetres (y up) to the page (y down).
#[derive(Clone, Copy, Debug)]
pub(crate) struct View {
    pub scale: f64,
    origin: [f64; 2],
}

impl View {
    /// The largest view that shows the box `low` to `high` (mm) inside an area, centred.
    pub fn fitting(low: [f64; 2], high: [f64; 2], area: Area) -> Self {
        let size = [(high[0] - low[0]).max(1e-6), (high[1] - low[1]).max(1e-6)];
        let scale = (area.w / size[0]).min(area.h / size[1]).max(1e-6);
        let origin = [
            area.x + 0.5 * area.w - scale * 0.5 * (low[0] + high[0]),
            area.y + 0.5 * area.h + scale * 0.5 * (low[1] + high[1]),
        ];
        Self { scale, origin }
    }

    pub fn place(&self, p: [f64; 2]) -> [f64; 2] {
        [self.origin[0] + self.scale * p[0], self.origin[1] - self.scale * p[1]]
    }

    pub fn places(&self, points: &[[f64; 2]]) -> Vec<[f64; 2]> {
        points.iter().map(|p| self.place(*p)).collect()
    }
}

/// Smallest box around finite points: low, high. A unit box when there are none.
pub(crate) fn bounds<'a>(points: impl IntoIterator<Item = &'a [f64; 2]>) -> [[f64; 2]; 2] {
    let mut low = [f64::INFINITY; 2];
    let mut high = [f64::NEG_INFINITY; 2];
    for p in points.into_iter().filter(|p| p[0].is_finite() && p[1].is_finite()) {
        for k in 0..2 {
            low[k] = low[k].min(p[k]);
            high[k] = high[k].max(p[k]);
        }
    }
    if low[0] > high[0] { [[0.0; 2], [1.0; 2]] } else { [low, high] }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_view_turns_y_over_and_centres() {
        let view = View::fitting([-10.0, -20.0], [10.0, 20.0], Area { x: 0.0, y: 0.0, w: 100.0, h: 400.0 });
        assert_eq!(view.scale, 5.0);
        assert_eq!(view.place([0.0, 0.0]), [50.0, 200.0]);
        assert_eq!(view.place([10.0, 20.0]), [100.0, 100.0]);
    }
}

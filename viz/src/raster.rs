//! Values on six-node triangles, turned into values on pixels.
//!
//! Each triangle is cut into small straight ones along its own quadratic map, and the *value* is interpolated on those,
//! never the colour: a colour between two colours of a scale need not be on the scale. The picture is cut along the true
//! outline afterwards, so this raster runs a few pixels past it and needs no smoothing of its own.

/// Values at pixel centres; NaN where no triangle lies.
#[derive(Clone, Debug, PartialEq)]
pub struct ValueRaster<const N: usize> {
    /// Pixel column of the first column.
    pub x0: i32,
    /// Pixel row of the first row.
    pub y0: i32,
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// `N` values of each pixel, row by row.
    pub values: Vec<[f32; N]>,
}

/// Longest side of a small straight triangle, pixels: curved sides then miss by under a tenth of a pixel.
const PIECE: f64 = 12.0;

impl<const N: usize> ValueRaster<N> {
    /// Draws triangles. `points`: node positions in pixels (pixel centres at +0.5); `triangles`: corners, then middles of
    /// sides 01, 12, 20; `values`: by node. `margin`: pixels added around, to be filled by [`Self::grow`].
    ///
    /// # Panics
    /// If a triangle names a node that `points` or `values` does not have.
    #[must_use]
    pub fn draw(points: &[[f64; 2]], triangles: &[[u32; 6]], values: &[[f64; N]], margin: i32) -> Self {
        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        for p in points {
            for k in 0..2 {
                low[k] = low[k].min(p[k]);
                high[k] = high[k].max(p[k]);
            }
        }
        if !(high[0] >= low[0] && high[1] >= low[1]) {
            return Self { x0: 0, y0: 0, width: 0, height: 0, values: Vec::new() };
        }
        let (x0, y0) = (low[0].floor() as i32 - margin, low[1].floor() as i32 - margin);
        let width = (high[0].ceil() as i32 + margin - x0).max(0) as usize;
        let height = (high[1].ceil() as i32 + margin - y0).max(0) as usize;
        let mut raster = Self { x0, y0, width, height, values: vec![[f32::NAN; N]; width * height] };
        for nodes in triangles {
            raster.triangle(nodes.map(|n| points[n as usize]), nodes.map(|n| values[n as usize]));
        }
        raster
    }

    fn triangle(&mut self, p: [[f64; 2]; 6], v: [[f64; N]; 6]) {
        let side = |a: usize, b: usize| (p[b][0] - p[a][0]).hypot(p[b][1] - p[a][1]);
        let longest = side(0, 1).max(side(1, 2)).max(side(2, 0));
        let cuts = ((longest / PIECE).ceil() as usize).clamp(2, 16);
        let at = |i: usize, j: usize| {
            let (s, t) = (i as f64 / cuts as f64, j as f64 / cuts as f64);
            let n = shape(s, t);
            let x = std::array::from_fn(|k| (0..6).map(|a| n[a] * p[a][k]).sum());
            let y = std::array::from_fn(|k| (0..6).map(|a| n[a] * v[a][k]).sum());
            (x, y)
        };
        for j in 0..cuts {
            for i in 0..cuts - j {
                let (a, b, c) = (at(i, j), at(i + 1, j), at(i, j + 1));
                self.straight([a.0, b.0, c.0], [a.1, b.1, c.1]);
                if i + j + 2 <= cuts {
                    let d = at(i + 1, j + 1);
                    self.straight([b.0, d.0, c.0], [b.1, d.1, c.1]);
                }
            }
        }
    }

    fn straight(&mut self, p: [[f64; 2]; 3], v: [[f64; N]; 3]) {
        let area = (p[1][0] - p[0][0]) * (p[2][1] - p[0][1]) - (p[2][0] - p[0][0]) * (p[1][1] - p[0][1]);
        if area == 0.0 || !area.is_finite() {
            return;
        }
        let (ox, oy) = (f64::from(self.x0) + 0.5, f64::from(self.y0) + 0.5);
        let span = |k: usize, o: f64, size: usize| {
            let low = p[0][k].min(p[1][k]).min(p[2][k]);
            let high = p[0][k].max(p[1][k]).max(p[2][k]);
            ((low - o).ceil().max(0.0) as usize, ((high - o).floor() + 1.0).clamp(0.0, size as f64) as usize)
        };
        let (left, right) = span(0, ox, self.width);
        let (top, bottom) = span(1, oy, self.height);
        for row in top..bottom {
            let y = oy + row as f64;
            for column in left..right {
                let x = ox + column as f64;
                let b1 = ((x - p[0][0]) * (p[2][1] - p[0][1]) - (p[2][0] - p[0][0]) * (y - p[0][1])) / area;
                let b2 = ((p[1][0] - p[0][0]) * (y - p[0][1]) - (x - p[0][0]) * (p[1][1] - p[0][1])) / area;
                let b0 = 1.0 - b1 - b2;
                // A hair of overlap: a pixel centre on a shared side is never left out by rounding.
                if b0 >= -1e-9 && b1 >= -1e-9 && b2 >= -1e-9 {
                    self.values[row * self.width + column] =
                        std::array::from_fn(|k| (b0 * v[0][k] + b1 * v[1][k] + b2 * v[2][k]) as f32);
                }
            }
        }
    }

    /// Spreads values outward by `rings` pixels, each new pixel the mean of its filled neighbours.
    pub fn grow(&mut self, rings: usize) {
        let (w, h) = (self.width as i64, self.height as i64);
        let filled = |values: &[[f32; N]], x: i64, y: i64| {
            let inside = (0..w).contains(&x) && (0..h).contains(&y);
            inside.then(|| values[(y * w + x) as usize]).filter(|v| !v[0].is_nan())
        };
        const AROUND: [(i64, i64); 8] =
            [(-1, -1), (0, -1), (1, -1), (-1, 0), (1, 0), (-1, 1), (0, 1), (1, 1)];
        let mut edge: Vec<(i64, i64)> = Vec::new();
        for y in 0..h {
            for x in 0..w {
                let here = self.values[(y * w + x) as usize][0].is_nan();
                let next_to = |dx, dy| filled(&self.values, x + dx, y + dy).is_some();
                if here && (next_to(-1, 0) || next_to(1, 0) || next_to(0, -1) || next_to(0, 1)) {
                    edge.push((x, y));
                }
            }
        }
        for _ in 0..rings {
            let new: Vec<[f32; N]> = edge
                .iter()
                .map(|&(x, y)| {
                    let mut sum = [0.0_f32; N];
                    let mut count = 0.0_f32;
                    for v in AROUND.iter().filter_map(|(dx, dy)| filled(&self.values, x + dx, y + dy)) {
                        count += 1.0;
                        for k in 0..N {
                            sum[k] += v[k];
                        }
                    }
                    sum.map(|s| s / count)
                })
                .collect();
            for (&(x, y), v) in edge.iter().zip(&new) {
                self.values[(y * w + x) as usize] = *v;
            }
            let mut next: Vec<(i64, i64)> = Vec::new();
            for &(x, y) in &edge {
                for (dx, dy) in AROUND {
                    let (x, y) = (x + dx, y + dy);
                    let inside = (0..w).contains(&x) && (0..h).contains(&y);
                    if inside && self.values[(y * w + x) as usize][0].is_nan() {
                        next.push((x, y));
                    }
                }
            }
            next.sort_unstable();
            next.dedup();
            edge = next;
        }
    }

    /// Values at the pixel that holds a point; `None` outside the triangles.
    #[must_use]
    pub fn at(&self, p: [f64; 2]) -> Option<[f32; N]> {
        let (x, y) = (p[0].floor() - f64::from(self.x0), p[1].floor() - f64::from(self.y0));
        let inside = x >= 0.0 && y >= 0.0 && x < self.width as f64 && y < self.height as f64;
        inside.then(|| self.values[y as usize * self.width + x as usize]).filter(|v| !v[0].is_nan())
    }
}

/// Shape functions of the six-node triangle at (s, t), corners first.
fn shape(s: f64, t: f64) -> [f64; 6] {
    let r = 1.0 - s - t;
    [r * (2.0 * r - 1.0), s * (2.0 * s - 1.0), t * (2.0 * t - 1.0), 4.0 * r * s, 4.0 * s * t, 4.0 * t * r]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn right_triangle(size: f64) -> Vec<[f64; 2]> {
        let h = 0.5 * size;
        vec![[0.0, 0.0], [size, 0.0], [0.0, size], [h, 0.0], [h, h], [0.0, h]]
    }

    #[test]
    fn a_linear_field_is_met_at_every_pixel_centre() {
        let points = right_triangle(40.0);
        let values: Vec<[f64; 1]> = points.iter().map(|p| [3.0 * p[0] - 2.0 * p[1] + 7.0]).collect();
        let raster = ValueRaster::draw(&points, &[[0, 1, 2, 3, 4, 5]], &values, 2);
        for (x, y) in [(3, 5), (20, 10), (0, 0), (10, 28)] {
            let value = raster.at([f64::from(x) + 0.5, f64::from(y) + 0.5]).unwrap()[0];
            let exact = 3.0 * (x as f32 + 0.5) - 2.0 * (y as f32 + 0.5) + 7.0;
            assert!((value - exact).abs() < 1e-4, "{x} {y}: {value} {exact}");
        }
        assert_eq!(raster.at([30.5, 30.5]), None, "beyond the slanted side");
    }

    #[test]
    fn every_pixel_of_the_triangle_is_covered_once() {
        // Half of 40 x 40 pixels, diagonal included: 820 pixel centres have x + y <= 40.
        let points = right_triangle(40.0);
        let raster = ValueRaster::draw(&points, &[[0, 1, 2, 3, 4, 5]], &[[1.0]; 6], 0);
        assert_eq!(raster.values.iter().filter(|v| !v[0].is_nan()).count(), 820);
    }

    #[test]
    fn a_bulging_side_is_followed() {
        let mut points = right_triangle(40.0);
        points[3] = [20.0, -10.0];
        let raster = ValueRaster::draw(&points, &[[0, 1, 2, 3, 4, 5]], &[[1.0]; 6], 0);
        // The side is y = -x (40 - x) / 40: at x = 20.5 it reaches -9.99.
        assert!(raster.at([20.5, -9.5]).is_some());
        assert!(raster.at([4.5, -5.5]).is_none());
    }

    #[test]
    fn growing_fills_the_margin_with_nearby_values() {
        let points = right_triangle(20.0);
        let mut raster = ValueRaster::draw(&points, &[[0, 1, 2, 3, 4, 5]], &[[5.0]; 6], 3);
        assert_eq!(raster.at([-1.5, 5.5]), None);
        raster.grow(2);
        assert_eq!(raster.at([-1.5, 5.5]), Some([5.0]));
        assert_eq!(raster.at([-2.5, 5.5]), None);
    }
}

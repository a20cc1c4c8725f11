//! Finding the triangle at a point, and the weights of its nodes there.
//!
//! Buckets narrow the search, Newton's method inverts the curved map. Points on the outline, or up to [`TOLERANCE_MM`]
//! outside it, count as on it: they are moved to the nearest point of the triangle's side.

use super::element;
use geometry::curve::Point;
use geometry::mesh::Mesh;

/// How far outside a point may be and still count as on the outline, mm. Far above rounding, far below any feature.
pub const TOLERANCE_MM: f64 = 1e-6;

/// The displacement (or position) of a point as a weighted sum of six nodes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointRow {
    /// The triangle that holds the point.
    pub triangle: u32,
    /// Where the point is in it.
    pub local: Point,
    /// Its nodes.
    pub nodes: [u32; 6],
    /// Their weights; they sum to one.
    pub weights: [f64; 6],
}

/// Buckets over one mesh.
#[derive(Clone, Debug)]
pub struct Locator {
    origin: Point,
    cell_mm: f64,
    counts: [usize; 2],
    starts: Vec<u32>,
    triangles: Vec<u32>,
    /// A box around each of `triangles`.
    boxes: Vec<[Point; 2]>,
}

impl Locator {
    /// Sorts the triangles of a mesh into buckets.
    #[must_use]
    pub fn new(mesh: &Mesh) -> Self {
        let boxes: Vec<[Point; 2]> = mesh.triangles.iter().map(|t| bounds(&positions(mesh, t))).collect();
        let whole = boxes.iter().fold([[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]], |w, b| {
            [[w[0][0].min(b[0][0]), w[0][1].min(b[0][1])], [w[1][0].max(b[1][0]), w[1][1].max(b[1][1])]]
        });
        let (width, height) = (whole[1][0] - whole[0][0], whole[1][1] - whole[0][1]);
        // About as many cells as triangles, over the whole box; at least one, whatever the mesh.
        let cell_mm = (width * height / boxes.len().max(1) as f64).sqrt().max(f64::MIN_POSITIVE);
        let count = |extent: f64| (extent / cell_mm) as usize + 1;
        let mut locator = Self {
            origin: whole[0],
            cell_mm,
            counts: if boxes.is_empty() { [0, 0] } else { [count(width), count(height)] },
            starts: Vec::new(),
            triangles: Vec::new(),
            boxes: Vec::new(),
        };
        let mut starts = vec![0_u32; locator.counts[0] * locator.counts[1] + 1];
        for b in &boxes {
            locator.each_cell(b, |cell| starts[cell + 1] += 1);
        }
        for k in 1..starts.len() {
            starts[k] += starts[k - 1];
        }
        let mut next = starts.clone();
        let mut triangles = vec![0_u32; starts.last().map_or(0, |n| *n as usize)];
        for (t, b) in boxes.iter().enumerate() {
            locator.each_cell(b, |cell| {
                triangles[next[cell] as usize] = t as u32;
                next[cell] += 1;
            });
        }
        locator.starts = starts;
        locator.boxes = triangles.iter().map(|t| boxes[*t as usize]).collect();
        locator.triangles = triangles;
        locator
    }

    /// The weights at a point (mm) of the mesh this was made for; None outside. On a shared side the triangle with the
    /// lowest index is taken.
    #[must_use]
    pub fn row(&self, mesh: &Mesh, point: Point) -> Option<PointRow> {
        let cell = self.cell_of(point)?;
        let mut nearest: Option<(f64, u32, Point)> = None;
        let here = self.starts[cell] as usize..self.starts[cell + 1] as usize;
        for (&triangle, [low, high]) in self.triangles[here.clone()].iter().zip(&self.boxes[here]) {
            if point[0] < low[0] || point[1] < low[1] || point[0] > high[0] || point[1] > high[1] {
                continue;
            }
            let nodes = positions(mesh, &mesh.triangles[triangle as usize]);
            let Some(local) = invert(&nodes, point) else { continue };
            if local[0] >= 0.0 && local[1] >= 0.0 && local[0] + local[1] <= 1.0 {
                return Some(row(mesh, triangle, local));
            }
            let (distance, clamped) = nearest_on_sides(&nodes, local, point);
            if distance <= TOLERANCE_MM && nearest.is_none_or(|(d, ..)| distance < d) {
                nearest = Some((distance, triangle, clamped));
            }
        }
        nearest.map(|(_, triangle, local)| row(mesh, triangle, local))
    }

    fn cell_of(&self, point: Point) -> Option<usize> {
        let mut index = [0; 2];
        for axis in 0..2 {
            let at = (point[axis] - self.origin[axis]) / self.cell_mm;
            // Also turns NaN away. The boxes were widened, so the cell floor and count are safe to take as they are.
            if !(at >= 0.0 && at < self.counts[axis] as f64) {
                return None;
            }
            index[axis] = at as usize;
        }
        Some(index[1] * self.counts[0] + index[0])
    }

    fn each_cell(&self, bounds: &[Point; 2], mut each: impl FnMut(usize)) {
        let index = |p: Point, axis: usize| {
            (((p[axis] - self.origin[axis]) / self.cell_mm) as usize).min(self.counts[axis] - 1)
        };
        for j in index(bounds[0], 1)..=index(bounds[1], 1) {
            for i in index(bounds[0], 0)..=index(bounds[1], 0) {
                each(j * self.counts[0] + i);
            }
        }
    }
}

fn positions(mesh: &Mesh, triangle: &[u32; 6]) -> [Point; 6] {
    triangle.map(|node| mesh.points[node as usize])
}

/// A box that surely holds the triangle: each curved side stays within its ends and its control point.
fn bounds(p: &[Point; 6]) -> [Point; 2] {
    let mut bounds = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
    for axis in 0..2 {
        let control = |a: usize, b: usize, m: usize| 2.0 * p[m][axis] - 0.5 * (p[a][axis] + p[b][axis]);
        let all = [p[0][axis], p[1][axis], p[2][axis], control(0, 1, 3), control(1, 2, 4), control(2, 0, 5)];
        for value in all {
            bounds[0][axis] = bounds[0][axis].min(value - 2.0 * TOLERANCE_MM);
            bounds[1][axis] = bounds[1][axis].max(value + 2.0 * TOLERANCE_MM);
        }
    }
    bounds
}

/// Reference coordinates of a true point, inside or near the triangle; None when Newton's method does not settle, which
/// happens only well outside.
fn invert(nodes: &[Point; 6], point: Point) -> Option<Point> {
    let mut local = [1.0 / 3.0, 1.0 / 3.0];
    for _ in 0..25 {
        let at = element::point(nodes, &element::shape(local));
        let miss = [point[0] - at[0], point[1] - at[1]];
        let [[a, b], [c, d]] = element::map_gradient(nodes, &element::reference_gradient(local));
        let determinant = a * d - b * c;
        let step = [(miss[0] * d - miss[1] * b) / determinant, (miss[1] * a - miss[0] * c) / determinant];
        local[0] += step[0];
        local[1] += step[1];
        if !(local[0].abs() < 4.0 && local[1].abs() < 4.0) {
            return None;
        }
        if step[0].abs() + step[1].abs() < 1e-14 {
            return Some(local);
        }
    }
    // Steps that hover at rounding have arrived too.
    let at = element::point(nodes, &element::shape(local));
    ((point[0] - at[0]).hypot(point[1] - at[1]) < 1e-3 * TOLERANCE_MM).then_some(local)
}

/// The nearest point to `point` on the sides that `local` lies beyond: distance (mm) and reference coordinates.
fn nearest_on_sides(nodes: &[Point; 6], local: Point, point: Point) -> (f64, Point) {
    // Each side by its parameter in 0..=1: what lies beyond it, where it is, and its direction.
    let sides: [(f64, Point, Point); 3] = [
        (local[1], [local[0], 0.0], [1.0, 0.0]),
        (1.0 - local[0] - local[1], [0.0, 0.0], [-1.0, 1.0]),
        (local[0], [0.0, local[1]], [0.0, 1.0]),
    ];
    let mut best = (f64::INFINITY, local);
    for (side, (inside, start, direction)) in sides.into_iter().enumerate() {
        if inside >= 0.0 {
            continue;
        }
        let on_side = |t: f64| match side {
            0 => [t, 0.0],
            1 => [1.0 - t, t],
            _ => [0.0, t],
        };
        let mut t = match side {
            0 => start[0],
            1 => 0.5 * (local[1] + 1.0 - local[0]),
            _ => start[1],
        };
        for _ in 0..3 {
            t = t.clamp(0.0, 1.0);
            let at = on_side(t);
            let p = element::point(nodes, &element::shape(at));
            let [[a, b], [c, d]] = element::map_gradient(nodes, &element::reference_gradient(at));
            let tangent = [a * direction[0] + b * direction[1], c * direction[0] + d * direction[1]];
            let along = (point[0] - p[0]) * tangent[0] + (point[1] - p[1]) * tangent[1];
            t += along / (tangent[0] * tangent[0] + tangent[1] * tangent[1]);
        }
        let at = on_side(t.clamp(0.0, 1.0));
        let p = element::point(nodes, &element::shape(at));
        let distance = (point[0] - p[0]).hypot(point[1] - p[1]);
        if distance < best.0 {
            best = (distance, at);
        }
    }
    best
}

fn row(mesh: &Mesh, triangle: u32, local: Point) -> PointRow {
    PointRow { triangle, local, nodes: mesh.triangles[triangle as usize], weights: element::shape(local) }
}

#[cfg(test)]
mod tests {
    use super::super::grid::grid;
    use super::*;

    /// A quarter ring, inner radius 5, outer 9.
    fn ring() -> Mesh {
        grid(6, 3, &|p| {
            let (r, angle) = (9.0 - 4.0 * p[1], 0.5 * std::f64::consts::PI * p[0]);
            [r * angle.cos(), r * angle.sin()]
        })
    }

    #[test]
    fn weights_give_the_point_back() {
        let mesh = ring();
        let locator = Locator::new(&mesh);
        let mut found = 0;
        for i in 0..40 {
            for j in 0..40 {
                let p = [0.25 * f64::from(i) + 0.013, 0.25 * f64::from(j) + 0.029];
                let r = p[0].hypot(p[1]);
                let row = locator.row(&mesh, p);
                // The quadratic sides stay within 0.001 mm of the true arcs.
                if r > 5.001 && r < 8.999 {
                    let row = row.unwrap_or_else(|| panic!("{p:?} is inside"));
                    let at = element::point(&row.nodes.map(|n| mesh.points[n as usize]), &row.weights);
                    assert!((at[0] - p[0]).abs() + (at[1] - p[1]).abs() < 1e-12);
                    found += 1;
                } else if !(4.999..=9.001).contains(&r) {
                    assert_eq!(row, None, "{p:?} is outside");
                }
            }
        }
        assert!(found > 500);
    }

    #[test]
    fn every_node_and_edge_point_is_found_even_a_little_outside() {
        let mesh = ring();
        let locator = Locator::new(&mesh);
        for p in &mesh.points {
            assert!(locator.row(&mesh, *p).is_some(), "{p:?}");
        }
        for edge in &mesh.boundary {
            for t in [-0.9, -0.3, 0.1, 0.77] {
                let p = super::super::edge::at(&mesh, edge, t);
                for (out, found) in [(0.0, true), (0.5e-6, true), (5e-6, false)] {
                    let q = [p.point[0] + out * p.normal[0], p.point[1] + out * p.normal[1]];
                    assert_eq!(locator.row(&mesh, q).is_some(), found, "{out} outside {:?}", p.point);
                }
            }
        }
        assert_eq!(locator.row(&mesh, [f64::NAN, 1.0]), None);
    }
}

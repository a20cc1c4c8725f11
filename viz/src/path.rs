//! Outlines of shapes.

/// Control-point distance of the cubic that stands for a quarter circle of radius one (error below 0.03 %).
const QUARTER: f64 = 0.552_284_749_8;

/// Which places count as inside where a path overlaps itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Rule {
    /// Inside an odd number of loops: holes stay open whichever way their loops run.
    #[default]
    EvenOdd,
    /// Inside any loop: overlapping pieces join.
    NonZero,
}

/// A piece of path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// Starts a new loop or line.
    Move([f64; 2]),
    /// Straight to a point.
    Line([f64; 2]),
    /// Quadratic curve: control point, end.
    Quad([f64; 2], [f64; 2]),
    /// Cubic curve: two control points, end.
    Cubic([f64; 2], [f64; 2], [f64; 2]),
    /// Back to where the loop began.
    Close,
}

/// Loops and lines.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Path {
    /// Pieces in order.
    pub segments: Vec<Segment>,
    /// What counts as inside.
    pub rule: Rule,
}

impl Path {
    /// An open line through points.
    #[must_use]
    pub fn line(points: &[[f64; 2]]) -> Self {
        let mut path = Self::default();
        path.add_line(points);
        path
    }

    /// Closed loops through points.
    #[must_use]
    pub fn polygons<'a>(loops: impl IntoIterator<Item = &'a [[f64; 2]]>) -> Self {
        let mut path = Self::default();
        for points in loops {
            path.add_line(points);
            path.segments.push(Segment::Close);
        }
        path
    }

    /// A circle.
    #[must_use]
    pub fn circle(centre: [f64; 2], radius: f64) -> Self {
        Self::rounded([centre[0] - radius, centre[1] - radius], [2.0 * radius, 2.0 * radius], radius)
    }

    /// A rectangle with square corners.
    #[must_use]
    pub fn rectangle(at: [f64; 2], size: [f64; 2]) -> Self {
        let [x, y] = at;
        let [w, h] = size;
        Self::polygons([[[x, y], [x + w, y], [x + w, y + h], [x, y + h]].as_slice()])
    }

    /// A rectangle with rounded corners; the radius is cut to what fits.
    #[must_use]
    pub fn rounded(at: [f64; 2], size: [f64; 2], radius: f64) -> Self {
        let [x, y] = at;
        let [w, h] = size;
        let r = radius.clamp(0.0, 0.5 * w.abs().min(h.abs()));
        let k = r * (1.0 - QUARTER);
        let segments = vec![
            Segment::Move([x + r, y]),
            Segment::Line([x + w - r, y]),
            Segment::Cubic([x + w - k, y], [x + w, y + k], [x + w, y + r]),
            Segment::Line([x + w, y + h - r]),
            Segment::Cubic([x + w, y + h - k], [x + w - k, y + h], [x + w - r, y + h]),
            Segment::Line([x + r, y + h]),
            Segment::Cubic([x + k, y + h], [x, y + h - k], [x, y + h - r]),
            Segment::Line([x, y + r]),
            Segment::Cubic([x, y + k], [x + k, y], [x + r, y]),
            Segment::Close,
        ];
        Self { segments, rule: Rule::EvenOdd }
    }

    /// Adds an open line through points as a piece of its own.
    pub fn add_line(&mut self, points: &[[f64; 2]]) {
        for (i, &p) in points.iter().enumerate() {
            self.segments.push(if i == 0 { Segment::Move(p) } else { Segment::Line(p) });
        }
    }

    /// Smallest box around all points and control points: lower corner, upper corner. `None` for an empty path.
    #[must_use]
    pub fn bounds(&self) -> Option<[[f64; 2]; 2]> {
        let mut bounds: Option<[[f64; 2]; 2]> = None;
        let mut take = |p: [f64; 2]| {
            let b = bounds.get_or_insert([p, p]);
            for k in 0..2 {
                b[0][k] = b[0][k].min(p[k]);
                b[1][k] = b[1][k].max(p[k]);
            }
        };
        for segment in &self.segments {
            match *segment {
                Segment::Move(a) | Segment::Line(a) => take(a),
                Segment::Quad(a, b) => {
                    take(a);
                    take(b);
                }
                Segment::Cubic(a, b, c) => {
                    take(a);
                    take(b);
                    take(c);
                }
                Segment::Close => {}
            }
        }
        bounds
    }
}

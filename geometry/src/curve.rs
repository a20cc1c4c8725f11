//! Plane curves that outlines are made of, each run through by a parameter from 0 to 1.

use std::fmt;
use std::sync::Arc;

/// A point or vector in the plane of the connector, mm.
pub type Point = [f64; 2];

/// A smooth piece of curve. The parameter runs from 0 at its start to 1 at its end, near enough in proportion to length.
#[derive(Clone)]
pub enum Curve {
    /// A straight line.
    Line {
        /// Start.
        from: Point,
        /// End.
        to: Point,
    },
    /// A circular arc.
    Arc {
        /// Centre.
        centre: Point,
        /// Radius, mm.
        radius: f64,
        /// Angle at the start, radians counter-clockwise from +x.
        from: f64,
        /// Angle at the end, radians; above `from` when the arc runs counter-clockwise.
        to: f64,
    },
    /// Any other smooth curve, given by its points.
    Path(Arc<dyn Fn(f64) -> Point + Send + Sync>),
}

impl Curve {
    /// The point at parameter `t` in 0..=1.
    #[must_use]
    pub fn point(&self, t: f64) -> Point {
        match self {
            Self::Line { from, to } => {
                // Both ends are met exactly, so that neighbouring pieces share their points to the bit.
                if t == 1.0 {
                    *to
                } else {
                    [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])]
                }
            }
            Self::Arc { centre, radius, from, to } => {
                let angle = from + t * (to - from);
                [centre[0] + radius * angle.cos(), centre[1] + radius * angle.sin()]
            }
            Self::Path(at) => at(t),
        }
    }

    /// Length, mm: exact for lines and arcs, by 64 chords for a path (relative error below 1e-4 on a half turn).
    #[must_use]
    pub fn length(&self) -> f64 {
        match self {
            Self::Line { from, to } => (to[0] - from[0]).hypot(to[1] - from[1]),
            Self::Arc { radius, from, to, .. } => radius * (to - from).abs(),
            Self::Path(at) => {
                let mut sum = 0.0;
                let mut last = at(0.0);
                for i in 1..=64 {
                    let next = at(f64::from(i) / 64.0);
                    sum += (next[0] - last[0]).hypot(next[1] - last[1]);
                    last = next;
                }
                sum
            }
        }
    }

    /// The part from parameter `a` to `b`; runs backwards when `b < a`.
    #[must_use]
    pub fn part(&self, a: f64, b: f64) -> Self {
        match self {
            Self::Line { .. } => Self::Line { from: self.point(a), to: self.point(b) },
            Self::Arc { centre, radius, from, to } => Self::Arc {
                centre: *centre,
                radius: *radius,
                from: from + a * (to - from),
                to: from + b * (to - from),
            },
            Self::Path(at) => {
                let at = Arc::clone(at);
                Self::Path(Arc::new(move |t| at(a + t * (b - a))))
            }
        }
    }
}

impl fmt::Debug for Curve {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Line { from, to } => write!(f, "Line({from:?} -> {to:?})"),
            Self::Arc { centre, radius, from, to } => {
                write!(f, "Arc(centre {centre:?}, radius {radius}, {from} -> {to})")
            }
            Self::Path(at) => write!(f, "Path({:?} -> {:?})", at(0.0), at(1.0)),
        }
    }
}

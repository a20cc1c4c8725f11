//! The clear opening of the mouth: the gate turned into the window until it touches, and what is free beside the nose.

use super::edges::{least_along, least_between};
use crate::curve::{Curve, Point};
use crate::outline::{Circle, LOWER, Outline, UPPER, add, between, dot, edge_curve};
use crate::region::Stretch;

/// Steps in which the gate is turned while it is free, of half a turn.
const STEPS: u32 = 180;
/// Halvings of the step in which it touches: to a millionth of a millionth of a degree.
const HALVINGS: u32 = 48;
/// What overlaps less than this is free, mm.
const FREE_MM: f64 = 1e-9;

/// The mouth with its gate open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// How far the gate is turned from where it is shut, radians: until it touches the inner edge of the frame, at most half a
    /// turn. Edges of the frame that the gate covers, or leaves from the far side, do not stop it: its cheeks straddle them.
    pub turned: f64,
    /// Shortest distance between the nose and the gate, mm.
    pub clear_mm: f64,
    /// The point of the nose where it is shortest.
    pub on_nose: Point,
    /// The point of the gate there.
    pub on_gate: Point,
}

impl Opening {
    /// That of an outline whose gate is shut. A notch in the gate counts as filled: its mouth is as near as its corners.
    #[must_use]
    pub fn new(outline: &Outline) -> Self {
        let gate = Shape::of_gate(outline);
        let hinge = outline.seats.hinge_pin.centre;
        let turned = turned_until_it_touches(outline, &gate, hinge);
        let gate = gate.turned(hinge, turned);
        let of_nose = [Stretch::NoseInner, Stretch::NoseTip, Stretch::LipFlank];
        let pieces = outline.frame.loops.iter().flatten().filter(|piece| of_nose.contains(&piece.stretch));
        let mut nearest = (f64::INFINITY, hinge);
        for piece in pieces {
            let (t, gap) = least_along(&|t| gate.gap(piece.curve.point(t)));
            if gap < nearest.0 {
                nearest = (gap, piece.curve.point(t));
            }
        }
        let (gap, on_nose) = nearest;
        Self { turned, clear_mm: gap.max(0.0), on_nose, on_gate: gate.nearest(on_nose) }
    }
}

/// Turns the gate step by step. Toward the window is counter-clockwise: the nose is above the hinge, the window on its left.
fn turned_until_it_touches(outline: &Outline, gate: &Shape, hinge: Point) -> f64 {
    let strip = &outline.strip;
    let edges: Vec<(usize, Curve)> = (LOWER.0..=UPPER.1)
        .filter(|segment| strip.has_length(*segment))
        .map(|segment| (segment, edge_curve(strip, false, segment, 0.0, 1.0)))
        .collect();
    let nearest = |edge: &Curve, angle: f64| gate.turned(hinge, angle).nearest_of(edge);
    let step = std::f64::consts::PI / f64::from(STEPS);
    let mut free: Vec<bool> = edges.iter().map(|(_, edge)| nearest(edge, 0.0).1 > FREE_MM).collect();
    for i in 1..=STEPS {
        let angle = f64::from(i) * step;
        let mut touches: Option<f64> = None;
        for ((segment, edge), free) in edges.iter().zip(&mut free) {
            let beside = nearest(edge, angle).1 > FREE_MM;
            if *free && !beside {
                let (mut a, mut b) = (angle - step, angle);
                for _ in 0..HALVINGS {
                    let middle = 0.5 * (a + b);
                    if nearest(edge, middle).1 > 0.0 { a = middle } else { b = middle }
                }
                // A gate that leaves the leg it covered comes from the far side of the edge: nothing holds it there.
                let t = nearest(edge, a).0;
                let [x, y] = between(hinge, edge.point(t));
                if dot([-y, x], strip.edge_frame(*segment, t).1) > 0.0 {
                    touches = Some(touches.map_or(a, |first| first.min(a)));
                }
            }
            *free = beside;
        }
        if let Some(angle) = touches {
            return angle;
        }
    }
    std::f64::consts::PI
}

/// The gate: a polygon with round ends.
struct Shape {
    polygon: Vec<Point>,
    ends: Vec<Circle>,
}

impl Shape {
    fn of_gate(outline: &Outline) -> Self {
        let kept = |stretch: Stretch| matches!(stretch, Stretch::GateEdge | Stretch::BackFlank);
        let pieces = outline.gate.loops.iter().flatten().filter(|piece| kept(piece.stretch));
        let polygon: Vec<Point> = pieces.clone().map(|piece| piece.curve.point(0.0)).collect();
        let caps = pieces.filter_map(|piece| match &piece.curve {
            Curve::Arc { centre, radius, .. } => Some(Circle { centre: *centre, radius: *radius }),
            _ => None,
        });
        Self { polygon, ends: caps.collect() }
    }

    fn turned(&self, about: Point, angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        let turn = |p: Point| {
            let [x, y] = between(about, p);
            [about[0] + cos * x - sin * y, about[1] + sin * x + cos * y]
        };
        Self {
            polygon: self.polygon.iter().map(|p| turn(*p)).collect(),
            ends: self.ends.iter().map(|end| Circle { centre: turn(end.centre), ..*end }).collect(),
        }
    }

    fn sides(&self) -> impl Iterator<Item = (Point, Point)> {
        let next = self.polygon.iter().cycle().skip(1);
        self.polygon.iter().copied().zip(next.copied())
    }

    /// Distance of a point, mm; below 0 inside.
    fn gap(&self, p: Point) -> f64 {
        let mut inside = false;
        let mut least = f64::INFINITY;
        for (a, b) in self.sides() {
            let q = nearest_on(a, b, p);
            least = least.min((q[0] - p[0]).hypot(q[1] - p[1]));
            if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) {
                inside = !inside;
            }
        }
        let body = if inside { -least } else { least };
        self.ends
            .iter()
            .map(|end| (p[0] - end.centre[0]).hypot(p[1] - end.centre[1]) - end.radius)
            .fold(body, f64::min)
    }

    /// The point of a curve that is nearest, by its parameter, and its distance, mm; below 0 where it runs inside.
    fn nearest_of(&self, curve: &Curve) -> (f64, f64) {
        const PLACES: u32 = 24;
        let f = |t: f64| self.gap(curve.point(t));
        let at = |i: u32| f64::from(i) / f64::from(PLACES);
        let mut best = (0, f64::INFINITY);
        for i in 0..=PLACES {
            let value = f(at(i));
            if value < best.1 {
                best = (i, value);
            }
        }
        // Between two places the distance falls by less than half of what lies between them.
        if best.1 > curve.length() / f64::from(PLACES) {
            return (at(best.0), best.1);
        }
        let (low, high) = (at(best.0.saturating_sub(1)), at((best.0 + 1).min(PLACES)));
        least_between(&f, low, high, (at(best.0), best.1))
    }

    /// The point of the edge that lies nearest to one outside.
    fn nearest(&self, p: Point) -> Point {
        let on_sides = self.sides().map(|(a, b)| nearest_on(a, b, p));
        let on_ends = self.ends.iter().map(|end| {
            let d = between(end.centre, p);
            let long = d[0].hypot(d[1]).max(f64::MIN_POSITIVE);
            add(end.centre, end.radius / long, d)
        });
        let far = |q: &Point| (q[0] - p[0]).hypot(q[1] - p[1]);
        on_sides.chain(on_ends).min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(p)
    }
}

/// The point of a straight from `a` to `b` that lies nearest to `p`.
fn nearest_on(a: Point, b: Point, p: Point) -> Point {
    let along = between(a, b);
    let long = dot(along, along);
    let t = if long > 0.0 { (dot(between(a, p), along) / long).clamp(0.0, 1.0) } else { 0.0 };
    add(a, t, along)
}

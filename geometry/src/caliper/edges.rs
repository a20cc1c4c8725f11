//! The edges that jaws touch: extremes of lines, arcs and the blends between bars of different depth.

use super::Measure;
use crate::connector::{Connector, GatePlace};
use crate::curve::{Curve, Point};
use crate::outline::{
    LOWER, OutlineError, PathSegment, Seats, Strip, UPPER, add, between, dot, edge_curve, inner_path,
    loose_path, nose_block_mm,
};

/// Least length of a leg while a connector is sought, mm: a leg of no length has no direction.
const LEAST_LEG_MM: f64 = 1.0;
/// Places along a curve from which the search for an extreme begins.
const STARTS: u32 = 64;
/// Steps of a golden section: an interval shrinks to 1e-13 of itself.
const GOLDEN_STEPS: u32 = 62;

/// Strip and pins of a connector, with or without an outline around them.
pub(super) struct Edges {
    strip: Strip,
    seats: Seats,
    /// Where the nose ends below the upper inner edge, along the gate side, mm.
    tip_mm: f64,
}

impl Edges {
    /// Those of a connector that can be drawn.
    pub fn drawn(connector: &Connector) -> Result<Self, Vec<OutlineError>> {
        let path = inner_path(&connector.window, connector.hinge.height_mm, connector.nose.tip_mm)?;
        Ok(Self::along(connector, &path))
    }

    /// Those of a connector on the way to one that can be drawn; `None` where it has no corners.
    pub fn loose(connector: &Connector) -> Option<Self> {
        let leg = |mm: f64| if mm > LEAST_LEG_MM { mm } else { LEAST_LEG_MM };
        let path = loose_path(&connector.window, leg(connector.hinge.height_mm), leg(connector.nose.tip_mm))?;
        Some(Self::along(connector, &path))
    }

    fn along(connector: &Connector, path: &[PathSegment; 9]) -> Self {
        Self {
            strip: Strip::new(connector, path.to_vec(), nose_block_mm(&connector.nose)),
            seats: Seats::new(connector, GatePlace::Shut),
            tip_mm: connector.nose.tip_mm,
        }
    }

    /// A measure, mm; `None` where there is nothing for the jaws to touch, and of the opening, which needs the gate.
    pub fn read(&self, measure: Measure) -> Option<f64> {
        let [first, second] = self.touched(measure)?;
        let across = match measure {
            Measure::OverallLength | Measure::ClearLength => second[1] - first[1],
            Measure::UpperOverAll | Measure::LowerOverAll => second[0] - first[0],
            Measure::TipOverBar => dot(between(second, first), self.seats.leg.down),
            Measure::PinToPin => (second[0] - first[0]).hypot(second[1] - first[1]),
            Measure::GateOpening => return None,
        };
        across.is_finite().then_some(across)
    }

    /// The two points that the jaws touch.
    pub fn touched(&self, measure: Measure) -> Option<[Point; 2]> {
        let leg = &self.seats.leg;
        let up = [-leg.down[0], -leg.down[1]];
        Some(match measure {
            Measure::OverallLength => [self.farthest(LOWER, [0.0, -1.0])?, self.farthest(UPPER, [0.0, 1.0])?],
            Measure::ClearLength => [self.inner_at_middle(LOWER)?, self.inner_at_middle(UPPER)?],
            Measure::UpperOverAll => [self.farthest(UPPER, [-1.0, 0.0])?, self.farthest(UPPER, [1.0, 0.0])?],
            Measure::LowerOverAll => [self.farthest(LOWER, [-1.0, 0.0])?, self.farthest(LOWER, [1.0, 0.0])?],
            Measure::TipOverBar => [add(leg.upper_corner, self.tip_mm, leg.down), self.farthest(UPPER, up)?],
            Measure::PinToPin => [self.seats.nose_pin.centre, self.seats.hinge_pin.centre],
            Measure::GateOpening => return None,
        })
    }

    /// How far the upper bar stands above the upper gate corner of the window, along the gate side, mm.
    pub fn bar_above_corner(&self) -> Option<f64> {
        let leg = &self.seats.leg;
        let up = [-leg.down[0], -leg.down[1]];
        Some(dot(between(leg.upper_corner, self.farthest(UPPER, up)?), up))
    }

    /// The point of the outer edge of a bar with its two corners that lies farthest in a direction.
    fn farthest(&self, (first, last): (usize, usize), toward: Point) -> Option<Point> {
        let mut best: Option<Point> = None;
        for segment in first..=last {
            let curve = edge_curve(&self.strip, true, segment, 0.0, 1.0);
            // A straight ends where the arcs beside it begin.
            let point = match &curve {
                Curve::Line { .. } => continue,
                Curve::Arc { .. } => farthest_of_arc(&curve, toward),
                Curve::Path(_) if !self.strip.has_length(segment) => continue,
                Curve::Path(_) => curve.point(least_along(&|t| -dot(curve.point(t), toward)).0),
            };
            if best.is_none_or(|so_far| dot(point, toward) > dot(so_far, toward)) {
                best = Some(point);
            }
        }
        best.filter(|point| point[0].is_finite() && point[1].is_finite())
    }

    /// The point of the inner edge of a bar with its two corners in the middle of the window's width.
    fn inner_at_middle(&self, (first, last): (usize, usize)) -> Option<Point> {
        (first..=last).find_map(|segment| {
            let curve = edge_curve(&self.strip, false, segment, 0.0, 1.0);
            let (from, to) = (curve.point(0.0), curve.point(1.0));
            if from[0] == 0.0 {
                return Some(from);
            }
            if to[0] == 0.0 {
                return Some(to);
            }
            if (from[0] < 0.0) == (to[0] < 0.0) {
                return None;
            }
            let t = match &curve {
                Curve::Line { .. } => from[0] / (from[0] - to[0]),
                Curve::Arc { .. } | Curve::Path(_) => {
                    let (mut a, mut b) = (0.0, 1.0);
                    for _ in 0..GOLDEN_STEPS {
                        let middle = 0.5 * (a + b);
                        if (curve.point(middle)[0] < 0.0) == (from[0] < 0.0) {
                            a = middle
                        } else {
                            b = middle
                        }
                    }
                    0.5 * (a + b)
                }
            };
            Some([0.0, curve.point(t)[1]])
        })
    }
}

/// The point of an arc that lies farthest in a direction: where its normal points that way, or an end.
fn farthest_of_arc(arc: &Curve, toward: Point) -> Point {
    let ends = [arc.point(0.0), arc.point(1.0)];
    let Curve::Arc { centre, radius, from, to } = arc else { return ends[0] };
    let (pi, middle) = (std::f64::consts::PI, 0.5 * (from + to));
    let turn = (toward[1].atan2(toward[0]) - middle + pi).rem_euclid(2.0 * pi) - pi;
    if turn.abs() <= 0.5 * (to - from).abs() {
        let long = toward[0].hypot(toward[1]);
        return [centre[0] + radius * toward[0] / long, centre[1] + radius * toward[1] / long];
    }
    if dot(ends[0], toward) > dot(ends[1], toward) { ends[0] } else { ends[1] }
}

/// Where a smooth function of a curve's parameter is least, and how small: from the best of evenly spaced places by golden
/// section. Near the least value a function is level, so that the value is as exact as numbers are.
pub(super) fn least_along(f: &dyn Fn(f64) -> f64) -> (f64, f64) {
    let at = |i: u32| f64::from(i) / f64::from(STARTS);
    let mut best = (0, f64::INFINITY);
    for i in 0..=STARTS {
        let value = f(at(i));
        if value < best.1 {
            best = (i, value);
        }
    }
    least_between(f, at(best.0.saturating_sub(1)), at((best.0 + 1).min(STARTS)), (at(best.0), best.1))
}

/// The same between two parameters, where a place and its value are known.
pub(super) fn least_between(
    f: &dyn Fn(f64) -> f64,
    mut low: f64,
    mut high: f64,
    known: (f64, f64),
) -> (f64, f64) {
    let part = 0.5 * (5.0_f64.sqrt() - 1.0);
    let (mut p, mut q) = (high - part * (high - low), low + part * (high - low));
    let (mut at_p, mut at_q) = (f(p), f(q));
    for _ in 0..GOLDEN_STEPS {
        if at_p < at_q {
            (high, q, at_q) = (q, p, at_p);
            p = high - part * (high - low);
            at_p = f(p);
        } else {
            (low, p, at_p) = (p, q, at_q);
            q = low + part * (high - low);
            at_q = f(q);
        }
    }
    [(p, at_p), (q, at_q)].into_iter().fold(known, |best, next| if next.1 < best.1 { next } else { best })
}

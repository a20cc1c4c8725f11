//! The frame as a strip along the inner edge of the window: where it is at a given place along and across, and the other
//! way round, which place along and across a point belongs to.

use super::window_path::{PathPart, PathSegment};
use crate::connector::{Connector, Section};
use crate::curve::{Curve, Point};

/// A smooth step from 0 at `x <= 0` to 1 at `x >= 1` with level ends.
#[must_use]
pub fn smooth_step(x: f64) -> f64 {
    let x = x.clamp(0.0, 1.0);
    x * x * (3.0 - 2.0 * x)
}

/// A side of the window shorter than this has no length, mm: full-round ends leave one of rounding's size, whose direction is
/// noise.
pub const NO_LENGTH_MM: f64 = 1e-6;

/// Length of the blend between a machined block and the bar, as a part of the bar's depth.
pub const BLEND_OF_DEPTH: f64 = 0.3;

/// A place in the frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Index of the path segment.
    pub segment: usize,
    /// Parameter along that segment, 0 to 1.
    pub t: f64,
    /// Distance outward from the window's edge, mm.
    pub outward_mm: f64,
}

/// How much of a machined block and which bar sections are found at a place along the strip.
#[derive(Clone, Copy, Debug)]
pub struct Mix {
    /// Section before the blend.
    pub from: Section,
    /// Section after the blend.
    pub to: Section,
    /// Weight of `to`, 0 to 1.
    pub weight: f64,
    /// Weight of the lug block, 0 to 1.
    pub lug: f64,
    /// Weight of the nose block, 0 to 1.
    pub nose: f64,
}

/// The frame as a strip.
#[derive(Clone, Debug)]
pub struct Strip {
    /// Inner edge in order of travel.
    pub path: Vec<PathSegment>,
    sections: [Section; 3],
    lug_radius: f64,
    lug_block: f64,
    nose_block: f64,
    /// Centre-line length at the start of each segment, and at the end of the last.
    centre_length: Vec<f64>,
    /// The directions that each arc of the path covers.
    fans: Vec<Fan>,
    /// Length of each segment of the path, mm.
    lengths: Vec<f64>,
}

/// The directions that an arc covers, seen from its centre. Tells most points that lie beyond its ends without an arctangent.
#[derive(Clone, Copy, Debug)]
struct Fan {
    /// Toward the middle of the arc.
    middle: Point,
    /// Cosine of half the angle.
    cos_half: f64,
}

impl Fan {
    fn new(curve: &Curve) -> Self {
        match curve {
            Curve::Arc { from, to, .. } => {
                let (sin, cos) = (0.5 * (from + to)).sin_cos();
                Self { middle: [cos, sin], cos_half: (0.5 * (to - from)).cos() }
            }
            _ => Self { middle: [0.0; 2], cos_half: -1.0 },
        }
    }

    /// True when a point `d` from the centre, `distance` away, surely lies more than `angle`, rad, beyond the arc's ends.
    fn misses(&self, d: Point, distance: f64, angle: f64) -> bool {
        // No cosine falls faster than its angle grows.
        d[0] * self.middle[0] + d[1] * self.middle[1] < distance * (self.cos_half - angle)
    }
}

impl Strip {
    /// The strip along `path` with the connector's sections; `nose_block_mm` is the length of the nose block along the
    /// centre line from the tip.
    #[must_use]
    pub fn new(connector: &Connector, path: Vec<PathSegment>, nose_block_mm: f64) -> Self {
        let sections = [connector.lower, connector.spine, connector.upper];
        let mut strip = Self {
            fans: path.iter().map(|segment| Fan::new(&segment.curve)).collect(),
            lengths: path.iter().map(|segment| segment.curve.length()).collect(),
            path,
            sections,
            lug_radius: connector.hinge.lug_radius_mm,
            lug_block: connector.hinge.lug_radius_mm,
            nose_block: nose_block_mm,
            centre_length: Vec::new(),
        };
        let mut sum = 0.0;
        for segment in &strip.path {
            strip.centre_length.push(sum);
            let depth = strip.bar_depth(segment.part, 0.5);
            sum += match &segment.curve {
                Curve::Arc { radius, from, to, .. } => (radius + 0.5 * depth) * (to - from).abs(),
                other => other.length(),
            };
        }
        strip.centre_length.push(sum);
        strip
    }

    fn section_blend(&self, part: PathPart, t: f64) -> (Section, Section, f64) {
        let [lower, spine, upper] = self.sections;
        match part {
            PathPart::HingeLeg | PathPart::LowerGateCorner | PathPart::LowerBar => (lower, lower, 0.0),
            PathPart::LowerSpineCorner => (lower, spine, smooth_step(t)),
            PathPart::Spine => (spine, spine, 0.0),
            PathPart::UpperSpineCorner => (spine, upper, smooth_step(t)),
            PathPart::UpperBar | PathPart::UpperGateCorner | PathPart::NoseLeg => (upper, upper, 0.0),
        }
    }

    fn bar_depth(&self, part: PathPart, t: f64) -> f64 {
        let (from, to, weight) = self.section_blend(part, t);
        from.depth_mm + weight * (to.depth_mm - from.depth_mm)
    }

    /// Length along the centre line from the hinge, mm.
    #[must_use]
    pub fn centre_length(&self, segment: usize, t: f64) -> f64 {
        self.centre_length[segment] + t * (self.centre_length[segment + 1] - self.centre_length[segment])
    }

    /// Whole length along the centre line from hinge to tip, mm.
    #[must_use]
    pub fn whole_length(&self) -> f64 {
        self.centre_length[self.path.len()]
    }

    /// The sections and blocks found at a place along the strip.
    #[must_use]
    pub fn mix(&self, segment: usize, t: f64) -> Mix {
        let (from, to, weight) = self.section_blend(self.path[segment].part, t);
        let [lower, _, upper] = self.sections;
        let from_hinge = self.centre_length(segment, t);
        let from_tip = self.whole_length() - from_hinge;
        let block = |distance: f64, length: f64, depth: f64| {
            1.0 - smooth_step((distance - length) / (BLEND_OF_DEPTH * depth))
        };
        Mix {
            from,
            to,
            weight,
            lug: block(from_hinge, self.lug_block, lower.depth_mm),
            nose: block(from_tip, self.nose_block, upper.depth_mm),
        }
    }

    /// Offsets of the inner and the outer edge of the material from the window's edge, mm outward.
    #[must_use]
    pub fn edges(&self, segment: usize, t: f64) -> (f64, f64) {
        let depth = self.bar_depth(self.path[segment].part, t);
        let mix = self.mix(segment, t);
        let half = 0.5 * depth + mix.lug * (self.lug_radius - 0.5 * depth);
        (0.5 * depth - half, 0.5 * depth + half)
    }

    /// False for a side that the corners beside it have left no length: nothing can be cut there.
    #[must_use]
    pub fn has_length(&self, segment: usize) -> bool {
        self.lengths[segment] >= NO_LENGTH_MM
    }

    /// Point of the window's edge and the outward unit normal there.
    #[must_use]
    pub fn edge_frame(&self, segment: usize, t: f64) -> (Point, Point) {
        match &self.path[segment].curve {
            Curve::Line { from, to } => {
                let [x, y] = [to[0] - from[0], to[1] - from[1]];
                let normal = if self.has_length(segment) {
                    let length = x.hypot(y);
                    [-y / length, x / length]
                } else if segment + 1 < self.path.len() {
                    // The neighbouring arc knows the direction.
                    self.edge_frame(segment + 1, 0.0).1
                } else {
                    self.edge_frame(segment - 1, 1.0).1
                };
                ([from[0] + t * x, from[1] + t * y], normal)
            }
            curve @ Curve::Arc { centre, radius, .. } => {
                let p = curve.point(t);
                (p, [(p[0] - centre[0]) / radius, (p[1] - centre[1]) / radius])
            }
            Curve::Path(at) => (at(t), [0.0, 0.0]),
        }
    }

    /// The point at a place.
    #[must_use]
    pub fn point(&self, place: Place) -> Point {
        let (p, n) = self.edge_frame(place.segment, place.t);
        [p[0] + place.outward_mm * n[0], p[1] + place.outward_mm * n[1]]
    }

    /// Inner edge of the material at a place along.
    #[must_use]
    pub fn inner(&self, segment: usize, t: f64) -> Point {
        let (inner, _) = self.edges(segment, t);
        self.point(Place { segment, t, outward_mm: inner })
    }

    /// Outer edge of the material at a place along.
    #[must_use]
    pub fn outer(&self, segment: usize, t: f64) -> Point {
        let (_, outer) = self.edges(segment, t);
        self.point(Place { segment, t, outward_mm: outer })
    }

    /// The place that a point of the frame belongs to. Points beyond the ends belong to the nearest end.
    #[must_use]
    pub fn place(&self, p: Point) -> Place {
        let miss = |segment: usize, t_free: f64, outward: f64| {
            // How far beyond the segment's ends, how far inside the window, and, between the two segments at a joint, the
            // nearer one.
            let beyond = (t_free - t_free.clamp(0.0, 1.0)).abs() * self.lengths[segment];
            beyond + (-outward).max(0.0) + outward.abs() * 1e-6
        };
        // Straights cost little: what they leave is what an arc has to beat.
        let to_beat = (0..self.path.len())
            .filter_map(|k| self.beside_line(k, p).map(|(t, outward)| miss(k, t, outward)))
            .fold(f64::INFINITY, f64::min);
        let mut best = Place { segment: 0, t: 0.0, outward_mm: f64::INFINITY };
        let mut best_miss = f64::INFINITY;
        for segment in 0..self.path.len() {
            let beside = match &self.path[segment].curve {
                Curve::Line { .. } => self.beside_line(segment, p),
                Curve::Arc { centre, radius, from, to } => {
                    let [dx, dy] = [p[0] - centre[0], p[1] - centre[1]];
                    let distance = (dx * dx + dy * dy).sqrt();
                    if self.fans[segment].misses([dx, dy], distance, best_miss.min(to_beat) / radius) {
                        continue;
                    }
                    let middle = 0.5 * (from + to);
                    let turn = (dy.atan2(dx) - middle + std::f64::consts::PI)
                        .rem_euclid(std::f64::consts::TAU)
                        - std::f64::consts::PI;
                    Some((0.5 + turn / (to - from), distance - radius))
                }
                Curve::Path(_) => None,
            };
            let Some((t_free, outward)) = beside else { continue };
            let miss = miss(segment, t_free, outward);
            if miss < best_miss {
                best_miss = miss;
                best = Place { segment, t: t_free.clamp(0.0, 1.0), outward_mm: outward };
            }
        }
        best
    }

    /// Where a point lies beside a straight, as a part of its length, and how far outward, mm.
    fn beside_line(&self, segment: usize, p: Point) -> Option<(f64, f64)> {
        let Curve::Line { from, to } = &self.path[segment].curve else { return None };
        if !self.has_length(segment) {
            return None;
        }
        let length = self.lengths[segment];
        let [x, y] = [to[0] - from[0], to[1] - from[1]];
        let [dx, dy] = [p[0] - from[0], p[1] - from[1]];
        Some(((dx * x + dy * y) / (length * length), (dy * x - dx * y) / length))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::connector::GatePlace;
    use crate::outline::Outline;

    /// Places as they are defined: the segment that is missed by least.
    fn place_by_all(strip: &Strip, p: Point) -> Place {
        let places = (0..strip.path.len()).filter_map(|segment| {
            let curve = &strip.path[segment].curve;
            let (t_free, outward_mm) = match curve {
                Curve::Arc { centre, radius, from, to } => {
                    let [dx, dy] = [p[0] - centre[0], p[1] - centre[1]];
                    let (pi, turn) = (std::f64::consts::PI, dy.atan2(dx) - 0.5 * (from + to));
                    let turn = (turn + pi).rem_euclid(2.0 * pi) - pi;
                    (0.5 + turn / (to - from), dx.hypot(dy) - radius)
                }
                _ => strip.beside_line(segment, p)?,
            };
            let t = t_free.clamp(0.0, 1.0);
            let miss = (t_free - t).abs() * curve.length() + (-outward_mm).max(0.0) + 1e-6 * outward_mm.abs();
            Some((miss, Place { segment, t, outward_mm }))
        });
        places.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap().1
    }

    #[test]
    fn what_is_left_out_of_the_search_holds_no_place() {
        let mut sloped = Connector::example();
        (sloped.window.upper_slope_deg, sloped.window.lower_slope_deg) = (4.0, -3.0);
        for connector in [Connector::example(), sloped] {
            let strip = Outline::try_new(&connector, GatePlace::Shut).unwrap().strip;
            for k in 0..60 {
                for l in 0..60 {
                    let p = [f64::from(k) * 1.3 - 39.3, f64::from(l) * 1.7 - 50.2];
                    let (found, wanted) = (strip.place(p), place_by_all(&strip, p));
                    let [a, b] = [found, wanted].map(|place| strip.point(place));
                    assert!((a[0] - b[0]).hypot(a[1] - b[1]) < 1e-9, "{p:?}: {found:?} {wanted:?}");
                    assert!((found.outward_mm - wanted.outward_mm).abs() < 1e-9, "{p:?}");
                }
            }
        }
    }

    #[test]
    fn the_breadth_across_a_place_is_that_of_its_points() {
        let connector = Connector::example();
        let outline = Outline::try_new(&connector, GatePlace::Shut).unwrap();
        let breadth = outline.frame_breadth(&connector, 0.01);
        for segment in 0..outline.strip.path.len() {
            for t in [0.1, 0.5, 0.9] {
                let across = breadth.across(segment, t);
                for outward_mm in [0.0, 2.0, 7.0, 12.5] {
                    let at = breadth.at(outline.strip.point(Place { segment, t, outward_mm }));
                    assert!((across(outward_mm) - at).abs() < 1e-6, "{segment} {t} {outward_mm}");
                }
            }
        }
    }

    #[test]
    fn a_fan_tells_what_lies_beyond_an_arc() {
        // A quarter about the +x axis.
        let arc = Curve::Arc {
            centre: [0.0; 2],
            radius: 2.0,
            from: -0.25 * std::f64::consts::PI,
            to: 0.25 * std::f64::consts::PI,
        };
        let fan = Fan::new(&arc);
        for degrees in [-180.0, -120.0, -60.0, -44.0, 0.0, 30.0, 46.0, 75.0, 135.0_f64] {
            let (sin, cos) = degrees.to_radians().sin_cos();
            let d = [3.0 * cos, 3.0 * sin];
            for angle in [0.0, 0.1, 0.6, f64::INFINITY] {
                let beyond = degrees.to_radians().abs() - 0.25 * std::f64::consts::PI;
                // What it rejects is beyond; far beyond, it rejects all.
                assert!(!fan.misses(d, 3.0, angle) || beyond > angle, "{degrees} {angle}");
                if angle < 0.2 && beyond > 0.3 {
                    assert!(fan.misses(d, 3.0, angle), "{degrees} {angle}");
                }
            }
        }
    }
}

//! Where straps and bars sit: the inner edge of a bar, and how a load on it is spread into the bar.
//!
//! A line load on an edge where the chord of the section vanishes has no bounded stress. A force moved along its own line
//! keeps resultant and moment, so a load is spread from the edge inward, across the plane's major axis, as far as the
//! bar's centre line, in proportion to the growth of breadth on the way. On a straight round bar that makes the stress of
//! the load the same at every depth. What breadth the edge already has (flat-sided sections, blends) stays on the edge.

use super::ports::Port;
use crate::plane::quadrature::{LINE_POINTS, LINE_TWO};
use crate::plane::{Body, Locator, summed};
use geometry::curve::Point;
use geometry::outline::{FrameBreadth, Outline};
use geometry::region::Stretch;

/// Edges shorter than this part of the bar's depth are short: two points on each are as close as four on the longest.
const SHORT: f64 = 0.06;

/// Steps of the spread over the depth.
const INWARD: u32 = 16;

/// Most steps of the search for the centre line.
const CROSSINGS: usize = 40;

/// Arm, to each side, of the couple that keeps the moment of a sideways force, as a part of the seat's length.
const COUPLE_REACH: f64 = 0.08;

/// Edges steeper than this against the major axis' normal take no load, as the tangent's x part over its length.
const LEAST_LEVEL: f64 = 0.17;

/// One quadratic edge of a seat, x rising from start to end.
#[derive(Clone, Copy, Debug)]
pub struct SeatEdge {
    /// Indices into [`Seat::nodes`]: start, end, middle.
    pub nodes: [usize; 3],
    /// Their positions.
    pub points: [Point; 3],
}

/// A node of a seat with its two spread patterns.
#[derive(Clone, Copy, Debug)]
pub struct SeatNode {
    /// Node of the frame's mesh.
    pub node: u32,
    /// Its position.
    pub at: Point,
    /// Height (y) at which the sideways pattern acts on average.
    pub spread_y: f64,
    /// Index of its x pattern among the frame's ports; the y pattern follows.
    pub port: u32,
}

/// The inner edge of one bar.
#[derive(Clone, Debug)]
pub struct Seat {
    /// +1 for the upper seat, -1 for the lower: direction of pull along y.
    pub sign: f64,
    /// Edges with x rising.
    pub edges: Vec<SeatEdge>,
    /// Their nodes.
    pub nodes: Vec<SeatNode>,
}

/// Shape functions of a quadratic edge (start, end, middle) at `s` in -1..=1. They extend beyond the ends.
#[must_use]
pub fn edge_shape(s: f64) -> [f64; 3] {
    [0.5 * s * (s - 1.0), 0.5 * s * (s + 1.0), 1.0 - s * s]
}

fn edge_shape_slope(s: f64) -> [f64; 3] {
    [s - 0.5, s + 0.5, -2.0 * s]
}

fn combine(weights: [f64; 3], points: &[Point; 3]) -> Point {
    let sum = |axis: usize| (0..3).map(|i| weights[i] * points[i][axis]).sum();
    [sum(0), sum(1)]
}

impl SeatEdge {
    /// The point at `s` in -1..=1.
    #[must_use]
    pub fn point(&self, s: f64) -> Point {
        combine(edge_shape(s), &self.points)
    }

    /// Derivative of the point by `s`.
    #[must_use]
    pub fn tangent(&self, s: f64) -> Point {
        combine(edge_shape_slope(s), &self.points)
    }
}

impl Seat {
    /// The seat along the edges named `stretch`, and its ports, which it counts from zero.
    #[must_use]
    pub fn new(
        body: &Body,
        locator: &Locator,
        outline: &Outline,
        breadth: &FrameBreadth,
        stretch: Stretch,
    ) -> (Self, Vec<Port>) {
        let mesh = body.mesh();
        let sign = if stretch == Stretch::UpperInner { 1.0 } else { -1.0 };
        let mut runs: Vec<Vec<[u32; 3]>> = Vec::new();
        for edge in mesh.boundary.iter().filter(|e| e.stretch == stretch) {
            let points = edge.nodes.map(|n| mesh.points[n as usize]);
            let level = [-1.0, 1.0].iter().all(|s| {
                let [x, y] = combine(edge_shape_slope(*s), &points);
                x.abs() >= LEAST_LEVEL * x.hypot(y)
            });
            if !level {
                continue;
            }
            let [a, b, m] = edge.nodes;
            // The loop runs with x rising along the upper edge, with x falling along the lower.
            let nodes = if sign > 0.0 { [a, b, m] } else { [b, a, m] };
            match runs.last_mut() {
                Some(run)
                    if run
                        .last()
                        .is_some_and(|l| if sign > 0.0 { l[1] == nodes[0] } else { l[0] == nodes[1] }) =>
                {
                    run.push(nodes);
                }
                _ => runs.push(vec![nodes]),
            }
        }
        let width = |run: &Vec<[u32; 3]>| {
            run.iter().map(|n| mesh.points[n[1] as usize][0] - mesh.points[n[0] as usize][0]).sum::<f64>()
        };
        let mut run = runs.into_iter().max_by(|a, b| width(a).total_cmp(&width(b))).unwrap_or_default();
        if sign < 0.0 {
            run.reverse();
        }
        let mut order: Vec<u32> = Vec::new();
        let mut edges = Vec::new();
        for nodes in run {
            let index = nodes.map(|n| {
                order.iter().position(|o| *o == n).unwrap_or_else(|| {
                    order.push(n);
                    order.len() - 1
                })
            });
            edges.push(SeatEdge { nodes: index, points: nodes.map(|n| mesh.points[n as usize]) });
        }
        let mut patterns: Vec<std::collections::BTreeMap<u32, f64>> = vec![Default::default(); order.len()];
        let mut sums = vec![0.0; order.len()];
        let spread = Spread { outline, breadth, locator, body, sign };
        for edge in &edges {
            let [start, end, _] = edge.points;
            let short = (end[0] - start[0]).hypot(end[1] - start[1]) < SHORT * spread.depth(start);
            let along: &[(f64, f64)] = if short { &LINE_TWO } else { &LINE_POINTS };
            for &(s, weight) in along {
                let shape = edge_shape(s);
                let run = weight * edge.tangent(s)[0];
                let edge_nodes = edge.nodes.map(|i| order[i]);
                let inward = spread.from(edge.point(s), edge_nodes, shape);
                for (local, value) in edge.nodes.iter().zip(shape) {
                    sums[*local] += run * value;
                    for (node, w) in &inward {
                        *patterns[*local].entry(*node).or_insert(0.0) += run * value * w;
                    }
                }
            }
        }
        let mut nodes = Vec::with_capacity(order.len());
        let mut ports = Vec::with_capacity(2 * order.len());
        for ((node, pattern), sum) in order.iter().zip(&patterns).zip(&sums) {
            let at = mesh.points[*node as usize];
            let weights = centred(pattern, *sum, mesh.points.as_slice(), at[0]);
            let spread_y = weights.iter().map(|(n, w)| w * mesh.points[*n as usize][1]).sum();
            #[expect(clippy::cast_possible_truncation, reason = "a body has far fewer than 2^32 ports")]
            let port = ports.len() as u32;
            for axis in 0..2 {
                ports.push(Port::new(weights.iter().map(|(n, w)| (2 * n + axis, *w)).collect()));
            }
            nodes.push(SeatNode { node: *node, at, spread_y, port });
        }
        (Self { sign, edges, nodes }, ports)
    }

    /// Counts its ports from `first` on.
    #[must_use]
    pub fn with_ports_from(mut self, first: u32) -> Self {
        for node in &mut self.nodes {
            node.port += first;
        }
        self
    }

    /// Range of x that the seat covers, mm.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        match (self.edges.first(), self.edges.last()) {
            (Some(first), Some(last)) => (first.points[0][0], last.points[1][0]),
            _ => (0.0, 0.0),
        }
    }

    /// Edge and parameter at a given x; beyond the ends, the end.
    #[must_use]
    pub fn at_x(&self, x: f64) -> (usize, f64) {
        let index =
            self.edges.partition_point(|e| e.points[1][0] < x).min(self.edges.len().saturating_sub(1));
        let edge = &self.edges[index];
        let mut s =
            (2.0 * (x - edge.points[0][0]) / (edge.points[1][0] - edge.points[0][0]) - 1.0).clamp(-1.0, 1.0);
        for _ in 0..20 {
            let step = (edge.point(s)[0] - x) / edge.tangent(s)[0];
            s = (s - step).clamp(-1.0, 1.0);
            if step.abs() < 1e-15 {
                break;
            }
        }
        (index, s)
    }

    /// The combination of ports that a force `direction` (unit, any) at edge point (`edge`, `s`) is spread over, exact in
    /// resultant and in moment.
    #[must_use]
    pub fn force_at(&self, edge: usize, s: f64, direction: Point) -> Vec<(u32, f64)> {
        let here = &self.edges[edge];
        let shape = edge_shape(s);
        let at = here.point(s);
        let mut ports: Vec<(u32, f64)> = Vec::with_capacity(12);
        let mut lengthwise = |edge: usize, s: f64, force: f64| {
            for (node, value) in self.edges[edge].nodes.iter().zip(edge_shape(s)) {
                ports.push((self.nodes[*node].port + 1, force * value));
            }
        };
        if direction[0] == 0.0 {
            lengthwise(edge, s, direction[1]);
        } else {
            // The sideways part acts further in, at `spread_y`. To keep the moment, the lengthwise part moves along the
            // seat as the line of force does on the way in, or, for flat lines and beyond the seat's end, a couple of
            // lengthwise forces makes up for it.
            let spread_y: f64 = (0..3).map(|i| shape[i] * self.nodes[here.nodes[i]].spread_y).sum();
            let couple = (spread_y - at[1]) * direction[0];
            let (low, high) = self.range();
            let wanted = at[0] + couple / direction[1];
            if direction[0].abs() <= direction[1].abs() && wanted >= low && wanted <= high {
                let (edge, s) = self.at_x(wanted);
                lengthwise(edge, s, direction[1]);
            } else {
                lengthwise(edge, s, direction[1]);
                let reach = COUPLE_REACH * (high - low);
                let (left, right) = ((at[0] - reach).max(low), (at[0] + reach).min(high));
                for (x, force) in [(left, -1.0), (right, 1.0)] {
                    let (edge, s) = self.at_x(x);
                    lengthwise(edge, s, force * couple / (right - left));
                }
            }
            for (i, value) in shape.iter().enumerate() {
                ports.push((self.nodes[here.nodes[i]].port, direction[0] * value));
            }
        }
        summed(ports)
    }
}

/// Scales a pattern to sum one and tilts it until its centroid lies at `x`.
fn centred(
    pattern: &std::collections::BTreeMap<u32, f64>,
    sum: f64,
    points: &[Point],
    x: f64,
) -> Vec<(u32, f64)> {
    let mut weights: Vec<(u32, f64)> = pattern.iter().map(|(n, w)| (*n, w / sum)).collect();
    let total: f64 = weights.iter().map(|w| w.1).sum();
    for w in &mut weights {
        w.1 /= total;
    }
    let (mut size, mut first, mut second, mut centroid) = (0.0, 0.0, 0.0, 0.0);
    for (node, w) in &weights {
        let from = points[*node as usize][0] - x;
        size += w.abs();
        first += w.abs() * from;
        second += w.abs() * from * from;
        centroid += w * from;
    }
    let middle = first / size;
    let spread = second - size * middle * middle;
    for (node, w) in &mut weights {
        let from = points[*node as usize][0] - x;
        *w -= centroid / spread * w.abs() * (from - middle);
    }
    weights
}

struct Spread<'a> {
    outline: &'a Outline,
    breadth: &'a FrameBreadth,
    locator: &'a Locator,
    body: &'a Body,
    sign: f64,
}

impl Spread<'_> {
    /// Position across the bar, -1 on the inner edge, 0 on the centre line.
    fn across(&self, p: Point) -> f64 {
        let place = self.outline.strip.place(p);
        let (inner, outer) = self.outline.strip.edges(place.segment, place.t);
        (2.0 * place.outward_mm - inner - outer) / (outer - inner)
    }

    /// Depth of the bar at a place, mm.
    fn depth(&self, p: Point) -> f64 {
        let place = self.outline.strip.place(p);
        let (inner, outer) = self.outline.strip.edges(place.segment, place.t);
        outer - inner
    }

    /// Depth at which the way inward, `at`, first crosses the centre line of a bar `size` deep, mm.
    fn centre_line_from(&self, at: &dyn Fn(f64) -> Point, size: f64) -> f64 {
        let step = 0.1 * size;
        let (mut low, mut before) = (0.0, -1.0);
        let (mut high, mut beyond) = (step, self.across(at(step)));
        while beyond < 0.0 && high < 3.0 * size {
            (low, before) = (high, beyond);
            high += step;
            beyond = self.across(at(high));
        }
        // Nearly straight in between: false position, which keeps the crossing between the two. An end that stands still
        // twice counts half, or the other would close in slowly. The answer is the latest place, not an end.
        let (mut depth, mut last) = (high, 0.0);
        for _ in 0..CROSSINGS {
            let next = (low * beyond - high * before) / (beyond - before);
            if !(next > low && next < high) {
                break;
            }
            depth = next;
            let here = self.across(at(depth));
            if here.abs() < 1e-13 {
                break;
            }
            if here < 0.0 {
                (low, before) = (depth, here);
                beyond *= if last < 0.0 { 0.5 } else { 1.0 };
            } else {
                (high, beyond) = (depth, here);
                before *= if last > 0.0 { 0.5 } else { 1.0 };
            }
            last = here;
        }
        depth
    }

    /// Nodes and weights (sum one) of a unit load spread inward from edge point `p`, whose own nodes and shape functions
    /// are given.
    fn from(&self, p: Point, edge_nodes: [u32; 3], shape: [f64; 3]) -> Vec<(u32, f64)> {
        let at = |depth: f64| [p[0], p[1] + self.sign * depth];
        // As far as the centre line, along the major axis.
        let end = self.centre_line_from(&at, self.depth(p));
        // The chord is a square root at a round edge: equal steps of the square root of depth.
        let mark = |i: u32| {
            let u = f64::from(i) / f64::from(INWARD);
            end * u * u
        };
        let mut weights: Vec<(u32, f64)> = Vec::new();
        let edge_chord = self.breadth.chord(p).0;
        let mut last = edge_chord;
        let mut total = edge_chord;
        for i in 0..INWARD {
            let chord = self.breadth.chord(at(mark(i + 1))).0;
            let growth = (chord - last).max(0.0);
            last = last.max(chord);
            let middle = 0.5 * (mark(i) + mark(i + 1));
            if growth <= 1e-12 {
                continue;
            }
            if let Some(row) = self.locator.row(self.body.mesh(), at(middle)) {
                total += growth;
                weights.extend(row.nodes.iter().zip(row.weights).map(|(n, w)| (*n, growth * w)));
            }
        }
        weights.extend(edge_nodes.iter().zip(shape).map(|(n, w)| (*n, edge_chord * w)));
        // Steps share nodes: one weight for each.
        let mut weights = summed(weights);
        for w in &mut weights {
            w.1 /= total;
        }
        weights
    }
}

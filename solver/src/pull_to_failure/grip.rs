//! What pulls at one end, once the connector has moved far: the fibres of a strap or the points of a bench bar.
//!
//! A grip moves along the pull axis and does not turn. Loads act at points of the inner edge, wherever these are now; how each is spread into
//! the bar is that of the undeformed seat, turned along with it ([`crate::system::Seat::force_at`]).

use crate::plane::quadrature::LINE_POINTS;
use crate::response::{PullAxis, Strap, resting_bar, strap_fibres};
use crate::rig::Loader;
use crate::system::{Port, Seat};
use geometry::curve::Point;
use geometry::outline::Circle;

/// How far to each side of the load's middle the seat is watched for its turn, mm.
const TURN_REACH_MM: f64 = 5.0;

/// How deep a bar that is about to press has gone in, mm.
const TOUCH_MM: f64 = 1e-6;

/// A point of the seat that may be loaded.
#[derive(Clone, Debug)]
struct Held {
    edge: usize,
    s: f64,
    /// Nodes and shape functions of the edge there.
    nodes: [(u32, f64); 3],
    /// Where it is before the pull.
    at: Point,
    /// Force per stretch of a fibre, or per depth in a bar, N/mm.
    stiffness: f64,
}

/// Kind of grip.
#[derive(Clone, Copy, Debug)]
enum Kind {
    Strap,
    Bar(Circle),
}

/// What pulls at one end.
#[derive(Clone, Debug)]
pub(super) struct Grip<'a> {
    seat: &'a Seat,
    ports: &'a [Port],
    kind: Kind,
    points: Vec<Held>,
    /// Direction of pull, outward.
    outward: Point,
    /// Two points of the seat whose line turns with it.
    ends: [[(u32, f64); 3]; 2],
    before: Point,
    /// The node whose place is steered.
    pub steered: u32,
    /// Where a bar sticks, as what its motion across the axis is the sum of.
    stick: Vec<(u32, f64)>,
}

/// A point that is loaded.
#[derive(Clone, Debug)]
struct Loaded {
    point: usize,
    /// Force on the frame, N.
    force: Point,
}

/// The loads of a grip where everything is now.
#[derive(Clone, Debug)]
pub(super) struct Loads {
    loaded: Vec<Loaded>,
    turn: f64,
    /// Force along the pull axis, outward, N.
    pub pull_n: f64,
    /// Where their resultant acts, mm.
    pub at: Point,
}

/// One unknown beside the displacements that the loads of a grip bring: a pattern of force, and the sum of displacements that it answers to.
#[derive(Clone, Debug)]
pub(super) struct Mode {
    /// Force on the frame per unit, N, for each unknown of the body.
    pub force: Vec<f64>,
    /// What the unknown is, as a sum over displacements.
    pub row: Vec<(u32, f64)>,
    /// The same by the way of the grip.
    pub by_way: f64,
    /// How soft it is by itself: what the equation takes from the unknown.
    pub own: f64,
}

fn across(axis: Point) -> Point {
    [axis[1], -axis[0]]
}

fn displacement(u: &[f64], nodes: &[(u32, f64); 3]) -> Point {
    [0, 1].map(|axis| nodes.iter().map(|(n, w)| w * u[2 * *n as usize + axis]).sum())
}

impl<'a> Grip<'a> {
    /// The grip of a loader on its seat. `ports`: those of the frame. `bar_stiffness`: of a bar, N/mm per mm of edge.
    pub fn new(
        seat: &'a Seat,
        ports: &'a [Port],
        loader: Loader,
        axis: &PullAxis,
        bar_stiffness: f64,
    ) -> Self {
        let upper = seat.sign > 0.0;
        let centre = if upper { axis.upper } else { axis.lower };
        let outward = axis.direction.map(|d| seat.sign * d);
        let nodes = |edge: usize, s: f64| crate::response::edge_row(seat, edge, s);
        let (kind, points) = match loader {
            Loader::Strap { width_mm, stiffness_n_per_mm2, .. } => {
                let strap = Strap { width_mm, stiffness_n_per_mm2 };
                let points = strap_fibres(seat, strap, centre, outward)
                    .into_iter()
                    .map(|f| Held {
                        edge: f.edge,
                        s: f.s,
                        nodes: nodes(f.edge, f.s),
                        at: seat.edges[f.edge].point(f.s),
                        stiffness: f.stiffness,
                    })
                    .collect();
                (Kind::Strap, points)
            }
            Loader::Bar { diameter_mm, offset_mm } => {
                let mut points = Vec::new();
                for (edge, of) in seat.edges.iter().enumerate() {
                    for (s, weight) in LINE_POINTS {
                        let [x, y] = of.tangent(s);
                        let stiffness = bar_stiffness * weight * x.hypot(y);
                        points.push(Held { edge, s, nodes: nodes(edge, s), at: of.point(s), stiffness });
                    }
                }
                (Kind::Bar(resting_bar(seat, 0.5 * diameter_mm, offset_mm)), points)
            }
        };
        let middle = centre[0];
        let (low, high) = seat.range();
        let end = |x: f64| {
            let (edge, s) = seat.at_x(x);
            (nodes(edge, s), seat.edges[edge].point(s))
        };
        let [left, right] = [(middle - TURN_REACH_MM).max(low), (middle + TURN_REACH_MM).min(high)].map(end);
        let before = [right.1[0] - left.1[0], right.1[1] - left.1[1]];
        let touch = match kind {
            Kind::Strap => centre,
            Kind::Bar(circle) => {
                // The point of the edge that is deepest in the bar when it comes up.
                let near = |p: &&Held| (p.at[0] - circle.centre[0]).hypot(p.at[1] - circle.centre[1]);
                points.iter().min_by(|a, b| near(a).total_cmp(&near(b))).map_or(centre, |p| p.at)
            }
        };
        let nearest = seat.nodes.iter().min_by(|a, b| {
            let far = |p: Point| (p[0] - touch[0]).hypot(p[1] - touch[1]);
            far(a.at).total_cmp(&far(b.at))
        });
        let steered = nearest.map_or(0, |n| n.node);
        let stick = match (kind, nearest) {
            (Kind::Bar(_), Some(node)) => {
                let [x, y] = across(axis.direction);
                [(node.port, x), (node.port + 1, y)]
                    .into_iter()
                    .flat_map(|(port, by)| ports[port as usize].entries().map(move |(n, w)| (n, by * w)))
                    .filter(|(_, w)| *w != 0.0)
                    .collect()
            }
            _ => Vec::new(),
        };
        Self { seat, ports, kind, points, outward, ends: [left.0, right.0], before, steered, stick }
    }

    /// What holds a bar's seat from sliding over it: a sum over displacements that stays as it is. Nothing for a strap.
    pub fn stick(&self) -> &[(u32, f64)] {
        &self.stick
    }

    /// By how much the seat has turned, rad.
    pub fn turn(&self, u: &[f64]) -> f64 {
        let [left, right] = self.ends.map(|end| displacement(u, &end));
        let now = [self.before[0] + right[0] - left[0], self.before[1] + right[1] - left[1]];
        (self.before[0] * now[1] - self.before[1] * now[0])
            .atan2(self.before[0] * now[0] + self.before[1] * now[1])
    }

    /// The loads with the grip moved outward by `way_mm`.
    pub fn loads(&self, u: &[f64], way_mm: f64) -> Loads {
        let mut loads = Loads { loaded: Vec::new(), turn: self.turn(u), pull_n: 0.0, at: [0.0; 2] };
        for (point, held) in self.points.iter().enumerate() {
            let [x, y] = displacement(u, &held.nodes);
            let force = match self.kind {
                Kind::Strap => {
                    let stretch = way_mm - (x * self.outward[0] + y * self.outward[1]);
                    let force = held.stiffness * stretch;
                    // A strap is bedded in: at rest all its fibres are about to pull.
                    if force < 0.0 {
                        continue;
                    }
                    self.outward.map(|o| force * o)
                }
                Kind::Bar(circle) => {
                    let centre = [0, 1].map(|i| circle.centre[i] + way_mm * self.outward[i]);
                    let [x, y] = [held.at[0] + x - centre[0], held.at[1] + y - centre[1]];
                    let from = x.hypot(y);
                    let force = held.stiffness * (circle.radius - from);
                    if force <= 0.0 {
                        continue;
                    }
                    [force * x / from, force * y / from]
                }
            };
            let pull = force[0] * self.outward[0] + force[1] * self.outward[1];
            loads.pull_n += pull;
            loads.at[0] += pull * (held.at[0] + x);
            loads.at[1] += pull * (held.at[1] + y);
            loads.loaded.push(Loaded { point, force });
        }
        if loads.pull_n > 0.0 {
            loads.at = loads.at.map(|sum| sum / loads.pull_n);
        }
        loads
    }

    /// Adds a force at one of its points to nodal forces, spread as the turned seat spreads it.
    fn spread(&self, point: usize, force: Point, turn: f64, forces: &mut [f64]) {
        let size = force[0].hypot(force[1]);
        if size == 0.0 {
            return;
        }
        let (sine, cosine) = turn.sin_cos();
        let [x, y] = force.map(|f| f / size);
        // In the axes of the seat as it was.
        let direction = [cosine * x + sine * y, cosine * y - sine * x];
        let held = &self.points[point];
        let first = self.seat.nodes[0].port;
        for (port, value) in self.seat.force_at(held.edge, held.s, direction) {
            let along = if (port - first).is_multiple_of(2) { [cosine, sine] } else { [-sine, cosine] };
            for (unknown, weight) in self.ports[port as usize].entries() {
                let node = 2 * (unknown as usize / 2);
                for axis in 0..2 {
                    forces[node + axis] += size * value * weight * along[axis];
                }
            }
        }
    }

    /// Adds the loads to nodal forces.
    pub fn add(&self, loads: &Loads, forces: &mut [f64]) {
        for loaded in &loads.loaded {
            self.spread(loaded.point, loaded.force, loads.turn, forces);
        }
    }

    /// How the loads change with the motion. Of a strap, which is soft beside metal, what the grip's way and an even slope of the seat do to
    /// it: what is left out is found by further iterations. Of a bar, each point that presses.
    pub fn modes(&self, loads: &Loads, u: &[f64], way_mm: f64) -> Vec<Mode> {
        match self.kind {
            Kind::Strap => self.strap_modes(loads, u.len()),
            Kind::Bar(circle) => loads
                .loaded
                .iter()
                .map(|loaded| {
                    let held = &self.points[loaded.point];
                    let [x, y] = displacement(u, &held.nodes);
                    let centre = [0, 1].map(|i| circle.centre[i] + way_mm * self.outward[i]);
                    let [x, y] = [held.at[0] + x - centre[0], held.at[1] + y - centre[1]];
                    let from = x.hypot(y);
                    let normal = [x / from, y / from];
                    let mut force = vec![0.0; u.len()];
                    self.spread(loaded.point, normal, loads.turn, &mut force);
                    let row = held
                        .nodes
                        .iter()
                        .flat_map(|(n, w)| [(2 * n, -w * normal[0]), (2 * n + 1, -w * normal[1])])
                        .collect();
                    let by_way = normal[0] * self.outward[0] + normal[1] * self.outward[1];
                    Mode { force, row, by_way, own: held.stiffness.recip() }
                })
                .collect(),
        }
    }

    fn strap_modes(&self, loads: &Loads, unknowns: usize) -> Vec<Mode> {
        let side = across(self.outward);
        let place = |held: &Held| held.at[0] * side[0] + held.at[1] * side[1];
        let fibres = || loads.loaded.iter().map(|l| &self.points[l.point]);
        let whole: f64 = fibres().map(|f| f.stiffness).sum();
        if whole <= 0.0 {
            return Vec::new();
        }
        let middle = fibres().map(|f| f.stiffness * place(f)).sum::<f64>() / whole;
        let shapes: [&dyn Fn(&Held) -> f64; 2] = [&|_| 1.0, &|f| place(f) - middle];
        shapes
            .into_iter()
            .enumerate()
            .filter_map(|(k, shape)| {
                let sum: f64 = fibres().map(|f| f.stiffness * shape(f).powi(2)).sum();
                if sum <= 1e-12 * whole {
                    return None;
                }
                let mut force = vec![0.0; unknowns];
                let mut row: Vec<(u32, f64)> = Vec::new();
                for loaded in &loads.loaded {
                    let held = &self.points[loaded.point];
                    let by = held.stiffness * shape(held) / sum;
                    let pattern = self.outward.map(|o| held.stiffness * shape(held) * o);
                    self.spread(loaded.point, pattern, loads.turn, &mut force);
                    for (n, w) in held.nodes {
                        row.extend([
                            (2 * n, -by * w * self.outward[0]),
                            (2 * n + 1, -by * w * self.outward[1]),
                        ]);
                    }
                }
                // The unknown is the change of stretch itself.
                Some(Mode { force, row, by_way: if k == 0 { 1.0 } else { 0.0 }, own: 1.0 })
            })
            .collect()
    }

    /// How far the grip has to go until it touches, mm.
    pub fn touches_at_mm(&self) -> f64 {
        let Kind::Bar(circle) = self.kind else { return 0.0 };
        let room = |held: &Held| {
            let [x, y] = [held.at[0] - circle.centre[0], held.at[1] - circle.centre[1]];
            let along = x * self.outward[0] + y * self.outward[1];
            let across_sq = x * x + y * y - along * along;
            let reach = circle.radius * circle.radius - across_sq;
            if reach > 0.0 { along - reach.sqrt() } else { f64::INFINITY }
        };
        TOUCH_MM + self.points.iter().map(room).fold(f64::INFINITY, f64::min)
    }
}

//! Bench bars: rigid circles held at their offset, resting on the inner edge.

use crate::system::{Seat, SeatEdge, gap_mm};
use geometry::curve::Point;
use geometry::outline::Circle;

/// A row between bar and edge.
#[derive(Clone, Copy, Debug)]
pub struct BarRow {
    /// Edge of the seat.
    pub edge: usize,
    /// Parameter on it.
    pub s: f64,
    /// The edge point.
    pub at: Point,
    /// Direction of a unit force on the frame.
    pub force: Point,
    /// Gap before loading, mm.
    pub gap: f64,
    /// True for the sticking row along the edge.
    pub grip: bool,
}

/// Only points closer to the resting bar than this part of its radius can come to touch it.
const REACH: f64 = 0.25;

/// Normal of a seat's edge, from the bar into the frame.
fn normal(seat: &Seat, edge: usize, s: f64) -> Point {
    let [tx, ty] = seat.edges[edge].tangent(s);
    let length = tx.hypot(ty);
    [-seat.sign * ty / length, seat.sign * tx / length]
}

/// A bar where it first touches the edge, and the touch: an edge of the seat and the parameter on it.
struct Resting {
    bar: Circle,
    edge: usize,
    s: f64,
}

/// The bar where it first touches the edge, brought up along the major axis at `offset`.
#[must_use]
pub fn resting_bar(seat: &Seat, radius: f64, offset: f64) -> Circle {
    resting(seat, radius, offset).bar
}

fn resting(seat: &Seat, radius: f64, offset: f64) -> Resting {
    const STEPS: u32 = 200;
    let height = |p: Point| {
        let room = radius * radius - (p[0] - offset) * (p[0] - offset);
        (room > 0.0).then(|| seat.sign * p[1] - room.sqrt())
    };
    let (mut best, mut best_edge, mut best_s) = (f64::INFINITY, 0, 0.0);
    for (index, edge) in seat.edges.iter().enumerate() {
        if edge.points[1][0] < offset - radius || edge.points[0][0] > offset + radius {
            continue;
        }
        for i in 0..=STEPS {
            let s = f64::from(i) / f64::from(STEPS) * 2.0 - 1.0;
            if let Some(h) = height(edge.point(s))
                && h < best
            {
                (best, best_edge, best_s) = (h, index, s);
            }
        }
    }
    // A parabola through the three samples around the lowest takes the sampling out.
    let step = 2.0 / f64::from(STEPS);
    if let Some(edge) = seat.edges.get(best_edge) {
        let around = [-step, 0.0, step].map(|d| height(edge.point(best_s + d)).unwrap_or(best));
        let bend = around[0] - 2.0 * around[1] + around[2];
        if bend > 0.0 {
            let slope = around[2] - around[0];
            if best_s.abs() < 1.0 {
                best -= slope.powi(2) / (8.0 * bend);
            }
            best_s = (best_s - step * (0.5 * slope / bend).clamp(-0.5, 0.5)).clamp(-1.0, 1.0);
        }
    }
    Resting { bar: Circle { centre: [offset, seat.sign * best], radius }, edge: best_edge, s: best_s }
}

/// Rows that the resting bar may press on, and one sticking row where it rests. They stand about the touch, not at nodes: a bar that
/// is moved takes them along. None are nearer to each other than half of the seat's longest edge, so that no edge has more
/// of them than it has nodes.
#[must_use]
pub fn bar_rows(seat: &Seat, radius: f64, offset: f64) -> Vec<BarRow> {
    let Resting { bar, edge: touched, s: touch } = resting(seat, radius, offset);
    let length = |edge: &SeatEdge| {
        let [[ax, ay], [bx, by], _] = edge.points;
        (bx - ax).hypot(by - ay)
    };
    let lengths: Vec<f64> = seat.edges.iter().map(length).collect();
    let step = 0.5 * lengths.iter().copied().fold(0.0, f64::max);
    let row = |edge: usize, s: f64| {
        let (at, force) = (seat.edges[edge].point(s), normal(seat, edge, s));
        let gap = gap_mm(at, force, bar).filter(|gap| *gap <= REACH * bar.radius)?;
        Some(BarRow { edge, s, at, force, gap, grip: false })
    };
    // Distance along the seat at which each edge begins.
    let starts: Vec<f64> =
        lengths.iter().scan(0.0, |sum, l| Some(std::mem::replace(sum, *sum + l))).collect();
    let (Some(start), Some(length)) = (starts.get(touched), lengths.get(touched)) else { return Vec::new() };
    let touch_at = start + 0.5 * (touch + 1.0) * length;
    let whole: f64 = lengths.iter().sum();
    let mut rows: Vec<BarRow> = Vec::new();
    let mut k = -(touch_at / step).floor();
    while touch_at + k * step <= whole {
        let at = touch_at + k * step;
        let edge = starts.partition_point(|start| *start <= at).saturating_sub(1);
        // The touch is met exactly.
        rows.extend(match k == 0.0 {
            true => row(touched, touch),
            false => row(edge, 2.0 * (at - starts[edge]) / lengths[edge] - 1.0),
        });
        k += 1.0;
    }
    let nearest = rows.iter().copied().min_by(|a, b| a.gap.total_cmp(&b.gap));
    if let Some(row) = nearest {
        rows.push(BarRow { force: [row.force[1], -row.force[0]], gap: 0.0, grip: true, ..row });
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A seat of straight edges.
    fn seat(points: &[Point]) -> Seat {
        let edges = points.windows(2).enumerate().map(|(i, ends)| {
            let [a, b] = [ends[0], ends[1]];
            let middle = [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])];
            SeatEdge { nodes: [2 * i, 2 * i + 2, 2 * i + 1], points: [a, b, middle] }
        });
        Seat { sign: 1.0, edges: edges.collect(), nodes: Vec::new() }
    }

    #[test]
    fn rows_move_with_the_bar() {
        let level =
            seat(&[-20.0, -13.0, -9.0, -7.0, -5.5, -3.0, 0.0, 1.0, 4.5, 9.0, 15.0, 20.0].map(|x| [x, 30.0]));
        for tenth in -80..=80 {
            let offset = 0.1 * f64::from(tenth);
            let rows = bar_rows(&level, 6.0, offset);
            let places: Vec<f64> = rows.iter().filter(|r| !r.grip).map(|r| r.at[0] - offset).collect();
            // Half of the longest edge apart, one at the touch.
            assert_eq!(places.len(), 3, "{offset}: {places:?}");
            for (place, wanted) in places.iter().zip([-3.5, 0.0, 3.5]) {
                assert!((place - wanted).abs() < 1e-6, "{offset}: {places:?}");
            }
            let grip: Vec<&BarRow> = rows.iter().filter(|r| r.grip).collect();
            assert!(grip.len() == 1 && (grip[0].at[0] - offset).abs() < 1e-6);
        }
        // Beyond an end there are none.
        let rows = bar_rows(&level, 6.0, 19.0);
        assert!(rows.iter().all(|r| r.at[0] <= 20.0));
        assert_eq!(rows.iter().filter(|r| !r.grip).count(), 2);
    }
}

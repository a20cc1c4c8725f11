//! Bench bars: rigid circles held at their offset, resting on the inner edge.

use crate::system::{Seat, gap_mm};
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

/// The bar where it first touches the edge, brought up along the major axis at `offset`.
#[must_use]
pub fn resting_bar(seat: &Seat, radius: f64, offset: f64) -> Circle {
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
        if bend > 0.0 && best_s.abs() < 1.0 {
            best -= (around[2] - around[0]).powi(2) / (8.0 * bend);
        }
    }
    Circle { centre: [offset, seat.sign * best], radius }
}

/// Rows at the seat's nodes that the bar may press on, and one sticking row where it rests.
#[must_use]
pub fn bar_rows(seat: &Seat, bar: Circle) -> Vec<BarRow> {
    let mut rows: Vec<BarRow> = Vec::new();
    for (index, edge) in seat.edges.iter().enumerate() {
        for s in [-1.0, 0.0, 1.0] {
            if s > 0.5 && index + 1 < seat.edges.len() {
                continue;
            }
            let at = edge.point(s);
            let force = normal(seat, index, s);
            let Some(gap) = gap_mm(at, force, bar) else { continue };
            if gap > REACH * bar.radius {
                continue;
            }
            rows.push(BarRow { edge: index, s, at, force, gap, grip: false });
        }
    }
    let nearest = rows.iter().copied().min_by(|a, b| a.gap.total_cmp(&b.gap));
    if let Some(row) = nearest {
        rows.push(BarRow { force: [row.force[1], -row.force[0]], gap: 0.0, grip: true, ..row });
    }
    rows
}

//! The path that a load point follows when its strap or bar is moved along the inner edge of a bar.

use crate::response::STRAP_CLEARANCE_MM;
use crate::rig::Loader;
use crate::system::{Seat, System};
use geometry::curve::Point;
use geometry::outline::window_corners;

/// Points that stand for each quadratic edge of a seat.
const PER_EDGE: u32 = 16;
/// Steps across a strap's width, and across a bar.
const ACROSS: u32 = 96;
/// Half of the step that slopes are taken over, mm.
const SLOPE_STEP_MM: f64 = 0.02;

/// The path of a load point: a height over every offset.
///
/// A strap's load point stands at the mean height of the edge over its width, since its pull is spread evenly when nothing
/// is stretched. A bar's is its centre where the bar first touches.
#[derive(Clone, Debug)]
pub struct Track {
    /// +1 at the upper end, -1 at the lower.
    sign: f64,
    /// The inner edge, x rising.
    edge: Vec<Point>,
    /// Half the strap's width; zero for a bar.
    half_mm: f64,
    /// The bar's radius; zero for a strap.
    radius_mm: f64,
    /// Smallest and largest offset, mm.
    range: (f64, f64),
}

impl Track {
    /// A strap's path. `edge` runs with x rising; `range` holds the offsets of its middle that fit, mm.
    #[must_use]
    pub fn strap(upper: bool, edge: Vec<Point>, width_mm: f64, range: (f64, f64)) -> Self {
        let sign = if upper { 1.0 } else { -1.0 };
        Self { sign, edge, half_mm: 0.5 * width_mm, radius_mm: 0.0, range }
    }

    /// A bar's path; see [`Track::strap`].
    #[must_use]
    pub fn bar(upper: bool, edge: Vec<Point>, diameter_mm: f64, range: (f64, f64)) -> Self {
        let sign = if upper { 1.0 } else { -1.0 };
        Self { sign, edge, half_mm: 0.0, radius_mm: 0.5 * diameter_mm, range }
    }

    /// The path of a loader on the upper or lower seat of a system; its own offset plays no part. `None` when it does not
    /// fit anywhere.
    #[must_use]
    pub fn on(system: &System, upper: bool, loader: Loader) -> Option<Self> {
        let seat = if upper { &system.upper } else { &system.lower };
        let (low, high) = system.seat_room(seat);
        let edge = points(seat);
        let track = match loader {
            Loader::Strap { width_mm, .. } => {
                Self::strap(upper, edge, width_mm, (low + 0.5 * width_mm, high - 0.5 * width_mm))
            }
            Loader::Bar { diameter_mm, .. } => {
                // A bar stops at the sides of the window, as far from them as a strap.
                let corners = window_corners(&system.connector.window);
                let (spine, gate) = if upper { (corners[0], corners[1]) } else { (corners[3], corners[2]) };
                let away = 0.5 * diameter_mm + STRAP_CLEARANCE_MM;
                let range = (low.max(spine[0] + away), high.min(gate[0] - away));
                Self::bar(upper, edge, diameter_mm, range)
            }
        };
        (track.range.0 <= track.range.1 && track.edge.len() >= 2).then_some(track)
    }

    /// Smallest and largest offset, mm.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        self.range
    }

    /// The load point at an offset, mm; beyond the range, that of its end.
    #[must_use]
    pub fn point(&self, offset_mm: f64) -> Point {
        let x = offset_mm.clamp(self.range.0, self.range.1);
        [x, self.height(x)]
    }

    /// Rise of the path toward the gate, dy/dx.
    #[must_use]
    pub fn slope(&self, offset_mm: f64) -> f64 {
        let x = offset_mm.clamp(self.range.0, self.range.1);
        (self.height(x + SLOPE_STEP_MM) - self.height(x - SLOPE_STEP_MM)) / (2.0 * SLOPE_STEP_MM)
    }

    fn height(&self, x: f64) -> f64 {
        if self.radius_mm > 0.0 { self.resting(x) } else { self.mean(x) }
    }

    fn edge_at(&self, x: f64) -> f64 {
        self.between(self.edge.partition_point(|p| p[0] < x), x)
    }

    /// Height of the edge at `x`, which lies before its point `after`.
    fn between(&self, after: usize, x: f64) -> f64 {
        let after = after.clamp(1, self.edge.len() - 1);
        let (a, b) = (self.edge[after - 1], self.edge[after]);
        let run = b[0] - a[0];
        if run <= 0.0 { b[1] } else { a[1] + (b[1] - a[1]) * ((x - a[0]) / run).clamp(0.0, 1.0) }
    }

    fn mean(&self, x: f64) -> f64 {
        if self.half_mm <= 0.0 {
            return self.edge_at(x);
        }
        // The midpoint rule: exact on straight edges. The places rise, so each is looked for from the one before.
        let mut after = self.edge.partition_point(|p| p[0] < x - self.half_mm);
        let mut sum = 0.0;
        for i in 0..ACROSS {
            let part = (f64::from(i) + 0.5) / f64::from(ACROSS);
            let at = x + self.half_mm * (2.0 * part - 1.0);
            after += self.edge[after..].iter().take_while(|p| p[0] < at).count();
            sum += self.between(after, at);
        }
        sum / f64::from(ACROSS)
    }

    /// The bar's centre when it first touches: every point of the edge keeps it a radius away.
    fn resting(&self, x: f64) -> f64 {
        let r = self.radius_mm;
        let reach = (x - r).max(self.edge[0][0])..=(x + r).min(self.edge[self.edge.len() - 1][0]);
        let span = reach.end() - reach.start();
        let clear = |at: f64| self.sign * self.edge_at(at) - (r * r - (at - x) * (at - x)).max(0.0).sqrt();
        let coarse = (0..=ACROSS)
            .map(|i| reach.start() + span * f64::from(i) / f64::from(ACROSS))
            .min_by(|a, b| clear(*a).total_cmp(&clear(*b)))
            .unwrap_or(x);
        // Golden-section steps about the lowest sample take the sampling out.
        let step = span / f64::from(ACROSS);
        let (mut a, mut b) = ((coarse - step).max(*reach.start()), (coarse + step).min(*reach.end()));
        let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
        for _ in 0..40 {
            let (left, right) = (b - golden * (b - a), a + golden * (b - a));
            if clear(left) <= clear(right) { b = right } else { a = left }
        }
        self.sign * clear(0.5 * (a + b))
    }
}

/// The inner edge under a seat, x rising.
fn points(seat: &Seat) -> Vec<Point> {
    let mut all: Vec<Point> = Vec::new();
    for edge in &seat.edges {
        let first = u32::from(!all.is_empty());
        all.extend((first..=PER_EDGE).map(|i| edge.point(2.0 * f64::from(i) / f64::from(PER_EDGE) - 1.0)));
    }
    all
}

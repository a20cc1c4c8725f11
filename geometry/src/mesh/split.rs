//! Cuts curves into chords of the wanted length and joins them at shared end points.
//!
//! The number of edges along a piece is the integral of its density: one edge per wanted length or one per thirty
//! degrees of turn, whichever asks for more at that place. Rounding up and then spreading evenly in that measure keeps
//! neighbouring edges of similar length, which a walk from one end would not at the far end.

use super::MeshError;
use crate::curve::{Curve, Point};
use crate::outline::NO_LENGTH_MM;
use crate::region::{Region, Stretch};

/// Turn that one quadratic edge may follow: its greatest distance from an arc of 30 degrees is 5e-5 radii.
const TURN_PER_EDGE: f64 = std::f64::consts::PI / 6.0;
/// End points closer than this are one point, mm: what an outline leaves out for want of length on its inner edge leaves a gap
/// of a few times that on its outer one.
const SAME_POINT: f64 = 10.0 * NO_LENGTH_MM;
/// A mesh with more points than this is a mistake in the wanted size.
pub(super) const MAX_POINTS: usize = 400_000;
/// Slack in rounding up, so that a side of exactly four lengths gets four edges.
const ROUNDING: f64 = 1e-6;

/// A chord of a curve.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chord {
    /// Start and end, as places in [`Chords::points`].
    pub nodes: [usize; 2],
    /// Place in [`Chords::pieces`].
    pub piece: usize,
    /// Curve parameters at start and end.
    pub span: [f64; 2],
}

/// A piece of loop or line, as the mesher sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Source<'a> {
    pub curve: &'a Curve,
    pub stretch: Stretch,
    /// On a loop, so that there is nothing to its right.
    pub outline: bool,
}

/// The outline and the inner lines as straight chords.
#[derive(Clone, Debug)]
pub(super) struct Chords<'a> {
    pub points: Vec<Point>,
    pub chords: Vec<Chord>,
    pub pieces: Vec<Source<'a>>,
}

impl<'a> Chords<'a> {
    /// Cuts every piece of `region` so that chord lengths follow `size`.
    pub fn cut(region: &'a Region, size: &dyn Fn(Point) -> f64) -> Result<Self, MeshError> {
        let mut pieces = Vec::new();
        for (outline, piece) in region
            .loops
            .iter()
            .flatten()
            .map(|piece| (true, piece))
            .chain(region.lines.iter().map(|piece| (false, piece)))
        {
            pieces.push(Source { curve: &piece.curve, stretch: piece.stretch, outline });
        }
        if region.loops.iter().all(Vec::is_empty) {
            return Err(MeshError::Empty);
        }
        let (mut points, ends) = join_ends(&pieces)?;
        check_closed(region, &ends, &points)?;
        let mut chords = Vec::new();
        for (piece, source) in pieces.iter().enumerate() {
            if ends[piece][0] == ends[piece][1] && source.curve.length() <= 2.0 * SAME_POINT {
                continue;
            }
            let parameters = divide(source, size)?;
            let last = parameters.len() - 1;
            if points.len() + last > MAX_POINTS {
                return Err(MeshError::TooManyPoints { limit: MAX_POINTS });
            }
            let mut from = ends[piece][0];
            for i in 1..=last {
                let to = if i == last {
                    ends[piece][1]
                } else {
                    points.push(source.curve.point(parameters[i]));
                    points.len() - 1
                };
                chords.push(Chord { nodes: [from, to], piece, span: [parameters[i - 1], parameters[i]] });
                from = to;
            }
        }
        Ok(Self { points, chords, pieces })
    }

    /// Start and end of a chord.
    pub fn ends(&self, chord: &Chord) -> [Point; 2] {
        chord.nodes.map(|node| self.points[node])
    }

    /// Corners of the box around everything.
    pub fn bounds(&self) -> [Point; 2] {
        bounds(&self.points)
    }
}

/// Corners of the box around `points`.
pub(super) fn bounds(points: &[Point]) -> [Point; 2] {
    let mut low = [f64::INFINITY; 2];
    let mut high = [f64::NEG_INFINITY; 2];
    for p in points {
        for axis in 0..2 {
            low[axis] = low[axis].min(p[axis]);
            high[axis] = high[axis].max(p[axis]);
        }
    }
    [low, high]
}

/// Gives each distinct end point one place: the points, and the places of both ends of each piece.
fn join_ends(pieces: &[Source<'_>]) -> Result<(Vec<Point>, Vec<[usize; 2]>), MeshError> {
    let mut ends: Vec<(Point, usize)> = Vec::with_capacity(2 * pieces.len());
    for (i, piece) in pieces.iter().enumerate() {
        for (side, t) in [0.0, 1.0].into_iter().enumerate() {
            let p = piece.curve.point(t);
            if !p.iter().all(|x| x.is_finite()) {
                return Err(MeshError::NotFinite { stretch: piece.stretch });
            }
            ends.push((p, 2 * i + side));
        }
    }
    // Sorted along x, only a short run before each point can coincide with it.
    let mut order: Vec<usize> = (0..ends.len()).collect();
    order.sort_by(|&a, &b| ends[a].0[0].total_cmp(&ends[b].0[0]).then(a.cmp(&b)));
    let mut leader: Vec<usize> = (0..ends.len()).collect();
    for (at, &i) in order.iter().enumerate() {
        for &j in order[..at].iter().rev() {
            if ends[i].0[0] - ends[j].0[0] > SAME_POINT {
                break;
            }
            if distance(ends[i].0, ends[j].0) <= SAME_POINT {
                leader[i] = leader[j];
                break;
            }
        }
    }
    let mut place = vec![usize::MAX; ends.len()];
    let mut points = Vec::new();
    let mut result = vec![[0; 2]; pieces.len()];
    for i in 0..ends.len() {
        let first = leader[i];
        if place[first] == usize::MAX {
            place[first] = points.len();
            points.push(ends[first].0);
        }
        result[i / 2][i % 2] = place[first];
    }
    Ok((points, result))
}

/// Consecutive pieces of each loop must share their points.
fn check_closed(region: &Region, ends: &[[usize; 2]], points: &[Point]) -> Result<(), MeshError> {
    let mut first = 0;
    for pieces in &region.loops {
        for i in 0..pieces.len() {
            let end = ends[first + i][1];
            let start = ends[first + (i + 1) % pieces.len()][0];
            if end != start {
                let gap_mm = distance(points[end], points[start]);
                return Err(MeshError::Open { stretch: pieces[i].stretch, near: points[end], gap_mm });
            }
        }
        first += pieces.len();
    }
    Ok(())
}

/// Parameters that cut a piece into edges of the wanted length, from 0 to 1.
fn divide(source: &Source<'_>, size: &dyn Fn(Point) -> f64) -> Result<Vec<f64>, MeshError> {
    let coarse = density(source, size, 32)?;
    // Four samples per edge follow a graded size to well below the rounding of the count.
    let wanted = coarse[coarse.len() - 1];
    if wanted > MAX_POINTS as f64 {
        return Err(MeshError::TooManyPoints { limit: MAX_POINTS });
    }
    let sum = if wanted > 8.0 { density(source, size, 4 * wanted.ceil() as usize)? } else { coarse };
    let total = sum[sum.len() - 1];
    let closed = distance(source.curve.point(0.0), source.curve.point(1.0)) <= SAME_POINT;
    let count = ((total - ROUNDING).ceil().max(1.0) as usize).max(if closed { 3 } else { 1 });
    let mut parameters = Vec::with_capacity(count + 1);
    parameters.push(0.0);
    let mut at = 0;
    for i in 1..count {
        let target = total * i as f64 / count as f64;
        while sum[at + 1] < target {
            at += 1;
        }
        let part = (target - sum[at]) / (sum[at + 1] - sum[at]);
        parameters.push((at as f64 + part) / (sum.len() - 1) as f64);
    }
    parameters.push(1.0);
    Ok(parameters)
}

/// Running sum of the number of edges wanted, at `samples + 1` even parameters.
fn density(source: &Source<'_>, size: &dyn Fn(Point) -> f64, samples: usize) -> Result<Vec<f64>, MeshError> {
    let mut sum = Vec::with_capacity(samples + 1);
    sum.push(0.0);
    let mut total = 0.0;
    let mut last = source.curve.point(0.0);
    let mut last_direction: Option<Point> = None;
    for i in 1..=samples {
        let next = source.curve.point(i as f64 / samples as f64);
        let step = [next[0] - last[0], next[1] - last[1]];
        let length = step[0].hypot(step[1]);
        if !length.is_finite() {
            return Err(MeshError::NotFinite { stretch: source.stretch });
        }
        let middle = [0.5 * (last[0] + next[0]), 0.5 * (last[1] + next[1])];
        let edges = length / checked_size(size, middle)?;
        let turn = match (source.curve, last_direction) {
            (Curve::Arc { from, to, .. }, _) => (to - from).abs() / samples as f64,
            (Curve::Path(_), Some(before)) => angle_between(before, step),
            _ => 0.0,
        };
        total += edges.max(turn / TURN_PER_EDGE);
        sum.push(total);
        last = next;
        last_direction = Some(step);
    }
    if total <= 0.0 {
        return Err(MeshError::NoLength { stretch: source.stretch, near: last });
    }
    Ok(sum)
}

/// The wanted size at `p`, refused unless it is a positive number.
pub(super) fn checked_size(size: &dyn Fn(Point) -> f64, p: Point) -> Result<f64, MeshError> {
    let h = size(p);
    if h.is_finite() && h > 0.0 { Ok(h) } else { Err(MeshError::BadSize { near: p, size_mm: h }) }
}

/// Distance between two points, mm.
pub(super) fn distance(a: Point, b: Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// Angle between two directions, radians, at least zero.
fn angle_between(a: Point, b: Point) -> f64 {
    (a[0] * b[1] - a[1] * b[0]).atan2(a[0] * b[0] + a[1] * b[1]).abs()
}

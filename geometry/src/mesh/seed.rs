//! Points inside the material, spread at the wanted distance before anything is triangulated.
//!
//! A front runs inward from the chords: the first row stands where equilateral triangles over the chords have their
//! tips, and each accepted point, finest first, offers the six neighbours of a hexagonal pattern at its own wanted
//! distance. Compared with the cells of a tree, rows follow the outline and the distance varies smoothly instead of by
//! factors of two, so the refinement has little left to mend: only where fronts meet.

use super::MeshError;
use super::inside::Inside;
use super::split::{Chords, MAX_POINTS, checked_size, distance};
use crate::curve::Point;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Smallest distance between two points, in wanted lengths. Found by trial over the shapes of this module's tests: 0.66
/// makes up to 40 % more triangles than the size asks for, 0.84 up to 17 % fewer and leaves gaps for the refinement; 0.72
/// stays within 6 % with the fewest poor triangles.
const CLEARANCE: f64 = 0.72;
/// Height of an equilateral triangle of side one.
const HEIGHT: f64 = 0.866_025_403_784_438_6;
/// Cosines and sines of the six directions of the pattern.
const SIXTHS: [[f64; 2]; 6] =
    [[1.0, 0.0], [0.5, HEIGHT], [-0.5, HEIGHT], [-1.0, 0.0], [-0.5, -HEIGHT], [0.5, -HEIGHT]];
/// Most cells in the grid that finds near points.
const MAX_CELLS: f64 = 4e6;

/// A point of the front, with the direction of its pattern.
#[derive(Clone, Copy)]
struct Front {
    at: Point,
    along: Point,
    size: f64,
}

/// The points accepted so far and where to go on.
struct Spread<'a> {
    inside: &'a Inside,
    size: &'a dyn Fn(Point) -> f64,
    near: Near,
    front: Vec<Front>,
    /// Places in `front` to go on from, finest first: going from coarse to fine would step over what lies between.
    queue: BinaryHeap<Reverse<(u64, usize)>>,
}

/// Spreads points over the material, none closer to another or to a chord than [`CLEARANCE`] times the wanted size.
pub(super) fn spread(
    outline: &Chords<'_>,
    inside: &Inside,
    size: &dyn Fn(Point) -> f64,
) -> Result<Vec<Point>, MeshError> {
    let mut near = Near::new(outline);
    for &p in &outline.points {
        near.insert(p);
    }
    for chord in &outline.chords {
        let [a, b] = outline.ends(chord);
        // Middles keep points off the chords without a distance to segments.
        near.insert(middle(a, b));
    }
    let mut spread = Spread { inside, size, near, front: Vec::new(), queue: BinaryHeap::new() };
    for chord in &outline.chords {
        let [a, b] = outline.ends(chord);
        let length = distance(a, b);
        let along = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
        let foot = middle(a, b);
        let sides: &[f64] = if outline.pieces[chord.piece].outline { &[1.0] } else { &[1.0, -1.0] };
        for side in sides {
            let rise = side * HEIGHT * length;
            spread.offer([foot[0] - rise * along[1], foot[1] + rise * along[0]], along, length)?;
        }
    }
    while let Some(Reverse((_, next))) = spread.queue.pop() {
        let Front { at, along, size } = spread.front[next];
        for [cosine, sine] in SIXTHS {
            let step = [cosine * along[0] - sine * along[1], sine * along[0] + cosine * along[1]];
            spread.offer([at[0] + size * step[0], at[1] + size * step[1]], along, size)?;
        }
    }
    Ok(spread.front.into_iter().map(|front| front.at).collect())
}

impl Spread<'_> {
    /// Accepts `p` when it is inside and clear of all others. `guess`: the wanted size where the offer comes from.
    fn offer(&mut self, p: Point, along: Point, guess: f64) -> Result<(), MeshError> {
        // The guess turns most of them away without asking for the size.
        if self.near.any_within(p, CLEARANCE * guess) || !self.inside.contains(p) {
            return Ok(());
        }
        let size = checked_size(self.size, p)?;
        if size > guess && self.near.any_within(p, CLEARANCE * size) {
            return Ok(());
        }
        if self.near.points.len() > MAX_POINTS {
            return Err(MeshError::TooManyPoints { limit: MAX_POINTS });
        }
        self.near.insert(p);
        // Positive floats sort like their bits.
        self.queue.push(Reverse((size.to_bits(), self.front.len())));
        self.front.push(Front { at: p, along, size });
        Ok(())
    }
}

fn middle(a: Point, b: Point) -> Point {
    [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])]
}

/// A grid of chains of points.
struct Near {
    low: Point,
    per_mm: f64,
    columns: usize,
    rows: usize,
    /// First point of each cell's chain.
    head: Vec<u32>,
    /// Points with the next one in their chain.
    points: Vec<(Point, u32)>,
}

const END: u32 = u32::MAX;

impl Near {
    fn new(outline: &Chords<'_>) -> Self {
        let [low, high] = outline.bounds();
        let total: f64 = outline.chords.iter().map(|c| outline.ends(c)).map(|[a, b]| distance(a, b)).sum();
        let (width, height) = (high[0] - low[0], high[1] - low[1]);
        let cell = (total / outline.chords.len() as f64).max((width * height / MAX_CELLS).sqrt());
        let per_mm = 1.0 / cell;
        let (columns, rows) = ((width * per_mm) as usize + 1, (height * per_mm) as usize + 1);
        Self { low, per_mm, columns, rows, head: vec![END; columns * rows], points: Vec::new() }
    }

    fn column(&self, x: f64) -> usize {
        (((x - self.low[0]) * self.per_mm) as usize).min(self.columns - 1)
    }

    fn row(&self, y: f64) -> usize {
        (((y - self.low[1]) * self.per_mm) as usize).min(self.rows - 1)
    }

    fn insert(&mut self, p: Point) {
        let cell = self.row(p[1]) * self.columns + self.column(p[0]);
        self.points.push((p, self.head[cell]));
        self.head[cell] = (self.points.len() - 1) as u32;
    }

    fn any_within(&self, p: Point, radius: f64) -> bool {
        let square = radius * radius;
        for row in self.row(p[1] - radius)..=self.row(p[1] + radius) {
            for column in self.column(p[0] - radius)..=self.column(p[0] + radius) {
                let mut at = self.head[row * self.columns + column];
                while at != END {
                    let (q, next) = self.points[at as usize];
                    if (q[0] - p[0]).powi(2) + (q[1] - p[1]).powi(2) < square {
                        return true;
                    }
                    at = next;
                }
            }
        }
        false
    }
}

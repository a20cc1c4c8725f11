//! Triangulates chords and seed points, refines to the angle limit, and keeps what is material.
//!
//! The triangulation's own notion of outside counts constraint crossings, so an inner line held as a constraint would turn
//! it over. Material is therefore found here, by flooding from the left of the outline. Inner lines are first left to
//! themselves: points keep clear of them, so nearly always their chords are sides anyway, and outer faces need no
//! refinement. Only when a chord got lost are the lines held, with the outside refined along: wasted but harmless work.

use super::split::{Chord, Chords, MAX_POINTS, Source, bounds, distance};
use super::{MeshError, MeshSettings};
use crate::curve::{Curve, Point};
use crate::region::Stretch;
use spade::handles::{DirectedEdgeHandle, FixedDirectedEdgeHandle, FixedVertexHandle, VertexHandle};
use spade::{
    AngleLimit, CdtEdge, ConstrainedDelaunayTriangulation, Point2, RefinementParameters, Triangulation,
};

type Delaunay = ConstrainedDelaunayTriangulation<Point2<f64>>;
type Vertex<'a> = VertexHandle<'a, Point2<f64>, (), CdtEdge<()>, ()>;
type Edge<'a> = DirectedEdgeHandle<'a, Point2<f64>, (), CdtEdge<()>, ()>;

/// Distance of the far corners from the middle, in box sizes: far enough that no outer sliver touches a nearly straight
/// hull, where refinement would leave small angles.
const FAR: f64 = 3.0;

/// In place of a chord where there is none.
pub(super) const NONE: usize = usize::MAX;

/// A straight-sided triangle.
#[derive(Clone, Copy)]
pub(super) struct Triangle {
    /// Places of its corners in [`Refined::points`], counter-clockwise.
    pub corners: [usize; 3],
    /// Numbers of its sides; side i runs from corner i to the next.
    pub sides: [usize; 3],
}

/// Straight-sided triangles whose boundary points lie on the true curves.
pub(super) struct Refined {
    /// All points, used or not; the first ones are those of the chords given.
    pub points: Vec<Point>,
    /// The chords given, cut where refinement put points on them, in the same order.
    pub chords: Vec<Chord>,
    /// The triangles of the material.
    pub triangles: Vec<Triangle>,
    /// The chord on each side, [`NONE`] for most.
    pub chord_on_side: Vec<usize>,
    /// False when the budget of points ran out.
    pub complete: bool,
    /// Points added in all.
    pub added: usize,
    /// True when a point added on a chord was moved to its curve.
    pub moved: bool,
}

/// One triangulation with refinement; at most `budget` points are added.
pub(super) fn refine(
    outline: &Chords<'_>,
    seeds: &[Point],
    settings: &MeshSettings,
    budget: usize,
) -> Result<Refined, MeshError> {
    let has_lines = outline.pieces.iter().any(|piece| !piece.outline);
    match refine_with(outline, seeds, settings, budget, false) {
        Err(MeshError::LostChord { .. }) if has_lines => refine_with(outline, seeds, settings, budget, true),
        result => result,
    }
}

/// As [`refine`], with inner lines held as constraints or not.
fn refine_with(
    outline: &Chords<'_>,
    seeds: &[Point],
    settings: &MeshSettings,
    budget: usize,
    hold_lines: bool,
) -> Result<Refined, MeshError> {
    if outline.points.len() + seeds.len() > MAX_POINTS {
        return Err(MeshError::TooManyPoints { limit: MAX_POINTS });
    }
    let is_held = |chord: &Chord| hold_lines || outline.pieces[chord.piece].outline;
    let corners = far_corners(&outline.points);
    let vertices: Vec<_> =
        outline.points.iter().chain(seeds).chain(&corners).map(|p| Point2::new(p[0], p[1])).collect();
    let edges = outline.chords.iter().filter(|chord| is_held(chord)).map(|chord| chord.nodes).collect();
    let given = vertices.len();
    // Crossings were looked for before; the ones that only rounding sees end as a lost chord.
    let mut cdt = Delaunay::try_bulk_load_cdt(vertices, edges, |_| {}).map_err(|_| MeshError::OutOfRange)?;
    if cdt.num_vertices() != given {
        return Err(MeshError::OutOfRange);
    }
    let outcome = cdt.refine(
        RefinementParameters::new()
            .exclude_outer_faces(!hold_lines)
            .with_angle_limit(AngleLimit::from_deg(settings.angle_limit_deg))
            .with_max_additional_vertices(budget),
    );
    let mut refined = Refined {
        points: cdt.vertices().map(|v| [v.position().x, v.position().y]).collect(),
        chords: Vec::with_capacity(outline.chords.len()),
        triangles: Vec::new(),
        chord_on_side: vec![NONE; cdt.num_undirected_edges()],
        complete: outcome.refinement_complete,
        added: cdt.num_vertices() - given,
        moved: false,
    };
    let mut free_sides = Vec::new();
    for chord in &outline.chords {
        let stretch = outline.pieces[chord.piece].stretch;
        let chain = chain(&cdt, chord, given, is_held(chord))
            .ok_or(MeshError::LostChord { stretch, near: outline.points[chord.nodes[0]] })?;
        if outline.pieces[chord.piece].outline {
            free_sides.extend(chain.iter().map(|&edge| (edge, stretch)));
        }
        refined.follow(&cdt, outline, chord, &chain);
    }
    refined.triangles = material(&cdt, &free_sides)?;
    Ok(refined)
}

/// Corners of a square far around `points`.
fn far_corners(points: &[Point]) -> [Point; 4] {
    let [low, high] = bounds(points);
    let reach = FAR * (high[0] - low[0]).max(high[1] - low[1]);
    let [x, y] = [0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1])];
    [[x - reach, y - reach], [x + reach, y - reach], [x + reach, y + reach], [x - reach, y + reach]]
}

/// The directed edges that a chord was cut into, from its start to its end.
///
/// Added points on a held chord have exactly two constraint edges, so the way on is unique. A chord that is not held is
/// one edge or lost.
fn chain(cdt: &Delaunay, chord: &Chord, given: usize, held: bool) -> Option<Vec<FixedDirectedEdgeHandle>> {
    let start = cdt.vertex(FixedVertexHandle::from_index(chord.nodes[0]));
    if let Some(edge) = start.out_edges().find(|edge| edge.to().fix().index() == chord.nodes[1]) {
        return (edge.is_constraint_edge() == held).then(|| vec![edge.fix()]);
    }
    for first in start.out_edges().filter(|edge| held && edge.is_constraint_edge()) {
        let mut edges = vec![first.fix()];
        let mut from = start;
        let mut at = first.to();
        while at.fix().index() >= given {
            let next = onward(at, from)?;
            edges.push(next.fix());
            from = at;
            at = next.to();
        }
        if at.fix().index() == chord.nodes[1] {
            return Some(edges);
        }
    }
    None
}

/// The constraint edge out of `at` that does not lead back to `from`.
fn onward<'a>(at: Vertex<'a>, from: Vertex<'a>) -> Option<Edge<'a>> {
    at.out_edges().find(|edge| edge.is_constraint_edge() && edge.to() != from)
}

/// The triangles on the left of `free_sides`, up to these sides.
fn material(
    cdt: &Delaunay,
    free_sides: &[(FixedDirectedEdgeHandle, Stretch)],
) -> Result<Vec<Triangle>, MeshError> {
    let mut is_free = vec![false; cdt.num_undirected_edges()];
    for (edge, _) in free_sides {
        is_free[edge.as_undirected().index()] = true;
    }
    let wrong_side = |&(edge, stretch): &(FixedDirectedEdgeHandle, Stretch)| {
        let p = cdt.directed_edge(edge).from().position();
        MeshError::WrongSide { stretch, near: [p.x, p.y] }
    };
    // The places of inner faces start at one: zero is the outer face.
    let mut is_material = vec![false; cdt.num_all_faces()];
    for side in free_sides {
        if !flood(cdt, &is_free, side.0, &mut is_material) {
            return Err(wrong_side(side));
        }
    }
    for side in free_sides {
        let right = cdt.directed_edge(side.0).rev().face();
        if is_material[right.fix().index()] {
            return Err(wrong_side(side));
        }
    }
    let faces = cdt.inner_faces().filter(|face| is_material[face.fix().index()]);
    Ok(faces
        .map(|face| {
            let edges = face.adjacent_edges();
            Triangle {
                corners: edges.map(|edge| edge.from().fix().index()),
                sides: edges.map(|edge| edge.as_undirected().fix().index()),
            }
        })
        .collect())
}

/// Marks every face reached from the left of `start` without crossing the outline; false when that leads out of
/// everything.
fn flood(cdt: &Delaunay, is_free: &[bool], start: FixedDirectedEdgeHandle, is_material: &mut [bool]) -> bool {
    let mut stack = vec![cdt.directed_edge(start).face()];
    while let Some(face) = stack.pop() {
        let Some(face) = face.as_inner() else { return false };
        let seen = &mut is_material[face.fix().index()];
        if !*seen {
            *seen = true;
            let edges = face.adjacent_edges().into_iter();
            let inner = edges.filter(|edge| !is_free[edge.as_undirected().fix().index()]);
            stack.extend(inner.map(|edge| edge.rev().face()));
        }
    }
    true
}

impl Refined {
    /// Takes over a chord as the chain of edges that it was cut into, and moves the cuts to its curve.
    fn follow(
        &mut self,
        cdt: &Delaunay,
        outline: &Chords<'_>,
        chord: &Chord,
        chain: &[FixedDirectedEdgeHandle],
    ) {
        let curve = outline.pieces[chord.piece].curve;
        let [start, end] = outline.ends(chord);
        let mut from = (chord.nodes[0], chord.span[0]);
        for &edge in chain {
            let node = cdt.directed_edge(edge).to().fix().index();
            let to = if node == chord.nodes[1] {
                (node, chord.span[1])
            } else {
                let part = distance(start, self.points[node]) / distance(start, end);
                let parameter = chord.span[0] + part * (chord.span[1] - chord.span[0]);
                self.points[node] = curve.point(parameter);
                self.moved |= !matches!(curve, Curve::Line { .. });
                (node, parameter)
            };
            self.chord_on_side[edge.as_undirected().index()] = self.chords.len();
            self.chords.push(Chord { nodes: [from.0, to.0], piece: chord.piece, span: [from.1, to.1] });
            from = to;
        }
    }

    /// Smallest corner angle, degrees.
    pub fn min_angle_deg(&self) -> f64 {
        let largest = self.triangles.iter().map(|t| largest_cotangent(t.corners.map(|c| self.points[c])));
        1.0_f64.atan2(largest.fold(f64::NEG_INFINITY, f64::max)).to_degrees()
    }

    /// The chords as they are now and the other used points, to triangulate again.
    pub fn take_apart<'a>(&self, pieces: &[Source<'a>]) -> (Chords<'a>, Vec<Point>) {
        let mut place = vec![NONE; self.points.len()];
        let mut points = Vec::new();
        let chords = self
            .chords
            .iter()
            .map(|chord| Chord {
                nodes: chord.nodes.map(|node| {
                    if place[node] == NONE {
                        place[node] = points.len();
                        points.push(self.points[node]);
                    }
                    place[node]
                }),
                ..*chord
            })
            .collect();
        let mut seeds = Vec::new();
        for &corner in self.triangles.iter().flat_map(|t| &t.corners) {
            if place[corner] == NONE {
                place[corner] = 0;
                seeds.push(self.points[corner]);
            }
        }
        (Chords { points, chords, pieces: pieces.to_vec() }, seeds)
    }
}

/// Cotangent of the smallest angle of a triangle: cheaper than the angle.
fn largest_cotangent([a, b, c]: [Point; 3]) -> f64 {
    let side = |p: Point, q: Point| [q[0] - p[0], q[1] - p[1]];
    let (u, v, w) = (side(a, b), side(b, c), side(c, a));
    let dot = |p: Point, q: Point| p[0] * q[0] + p[1] * q[1];
    // Neighbouring sides run head to tail, so the angle between them has minus their product.
    let largest = (-dot(u, v)).max(-dot(v, w)).max(-dot(w, u));
    largest / (u[0] * v[1] - u[1] * v[0])
}

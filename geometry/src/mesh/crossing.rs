//! Refuses outlines that cross or touch themselves, before they reach the triangulation, which would panic.

use super::MeshError;
use super::split::{Chords, distance};
use crate::curve::Point;

/// Looks for two chords that share more than an end point.
///
/// Chords are sorted along x and swept with the run of chords that still overlap; outlines have few chords over one
/// another, so this is close to linear.
pub(super) fn check_crossings(outline: &Chords<'_>) -> Result<(), MeshError> {
    let count = outline.chords.len();
    let reach: Vec<[f64; 4]> = outline
        .chords
        .iter()
        .map(|chord| {
            let [a, b] = outline.ends(chord);
            [a[0].min(b[0]), a[0].max(b[0]), a[1].min(b[1]), a[1].max(b[1])]
        })
        .collect();
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|&i, &j| reach[i][0].total_cmp(&reach[j][0]).then(i.cmp(&j)));
    let mut open: Vec<usize> = Vec::new();
    for &i in &order {
        open.retain(|&j| reach[j][1] >= reach[i][0]);
        for &j in &open {
            if reach[j][2] > reach[i][3] || reach[j][3] < reach[i][2] {
                continue;
            }
            if let Some(near) = meeting(outline, i.min(j), i.max(j)) {
                let stretch = |k: usize| outline.pieces[outline.chords[k].piece].stretch;
                return Err(MeshError::Crossing {
                    first: stretch(i.min(j)),
                    second: stretch(i.max(j)),
                    near,
                });
            }
        }
        open.push(i);
    }
    Ok(())
}

/// Where chords `i` and `j` meet other than in a shared end point.
fn meeting(outline: &Chords<'_>, i: usize, j: usize) -> Option<Point> {
    let (first, second) = (&outline.chords[i], &outline.chords[j]);
    let [a, b] = outline.ends(first);
    let [c, d] = outline.ends(second);
    let shared = first.nodes.iter().find(|node| second.nodes.contains(node));
    if let Some(&node) = shared {
        // From the shared point, the chords overlap when they leave in the same direction.
        let from = outline.points[node];
        let other = |nodes: [usize; 2]| outline.points[if nodes[0] == node { nodes[1] } else { nodes[0] }];
        let (p, q) = (other(first.nodes), other(second.nodes));
        let u = [p[0] - from[0], p[1] - from[1]];
        let v = [q[0] - from[0], q[1] - from[1]];
        let cross = u[0] * v[1] - u[1] * v[0];
        let along = u[0] * v[0] + u[1] * v[1];
        let overlap = along > 0.0 && cross.abs() <= 1e-12 * along;
        return overlap.then_some(if distance(p, from) < distance(q, from) { p } else { q });
    }
    let (abc, abd) = (turn(a, b, c), turn(a, b, d));
    let (cda, cdb) = (turn(c, d, a), turn(c, d, b));
    if abc * abd > 0.0 || cda * cdb > 0.0 {
        return None;
    }
    if abc == abd {
        // On one line: the caller has seen that their boxes overlap.
        return Some(c);
    }
    let t = abc / (abc - abd);
    Some([c[0] + t * (d[0] - c[0]), c[1] + t * (d[1] - c[1])])
}

/// Twice the area of the triangle a b c: positive when c lies to the left of a to b.
fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

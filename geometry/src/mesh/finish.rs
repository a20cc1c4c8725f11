//! From straight triangles to six-node triangles on the true curves, numbered for locality.

use super::check::folded_at;
use super::refine::{NONE, Refined};
use super::split::{Source, bounds};
use super::{Mesh, MeshError, NamedEdge};
use crate::curve::{Curve, Point};

/// A node that has no number yet.
const UNNUMBERED: u32 = u32::MAX;

/// Puts the middles of sides in place and numbers triangles and nodes along a space-filling curve.
pub(super) fn finish(refined: &Refined, pieces: &[Source<'_>]) -> Result<Mesh, MeshError> {
    let mut triangles = refined.triangles.clone();
    // Near triangles get near numbers, so that assembly and drawing run through memory in order.
    let [low, high] = bounds(&triangles.iter().map(|t| refined.points[t.corners[0]]).collect::<Vec<_>>());
    let side = (high[0] - low[0]).max(high[1] - low[1]);
    triangles.sort_by_cached_key(|triangle| {
        let cell = |axis: usize| {
            let sum: f64 = triangle.corners.iter().map(|&c| refined.points[c][axis] - low[axis]).sum();
            (sum / (3.0 * side) * f64::from(u16::MAX)) as u32
        };
        hilbert(cell(0), cell(1))
    });
    let mut points = Vec::new();
    let mut corner_number = vec![UNNUMBERED; refined.points.len()];
    let mut middle_number = vec![UNNUMBERED; refined.chord_on_side.len()];
    let mut numbered = Vec::with_capacity(triangles.len());
    for triangle in &triangles {
        let mut nodes = [0; 6];
        for (i, &corner) in triangle.corners.iter().enumerate() {
            if corner_number[corner] == UNNUMBERED {
                corner_number[corner] = points.len() as u32;
                points.push(refined.points[corner]);
            }
            nodes[i] = corner_number[corner];
        }
        for (i, &side) in triangle.sides.iter().enumerate() {
            if middle_number[side] == UNNUMBERED {
                middle_number[side] = points.len() as u32;
                let ends = [triangle.corners[i], triangle.corners[(i + 1) % 3]];
                points.push(middle(refined, pieces, side, ends));
            }
            nodes[3 + i] = middle_number[side];
        }
        // Straight triangles are sound by construction; only a curve can fold one.
        let bent = triangle.sides.iter().filter_map(|&side| refined.chords.get(refined.chord_on_side[side]));
        for chord in bent.filter(|chord| !matches!(pieces[chord.piece].curve, Curve::Line { .. })) {
            let at = nodes.map(|node| points[node as usize]);
            if folded_at(&at).is_some() {
                return Err(MeshError::Folded { stretch: pieces[chord.piece].stretch, near: at[0] });
            }
        }
        numbered.push(nodes);
    }
    let mut middle_of_chord = vec![UNNUMBERED; refined.chords.len()];
    for (side, &chord) in refined.chord_on_side.iter().enumerate() {
        if chord != NONE {
            middle_of_chord[chord] = middle_number[side];
        }
    }
    let (mut boundary, mut lines) = (Vec::new(), Vec::new());
    for (chord, middle) in refined.chords.iter().zip(middle_of_chord) {
        let [start, end] = chord.nodes.map(|node| corner_number[node]);
        let source = &pieces[chord.piece];
        let edge = NamedEdge { nodes: [start, end, middle], stretch: source.stretch };
        if source.outline { boundary.push(edge) } else { lines.push(edge) }
    }
    Ok(Mesh {
        points,
        triangles: numbered,
        boundary,
        lines,
        min_angle_deg: refined.min_angle_deg(),
        refinement_complete: refined.complete,
    })
}

/// Where the middle of a side lies: on the curve at the middle parameter, or halfway.
fn middle(refined: &Refined, pieces: &[Source<'_>], side: usize, ends: [usize; 2]) -> Point {
    match refined.chords.get(refined.chord_on_side[side]) {
        Some(chord) => pieces[chord.piece].curve.point(0.5 * (chord.span[0] + chord.span[1])),
        None => {
            let [p, q] = ends.map(|end| refined.points[end]);
            [0.5 * (p[0] + q[0]), 0.5 * (p[1] + q[1])]
        }
    }
}

/// Place of a cell along the Hilbert curve through a grid of 65 536 by 65 536 cells.
fn hilbert(mut x: u32, mut y: u32) -> u32 {
    let mut place = 0;
    for bit in (0..16).rev() {
        let (right, upper) = ((x >> bit) & 1, (y >> bit) & 1);
        place = (place << 2) | ((3 * right) ^ upper);
        if upper == 0 {
            if right == 1 {
                (x, y) = (!x, !y);
            }
            (x, y) = (y, x);
        }
    }
    place
}

#[cfg(test)]
mod tests {
    use super::hilbert;

    #[test]
    fn neighbours_on_the_curve_are_neighbours_in_the_plane() {
        // The last 8 by 8 corner of the grid is one run of 64 places.
        let mut cells: Vec<_> = (0..64_u32).map(|i| (i % 8, i / 8)).collect();
        cells.sort_by_key(|&(x, y)| hilbert(x, y));
        for pair in cells.windows(2) {
            let step = pair[0].0.abs_diff(pair[1].0) + pair[0].1.abs_diff(pair[1].1);
            assert_eq!(step, 1, "{pair:?}");
        }
    }
}

//! Summits of a stress field over a mesh, and how much they stand out.
//!
//! Values are looked at from the highest down. One that touches nothing seen before begins a summit; one that joins two
//! ends the lower of them, which counts when it stands out above the join. What is trusted is a field of its own that ends
//! on the limit of trust, so its summit may lie there.

use super::Untrusted;
use geometry::curve::Point;
use geometry::mesh::Mesh;
use std::collections::BTreeMap;

/// A summit stands out by at least this part of itself above the way to a higher one.
const STANDS_OUT: f64 = 0.01;
/// Halvings that find the limit of trust on half a side.
const HALVINGS: usize = 40;

/// A local maximum that stands out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Summit {
    pub at: Point,
    pub value: f64,
    pub trusted: bool,
}

/// The six halves of a triangle's sides, each as its two nodes.
pub(super) fn half_sides(t: &[u32; 6]) -> [[u32; 2]; 6] {
    [[t[0], t[3]], [t[3], t[1]], [t[1], t[4]], [t[4], t[2]], [t[2], t[5]], [t[5], t[0]]]
}

/// The place between a trusted and an untrusted node where trust ends, and the value there.
pub(super) fn on_the_limit(
    mesh: &Mesh,
    values: &[f64],
    untrusted: &Untrusted,
    [inside, outside]: [u32; 2],
) -> (Point, f64) {
    let [p, q] = [inside, outside].map(|n| mesh.points[n as usize]);
    let between = |part: f64| [p[0] + part * (q[0] - p[0]), p[1] + part * (q[1] - p[1])];
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if untrusted.trusts(between(middle)) {
            low = middle;
        } else {
            high = middle;
        }
    }
    let [a, b] = [inside, outside].map(|n| values[n as usize]);
    (between(low), a + low * (b - a))
}

/// All summits that stand out: of the whole field those that are not trusted, of the trusted field all.
pub(super) fn summits(mesh: &Mesh, values: &[f64], untrusted: &Untrusted) -> Vec<Summit> {
    let trusted: Vec<bool> = mesh.points.iter().map(|p| untrusted.trusts(*p)).collect();
    let mut spots: Vec<(Point, f64)> = mesh.points.iter().copied().zip(values.iter().copied()).collect();
    let whole: Vec<Vec<u32>> = mesh.triangles.iter().map(|t| t.to_vec()).collect();
    let mut found: Vec<Summit> = standing_out(&spots, &whole)
        .into_iter()
        .filter(|spot| !trusted[*spot])
        .map(|spot| Summit { at: spots[spot].0, value: spots[spot].1, trusted: false })
        .collect();

    let mut limits: BTreeMap<[u32; 2], u32> = BTreeMap::new();
    let mut cells: Vec<Vec<u32>> = Vec::with_capacity(mesh.triangles.len());
    for triangle in &mesh.triangles {
        let mut cell: Vec<u32> = triangle.iter().copied().filter(|n| trusted[*n as usize]).collect();
        if !cell.is_empty() && cell.len() < triangle.len() {
            for [a, b] in half_sides(triangle) {
                let (inside, outside) = if trusted[a as usize] { (a, b) } else { (b, a) };
                if trusted[a as usize] != trusted[b as usize] {
                    cell.push(*limits.entry([inside, outside]).or_insert_with(|| {
                        spots.push(on_the_limit(mesh, values, untrusted, [inside, outside]));
                        spots.len() as u32 - 1
                    }));
                }
            }
        }
        cells.push(cell);
    }
    found.extend(standing_out(&spots, &cells).into_iter().map(|spot| Summit {
        at: spots[spot].0,
        value: spots[spot].1,
        trusted: true,
    }));
    found
}

/// Spots that are summits, in falling order of where they were joined; spots of a cell touch each other.
fn standing_out(spots: &[(Point, f64)], cells: &[Vec<u32>]) -> Vec<usize> {
    // The cells of each spot.
    let mut first = vec![0_u32; spots.len() + 1];
    for spot in cells.iter().flatten() {
        first[*spot as usize + 1] += 1;
    }
    for i in 0..spots.len() {
        first[i + 1] += first[i];
    }
    let mut cells_of = vec![0_u32; first[spots.len()] as usize];
    let mut fill = first.clone();
    for (index, cell) in cells.iter().enumerate() {
        for spot in cell {
            let at = &mut fill[*spot as usize];
            cells_of[*at as usize] = index as u32;
            *at += 1;
        }
    }
    let around = |spot: usize| &cells_of[first[spot] as usize..first[spot + 1] as usize];
    let mut order: Vec<usize> = (0..spots.len()).filter(|spot| !around(*spot).is_empty()).collect();
    order.sort_by(|a, b| spots[*b].1.total_cmp(&spots[*a].1).then(a.cmp(b)));

    const UNSEEN: usize = usize::MAX;
    // Each seen spot leads toward the summit that it belongs to.
    let mut leads_to = vec![UNSEEN; spots.len()];
    let mut found = Vec::new();
    let mut summits = Vec::new();
    for &spot in &order {
        summits.clear();
        for &cell in around(spot) {
            for &other in &cells[cell as usize] {
                if leads_to[other as usize] != UNSEEN {
                    summits.push(summit_of(&mut leads_to, other as usize));
                }
            }
        }
        // The highest first, equals by number.
        summits.sort_by(|a, b| spots[*b].1.total_cmp(&spots[*a].1).then(a.cmp(b)));
        summits.dedup();
        let highest = summits.first().copied().unwrap_or(spot);
        leads_to[spot] = highest;
        for &lower in summits.iter().skip(1) {
            leads_to[lower] = highest;
            if spots[lower].1 - spots[spot].1 >= STANDS_OUT * spots[lower].1 {
                found.push(lower);
            }
        }
    }
    found.extend(order.iter().copied().filter(|spot| leads_to[*spot] == *spot));
    found
}

/// The summit that a seen spot belongs to; shortens the way for the next time.
fn summit_of(leads_to: &mut [usize], spot: usize) -> usize {
    let mut at = spot;
    while leads_to[at] != at {
        leads_to[at] = leads_to[leads_to[at]];
        at = leads_to[at];
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Spots along a line, each touching the next.
    fn chain(values: &[f64]) -> Vec<f64> {
        let spots: Vec<(Point, f64)> =
            values.iter().enumerate().map(|(i, v)| ([i as f64, 0.0], *v)).collect();
        let cells: Vec<Vec<u32>> = (1..values.len() as u32).map(|i| vec![i - 1, i]).collect();
        let mut found: Vec<f64> =
            standing_out(&spots, &cells).into_iter().map(|spot| spots[spot].1).collect();
        found.sort_by(f64::total_cmp);
        found
    }

    #[test]
    fn a_ripple_on_a_slope_is_no_summit() {
        // 631.4 rises to 632.9 on the way down from 727 to 445: 0.2 %.
        assert_eq!(chain(&[500.0, 727.0, 680.0, 631.4, 632.9, 560.0, 445.0, 474.0, 400.0]), [474.0, 727.0]);
    }

    #[test]
    fn equal_values_make_one_summit() {
        assert_eq!(chain(&[5.0; 7]), [5.0]);
        assert_eq!(chain(&[1.0, 5.0, 5.0, 2.0, 5.0, 1.0]), [5.0, 5.0]);
    }
}

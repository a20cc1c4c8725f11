//! Straight lines on a page: how far they are, and what they cross.

use crate::layout::Area;

/// Distance of a point from a straight line between two others.
pub(crate) fn distance(p: [f64; 2], [a, b]: [[f64; 2]; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy).max(1e-12);
    let t = t.clamp(0.0, 1.0);
    (p[0] - a[0] - t * dx).hypot(p[1] - a[1] - t * dy)
}

/// Whether two straight lines cross. A line without length, where a leader has no elbow, crosses nothing.
pub(crate) fn cross([a, b]: [[f64; 2]; 2], [c, d]: [[f64; 2]; 2]) -> bool {
    // On one line, lines may lie apart: turns alone do not tell.
    let apart = |k: usize| a[k].max(b[k]) < c[k].min(d[k]) || c[k].max(d[k]) < a[k].min(b[k]);
    if a == b || c == d || apart(0) || apart(1) {
        return false;
    }
    let turn =
        |p: [f64; 2], q: [f64; 2], r: [f64; 2]| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    turn(a, b, c) * turn(a, b, d) <= 0.0 && turn(c, d, a) * turn(c, d, b) <= 0.0
}

/// Whether a straight line touches a box.
pub(crate) fn touches(line: [[f64; 2]; 2], area: Area) -> bool {
    let [a, c] = [[area.x, area.y], [area.right(), area.bottom()]];
    let [b, d] = [[c[0], a[1]], [a[0], c[1]]];
    area.holds(line[0]) || area.holds(line[1]) || cross(line, [a, c]) || cross(line, [b, d])
}

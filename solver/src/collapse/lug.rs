//! A lug: a bar with a full-round end about its hole, pulled by a pin toward that end.
//!
//! Half of it is solved, on a mesh that follows hole and end; the bar is held two widths behind the hole, free to narrow.

use super::linear::Linear;
use super::metal::Metal;
use super::programme::{Flow, Row, least_dissipation};
use crate::plane::PlaneError;
use crate::plane::grid::grid;
use geometry::curve::Point;
use std::f64::consts::PI;

/// Cells across the ring between hole and edge.
const ACROSS: u32 = 8;
/// Cells along a right angle of the hole.
const ALONG: f64 = 14.0;
/// How much cells gather at the hole.
const GATHERED: f64 = 0.5;
/// Length of bar behind the hole, in widths.
const BEHIND: f64 = 1.0;

/// Collapse force of a lug over strength times thickness times width.
///
/// `hole_over_width`: hole's diameter over the width, above 0 and below 1. `half_angle`: half the angle of the hole on which
/// the pin may press, radians, at most a right one; the pin is smooth and presses where it does under this angle.
///
/// # Errors
/// [`PlaneError`] when the mesh cannot be solved, as for a hole that leaves no metal.
pub fn lug_factor(hole_over_width: f64, half_angle: f64) -> Result<f64, PlaneError> {
    Ok(lug_flow(hole_over_width, half_angle)?.1.dissipation)
}

/// Metal and flow of one half of a lug of half width, thickness and strength 1: its dissipation is the lug's factor.
///
/// # Errors
/// As [`lug_factor`].
pub fn lug_flow(hole_over_width: f64, half_angle: f64) -> Result<(Metal, Flow), PlaneError> {
    let hole = hole_over_width;
    // Rows of cells from behind the hole round to its end; the edge of contact falls between two, always with the same
    // diagonals beside it.
    let even = |cells: f64| 2.0 * (0.5 * cells).ceil();
    let pressed = even(half_angle / (0.5 * PI) * ALONG).max(4.0);
    let open = even((PI - half_angle) / (0.5 * PI) * ALONG * 0.8);
    let angle = |p: f64| {
        let i = p * (pressed + open);
        if i <= open {
            (PI - half_angle) * i / open
        } else {
            PI - half_angle * (open + pressed - i) / pressed
        }
    };
    let map = |p: Point| {
        let from_behind = angle(p[1]);
        let (sin, cos) = (from_behind - 0.5 * PI).sin_cos();
        let reach = if sin >= 0.0 { 1.0 } else { (1.0 / cos).min(2.0 * BEHIND / -sin) };
        let radius = hole + (reach - hole) * p[0] * (GATHERED * p[0] + 1.0 - GATHERED);
        [radius * cos, radius * sin]
    };
    let mesh = grid(ACROSS, (pressed + open) as u32, &map);
    let mut metal = Metal::new(mesh, &|_| 1.0, 1.0);
    metal.drive(&|p| p[0] < 1e-9, 0, 0.0);
    metal.drive(&|p| p[1] < -2.0 * BEHIND + 1e-9, 1, 0.0);
    let rows: Vec<Row> = metal
        .mesh
        .points
        .iter()
        .enumerate()
        .filter_map(|(node, p)| {
            let radius = p[0].hypot(p[1]);
            let from_end = p[0].atan2(p[1]);
            // The end of contact and what lies square to the pull cannot be pressed.
            let on = radius < hole + 1e-9 && from_end < half_angle + 1e-9 && from_end < 0.5 * PI - 1e-9;
            on.then(|| {
                let row = Row::new(node as u32, [p[0] / radius, p[1] / radius], [0.0, 1.0], 1.0, 0.0);
                Row { across: 0.0, ..row }
            })
        })
        .collect();
    let mut linear = Linear::new(&metal.mesh, &metal.held)?;
    let flow = least_dissipation(&metal, &rows, &mut linear)?;
    Ok((metal, flow))
}

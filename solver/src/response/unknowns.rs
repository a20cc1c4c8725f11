//! The forces of a loaded connector that are not known beforehand: contact rows, strap fibres, bench-bar rows.

use super::bar::BarRow;
use crate::plane::quadrature::{LINE_THREE, LINE_TWO};
use crate::rig::Loader;
use crate::system::{Seat, SeatEdge, Side, System, edge_shape, gap_mm};
use geometry::curve::Point;

/// An edge is short below this part of the longest of its seat: two fibres on it are as close as three on that.
const SHORT: f64 = 0.6;

/// What a force belongs to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Source {
    /// A contact row of the system, by index.
    Row(usize),
    /// The sticking row along the lip's flank, at a contact row of the system.
    Stick(usize),
    /// A fibre of the upper (true) or lower strap.
    Fibre(bool),
    /// A row between the upper (true) or lower bench bar and the frame.
    Bar(bool),
    /// The sticking row of the upper (true) or lower bench bar.
    BarGrip(bool),
}

/// One unknown force.
#[derive(Clone, Debug)]
pub struct Unknown {
    /// What it belongs to.
    pub source: Source,
    /// Its pattern over the frame's ports, for a force of 1 N.
    pub frame: Vec<(u32, f64)>,
    /// Its pattern over the gate's ports.
    pub gate: Vec<(u32, f64)>,
    /// A point on its line of action, mm.
    pub at: Point,
    /// Force on the frame per unit.
    pub on_frame: Point,
    /// Force on the gate per unit.
    pub on_gate: Point,
    /// Part along the pull axis that counts toward the upper load.
    pub toward_load: f64,
    /// Gap before loading, mm.
    pub gap: f64,
    /// Own compliance (strap fibres), mm/N.
    pub soft: f64,
    /// False for forces that may have either sign.
    pub one_sided: bool,
}

/// The pull axis: from the lower to the upper load centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PullAxis {
    /// Load centre at the lower end.
    pub lower: Point,
    /// Load centre at the upper end.
    pub upper: Point,
    /// Unit vector from lower to upper.
    pub direction: Point,
}

/// The contact unknown of a system's row; `None` where the pin does not face it.
#[must_use]
pub fn row_unknown(system: &System, index: usize) -> Option<Unknown> {
    let row = system.rows[index];
    let gap = gap_mm(row.at, row.normal, system.disc(row.joint).1.circle())?;
    Some(joint_unknown(system, index, row.normal, system.row_ports[index], Source::Row(index), gap))
}

/// The force along the lip's flank that friction holds the pin with, at the flank's point nearest to the pin. It may have
/// either sign. `None` when no point of the flank faces the pin.
#[must_use]
pub fn stick_unknown(system: &System) -> Option<Unknown> {
    let nearest = (0..system.rows.len())
        .filter(|i| system.rows[*i].flank)
        .filter_map(|i| row_unknown(system, i).map(|u| (i, u.gap)))
        .min_by(|a, b| a.1.total_cmp(&b.1))?
        .0;
    let [x, y] = system.rows[nearest].normal;
    let port = system.row_ports[nearest] + 1;
    Some(Unknown {
        one_sided: false,
        ..joint_unknown(system, nearest, [-y, x], port, Source::Stick(nearest), 0.0)
    })
}

/// A force `direction` on a row's surface and its counterpart on the pin, which feels the same line of action.
fn joint_unknown(
    system: &System,
    index: usize,
    direction: Point,
    port: u32,
    source: Source,
    gap: f64,
) -> Unknown {
    let row = system.rows[index];
    let (carrier, disc, first) = system.disc(row.joint);
    let centre = disc.circle().centre;
    let from = [row.at[0] - centre[0], row.at[1] - centre[1]];
    let torque = -(from[0] * direction[1] - from[1] * direction[0]);
    let on_surface = vec![(port, 1.0)];
    let on_pin = vec![(*first, -direction[0]), (first + 1, -direction[1]), (first + 2, torque)];
    let (frame, gate) = match carrier {
        Side::Gate => (on_surface, on_pin),
        Side::Frame => (on_pin, on_surface),
    };
    let sign = if row.surface == Side::Frame { 1.0 } else { -1.0 };
    Unknown {
        source,
        frame,
        gate,
        at: row.at,
        on_frame: direction.map(|d| sign * d),
        on_gate: direction.map(|d| -sign * d),
        toward_load: 0.0,
        gap,
        soft: 0.0,
        one_sided: true,
    }
}

/// A fibre of a strap on a seat.
#[derive(Clone, Copy, Debug)]
pub struct StrapFibre {
    /// Edge of the seat.
    pub edge: usize,
    /// Parameter on it.
    pub s: f64,
    /// Force per stretch, N/mm.
    pub stiffness: f64,
}

/// The fibres of a strap on a seat, pulling along `axis` (away from the window).
#[must_use]
pub fn strap_fibres(seat: &Seat, strap: Strap, centre: Point, axis: Point) -> Vec<StrapFibre> {
    let side = |p: Point| {
        // Position across the strap, rising with x whichever way the strap pulls.
        seat.sign * ((p[0] - centre[0]) * axis[1] - (p[1] - centre[1]) * axis[0])
    };
    let half = 0.5 * strap.width_mm;
    let width = |edge: &SeatEdge| side(edge.point(1.0)) - side(edge.point(-1.0));
    let widest = seat.edges.iter().map(width).fold(0.0, f64::max);
    let mut fibres = Vec::new();
    for (index, edge) in seat.edges.iter().enumerate() {
        let at = |s: f64| side(edge.point(s));
        let find = |target: f64| {
            let (mut a, mut b) = (-1.0, 1.0);
            for _ in 0..60 {
                let middle = 0.5 * (a + b);
                if at(middle) < target { a = middle } else { b = middle }
            }
            0.5 * (a + b)
        };
        let (low, high) = (at(-1.0), at(1.0));
        if high <= -half || low >= half || high <= low {
            continue;
        }
        let start = if low >= -half { -1.0 } else { find(-half) };
        let end = if high <= half { 1.0 } else { find(half) };
        let rule: &[(f64, f64)] = if width(edge) < SHORT * widest { &LINE_TWO } else { &LINE_THREE };
        for &(g, weight) in rule {
            let s = 0.5 * (start + end) + 0.5 * g * (end - start);
            let [tx, ty] = edge.tangent(s);
            let across = seat.sign * (tx * axis[1] - ty * axis[0]);
            let width = 0.5 * (end - start) * weight * across;
            if width <= 1e-9 * strap.width_mm {
                continue;
            }
            fibres.push(StrapFibre { edge: index, s, stiffness: strap.stiffness_n_per_mm2 * width });
        }
    }
    fibres
}

/// The forces of a strap's fibres, which pull along `axis` (away from the window).
#[must_use]
pub fn strap_unknowns(seat: &Seat, strap: Strap, centre: Point, axis: Point) -> Vec<Unknown> {
    let upper = seat.sign > 0.0;
    strap_fibres(seat, strap, centre, axis)
        .into_iter()
        .map(|StrapFibre { edge, s, stiffness }| Unknown {
            source: Source::Fibre(upper),
            frame: seat.force_at(edge, s, axis),
            gate: Vec::new(),
            at: seat.edges[edge].point(s),
            on_frame: axis,
            on_gate: [0.0; 2],
            toward_load: if upper { 1.0 } else { 0.0 },
            gap: 0.0,
            soft: 1.0 / stiffness,
            one_sided: true,
        })
        .collect()
}

/// Width and stiffness of a strap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strap {
    /// Width, mm.
    pub width_mm: f64,
    /// Stiffness per mm of width and mm of stretch, N/mm^2.
    pub stiffness_n_per_mm2: f64,
}

/// The rows of a bench bar on a seat; `axis` points away from the window.
#[must_use]
pub fn bar_unknowns(seat: &Seat, (radius, offset): (f64, f64), axis: Point) -> Vec<Unknown> {
    let upper = seat.sign > 0.0;
    super::bar::bar_rows(seat, radius, offset)
        .into_iter()
        .map(|BarRow { edge, s, at, force, gap, grip }| Unknown {
            source: if grip { Source::BarGrip(upper) } else { Source::Bar(upper) },
            frame: seat.force_at(edge, s, force),
            gate: Vec::new(),
            at,
            on_frame: force,
            on_gate: [0.0; 2],
            toward_load: if upper { force[0] * axis[0] + force[1] * axis[1] } else { 0.0 },
            gap,
            soft: 0.0,
            one_sided: !grip,
        })
        .collect()
}

/// Load centre of a loader on its seat: a strap's edge point, a bar's centre.
#[must_use]
pub fn load_centre(seat: &Seat, loader: Loader) -> Point {
    match loader {
        Loader::Strap { offset_mm, .. } => {
            let (edge, s) = seat.at_x(offset_mm);
            seat.edges[edge].point(s)
        }
        Loader::Bar { diameter_mm, offset_mm } => {
            super::bar::resting_bar(seat, 0.5 * diameter_mm, offset_mm).centre
        }
    }
}

/// Shape functions at a seat point, as nodes of the mesh and weights: the displacement of the edge itself.
#[must_use]
pub fn edge_row(seat: &Seat, edge: usize, s: f64) -> [(u32, f64); 3] {
    let shape = edge_shape(s);
    let nodes = seat.edges[edge].nodes;
    [0, 1, 2].map(|i| (seat.nodes[nodes[i]].node, shape[i]))
}

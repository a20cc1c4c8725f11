//! Limit loads of perfectly plastic metal: the least dissipation that `solver::collapse` finds, beside closed forms and
//! published factors.

use crate::check::{Check, compare};
use crate::model::{ModelError, plane_stress};
use crate::problem::{Outcome, Problem};
use crate::return_mapping::law::Law;
use crate::return_mapping::{Pushed, Spring};
use crate::sampled::at_nodes;
use crate::view::{Part, Shown, View};
use crate::yielding_cylinder;

use geometry::curve::Point;
use geometry::mesh::Mesh;
use solver::collapse::{Flow, Linear, Metal, least_dissipation};
use solver::plane::grid::grid;
use std::f64::consts::FRAC_PI_2;

/// All problems of collapse, in a fixed order.
#[must_use]
pub fn collapse() -> Vec<Problem> {
    vec![CANTILEVER, STRIP_WITH_HOLE, DOUBLE_NOTCH, yielding_cylinder::PROBLEM]
}

/// A plastic hinge.
pub const CANTILEVER: Problem = Problem {
    name: "cantilever-collapse",
    title: "limit load of a slender cantilever",
    source: "closed form, texts on plasticity: the plastic moment of a rectangle over its arm",
    run: || cantilever().map_err(|fault| fault.stops("cantilever-collapse")),
};

/// A section that a hole has weakened.
pub const STRIP_WITH_HOLE: Problem = Problem {
    name: "strip-with-hole-collapse",
    title: "limit load of a long strip with a round hole",
    source: "closed form: both limit theorems give the net section (a plain stress field below, inclined necks above); for a \
             square plate Gaydon and McCrum, 1954",
    run: || strip_with_hole().map_err(|fault| fault.stops("strip-with-hole-collapse")),
};

/// Metal between two notches, which hold it in.
pub const DOUBLE_NOTCH: Problem = Problem {
    name: "double-notch-collapse",
    title: "limit load of a strip with two sharp notches, deep and shallow",
    source: "Hill, on discontinuous plastic states, with special reference to localized necking in thin sheets, 1952; Ewing and \
             Richards, 1974 (from memory)",
    run: || double_notch().map_err(|fault| fault.stops("double-notch-collapse")),
};

/// Metal at its limit.
struct Collapsed {
    metal: Metal,
    flow: Flow,
}

impl Collapsed {
    fn of(metal: Metal) -> Result<Self, ModelError> {
        let mut linear = Linear::new(&metal.mesh, &metal.held)?;
        let flow = least_dissipation(&metal, &[], &mut linear)?;
        Ok(Self { metal, flow })
    }

    /// Power of the ends that move by one: their force.
    fn force(&self) -> f64 {
        self.flow.dissipation
    }

    /// The two sides of the programme beside each other.
    fn met(&self, case: &str) -> Check {
        const REASON: &str =
            "0.1 %: the programme ends where velocities and stress give the same force within 0.02 %";
        compare(
            format!("{case}force by the stress in weak equilibrium, over that by the velocities"),
            1.0,
            self.flow.dual / self.flow.dissipation,
            1e-3,
            REASON,
        )
    }

    /// The stress at the limit over the strength, with the forces on the driven nodes.
    fn view(&self, strength_mpa: f64, caption: &str) -> View {
        let over: Vec<[f64; 3]> = self.flow.stress.iter().map(|s| s.map(|x| x / strength_mpa)).collect();
        let all = self.metal.nodal_forces(&self.flow.stress);
        let driven: Vec<f64> = all
            .iter()
            .zip(&self.metal.driven)
            .map(|(force, driven)| if *driven == 0.0 { 0.0 } else { *force })
            .collect();
        let mut part = Part::new(&self.metal.mesh, &at_nodes(&self.metal, &over), &driven, Shown::VonMises);
        let held = |n: u32| {
            let unknowns = [2 * n as usize, 2 * n as usize + 1];
            unknowns.iter().any(|u| self.metal.held[*u] && self.metal.driven[*u] == 0.0)
        };
        part.held = part.edges.iter().copied().filter(|edge| edge.iter().all(|node| held(*node))).collect();
        View::of(vec![part], Shown::VonMises, caption).in_unit("over the strength: 1 where metal flows")
    }
}

fn cantilever() -> Result<Outcome, ModelError> {
    const LENGTH: f64 = 40.0;
    const DEPTH: f64 = 2.0;
    const BREADTH: f64 = 3.0;
    const STRENGTH: f64 = 250.0;
    let place = |p: Point| [LENGTH * p[0] * p[0].sqrt(), DEPTH * (p[1] - 0.5)];
    let mut metal = Metal::new(grid(60, 8, &place), &|_| BREADTH, STRENGTH);
    metal.hold(&|p| p[0] < 1e-9);
    metal.drive(&|p| p[0] > LENGTH - 1e-9, 1, 1.0);
    let found = Collapsed::of(metal)?;
    Ok(Outcome {
        checks: vec![
            compare(
                "force on the tip, N",
                STRENGTH * BREADTH * DEPTH * DEPTH / (4.0 * LENGTH),
                found.force(),
                0.03,
                "3 %: at twenty depths of arm shear takes nothing, the clamp holds the root from narrowing, and eight triangles \
                 share the depth",
            ),
            found.met(""),
        ],
        view: Some(
            found
                .view(STRENGTH, "Held at the left end, its tip pushed upward; a quarter of it, at the hinge.")
                .within([-0.2, -1.3], [0.25 * LENGTH, 1.3]),
        ),
        ..Outcome::default()
    })
}

/// Quarter of a strip of half width 1 and half length 2 with a hole of radius `r`.
pub(crate) fn quarter_with_hole_mesh(r: f64, [columns, rows]: [u32; 2]) -> Mesh {
    let corner = LONG.atan2(1.0);
    let place = |p: Point| {
        // Half of the rows end on the side, half on the far end; a line of nodes meets the corner.
        let angle = match p[1] {
            t if t <= 0.5 => 2.0 * t * corner,
            t => corner + (2.0 * t - 1.0) * (FRAC_PI_2 - corner),
        };
        let (sin, cos) = angle.sin_cos();
        let reach = (LONG / sin.max(f64::MIN_POSITIVE)).min(1.0 / cos.max(f64::MIN_POSITIVE));
        let radius = r + (reach - r) * p[0];
        [radius * cos, radius * sin]
    };
    grid(columns, rows, &place)
}

/// Its half length.
const LONG: f64 = 2.0;

/// The same of thickness and strength 1; the far end moves.
fn quarter_with_hole(r: f64, fineness: [u32; 2]) -> Metal {
    let mut metal = Metal::new(quarter_with_hole_mesh(r, fineness), &|_| 1.0, 1.0);
    metal.drive(&|p| p[0] < 1e-9, 0, 0.0);
    metal.drive(&|p| p[1] < 1e-9, 1, 0.0);
    metal.drive(&|p| p[1] > LONG - 1e-9, 1, 1.0);
    metal
}

/// The driven end drawn away in elastic and plastic steps, as far as two and a half times the way at which a plain strip yields:
/// its last force.
fn stepped(metal: &Metal) -> Result<f64, ModelError> {
    const E: f64 = 1000.0;
    /// Over the stiffness of the strip: the end that draws gives by less than 1e-4 of its way.
    const STIFF: f64 = 1e4;
    let mut metal = metal.clone();
    let end: Vec<u32> =
        (0..metal.mesh.points.len() as u32).filter(|n| metal.driven[2 * *n as usize + 1] != 0.0).collect();
    for node in &end {
        metal.held[2 * *node as usize + 1] = false;
        metal.driven[2 * *node as usize + 1] = 0.0;
    }
    let law = Law { elastic: plane_stress(E, 0.3), strength_mpa: 1.0 };
    let rest = vec![0.0; metal.held.len()];
    let mut body = Pushed::new(metal, law)?;
    let mut force = 0.0;
    // Steps short enough for Newton's method, which has little stiffness left to go by.
    for k in 0..40 {
        let part = 0.5 + 0.05 * f64::from(k);
        // Over the half length of 2, as a part of the strain at which a plain strip yields.
        let travel_mm = part * 2.0 / E;
        let springs: Vec<Spring> = end
            .iter()
            .map(|node| Spring { node: *node, normal: [0.0, 1.0], stiffness: STIFF * E, travel_mm })
            .collect();
        body.step(&rest, &springs)?;
        force = springs.iter().map(|s| s.force(&body.displacements)).sum();
    }
    Ok(force)
}

fn strip_with_hole() -> Result<Outcome, ModelError> {
    let mut outcome = Outcome::default();
    for ratio in [0.2, 0.4, 0.6] {
        let found = Collapsed::of(quarter_with_hole(ratio, [16, 32]))?;
        outcome.checks.push(compare(
            format!("hole/width {ratio}: mean stress far away over the strength"),
            1.0 - ratio,
            found.force(),
            0.02,
            "2 %: velocities give a force from above, and necks run along triangles of finite width",
        ));
        outcome.checks.push(found.met(&format!("hole/width {ratio}: ")));
        if ratio == 0.4 {
            let coarse = Collapsed::of(quarter_with_hole(ratio, [8, 16]))?;
            outcome.checks.push(compare(
                "hole/width 0.4, coarser mesh: force after elastic and plastic steps, over that of the least dissipation",
                1.0,
                stepped(&coarse.metal)? / coarse.force(),
                2e-3,
                "0.2 %: the same elements by a method that shares nothing but them; the steps come to the limit from below",
            ));
            const CAPTION: &str =
                "Hole of 0.4 of the width, the ends drawn apart as one; a quarter is solved.";
            outcome.view = Some(found.view(1.0, CAPTION).mirrored_in_x().mirrored_in_y());
        }
    }
    Ok(outcome)
}

/// Quarter of a strip of half width 1 and half length 2 with notches of `depth` from its sides.
fn quarter_with_notch_mesh(depth: f64) -> Mesh {
    const COLUMNS: u32 = 40;
    let net = 1.0 - depth;
    let all = f64::from(COLUMNS);
    let ligament = (all * net).round();
    // A line of nodes meets the tip of the notch.
    let across = |p: f64| {
        let i = p * all;
        if i <= ligament { net * i / ligament } else { net + depth * (i - ligament) / (all - ligament) }
    };
    let place = |p: Point| [across(p[0]), LONG * p[1] * p[1].sqrt()];
    grid(COLUMNS, 48, &place)
}

/// The same of thickness and strength 1; the far end moves.
fn quarter_with_notch(depth: f64) -> Metal {
    let mut metal = Metal::new(quarter_with_notch_mesh(depth), &|_| 1.0, 1.0);
    metal.drive(&|p| p[0] < 1e-9, 0, 0.0);
    metal.drive(&|p| p[1] < 1e-9 && p[0] < 1.0 - depth + 1e-9, 1, 0.0);
    metal.drive(&|p| p[1] > LONG - 1e-9, 1, 1.0);
    metal
}

fn double_notch() -> Result<Outcome, ModelError> {
    let mut outcome = Outcome::default();
    for (depth, expected) in [(0.5, 2.0 / 3.0_f64.sqrt()), (0.15, 1.0 + 0.54 * 0.15)] {
        let found = Collapsed::of(quarter_with_notch(depth))?;
        outcome.checks.push(compare(
            format!("notch {depth} of the half width: stress on the net section over the strength"),
            expected,
            found.force() / (1.0 - depth),
            0.03,
            "3 %: the flow gathers at the tip in triangles of finite size; the shallow formula is a fit",
        ));
        outcome.checks.push(found.met(&format!("notch {depth}: ")));
        outcome.view.get_or_insert_with(|| {
            found
                .view(
                    1.0,
                    "Notches of half the half width, the ends drawn apart as one; a quarter is solved.",
                )
                .mirrored_in_x()
                .mirrored_in_y()
                .within([-1.0, -1.2], [1.0, 1.2])
        });
    }
    Ok(outcome)
}

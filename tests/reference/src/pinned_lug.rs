//! A lug on a closely fitting pin: the greatest stress at the hole.
//!
//! The numbers were measured on loaded models, so on pins with friction, and friction counts: it pulls the sides of the hole
//! along with the pin. Under a load that only grows the hole's edge is drawn away from where it presses most, so the whole
//! contact slides one way and the friction is a known part of the pressure; pressures and friction are found in turn, each
//! from the other, which settles within a few rounds.
//!
//! The source gives no coefficient. The value here is an ordinary one of metal on resin, the same for all widths; what a pin
//! without friction gives, as the contact of connectors is computed, is printed beside it.

use crate::check::compare;
use crate::model::{ModelError, nodes_on, plane_stress};
use crate::pressing::{Balance, Row, compliance_of, node_row};
use crate::problem::{Outcome, Problem};
use crate::shapes::{FOOT, INNER, ON_Y, RIGHT, TOP, arc, graded, line, mesh, within};
use crate::view::{Part, Shown, View};
use solver::plane::{Body, Elastic, Factor, Recovery};
use std::f64::consts::FRAC_PI_2;

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "pinned-lug",
    title: "lug with a long end on a closely fitting pin: greatest stress at the hole",
    source: "Frocht and Hill, stress concentration factors around a central circular hole in a plate loaded through pin in \
             the hole, 1940 (photoelastic); fits to it after Peterson",
    run: || run().map_err(|fault| fault.stops("pinned-lug")),
};

const RADIUS: f64 = 1.0;
/// A resin as of photoelastic models; a metal pin is rigid beside it.
const LUG: Elastic = plane_stress(2500.0, 0.36);
const FRICTION: f64 = 0.2;
/// Edges per radian of the hole.
const PER_RADIAN: f64 = 40.0;
/// Hole centre to the free end over the width: long.
const END: f64 = 1.5;
/// Rounds of friction after pressure; each leaves about a fifth of the change of the one before.
const ROUNDS: usize = 8;

/// Hole over width, with the greatest stress over net and over bearing stress.
const TABLE: [(f64, f64, f64); 4] =
    [(0.2, 5.52, 1.357), (0.3, 3.75, 1.634), (0.4, 2.85, 1.971), (0.5, 2.51, 2.545)];

/// The half of a lug with x positive, held far above; the pin presses downward, toward the free end.
struct Lug {
    body: Body,
    factor: Factor,
    rows: Vec<Row>,
    compliance: Vec<f64>,
}

impl Lug {
    /// `ratio`: hole over width.
    fn new(ratio: f64) -> Result<Self, ModelError> {
        let width = 2.0 * RADIUS / ratio;
        let (half, below, above) = (0.5 * width, -END * width, 3.0 * width);
        let region = within(vec![
            line([0.0, below], [half, below], FOOT),
            line([half, below], [half, above], RIGHT),
            line([half, above], [0.0, above], TOP),
            line([0.0, above], [0.0, RADIUS], ON_Y),
            arc([0.0; 2], RADIUS, FRAC_PI_2, -FRAC_PI_2, INNER),
            line([0.0, -RADIUS], [0.0, below], ON_Y),
        ]);
        let mesh = mesh(&region, &graded([0.0; 2], RADIUS, RADIUS / PER_RADIAN, 0.25, 0.2 * width))?;
        let mut held: Vec<u32> = nodes_on(&mesh, ON_Y).iter().map(|n| 2 * n).collect();
        held.extend(nodes_on(&mesh, TOP).iter().map(|n| 2 * n + 1));
        // Neat from the lowest point to a little beyond a quarter turn, where it cannot press any more.
        let rows: Vec<Row> = nodes_on(&mesh, INNER)
            .into_iter()
            .map(|node| (node, mesh.points[node as usize]))
            .filter(|(_, at)| at[1] < 0.2 * RADIUS)
            .map(|(node, at)| node_row(node, at, at.map(|c| c / RADIUS), 0.0))
            .collect();
        let body = Body::new(mesh, &|_| 1.0, &|_| false, LUG)?;
        let factor = Factor::new(&body, &held)?;
        Ok(Self { compliance: compliance_of(&factor, &rows), body, factor, rows })
    }

    /// Greatest stress around the hole for a unit bearing stress, and the lug under it.
    fn greatest(&self, friction: f64) -> Result<(f64, Part), ModelError> {
        // Half of the pull, on half of the diameter.
        let pull = RADIUS;
        let mut drag = vec![0.0; self.body.unknowns()];
        let mut load = drag.clone();
        for _ in 0..ROUNDS {
            let dragged = self.factor.solve(&drag);
            let gaps: Vec<f64> = self
                .rows
                .iter()
                .map(|row| row.body.iter().map(|(i, w)| w * dragged[*i as usize]).sum())
                .collect();
            let mut balance = Balance::default();
            let down = -drag.iter().skip(1).step_by(2).sum::<f64>();
            balance.add(self.rows.iter().map(|r| r.normal[1]), down - pull);
            let forces = balance.forces(&self.compliance, &gaps)?;
            load.clone_from(&drag);
            drag.fill(0.0);
            for (row, force) in self.rows.iter().zip(&forces) {
                // Toward the lowest point.
                let along = [row.normal[1], -row.normal[0]];
                for ((unknown, weight), along) in row.body.iter().zip(along) {
                    load[*unknown as usize] += force * weight;
                    drag[*unknown as usize] += friction * force * along;
                }
            }
            if friction == 0.0 {
                break;
            }
        }
        let u = self.factor.solve(&load);
        let mesh = self.body.mesh();
        let stress = Recovery::new(&self.body, &|_| 0).nodal_stress(&self.body, &u);
        let around = |node: u32| {
            let [x, y] = mesh.points[node as usize].map(|c| c / RADIUS);
            let [xx, yy, xy] = stress[node as usize];
            y * y * xx + x * x * yy - 2.0 * x * y * xy
        };
        let greatest = nodes_on(mesh, INNER).into_iter().map(around).fold(f64::NEG_INFINITY, f64::max);
        Ok((greatest, Part::new(mesh, &stress, &load, Shown::Principal)))
    }
}

fn picture(part: Part, ratio: f64) -> View {
    let half = RADIUS / ratio;
    let caption = format!(
        "Hole over width {ratio}. Arrows: pressure and friction of the pin, which is pulled down; the lug is held far above, \
         half of it is solved."
    );
    View::of(vec![part], Shown::Principal, caption)
        .mirrored_in_x()
        .within([-half, -2.0 * END * half], [half, half])
        .with_pin([0.0; 2], RADIUS)
        .in_unit("over the bearing stress")
}

fn run() -> Result<Outcome, ModelError> {
    const MEASURED: &str =
        "8 %: photoelastic readings, whose two fits differ by 2 %, and a friction that was not measured";
    let mut outcome = Outcome::default();
    for (ratio, on_net, on_bearing) in TABLE {
        let lug = Lug::new(ratio)?;
        let (stress, part) = lug.greatest(FRICTION)?;
        outcome.view = Some(picture(part, ratio));
        let net = (1.0 - ratio) / ratio;
        let mut check = |nominal: &str, expected, got| {
            let quantity = format!("hole/width {ratio}, friction {FRICTION}: stress over {nominal} stress");
            outcome.checks.push(compare(quantity, expected, got, 0.08, MEASURED));
        };
        check("net", on_net, stress * net);
        check("bearing", on_bearing, stress);
        let (smooth, _) = lug.greatest(0.0)?;
        outcome.remarks.push(format!(
            "hole/width {ratio}: without friction {:.2} on net stress, {:+.1} % off the measured one; {smooth:.3} on bearing \
             stress, {:+.1} % off",
            smooth * net,
            100.0 * (smooth * net / on_net - 1.0),
            100.0 * (smooth / on_bearing - 1.0),
        ));
    }
    Ok(outcome)
}

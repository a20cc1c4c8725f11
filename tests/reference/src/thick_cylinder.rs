//! A thick cylinder held along its axis, from compressible to nearly incompressible: no locking.

use crate::check::compare;
use crate::model::{Model, ModelError, plane_strain};
use crate::problem::{Outcome, Problem};
use crate::shapes::on_quarter_ring;
use crate::view::Shown;
use solver::plane::grid::{BOTTOM, LEFT, TOP, grid};

/// The problem.
pub const PROBLEM: Problem = Problem {
    name: "thick-cylinder",
    title: "thick cylinder in plane strain under inner pressure, nearly incompressible",
    source: "MacNeal and Harder, a proposed standard set of problems to test finite element accuracy, 1985",
    run: || run().map_err(|fault| fault.stops("thick-cylinder")),
};

const RI: f64 = 3.0;
const RO: f64 = 9.0;
const PUBLISHED: [(f64, f64); 4] =
    [(0.3, 4.58250e-3), (0.49, 5.03993e-3), (0.499, 5.06025e-3), (0.4999, 5.06227e-3)];

fn run() -> Result<Outcome, ModelError> {
    let mut outcome = Outcome::default();
    for (nu, expected) in PUBLISHED {
        let mut model =
            Model::plate(grid(18, 27, &|p| on_quarter_ring(RI, RO, p)), 1.0, plane_strain(1000.0, nu))?;
        model.hold(BOTTOM, 1, &|_| 0.0);
        model.hold(TOP, 0, &|_| 0.0);
        model.load(LEFT, &|_, n| n.map(|n| -n));
        let solved = model.solve()?;
        let got = solved.displacement_at([RI, 0.0])?[0];
        outcome.view.get_or_insert_with(|| {
            solved
                .view(
                    Shown::Around,
                    "Poisson's ratio 0.3, pressed outward along its bore; a quarter is solved.",
                )
                .mirrored_in_x()
                .mirrored_in_y()
                .reading_at(&[[RI, 0.0]])
                .in_unit("over the pressure")
        });
        outcome.checks.push(compare(
            format!("radial displacement of the inner edge, Poisson's ratio {nu}"),
            expected,
            got,
            0.005,
            "0.5 %: quadratic elements slow down near incompressibility, but must not lock",
        ));
    }
    Ok(outcome)
}

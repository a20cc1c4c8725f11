//! Stress at one point of metal that yields.

use super::driven::{NU, STRENGTH, law};
use crate::check::compare;
use crate::problem::{Outcome, Problem};
use solver::plastic::{Hardening, Memory};

/// The problem.
pub const POINT: Problem = Problem {
    name: "yield-at-a-point",
    title: "one point of metal: yield after von Mises in plane stress, and a curve after Ramberg and Osgood",
    source: "by definition of von Mises stress; Ramberg and Osgood, Description of stress-strain curves by three parameters, 1943, with \
             constants of 7075-T6 from Dowling, Mechanical Behavior of Materials, table 14.1 (from memory)",
    run: || Ok(point()),
};

fn point() -> Outcome {
    const EXACT: &str = "1e-6: a definition";
    let law = law();
    let moduli = law.elastic.moduli();
    // Far beyond yield in small steps; the stress that stays.
    let end = |direction: [f64; 3]| {
        let mut memory = Memory::default();
        let mut stress = [0.0; 3];
        for step in 1..=4000 {
            let point = law.at(&memory, direction.map(|e| f64::from(step) * 2e-5 * e));
            (memory, stress) = (point.memory, point.stress);
        }
        stress
    };
    let aside = (1.0 - NU + NU * NU).sqrt().recip();
    // The strain at which it yields first with the strain beside held, found by halving.
    let (mut low, mut high) = (0.0, 0.01);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let yields = law.at(&Memory::default(), [middle, 0.0, 0.0]).memory.accumulated > 0.0;
        if yields { high = middle } else { low = middle }
    }
    let curve = Hardening::RambergOsgood { strength_mpa: 977.0, exponent: 0.106 };
    let strain = |stress: f64| curve.strain_at(stress, 71_000.0).unwrap_or(f64::NAN);
    let over = |stress: f64| stress / STRENGTH;
    Outcome {
        checks: vec![
            compare(
                "pulled alike in both directions, stress over the strength",
                1.0,
                over(end([1.0, 1.0, 0.0])[0]),
                1e-6,
                EXACT,
            ),
            compare(
                "shear stress over the strength",
                3.0_f64.sqrt().recip(),
                over(end([0.0, 0.0, 1.0])[2]),
                1e-6,
                EXACT,
            ),
            compare(
                "strain beside held, first yield: stress over the strength",
                aside,
                over(moduli.direct * low),
                1e-6,
                EXACT,
            ),
            compare(
                "strain beside held, limit: stress over the strength",
                2.0 / 3.0_f64.sqrt(),
                over(end([1.0, 0.0, 0.0])[0]),
                1e-6,
                EXACT,
            ),
            compare(
                "7075-T6, strain at 400 MPa",
                0.005_853_2,
                strain(400.0),
                1e-5,
                "1e-5: the digits of the derived value",
            ),
            compare(
                "7075-T6, strain at 500 MPa",
                0.008_842_9,
                strain(500.0),
                1e-5,
                "1e-5: the digits of the derived value",
            ),
        ],
        ..Outcome::default()
    }
}

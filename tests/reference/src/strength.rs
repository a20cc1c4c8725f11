//! Hand calculations of pins, lugs and sections: the formulas that limits are made of, beside published worked numbers.

use crate::check::compare;
use crate::problem::{Outcome, Problem};
use solver::sections::SectionLimit;
use solver::strength::{Lug, bending_arm_mm, bending_yield_n, double_shear_n};
use std::f64::consts::PI;

/// All strength problems, in a fixed order.
#[must_use]
pub fn strength() -> Vec<Problem> {
    vec![PIN, LUG, PIN_CONNECTED_PLATE, SHAPE_FACTORS, BENDING_AND_PULL]
}

/// A pin between two walls.
pub const PIN: Problem = Problem {
    name: "pin-in-double-shear",
    title: "pin of a fork: double shear and bending",
    source: "shear: closed form, texts on machine design; bending: lug method, Bruhn, Analysis and Design of Flight Vehicle \
             Structures, D1 (from memory)",
    run: || Ok(pin()),
};

fn pin() -> Outcome {
    const FORCE: f64 = 20_000.0;
    const DIAMETER: f64 = 8.0;
    let arm = bending_arm_mm(5.0, 10.0, 0.5);
    // The force at which a strength is used up, turned round: the stress of a given force.
    let shear = FORCE / double_shear_n(DIAMETER, 1.0);
    let bending = FORCE / bending_yield_n(DIAMETER, arm, 1.0);
    let section = SectionLimit::new(DIAMETER, &|s| 2.0 * (s * (DIAMETER - s)).max(0.0).sqrt());
    let shape = section.plastic_modulus_mm3() / section.elastic_modulus_mm3();
    Outcome {
        checks: vec![
            compare("mean shear stress, MPa", 198.94, shear, 3e-5, "the number is rounded to five figures"),
            compare("moment at the middle, N mm", 55_000.0, 0.5 * FORCE * arm, 1e-12, "exact"),
            compare("elastic bending stress, MPa", 1094.0, bending, 5e-4, "rounded to four figures"),
            compare("plastic over elastic moment", 1.698, shape, 5e-4, "rounded to four figures"),
        ],
        ..Outcome::default()
    }
}

/// A lug's tear-out areas.
pub const LUG: Problem = Problem {
    name: "lug-tear-out",
    title: "lug: area torn out by the least form and by the form with 40 degrees",
    source: "lug method, Bruhn, Analysis and Design of Flight Vehicle Structures, D1 (from memory)",
    run: || Ok(lug()),
};

fn lug() -> Outcome {
    let lug = Lug { thickness_mm: 10.0, end_mm: 16.0, hole_mm: 12.0, pin_mm: 12.0, width_mm: 32.0 };
    Outcome {
        checks: vec![
            compare("least form, mm^2", 200.0, lug.least_tear_out_mm2(), 1e-12, "exact"),
            compare(
                "form with 40 degrees, mm^2",
                228.07,
                lug.tear_out_mm2(),
                3e-5,
                "rounded to five figures",
            ),
            compare("net area across the hole, mm^2", 200.0, lug.net_mm2(), 1e-12, "exact"),
            compare("area that the pin presses on, mm^2", 120.0, lug.bearing_mm2(), 1e-12, "exact"),
        ],
        ..Outcome::default()
    }
}

/// A pin-connected plate of the building code.
pub const PIN_CONNECTED_PLATE: Problem = Problem {
    name: "pin-connected-plate",
    title: "pin-connected plate: net rupture and bearing, in kip and inch",
    source: "ANSI/AISC 360, section D5, with its design example D.7",
    run: || Ok(pin_connected_plate()),
};

fn pin_connected_plate() -> Outcome {
    const YIELD: f64 = 36.0;
    const ULTIMATE: f64 = 58.0;
    let (thickness, hole, pin, past_hole, width) = (0.5, 1.03, 1.0, 2.25, 4.25);
    // The code counts on no more than this much net width on each side of the hole.
    let effective = (2.0 * thickness + 0.63_f64).min(0.5 * (width - hole));
    let lug = Lug {
        thickness_mm: thickness,
        end_mm: past_hole + 0.5 * hole,
        hole_mm: hole,
        pin_mm: pin,
        width_mm: hole + 2.0 * effective,
    };
    const REASON: &str = "0.5 %: the example rounds its areas";
    let forms = [lug.least_tear_out_mm2(), lug.tear_out_mm2()].map(|area| 0.6 * ULTIMATE * area);
    Outcome {
        checks: vec![
            compare(
                "rupture over the effective net width, kip",
                93.4,
                ULTIMATE * lug.net_mm2(),
                5e-3,
                REASON,
            ),
            compare("bearing, kip", 32.4, 1.8 * YIELD * lug.bearing_mm2(), 5e-3, REASON),
        ],
        remarks: vec![format!(
            "shear-out by the two forms of the lug method: {:.1} and {:.1} kip, below the code's 95.7",
            forms[0], forms[1]
        )],
        ..Outcome::default()
    }
}

/// Plastic over elastic moment of four sections.
pub const SHAPE_FACTORS: Problem = Problem {
    name: "shape-factors",
    title: "plastic over elastic moment of a rectangle, a round, a diamond and a thin tube",
    source: "closed form, texts on plasticity",
    run: || Ok(shape_factors()),
};

fn shape_factors() -> Outcome {
    let of = |depth: f64, chord: &dyn Fn(f64) -> f64| {
        let section = SectionLimit::new(depth, chord);
        section.plastic_modulus_mm3() / section.elastic_modulus_mm3()
    };
    let round = |s: f64, r: f64| 2.0 * (s * (2.0 * r - s)).max(0.0).sqrt();
    let tube = |s: f64| round(s, 10.0) - if (0.05..19.95).contains(&s) { round(s - 0.05, 9.95) } else { 0.0 };
    const REASON: &str = "2e-4: 240 fibres through the depth";
    Outcome {
        checks: vec![
            compare("rectangle", 1.5, of(10.0, &|_| 6.0), 2e-4, REASON),
            compare("solid round", 16.0 / (3.0 * PI), of(12.0, &|s| round(s, 6.0)), 2e-4, REASON),
            compare("diamond", 2.0, of(10.0, &|s| 5.0 - (s - 5.0).abs()), 2e-4, REASON),
            compare(
                "thin tube",
                4.0 / PI,
                of(20.0, &tube),
                2e-2,
                "2 %: the wall is a 200th of the diameter thick, a few fibres",
            ),
        ],
        ..Outcome::default()
    }
}

/// Bending and axial force together.
pub const BENDING_AND_PULL: Problem = Problem {
    name: "bending-and-pull",
    title: "section limit under axial force and moment together",
    source: "closed form, texts on plasticity",
    run: || Ok(bending_and_pull()),
};

fn bending_and_pull() -> Outcome {
    let at_half = |depth: f64, chord: &dyn Fn(f64) -> f64| {
        let section = SectionLimit::new(depth, chord);
        section.moment_at_mm3(0.5 * section.area_mm2()) / section.plastic_modulus_mm3()
    };
    const REASON: &str = "1e-3: 240 fibres through the depth, straight lines between";
    Outcome {
        checks: vec![
            compare("rectangle at half its axial limit", 0.75, at_half(10.0, &|_| 6.0), 1e-3, REASON),
            compare(
                "solid round at half its axial limit",
                0.7655,
                at_half(12.0, &|s| 2.0 * (s * (12.0 - s)).max(0.0).sqrt()),
                1e-3,
                REASON,
            ),
        ],
        ..Outcome::default()
    }
}

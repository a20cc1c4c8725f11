use super::*;
use crate::plane::grid::{LEFT, RIGHT, grid};
use crate::plane::loads::edges_on;
use crate::plane::{Elastic, PlaneState};
use crate::plastic::Hardening;
use geometry::region::Stretch;

const ALUMINIUM: Elastic =
    Elastic { youngs_modulus_mpa: 71_700.0, poisson_ratio: 0.33, state: PlaneState::Stress };
/// So strong that it stays elastic.
const STRONG: Hardening = Hardening::Perfect { yield_mpa: 1e9 };

fn nodes_on(body: &Body, stretch: Stretch) -> Vec<u32> {
    let mut nodes: Vec<u32> = edges_on(body.mesh(), stretch).flat_map(|edge| edge.nodes).collect();
    nodes.sort_unstable();
    nodes.dedup();
    nodes
}

fn bar(columns: u32, rows: u32, length: f64, depth: f64) -> Body {
    let mesh = grid(columns, rows, &|p| [length * p[0], depth * (p[1] - 0.5)]);
    Body::new(mesh, &|_| 1.0, &|_| false, ALUMINIUM).unwrap()
}

/// Slope and place of the tip of an inextensible cantilever, length one, under an end force across it: by many small straight pieces from
/// the tip, with the slope at the tip found by halving.
fn elastica(force: f64) -> [f64; 2] {
    const PIECES: usize = 20_000;
    let shoot = |slope: f64| {
        // Bending stiffness one: the change of slope along the bar is the moment. From the tip backwards, midpoint rule.
        let ds = 1.0 / PIECES as f64;
        let (mut angle, mut moment, mut x, mut y) = (slope, 0.0, 0.0, 0.0);
        for _ in 0..PIECES {
            let half = angle - 0.5 * ds * moment;
            let middle = moment + 0.5 * ds * force * half.cos();
            x += ds * half.cos();
            y += ds * half.sin();
            moment += ds * force * half.cos();
            angle -= ds * middle;
        }
        (angle, x, y)
    };
    let (mut low, mut high) = (0.0, 1.5);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if shoot(middle).0 > 0.0 { high = middle } else { low = middle }
    }
    let (_, x, y) = shoot(0.5 * (low + high));
    [1.0 - x, y]
}

#[test]
fn the_elastica_of_the_test_is_the_tabulated_one() {
    // Bisshopp and Drucker, "Large deflection of cantilever beams", 1945; figures from memory: force P L^2 / E I, shortening, deflection.
    for (force, across, along) in
        [(1.0, 0.301_72, 0.056_43), (2.0, 0.493_46, 0.160_64), (10.0, 0.810_61, 0.555_00)]
    {
        let [shortened, deflected] = elastica(force);
        assert!(
            (deflected - across).abs() < 2e-4 && (shortened - along).abs() < 2e-4,
            "{force}: {deflected} {shortened}"
        );
    }
}

#[test]
fn a_cantilever_under_an_end_force_follows_the_elastica() {
    let (length, depth) = (100.0, 2.0);
    let body = bar(50, 1, length, depth);
    let stiffness = ALUMINIUM.youngs_modulus_mpa * depth.powi(3) / 12.0;
    let held: Vec<u32> = nodes_on(&body, LEFT).iter().flat_map(|n| [2 * n, 2 * n + 1]).collect();
    let tip = nodes_on(&body, RIGHT);
    let mut deformed =
        Deformed::new(&body, Law { elastic: ALUMINIUM, hardening: STRONG }, Motion::Large, &held).unwrap();
    let zero = vec![0.0; held.len()];
    for quarter in 1..=20 {
        let force = 0.1 * f64::from(quarter);
        let mut dead = vec![0.0; body.unknowns()];
        // Shear over the depth like a parabola: a sixth, two thirds, a sixth on one edge's nodes.
        for (node, part) in tip.iter().zip([1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0]) {
            dead[2 * *node as usize + 1] = part * force * stiffness / (length * length);
        }
        deformed.step(&zero, &Dead(dead), Settling::default()).unwrap();
        if quarter % 10 == 0 {
            let [shortened, deflected] = elastica(force);
            let middle = tip[1] as usize;
            let [u, v] = [deformed.displacements()[2 * middle], deformed.displacements()[2 * middle + 1]];
            assert!((v / length / deflected - 1.0).abs() < 5e-3, "{force}: {} {deflected}", v / length);
            assert!((-u / length / shortened - 1.0).abs() < 5e-3, "{force}: {} {shortened}", -u / length);
        }
    }
}

#[test]
fn a_cantilever_bent_into_a_circle_needs_a_moment_alone() {
    let (length, depth) = (100.0, 2.0);
    let body = bar(100, 1, length, depth);
    let stiffness = ALUMINIUM.youngs_modulus_mpa * depth.powi(3) / 12.0;
    let [left, tip] = [LEFT, RIGHT].map(|side| nodes_on(&body, side));
    let driven: Vec<u32> = left.iter().chain(&tip).flat_map(|n| [2 * n, 2 * n + 1]).collect();
    let mut deformed =
        Deformed::new(&body, Law { elastic: ALUMINIUM, hardening: STRONG }, Motion::Large, &driven).unwrap();
    let points = &body.mesh().points;
    for step in 1..=40 {
        let angle = 2.0 * std::f64::consts::PI * f64::from(step) / 40.0;
        let radius = length / angle;
        let values: Vec<f64> = left
            .iter()
            .map(|_| [0.0, 0.0])
            .chain(tip.iter().map(|n| {
                let p = points[*n as usize];
                let from_middle = radius - p[1];
                [from_middle * angle.sin() - p[0], radius - from_middle * angle.cos() - p[1]]
            }))
            .flatten()
            .collect();
        deformed.step(&values, &Nothing, Settling { close: 1e-8, most: 40 }).unwrap();
        if step % 10 == 0 {
            let centre = [radius * angle.sin(), radius * (1.0 - angle.cos())];
            let (mut moment, mut force) = (0.0, [0.0; 2]);
            for n in &tip {
                let n = *n as usize;
                let (u, f) = (deformed.displacements(), deformed.forces());
                let at = [points[n][0] + u[2 * n] - centre[0], points[n][1] + u[2 * n + 1] - centre[1]];
                moment += at[0] * f[2 * n + 1] - at[1] * f[2 * n];
                force = [force[0] + f[2 * n], force[1] + f[2 * n + 1]];
            }
            let wanted = stiffness * angle / length;
            assert!((moment / wanted - 1.0).abs() < 5e-3, "{angle}: {moment} {wanted}");
            assert!(force[0].hypot(force[1]) * length < 0.05 * wanted, "{angle}: {force:?}");
        }
    }
}

#[test]
fn a_bar_pulled_by_a_fifth_follows_its_curve_and_iterations_are_quadratic() {
    let body = bar(4, 2, 20.0, 6.0);
    // Of so much hardening that it does not neck before a fifth.
    let hardening = Hardening::Swift { yield_mpa: 503.0, offset: 0.002, exponent: 0.25 };
    let law = Law { elastic: ALUMINIUM, hardening };
    // Pulled along, free to contract: the left side held along, one node of it across.
    let [left, right] = [LEFT, RIGHT].map(|side| nodes_on(&body, side));
    let driven: Vec<u32> = left.iter().chain(&right).map(|n| 2 * n).chain([2 * left[0] + 1]).collect();
    let mut deformed = Deformed::new(&body, law.clone(), Motion::Large, &driven).unwrap();
    let mut heat = 0.0;
    for step in 1..=20 {
        let stretch = 0.01 * f64::from(step) * 20.0;
        let values: Vec<f64> =
            left.iter().map(|_| 0.0).chain(right.iter().map(|_| stretch)).chain([0.0]).collect();
        let made = deformed.step(&values, &Nothing, Settling { close: 1e-11, most: 25 }).unwrap();
        assert!(made.dissipated >= 0.0);
        heat += made.dissipated;
        // Once near, each iteration squares what is left (until rounding).
        let r = &made.residuals;
        for pair in r.windows(2) {
            if pair[0] < 1e-3 && pair[0] > 1e-7 {
                assert!(pair[1] < 100.0 * pair[0] * pair[0] + 1e-11, "step {step}: {r:?}");
            }
        }
        let force: f64 = right.iter().map(|n| deformed.forces()[2 * *n as usize]).sum();
        let strain = (1.0 + stretch / 20.0).ln();
        let accumulated = deformed.memories()[0].accumulated;
        // The stress that works on the logarithmic strain is per undeformed volume: force times the stretched length over the volume.
        let stress = law.hardening.at(accumulated).stress_mpa;
        assert!((accumulated + stress / ALUMINIUM.youngs_modulus_mpa - strain).abs() < 1e-8, "step {step}");
        let wanted = stress * 6.0 / (1.0 + stretch / 20.0);
        assert!((force / wanted - 1.0).abs() < 1e-8, "step {step}: {force} {wanted}");
    }
    // Heat is the area under the curve of plastic strain, up to the steps.
    assert!(heat > 0.0);
    // Unloading is elastic: half a hundredth back leaves no more behind, and the way down is Young's modulus.
    let (before, memories) = (deformed.forces().to_vec(), deformed.memories().to_vec());
    let values: Vec<f64> =
        left.iter().map(|_| 0.0).chain(right.iter().map(|_| 4.0 - 0.02)).chain([0.0]).collect();
    deformed.step(&values, &Nothing, Settling::default()).unwrap();
    assert_eq!(deformed.memories(), memories);
    let sum = |forces: &[f64]| right.iter().map(|n| forces[2 * *n as usize]).sum::<f64>();
    assert!(sum(deformed.forces()) < sum(&before));
}

#[test]
fn a_step_that_cannot_be_made_leaves_the_body_as_it_was() {
    let body = bar(4, 2, 20.0, 6.0);
    let law = Law { elastic: ALUMINIUM, hardening: Hardening::Perfect { yield_mpa: 300.0 } };
    let held: Vec<u32> = nodes_on(&body, LEFT).iter().flat_map(|n| [2 * n, 2 * n + 1]).collect();
    let mut deformed = Deformed::new(&body, law, Motion::Large, &held).unwrap();
    let mut dead = vec![0.0; body.unknowns()];
    for n in nodes_on(&body, RIGHT) {
        // Twice what the bar holds.
        dead[2 * n as usize] = 2.0 * 300.0 * 6.0 / 5.0;
    }
    let error = deformed.step(&vec![0.0; held.len()], &Dead(dead), Settling::default()).unwrap_err();
    assert!(
        matches!(error, NoStep::GivesWay | NoStep::Unsettled { .. } | NoStep::Folded { .. }),
        "{error:?}"
    );
    assert!(deformed.displacements().iter().all(|u| *u == 0.0));
}

#[test]
fn metal_between_notches_comes_to_its_limit_in_long_steps() {
    const STEPS: usize = 8;
    let small = between_notches(Motion::Small, STEPS);
    // Hill, 1952: 2 / sqrt 3 on the net section; from above by a mesh as coarse as this.
    let over = small[STEPS - 1] * 0.75_f64.sqrt();
    assert!((1.0..1.04).contains(&over), "{over}");
    assert!((small[STEPS - 1] / small[STEPS - 3] - 1.0).abs() < 1e-4, "{small:?}");
    // Where its necks may thin it never gets there, and lets go without a jump.
    let large = between_notches(Motion::Large, STEPS);
    assert!(large.iter().zip(&small).all(|(large, small)| *large < 1.001 * small), "{large:?} {small:?}");
    assert!(large[3..].windows(2).all(|pair| (0.9..1.0).contains(&(pair[1] / pair[0]))), "{large:?}");
}

/// Stress on the net section over the strength after each step.
fn between_notches(motion: Motion, steps: usize) -> Vec<f64> {
    // A quarter of a strip of half width one with notches of half of that; perfectly plastic, its far end drawn away.
    let across = |part: f64| {
        let from_tip = 2.0 * part - 1.0;
        0.5 + 0.5 * from_tip.signum() * from_tip.abs().powf(1.3)
    };
    let mesh = grid(12, 12, &|p| [across(p[0]), 2.0 * p[1].powf(1.5)]);
    let body = Body::new(mesh, &|_| 1.0, &|_| false, ALUMINIUM).unwrap();
    let mut ways = Vec::new();
    for (node, p) in (0..).zip(&body.mesh().points) {
        if p[0] < 1e-9 {
            ways.push((2 * node, 0.0));
        }
        if p[1] < 1e-9 && p[0] < 0.5 + 1e-9 {
            ways.push((2 * node + 1, 0.0));
        }
        if p[1] > 2.0 - 1e-9 {
            ways.push((2 * node + 1, 1.0));
        }
    }
    let driven: Vec<u32> = ways.iter().map(|way| way.0).collect();
    let law = Law { elastic: ALUMINIUM, hardening: Hardening::Perfect { yield_mpa: 300.0 } };
    let mut deformed = Deformed::new(&body, law, motion, &driven).unwrap();
    let force = |deformed: &Deformed<'_>| {
        ways.iter().map(|(unknown, way)| way * deformed.forces()[*unknown as usize]).sum::<f64>()
    };
    (1..=steps)
        .map(|step| {
            // Three tenths of the way on which a plain strip strains to its yield.
            let to = 0.3 * step as f64 * 2.0 * 300.0 / ALUMINIUM.youngs_modulus_mpa;
            let values: Vec<f64> = ways.iter().map(|(_, way)| way * to).collect();
            deformed.step(&values, &Nothing, Settling { close: 1e-6, most: 40 }).unwrap();
            force(&deformed) / (0.5 * 300.0)
        })
        .collect()
}

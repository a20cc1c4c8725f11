//! Draws against closed forms, and the cheap response against full solves.

use super::*;
use crate::material::{Materials, library};
use crate::response::RigError;
use crate::rig::{GateState, Loader, Rig};
use crate::strength::{Ends, FailureMode, LimitKind, Strengths, limits};
use crate::system::{System, SystemSettings};
use geometry::connector::{Connector, Gate, GatePlace};

/// Two parts.
const FIRST: FailureMode = FailureMode::Lip;
const SECOND: FailureMode = FailureMode::NoseRoot;

fn part(what: FailureMode, kind: LimitKind, at_kn: Option<f64>) -> Ending {
    Ending { what, kind, at_kn }
}

/// Two parts whose logarithms are `a` and `b` and an open hook that holds nothing.
fn two(a: f64, b: f64) -> Endings {
    let parts =
        vec![part(FIRST, LimitKind::Breaks, Some(a.exp())), part(SECOND, LimitKind::Breaks, Some(b.exp()))];
    Endings { parts, open_hook_kn: 1e-3 }
}

/// An unknown with standard deviation `sigma`, cut off far out, that shifts the two logarithms by `by` per unit.
fn normal_arm(nominal: [f64; 2], sigma: f64, by: [f64; 2]) -> Arm {
    let far = 7.0 * sigma;
    let at = |x: f64| Some(two(nominal[0] + x * by[0], nominal[1] + x * by[1]));
    let law = Law::Normal { middle: 0.0, sigma, low: -far, high: far };
    Arm { law, middle: 0.0, low: at(-far), high: at(far), kinked: false }
}

#[test]
fn the_smaller_of_two_normals_is_that_of_the_closed_form() {
    // E min = m1 P(d) + m2 P(-d) - t p(d), d = (m2 - m1) / t, t^2 = s1^2 + s2^2; P the normal chance, p its density.
    let ([m1, m2], [s1, s2]) = ([3.0, 3.05], [0.06, 0.08]);
    let arms = vec![normal_arm([m1, m2], s1, [1.0, 0.0]), normal_arm([m1, m2], s2, [0.0, 1.0])];
    let range = Range::draw(&Response::new(&two(m1, m2), arms), DRAWS, SEED);
    let t = f64::hypot(s1, s2);
    let d = (m2 - m1) / t;
    let density = (-0.5 * d * d).exp() / (2.0 * std::f64::consts::PI).sqrt();
    let (p, q) = (normal_cumulative(d), normal_cumulative(-d));
    let mean = m1 * p + m2 * q - t * density;
    let square = (m1 * m1 + s1 * s1) * p + (m2 * m2 + s2 * s2) * q - (m1 + m2) * t * density;
    let sigma = (square - mean * mean).sqrt();
    let logs: Vec<f64> = range.peak_kn.iter().map(|kn| kn.ln()).collect();
    let count = logs.len() as f64;
    let found = logs.iter().sum::<f64>() / count;
    let spread = (logs.iter().map(|l| (l - found).powi(2)).sum::<f64>() / count).sqrt();
    assert!((found - mean).abs() < 3.0 * sigma / count.sqrt(), "{found} is not {mean}");
    assert!((spread / sigma - 1.0).abs() < 3.0 / (2.0 * count).sqrt(), "{spread} is not {sigma}");
    // The first part goes first with chance P(d).
    let first = range.chances.iter().find(|c| c.what == FIRST).unwrap().chance;
    assert!((first - p).abs() < 3.0 * (p * q / count).sqrt(), "{first} is not {p}");
    assert!((range.chances.iter().map(|c| c.chance).sum::<f64>() - 1.0).abs() < 1e-12);
}

#[test]
fn what_matters_is_shared_by_variance() {
    // The second part is far away: ln = 3 + x + y with standard deviations 0.01 and 0.02; shares 1/5 and 4/5.
    let arms = vec![normal_arm([3.0, 9.0], 0.01, [1.0, 0.0]), normal_arm([3.0, 9.0], 0.02, [1.0, 0.0])];
    let range = Range::draw(&Response::new(&two(3.0, 9.0), arms), DRAWS, SEED);
    assert_eq!(range.matters[0].unknown, 1);
    assert!((range.matters[0].share - 0.8).abs() < 0.02, "{:?}", range.matters);
    // Mean 3, standard deviation 0.02236: 5 % at 3 - 1.645 times that.
    let low = range.quantile_kn(0.05).ln();
    assert!((low - (3.0 - 1.645 * 0.022_36)).abs() < 2e-3, "{low}");
    assert_eq!(range.ends[0], (Ends::Breaks, 1.0));
    assert!((range.reaches(3.0_f64.exp()) - 0.5).abs() < 0.015);
}

#[test]
fn the_same_draws_on_any_number_of_threads() {
    let arms = || vec![normal_arm([3.0, 3.05], 0.06, [1.0, 0.2]), normal_arm([3.0, 3.05], 0.08, [0.0, 1.0])];
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| Range::draw(&Response::new(&two(3.0, 3.05), arms()), DRAWS, SEED))
    };
    assert_eq!(on(1), on(3));
}

#[test]
fn a_part_that_an_end_does_not_have_jumps_halfway() {
    let with = |at_kn| Endings {
        parts: vec![
            part(FailureMode::RidesOut, LimitKind::Slips, at_kn),
            part(FailureMode::FrameOpens, LimitKind::Opens, Some(20.0)),
        ],
        open_hook_kn: 5.0,
    };
    let arm = Arm {
        law: Law::Even { low: -1.0, high: 1.0 },
        middle: 0.0,
        low: Some(with(Some(10.0))),
        high: Some(with(None)),
        kinked: false,
    };
    let response = Response::new(&with(None), vec![arm]);
    assert!(response.loads_kn(&[-0.4])[0].is_infinite() && response.loads_kn(&[1.0])[0].is_infinite());
    assert!((response.loads_kn(&[-0.6])[0] - 10.0).abs() < 1e-9);
    let range = Range::draw(&response, DRAWS, SEED);
    assert!((range.chances[1].chance - 0.25).abs() < 0.013, "{:?}", range.chances);
    // A pin that nothing holds at one end: the hook is all there is.
    let arm = Arm {
        law: Law::Even { low: -1.0, high: 0.0 },
        middle: 0.0,
        low: Some(with(Some(0.0))),
        high: None,
        kinked: false,
    };
    let pull = Response::new(&with(None), vec![arm]).pull(&[-0.9]);
    assert_eq!(pull.ends, Ends::Opens);
    assert!((pull.peak_kn - 5.0).abs() < 1e-9);
}

#[test]
fn what_an_unknown_does_runs_through_its_three_points() {
    // ln(load) = 3 + 0.2 x + 0.1 x^2 of the first part, solved at -1, 0 and 2; the second part does not feel it.
    let ln = |x: f64| 3.0 + 0.2 * x + 0.1 * x * x;
    let at = |x: f64| two(ln(x), 4.0);
    let arm = |kinked: bool| Arm {
        law: Law::Even { low: -1.0, high: 2.0 },
        middle: 0.0,
        low: Some(at(-1.0)),
        high: Some(at(2.0)),
        kinked,
    };
    let found = |kinked: bool, x: f64| Response::new(&at(0.0), vec![arm(kinked)]).loads_kn(&[x]);
    for x in [-1.0, -0.5, 0.0, 0.7, 1.4, 2.0] {
        assert!((found(false, x)[0].ln() - ln(x)).abs() < 1e-12, "{x}");
        assert!((found(false, x)[1].ln() - 4.0).abs() < 1e-12, "{x}");
        let straight = 3.0 + if x < 0.0 { 0.1 * x } else { 0.4 * x };
        assert!((found(true, x)[0].ln() - straight).abs() < 1e-12, "{x}");
    }
}

fn materials() -> Materials {
    let material = |key: &str| library::find(key).unwrap().material();
    Materials { frame: material("7075-t6"), gate: material("7075-t6"), pins: material("4340-180") }
}

fn system_of(connector: &Connector) -> System {
    System::try_new(connector, GatePlace::Shut, &materials(), &SystemSettings::default()).unwrap()
}

fn strengths(system: &System) -> Strengths {
    Strengths::new(&system.connector, &materials())
}

fn capacities(system: &System, rig: &Rig) -> Result<Capacities, RigError> {
    Capacities::of(system, &strengths(system), rig)
}

fn rig(width_mm: f64, offset_mm: f64, gate: GateState) -> Rig {
    let end = Loader::Strap { width_mm, offset_mm, stiffness_n_per_mm2: 100.0, strength_kn: None };
    Rig { load_kn: 10.0, gate, friction: 0.2, upper: end, lower: end }
}

#[test]
fn endings_are_the_limits_that_end_a_pull() {
    let system = system_of(&Connector::example());
    for gate in [GateState::Closed, GateState::Open] {
        let rig = rig(12.0, 5.0, gate);
        let found = endings(&system, &rig, &[capacities(&system, &rig).unwrap()]).unwrap();
        let limits = limits(&system, &strengths(&system), &rig).unwrap();
        let ends = limits.limits.iter().filter(|l| !matches!(l.kind, LimitKind::Yields | LimitKind::Bends));
        let mut count = 0;
        for limit in ends {
            let ending = found[0].parts.iter().find(|p| p.what == limit.what).unwrap();
            assert_eq!((ending.kind, ending.at_kn.is_some()), (limit.kind, limit.at_kn.is_some()));
            let (a, b) = (ending.at_kn.unwrap_or(1.0), limit.at_kn.unwrap_or(1.0));
            assert!((a / b - 1.0).abs() < 1e-3, "{:?}: {a} is not {b}", limit.what);
            count += 1;
        }
        assert_eq!(count, found[0].parts.len());
        assert_eq!(found[0].open_hook_kn, limits.open_hook_kn);
        let pull = Response::new(&found[0], Vec::new()).pull(&[]);
        assert!((pull.peak_kn / limits.peak_kn - 1.0).abs() < 1e-3);
        assert_eq!(pull.ends, limits.ends);
    }
}

#[test]
fn strengths_move_with_metal_form_and_flow() {
    let system = system_of(&Connector::example());
    let rig = rig(40.0, 0.0, GateState::Closed);
    let plain = capacities(&system, &rig).unwrap();
    let mut strong = materials();
    for m in [&mut strong.frame, &mut strong.gate, &mut strong.pins] {
        m.scale_strength(1.1);
    }
    let stronger = Capacities::of(&system, &Strengths::new(&system.connector, &strong), &rig).unwrap();
    let loads = endings(&system, &rig, &[plain, stronger]).unwrap();
    assert!((loads[1].open_hook_kn / loads[0].open_hook_kn - 1.1).abs() < 1e-9);
    // Sections yield through anywhere from yield to ultimate: the hook goes in proportion, 503 to 537.5.
    let soft = crate::strength::Constants { flow: 0.0, ..Default::default() };
    let softer = Capacities::of(&system, &strengths(&system).under(&soft), &rig).unwrap();
    let softer = endings(&system, &rig, &[softer]).unwrap();
    assert!((softer[0].open_hook_kn / loads[0].open_hook_kn - 503.0 / 537.5).abs() < 1e-9);
    // Three lugs have a least form: the lug and both ends of the gate.
    let least =
        endings(&system, &rig, &[Capacities::of(&system, &strengths(&system).pressed(-1.0), &rig).unwrap()])
            .unwrap();
    let torn = |at: &Endings, i: usize| at.parts[i].at_kn.unwrap();
    let lower = loads[0].parts.iter().enumerate().filter(|(i, p)| {
        let found = least[0].parts.iter().position(|q| q.what == p.what).unwrap();
        p.what.is_torn_out() && torn(&least[0], found) < 0.99 * torn(&loads[0], *i)
    });
    assert_eq!(lower.count(), 3);
}

/// How far the cheap response may be from a full solve at a draw, as a part of the load.
const CHEAP: f64 = 0.02;

#[test]
fn the_cheap_response_is_near_full_solves() {
    // Clearance, notch depth, offsets at both ends: what bends the response most.
    let changed = |x: &[f64]| -> (Connector, Rig) {
        let mut connector = Connector::example();
        connector.nose.pin_clearance_mm = x[0];
        connector.nose.lip_height_mm = x[1];
        let mut rig = rig(12.0, x[2], GateState::Closed);
        if let Loader::Strap { offset_mm, .. } = &mut rig.lower {
            *offset_mm = x[3];
        }
        (connector, rig)
    };
    let solved = |x: &[f64]| {
        let (connector, rig) = changed(x);
        let system = system_of(&connector);
        endings(&system, &rig, &[capacities(&system, &rig).unwrap()]).unwrap().remove(0)
    };
    let laws = [
        Law::plus_minus(0.15, 0.05),
        Law::plus_minus(4.5, 0.3),
        Law::plus_minus(6.0, 2.0),
        Law::plus_minus(6.0, 2.0),
    ];
    let middles = laws.map(|l| l.value(0.5));
    let arms = laws
        .iter()
        .enumerate()
        .map(|(i, law)| {
            let at = |value: f64| {
                let mut x = middles;
                x[i] = value;
                Some(solved(&x))
            };
            let [low, high] = law.ends();
            Arm { law: *law, middle: middles[i], low: at(low), high: at(high), kinked: false }
        })
        .collect();
    let response = Response::new(&solved(&middles), arms);
    let counter = Counter::new(SEED);
    let mut worst: f64 = 0.0;
    for draw in 0..4 {
        let x: Vec<f64> = (0..4).map(|i| response.value(i, counter.even(draw, i as u32))).collect();
        let full = Response::new(&solved(&x), Vec::new()).pull(&[]);
        let cheap = response.pull(&x);
        worst = worst.max((cheap.peak_kn / full.peak_kn - 1.0).abs());
    }
    println!("cheap response: worst {:.2} %", 100.0 * worst);
    assert!(worst < CHEAP, "{worst}");
}

#[test]
fn patches_between_narrow_and_deep_are_near_full_solves() {
    let system = system_of(&Connector {
        gate: Gate { width_mm: 8.0, ..Connector::example().gate },
        ..Connector::example()
    });
    let rig = rig(12.0, 0.0, GateState::Closed);
    let sets = [0.0, -1.0, 1.0, -0.5, 0.5]
        .map(|press| Capacities::of(&system, &strengths(&system).pressed(press), &rig).unwrap());
    let [nominal, low, high, below, above] =
        <[Endings; 5]>::try_from(endings(&system, &rig, &sets).unwrap()).unwrap();
    let law = Law::Even { low: -1.0, high: 1.0 };
    let response = Response::new(
        &nominal,
        vec![Arm { law, middle: 0.0, low: Some(low), high: Some(high), kinked: true }],
    );
    for (press, full) in [(-0.5, below), (0.5, above)] {
        let cheap = response.loads_kn(&[press]);
        for (name, kn) in response.names().iter().zip(cheap) {
            let part = full.parts.iter().find(|p| p.what == *name).unwrap();
            let Some(at) = part.at_kn else { continue };
            assert!((kn / at - 1.0).abs() < CHEAP, "{name:?} pressed {press}: {kn}, solved {at}");
        }
    }
}

#[test]
fn loads_that_lie_far_off_at_both_ends_are_near_full_solves() {
    let system = system_of(&Connector::example());
    let solved = |upper: f64, lower: f64| {
        let mut rig = rig(12.0, upper, GateState::Closed);
        if let Loader::Strap { offset_mm, .. } = &mut rig.lower {
            *offset_mm = lower;
        }
        endings(&system, &rig, &[capacities(&system, &rig).unwrap()]).unwrap().remove(0)
    };
    let law = Law::Even { low: -14.0, high: 14.0 };
    let arm = |low, high| Arm { law, middle: 0.0, low: Some(low), high: Some(high), kinked: false };
    let arms = vec![arm(solved(-14.0, 0.0), solved(14.0, 0.0)), arm(solved(0.0, -14.0), solved(0.0, 14.0))];
    let nodes: Vec<f64> = (0..9).map(|i| -14.0 + 3.5 * f64::from(i)).collect();
    let endings = nodes.iter().flat_map(|u| nodes.iter().map(|l| solved(*u, *l))).collect();
    let grid = Grid { unknowns: [0, 1], nodes: [nodes.clone(), nodes.clone()], endings };
    let response = Response::new(&solved(0.0, 0.0), arms).with_grid(grid);
    let mut worst: f64 = 0.0;
    for x in [[-9.0, -9.0], [-12.0, -4.0], [10.0, 10.0], [10.0, -10.0], [-5.0, 4.0]] {
        let full = Response::new(&solved(x[0], x[1]), Vec::new()).pull(&[]).peak_kn;
        let cheap = response.pull(&x).peak_kn;
        println!("{x:?}: {cheap:.2}, solved {full:.2}");
        worst = worst.max((cheap / full - 1.0).abs());
    }
    println!("far off at both ends: worst {:.2} %", 100.0 * worst);
    assert!(worst < CHEAP, "{worst}");
}

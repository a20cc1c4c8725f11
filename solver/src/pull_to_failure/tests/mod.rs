mod ends;

use super::standing::Standing;
use super::*;
use crate::findings::gate_kn;
use crate::material::Materials;
use crate::plastic::{Ductility, FirstPull, Hardening, Law, Motion, NoStep};
use crate::rig::{GateState, Loader, Rig};
use crate::strength::{Strengths, gate_line};
use crate::system::{System, SystemSettings};
use geometry::connector::{Connector, GatePlace, LipOn};
use std::ops::ControlFlow;

fn system(connector: &Connector, unknowns: f64) -> System {
    let settings = SystemSettings { unknowns, ..SystemSettings::default() };
    System::try_new(connector, GatePlace::Shut, &Materials::example(), &settings).unwrap()
}

fn neat(mut connector: Connector) -> Connector {
    connector.nose.pin_clearance_mm = 0.0;
    connector.hinge.pin_clearance_mm = 0.0;
    connector
}

fn metal(system: &System) -> Metal {
    let material = Materials::example().frame;
    Metal {
        law: Law {
            elastic: system.frame.body.elastic(),
            hardening: FirstPull::of(&material).unwrap().hardening,
        },
        ductility: Ductility::of(&material),
        motion: Motion::Large,
    }
}

fn asked(system: &System, metal: Metal) -> Asked {
    let strengths = Strengths::new(&system.connector, &Materials::example());
    Asked {
        metal,
        parts: gate_line(system, &strengths, Rig::example().friction),
        expected_kn: 20.0,
        steps: 30,
        until_kn: None,
        stroke_mm: None,
        hook_to_deg: None,
    }
}

fn run<'a>(system: &'a System, rig: &Rig, asked: &Asked) -> Course<'a> {
    pull(system, rig, asked, &mut |_| ControlFlow::Continue(())).unwrap()
}

/// Goes to about this load, kN, from rest: two steps, along the slope of the first.
fn to_load(standing: &mut Standing<'_>, load_kn: f64) -> Reached {
    let first = standing.go(2e-3).unwrap();
    let slope = first.load_kn / first.stretch_mm;
    standing.go(load_kn / slope).unwrap()
}

#[test]
fn a_small_load_is_answered_as_the_linear_map_answers_it() {
    let strap = |width_mm: f64, offset_mm: f64| Loader::Strap {
        width_mm,
        offset_mm,
        stiffness_n_per_mm2: 100.0,
        strength_kn: None,
    };
    let bar = Loader::Bar { diameter_mm: 12.0, offset_mm: 0.0 };
    let mut on_gate = neat(Connector::example());
    on_gate.nose.lip_on = LipOn::Gate;
    on_gate.nose.flank_angle_deg = 6.0;
    // Without friction both are the same problem but for how a contact is cut into points; friction at the flank, which the map needs only to
    // hold a pin, moves a little more. A bar's rows stand farther apart, and a gate's notch is rigid here but for the stretch of the gate.
    let cases = [
        (neat(Connector::example()), GateState::Closed, strap(12.0, 0.0), 0.0, 1.5e-3),
        (neat(Connector::example()), GateState::Closed, strap(30.0, 4.0), 0.0, 1.5e-3),
        (neat(Connector::example()), GateState::Closed, strap(12.0, 0.0), 0.2, 3e-3),
        (neat(Connector::example()), GateState::Open, strap(12.0, -6.0), 0.2, 3e-3),
        (neat(Connector::example()), GateState::Open, bar, 0.2, 2e-2),
        (on_gate, GateState::Closed, strap(12.0, 0.0), 0.2, 1e-2),
    ];
    for (connector, gate, loader, friction, close) in cases {
        let system = system(&connector, 6000.0);
        let rig = Rig { friction, load_kn: 0.1, gate, upper: loader, lower: loader };
        let mut standing = Standing::at_rest(&system, &rig, &metal(&system)).unwrap();
        let reached = to_load(&mut standing, 0.1);
        assert!((reached.load_kn / 0.1 - 1.0).abs() < 0.05, "{reached:?}");
        let response = system.respond(&rig).unwrap();
        let scale = 0.1 / reached.load_kn;
        let body = &system.frame.body;
        let scaled: Vec<f64> = standing.body.displacements().iter().map(|u| scale * u).collect();
        let [pulled, mapped] =
            [&scaled, &response.frame_u].map(|u| system.frame.recovery().nodal_stress(body, u));
        // Where pins press, the two cut the surface into points each in its own way.
        let (points, seats) = (&body.mesh().points, &system.outline.seats);
        let away = |n: &usize| {
            [seats.nose_pin, seats.hinge_pin].iter().all(|pin| {
                (points[*n][0] - pin.centre[0]).hypot(points[*n][1] - pin.centre[1]) > 5.0 * pin.radius
            })
        };
        let most = |of: &dyn Fn(usize, usize) -> f64| {
            let at = |n| (0..3).map(|i| of(n, i).abs()).fold(0.0, f64::max);
            (0..points.len()).filter(away).map(at).fold(0.0, f64::max)
        };
        let off = most(&|n, i| pulled[n][i] - mapped[n][i]) / most(&|n, i| mapped[n][i]);
        assert!(off < close, "{loader:?} {gate:?}: stress is off by {off}");
        let share = gate_kn(&system, &response) / 0.1;
        assert!(
            (reached.gate_fraction - share).abs() < close,
            "{loader:?}: {} {share}",
            reached.gate_fraction
        );
        // Elements at the middle of the spine carry what the gate does not.
        assert!((reached.spine_kn + reached.gate_kn - reached.load_kn).abs() < 1e-4 * reached.load_kn);
    }
}

/// Swift's curve of an independent elastic-plastic calculation (updated Lagrangian, plane stress, 2.6 mm of load at the centre).
fn swift(system: &System) -> Metal {
    let hardening = Hardening::Swift { yield_mpa: 503.0, offset: 0.002, exponent: 0.0564 };
    Metal { law: Law { elastic: system.frame.body.elastic(), hardening }, ductility: None, ..metal(system) }
}

fn narrow() -> Loader {
    Loader::Strap { width_mm: 2.6, offset_mm: 0.0, stiffness_n_per_mm2: 100.0, strength_kn: None }
}

/// A value along a pull where another reaches what is wanted, between two steps in proportion.
fn at(steps: &[Reached], of: impl Fn(&Reached) -> f64, wanted: f64, value: impl Fn(&Reached) -> f64) -> f64 {
    let pair = steps.windows(2).find(|p| of(&p[0]) < wanted && of(&p[1]) >= wanted).unwrap();
    let part = (wanted - of(&pair[0])) / (of(&pair[1]) - of(&pair[0]));
    value(&pair[0]) + part * (value(&pair[1]) - value(&pair[0]))
}

#[test]
fn an_open_hook_carries_what_an_independent_calculation_found() {
    let system = system(&Connector::example(), 6000.0);
    let rig = Rig { gate: GateState::Open, upper: narrow(), lower: narrow(), ..Rig::example() };
    let asked = Asked { expected_kn: 8.0, ..asked(&system, swift(&system)) };
    let course = pull(&system, &rig, &asked, &mut |r| match r.plastic_strain < 0.21 {
        true => ControlFlow::Continue(()),
        false => ControlFlow::Break(()),
    })
    .unwrap();
    assert_eq!(course.end, End::Stopped);
    for (strain, load_kn) in [(0.05, 7.6), (0.10, 8.3), (0.20, 9.0)] {
        let found = at(&course.steps, |s| s.plastic_strain, strain, |s| s.load_kn);
        assert!((found / load_kn - 1.0).abs() < 0.04, "{strain}: {found} kN, wanted {load_kn}");
    }
    // Work that is not heat springs back: half of the load along the slope of the first steps.
    let work: f64 = course
        .steps
        .windows(2)
        .map(|p| 0.5 * (p[0].load_kn + p[1].load_kn) * (p[1].stretch_mm - p[0].stretch_mm))
        .sum();
    let last = course.steps.last().unwrap();
    let slope = course.steps[3].load_kn / course.steps[3].stretch_mm;
    let back = 0.5 * last.load_kn.powi(2) / slope;
    assert!(
        ((work - last.heat_j) / back - 1.0).abs() < 0.15,
        "{work} J, heat {} J, back {back} J",
        last.heat_j
    );
    assert!(course.steps.windows(2).all(|p| p[1].heat_j >= p[0].heat_j));
}

#[test]
fn a_shut_gate_keeps_its_share_as_an_independent_calculation_found() {
    let system = system(&neat(Connector::example()), 6000.0);
    let rig = Rig { upper: narrow(), lower: narrow(), ..Rig::example() };
    let mut standing = Standing::at_rest(&system, &rig, &swift(&system)).unwrap();
    // A rigid gate, as there.
    let fixed = std::sync::Arc::get_mut(&mut standing.fixed).unwrap();
    fixed.rigged.joints.as_mut().unwrap().link.stiffness *= 1e3;
    // Metal under the loads kept elastic, as there: as far as the middle of the bar.
    let mesh = system.frame.body.mesh();
    let corners = |t: usize| [0, 1, 2].map(|i| mesh.points[mesh.triangles[t][i] as usize]);
    standing.body.keep_elastic(|t| {
        corners(t).iter().any(|p| p[0].abs() < 1.3 && p[1].abs() > 29.0 && p[1].abs() < 33.5)
    });
    let asked = Asked { until_kn: Some(22.0), parts: Vec::new(), ..asked(&system, swift(&system)) };
    let course = super::course::from(standing, &rig, &asked, &mut |_| ControlFlow::Continue(())).unwrap();
    assert_eq!(course.end, End::Asked);
    let last = course.steps.last().unwrap();
    assert!((last.load_kn - 22.0).abs() < 0.01, "{last:?}");
    for step in course.steps.iter().filter(|s| s.load_kn > 0.5) {
        assert!((step.gate_kn + step.spine_kn - step.load_kn).abs() < 1e-3 * step.load_kn);
        let share = step.gate_fraction;
        assert!(share > 0.96 * 0.42 && share < 1.04 * 0.435, "{} kN: {share}", step.load_kn);
    }
}

#[test]
fn a_metal_that_does_not_harden_reaches_the_limit_load_of_the_sections() {
    let system = system(&Connector::example(), 6000.0);
    let strengths = Strengths::new(&system.connector, &Materials::example());
    let rig = Rig { gate: GateState::Open, ..Rig::example() };
    let limits = crate::strength::limits(&system, &strengths, &rig).unwrap();
    let hardening = Hardening::Perfect { yield_mpa: strengths.frame_flow_mpa() };
    let law = Law { elastic: system.frame.body.elastic(), hardening };
    let metal = Metal { law, ductility: None, motion: Motion::Small };
    let asked = Asked { expected_kn: limits.open_hook_kn, ..asked(&system, metal) };
    let course = pull(&system, &rig, &asked, &mut |r| match r.stretch_mm < 12.0 {
        true => ControlFlow::Continue(()),
        false => ControlFlow::Break(()),
    })
    .unwrap();
    let peak = course.marks.peak_kn;
    assert!(
        (peak / limits.open_hook_kn - 1.0).abs() < 0.03,
        "{peak} kN, sections say {}",
        limits.open_hook_kn
    );
}

#[test]
fn a_part_ends_a_pull_at_its_own_limit_and_leaves_a_hook() {
    let system = system(&Connector::example(), 5000.0);
    let mut asked = asked(&system, metal(&system));
    // A gate line of one part that holds 3 kN.
    asked.parts.truncate(1);
    asked.parts[0].force_n = 3000.0;
    asked.parts[0].kind = crate::strength::LimitKind::Breaks;
    let course = run(&system, &Rig::example(), &asked);
    assert_eq!(course.end, End::Part(asked.parts[0].clone()));
    let last = course.steps.last().unwrap();
    assert!((last.gate_line_kn / 3.0 - 1.0).abs() < 2e-3, "{last:?}");
    let hook = course.hook.unwrap();
    let first = &hook.steps[0];
    assert!((first.stretch_mm - last.stretch_mm).abs() < 1e-12 && first.gate_kn.abs() < 1e-9);
    assert!(first.load_kn < 0.4 * last.load_kn, "{} of {} kN", first.load_kn, last.load_kn);
    // Followed no farther than asked, it is the same up to there.
    let turned = hook.steps.iter().position(|s| s.opened_deg > 20.0).unwrap();
    let short = run(&system, &Rig::example(), &Asked { hook_to_deg: Some(20.0), ..asked.clone() });
    let followed = short.hook.unwrap();
    assert_eq!(followed.end, End::Slides);
    assert_eq!(followed.steps, hook.steps[..=turned]);
    // It is the hook of a pull with an open gate: what that one carries when its metal is as far.
    assert_eq!(hook.end, End::Torn);
    let open = Rig { gate: GateState::Open, ..Rig::example() };
    let alone = run(&system, &open, &asked);
    assert_eq!(alone.end, End::Torn);
    assert!((hook.peak_kn() / alone.marks.peak_kn - 1.0).abs() < 0.02);
}

#[test]
fn what_has_not_yielded_comes_back_and_shuts_and_what_has_does_not() {
    let system = system(&Connector::example(), 5000.0);
    let asked = Asked { until_kn: Some(24.0), parts: Vec::new(), ..asked(&system, metal(&system)) };
    let course = run(&system, &Rig::example(), &asked);
    let (yields, engages) = (course.marks.yields_kn.unwrap(), course.marks.engages_kn.unwrap());
    assert!(engages > 0.05 && engages < 0.5, "{engages}");
    let low = course.steps.iter().rposition(|s| s.load_kn < 0.8 * yields).unwrap();
    let unloaded = course.unloaded(low, &|| false).unwrap();
    assert!(unloaded.set_mm.abs() < 2e-3 && unloaded.left_kn < 0.06, "{} mm", unloaded.set_mm);
    assert!(unloaded.residual_mpa < 15.0, "{} MPa", unloaded.residual_mpa);
    let shuts = unloaded.shuts.unwrap();
    assert!(shuts.shuts() && (shuts.room_mm - 0.15).abs() < 0.01, "{shuts:?}");
    let (was, is) = (&course.steps[low], unloaded.again.last().unwrap());
    assert!((is.load_kn / was.load_kn - 1.0).abs() < 0.01, "{} and {} kN", is.load_kn, was.load_kn);

    let high = course.steps.len() - 1;
    let unloaded = course.unloaded(high, &|| false).unwrap();
    assert!(unloaded.set_mm > 0.05 && unloaded.residual_mpa > 100.0, "{unloaded:?}");
    assert!(!unloaded.shuts.unwrap().shuts());
    assert_eq!(course.unloaded(high, &|| true).unwrap_err(), NoStep::CalledOff);
    assert!((course.set_after(high, &|| false).unwrap().0 - unloaded.set_mm).abs() < 1e-12);
}

#[test]
fn twice_as_many_steps_give_the_same_load() {
    let system = system(&Connector::example(), 5000.0);
    let rig = Rig { gate: GateState::Open, ..Rig::example() };
    let coarse = Asked { expected_kn: 8.0, steps: DEFAULT_STEPS, ..asked(&system, metal(&system)) };
    let fine = Asked { steps: 2 * DEFAULT_STEPS, ..coarse.clone() };
    let peaks = [coarse, fine].map(|asked| run(&system, &rig, &asked).marks.peak_kn);
    assert!((peaks[0] / peaks[1] - 1.0).abs() < 5e-3, "{peaks:?}");
}

#[test]
fn a_pull_that_is_stopped_keeps_what_it_reached() {
    let system = system(&Connector::example(), 5000.0);
    let mut count = 0;
    let course = pull(&system, &Rig::example(), &asked(&system, metal(&system)), &mut |_| {
        count += 1;
        if count == 5 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    })
    .unwrap();
    assert_eq!((course.end, course.steps.len()), (End::Stopped, 6));
}

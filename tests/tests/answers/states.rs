//! Every model in every state: what must hold whatever the shape.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use geometry::connector::GatePlace;
use pullmap_tests::model;
use solver::findings::{Findings, Gone, NodalStress, Warning, findings, gate_kn, lever_rule};
use solver::response::{Hold, Response, Source};
use solver::rig::GateState;
use solver::strength::{FailureMode, Limits, beyond, limits};
use solver::system::{System, SystemSettings};

const MODELS: [&str; 5] = ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"];

fn solve(name: &str, sets: &[(&str, &str)]) -> (System, Response, Findings) {
    let model = model(name, sets);
    let place = match model.rig.gate {
        GateState::Half { engaged_mm } => GatePlace::Half { engaged_mm },
        _ => GatePlace::Shut,
    };
    let system =
        System::try_new(&model.connector, place, &model.materials, &SystemSettings::default()).unwrap();
    let response = system.respond(&model.rig).unwrap();
    let stress = NodalStress::new(&system, &response);
    let found = findings(&system, &model.materials, &response, &stress).unwrap();
    (system, response, found)
}

fn sound(system: &System, response: &Response, found: &Findings) {
    assert!((12_300..=15_000).contains(&found.mesh.unknowns), "{:?}", found.mesh);
    assert!(found.mesh.min_angle_deg >= 25.0, "{:?}", found.mesh);
    let q = found.quality;
    assert!(q.force_residual < 1e-9 && q.moment_residual < 1e-9 && q.optimality < 1e-9, "{q:?}");
    let sum = found.share.gate_kn + found.share.spine_kn;
    assert!((sum - found.load_kn).abs() < 1e-6 * found.load_kn, "{:?}", found.share);
    for applied in &response.applied {
        match applied.source {
            // Contact never pulls: the force on the surface's body points from the pin into it.
            Source::Row(index) => {
                let row = system.rows[index];
                let force = match row.surface {
                    solver::system::Side::Frame => applied.on_frame,
                    solver::system::Side::Gate => applied.on_gate,
                };
                assert!(force[0] * row.normal[0] + force[1] * row.normal[1] > 0.0);
            }
            // Straps never push: the upper one pulls up, the lower one down.
            Source::Fibre(upper) => {
                let along = if upper { 1.0 } else { -1.0 };
                assert!(applied.on_frame[1] * along > 0.0);
            }
            _ => {}
        }
    }
    assert!(found.peaks.iter().any(|p| p.trusted), "{:?}", found.peaks);
    assert!(found.first_yield_kn.is_some_and(|kn| kn > 0.5 && kn < 80.0), "{:?}", found.first_yield_kn);
}

#[test]
fn closed_open_and_half_shut() {
    for name in MODELS {
        let (system, response, closed) = solve(name, &[]);
        sound(&system, &response, &closed);
        assert!(closed.share.gate_fraction > 0.1, "{name}: {:?}", closed.share);
        let (system, response, open) = solve(name, &[("rig.gate", "open")]);
        sound(&system, &response, &open);
        assert_eq!(open.share.gate_kn, 0.0);
        // An open hook yields far earlier; common practice, no source.
        assert!(open.first_yield_kn.unwrap() < 0.7 * closed.first_yield_kn.unwrap(), "{name}");
        let (system, response, half) = solve(name, &[("rig.gate", "half"), ("rig.engaged_mm", "2")]);
        sound(&system, &response, &half);
        match response.hold {
            Hold::ByFriction(_) | Hold::Blocked(_) => {
                assert!(half.share.gate_fraction > 0.1, "{name}: {:?}", half.share)
            }
            Hold::NotHeld(_) => assert_eq!(half.share.gate_kn, 0.0),
            other => panic!("{name}: {other:?}"),
        }
    }
}

#[test]
fn a_lip_in_the_gate_carries_about_as_much_as_one_on_the_nose() {
    let (_, _, nose) = solve("broadbar-alu", &[]);
    let (system, response, gate) = solve("broadbar-alu", &[("nose.lip_on", "gate")]);
    sound(&system, &response, &gate);
    // The pin line moves by 2 to 3 mm; nothing else of the frame changes.
    assert!((gate.share.gate_fraction - nose.share.gate_fraction).abs() < 0.03, "{:?}", gate.share);
}

#[test]
fn a_notch_that_does_not_hold_is_said_and_carries_nothing() {
    let (_, response, found) = solve("broadbar-alu", &[("nose.flank_angle_deg", "-20")]);
    assert!(matches!(response.hold, Hold::NotHeld(_)));
    assert_eq!(found.share.gate_kn, 0.0);
    assert!(found.warnings.iter().any(|w| matches!(w, Warning::PinNotHeld { .. })), "{:?}", found.warnings);
}

#[test]
fn bench_bars_and_straps_agree_where_they_pull_alike() {
    let (_, _, strap) = solve("broadbar-alu", &[]);
    let bars = [("rig.both.kind", "bar"), ("rig.both.diameter_mm", "12")];
    let (system, response, bar) = solve("broadbar-alu", &bars);
    sound(&system, &response, &bar);
    // A bar sits on a line, a narrow strap on a few millimetres: the share hardly knows.
    assert!((bar.share.gate_fraction - strap.share.gate_fraction).abs() < 0.01, "{:?}", bar.share);
    let (system, response, apart) = solve(
        "broadbar-alu",
        &[("rig.both.kind", "bar"), ("rig.both.diameter_mm", "12"), ("rig.upper.offset_mm", "10")],
    );
    sound(&system, &response, &apart);
    assert!(apart.rig.upper.friction_needed > 0.01, "{:?}", apart.rig);
}

#[test]
fn stiff_straps_are_warned_about_when_they_move_the_share() {
    let (_, _, found) =
        solve("broadbar-alu", &[("rig.both.width_mm", "40"), ("rig.both.stiffness_n_per_mm2", "1000")]);
    let warned = found.warnings.iter().any(|w| matches!(w, Warning::StiffnessMatters(_)));
    let (_, _, soft) = solve("broadbar-alu", &[]);
    assert!(!soft.warnings.iter().any(|w| matches!(w, Warning::StiffnessMatters(_))), "{:?}", soft.warnings);
    assert!(warned, "{:?} {:?}", found.share, found.warnings);
}

#[test]
fn a_load_beyond_what_the_parts_bear_is_told_and_one_below_is_not() {
    for name in MODELS {
        let (system, response, _) = solve(name, &[]);
        let limits = limits(&system, &model(name, &[]).strengths(), &response.rig).unwrap();
        let told = |kn: f64| {
            let (system, response, _) = solve(name, &[("rig.load_kn", &kn.to_string())]);
            beyond(&system, &model(name, &[]).strengths(), &response)
        };
        assert_eq!(told(0.98 * limits.fails_at_kn), [], "{name}");
        assert!(!told(1.02 * limits.fails_at_kn).is_empty(), "{name}");
        // At three times that load both the gate line and the frame of these models would have gone.
        let far = told(3.0 * limits.fails_at_kn);
        let gone = |is: fn(&Gone) -> bool| far.iter().any(|beyond| is(&beyond.gone));
        assert!(
            gone(|g| matches!(g, Gone::GateLine { .. })) && gone(|g| matches!(g, Gone::FrameOpened { .. })),
            "{name}: {far:?}"
        );
    }
}

#[test]
fn without_friction_a_centred_load_is_not_said_to_slide() {
    let (_, _, found) = solve("oval", &[("rig.friction", "0")]);
    assert!(
        !found.warnings.iter().any(|w| matches!(w, Warning::Slides { .. } | Warning::PinBlocked { .. })),
        "{:?}",
        found.warnings
    );
}

#[test]
fn a_gate_engaged_all_the_way_is_a_shut_one() {
    let (shut, rig) = {
        let (system, response, _) = solve("oval", &[]);
        (system, response.rig)
    };
    let nose = &shut.connector.nose;
    let full = (nose.notch_depth_mm - nose.pin_clearance_mm).to_string();
    let (system, response, _) = solve("oval", &[("rig.gate", "half"), ("rig.engaged_mm", &full)]);
    let at = |system: &System, rig: &solver::rig::Rig| {
        limits(system, &model("oval", &[]).strengths(), rig).unwrap().peak_kn
    };
    let (shut, full) = (at(&shut, &rig), at(&system, &response.rig));
    assert!((full / shut - 1.0).abs() < 1e-9, "{full} {shut}");
}

/// Limits of a half-shut gate on a sweep's mesh.
fn half_shut(name: &str, engaged_mm: f64, sets: &[(&str, &str)]) -> Limits {
    let mut all = vec![("rig.gate", "half".to_owned()), ("rig.engaged_mm", engaged_mm.to_string())];
    all.extend(sets.iter().map(|(k, v)| (*k, (*v).to_owned())));
    let sets: Vec<(&str, &str)> = all.iter().map(|(k, v)| (*k, v.as_str())).collect();
    let model = model(name, &sets);
    let settings = SystemSettings { unknowns: 8000.0, ..SystemSettings::default() };
    let place = GatePlace::Half { engaged_mm };
    let system = System::try_new(&model.connector, place, &model.materials, &settings).unwrap();
    limits(&system, &model.strengths(), &model.rig).unwrap()
}

#[test]
fn a_half_shut_pin_that_leans_into_the_notch_is_not_let_go() {
    // Engaged deeper, the gate breaks later, also where its line leans into the notch farther than friction holds.
    let kn = [1.45, 1.5, 1.55, 1.6, 1.65, 1.7].map(|mm| half_shut("offset-d", mm, &[]).peak_kn);
    assert!(kn.windows(2).all(|w| w[1] > w[0] && w[1] < 1.08 * w[0]), "{kn:?}");
    let undercut = [("nose.flank_angle_deg", "8")];
    // The lip at 3.79 mm is that of the shut connector at 3.8.
    let [half, shut] = [3.79, 3.8].map(|mm| half_shut("offset-d", mm, &undercut));
    assert!((half.peak_kn / shut.peak_kn - 1.0).abs() < 0.02, "{half:?} {shut:?}");
    assert!(matches!(half.course.held, Hold::Blocked(_)), "{half:?}");
}

#[test]
fn a_half_shut_pin_rides_out_later_the_deeper_it_stands() {
    let leaves = [1.15, 1.16, 1.17, 1.18, 1.2].map(|mm| {
        let found = half_shut("oval", mm, &[]);
        found.limits.iter().find(|l| l.what == FailureMode::RidesOut).unwrap().at_kn.unwrap_or(f64::NAN)
    });
    assert!(leaves[0] > 0.0 && leaves.windows(2).all(|w| w[1] > w[0]), "{leaves:?}");
}

#[test]
fn a_shut_gate_without_friction_is_not_called_half_shut() {
    // Its line leans less than a degree into the notch.
    for flank in ["-3.5", "-4"] {
        let sets = [("rig.friction", "0"), ("nose.flank_angle_deg", flank)];
        let (_, response, found) = solve("broadbar-alu", &sets);
        assert_eq!(response.hold, Hold::Held, "{flank}");
        assert!(
            !found.warnings.iter().any(|w| matches!(w, Warning::PinBlocked { .. })),
            "{:?}",
            found.warnings
        );
    }
}

#[test]
fn a_map_says_when_its_pin_has_long_ridden_out() {
    // The forecast lets it out at 5.2 kN.
    let half = [("rig.gate", "half"), ("rig.engaged_mm", "1.5"), ("nose.flank_angle_deg", "-5")];
    for (load, out) in [("4", false), ("6", true)] {
        let sets = [&half[..], &[("rig.load_kn", load)]].concat();
        let (system, response, _) = solve("broadbar-alu", &sets);
        let strengths = model("broadbar-alu", &sets).strengths();
        let told = beyond(&system, &strengths, &response).iter().any(|w| w.gone == Gone::RodeOut);
        assert_eq!(told, out, "{load} kN");
    }
}

#[test]
fn a_pin_rides_out_no_sooner_than_it_is_pressed() {
    let sets = [("rig.friction", "0.05"), ("nose.flank_angle_deg", "12")];
    let found = half_shut("oval", 1.12, &sets);
    let out = found.limits.iter().find(|l| l.what == FailureMode::RidesOut).unwrap().at_kn.unwrap();
    // The first newton presses at 0.35 kN; the turn alone would have let it out at 0.07.
    assert!(out > 0.3, "{out}");
    // A share of nothing is told without a sign.
    let story = report::story::story(&found);
    assert!(!story.iter().any(|s| s.contains("-0 %")), "{story:?}");
}

#[test]
fn the_share_of_every_model_stays_under_the_lever_rule() {
    for name in MODELS {
        let (system, response, _) = solve(name, &[]);
        let share = gate_kn(&system, &response) / response.rig.load_kn;
        let rule = lever_rule(&system, &response);
        assert!(share > 0.0 && share < rule, "{name}: {share} against {rule}");
    }
}

#[test]
fn lips_in_the_gate_hold_the_nose_whatever_the_play() {
    let settings = SystemSettings { mesh_size_mm: Some(2.0), ..SystemSettings::default() };
    let mut last: Option<f64> = None;
    for step in 0..=30 {
        let clearance = format!("{}", 0.03 + 0.001 * f64::from(step));
        let model = model("broadbar-alu", &[("nose.lip_on", "gate"), ("nose.pin_clearance_mm", &clearance)]);
        let system = System::try_new(&model.connector, GatePlace::Shut, &model.materials, &settings).unwrap();
        // At 0.039 mm the search for it once ended without an answer.
        assert!(system.gate_engages_at_kn(&model.rig).unwrap().is_some(), "{clearance}");
        let share = gate_kn(&system, &system.respond(&model.rig).unwrap()) / model.rig.load_kn;
        if let Some(last) = last {
            assert!((share - last).abs() < 1e-3, "{clearance}: {last} {share}");
        }
        last = Some(share);
    }
    assert!(last.is_some_and(|share| share > 0.4));
}

#[test]
fn the_wall_of_a_gate_around_its_notch_is_of_the_notch() {
    let sets = [("nose.lip_on", "gate"), ("rig.gate", "half"), ("rig.engaged_mm", "3")];
    let (system, _, found) = solve("broadbar-alu", &sets);
    let pin = system.outline.seats.nose_pin;
    let hottest = found.hottest().unwrap();
    let away = (hottest.x_mm - pin.centre[0]).hypot(hottest.y_mm - pin.centre[1]);
    // On its outer face as well: that metal is there for the notch alone.
    assert!(away > 0.5 * system.connector.gate.width_mm, "{hottest:?}");
    assert!(
        found.peaks.iter().any(|peak| peak.joint.is_some() && peak.von_mises_mpa > hottest.von_mises_mpa)
    );
}

//! The numbers of an independent prototype, built with general-purpose libraries, for the broad bar connector: shares,
//! engagement, pin forces, section forces and what must hold between them.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use geometry::connector::{Connector, GatePlace};
use geometry::outline::Station;
use solver::findings::{NodalStress, findings, gate_kn, pin_forces};
use solver::material::{Materials, library};
use solver::response::{Response, cut_resultant, section_forces};
use solver::rig::{GateState, Loader, Rig};
use solver::system::{System, SystemSettings};

const CLOSED: GateState = GateState::Closed;

/// The broad bar on its default mesh.
fn system() -> System {
    system_with(&Connector::example(), &SystemSettings::default())
}

/// The same with other clearance of nose and hinge pin, mm.
fn system_with_clearance(nose_mm: f64, hinge_mm: f64) -> System {
    let mut connector = Connector::example();
    connector.nose.pin_clearance_mm = nose_mm;
    connector.hinge.pin_clearance_mm = hinge_mm;
    system_with(&connector, &SystemSettings::default())
}

fn system_with(connector: &Connector, settings: &SystemSettings) -> System {
    System::try_new(connector, GatePlace::Shut, &materials(), settings).unwrap()
}

fn materials() -> Materials {
    let metal = |key: &str| library::find(key).unwrap().material();
    Materials { frame: metal("7075-t6"), gate: metal("7075-t6"), pins: metal("4340-180") }
}

fn strap(width_mm: f64, offset_mm: f64) -> Loader {
    Loader::Strap { width_mm, offset_mm, stiffness_n_per_mm2: 100.0, strength_kn: None }
}

/// Equal straps at both ends.
fn straps(load_kn: f64, width_mm: f64, offset_mm: f64, gate: GateState) -> Rig {
    let end = strap(width_mm, offset_mm);
    Rig { load_kn, gate, friction: 0.2, upper: end, lower: end }
}

#[track_caller]
fn close(what: &str, got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "{what}: got {got}, expected {expected} within {tolerance}");
}

fn fraction(system: &System, rig: &Rig) -> f64 {
    gate_kn(system, &system.respond(rig).unwrap()) / rig.load_kn
}

fn spine(system: &System) -> Station {
    system.outline.frame_stations[0]
}

/// Least and greatest of some values.
fn ends(values: &[f64]) -> [f64; 2] {
    let of = |pick: fn(f64, f64) -> f64| values.iter().copied().reduce(pick).unwrap();
    [of(f64::min), of(f64::max)]
}

#[test]
fn shares_by_offset_width_load_and_play() {
    let system = system();
    for (x, expected) in [(-15.0, 0.169), (0.0, 0.426), (15.0, 0.720)] {
        close("share by offset", fraction(&system, &straps(10.0, 12.0, x, CLOSED)), expected, 0.006);
    }
    for (width, expected) in [(12.0, 0.426), (25.0, 0.429), (40.0, 0.433)] {
        close("share by width", fraction(&system, &straps(10.0, width, 0.0, CLOSED)), expected, 0.006);
    }
    for (load, expected) in [(3.0, 0.409), (10.0, 0.426), (20.0, 0.430)] {
        close("share by load", fraction(&system, &straps(load, 12.0, 0.0, CLOSED)), expected, 0.004);
    }
    let neat = system_with_clearance(0.0, 0.0);
    close("share without clearance", fraction(&neat, &straps(10.0, 12.0, 0.0, CLOSED)), 0.434, 0.004);
    let gate_engages = neat.gate_engages_at_kn(&straps(10.0, 12.0, 0.0, CLOSED)).unwrap();
    assert_eq!(gate_engages, Some(0.0), "no clearance, taken up at once");
}

#[test]
fn the_share_is_steady_over_meshes() {
    let rig = straps(10.0, 12.0, 0.0, CLOSED);
    let shares: Vec<f64> = [1.4, 1.0, 0.7]
        .map(|size| {
            let settings = SystemSettings { mesh_size_mm: Some(size), ..SystemSettings::default() };
            fraction(&system_with(&Connector::example(), &settings), &rig)
        })
        .to_vec();
    let [low, high] = ends(&shares);
    assert!(high - low <= 0.001, "{shares:?}");
}

#[test]
fn spine_moments_closed_and_open() {
    let system = system();
    let moment = |x: f64, gate| {
        let response = system.respond(&straps(10.0, 12.0, x, gate)).unwrap();
        section_forces(&system, &response, &spine(&system)).moment_nm
    };
    for (x, closed, open) in [(-15.0, 44.2, 139.0), (0.0, 49.2, 288.0), (15.0, 33.4, 437.0)] {
        close("closed", moment(x, CLOSED), closed, 1.0);
        close("open", moment(x, GateState::Open), open, 1.0);
    }
}

#[test]
fn the_open_hook_carries_the_load_and_its_arm_in_the_spine() {
    let system = system();
    for width in [12.0, 40.0] {
        let response = system.respond(&straps(10.0, width, 0.0, GateState::Open)).unwrap();
        assert_eq!(gate_kn(&system, &response), 0.0);
        let stress = NodalStress::new(&system, &response);
        let found = findings(&system, &materials(), &response, &stress).unwrap();
        // Where the resultant acts, known to the prototype to 0.1 mm.
        close("resultant", found.rig.upper.resultant_mm, if width < 20.0 { -0.2 } else { -4.8 }, 0.1);
        let cut = cut_resultant(&system, &response, &spine(&system));
        close("axial", cut.axial_kn, 10.0, 1e-5);
        close("shear", cut.shear_kn, 0.0, 1e-5);
        let arm = 22.0 + 7.0 + found.rig.upper.resultant_mm;
        close("moment", cut.moment_nm, 10.0 * arm, 1e-6 * 10.0 * arm);
    }
}

#[test]
fn resultants_of_closed_gates() {
    let system = system();
    let response = system.respond(&straps(10.0, 40.0, 0.0, CLOSED)).unwrap();
    let stress = NodalStress::new(&system, &response);
    let found = findings(&system, &materials(), &response, &stress).unwrap();
    close("resultant of 40 mm", found.rig.upper.resultant_mm, -0.2, 0.1);
}

#[test]
fn pin_forces_are_equal_opposite_and_on_one_line() {
    let system = system();
    for rig in [
        straps(10.0, 12.0, 0.0, CLOSED),
        straps(10.0, 12.0, 15.0, CLOSED),
        Rig { upper: strap(12.0, 15.0), lower: strap(12.0, -15.0), ..straps(10.0, 12.0, 0.0, CLOSED) },
        Rig { upper: Loader::Bar { diameter_mm: 12.0, offset_mm: 3.0 }, ..straps(10.0, 12.0, 0.0, CLOSED) },
    ] {
        let response = system.respond(&rig).unwrap();
        let [nose, hinge] = pin_forces(&system, &response);
        let size = nose[0].hypot(nose[1]);
        assert!((nose[0] + hinge[0]).hypot(nose[1] + hinge[1]) <= 1e-9 * size, "{nose:?} {hinge:?}");
        // Moments of the two joints' forces about the hinge pin: one line means equal and opposite, so none is left.
        let about = system.outline.seats.hinge_pin.centre;
        let moment_of = |joint| {
            response
                .applied
                .iter()
                .filter(
                    |a| matches!(a.source, solver::response::Source::Row(i) if system.rows[i].joint == joint),
                )
                .map(|a| (a.at[0] - about[0]) * a.on_frame[1] - (a.at[1] - about[1]) * a.on_frame[0])
                .sum::<f64>()
        };
        let (at_nose, at_hinge) =
            (moment_of(solver::system::Joint::Nose), moment_of(solver::system::Joint::Hinge));
        assert!((at_nose + at_hinge).abs() <= 1e-9 * size * 42.7, "{at_nose} {at_hinge}");
        // The line passes both pin centres within 0.1 mm.
        assert!((at_hinge / size).abs() <= 0.1, "{} mm beside the hinge pin", at_hinge / size);
        let centre = system.outline.seats.nose_pin.centre;
        let beside = (at_nose - (centre[0] - about[0]) * nose[1] + (centre[1] - about[1]) * nose[0]) / size;
        assert!(beside.abs() <= 0.1, "{beside} mm beside the nose pin");
        close("direction", nose[1].atan2(nose[0]).to_degrees(), -85.8, 0.2);
    }
}

#[test]
fn engagement_by_offset_and_in_proportion_to_play() {
    let base = system();
    let engagement =
        |system: &System, x: f64| system.gate_engages_at_kn(&straps(10.0, 12.0, x, CLOSED)).unwrap().unwrap();
    for (x, expected) in [(-15.0, 0.42), (0.0, 0.17), (15.0, 0.10)] {
        close("engagement", engagement(&base, x), expected, 0.005);
    }
    let scaled = |factor: f64| system_with_clearance(0.15 * factor, 0.05 * factor);
    for factor in [0.5, 2.0] {
        let ratio = engagement(&scaled(factor), 0.0) / engagement(&base, 0.0);
        close("proportion", ratio / factor, 1.0, 0.05);
    }
    // White paper, 2020, "Risk of material fatigue in air sports carabiners with conventional snap gate": gates take up
    // at 0.3 to 1.5 kN. For a load at the spine and total clearance of 0.2 to 0.55 mm.
    for factor in [1.0, 1.75, 2.75] {
        let kn = engagement(&scaled(factor), -15.0);
        assert!((0.3..=1.5).contains(&kn), "{kn} kN at {} mm of clearance", 0.2 * factor);
    }
}

#[test]
fn one_joint_without_play_leaves_that_of_the_other() {
    let neat = system_with_clearance(0.15, 0.0);
    let kn = neat.gate_engages_at_kn(&straps(10.0, 12.0, 0.0, CLOSED)).unwrap().unwrap();
    // In proportion to total clearance: 0.15 of 0.20 mm.
    close("engagement", kn, 0.75 * 0.1708, 0.05 * 0.128);
}

#[test]
fn the_engagement_load_is_where_the_gate_begins_to_carry() {
    let system = system();
    let kn = system.gate_engages_at_kn(&straps(1.0, 12.0, 0.0, CLOSED)).unwrap().unwrap();
    assert!(fraction(&system, &straps(0.98 * kn, 12.0, 0.0, CLOSED)).abs() < 1e-9);
    assert!(fraction(&system, &straps(1.05 * kn, 12.0, 0.0, CLOSED)) > 1e-3);
}

#[test]
fn the_share_stays_under_the_lever_rule() {
    let system = system();
    for (x, expected) in [(-15.0, 0.248), (0.0, 0.513), (15.0, 0.778)] {
        let response = system.respond(&straps(10.0, 12.0, x, CLOSED)).unwrap();
        let rule = solver::findings::lever_rule(&system, &response);
        close("lever rule", rule, expected, 0.001);
        assert!(gate_kn(&system, &response) / 10.0 < rule);
    }
}

#[test]
fn section_forces_by_applied_and_by_element_forces_agree() {
    let system = system();
    let check = |response: &Response, stations: &[Station]| {
        for station in stations {
            let applied = section_forces(&system, response, station);
            let cut = cut_resultant(&system, response, station);
            // Relative to the load of 10 kN and its arm of about 30 mm.
            close("axial", cut.axial_kn, applied.axial_kn, 1e-8);
            close("shear", cut.shear_kn, applied.shear_kn, 1e-8);
            close("moment", cut.moment_nm, applied.moment_nm, 3e-7);
        }
    };
    let stations = system.outline.frame_stations;
    let tilted =
        Rig { upper: strap(12.0, 15.0), lower: strap(12.0, -15.0), ..straps(10.0, 12.0, 0.0, CLOSED) };
    for rig in [straps(10.0, 12.0, 0.0, CLOSED), straps(10.0, 12.0, -15.0, CLOSED), tilted] {
        // The spine lies away from every load; so does the root of the lug.
        check(&system.respond(&rig).unwrap(), &[stations[0], stations[4]]);
    }
    // With the straps well to one side, the middles of the bars are away from loads too.
    check(&system.respond(&straps(10.0, 12.0, 14.0, CLOSED)).unwrap(), &stations[..3]);
}

#[test]
fn spine_and_gate_carry_the_load_together() {
    let system = system();
    for x in [-15.0, 0.0, 15.0] {
        let response = system.respond(&straps(10.0, 12.0, x, CLOSED)).unwrap();
        let stress = NodalStress::new(&system, &response);
        let share = findings(&system, &materials(), &response, &stress).unwrap().share;
        // The spine's part comes from element forces, the gate's from contact: nothing makes them add up but balance.
        close("sum", share.gate_kn + share.spine_kn, 10.0, 1e-8);
    }
}

#[test]
fn tilted_straps_keep_the_balance() {
    let system = system();
    let rig = Rig { upper: strap(12.0, 15.0), lower: strap(12.0, -15.0), ..straps(10.0, 12.0, 0.0, CLOSED) };
    let response = system.respond(&rig).unwrap();
    let stress = NodalStress::new(&system, &response);
    let found = findings(&system, &materials(), &response, &stress).unwrap();
    assert!(
        found.quality.force_residual < 1e-9 && found.quality.moment_residual < 1e-9,
        "{:?}",
        found.quality
    );
    // Between the shares of both straps at the spine and both at the gate, and near that of the middle.
    assert!((0.25..0.45).contains(&found.share.gate_fraction), "{:?}", found.share);
    assert!(found.share.gate_fraction < found.share.lever_rule);
}

#[test]
fn the_load_of_narrow_straps_bends_the_bar_more() {
    let system = system();
    let upper = |width: f64| {
        let response = system.respond(&straps(10.0, width, 0.0, CLOSED)).unwrap();
        section_forces(&system, &response, &system.outline.frame_stations[1]).moment_nm
    };
    // F (40 - 12) / 8 = 35 N m, less the change in gate force times its arm: 33 (within 2).
    close("difference", upper(40.0) - upper(12.0), 33.0, 2.0);
}

#[test]
fn peaks_under_a_narrow_strap_do_not_depend_on_the_mesh() {
    let rig = straps(10.0, 12.0, 0.0, CLOSED);
    let peaks: Vec<f64> = [1.2, 0.6, 0.3]
        .map(|size| {
            let settings = SystemSettings { mesh_size_mm: Some(size), ..SystemSettings::default() };
            let system = system_with(&Connector::example(), &settings);
            let response = system.respond(&rig).unwrap();
            let stress = NodalStress::new(&system, &response);
            let untrusted = solver::findings::Untrusted::new(&system, &response, solver::system::Side::Frame);
            let values = solver::findings::nodal_von_mises(&stress.frame);
            system
                .frame
                .body
                .mesh()
                .points
                .iter()
                .zip(&values)
                // Within one strap width of the lower strap's middle, inner side of the bar.
                .filter(|(p, _)| p[0].abs() <= 12.0 && (p[1] + 30.0).abs() <= 7.0 && untrusted.trusts(**p))
                .map(|(_, v)| *v)
                .fold(0.0, f64::max)
        })
        .to_vec();
    let [low, high] = ends(&peaks);
    assert!((high - low) / low < 0.02, "{peaks:?}");
}

#[test]
fn the_kept_breadth_at_round_edges_does_not_matter() {
    let rig = straps(10.0, 12.0, 0.0, CLOSED);
    let share = |floor: f64| {
        let settings = SystemSettings { floor, ..SystemSettings::default() };
        let system = system_with(&Connector::example(), &settings);
        fraction(&system, &rig)
    };
    close("floor", share(0.02), share(0.005), 2e-4);
}

#[test]
fn the_default_breadth_kept_gives_the_stress_of_the_least() {
    // At the edge of a bar the kept breadth shows in the stress before it shows in the share.
    let rig = straps(10.0, 12.0, 0.0, CLOSED);
    let peak = |settings: &SystemSettings| {
        let system = system_with(&Connector::example(), settings);
        let response = system.respond(&rig).unwrap();
        solver::findings::frame_peak_mpa(&system, &response).unwrap()
    };
    let least = peak(&SystemSettings { floor: 0.002, ..SystemSettings::default() });
    let default = peak(&SystemSettings::default());
    assert!((default / least - 1.0).abs() < 2e-3, "{default} against {least} MPa");
}

#[test]
fn a_strap_s_resultant_follows_its_offset_smoothly() {
    let system = system();
    let lag: Vec<f64> = (0..24)
        .map(|i| {
            let x = -4.0 + 0.35 * f64::from(i);
            let response = system.respond(&straps(10.0, 12.0, x, GateState::Open)).unwrap();
            let up = response.applied.iter().filter(|a| a.source == solver::response::Source::Fibre(true));
            let (mut force, mut moment) = (0.0, 0.0);
            for a in up {
                force += a.on_frame[1];
                moment += a.at[0] * a.on_frame[1];
            }
            moment / force - x
        })
        .collect();
    for three in lag.windows(3) {
        let bend = three[0] - 2.0 * three[1] + three[2];
        // A fibre that comes or goes at a node would jump by tenths of a millimetre.
        assert!(bend.abs() < 0.01, "{lag:?}");
    }
}

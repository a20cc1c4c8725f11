//! The frame's limit over every dimension: it may rise and fall, it may not jump. A cut that is no section of the bar shows
//! as a jump, or as a limit far below what stands beside it.
#![allow(
    clippy::unwrap_used,
    clippy::print_stderr,
    reason = "a test fails by panicking, and tells how far it came"
)]

use explorer::source::load_argument;
use geometry::connector::GatePlace;
use pullmap_tests::trial::{extent, has_turn};
use rayon::prelude::*;
use solver::plane::{Locator, stress};
use solver::sections::{Cut, flow_mpa};
use solver::strength::{FrameStatics, Sample, cuts_under, gate_parts, load_parts};
use solver::system::{System, SystemSettings};
use study::Engine;
use study::model::Model;

/// Dimensions with the ranges that are met on a bench, generously.
const DIMENSIONS: [(&str, f64, f64); 38] = [
    ("window.inside_length_mm", 45.0, 120.0),
    ("window.upper_width_mm", 24.0, 60.0),
    ("window.lower_width_mm", 20.0, 60.0),
    ("window.upper_slope_deg", -15.0, 15.0),
    ("window.lower_slope_deg", -15.0, 15.0),
    ("window.corner_radius_mm", 3.0, 22.0),
    ("section.spine.depth_mm", 6.0, 16.0),
    ("section.spine.breadth_mm", 5.0, 16.0),
    ("section.upper.depth_mm", 6.0, 16.0),
    ("section.upper.breadth_mm", 5.0, 16.0),
    ("section.lower.depth_mm", 6.0, 16.0),
    ("section.lower.breadth_mm", 5.0, 16.0),
    ("section.spine.flange_mm", 1.0, 4.0),
    ("section.spine.web_mm", 2.0, 6.0),
    ("nose.tip_mm", 6.0, 30.0),
    ("nose.notch_depth_mm", 2.0, 9.0),
    ("nose.lip_height_mm", 1.0, 8.0),
    ("nose.lip_breadth_mm", 3.0, 14.0),
    ("nose.breadth_mm", 4.0, 14.0),
    ("nose.pin_diameter_mm", 1.5, 6.0),
    ("nose.pin_clearance_mm", 0.0, 0.8),
    ("nose.flank_angle_deg", -6.0, 20.0),
    ("hinge.height_mm", 4.0, 26.0),
    ("hinge.pin_diameter_mm", 1.5, 6.0),
    ("hinge.pin_clearance_mm", 0.0, 0.5),
    ("hinge.lug_radius_mm", 3.0, 9.0),
    ("hinge.lug_breadth_mm", 3.0, 14.0),
    ("gate.width_mm", 5.0, 14.0),
    ("gate.breadth_mm", 5.0, 14.0),
    ("gate.cheek_mm", 1.0, 5.0),
    ("gate.cheek_clearance_mm", 0.1, 1.5),
    ("rig.upper.offset_mm", -18.0, 18.0),
    ("rig.lower.offset_mm", -18.0, 18.0),
    ("rig.both.offset_mm", -18.0, 18.0),
    ("rig.upper.width_mm", 3.0, 40.0),
    ("rig.lower.width_mm", 3.0, 40.0),
    ("rig.both.width_mm", 3.0, 40.0),
    ("rig.both.diameter_mm", 4.0, 14.0),
];

const MODELS: [&str; 5] = ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"];

/// Steps over each range. All 200 take some minutes: `PULLMAP_STEPS=200`.
fn steps() -> u32 {
    std::env::var("PULLMAP_STEPS").ok().and_then(|s| s.parse().ok()).unwrap_or(20)
}

/// A change between two neighbours that is looked at, and one that is a jump where it is left between two that lie together.
const JUMP: f64 = 0.01;
/// Halvings between two neighbours.
const HALVINGS: usize = 14;

/// Load that the frame holds with a gate line that never fails and without one, kN; `None` where the connector is refused.
fn frame_kn(engine: &Engine, name: &str, key: &str, value: f64) -> Option<[f64; 2]> {
    let model = load_argument(name, &[(key.to_owned(), value.to_string())]).ok()?;
    // Of the mesh the frame's limit has only where the seats run: on one of 4 mm it is the same to a part in ten millions.
    let settings = SystemSettings { mesh_size_mm: Some(16.0), ..SystemSettings::default() };
    let system = engine.system(&model.case(settings)).ok()?;
    let rig = &model.rig;
    system.check_rig(rig).ok()?;
    let cuts = cuts_under(&system, rig);
    let statics = FrameStatics {
        sections: cuts.iter().map(|c| &c.limit).collect(),
        load: load_parts(&system, rig, &cuts),
        gate: gate_parts(&system, &cuts),
    };
    let flow = flow_mpa(&model.materials.frame);
    Some([f64::INFINITY, 0.0].map(|gate_n| 1e-3 * statics.limit(gate_n, flow).load_n))
}

fn apart(a: f64, b: f64) -> f64 {
    (a / b).ln().abs()
}

/// Jumps along one dimension, in words.
fn jumps(name: &str, key: &str, low: f64, high: f64) -> (usize, Vec<String>) {
    let count = steps();
    // Values of a rig's key share one system.
    let engine = &Engine::default();
    let at = |k: u32| low + (high - low) * f64::from(k) / f64::from(count);
    let values: Vec<Option<[f64; 2]>> = (0..=count).map(|k| frame_kn(engine, name, key, at(k))).collect();
    let mut found = Vec::new();
    for k in 0..count {
        let (Some(a), Some(b)) = (values[k as usize], values[k as usize + 1]) else { continue };
        for which in 0..2 {
            if apart(a[which], b[which]) < JUMP {
                continue;
            }
            let (mut from, mut to) = ((at(k), a[which]), (at(k + 1), b[which]));
            for _ in 0..HALVINGS {
                if apart(from.1, to.1) < JUMP {
                    break;
                }
                let middle = 0.5 * (from.0 + to.0);
                let Some(value) = frame_kn(engine, name, key, middle).map(|v| v[which]) else { break };
                if apart(from.1, value) > apart(value, to.1) {
                    to = (middle, value);
                } else {
                    from = (middle, value);
                }
            }
            if apart(from.1, to.1) >= JUMP {
                found.push(format!(
                    "{name} {key} gate {}: {:.3} kN at {} and {:.3} kN at {}",
                    ["whole", "gone"][which],
                    from.1,
                    from.0,
                    to.1,
                    to.0
                ));
            }
        }
    }
    (values.iter().flatten().count(), found)
}

#[test]
fn the_frames_limit_never_jumps_in_any_dimension() {
    let pairs = (0..MODELS.len()).flat_map(|m| (0..DIMENSIONS.len()).map(move |d| (m, d)));
    let all: Vec<_> = pairs
        .filter(|(m, d)| has_turn(*d, *m, MODELS.len()))
        .map(|(m, d)| (MODELS[m], DIMENSIONS[d]))
        .collect();
    let found: Vec<_> =
        all.par_iter().map(|(name, (key, low, high))| (*name, *key, jumps(name, key, *low, *high))).collect();
    let solved: usize = found.iter().map(|(.., (n, _))| n).sum();
    let words: Vec<&String> = found.iter().flat_map(|(.., (_, w))| w).collect();
    for (name, key, (n, _)) in &found {
        if *n == 0 {
            eprintln!("{name} {key}: refused everywhere");
        }
    }
    eprintln!("{solved} solved");
    assert!(words.is_empty(), "{} jumps: {words:#?}", words.len());
    assert!(solved as u32 > extent(20, 100) * steps(), "{solved}");
}

/// Points on a cut at which the elements are asked.
const POINTS: u32 = 200;
/// The part of a cut's depth at either end whose elements are asked a little farther in: their curved sides stand in for a
/// blend to within some micrometres.
const EDGE: f64 = 0.003;
/// A cut this near to where something presses sees the uneven stress there, and no section force is expected of it, mm.
const DISTURBED_MM: f64 = 3.0;

/// Axial force, N, and moment about the centroid, N mm, of the elements' stress over a cut; `None` when a point of it is not
/// in the frame.
fn from_stress(system: &System, locator: &Locator, u: &[f64], cut: &Cut) -> Option<[f64; 2]> {
    let body = &system.frame.body;
    let across = [0, 1].map(|i| cut.outer[i] - cut.inner[i]);
    let mut sum = [0.0; 2];
    for k in 0..POINTS {
        // Points crowd at the edges, where round sections change fastest.
        let angle = std::f64::consts::PI * (f64::from(k) + 0.5) / f64::from(POINTS);
        let part = 0.5 * (1.0 - angle.cos());
        let step = 0.5 * angle.sin() * std::f64::consts::PI / f64::from(POINTS) * across[0].hypot(across[1]);
        let p = [0, 1].map(|i| cut.inner[i] + part.clamp(EDGE, 1.0 - EDGE) * across[i]);
        let row = locator.row(body.mesh(), p)?;
        let [xx, yy, xy] = stress::at(body, u, row.triangle as usize, row.local);
        let [nx, ny] = cut.along;
        let force = [xx * nx + xy * ny, xy * nx + yy * ny].map(|t| t * step * system.breadth.at(p));
        let arm = [0, 1].map(|i| p[i] - cut.centroid[i]);
        sum[0] += force[0] * nx + force[1] * ny;
        sum[1] += arm[0] * force[1] - arm[1] * force[0];
    }
    Some(sum)
}

#[test]
fn every_cut_lies_in_the_frame_beside_its_neighbours_and_carries_what_its_elements_carry() {
    for name in MODELS {
        let Model { connector, materials, rig, .. } = pullmap_tests::model(name, &[("rig.load_kn", "10")]);
        let system =
            System::try_new(&connector, GatePlace::Shut, &materials, &SystemSettings::default()).unwrap();
        let response = system.respond(&rig).unwrap();
        let mesh = system.frame.body.mesh();
        let locator = Locator::new(mesh);
        let cuts = system.cuts();
        let (load, gate) = (load_parts(&system, &rig, cuts), gate_parts(&system, cuts));
        let nose_n = Sample::new(&system, &response).nose_n;
        let mut compared = 0;
        for (k, cut) in cuts.iter().enumerate() {
            if let Some(next) = cuts.get(k + 1) {
                assert!(next.length_mm - cut.length_mm < 2.1, "{name}: a gap after {} mm", cut.length_mm);
                // Two millimetres apart, no section of these frames differs by more than a fifth.
                let change = apart(cut.limit.area_mm2(), next.limit.area_mm2());
                assert!(change < 0.2, "{name}: area changes by {change} at {} mm", cut.length_mm);
            }
            let solved = from_stress(&system, &locator, &response.frame_u, cut);
            let solved =
                solved.unwrap_or_else(|| panic!("{name}: the cut at {} mm leaves the frame", cut.length_mm));
            let pressed = response.applied.iter().any(|a| {
                let [x, y] = [0, 1].map(|i| a.at[i] - cut.centroid[i]);
                (x * cut.along[0] + y * cut.along[1]).abs() < DISTURBED_MM
                    && x.hypot(y) < 2.0 * cut.limit.depth_mm()
            });
            if pressed {
                continue;
            }
            compared += 1;
            let statics = [0, 1].map(|i| 1e3 * rig.load_kn * load[k][i] + nose_n * gate[k][i]);
            // Against the load, and its moment over half the depth.
            let scale = [1e3 * rig.load_kn, 1e3 * rig.load_kn * 0.5 * cut.limit.depth_mm()];
            for i in 0..2 {
                let off = (solved[i] - statics[i]).abs() / scale[i];
                let what = ["axial force", "moment"][i];
                assert!(
                    off < 0.01,
                    "{name}, {what} at {:.1} mm: elements {} and statics {}",
                    cut.length_mm,
                    solved[i],
                    statics[i]
                );
            }
        }
        assert!(2 * compared > cuts.len(), "{name}: {compared} of {} compared", cuts.len());
    }
}

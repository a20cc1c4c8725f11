//! Connectors drawn from the dimensions that are met, pulled until they fail: each ends with a reason, and every number is one.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use geometry::connector::GatePlace;
use pullmap_tests::drawn::connector;
use pullmap_tests::trial::extent;
use rayon::prelude::*;
use solver::plastic::{Ductility, FirstPull, Law, Motion, NoStep};
use solver::pull_to_failure::{Asked, End, Metal, Reached, pull};
use solver::rig::GateState;
use solver::strength::{Strengths, gate_line, limits};
use solver::system::{System, SystemSettings};
use std::ops::ControlFlow;

/// Steps to an end, about: few, for what is asked is that there is one.
const STEPS: u32 = 24;
/// Steps that no pull may need, with its open hook.
const MOST_STEPS: usize = 700;

fn is_a_number(step: &Reached) -> bool {
    [
        step.load_kn,
        step.stretch_mm,
        step.stroke_mm,
        step.gate_kn,
        step.spine_kn,
        step.gate_line_kn,
        step.gate_fraction,
        step.nose_opening_mm,
        step.pin_out_mm,
        step.opened_deg,
        step.plastic_strain,
        step.ductility_used.unwrap_or(0.0),
        step.heat_j,
    ]
    .iter()
    .all(|v| v.is_finite())
}

/// How it ended, in a word; nothing for what has no outline or rig.
fn run(index: u64) -> Result<Option<&'static str>, String> {
    let (connector, rig) = connector(index);
    let materials = pullmap_tests::model("broadbar-alu", &[]).materials;
    let place = match rig.gate {
        GateState::Half { engaged_mm } => GatePlace::Half { engaged_mm },
        _ => GatePlace::Shut,
    };
    let settings = SystemSettings { mesh_size_mm: Some(3.5), ..SystemSettings::default() };
    let Ok(system) = System::try_new(&connector, place, &materials, &settings) else { return Ok(None) };
    let strengths = Strengths::new(&connector, &materials);
    let Ok(limits) = limits(&system, &strengths, &rig) else { return Ok(None) };
    let law = Law {
        elastic: system.frame.body.elastic(),
        hardening: FirstPull::of(&materials.frame).unwrap().hardening,
    };
    let asked = Asked {
        metal: Metal { law, ductility: Ductility::of(&materials.frame), motion: Motion::Large },
        parts: gate_line(&system, &strengths, rig.friction),
        expected_kn: limits.peak_kn,
        steps: STEPS,
        until_kn: None,
        stroke_mm: None,
        // As far as friction holds what pulls: as a pull is told.
        hook_to_deg: Some(2.0 * rig.friction.atan().to_degrees()),
    };
    let course = pull(&system, &rig, &asked, &mut |_| ControlFlow::Continue(()))
        .map_err(|reason| format!("{index}: not one step: {reason:?}"))?;
    let hook = course.hook.as_ref();
    let steps = course.steps.iter().chain(hook.iter().flat_map(|h| &h.steps));
    if let Some(step) = steps.clone().find(|s| !is_a_number(s)) {
        return Err(format!("{index}: {step:?}"));
    }
    if let Some(step) = steps.clone().find(|s| {
        // The middle of the spine and the gate carry the load between them, whatever has happened.
        (s.gate_kn + s.spine_kn - s.load_kn).abs() > 1e-3 * s.load_kn.max(0.05)
    }) {
        return Err(format!("{index}: gate and spine do not carry the load: {step:?}"));
    }
    let heat = steps.clone().map(|s| s.heat_j).collect::<Vec<f64>>();
    if heat.windows(2).any(|w| w[1] < w[0] - 1e-9) {
        return Err(format!("{index}: heat was given back"));
    }
    if steps.count() > MOST_STEPS {
        return Err(format!("{index}: {} steps", course.steps.len()));
    }
    match &course.end {
        End::Part(_) => Ok(Some("part")),
        End::GateLost => Ok(Some("gate lost")),
        End::Maximum => Ok(Some("maximum")),
        End::Torn => Ok(Some("torn")),
        End::Opened => Ok(Some("opened")),
        End::Strap(_) => Ok(Some("strap")),
        End::Slides => Ok(Some("slides")),
        End::NoFurther(NoStep::Plane(error)) => Err(format!("{index}: {error:?}")),
        // Told as such, with what was reached.
        End::NoFurther(_) => Ok(Some("no further")),
        end @ (End::Stroke | End::Asked | End::Stopped | End::Steps) => Err(format!("{index}: {end:?}")),
    }
}

#[test]
fn drawn_connectors_are_pulled_to_an_end_that_is_told() {
    let drawn = extent(6, 200);
    let ends: Vec<Result<Option<&str>, String>> = (0..drawn).into_par_iter().map(run).collect();
    let wrong: Vec<&String> = ends.iter().filter_map(|e| e.as_ref().err()).collect();
    assert!(
        wrong.is_empty(),
        "{} of {drawn} went wrong:\n{}",
        wrong.len(),
        wrong.iter().take(30).map(|s| s.as_str()).collect::<Vec<_>>().join("\n")
    );
    let ends: Vec<&str> = ends.into_iter().filter_map(|e| e.ok().flatten()).collect();
    let count = |word: &str| ends.iter().filter(|e| **e == word).count();
    let told: Vec<String> =
        ["part", "gate lost", "maximum", "torn", "opened", "slides", "strap", "no further"]
            .map(|w| format!("{w} {}", count(w)))
            .into();
    eprintln!("{} pulled: {}", ends.len(), told.join(", "));
    assert!(2 * ends.len() >= drawn as usize, "only {} of {drawn} were pulled", ends.len());
    // An end that is a mechanical one is the rule.
    assert!(
        20 * count("no further") <= ends.len(),
        "{} of {} found no further step",
        count("no further"),
        ends.len()
    );
}

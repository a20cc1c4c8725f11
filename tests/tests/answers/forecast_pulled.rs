//! A forecast beside the simulated pull of the same case, on a coarse mesh and in few steps.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::run;
use pullmap_tests::schemas::follows_with;
use pullmap_tests::{close, model};
use report::forecast::Forecast;
use serde_json::{Value, json};
use solver::pull_to_failure::Reached;
use solver::system::SystemSettings;
use std::ops::ControlFlow;
use study::forecast::{pulled::beside, solve};
use study::model::Model;
use study::pull_to_failure::{PullError, Ready};
use study::{CaseError, Engine, Watch};
use tempfile::tempdir;

/// Steps of a pull.
const STEPS: u32 = 20;

fn mesh() -> SystemSettings {
    SystemSettings { mesh_size_mm: Some(5.0), unknowns: 4_000.0, ..SystemSettings::default() }
}

/// What `forecast --pulled --json` prints of a model, on a coarse mesh.
fn told(model: &Model) -> Value {
    let (engine, begins) = (Engine::default(), |_| ());
    let told = solve(&engine, model, &mesh(), &begins, &Watch::quiet()).unwrap();
    let ready = Ready::new(&engine, model, mesh(), &begins).unwrap();
    let mut watch = |_: &Reached| ControlFlow::Continue(());
    let pull = beside(&ready, &told.limits, STEPS, (&mut watch, &|| false), &begins).unwrap();
    let without = serde_json::to_value(Forecast::new(&told, model)).unwrap();
    assert!(without.get("pulled").is_none(), "{without}");
    let with = serde_json::to_value(Forecast::new(&told, model).beside(&pull)).unwrap();
    follows_with("forecast", &with, &["pulled"]);
    with
}

fn row<'a>(told: &'a Value, what: &str) -> &'a Value {
    let rows = told["pulled"]["rows"].as_array().unwrap();
    rows.iter().find(|row| row["what"] == what).unwrap_or_else(|| panic!("no {what} in {rows:#?}"))
}

fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("{key}: {of}"))
}

/// What must hold of every row.
fn is_sound(told: &Value) {
    for row in told["pulled"]["rows"].as_array().unwrap() {
        let Some(by) = row["difference"].as_f64() else {
            assert!(row["reason"].is_null(), "{row}");
            continue;
        };
        close("difference", 1.0 + by, number(row, "pull") / number(row, "forecast"), 1e-9);
        assert!(row["happened"] == true || by > 0.0, "{row}");
        assert_eq!(row["reason"].is_null(), by.abs() <= 0.1, "{row}");
        if let Some(factors) = row["factors"].as_object() {
            let product: f64 = factors.values().map(|f| f.as_f64().unwrap()).product();
            close("factors", product, 1.0 + by, 1e-9);
        }
    }
}

#[test]
fn an_open_hook_bears_more_than_its_section_limit_since_its_shape_changes_and_it_hardens() {
    // With friction that holds what pulls until the hook tears.
    let told = told(&model("broadbar-alu", &[("rig.gate", "open"), ("rig.friction", "1")]));
    is_sound(&told);
    let hook = row(&told, "open hook, as far as friction holds");
    assert_eq!((number(hook, "forecast"), &hook["happened"]), (number(&told, "open_hook_kn"), &json!(true)));
    let factors = &hook["factors"];
    // Metal that flows at the forecast's stress in small motion comes to the section limit: what differs is the strip under the straps, the
    // curved bars and a coarse mesh.
    close("elements over sections", number(factors, "sections"), 1.0, 0.15);
    // A hook that has not been pulled before has no history.
    close("before", number(factors, "before"), 1.0, 1e-12);
    assert!(number(factors, "shape") > 1.1 && number(factors, "hardening") > 1.05, "{factors}");
    let reason = hook["reason"].as_str().unwrap();
    assert!(reason.contains("most of it is the change of shape"), "{reason}");
    // The bars begin to yield where the forecast has it: nothing of the pull is its own up to there but the curve's beginning.
    assert!(number(row(&told, "frame, first yield"), "difference").abs() < 0.1);
}

#[test]
fn a_part_that_ends_the_pull_is_not_independent_and_the_shares_tell_why_it_goes_later() {
    let told = told(&model("broadbar-alu", &[]));
    is_sound(&told);
    let part = row(&told, "gate, torn out at the hinge pin");
    assert_eq!((&part["independent"], &part["failure"]), (&json!(false), &part["what"]));
    let rows = told["pulled"]["rows"].as_array().unwrap();
    assert_eq!(rows.iter().filter(|row| row["independent"] == false).count(), 1);
    let end = row(&told, "gate's share at the end");
    assert_eq!(end["unit"], "share");
    // The part holds one force: the loads are to each other as the shares, the other way round.
    close("loads and shares", number(part, "difference"), -number(end, "difference"), 0.02);
    // The frame has not opened where the forecast says that it would: the pull goes on.
    let opens = row(&told, "frame opens or tears");
    assert_eq!((&opens["happened"], number(opens, "pull")), (&json!(false), number(part, "pull")));
    assert!(number(opens, "difference") > 0.1 && opens["factors"].is_object(), "{opens}");
    assert!(row(&told, "pin leaves the notch")["forecast"].is_null());
}

#[test]
fn a_pull_beside_a_forecast_stops_when_told_to() {
    let (engine, model, begins) = (Engine::default(), model("oval", &[("rig.gate", "open")]), |_| ());
    let told = solve(&engine, &model, &mesh(), &begins, &Watch::quiet()).unwrap();
    let ready = Ready::new(&engine, &model, mesh(), &begins).unwrap();
    let mut watch = |_: &Reached| ControlFlow::Break(());
    let early = beside(&ready, &told.limits, STEPS, (&mut watch, &|| false), &begins);
    assert!(matches!(early, Err(PullError::Case(CaseError::Stopped))));
    let mut watch = |_: &Reached| ControlFlow::Continue(());
    let late = beside(&ready, &told.limits, STEPS, (&mut watch, &|| true), &begins);
    assert!(matches!(late, Err(PullError::Case(CaseError::Stopped))));
}

#[test]
fn a_metal_without_an_elongation_is_refused_before_anything_is_solved() {
    let folder = tempdir().unwrap();
    let metal = "material.frame={ name = 'told', youngs_modulus_mpa = 71000, poisson_ratio = 0.33, yield_mpa = 500, ultimate_mpa = 570, \
                 shear_ultimate_mpa = 330, density_g_cm3 = 2.8 }";
    let words = ["forecast", "oval", "--pulled", "--set", metal];
    let ran = run(folder.path(), &words);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{ran:?}");
    assert!(ran.err.contains("material.frame.elongation is missing"), "{}", ran.err);
    assert!(folder.path().read_dir().unwrap().next().is_none());
}

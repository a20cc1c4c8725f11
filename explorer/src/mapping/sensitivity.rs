//! How sure are the numbers? What mesh, kept breadth, straps, clearance and every range in the model do to them.

use super::room_for_meshes;
use crate::failure::Failure;
use rayon::prelude::*;
use serde::Serialize;
use solver::findings::Findings;
use solver::system::SystemSettings;
use std::fmt::Write;
use study::model::Model;
use study::unknowns::{CLEARANCE_MM, unknowns};
use study::{Engine, map};

/// The numbers that are watched.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Watched {
    /// Gate fraction.
    pub gate_fraction: f64,
    /// Engagement load, kN.
    pub gate_engages_at_kn: Option<f64>,
    /// Highest trusted peak, MPa.
    pub peak_mpa: Option<f64>,
    /// First yield of the frame, kN.
    pub first_yield_kn: Option<f64>,
}

impl Watched {
    fn of(findings: &Findings) -> Self {
        Self {
            gate_fraction: findings.share.gate_fraction,
            gate_engages_at_kn: findings.share.gate_engages_at_kn,
            peak_mpa: findings.peaks.iter().find(|p| p.trusted).map(|p| p.von_mises_mpa),
            first_yield_kn: findings.first_yield_kn,
        }
    }
}

/// One thing that was varied, and what came of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Variation {
    /// What was varied, in words.
    pub what: String,
    /// True when this is about the program's own numbers (mesh, breadth kept), not about the connector.
    pub numerical: bool,
    /// The numbers at each value tried.
    pub tried: Vec<(String, Watched)>,
}

/// The numbers of the model as it is, and of everything varied.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sensitivity {
    /// As it is.
    pub base: Watched,
    /// One entry per thing varied.
    pub variations: Vec<Variation>,
}

struct Case {
    what: String,
    numerical: bool,
    tried: String,
    model: Model,
    settings: SystemSettings,
}

fn cases(model: &Model, settings: &SystemSettings) -> Result<Vec<Case>, Failure> {
    let mut cases = Vec::new();
    let mut add = |what: &str, numerical: bool, tried: String, model: Model, settings: SystemSettings| {
        cases.push(Case { what: what.to_owned(), numerical, tried, model, settings });
    };
    for factor in [0.5, 2.0] {
        let unknowns = settings.unknowns * factor;
        let finer = settings.mesh_size_mm.map(|size| size / f64::sqrt(factor));
        let changed = SystemSettings { unknowns, mesh_size_mm: finer, ..*settings };
        add("mesh: unknowns", true, format!("{factor} times"), model.clone(), changed);
    }
    for floor in [0.005, 0.02] {
        let changed = SystemSettings { floor, ..*settings };
        add("breadth kept at round edges", true, format!("{} %", 100.0 * floor), model.clone(), changed);
    }
    for factor in [0.5, 2.0] {
        let mut changed = model.clone();
        changed.rig.upper = changed.rig.upper.with_stiffness_scaled(factor);
        changed.rig.lower = changed.rig.lower.with_stiffness_scaled(factor);
        if changed.rig != model.rig {
            add("stiffness of the straps", false, format!("{factor} times"), changed, *settings);
        }
    }
    let known: Vec<&str> = model.spreads.iter().map(|s| s.key.as_str()).collect();
    for sign in [-1.0, 1.0] {
        for key in ["nose.pin_clearance_mm", "hinge.pin_clearance_mm"] {
            if known.contains(&key) {
                continue;
            }
            let mut changed = model.clone();
            let clearance = if key.starts_with("nose") {
                &mut changed.connector.nose.pin_clearance_mm
            } else {
                &mut changed.connector.hinge.pin_clearance_mm
            };
            *clearance = (*clearance + sign * CLEARANCE_MM).max(0.0);
            let tried = format!("{clearance:.2} mm");
            add(key, false, tried, changed, *settings);
        }
    }
    for unknown in unknowns(model).iter().filter(|u| u.is_of_the_model()) {
        for value in unknown.law.ends() {
            if let Some(changed) = unknown.at(value, model) {
                let told = report::unknowns::value(unknown, value);
                add(&report::unknowns::what(unknown), false, told, changed.model, *settings);
            }
        }
    }
    Ok(cases)
}

/// Solves the model with one thing at a time varied.
///
/// # Errors
/// The model itself cannot be solved. Variations that cannot are left out.
pub fn sensitivity(
    model: &Model,
    settings: &SystemSettings,
    findings: &Findings,
) -> Result<Sensitivity, Failure> {
    let cases = cases(model, settings)?;
    let engine = &Engine::default();
    let results: Vec<Option<Watched>> = cases
        .par_iter()
        .map(|case| {
            room_for_meshes(&case.model, &case.settings, 1).ok()?;
            let mapped = map::solve(engine, &case.model.case(case.settings), &|_| ()).ok()?;
            Some(Watched::of(&mapped.findings))
        })
        .collect();
    let mut variations: Vec<Variation> = Vec::new();
    for (case, watched) in cases.into_iter().zip(results) {
        let Some(watched) = watched else { continue };
        let entry = (case.tried, watched);
        match variations.iter_mut().find(|v| v.what == case.what) {
            Some(variation) => variation.tried.push(entry),
            None => {
                variations.push(Variation { what: case.what, numerical: case.numerical, tried: vec![entry] })
            }
        }
    }
    Ok(Sensitivity { base: Watched::of(findings), variations })
}

impl Sensitivity {
    /// Largest change of the gate's share under a variation.
    fn change(&self, variation: &Variation) -> f64 {
        variation
            .tried
            .iter()
            .map(|(_, w)| (w.gate_fraction - self.base.gate_fraction).abs())
            .fold(0.0, f64::max)
    }

    /// A short table and one sentence.
    #[must_use]
    pub fn table(&self) -> String {
        let number = |value: Option<f64>, digits: usize| {
            value.map_or_else(|| "-".to_owned(), |v| format!("{v:.digits$}"))
        };
        let mut out = format!(
            "\nSensitivity, one thing varied at a time:\n{:<34} {:>12} {:>10} {:>10} {:>9} {:>12}\n",
            "what", "value", "gate, %", "engages", "peak", "first yield"
        );
        let mut line = |what: &str, tried: &str, w: &Watched| {
            // Writing to a string cannot fail.
            let _ = writeln!(
                out,
                "{what:<34} {tried:>12} {:>10.1} {:>10} {:>9} {:>12}",
                100.0 * w.gate_fraction,
                number(w.gate_engages_at_kn, 2),
                number(w.peak_mpa, 0),
                number(w.first_yield_kn, 2)
            );
        };
        line("as it is", "", &self.base);
        for variation in &self.variations {
            for (index, (tried, watched)) in variation.tried.iter().enumerate() {
                line(if index == 0 { &variation.what } else { "" }, tried, watched);
            }
        }
        let largest = |numerical: bool| {
            self.variations
                .iter()
                .filter(|v| v.numerical == numerical)
                .max_by(|a, b| self.change(a).total_cmp(&self.change(b)))
        };
        let percent = 100.0 * self.base.gate_fraction;
        // Below a tenth of a point the digits say nothing.
        let numerical = largest(true).map_or(0.0, |v| 100.0 * self.change(v)).max(0.1);
        let _ = match largest(false) {
            Some(v) => writeln!(
                out,
                "The gate's {percent:.0} % is good to {numerical:.1} points as a computation; of what was varied, {} matters \
                 most: {:.1} points.",
                v.what,
                100.0 * self.change(v)
            ),
            None => {
                writeln!(out, "The gate's {percent:.0} % is good to {numerical:.1} points as a computation.")
            }
        };
        out
    }
}

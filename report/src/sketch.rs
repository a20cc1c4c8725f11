//! What `sketch` prints: what a caliper reads of the connector, and what it weighs.

use crate::keys::label;
use crate::map::mass;
use crate::notes::notes;
use geometry::caliper::{Caliper, Measure};
use std::fmt::Write;
use study::model::{Model, keys};

/// The key that a measure is told by.
fn key(measure: Measure) -> &'static str {
    match measure {
        Measure::OverallLength => "window.overall_length_mm",
        Measure::ClearLength => "window.clear_length_mm",
        Measure::UpperOverAll => "window.upper_over_all_mm",
        Measure::LowerOverAll => "window.lower_over_all_mm",
        Measure::TipOverBar => "nose.tip_over_bar_mm",
        Measure::PinToPin => "hinge.pin_to_pin_mm",
        Measure::GateOpening => "gate.opening_mm",
    }
}

/// The clear opening of the mouth as it was measured and as it is computed, mm.
#[must_use]
pub fn opening(measured_mm: Option<f64>, computed_mm: f64) -> String {
    match measured_mm {
        Some(measured) => format!("Gate opening: measured {measured:.1} mm, computed {computed_mm:.1} mm."),
        None => format!("Gate opening: computed {computed_mm:.1} mm."),
    }
}

/// The answer that `sketch` prints. `caliper` and `mass_g` are absent where the connector has no outline with its gate shut, or no
/// mesh.
#[must_use]
pub fn answer(model: &Model, caliper: Option<&Caliper>, mass_g: Option<f64>) -> String {
    let mut text = format!("{}\n", model.title);
    // Writing to a string cannot fail.
    if let Some(read) = caliper {
        text.push_str("What a caliper reads, mm:\n");
        for measure in Measure::ALL.into_iter().filter(|measure| *measure != Measure::GateOpening) {
            let name = keys::find(key(measure)).map_or_else(String::new, label);
            let _ = writeln!(text, "  {name:<22} {:>7.2}", read.of(measure));
        }
        let _ = writeln!(text, "{}", opening(model.opening_mm, read.gate_opening_mm));
    }
    if let Some(mass_g) = mass_g {
        let _ = writeln!(text, "{}", mass(mass_g));
    }
    for note in notes(model) {
        let _ = writeln!(text, "Note: {note}");
    }
    text
}

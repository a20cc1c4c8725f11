//! Words of a sketch.

use crate::numbers::typed;
use geometry::caliper::Measure;
use geometry::connector::Connector;

/// The name of the picture.
#[must_use]
pub fn name(connector: &str) -> String {
    format!("{connector}: sketch with dimensions")
}

/// A dimension that the model's file names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    /// Inside length of the window.
    Length,
    /// Inside width at one end.
    Width,
    /// Where the nose ends.
    Tip,
    /// Where the hinge pin stands.
    Hinge,
    /// Height of the lip.
    Lip,
    /// Depth of the notch.
    Notch,
    /// Radius of a corner.
    Radius,
    /// What a caliper reads.
    Read(Measure),
}

/// What stands beside a dimension of so many mm.
#[must_use]
pub fn label(of: Named, mm: f64) -> String {
    let name = match of {
        Named::Length => "length",
        Named::Width => "width",
        Named::Tip => "tip",
        Named::Hinge => "hinge",
        Named::Lip => "lip",
        Named::Notch => "notch",
        Named::Radius => "R",
        Named::Read(measure) => match measure {
            Measure::OverallLength => "overall",
            Measure::ClearLength => "clear length",
            Measure::UpperOverAll | Measure::LowerOverAll => "over all",
            Measure::TipOverBar => "tip over bar",
            Measure::PinToPin => "pin to pin",
            Measure::GateOpening => "opening",
        },
    };
    format!("{name} {}", typed(mm))
}

/// A section that stands for spine and bars alike.
pub const SPINE_AND_BARS: &str = "spine and bars";

/// The note of what no dimension is drawn for.
#[must_use]
pub fn undrawn(connector: &Connector) -> String {
    let Connector { gate, nose, hinge, .. } = connector;
    format!(
        "Gate {} wide, {} broad. Nose pin {} with {} clearance all round; hinge pin {} with {}; lug radius {}. Lengths in mm.",
        typed(gate.width_mm),
        typed(gate.breadth_mm),
        typed(nose.pin_diameter_mm),
        typed(nose.pin_clearance_mm),
        typed(hinge.pin_diameter_mm),
        typed(hinge.pin_clearance_mm),
        typed(hinge.lug_radius_mm)
    )
}

/// The line under the title of a model that was changed.
#[must_use]
pub fn changed(changes: &str) -> String {
    format!("Changed: {changes}")
}

/// The alternative text. `subtitle` may be empty; sections have a name, depth and breadth in mm, already written.
#[must_use]
pub fn description(
    subtitle: &str,
    dimensions: &[&str],
    sections: &[(&str, String, String)],
    notes: &[String],
) -> String {
    let mut parts: Vec<String> = Vec::new();
    if !subtitle.is_empty() {
        parts.push(format!("{subtitle}."));
    }
    parts.extend(dimensions.iter().map(|label| format!("{label}.")));
    parts.extend(
        sections
            .iter()
            .map(|(name, deep, broad)| format!("Section of the {name}: {deep} mm deep, {broad} mm broad.")),
    );
    parts.extend(notes.iter().cloned());
    parts.join(" ").trim_end().to_owned()
}

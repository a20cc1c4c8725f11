//! What is being done, in a few words.

use study::Step;

/// A step as a progress line and a list of times have it.
#[must_use]
pub const fn step(step: Step) -> &'static str {
    match step {
        Step::Mesh => "outline, mesh, factor",
        Step::Load => "contact and load",
        Step::Stress => "stress",
        Step::Findings => "findings",
        Step::Refinement => "refinement",
        Step::Limits => "limits and their range",
        Step::Unloading => "unloading",
        Step::Draws => "draws",
        Step::Causes => "what may differ from what was entered",
        Step::Open => "what the forecast leaves open",
        Step::Likeliest => "the most likely values",
        Step::Told => "what is shown",
        Step::Variations => "one thing varied at a time",
        Step::Assumptions => "what makes forecast and pull differ",
    }
}

/// Connectors are being solved.
pub const SOLVING: &str = "solving";
/// Places of loads are sought, and what holds there.
pub const RESTS: &str = "rests and forecasts";
/// One thing after the other is varied.
pub const SENSITIVITY: &str = "sensitivity";
/// The figures of a lot are being computed.
pub const LOT: &str = "figures of the lot";
/// Constants of forecasts are being drawn.
pub const CALIBRATION: &str = "constants";
/// The published problems are being solved.
pub const PROBLEMS: &str = "published problems";
/// A picture is being drawn.
pub const PICTURE: &str = "picture";
/// Several are.
pub const PICTURES: &str = "pictures";
/// Fields are being written.
pub const FIELD_FILES: &str = "field files";

/// How far something that is counted has come, as a template of the line: places of name, bar, count and time left.
pub const COUNTED: &str = "{prefix}: {bar:30} {pos} of {len}, {eta} left";

/// Which of several models is being solved.
#[must_use]
pub fn model_of(title: &str, index: usize, count: usize) -> String {
    format!("{title}, {index} of {count}")
}

/// A line of a list of times: how long a step took, ms.
#[must_use]
pub fn took(ms: f64, step: &str) -> String {
    format!("{ms:>9.1} ms  {step}\n")
}

/// What the last line of such a list counts.
pub const IN_ALL: &str = "in all, files included";

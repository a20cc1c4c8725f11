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
        Step::Draws => "draws",
        Step::Causes => "what may differ from what was entered",
        Step::Open => "what the forecast leaves open",
        Step::Likeliest => "the most likely values",
        Step::Told => "what is shown",
    }
}

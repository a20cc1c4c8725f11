//! What is being done while an answer is made.

/// A step on the way to an answer. A callback is told each when it begins; what took how long is the caller's to measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Outline, mesh and factor.
    Mesh,
    /// Contact under the load.
    Load,
    /// Recovery of stress.
    Stress,
    /// Findings of a map.
    Findings,
    /// Finer meshes until peaks stand still.
    Refinement,
    /// Limits of the parts, and the ends of what is not known.
    Limits,
    /// A connector unloaded from steps of a pull.
    Unloading,
    /// Draws of a forecast.
    Draws,
    /// Causes of an explanation over their ranges.
    Causes,
    /// What the forecast of everything as entered leaves open.
    Open,
    /// Causes at their most likely values.
    Likeliest,
    /// What is told, at the values that are told.
    Told,
    /// One thing after the other varied for a sensitivity.
    Variations,
    /// One assumption after the other given up.
    Assumptions,
}

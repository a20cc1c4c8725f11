//! What of a pull is not a result.

use super::places::{place, strain};
use solver::pull_to_failure::AVERAGED_OVER_MM;
use study::pull_to_failure::Pulled;

/// What of a pull is not a result, a sentence each.
#[must_use]
pub fn warnings(pulled: &Pulled<'_>) -> Vec<String> {
    let mut all = Vec::new();
    let steps = &pulled.course.steps;
    let first = pulled.first_plastic().map(|first| &steps[first]);
    if let Some(first) = first.filter(|s| !pulled.ready.trusts(s.plastic_at)) {
        all.push(format!(
            "The frame first yields beside a contact or a sharp corner ({}): with a finer mesh it does so sooner, so that load is not to be relied on.",
            place(pulled, first.plastic_at)
        ));
    }
    let last = pulled.last();
    if last.plastic_strain > 0.0 && !pulled.ready.trusts(last.plastic_at) {
        let judged = match last.ductility_used {
            Some(_) => format!(
                " Whether the frame tears is judged over a circle of {AVERAGED_OVER_MM:.0} mm radius, in which such a peak counts for little."
            ),
            None => String::new(),
        };
        all.push(format!(
            "The largest plastic strain, {}, stands beside a contact or a sharp corner ({}): it depends on how fine the mesh is and is not to be \
             relied on.{judged}",
            strain(last.plastic_strain),
            place(pulled, last.plastic_at)
        ));
    }
    all
}

//! How a pull ends once it is known what gives first.

use super::capacity::LimitKind;
use super::limits::Ends;

/// Highest load of the pull in kN and how it ends, from what gives first and at which load, what the open hook bears, and
/// the strength of the weaker sling (infinite where unknown).
///
/// When a part of the gate line goes, the open hook is all there is; it bears on if it bears more than what is on it.
#[must_use]
pub fn ending(kind: LimitKind, gives_at_kn: f64, open_hook_kn: f64, sling_kn: f64) -> (f64, Ends) {
    let gate_goes = matches!(kind, LimitKind::Breaks | LimitKind::Slips);
    match kind {
        LimitKind::Sling => (gives_at_kn, Ends::Sling),
        _ if gate_goes && open_hook_kn > gives_at_kn && sling_kn < open_hook_kn => (sling_kn, Ends::Sling),
        _ if gate_goes && open_hook_kn > gives_at_kn => (open_hook_kn, Ends::Opens),
        _ if gate_goes => (gives_at_kn, Ends::Breaks),
        _ => (gives_at_kn, Ends::Opens),
    }
}

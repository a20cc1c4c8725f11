//! How a pull ends once it is known what fails first.

use super::capacity::LimitKind;
use super::limits::Ends;

/// Highest load of the pull in kN and how it ends, from what fails first and at which load, what the open hook holds, and
/// the strength of the weaker strap (infinite where unknown).
///
/// When a part of the gate line goes, the open hook is all there is; it still holds if it holds more than what is on it.
#[must_use]
pub fn ending(kind: LimitKind, fails_at_kn: f64, open_hook_kn: f64, strap_kn: f64) -> (f64, Ends) {
    let gate_goes = matches!(kind, LimitKind::Breaks | LimitKind::Slips);
    match kind {
        LimitKind::Strap => (fails_at_kn, Ends::Strap),
        _ if gate_goes && open_hook_kn > fails_at_kn && strap_kn < open_hook_kn => (strap_kn, Ends::Strap),
        _ if gate_goes && open_hook_kn > fails_at_kn => (open_hook_kn, Ends::Opens),
        _ if gate_goes => (fails_at_kn, Ends::Breaks),
        _ => (fails_at_kn, Ends::Opens),
    }
}

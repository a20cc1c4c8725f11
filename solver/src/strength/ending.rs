//! How a pull ends once it is known what fails first.

use super::capacity::LimitKind;
use super::ends::Ends;

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gate_that_goes_leaves_the_hook_and_a_weak_strap_ends_it_before() {
        let none = f64::INFINITY;
        for kind in [LimitKind::Breaks, LimitKind::Slips] {
            // The hook holds less than what is on it, then more, then more than the strap.
            assert_eq!(ending(kind, 20.0, 5.0, none), (20.0, Ends::Breaks));
            assert_eq!(ending(kind, 4.0, 5.0, none), (5.0, Ends::Opens));
            assert_eq!(ending(kind, 4.0, 5.0, 4.5), (4.5, Ends::Strap));
            assert_eq!(ending(kind, 4.0, 5.0, 6.0), (5.0, Ends::Opens));
        }
        assert_eq!(ending(LimitKind::Opens, 20.0, 25.0, none), (20.0, Ends::Opens));
        assert_eq!(ending(LimitKind::Strap, 15.0, 25.0, 15.0), (15.0, Ends::Strap));
    }
}

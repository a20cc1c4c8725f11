//! Where on the way from one value to another the part that fails first changes.

use solver::strength::{FailureMode, Limits};

/// The value is found to this part of the way, or as near as so many solves come.
const CLOSE: f64 = 0.02;
/// At most so many.
const MOST: usize = 6;

/// Where another part fails first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// The last value, as far as known, up to which the part of the model fails first.
    pub until: f64,
    /// The first value, as far as known, at which another one does.
    pub from: f64,
    /// That part.
    pub to: FailureMode,
}

fn limit_kn(limits: &Limits, of: FailureMode) -> f64 {
    limits.limits.iter().find(|limit| limit.what == of).and_then(|limit| limit.at_kn).unwrap_or(f64::INFINITY)
}

/// The first change on the way between two values with their limits, whose first parts differ. Between the two, the value is
/// guessed where straight lines through the loads of both parts meet, and solved.
pub(super) fn first_turn(
    [near, far]: [(f64, &Limits); 2],
    solve: &dyn Fn(f64) -> Option<Limits>,
) -> Option<Turn> {
    let part = near.1.fails_first;
    let (mut low, mut high) = ((near.0, near.1.clone()), (far.0, far.1.clone()));
    for _ in 0..MOST {
        if (high.0 - low.0).abs() <= CLOSE * (far.0 - near.0).abs() {
            break;
        }
        let other = high.1.fails_first;
        // The part fails before the other at the one end and after it at the other.
        let ahead = |limits: &Limits| limit_kn(limits, other) - limit_kn(limits, part);
        let (before, after) = (ahead(&low.1), ahead(&high.1));
        let guess = before / (before - after);
        let at = if guess.is_finite() { guess.clamp(0.1, 0.9) } else { 0.5 };
        let middle = low.0 + at * (high.0 - low.0);
        let limits = solve(middle)?;
        if limits.fails_first == part { low = (middle, limits) } else { high = (middle, limits) }
    }
    Some(Turn { until: low.0, from: high.0, to: high.1.fails_first })
}

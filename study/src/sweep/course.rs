//! How the forecast goes along rows of a sweep, and where a part gives before the pull ends.

use super::point::Found;
use super::run::Row;

/// A forecast that goes up and down within this part of itself is called flat.
const FLAT: f64 = 0.03;
/// One that only rises or only falls is flat within this part; less is below what a mesh is good for.
const STILL: f64 = 0.01;
/// A first part that fails by less than this part below the end of the pull gives at its end.
const EARLY: f64 = 0.02;

/// How the forecast goes along rows, kN.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Course {
    /// One point only.
    Single {
        /// Its forecast.
        kn: f64,
    },
    /// It rises or falls all the way, first to last.
    Monotonic {
        /// The first forecast.
        first: f64,
        /// The last one.
        last: f64,
        /// Whether it rises.
        rises: bool,
        /// Whether it changes by so little that its change is told beside it.
        little: bool,
    },
    /// It hardly changes.
    Flat {
        /// Lowest and highest.
        within: [f64; 2],
    },
    /// It goes up and down.
    Varies {
        /// Lowest and highest.
        between: [f64; 2],
    },
}

/// How the forecast goes along rows, those that failed left out; `None` where none was computed.
#[must_use]
pub fn course<Why>(rows: &[Row<Why>]) -> Option<Course> {
    let loads: Vec<f64> = rows.iter().filter_map(Row::found).map(|f| f.peak_kn).collect();
    let (first, last) = (*loads.first()?, *loads.last()?);
    if loads.len() == 1 {
        return Some(Course::Single { kn: first });
    }
    let [low, high] = lowest_and_highest(loads.iter().copied());
    let middle = 0.5 * (low + high);
    let flat = high - low <= 2.0 * FLAT * middle;
    // A wiggle of the mesh is no turn; beside a small change a smaller one is.
    let wiggle = (0.005 * middle).min(0.1 * (high - low));
    // Against all that came before: many small steps make a fall that no single one shows.
    let turns = |sign: f64| {
        let mut most = f64::NEG_INFINITY;
        loads.iter().any(|load| {
            most = most.max(sign * load);
            sign * load < most - wiggle
        })
    };
    let (rises, falls) = (!turns(1.0), !turns(-1.0));
    let still = high - low <= STILL * middle;
    Some(match (rises, falls) {
        (false, false) if !flat => Course::Varies { between: [low, high] },
        (true, _) | (_, true) if !still => Course::Monotonic { first, last, rises, little: flat },
        _ => Course::Flat { within: [low, high] },
    })
}

/// Lowest and highest of some numbers.
fn lowest_and_highest(values: impl Iterator<Item = f64>) -> [f64; 2] {
    values.fold([f64::MAX, f64::MIN], |[low, high], v| [low.min(v), high.max(v)])
}

/// Whether the first part fails clearly before the pull ends; what still holds then is the open hook.
fn is_early(found: &Found) -> bool {
    found.fails_at_kn < (1.0 - EARLY) * found.peak_kn
}

/// Points at which the first part fails clearly before the pull ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Early {
    /// How many there are.
    pub points: usize,
    /// Of how many that were computed.
    pub of: usize,
    /// Lowest and highest load at which the first part fails, kN: of these points.
    pub there_kn: [f64; 2],
    /// The same of all that were computed.
    pub anywhere_kn: [f64; 2],
}

/// Where the first part gives before the end; `None` where it nowhere does.
#[must_use]
pub fn gives_early<Why>(rows: &[Row<Why>]) -> Option<Early> {
    let found = || rows.iter().filter_map(Row::found);
    let early = || found().filter(|f| is_early(f));
    let points = early().count();
    (points > 0).then(|| Early {
        points,
        of: found().count(),
        there_kn: lowest_and_highest(early().map(|f| f.fails_at_kn)),
        anywhere_kn: lowest_and_highest(found().map(|f| f.fails_at_kn)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use solver::strength::{Ends, FailureMode};

    /// A point whose first part fails at one load and whose pull ends at another, kN.
    fn row(fails_at_kn: f64, peak_kn: f64) -> Row {
        let found = Found {
            gate_fraction: 0.4,
            gate_kn: 4.0,
            spine_kn: 6.0,
            gate_engages_at_kn: None,
            spine_moment_nm: 50.0,
            peak_mpa: None,
            first_yield_kn: None,
            bends_at_kn: 9.0,
            opens_at_kn: None,
            peak_kn,
            fails_first: FailureMode::BehindNotch,
            fails_at_kn,
            ends: Ends::Opens,
            parts: Vec::new(),
        };
        Row { point: 0, outcome: Ok(Box::new(found)) }
    }

    fn through(loads: &[f64]) -> Option<Course> {
        course(&loads.iter().map(|kn| row(*kn, *kn)).collect::<Vec<_>>())
    }

    #[test]
    fn only_what_goes_up_and_down_or_hardly_moves_is_flat() {
        assert_eq!(through(&[]), None);
        assert_eq!(through(&[7.0]), Some(Course::Single { kn: 7.0 }));
        // No step is larger than a wiggle, their sum is.
        let many: Vec<f64> = (0..30).map(|k| 20.2 - 0.04 * f64::from(k)).collect();
        let falls = |first, last, little| Course::Monotonic { first, last, rises: false, little };
        assert_eq!(through(&many), Some(falls(20.2, many[29], true)));
        assert_eq!(through(&[30.0, 20.0]), Some(falls(30.0, 20.0, false)));
        assert_eq!(through(&[3.01, 3.04]), Some(Course::Flat { within: [3.01, 3.04] }));
        // Up by 3 %, down by 1 %: neither.
        assert_eq!(through(&[20.0, 20.6, 20.4]), Some(Course::Flat { within: [20.0, 20.6] }));
        assert_eq!(through(&[20.0, 30.0, 20.0]), Some(Course::Varies { between: [20.0, 30.0] }));
    }

    #[test]
    fn a_part_that_gives_just_below_the_end_does_not_give_early() {
        assert_eq!(gives_early(&[row(7.07, 7.14), row(7.14, 7.14)]), None);
        let early = gives_early(&[row(7.07, 7.14), row(3.47, 7.14)]);
        let there_kn = [3.47, 3.47];
        assert_eq!(early, Some(Early { points: 1, of: 2, there_kn, anywhere_kn: [3.47, 7.07] }));
    }
}

//! Asks a problem whether it meets its published numbers.

use reference::problem::Problem;

/// Runs a problem; says all that it compared when one comparison fails.
pub fn meets(problem: &Problem) {
    let outcome = (problem.run)().unwrap_or_else(|error| panic!("{error}"));
    let mut said = String::new();
    for check in &outcome.checks {
        said += &format!(
            "{} {}: {} against {} ({:+.3} %, allowed {} %)\n",
            if check.passes() { "ok  " } else { "FAIL" },
            check.quantity,
            check.got,
            check.expected,
            100.0 * check.difference(),
            100.0 * check.tolerance,
        );
    }
    for rate in &outcome.rates {
        said += &format!(
            "{} rate of {}: {:.3} against {} +/- {}, {:?}\n",
            if rate.passes() { "ok  " } else { "FAIL" },
            rate.quantity,
            rate.measured(),
            rate.expected,
            rate.tolerance,
            rate.points,
        );
    }
    said += &outcome.remarks.join("\n");
    assert!(outcome.passes(), "{} does not meet its numbers:\n{said}", problem.name);
}

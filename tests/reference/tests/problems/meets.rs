//! Asks problems whether they meet their published numbers, each in a test of its own.

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
            rate.quantity(),
            rate.measured(),
            rate.expected,
            rate.tolerance,
            rate.points,
        );
    }
    said += &outcome.remarks.join("\n");
    assert!(outcome.passes(), "{} does not meet its numbers:\n{said}", problem.name);
}

/// A test for each problem of a list, and one that none of the list is missing.
macro_rules! problems {
    (all of $list:expr; $($test:ident: $problem:expr;)*) => {
        $(#[test]
        fn $test() {
            $crate::meets::meets(&$problem);
        })*

        #[test]
        fn every_problem_of_the_list_is_tested_here() {
            let tested = [$($problem.name),*];
            let listed: Vec<&str> = $list.iter().map(|p| p.name).collect();
            assert_eq!(listed, tested);
        }
    };
}

pub(crate) use problems;

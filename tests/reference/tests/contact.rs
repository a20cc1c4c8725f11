//! Runs every contact problem and asks whether it meets its published numbers.

use reference::problem::Problem;

/// Runs a problem; says all that it compared when one comparison fails.
fn meets(problem: &Problem) {
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

macro_rules! problems {
    ($($test:ident: $problem:expr;)*) => {
        $(#[test]
        fn $test() {
            meets(&$problem);
        })*

        #[test]
        fn every_problem_of_the_list_is_tested_here() {
            let tested = [$($problem.name),*];
            let listed: Vec<&str> = reference::contact::contact().iter().map(|p| p.name).collect();
            assert_eq!(listed, tested);
        }
    };
}

problems! {
    neat_rigid_pin: reference::neat_pin::RIGID;
    neat_elastic_pin: reference::neat_pin::ELASTIC;
    pin_with_clearance: reference::neat_pin::CLEARANCE;
    rigid_cylinder_on_block: reference::hertz::RIGID_ON_BLOCK;
    steel_cylinder_on_block: reference::hertz::ELASTIC_ON_BLOCK;
    rigid_pin_in_groove: reference::hertz::RIGID_IN_GROOVE;
    steel_pin_in_groove: reference::hertz::ELASTIC_IN_GROOVE;
}

//! Runs every strength problem and asks whether it meets its published numbers.

mod meets;

use meets::meets;

macro_rules! problems {
    ($($test:ident: $problem:expr;)*) => {
        $(#[test]
        fn $test() {
            meets(&$problem);
        })*

        #[test]
        fn every_problem_of_the_list_is_tested_here() {
            let tested = [$($problem.name),*];
            let listed: Vec<&str> = reference::strength::strength().iter().map(|p| p.name).collect();
            assert_eq!(listed, tested);
        }
    };
}

problems! {
    pin_in_double_shear: reference::strength::PIN;
    lug_tear_out: reference::strength::LUG;
    pin_connected_plate: reference::strength::PIN_CONNECTED_PLATE;
    shape_factors: reference::strength::SHAPE_FACTORS;
    bending_and_pull: reference::strength::BENDING_AND_PULL;
}

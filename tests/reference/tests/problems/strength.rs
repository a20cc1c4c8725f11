//! Runs every strength problem and asks whether it meets its published numbers.

use crate::meets;

meets::problems! {
    all of reference::strength::strength();
    pin_in_double_shear: reference::strength::PIN;
    lug_tear_out: reference::strength::LUG;
    pin_connected_plate: reference::strength::PIN_CONNECTED_PLATE;
    shape_factors: reference::strength::SHAPE_FACTORS;
    bending_and_pull: reference::strength::BENDING_AND_PULL;
}

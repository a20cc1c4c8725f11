//! Runs every problem of collapse and asks whether it meets its published numbers.

use crate::meets;

meets::problems! {
    all of reference::collapse::collapse();
    cantilever: reference::collapse::CANTILEVER;
    strip_with_hole: reference::collapse::STRIP_WITH_HOLE;
    double_notch: reference::collapse::DOUBLE_NOTCH;
    yielding_cylinder: reference::yielding_cylinder::PROBLEM;
}

//! Runs every problem of yielding step by step and asks whether it meets its published numbers.

use crate::meets;

meets::problems! {
    all of reference::elastic_plastic::elastic_plastic();
    point: reference::elastic_plastic::POINT;
    bending: reference::elastic_plastic::BENDING;
    shape_factors: reference::elastic_plastic::SHAPE_FACTORS;
    bending_and_pull: reference::elastic_plastic::BENDING_AND_PULL;
    cantilever: reference::elastic_plastic::CANTILEVER;
    ring: reference::elastic_plastic::RING;
    frame: reference::elastic_plastic::FRAME;
    strip_with_hole: reference::elastic_plastic::STRIP_WITH_HOLE;
    double_notch: reference::elastic_plastic::DOUBLE_NOTCH;
    cylinder: reference::elastic_plastic::CYLINDER;
    elastica: reference::elastic_plastic::ELASTICA;
    circle: reference::elastic_plastic::CIRCLE;
}

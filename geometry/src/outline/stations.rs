//! The named cuts over which section forces are reported.

use crate::curve::Point;
use crate::region::Stretch;

/// A straight cut through a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Its name.
    pub stretch: Stretch,
    /// End of the cut on the window's side.
    pub inner: Point,
    /// End of the cut on the outside.
    pub outer: Point,
    /// Centroid of the section, about which moments are taken.
    pub centroid: Point,
    /// Unit vector square to the cut, in the order of travel hinge, lower bar, spine, upper bar, nose (and on down the
    /// gate to the hinge). The outside lies on its left.
    pub along: Point,
}

impl Station {
    /// True when `p` lies beyond the plane of the cut, in the order of travel.
    #[must_use]
    pub fn is_beyond(&self, p: Point) -> bool {
        (p[0] - self.centroid[0]) * self.along[0] + (p[1] - self.centroid[1]) * self.along[1] > 0.0
    }
}

//! Where the pieces of a map stand on its page: for its drawing, and for tests that ask what covers what.

use crate::layout::Area;

/// A box on the page: its upper left and its lower right corner, page units (y down).
pub type PageBox = [[f64; 2]; 2];

/// Where the pieces of a map stand, in page units (y down).
#[derive(Clone, Debug, PartialEq)]
pub struct MapPlaces {
    /// The labels that found a place.
    pub labels: Vec<LabelPlace>,
    /// How many points were to be named.
    pub wanted: usize,
    /// Closed polygons of the frame.
    pub frame: Vec<Vec<[f64; 2]>>,
    /// Closed polygons of the gate.
    pub gate: Vec<Vec<[f64; 2]>>,
    /// Straps and bars, as closed polygons.
    pub loads: Vec<Vec<[f64; 2]>>,
    /// Centre and radius of each pin: that of the nose, then that of the hinge.
    pub pins: Vec<([f64; 2], f64)>,
    /// The enlarged nose with its words, and the frame on the map around what it shows.
    pub inset: Option<[PageBox; 2]>,
}

/// Where a label stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LabelPlace {
    /// The stress that it tells, MPa.
    pub value_mpa: f64,
    /// Number and words.
    pub area: PageBox,
    /// Its leader: start, elbow, end.
    pub leader: [[f64; 2]; 3],
    /// The point that it names.
    pub point: [f64; 2],
    /// Whether its leader runs over metal, since no free place had another way.
    pub crosses: bool,
}

/// The corners of an area.
pub(crate) fn corners(area: &Area) -> PageBox {
    [[area.x, area.y], [area.right(), area.bottom()]]
}

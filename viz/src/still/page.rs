//! The three shapes of page and their sizes of type.

use crate::frame::{self, Foot, FootType};

/// The shape of a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    Landscape,
    Portrait,
    Square,
}

/// A page whose short side is 1080 units.
#[derive(Clone, Debug)]
pub(super) struct Page {
    /// Pixels per unit.
    pub unit: f64,
    pub width: f64,
    pub height: f64,
    pub shape: Shape,
    pub margin: f64,
    /// Least size of the statement, the see-saw's numbers and the weakest part: a thirtieth of the height.
    pub main: f64,
    /// Title, rig, names.
    pub second: f64,
    /// The ruler.
    pub ruler: f64,
    /// Caution and source.
    pub foot: Foot,
}

impl Page {
    pub fn new(width_px: u32, height_px: u32, caution: &str, source: &str) -> Self {
        let sheet = frame::Page::of(width_px, height_px, [1080.0, 1080.0]);
        let (width, height) = (sheet.width, sheet.height);
        let shape = if sheet.is_upright() {
            Shape::Portrait
        } else if width > 1.2 * height {
            Shape::Landscape
        } else {
            Shape::Square
        };
        let main = height / 30.0;
        let (margin, second, ruler) = match shape {
            Shape::Landscape => (64.0, 36.0, 36.0),
            Shape::Portrait => (56.0, 46.0, 40.0),
            Shape::Square => (48.0, 34.0, 27.0),
        };
        // As on every page; only a square has no room to spare below it.
        let set = match shape {
            Shape::Square => FootType { bottom: 14.0, ..FootType::UPRIGHT },
            Shape::Landscape => FootType::WIDE,
            Shape::Portrait => FootType::UPRIGHT,
        };
        let foot = Foot::new(caution, source, [width, height], margin, set);
        Self { unit: sheet.unit, width, height, shape, margin, main, second, ruler, foot }
    }

    /// Width between the margins.
    pub fn inside(&self) -> f64 {
        self.width - 2.0 * self.margin
    }
}

//! The three shapes of page and their sizes of type.

use crate::layout::Area;

/// The shape of a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    Landscape,
    Portrait,
    Square,
}

/// A page whose short side is 1080 units.
#[derive(Clone, Copy, Debug)]
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
    pub small: f64,
    pub footer: Area,
}

impl Page {
    pub fn new(width_px: u32, height_px: u32) -> Self {
        let (w, h) = (f64::from(width_px.max(1)), f64::from(height_px.max(1)));
        let unit = w.min(h) / 1080.0;
        let (width, height) = (w / unit, h / unit);
        let shape = if width > 1.2 * height {
            Shape::Landscape
        } else if height > 1.2 * width {
            Shape::Portrait
        } else {
            Shape::Square
        };
        let main = height / 30.0;
        let (margin, second, ruler, small, footer) = match shape {
            Shape::Landscape => (64.0, 36.0, 36.0, 22.0, 88.0),
            Shape::Portrait => (56.0, 46.0, 40.0, 27.0, 172.0),
            Shape::Square => (48.0, 34.0, 32.0, 27.0, 158.0),
        };
        let footer = Area { x: margin, y: height - footer, w: width - 2.0 * margin, h: footer };
        Self { unit, width, height, shape, margin, main, second, ruler, small, footer }
    }

    /// Width between the margins.
    pub fn inside(&self) -> f64 {
        self.width - 2.0 * self.margin
    }
}

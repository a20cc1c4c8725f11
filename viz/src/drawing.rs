//! The drawing list: what a picture is made of, before anybody decides how it is written.
//!
//! Coordinates are picture units: x right, y down, origin at the upper left corner. A drawing is laid out once, in
//! units that suit the layout, and `pixels_per_unit` says how large it is written. Nothing here knows a font file or an
//! image format.

use crate::colour::Rgba;
use crate::path::Path;
use crate::text::Text;
use std::collections::BTreeSet;

/// A finished picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Width, picture units.
    pub width: f64,
    /// Height, picture units.
    pub height: f64,
    /// Pixels of the written picture per picture unit.
    pub pixels_per_unit: f64,
    /// Short name, for screen readers and window titles.
    pub title: String,
    /// What the picture says, with its numbers, in words.
    pub description: String,
    /// Colour under everything; `None` leaves the ground transparent.
    pub background: Option<Rgba>,
    /// Shapes, painted in order.
    pub items: Vec<Item>,
}

/// One thing to paint.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A path, filled, stroked or both (fill first).
    Shape {
        /// Its outline.
        path: Path,
        /// Inside.
        fill: Option<Paint>,
        /// Line.
        stroke: Option<Stroke>,
    },
    /// A run of text on one line.
    Text(Text),
    /// A picture made of pixels.
    Image(Image),
    /// Items painted only inside a path.
    Clipped {
        /// What stays visible.
        clip: Path,
        /// What is painted.
        items: Vec<Self>,
    },
}

/// How the inside of a path is painted.
#[derive(Clone, Debug, PartialEq)]
pub enum Paint {
    /// One colour.
    Solid(Rgba),
    /// Colours along a line; stops are (position 0 to 1, colour).
    Linear {
        /// Where position 0 is.
        from: [f64; 2],
        /// Where position 1 is.
        to: [f64; 2],
        /// Colours, by rising position.
        stops: Vec<(f64, Rgba)>,
    },
    /// Colours outward from a point that may lie off the circle's centre.
    Radial {
        /// Where position 0 is.
        focus: [f64; 2],
        /// Centre of the circle of position 1.
        centre: [f64; 2],
        /// Radius of that circle.
        radius: f64,
        /// Colours, by rising position.
        stops: Vec<(f64, Rgba)>,
    },
}

/// A line along a path. Caps and joins are round.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// Colour.
    pub colour: Rgba,
    /// Width, picture units.
    pub width: f64,
    /// Lengths of dash and gap.
    pub dash: Option<[f64; 2]>,
}

/// Pixels, placed in the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Image {
    /// Upper left corner, picture units.
    pub at: [f64; 2],
    /// Width and height, picture units.
    pub size: [f64; 2],
    /// Pixels across and down.
    pub pixels: [u32; 2],
    /// Red, green, blue, alpha of each pixel (not premultiplied), row by row.
    pub rgba: Vec<u8>,
}

/// Why a drawing could not be written. Displayed as it is held: who draws has the words.
#[derive(Debug, thiserror::Error)]
#[error("{self:?}")]
pub enum PictureError {
    /// No pixels, or far too many.
    Size {
        /// Pixels across.
        width: f64,
        /// Pixels down.
        height: f64,
    },
    /// The PNG writer refused.
    Png(#[from] ::png::EncodingError),
}

/// Texts among items, those inside clips too.
fn texts(items: &[Item]) -> Vec<&Text> {
    items
        .iter()
        .flat_map(|item| match item {
            Item::Text(text) => vec![text],
            Item::Clipped { items, .. } => texts(items),
            Item::Shape { .. } | Item::Image(_) => Vec::new(),
        })
        .collect()
}

impl Drawing {
    /// All of its texts, as painted, those inside clips too.
    #[must_use]
    pub fn texts(&self) -> Vec<&Text> {
        texts(&self.items)
    }

    /// Size of the written picture, pixels across and down, rounded to whole pixels.
    ///
    /// # Errors
    /// [`PictureError::Size`] outside 1 to 16384 pixels.
    pub fn pixel_size(&self) -> Result<[u32; 2], PictureError> {
        let width = (self.width * self.pixels_per_unit).round();
        let height = (self.height * self.pixels_per_unit).round();
        if !(1.0..=16384.0).contains(&width) || !(1.0..=16384.0).contains(&height) {
            return Err(PictureError::Size { width, height });
        }
        Ok([width as u32, height as u32])
    }

    /// Letters that the font has no shape for, each once, in the order of their codes: a PNG does not show them.
    #[must_use]
    pub fn lacking(&self) -> BTreeSet<char> {
        fn collect(items: &[Item], all: &mut BTreeSet<char>) {
            for item in items {
                match item {
                    Item::Text(text) => all.extend(text.lacking()),
                    Item::Clipped { items, .. } => collect(items, all),
                    Item::Shape { .. } | Item::Image(_) => {}
                }
            }
        }
        let mut all = BTreeSet::new();
        collect(&self.items, &mut all);
        all
    }
}

impl From<Rgba> for Paint {
    fn from(colour: Rgba) -> Self {
        Self::Solid(colour)
    }
}

impl Stroke {
    /// An unbroken line.
    #[must_use]
    pub fn new(colour: Rgba, width: f64) -> Self {
        Self { colour, width, dash: None }
    }

    /// The same line in dashes.
    #[must_use]
    pub fn dashed(self, dash: f64, gap: f64) -> Self {
        Self { dash: Some([dash, gap]), ..self }
    }
}

impl Item {
    /// A filled path.
    pub fn filled(path: Path, fill: impl Into<Paint>) -> Self {
        Self::Shape { path, fill: Some(fill.into()), stroke: None }
    }

    /// A line along a path.
    #[must_use]
    pub fn stroked(path: Path, stroke: Stroke) -> Self {
        Self::Shape { path, fill: None, stroke: Some(stroke) }
    }

    /// A filled path with a line along it.
    pub fn outlined(path: Path, fill: impl Into<Paint>, stroke: Stroke) -> Self {
        Self::Shape { path, fill: Some(fill.into()), stroke: Some(stroke) }
    }
}

//! Pictures of a connector, as data in and strings and bytes out: this crate knows no file and no socket.
//!
//! The flow inside: a picture ([`StressMap`], [`Sketch`]) becomes one [`Drawing`], a flat list of shapes, and a drawing
//! becomes SVG or PNG. Both writers see the same list, so the two cannot disagree about what the picture says.

mod balance;
mod bodies;
mod callouts;
mod colour;
mod convergence_chart;
mod dimension;
mod drawing;
mod layout;
mod look;
mod parameter_chart;
mod png;
mod raster;
mod rig_shapes;
mod ruler;
mod sketch;
mod stress_map;
mod svg;
mod text;
mod threads;

pub use colour::{Rgba, Scale, lightness};
pub use convergence_chart::{ChartError, Convergence, convergence_svg};
pub use drawing::{Drawing, Image, Item, Paint, Path, PictureError, Rule, Segment, Stroke};
pub use parameter_chart::{DrawnChart, ParameterChart, PlotArea, Reading};
pub use raster::ValueRaster;
pub use sketch::{Dimension, SectionInset, SectionOutline, Sketch};
pub use stress_map::{BodyField, Callout, Field, LoadShape, StressMap};
pub use text::{Anchor, Text, Weight, font_file};

//! Which value of a checked model a key is.

use super::super::Model;
use geometry::connector::{Connector, Section};
use solver::material::{Material, Materials};
use solver::rig::{Loader, Rig};

/// The value of a key.
#[derive(Clone, Debug, PartialEq)]
pub enum KeyValue {
    /// A number, in the base unit of the key.
    Number(f64),
    /// The four corner radii, mm.
    Corners([f64; 4]),
    /// One of the words of the key.
    Word(&'static str),
    /// A text, or the name of a metal.
    Text(String),
}

/// Reads the value of a key out of a model.
#[derive(Clone, Copy, Debug)]
pub enum Getter {
    /// From the model as a whole.
    Model(fn(&Model) -> Option<KeyValue>),
    /// A number of the connector.
    Connector(fn(&Connector) -> f64),
    /// From one bar of the frame.
    Section(fn(&Connector) -> &Section, fn(&Section) -> Option<KeyValue>),
    /// From what pulls at one end.
    Loader(fn(&Rig) -> &Loader, fn(&Loader) -> Option<KeyValue>),
    /// A number of one metal.
    Metal(fn(&Materials) -> &Material, fn(&Material) -> f64),
    /// A number of one metal that may be unknown.
    MetalIfKnown(fn(&Materials) -> &Material, fn(&Material) -> Option<f64>),
    /// Kept in the file, for its reader only.
    Nothing,
}

impl Getter {
    /// The value; `None` where it has no meaning in this model, or stayed unknown.
    #[must_use]
    pub fn value(&self, model: &Model) -> Option<KeyValue> {
        match self {
            Self::Model(get) => get(model),
            Self::Connector(get) => Some(KeyValue::Number(get(&model.connector))),
            Self::Section(which, get) => get(which(&model.connector)),
            Self::Loader(which, get) => get(which(&model.rig)),
            Self::Metal(which, get) => Some(KeyValue::Number(get(which(&model.materials)))),
            Self::MetalIfKnown(which, get) => get(which(&model.materials)).map(KeyValue::Number),
            Self::Nothing => None,
        }
    }
}

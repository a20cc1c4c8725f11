//! The checked model: what every later step may rely on.

use super::misfit::LoaderKind;
use super::told::Told;
use geometry::connector::Connector;
use serde::Serialize;
use solver::forecast::Calibration;
use solver::material::Materials;
use solver::material::library::Handbook;
use solver::rig::{GateState, Rig};
use solver::strength::{Constant, Constants, Strengths};
use std::sync::Arc;

/// Marked strengths, kN, where they are known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Marking {
    /// Along the major axis, gate closed.
    pub closed_kn: Option<f64>,
    /// Along the major axis, gate open.
    pub open_kn: Option<f64>,
    /// Across.
    pub across_kn: Option<f64>,
}

impl Marking {
    /// What is marked for a state of the gate, kN. No marking is for a gate that is half shut.
    #[must_use]
    pub fn of(&self, gate: GateState) -> Option<f64> {
        match gate {
            GateState::Closed => self.closed_kn,
            GateState::Open => self.open_kn,
            GateState::Half { .. } => None,
        }
    }
}

/// How a value is uncertain.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum SpreadKind {
    /// The middle, this much more or less.
    PlusMinus(f64),
    /// Anything between the two.
    Between(f64, f64),
    /// A material that is known by its kind only; the ranges are in the library.
    UnknownMaterial,
}

/// A value that is known only within a range.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Spread {
    /// Its key; corners of the window as `window.corner_radius_mm[1]` to `[4]`.
    pub key: String,
    /// How uncertain it is, in the key's unit.
    pub kind: SpreadKind,
    /// The value that the map uses, in the key's unit (the yield strength in MPa of an unknown material).
    pub middle: f64,
}

/// An end of the connector.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum End {
    /// The end at the nose.
    Upper,
    /// The end at the hinge.
    Lower,
}

impl End {
    /// Both ends.
    pub const BOTH: [Self; 2] = [Self::Upper, Self::Lower];

    /// Its word in a model file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Upper => "upper",
            Self::Lower => "lower",
        }
    }
}

/// What a reader of the answers must know about the values that were used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Note<'a> {
    /// A value that is known only within a range: its middle is used.
    Range(&'a Spread),
    /// A material that is known by its kind only.
    UnknownMaterial {
        /// Its key.
        key: &'a str,
        /// The entry of the library.
        metal: &'static Handbook,
    },
    /// A value that was taken, or is told to no purpose.
    Taken(Taken),
    /// A value that follows from what a caliper read.
    Converted(Converted),
    /// Values that are still those of the example that the file was made from: their keys, at least one.
    Marked(&'a [&'static str]),
}

/// A value that was taken because a set left it untold, or that is told to no purpose.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Taken {
    /// The size of a strap or bench bar that a set chose.
    Size {
        /// What pulls.
        kind: LoaderKind,
        /// Where; absent for both ends.
        end: Option<End>,
        /// The size, mm.
        size_mm: f64,
    },
    /// How far the pin of a gate that a set chose half shut is engaged: half way into the notch.
    HalfEngaged,
    /// A depth of engagement beside a gate that is not half shut. No mistake: one switches the gate with a set and back
    /// again.
    IdleEngaged,
}

/// A value of the connector that was given by what a caliper reads.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Converted {
    /// The key that was given.
    pub key: &'static str,
    /// What was read, mm.
    pub read_mm: f64,
    /// The key in whose place it stands.
    pub own: &'static str,
    /// The value of that key, mm.
    pub own_mm: f64,
}

/// A connector, what it is made of, and how it is pulled: checked, in millimetres, kN and MPa.
///
/// Every number is finite and inside its range, and the numbers fit each other as far as that can be told without
/// drawing the outline.
#[derive(Clone, Debug)]
pub struct Model {
    /// Name of the connector.
    pub title: String,
    /// Marked strengths.
    pub marking: Marking,
    /// Its shape.
    pub connector: Connector,
    /// What its parts are made of.
    pub materials: Materials,
    /// How it is pulled.
    pub rig: Rig,
    /// The load in use, kN, where one is told.
    pub working_load_kn: Option<f64>,
    /// The stroke of the bench, mm, where it is told: it ends a pull that goes that far.
    pub stroke_mm: Option<f64>,
    /// Which values are uncertain, in the order of the keys.
    pub spreads: Vec<Spread>,
    /// The metals of the library that are known by their kind only, by the key that names them, in the order of the keys.
    pub unknown_metals: Vec<(String, &'static Handbook)>,
    /// What was taken because a set left it untold, and what is told to no purpose.
    pub taken: Vec<Taken>,
    /// The values of the connector that follow from what a caliper read, in the order of the keys.
    pub converted: Vec<Converted>,
    /// Clear opening of the mouth as it was measured, mm: a check of the model, which nothing depends on.
    pub opening_mm: Option<f64>,
    /// The keys whose values are marked as those of the example that the file was made from, in their order.
    pub marked: Vec<&'static str>,
    /// Whether file or sets say where the load lies at the upper and the lower end. An offset that is still the example's says
    /// nothing.
    pub places_entered: [bool; 2],
    /// What all pulls share, as no model file tells it: as computed and entered, unless a calibration says otherwise. The rig has its
    /// friction already.
    pub constants: Constants,
    /// What pulls have told of these constants, where a calibration is used.
    pub calibration: Option<Arc<Calibration>>,
    /// What it was told by.
    pub(crate) told: Told,
}

impl PartialEq for Model {
    /// What it comes to counts, not how it was told.
    fn eq(&self, other: &Self) -> bool {
        self.title == other.title
            && self.marking == other.marking
            && self.connector == other.connector
            && self.materials == other.materials
            && self.rig == other.rig
            && self.working_load_kn == other.working_load_kn
            && self.stroke_mm == other.stroke_mm
            && self.spreads == other.spreads
            && self.unknown_metals == other.unknown_metals
            && self.taken == other.taken
            && self.opening_mm == other.opening_mm
            && self.constants == other.constants
            && self.calibration == other.calibration
    }
}

impl Model {
    /// The strengths of its parts.
    #[must_use]
    pub fn strengths(&self) -> Strengths {
        Strengths::new(&self.connector, &self.materials).under(&self.constants)
    }

    /// The same with another value of a constant.
    #[must_use]
    pub fn with_constant(mut self, constant: Constant, value: f64) -> Self {
        if constant == Constant::Friction {
            self.rig.friction *= value / self.constants.friction;
        }
        self.constants = self.constants.with(constant, value);
        self
    }

    /// The same as a calibration has it: constants at their middles, and drawn as pulls have told.
    #[must_use]
    pub fn calibrated(self, calibration: &Arc<Calibration>) -> Self {
        let model = self.with_constants(&calibration.middle());
        Self { calibration: Some(Arc::clone(calibration)), ..model }
    }

    /// The same with other values of all constants.
    #[must_use]
    pub fn with_constants(self, constants: &Constants) -> Self {
        Constant::ALL.iter().fold(self, |model, one| model.with_constant(*one, constants.get(*one)))
    }

    /// What a reader of its answers must know: one note for each uncertain value, then one for each that was taken.
    #[must_use]
    pub fn notes(&self) -> Vec<Note<'_>> {
        let notes = self.spreads.iter().filter_map(|spread| match spread.kind {
            SpreadKind::UnknownMaterial => {
                let metal = self.unknown_metals.iter().find(|(of, _)| *of == spread.key);
                metal.map(|(key, metal)| Note::UnknownMaterial { key, metal })
            }
            _ => Some(Note::Range(spread)),
        });
        notes.chain(self.taken.iter().copied().map(Note::Taken)).chain(self.notes_on_measuring()).collect()
    }

    /// Of these, what is to be known of how it was measured: one for each value that follows from a caliper's reading, then one for
    /// all that are still the example's.
    pub fn notes_on_measuring(&self) -> impl Iterator<Item = Note<'_>> {
        let marked = (!self.marked.is_empty()).then_some(Note::Marked(&self.marked));
        self.converted.iter().copied().map(Note::Converted).chain(marked)
    }
}

//! Something that is not known exactly, and the connector with it changed.

use crate::model::misfit::LoaderKind;
use crate::model::{End, Model};
use geometry::connector::Pin;
use solver::forecast::Law;
use solver::material::{Material, Materials, library};
use solver::rig::Loader;
use solver::strength::Constant;

/// One of the three kinds of part that are of one metal each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Body {
    /// The frame.
    Frame,
    /// The gate.
    Gate,
    /// Both pins.
    Pins,
}

/// All three.
pub const BODIES: [Body; 3] = [Body::Frame, Body::Gate, Body::Pins];

/// One of the strengths of a metal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Strength {
    /// Where it yields.
    Yield,
    /// Ultimate, in tension.
    Ultimate,
    /// Ultimate, in shear.
    Shear,
}

/// What is not known exactly.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnknownOf {
    /// A key of the model; corners of the window as `window.corner_radius_mm[1]` to `[4]`.
    Key(String),
    /// The strength of a metal.
    Strength(Body),
    /// The strength of a strap.
    Strap(End),
    /// Where a load lies.
    Place(End, LoaderKind),
    /// The clearance of a pin.
    Clearance(Pin),
    /// A constant that all pulls share.
    Constant(Constant),
    /// What nothing else accounts for: the load cell, the rate of the bench, what the model leaves out.
    Beyond,
}

/// On what a range stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Basis {
    /// The model states it.
    Stated,
    /// The model names a metal by its kind only: the range of the library.
    UnknownMetal(&'static library::Handbook),
    /// It is assumed, where the model says nothing.
    Assumed,
    /// Pulls have told it.
    Calibrated,
}

/// A value of an unknown, in the terms that it is told in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum UnknownValue {
    /// A number, in the unit of its key.
    Number(f64),
    /// A part of the half ranges of several keys, from -1 to 1.
    OfHalfRanges(f64),
    /// A part of the half range of a metal, from -1 to 1.
    OfHalfRange(f64),
    /// A factor on what was entered.
    Factor(f64),
    /// An offset of a load, mm.
    Offset(f64),
    /// A length, mm.
    Length(f64),
    /// The flow stress: from yield at 0 to ultimate at 1.
    Flow(f64),
    /// How wide pins press: see [`solver::strength::Constants::press`].
    Press(f64),
}

/// What an unknown changes.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Changes {
    /// Keys of the model: middle and half range of each, moved together.
    Keys(Vec<(String, f64, f64)>),
    /// The same, of keys that are strengths of one body.
    Strengths(Body, Vec<(String, f64, f64)>),
    /// One corner radius.
    Corner(usize),
    /// Yield, ultimate and shear strength of a body, by one factor.
    Strength(Body),
    /// The same, from end to end of what an unknown metal may have; lowest and highest ultimate strength, MPa.
    Band(Body, [f64; 2]),
    Offset(End),
    /// Strength of a strap, by a factor.
    Strap(End),
    Clearance(Pin),
    /// A constant: of factors the logarithm.
    Constant(Constant),
    /// Every load, by a factor of which this is the logarithm.
    Loads,
}

/// Something that is not known exactly.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// What it is.
    pub of: UnknownOf,
    /// On what its range stands.
    pub basis: Basis,
    /// How it is spread.
    pub law: Law,
    /// Its value in the connector as it is.
    pub middle: f64,
    pub(super) changes: Changes,
}

/// The key of a pin's clearance.
#[must_use]
pub fn clearance_key(pin: Pin) -> &'static str {
    match pin {
        Pin::Nose => "nose.pin_clearance_mm",
        Pin::Hinge => "hinge.pin_clearance_mm",
    }
}

impl Body {
    /// Its word, which is also that of its table in a model file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Frame => "frame",
            Self::Gate => "gate",
            Self::Pins => "pins",
        }
    }

    /// Its metal.
    pub fn metal(self, metals: &mut Materials) -> &mut Material {
        match self {
            Self::Frame => &mut metals.frame,
            Self::Gate => &mut metals.gate,
            Self::Pins => &mut metals.pins,
        }
    }
}

impl Unknown {
    /// True when the model itself says so: a range of its own, or a metal known by its kind only.
    #[must_use]
    pub fn is_of_the_model(&self) -> bool {
        matches!(self.basis, Basis::Stated | Basis::UnknownMetal(_))
    }

    /// The connector with this unknown at a value; `None` when such a connector is no model. Ranges that the model states
    /// are put over what it was told by, so nothing may have been changed in it since.
    #[must_use]
    pub fn at(&self, value: f64, model: &Model) -> Option<Model> {
        let mut changed = model.clone();
        match &self.changes {
            Changes::Keys(keys) | Changes::Strengths(_, keys) => {
                let numbers: Vec<(&str, f64)> =
                    keys.iter().map(|(key, middle, half)| (key.as_str(), middle + half * value)).collect();
                changed = model.with_numbers(&numbers).ok()?;
            }
            Changes::Corner(corner) => *changed.connector.window.corner_radius_mm.get_mut(*corner)? = value,
            Changes::Strength(which) => {
                which.metal(&mut changed.materials).scale_strength(value);
            }
            Changes::Band(which, _) => {
                let metal = which.metal(&mut changed.materials);
                let book = library::named(&metal.name)?;
                let at = |datum: library::Datum| match datum.range {
                    Some([low, high]) => 0.5 * (low + high) + 0.5 * value * (high - low),
                    None => datum.value,
                };
                metal.yield_mpa = at(book.yield_mpa);
                metal.ultimate_mpa = at(book.ultimate_mpa);
                metal.shear_ultimate_mpa = at(book.shear_ultimate_mpa);
            }
            Changes::Offset(end) => {
                let loader = if *end == End::Upper { &mut changed.rig.upper } else { &mut changed.rig.lower };
                match loader {
                    Loader::Strap { offset_mm, .. } | Loader::Bar { offset_mm, .. } => *offset_mm = value,
                }
            }
            Changes::Strap(end) => {
                let loader = if *end == End::Upper { &mut changed.rig.upper } else { &mut changed.rig.lower };
                if let Loader::Strap { strength_kn: Some(strength), .. } = loader {
                    *strength *= value;
                }
            }
            Changes::Clearance(pin) => *changed.connector.pin_clearance_mut(*pin) = value,
            Changes::Constant(which) => {
                changed = changed.with_constant(*which, which.value(value));
            }
            // Loads are no part of a model.
            Changes::Loads => {}
        }
        Some(changed)
    }

    /// The factor on every load at a value, where that is all it changes.
    #[must_use]
    pub fn on_loads(&self, value: f64) -> Option<f64> {
        (self.changes == Changes::Loads).then(|| value.exp())
    }

    /// The body whose strength it is.
    #[must_use]
    pub fn strength_of(&self) -> Option<Body> {
        match self.changes {
            Changes::Strength(body) | Changes::Strengths(body, _) | Changes::Band(body, _) => Some(body),
            _ => None,
        }
    }

    /// Which strength its values are, where they are those of a metal.
    #[must_use]
    pub fn strength(&self) -> Strength {
        match &self.changes {
            Changes::Keys(keys) | Changes::Strengths(_, keys) => match told_key(keys) {
                Some((key, ..)) if key.ends_with(".yield_mpa") => Strength::Yield,
                Some((key, ..)) if key.ends_with(".shear_ultimate_mpa") => Strength::Shear,
                _ => Strength::Ultimate,
            },
            _ => Strength::Ultimate,
        }
    }

    /// Where the scale that it is told on begins, and how far one step of its values goes there.
    fn scale(&self) -> (f64, f64) {
        let of = |keys: &[(String, f64, f64)]| {
            told_key(keys).map_or((0.0, 1.0), |(_, middle, half)| (*middle, *half))
        };
        match &self.changes {
            Changes::Keys(keys) | Changes::Strengths(_, keys) => of(keys),
            Changes::Strength(_) => (-100.0, 100.0),
            Changes::Band(_, [low, high]) => (0.5 * (low + high), 0.5 * (high - low)),
            _ => (0.0, 1.0),
        }
    }

    /// Its law as it is told to people: strengths in MPa, or in percent more than entered where only scatter is known;
    /// everything else in the unit of its key.
    #[must_use]
    pub fn told_law(&self) -> Law {
        let told = |value| self.as_entered(value);
        match self.law {
            Law::Normal { middle, sigma, low, high } => Law::Normal {
                middle: told(middle),
                sigma: self.scale().1 * sigma,
                low: told(low),
                high: told(high),
            },
            Law::Even { low, high } => Law::Even { low: told(low), high: told(high) },
        }
    }

    /// Its value in the connector as it is, as it is told to people.
    #[must_use]
    pub fn told_middle(&self) -> f64 {
        self.as_entered(self.middle)
    }

    fn as_entered(&self, value: f64) -> f64 {
        let (begins, step) = self.scale();
        begins + step * value
    }

    /// The value that is told as this.
    #[must_use]
    pub fn told_as(&self, told: f64) -> f64 {
        let (begins, step) = self.scale();
        (told - begins) / step
    }

    /// Whether loads run straight from its middle to either end, with a kink between.
    #[must_use]
    pub fn has_a_kink(&self) -> bool {
        self.changes == Changes::Constant(Constant::Press)
    }

    /// Where the upper (true) or the lower load lies at a value, mm from the window's middle; `None` where it is no offset.
    #[must_use]
    pub fn offset_at(&self, value: f64) -> Option<(bool, f64)> {
        match &self.changes {
            Changes::Offset(end) => Some((*end == End::Upper, value)),
            Changes::Keys(keys) => match keys.as_slice() {
                [(key, middle, half)] if key.ends_with(".offset_mm") => {
                    Some((key.starts_with("rig.upper."), middle + half * value))
                }
                _ => None,
            },
            _ => None,
        }
    }

    /// Whether its values are offsets of a load, mm.
    #[must_use]
    pub fn is_offset(&self) -> bool {
        matches!(self.changes, Changes::Offset(_))
    }

    /// A value in the terms that it is told in.
    #[must_use]
    pub fn value(&self, value: f64) -> UnknownValue {
        match &self.changes {
            Changes::Keys(keys) | Changes::Strengths(_, keys) => match keys.as_slice() {
                [(_, middle, half)] => UnknownValue::Number(middle + half * value),
                _ => UnknownValue::OfHalfRanges(value),
            },
            Changes::Strength(_) | Changes::Strap(_) => UnknownValue::Factor(value),
            Changes::Band(..) => UnknownValue::OfHalfRange(value),
            Changes::Offset(_) => UnknownValue::Offset(value),
            Changes::Clearance(_) | Changes::Corner(_) => UnknownValue::Length(value),
            Changes::Constant(Constant::Flow) => UnknownValue::Flow(value),
            Changes::Constant(Constant::Press) => UnknownValue::Press(value),
            Changes::Constant(of) => UnknownValue::Factor(of.value(value)),
            Changes::Loads => UnknownValue::Factor(value.exp()),
        }
    }
}

/// The strength by which several that move together are told: the ultimate one if it is among them.
fn told_key(keys: &[(String, f64, f64)]) -> Option<&(String, f64, f64)> {
    let ultimate = keys.iter().find(|k| k.0.ends_with(".ultimate_mpa"));
    ultimate.or(keys.first())
}

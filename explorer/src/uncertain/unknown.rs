//! Something that is not known exactly, and the connector with it changed.

use solver::forecast::{Law, with_flow};
use solver::material::{Material, Materials, library};
use solver::rig::Loader;
use study::model::Model;

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

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    Upper,
    Lower,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pin {
    Nose,
    Hinge,
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
    Flow,
    /// How wide pins press in lip and lugs.
    Press,
}

/// Something that is not known exactly.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// What it is, in words, or its key.
    pub what: String,
    /// What was assumed about it, where the model says nothing.
    pub assumed: Option<String>,
    /// How it is spread.
    pub law: Law,
    /// Its value in the connector as it is.
    pub middle: f64,
    pub(super) changes: Changes,
}

/// A connector with one unknown changed.
#[derive(Clone, Debug)]
pub struct Variant {
    /// The model.
    pub model: Model,
    /// How wide pins press in lip and lugs: -1 on a narrow patch, 0 where they bed in, 1 where they have bedded in deeply.
    pub press: f64,
}

impl Variant {
    /// The connector as it is.
    #[must_use]
    pub fn nominal(model: &Model) -> Self {
        Self { model: model.clone(), press: 0.0 }
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
        self.assumed.is_none() || matches!(self.changes, Changes::Band(..))
    }

    /// The connector with this unknown at a value; `None` when such a connector is no model. Ranges that the model states
    /// are put over what it was told by, so nothing may have been changed in it since.
    #[must_use]
    pub fn at(&self, value: f64, model: &Model) -> Option<Variant> {
        let mut variant = Variant::nominal(model);
        let changed = &mut variant.model;
        match &self.changes {
            Changes::Keys(keys) | Changes::Strengths(_, keys) => {
                let numbers: Vec<(&str, f64)> =
                    keys.iter().map(|(key, middle, half)| (key.as_str(), middle + half * value)).collect();
                *changed = model.with_numbers(&numbers).ok()?;
            }
            Changes::Corner(corner) => *changed.connector.window.corner_radius_mm.get_mut(*corner)? = value,
            Changes::Strength(which) => {
                which.metal(&mut changed.materials).scale_strength(value);
            }
            Changes::Band(which, _) => {
                let metal = which.metal(&mut changed.materials);
                let book = library::all().iter().find(|h| h.name == metal.name)?;
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
            Changes::Clearance(Pin::Nose) => changed.connector.nose.pin_clearance_mm = value,
            Changes::Clearance(Pin::Hinge) => changed.connector.hinge.pin_clearance_mm = value,
            Changes::Flow => {
                for which in [Body::Frame, Body::Gate] {
                    let metal = which.metal(&mut changed.materials);
                    *metal = with_flow(metal, value);
                }
            }
            Changes::Press => variant.press = value,
        }
        Some(variant)
    }

    /// The body whose strength it is.
    #[must_use]
    pub fn strength_of(&self) -> Option<Body> {
        match self.changes {
            Changes::Strength(body) | Changes::Strengths(body, _) | Changes::Band(body, _) => Some(body),
            _ => None,
        }
    }

    /// Which strength its values are, in words.
    #[must_use]
    pub fn strength_word(&self) -> &'static str {
        match &self.changes {
            Changes::Keys(keys) | Changes::Strengths(_, keys) => match told_key(keys) {
                Some((key, ..)) if key.ends_with(".yield_mpa") => "yield strength",
                Some((key, ..)) if key.ends_with(".shear_ultimate_mpa") => "shear strength",
                _ => "ultimate strength",
            },
            _ => "ultimate strength",
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
        matches!(self.changes, Changes::Press)
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

    /// A value in words: in the unit of its key where it has one.
    #[must_use]
    pub fn value_in_words(&self, value: f64) -> String {
        let short = |x: f64, digits: usize| {
            let text = format!("{x:.digits$}");
            if text.contains('.') {
                text.trim_end_matches('0').trim_end_matches('.').to_owned()
            } else {
                text
            }
        };
        match &self.changes {
            Changes::Keys(keys) | Changes::Strengths(_, keys) => match keys.as_slice() {
                [(_, middle, half)] => short(middle + half * value, 3),
                _ if value <= -1.0 => "low ends".to_owned(),
                _ if value >= 1.0 => "high ends".to_owned(),
                _ => format!("{:+.0} % of their half ranges", 100.0 * value),
            },
            Changes::Strength(_) | Changes::Strap(_) => format!("{:+.0} %", 100.0 * (value - 1.0)),
            Changes::Band(..) if value <= -1.0 => "low end".to_owned(),
            Changes::Band(..) if value >= 1.0 => "high end".to_owned(),
            Changes::Band(..) => format!("{:+.0} % of its half range", 100.0 * value),
            Changes::Offset(_) => format!("{:+.1} mm", value),
            Changes::Clearance(_) | Changes::Corner(_) => format!("{} mm", short(value, 3)),
            Changes::Flow if value <= 0.0 => "yield".to_owned(),
            Changes::Flow => "ultimate".to_owned(),
            Changes::Press if value < 0.0 => "a narrow patch".to_owned(),
            Changes::Press if value > 0.0 => "bedded in deeply".to_owned(),
            Changes::Press => "bedded in".to_owned(),
        }
    }
}
/// The strength by which several that move together are told: the ultimate one if it is among them.
fn told_key(keys: &[(String, f64, f64)]) -> Option<&(String, f64, f64)> {
    let ultimate = keys.iter().find(|k| k.0.ends_with(".ultimate_mpa"));
    ultimate.or(keys.first())
}

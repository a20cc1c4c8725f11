//! Constants that all pulls of a bench share: no caliper and no data sheet gives them exactly, and pulls tell of them.

use crate::material::Material;
use crate::sections::MEAN_FLOW;
use serde::{Deserialize, Serialize};
use strum::VariantArray;

/// One of the constants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, VariantArray, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Constant {
    /// What the lip of the notch holds.
    Lip,
    /// What pins hold.
    Pins,
    /// Friction.
    Friction,
    /// Strength of the metals of frame and gate.
    Strength,
    /// At which stress their sections yield through.
    Flow,
    /// How wide pins press in lip and lugs.
    Press,
}

impl Constant {
    /// All of them.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// Whether it is a factor on what is computed or entered.
    #[must_use]
    pub const fn is_factor(self) -> bool {
        matches!(self, Self::Lip | Self::Pins | Self::Friction | Self::Strength)
    }

    /// A value on the scale that it is drawn on: of a factor its logarithm.
    #[must_use]
    pub fn scaled(self, value: f64) -> f64 {
        if self.is_factor() { value.ln() } else { value }
    }

    /// The value at a place of that scale.
    #[must_use]
    pub fn value(self, scaled: f64) -> f64 {
        if self.is_factor() { scaled.exp() } else { scaled }
    }
}

/// A value of every constant.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Constants {
    /// What the lip holds over what is computed.
    pub lip: f64,
    /// What pins hold, sheared or bent, over what is computed.
    pub pins: f64,
    /// Friction over what was entered.
    pub friction: f64,
    /// Strengths of frame and gate over those that were entered.
    pub strength: f64,
    /// The stress at which sections yield through: from yield at 0 to ultimate at 1.
    pub flow: f64,
    /// How wide pins press in lip and lugs: -1 on a narrow patch, 0 where they bed in, 1 where they have bedded in deeply.
    pub press: f64,
}

impl Default for Constants {
    fn default() -> Self {
        Self { lip: 1.0, pins: 1.0, friction: 1.0, strength: 1.0, flow: MEAN_FLOW, press: 0.0 }
    }
}

impl Constants {
    /// The value of one.
    #[must_use]
    pub fn get(&self, constant: Constant) -> f64 {
        match constant {
            Constant::Lip => self.lip,
            Constant::Pins => self.pins,
            Constant::Friction => self.friction,
            Constant::Strength => self.strength,
            Constant::Flow => self.flow,
            Constant::Press => self.press,
        }
    }

    /// The same with another value of one.
    #[must_use]
    pub fn with(mut self, constant: Constant, value: f64) -> Self {
        let at = match constant {
            Constant::Lip => &mut self.lip,
            Constant::Pins => &mut self.pins,
            Constant::Friction => &mut self.friction,
            Constant::Strength => &mut self.strength,
            Constant::Flow => &mut self.flow,
            Constant::Press => &mut self.press,
        };
        *at = value;
        self
    }

    /// A metal of frame or gate, as these constants have it.
    pub(super) fn apply(&self, metal: &mut Material) {
        metal.scale_strength(self.strength);
    }
}

//! A model that stands for a sample: its text, and what it tells of marking and rig.

use super::fields::Told;
use crate::args::Change;
use crate::failure::Failure;
use crate::source;
use lab::logbook::{Field, content};
use report::logbook::{BENCH_BAR, STRAP};
use solver::forecast::Calibration;
use solver::rig::{GateState, Loader};
use std::sync::Arc;
use study::model::{Model, Source};

/// A model with its text and what was set over it.
#[derive(Debug)]
pub struct OfSample {
    /// Its text.
    pub source: Source,
    /// The model.
    pub model: Model,
    sets: Vec<(String, String)>,
}

impl OfSample {
    /// Reads a model.
    ///
    /// # Errors
    /// It cannot be read, or has mistakes.
    pub fn read(argument: &str, change: &Change) -> Result<Self, Failure> {
        let source = source::find(argument)?;
        let model = source.model(&change.set)?;
        Ok(Self { source, model, sets: change.set.clone() })
    }

    /// A model that was read already.
    #[must_use]
    pub fn of(source: Source, model: Model, sets: Vec<(String, String)>) -> Self {
        Self { source, model, sets }
    }

    /// The same with what pulls have told of its constants.
    #[must_use]
    pub fn calibrated(self, calibration: &Arc<Calibration>) -> Self {
        Self { model: self.model.calibrated(calibration), ..self }
    }

    /// The model and what was set.
    #[must_use]
    pub fn fields(&self) -> Told {
        let name = source::typed(&self.source);
        let hash = content::sha256(self.source.text.as_bytes());
        let sets: Vec<String> = self.sets.iter().map(|(key, value)| format!("{key}={value}")).collect();
        let mut fields = vec![(Field::Model, Some(format!("{hash} {name}")))];
        if !sets.is_empty() {
            fields.push((Field::Sets, Some(sets.join("\n"))));
        }
        fields
    }

    /// What it tells of marking and rig. Where a load lies is told only where somebody said so.
    #[must_use]
    pub fn tells(&self) -> Told {
        let Model { marking, rig, places_entered, .. } = &self.model;
        let number = |number: f64| Some(number.to_string());
        let mut fields = vec![
            (Field::MarkedClosedKn, marking.closed_kn.and_then(number)),
            (Field::MarkedOpenKn, marking.open_kn.and_then(number)),
            (Field::Gate, Some(rig.gate.word().to_owned())),
        ];
        if let GateState::Half { engaged_mm } = rig.gate {
            fields.push((Field::EngagedMm, number(engaged_mm)));
        }
        let ends = [
            (rig.upper, [Field::Upper, Field::UpperSizeMm, Field::UpperOffsetMm], places_entered[0]),
            (rig.lower, [Field::Lower, Field::LowerSizeMm, Field::LowerOffsetMm], places_entered[1]),
        ];
        for (loader, [what, size, offset], is_placed) in ends {
            let (word, size_mm) = match loader {
                Loader::Strap { width_mm, .. } => (STRAP, width_mm),
                Loader::Bar { diameter_mm, .. } => (BENCH_BAR, diameter_mm),
            };
            fields.extend([(what, Some(word.to_owned())), (size, number(size_mm))]);
            if is_placed {
                fields.push((offset, number(loader.offset_mm())));
            }
        }
        fields.retain(|field| field.1.is_some());
        fields
    }
}

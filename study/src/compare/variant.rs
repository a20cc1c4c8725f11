//! A variant: as it was asked for, solved, or left out.

use crate::map::{self, Mapped};
use crate::model::{Model, ModelErrors, Source};
use crate::{CaseError, Engine, Pulled};
use solver::strength::Limits;
use solver::system::SystemSettings;

/// What a variant is called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum VariantName {
    /// A value of the key that varies.
    Value {
        /// The key, as typed.
        key: String,
        /// Its value, as typed.
        value: String,
    },
    /// A model: its short name, or what was typed where two models share one.
    Model(String),
}

/// A variant that was asked for.
#[derive(Clone, Debug)]
pub struct VariantRequest<E> {
    /// What it is called.
    pub name: VariantName,
    /// The model, or why the caller has none.
    pub source: Result<Source, E>,
    /// Values that take the place of the model's, keys and values as typed; of one that varies it is the last.
    pub sets: Vec<(String, String)>,
}

/// A variant that was solved.
#[derive(Debug)]
pub struct SolvedVariant {
    /// What it is called.
    pub name: VariantName,
    /// The model's short name.
    pub stem: String,
    /// The checked model.
    pub model: Model,
    /// Values that took the place of the model's, keys and values as typed.
    pub sets: Vec<(String, String)>,
    /// Hash of its inputs.
    pub hash: String,
    /// The connector under its load.
    pub mapped: Mapped,
    /// What fails first.
    pub limits: Limits,
}

/// A variant that could not be computed.
#[derive(Clone, Debug)]
pub struct LeftOut<E> {
    /// What it is called.
    pub name: VariantName,
    /// Why.
    pub why: Why<E>,
}

/// Why a variant could not be computed.
#[derive(Clone, Debug)]
pub enum Why<E> {
    /// The caller has no model for it.
    Refused(E),
    /// Its model has mistakes.
    Model {
        /// The mistakes.
        errors: ModelErrors,
        /// Which of its sets is the value that varies, counted from zero; `None` where models are compared.
        varied: Option<usize>,
    },
    /// Its connector cannot be drawn, meshed or pulled.
    Case {
        /// Title of its model.
        title: String,
        /// What is wrong.
        error: Box<CaseError>,
    },
}

impl<E> VariantRequest<E> {
    /// A model as a variant, under its short name; under what was typed where there is no model.
    #[must_use]
    pub fn of_model(
        model: &str,
        sets: &[(String, String)],
        find: &dyn Fn(&str) -> Result<Source, E>,
    ) -> Self {
        let source = find(model);
        let name = source.as_ref().map_or(model, |source| &source.stem).to_owned();
        Self { name: VariantName::Model(name), source, sets: sets.to_vec() }
    }
}

impl SolvedVariant {
    /// Solves one variant on the engine's system of it.
    ///
    /// # Errors
    /// [`Why`]: there is no model, it has mistakes, or it cannot be solved.
    pub fn solve<E>(
        engine: &Engine,
        request: VariantRequest<E>,
        mesh: &SystemSettings,
    ) -> Result<Self, Why<E>> {
        let VariantRequest { name, source, sets } = request;
        let source = source.map_err(Why::Refused)?;
        let model = source.model(&sets).map_err(|errors| {
            let varies = matches!(name, VariantName::Value { .. });
            Why::Model { errors, varied: sets.len().checked_sub(1).filter(|_| varies) }
        })?;
        let refuse = |error: CaseError| Why::Case { title: model.title.clone(), error: Box::new(error) };
        let case = model.case(*mesh);
        let mapped = map::solve(engine, &case, &|_| ()).map_err(refuse)?;
        let limits = Pulled::of(&mapped.system, &case).map_err(|e| refuse(e.into()))?.limits;
        let hash = model.inputs_hash(mesh);
        Ok(Self { name, stem: source.stem, model, sets, hash, mapped, limits })
    }
}

//! What is compared: models by what was typed, and the variants of them, solved.

use super::mistake::CompareError;
use crate::source::{self, SourceError};
use solver::system::SystemSettings;
use study::Engine;
use study::compare::{self, SolvedVariant, VariantRequest, Why};

/// Variants that were asked for.
pub type Asked = compare::Asked<SourceError>;

/// Variants side by side.
pub type Compared = compare::Compared<SourceError>;

/// The variants that `models`, `--set` and `--vary` ask for.
///
/// # Errors
/// The number of variants, several models together with `--vary`, a value that is empty or named twice: all at once.
pub fn requested(
    models: &[String],
    sets: &[(String, String)],
    vary: Option<&(String, String)>,
) -> Result<Asked, CompareError> {
    compare::asked(models, sets, vary, &source::find).map_err(CompareError::Asked)
}

/// One model by itself.
#[must_use]
pub fn lone(model: &str, sets: &[(String, String)]) -> Asked {
    Asked { variants: vec![VariantRequest::of_model(model, sets, &source::find)], key: None }
}

/// Solves the variants.
///
/// # Errors
/// Fewer than two can be computed: the reasons of all that cannot.
pub fn compute(asked: Asked, settings: &SystemSettings) -> Result<Compared, CompareError> {
    compare::solve(asked, &Engine::default(), settings).map_err(CompareError::TooFew)
}

/// Solves each variant, be it one alone.
///
/// # Errors
/// One of them cannot be: its model cannot be read or has mistakes, or it cannot be solved.
pub fn compute_all(asked: Asked, settings: &SystemSettings) -> Result<Compared, Why<SourceError>> {
    let engine = Engine::default();
    let solved = asked.variants.into_iter().map(|request| SolvedVariant::solve(&engine, request, settings));
    Ok(Compared { variants: solved.collect::<Result<_, _>>()?, left_out: Vec::new(), key: asked.key })
}

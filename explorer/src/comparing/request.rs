//! What is compared: models by what was typed, and the variants of them, solved.

use super::mistake::{CompareError, NotBegun};
use crate::mapping::room_for_meshes;
use crate::source;
use solver::system::SystemSettings;
use study::Engine;
use study::compare::{self, SolvedVariant, VariantRequest, Why};
use study::model::{Model, Source};

/// Variants that were asked for.
pub type Asked = compare::Asked<NotBegun>;

/// Variants side by side.
pub type Compared = compare::Compared<NotBegun>;

fn find(model: &str) -> Result<Source, NotBegun> {
    Ok(source::find(model)?)
}

/// The variants that `models`, `--set` and `--vary` ask for.
///
/// # Errors
/// The number of variants, several models together with `--vary`, a value that is empty or named twice: all at once.
pub fn requested(
    models: &[String],
    sets: &[(String, String)],
    vary: Option<&(String, String)>,
) -> Result<Asked, CompareError> {
    compare::asked(models, sets, vary, &find).map_err(CompareError::Asked)
}

/// One model by itself.
#[must_use]
pub fn lone(model: &str, sets: &[(String, String)]) -> Asked {
    Asked { variants: vec![VariantRequest::of_model(model, sets, &find)], key: None }
}

/// Solves the variants.
///
/// # Errors
/// Fewer than two can be computed: the reasons of all that cannot.
pub fn compute(asked: Asked, settings: &SystemSettings) -> Result<Compared, CompareError> {
    compare::solve(asked, &Engine::default(), settings, &room(settings)).map_err(CompareError::TooFew)
}

/// Solves one variant by itself.
///
/// # Errors
/// The model cannot be read, has mistakes, has no room, or cannot be solved.
pub fn alone(
    request: VariantRequest<NotBegun>,
    settings: &SystemSettings,
) -> Result<Compared, Why<NotBegun>> {
    let variant = SolvedVariant::solve(&Engine::default(), request, settings, &room(settings))?;
    Ok(Compared { variants: vec![variant], left_out: Vec::new(), key: None })
}

fn room(settings: &SystemSettings) -> impl Fn(&Model) -> Result<(), NotBegun> {
    |model| Ok(room_for_meshes(model, settings, 1)?)
}

//! Stills, vector pictures and findings of a state: the same pictures and bytes that `pullmap map` writes.

use super::answer::inputs;
use super::api_error::{ApiError, of_failure};
use super::prepared::Systems;
use super::protocol::Still;
use super::reply::Reply;
use super::state::State;
use super::turns::Claim;
use crate::failure::Failure;
use crate::mapping::{self, stress_map};
use report::caution::with_caution;
use report::findings::Findings;
use study::in_use::InUse;
use study::map::Depth;
use viz::Drawing;

fn drawing(systems: &Systems, asked: &Still, wanted: &Claim) -> Result<Drawing, ApiError> {
    asked.check()?;
    let checked = asked.state.check()?;
    let prepared = systems.take(&checked.model)?;
    wanted.check()?;
    // The picture shows no number that needs a further load.
    let (solved, _) = prepared.load(&checked.model, Depth::Quick)?;
    let picture = mapping::PictureRequest {
        field: asked.field.field(),
        enlarged: asked.enlarged,
        size: asked.size,
        sets: &checked.sets,
    };
    Ok(stress_map(&solved, &checked.model.title, (&checked.name, &inputs(&checked)), picture))
}

/// A picture as PNG.
///
/// # Errors
/// The state is impossible, or the size.
pub fn still(systems: &Systems, asked: &Still, wanted: &Claim) -> Result<Reply, ApiError> {
    let bytes =
        drawing(systems, asked, wanted)?.to_png().map_err(|error| of_failure(&Failure::Picture(error)))?;
    Ok(Reply::Bytes("image/png", bytes))
}

/// A picture as SVG.
///
/// # Errors
/// The state is impossible, or the size.
pub fn svg(systems: &Systems, asked: &Still, wanted: &Claim) -> Result<Reply, ApiError> {
    let text =
        drawing(systems, asked, wanted)?.to_svg().map_err(|error| of_failure(&Failure::Picture(error)))?;
    Ok(Reply::Bytes("image/svg+xml", text.into_bytes()))
}

/// The findings, byte for byte as `map --json` prints them.
///
/// # Errors
/// The state is impossible.
pub fn findings(systems: &Systems, state: &State, wanted: &Claim) -> Result<Reply, ApiError> {
    let checked = state.check()?;
    let prepared = systems.take(&checked.model)?;
    wanted.check()?;
    let (solved, _) = prepared.load(&checked.model, Depth::Whole)?;
    let in_use = InUse::of_map(&checked.model, &solved);
    let found = Findings::new(&solved.findings, &checked.model, in_use);
    let mut text = serde_json::to_string_pretty(&with_caution(&found))
        .map_err(|error| of_failure(&Failure::json(error)))?;
    text.push('\n');
    Ok(Reply::Bytes("application/json", text.into_bytes()))
}

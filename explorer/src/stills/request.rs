//! Which still of what: everything that does not go together is told at once.

use crate::args::{StillArguments, StillKind, StillSize};
use crate::comparing::{Asked, CompareError, lone, requested};
use report::compare;
use report::pictures::still::{StillMistake, mistake};

/// Sizes of `all`: what films and posts take.
const ALL: [StillSize; 3] = [
    StillSize { pixels: [1920, 1080] },
    StillSize { pixels: [1080, 1920] },
    StillSize { pixels: [1080, 1080] },
];

/// What is wrong with a still as it was asked for.
#[derive(Debug, thiserror::Error)]
#[error("{}", .0.join("\n"))]
pub struct StillError(pub Vec<String>);

/// A still that can be tried.
#[derive(Debug)]
pub struct StillRequest {
    /// What it shows.
    pub kind: StillKind,
    /// One connector, or the two of a pair.
    pub asked: Asked,
    /// Sizes, each once, in the order asked for.
    pub sizes: Vec<[u32; 2]>,
}

/// What the arguments ask for.
///
/// # Errors
/// Every mistake: more or fewer connectors than the kind shows, `--vary` beside a kind that shows one.
pub fn requested_still(arguments: &StillArguments) -> Result<StillRequest, StillError> {
    let (models, vary) = (&arguments.models, arguments.vary.as_ref());
    let pair = vary.is_some() || models.len() > 1;
    let kind = arguments.kind.unwrap_or(if pair { StillKind::Compare } else { StillKind::Map });
    let mut mistakes = Vec::new();
    let mut found = Asked { variants: Vec::new(), key: None };
    match kind {
        StillKind::Compare => match requested(models, &arguments.change.set, vary) {
            Ok(asked) if asked.variants.len() != 2 => {
                mistakes.push(mistake(&StillMistake::NoPair { found: asked.variants.len() }));
            }
            Ok(two) => found = two,
            Err(CompareError::Asked(more)) => mistakes.extend(more.iter().map(compare::mistake)),
            Err(other) => mistakes.push(other.to_string()),
        },
        StillKind::Map | StillKind::Forecast => {
            if models.len() != 1 {
                mistakes.push(mistake(&StillMistake::NotOne { found: models.len() }));
            }
            if let Some((key, list)) = vary {
                mistakes.push(mistake(&StillMistake::Varied { key: key.clone(), values: list.clone() }));
            }
            if let Some(model) = models.first() {
                found = lone(model, &arguments.change.set);
            }
        }
    }
    if !mistakes.is_empty() {
        return Err(StillError(mistakes));
    }
    let mut sizes: Vec<[u32; 2]> = Vec::new();
    let listed: &[StillSize] = match arguments.size.as_slice() {
        [] => &ALL,
        listed => listed,
    };
    for size in listed.iter().flat_map(|s| if s.is_all() { &ALL[..] } else { std::slice::from_ref(s) }) {
        if !sizes.contains(&size.pixels) {
            sizes.push(size.pixels);
        }
    }
    Ok(StillRequest { kind, asked: found, sizes })
}
